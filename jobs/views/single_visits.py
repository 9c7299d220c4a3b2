"""The page on which a single visit is entered."""

import datetime as dt

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.dateparse import parse_date
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from firm import clock
from firm.access import StaffRequest, needs
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.actions.work import NeedsReason, WorkRefused, open_single_visit
from jobs.forms.work import SingleVisitForm
from jobs.queries.work import Caution, crew_day, task_choices
from jobs.views.work import local_day, refuse, say_hours
from plants.queries.gardens import garden as find_garden


def _asked_day(request: StaffRequest, today: dt.date) -> dt.date:
    """The day that tasks are looked for: typed, asked for, or today."""
    text = request.POST.get("day") or request.GET.get("day") or ""
    try:
        day = parse_date(text)
    except ValueError:
        day = None
    far = dt.timedelta(days=3 * 366)
    return day if day is not None and today <= day <= today + far else today


@needs(Permission.PLAN_WORK)
@require_http_methods(["GET", "HEAD", "POST"])
def single_visit_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Enter a visit of its own: no planting and no contract is needed."""
    garden = find_garden(pk=pk)
    if garden is None:
        raise Http404
    firm = firm_or_blank()
    today = local_day()
    is_looking = "look" in request.POST
    form = SingleVisitForm(
        request.POST if request.method == "POST" and not is_looking else None,
        today=today,
        currency=firm.currency,
        initial={
            "hour_price": firm.hour_price or None,
            "is_taxed": firm.tax_on_labour,
            "day": request.GET.get("day"),
            # Looking at another day's tasks loses nothing that was typed.
            **(request.POST.dict() if is_looking else {}),
        },
    )
    ticked = request.POST.getlist("tasks")
    cautions: list[Caution] = []
    if form.is_bound and form.is_valid():
        try:
            job = open_single_visit(
                garden=garden,
                details=form.details(tasks=ticked, hour_cost=firm.hour_cost),
                key=form.cleaned_data["key"],
                by=request.user,
                now=clock.now(),
            )
        except WorkRefused as refused:
            if isinstance(refused, NeedsReason):
                cautions = refused.cautions
            refuse(form, refused)
        else:
            messages.success(request, _("The single visit was entered."))
            crew = form.cleaned_data["crew"]
            if crew and job.day:
                say_hours(
                    request,
                    crew_day(
                        crew=crew,
                        day=job.day,
                        hours=job.planned_hours,
                        besides_job=job.pk,
                    ),
                )
            return redirect("job", pk=job.pk)
    day = _asked_day(request, today)
    tasks = task_choices(garden=garden, day=day)
    return render(
        request,
        "jobs/single_visit_new.html",
        {
            "form": form,
            "garden": garden,
            "day": day,
            "near": [
                choice for each in tasks for choice in each.choices if choice.is_near
            ],
            "tasks": tasks,
            "ticked": ticked,
            "cautions": cautions,
        },
    )
