"""The week board, the order of a crew's stops, and the page of one visit."""

import datetime as dt
from decimal import Decimal
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.record import SomebodyElseChangedIt
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.actions.week import (
    DayIsOver,
    DayNeedsReason,
    WeekRefused,
    call_off_visit,
    order_stops,
    place_visit,
    take_off_board,
)
from jobs.forms.week import CallOffForm, OrderForm, PlaceForm
from jobs.queries import week as asked
from jobs.queries.purchases import purchases
from jobs.queries.week import Objection
from jobs.queries.work.cautions import crew_day
from plants.forms.fields import version_in


def _today() -> dt.date:
    return clock.today(time_zone=firm_or_blank().time_zone)


def _day(text: str, otherwise: dt.date | None = None) -> dt.date:
    """The day that TEXT names; 404 for what is none."""
    if not text and otherwise is not None:
        return otherwise
    try:
        day = dt.date.fromisoformat(text)
    except ValueError:
        raise Http404 from None
    if not 2000 <= day.year <= 2200:
        raise Http404
    return day


def _back(day: dt.date | None) -> HttpResponse:
    where = reverse("week")
    return redirect(f"{where}?day={day}" if day else where)


@needs(Permission.PLAN_WORK)
@require_safe
def week(request: StaffRequest) -> HttpResponse:
    """Crews by days with their hours, and the visits that wait for a day."""
    today = _today()
    board = asked.week_board(
        day=_day(request.GET.get("day", ""), otherwise=today), today=today
    )
    return render(request, "jobs/week.html", {"board": board, "today": today})


@needs(Permission.PLAN_WORK)
@require_safe
def visit(request: StaffRequest, pk: int) -> HttpResponse:
    """One visit: its tasks and where each line comes from, hours, problems."""
    today = _today()
    page = asked.visit_page(visit_id=pk, day=today)
    if page is None:
        raise Http404
    return render(
        request,
        "jobs/week_visit.html",
        {"page": page, "visit": page.visit, "today": today},
    )


@needs(Permission.PLAN_WORK)
@require_http_methods(["GET", "HEAD", "POST"])
def visit_place(request: StaffRequest, pk: int) -> HttpResponse:
    """Put a visit on a crew and a day; a wrong day asks for the owner's reason."""
    found = asked.visit_to_place(visit_id=pk)
    if found is None:
        raise Http404
    today = _today()
    form = PlaceForm(
        request.POST or None,
        visit=found,
        crews=asked.crews_to_choose(day=today),
        today=today,
        day=_day(request.GET["day"]) if "day" in request.GET else None,
    )
    against: list[Objection] = []
    refused = ""
    if request.method == "POST" and form.is_valid():
        chosen = form.cleaned_data
        try:
            placed = place_visit(
                visit_id=pk,
                version=chosen["version"],
                crew_id=int(chosen["crew"]),
                day=chosen["day"],
                position=chosen["position"],
                reason=chosen["reason"],
                by=request.user,
                now=clock.now(),
            )
        except DayNeedsReason as wrong:
            against = list(wrong.objections)
            form.add_error("reason", str(wrong))
        except DayIsOver as over:
            form.add_error("day", str(over))
        except (SomebodyElseChangedIt, WeekRefused) as refusal:
            refused = str(refusal)
            found = asked.visit_to_place(visit_id=pk) or found
            # Sent again it is a decision, no accident.
            data = request.POST.copy()
            data["version"] = str(found.version)
            form.data = data
        else:
            _say_where(request, placed)
            return _back(placed.day)
    elif found.day is not None:
        against = asked.objections(visit=found, day=found.day)
    return render(
        request,
        "jobs/week_place.html",
        {
            "form": form,
            "visit": found,
            "against": against,
            "refused": refused,
            "today": today,
        },
        status=409 if refused else 200,
    )


def _say_where(request: StaffRequest, placed: Any) -> None:
    """Say where the visit is now, and what its crew's day makes of it."""
    day = crew_day(crew=placed.crew, day=placed.day, hours=Decimal(0), besides_job=None)
    messages.success(
        request,
        _("%(title)s: %(crew)s, %(day)s.")
        % {
            "title": placed.title,
            "crew": placed.crew.name,
            "day": asked.day_said(placed.day),
        },
    )
    if not day.is_fine:
        for words in day.words:
            messages.warning(request, words)


@needs(Permission.PLAN_WORK)
@require_POST
def visit_take_off(request: StaffRequest, pk: int) -> HttpResponse:
    """Take a visit off the board, to be placed anew."""
    found = asked.visit_to_place(visit_id=pk)
    if found is None:
        raise Http404
    try:
        take_off_board(
            visit_id=pk,
            version=version_in(request.POST),
            by=request.user,
            now=clock.now(),
        )
    except (SomebodyElseChangedIt, WeekRefused) as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, _("Taken off the board; it waits to be placed."))
    return _back(found.day)


@needs(Permission.PLAN_WORK)
@require_http_methods(["GET", "HEAD", "POST"])
def visit_call_off(request: StaffRequest, pk: int) -> HttpResponse:
    """Call a contract's visit off, with the reason."""
    found = asked.visit_to_place(visit_id=pk)
    if found is None:
        raise Http404
    form = CallOffForm(request.POST or None, initial={"version": found.version})
    if request.method == "POST" and form.is_valid():
        try:
            call_off_visit(
                visit_id=pk,
                version=form.cleaned_data["version"],
                reason=form.cleaned_data["reason"],
                by=request.user,
                now=clock.now(),
            )
        except (SomebodyElseChangedIt, WeekRefused) as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("The visit was called off."))
            return redirect("visit", pk=pk)
    return render(request, "jobs/week_call_off.html", {"form": form, "visit": found})


@needs(Permission.PLAN_WORK)
@require_http_methods(["GET", "HEAD", "POST"])
def week_order(request: StaffRequest, crew: int, day: str) -> HttpResponse:
    """Put the stops of a crew's day in order."""
    on = _day(day)
    found = asked.stops_of(crew_id=crew, day=on)
    if found is None:
        raise Http404
    of_crew, stops = found
    form = OrderForm(request.POST or None, stops=stops)
    refused = ""
    if request.method == "POST" and form.is_valid():
        try:
            order_stops(
                crew_id=crew,
                day=on,
                places=form.places(),
                by=request.user,
                now=clock.now(),
            )
        except (SomebodyElseChangedIt, WeekRefused) as refusal:
            refused = str(refusal)
        else:
            messages.success(request, _("The stops were put in order."))
            return _back(on)
    return render(
        request,
        "jobs/week_order.html",
        {"form": form, "crew": of_crew, "day": on, "stops": stops, "refused": refused},
        status=409 if refused else 200,
    )


@needs(Permission.WRITE_QUOTES)
@require_safe
def to_buy(request: StaffRequest) -> HttpResponse:
    """The week's plants and materials by supplier, all its jobs together."""
    today = _today()
    day = _day(request.GET.get("day", ""), otherwise=today)
    return render(
        request,
        "jobs/to_buy.html",
        {"page": purchases(day=day, today=today), "today": today},
    )
