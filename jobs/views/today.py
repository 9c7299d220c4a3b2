"""Pages of a crew's day: the round, a stop, its tasks, hours, the printed sheet."""

import datetime as dt

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
from firm.enums import Role
from firm.permissions import Permission
from firm.queries import firm_or_blank
from firm.queries.messages import counts, sweep_reports
from jobs.actions.today import (
    HoursAreBilled,
    NeedsAReason,
    NotBegun,
    NotYet,
    TasksAreOpen,
    TooManyHours,
    VisitIsOver,
    end_visit,
    log_hours,
    settle_task,
    start_visit,
    take_back_hours,
)
from jobs.actions.week import CannotRainOff, rain_off
from jobs.actions.work import LinesNotMarked
from jobs.documents import draw_pdf
from jobs.enums import TaskState
from jobs.forms.locating import MarksForm
from jobs.forms.today import (
    DayForm,
    EndForm,
    HoursForm,
    RainForm,
    SeenForm,
    TaskForm,
)
from jobs.queries.letterhead import letterhead
from jobs.queries.locating import to_ask_for
from jobs.queries.round_sheet import sheet_of
from jobs.queries.today import (
    Round,
    StopPage,
    crews_seen_by,
    hours_for,
    may_open,
    planting_at,
    plantings_to_record,
    problems_open,
    round_of,
    stop_page,
    task_for,
    visit_for,
)
from jobs.queries.week import moved_out, slipping
from plants.actions.plantings import PlantingRefused, log_bloom
from plants.enums import BloomStage


def local_day() -> dt.date:
    """The day it is at the firm."""
    return clock.today(time_zone=firm_or_blank().time_zone)


def asked_rounds(request: StaffRequest) -> tuple[dt.date, list[Round]]:
    """The day asked for and the rounds that this person may see on it."""
    today = local_day()
    day, crew_id = DayForm(request.GET).asked(today=today)
    if not may_open(person=request.user, day=day, today=today):
        raise Http404
    crews = crews_seen_by(person=request.user, day=day)
    if crew_id is not None:
        crews = [crew for crew in crews if crew.pk == crew_id]
        if not crews:
            raise Http404
    return day, [round_of(crew=crew, day=day) for crew in crews]


@needs(Permission.SEE_TODAY)
@require_safe
def today(request: StaffRequest) -> HttpResponse:
    """The rounds of a day; for the owner also what is late, slipping or wrong."""
    day, rounds = asked_rounds(request)
    now_day = local_day()
    context = {
        "day": day,
        "today": now_day,
        "rounds": rounds,
        "before": day - dt.timedelta(days=1),
        "after": day + dt.timedelta(days=1),
        "may_go_back": may_open(
            person=request.user, day=day - dt.timedelta(days=1), today=now_day
        ),
        "may_go_on": may_open(
            person=request.user, day=day + dt.timedelta(days=1), today=now_day
        ),
    }
    if request.user.role == Role.OWNER:
        context |= {
            "slipping": slipping(day=now_day),
            "moved_out": moved_out(day=now_day),
            "problems": problems_open(),
            "to_ask": to_ask_for(day=now_day),
            "to_record": plantings_to_record(),
            "letters": counts(),
            "has_stopped": any(
                report.stopped for report in sweep_reports(now=clock.now())
            ),
        }
    return render(request, "jobs/today.html", context)


@needs(Permission.SEE_TODAY)
@require_safe
def round_sheet(request: StaffRequest) -> HttpResponse:
    """The rounds of a day as a printed sheet."""
    day, rounds = asked_rounds(request)
    now_day = local_day()
    pdf = draw_pdf(
        template="documents/round_sheet.html",
        context={
            "paper": {
                "firm": letterhead(),
                "day": day,
                "rounds": [
                    sheet_of(round_, person=request.user, today=now_day)
                    for round_ in rounds
                ],
            }
        },
        language=request.user.language,
    )
    return HttpResponse(
        pdf,
        headers={
            "Content-Type": "application/pdf",
            "Content-Disposition": f'inline; filename="round-{day}.pdf"',
            "Cache-Control": "no-store",
        },
    )


