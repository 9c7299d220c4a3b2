"""The garden page, the bed page and the way home."""

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import NoReverseMatch, reverse
from django.views.decorators.http import require_safe

from firm import clock
from firm.access import StaffRequest, needs
from firm.context import MENU
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.queries.dry import dry_page
from jobs.queries.gardens import bed_page, garden_page


@needs(Permission.SEE_HOME)
@require_safe
def home(request: StaffRequest) -> HttpResponse:
    """The way to the first page of this person's menu."""
    for item in MENU:
        if not request.user.may(item.permission):
            continue
        try:
            return redirect(reverse(item.url_name))
        except NoReverseMatch:
            continue
    raise Http404


@needs(Permission.SEE_GARDENS)
@require_safe
def garden(request: StaffRequest, pk: int) -> HttpResponse:
    """A garden: instructions first, whom to speak to, beds, plants, work."""
    today = clock.today(time_zone=firm_or_blank().time_zone)
    page = garden_page(pk=pk, day=today)
    if page is None:
        raise Http404
    return render(
        request,
        "jobs/garden.html",
        {"page": page, "garden": page.garden, "today": today},
    )


@needs(Permission.SEE_GARDENS)
@require_safe
def bed(request: StaffRequest, pk: int) -> HttpResponse:
    """A bed: its plan, area and volumes, and what grows in it."""
    page = bed_page(pk=pk, firm=firm_or_blank())
    if page is None:
        raise Http404
    return render(request, "jobs/bed.html", {"page": page, "bed": page.bed})


@needs(Permission.PLAN_WORK)
@require_safe
def dry(request: StaffRequest) -> HttpResponse:
    """The gardens whose young plantings want water now."""
    today = clock.today(time_zone=firm_or_blank().time_zone)
    return render(
        request,
        "jobs/gardens_dry.html",
        {"page": dry_page(day=today), "today": today},
    )