@needs(Permission.SEE_TODAY)
@require_safe
def stop(request: StaffRequest, pk: int) -> HttpResponse:
    """One stop: instructions and closed seasons first, then the tasks."""
    return _stop(request, pk)


def _stop(
    request: StaffRequest,
    pk: int,
    *,
    end_form: EndForm | None = None,
    rain_form: RainForm | None = None,
    seen_form: SeenForm | None = None,
    status: int = 200,
) -> HttpResponse:
    now_day = local_day()
    visit = visit_for(visit_id=pk, person=request.user, today=now_day)
    if visit is None:
        raise Http404
    page = stop_page(visit=visit, person=request.user, today=now_day)
    return render(
        request,
        "jobs/stop.html",
        {
            "page": page,
            "seen": _seen(page, seen_form, now_day),
            "visit": visit,
            "today": now_day,
            "end_form": end_form or EndForm(),
            "rain_form": rain_form or RainForm(),
            "marks_form": MarksForm(),
        },
        status=status,
    )


def _seen(page: StopPage, form: SeenForm | None, today: dt.date) -> dict[str, object]:
    """What the lines about flowers need; nothing before the day of the visit."""
    if page.is_to_come:
        return {}
    faults = {}
    if form is not None and str(form.data.get("planting", "")).isdecimal():
        faults[int(form.data["planting"])] = form.fault()
    return {
        "rows": page.seen,
        "stages": BloomStage.choices,
        "stage": BloomStage.FIRST_BLOOM,
        "day": page.visit.day or today,
        "last": today,
        "faults": faults,
        "others": page.others,
        "others_open": any(row.pk in faults for row in page.others),
    }


@needs(Permission.WORK_ROUND)
@require_POST
def stop_seen(request: StaffRequest, pk: int) -> HttpResponse:
    """Write down what is in flower in the garden of a stop."""
    now_day = local_day()
    visit = visit_for(visit_id=pk, person=request.user, today=now_day)
    if visit is None or (visit.day is not None and visit.day > now_day):
        raise Http404
    form = SeenForm(request.POST)
    is_sound = form.is_valid()
    chosen = form.cleaned_data.get("planting", 0)
    planting = planting_at(visit=visit, planting_id=chosen)
    if planting is None:
        raise Http404
    if is_sound:
        try:
            log_bloom(
                planting=planting,
                stage=form.cleaned_data["stage"],
                day=form.cleaned_data["day"],
                today=now_day,
                now=clock.now(),
                by=request.user,
            )
        except PlantingRefused as refused:
            form.add_error(
                refused.field if refused.field in form.fields else None, str(refused)
            )
        else:
            messages.success(
                request,
                _("Number %(number)d: written down.") % {"number": planting.number},
            )
            where = reverse("stop", args=[pk])
            return redirect(f"{where}#seen-{planting.pk}")
    return _stop(request, pk, seen_form=form)


@needs(Permission.WORK_ROUND)
@require_POST
def stop_start(request: StaffRequest, pk: int) -> HttpResponse:
    """Begin a visit."""
    visit = visit_for(visit_id=pk, person=request.user, today=local_day())
    if visit is None:
        raise Http404
    try:
        start_visit(visit=visit, by=request.user, now=clock.now())
    except (LinesNotMarked, NotBegun, NotYet) as error:
        messages.error(request, str(error))
    return redirect("stop", pk=pk)


@needs(Permission.WORK_ROUND)
@require_POST
def stop_end(request: StaffRequest, pk: int) -> HttpResponse:
    """End a visit; with open tasks only when it is said why."""
    visit = visit_for(visit_id=pk, person=request.user, today=local_day())
    if visit is None:
        raise Http404
    form = EndForm(request.POST)
    if form.is_valid():
        try:
            end_visit(
                visit=visit,
                left_out_reason=form.cleaned_data["left_out_reason"],
                by=request.user,
                now=clock.now(),
            )
        except TasksAreOpen as error:
            form.add_error("left_out_reason", str(error))
        except LinesNotMarked as error:
            form.add_error(None, str(error))
        except (VisitIsOver, NotYet) as error:
            messages.error(request, str(error))
            return redirect("stop", pk=pk)
        else:
            messages.success(request, _("%(title)s is done.") % {"title": visit.title})
            return _to_round(visit.day)
    return _stop(request, pk, end_form=form)


@needs(Permission.WORK_ROUND)
@require_POST
def stop_rain(request: StaffRequest, pk: int) -> HttpResponse:
    """Rain a visit off: its open tasks wait for another day."""
    visit = visit_for(visit_id=pk, person=request.user, today=local_day())
    if visit is None:
        raise Http404
    form = RainForm(request.POST)
    if form.is_valid():
        try:
            rain_off(
                visit=visit,
                reason=form.cleaned_data["reason"],
                by=request.user,
                now=clock.now(),
            )
        except CannotRainOff as error:
            messages.error(request, str(error))
            return redirect("stop", pk=pk)
        else:
            messages.success(
                request,
                _("%(title)s is rained off; the office finds another day.")
                % {"title": visit.title},
            )
            return _to_round(visit.day)
    return _stop(request, pk, rain_form=form)


def _to_round(day: dt.date | None) -> HttpResponse:
    where = reverse("today")
    return redirect(f"{where}?day={day}" if day else where)


@needs(Permission.WORK_ROUND)
@require_http_methods(["GET", "HEAD", "POST"])
def task(request: StaffRequest, pk: int) -> HttpResponse:
    """One task: how it is done, and the form for what became of it."""
    found = task_for(task_id=pk, person=request.user, today=local_day())
    if found is None:
        raise Http404
    form = TaskForm(
        request.POST or None,
        initial={
            # Done has a button of its own on the page before.
            "state": TaskState.PART_DONE
            if found.state == TaskState.OPEN
            else found.state,
            "reason": found.left_out_reason,
            "note": found.note,
        },
    )
    if request.method == "POST" and form.is_valid():
        try:
            settled = settle_task(
                task=found,
                state=TaskState(form.cleaned_data["state"]),
                reason=form.cleaned_data["reason"],
                note=form.cleaned_data["note"] or found.note,
                by=request.user,
                now=clock.now(),
            )
        except (LinesNotMarked, VisitIsOver, NeedsAReason, NotYet) as error:
            form.add_error(None, str(error))
        else:
            where = reverse("stop", args=[settled.visit_id])
            return redirect(f"{where}#task-{settled.pk}")
    return render(request, "jobs/task.html", {"form": form, "task": found})


@needs(Permission.WORK_ROUND)
@require_http_methods(["GET", "HEAD", "POST"])
def hours_new(request: StaffRequest) -> HttpResponse:
    """Hours of everyone in a crew on a day."""
    day, rounds = asked_rounds(request)
    if not rounds:
        raise Http404
    chosen = rounds[0]
    form = HoursForm(
        request.POST or None,
        people=chosen.people,
        visits=chosen.stops,
        initial={"visit": request.GET.get("visit", "")},
    )
    if request.method == "POST" and form.is_valid():
        try:
            log_hours(
                day=day,
                today=local_day(),
                entries=form.entries(),
                visit=form.chosen_visit(),
                crew=chosen.crew,
                note=form.cleaned_data["note"],
                key=form.cleaned_data["key"],
                by=request.user,
                now=clock.now(),
            )
        except (NotYet, TooManyHours) as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("The hours were written down."))
            return _to_round(day)
    return render(
        request,
        "jobs/hours_form.html",
        {"form": form, "round": chosen, "day": day, "today": local_day()},
    )


@needs(Permission.WORK_ROUND)
@require_POST
def hours_back(request: StaffRequest, pk: int) -> HttpResponse:
    """Take back hours that were written down wrongly."""
    entry = hours_for(entry_id=pk, person=request.user, today=local_day())
    if entry is None:
        raise Http404
    day = entry.day
    try:
        take_back_hours(entry=entry, by=request.user, now=clock.now())
    except HoursAreBilled as error:
        messages.error(request, str(error))
    else:
        messages.success(request, _("The hours were taken back."))
    return _to_round(day)
