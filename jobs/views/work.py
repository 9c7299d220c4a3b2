"""Pages of jobs: the list, one job, booking, starting, finishing, calling off."""

import datetime as dt
from typing import TYPE_CHECKING

from django import forms
from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
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
from jobs.actions.planting import PlantingRowRefused, finish_planting_job
from jobs.actions.work import (
    JobIsOver,
    NeedsReason,
    NoSuchJob,
    WorkRefused,
    begin_addition,
    book_job,
    call_off_job,
    finish_single_visit,
    start_job,
)
from jobs.enums import JobKind
from jobs.forms.locating import MarksForm
from jobs.forms.quotes import NewQuoteForm
from jobs.forms.work import (
    BookForm,
    CallOffForm,
    DoneOnForm,
    FinishForm,
    PlantedForm,
    StartForm,
    rows_are_valid,
)
from jobs.queries.locating import locating_of
from jobs.queries.work import (
    CrewDay,
    booking_plants,
    cautions_on,
    crew_day,
    crew_notes,
    job_page,
    jobs_page,
    next_numbers,
)
from jobs.queries.work import job as find_job

if TYPE_CHECKING:
    from jobs.models import Job


def local_day() -> dt.date:
    """The firm's own day."""
    return clock.today(time_zone=firm_or_blank().time_zone)


def found_job(pk: int) -> "Job":
    """The job, or 404."""
    job = find_job(pk=pk)
    if job is None:
        raise Http404
    return job


def refuse(form: forms.Form, refused: Exception) -> None:
    """Write a refusal beside its field, or above the form."""
    field = getattr(refused, "field", None)
    form.add_error(field if field in form.fields else None, str(refused))


def renew_version(form: forms.Form, pk: int) -> None:
    """Let the form go out once more over what somebody else has done meanwhile."""
    form.data = {**dict(form.data.items()), "version": str(found_job(pk).version)}


@needs(Permission.PLAN_WORK)
@require_safe
def jobs(request: StaffRequest) -> HttpResponse:
    """All open jobs by where they stand, and those finished lately."""
    return render(request, "jobs/jobs.html", {"page": jobs_page(day=local_day())})


@needs(Permission.PLAN_WORK)
@require_safe
def job(request: StaffRequest, pk: int) -> HttpResponse:
    """One job: plants, hours, price, and what comes next."""
    today = local_day()
    page = job_page(pk=pk, day=today)
    if page is None:
        raise Http404
    version = {"version": page.job.version}
    visit = page.open_visit
    done = visit.day if visit and visit.day and visit.day <= today else today
    return render(
        request,
        "jobs/job.html",
        {
            "page": page,
            "job": page.job,
            "today": today,
            "start_form": StartForm(initial=version),
            "marks_form": MarksForm(),
            "lines": locating_of(job=page.job, day=today),
            "done_form": DoneOnForm(initial={**version, "day": done}, today=today),
        },
    )


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def job_addition(request: StaffRequest, pk: int) -> HttpResponse:
    """Begin the quote of what comes on top of a job; it is agreed like any other."""
    found = found_job(pk)
    form = NewQuoteForm(
        request.POST if request.method == "POST" else None,
        today=local_day(),
        initial={
            "title": _("Addition to %(title)s") % {"title": found.title},
            "margin_percent": firm_or_blank().margin_percent,
        },
    )
    if request.method == "POST" and form.is_valid():
        try:
            made = begin_addition(
                job_id=pk,
                key=form.cleaned_data["key"],
                details=form.details(),
                by=request.user,
                now=clock.now(),
            )
        except (JobIsOver, NoSuchJob) as refused:
            form.add_error(None, str(refused))
        else:
            return redirect("quote", pk=made.pk)
    return render(
        request,
        "jobs/quote_form.html",
        {"form": form, "garden": found.garden, "addition_to": found},
    )


def say_hours(request: StaffRequest, day: CrewDay) -> None:
    """Say a crew's hours against its day, as a warning where they do not fit."""
    for words in day.words:
        if day.is_fine:
            messages.info(request, words)
        else:
            messages.warning(request, words)


@needs(Permission.PLAN_WORK)
@require_http_methods(["GET", "HEAD", "POST"])
def job_book(request: StaffRequest, pk: int) -> HttpResponse:
    """Give a job its day and crew; what speaks against the day is said first."""
    found = found_job(pk)
    today = local_day()
    form = BookForm(
        request.POST if request.method == "POST" else None,
        today=today,
        initial={"version": found.version, "day": found.day, "crew": found.crew_id},
    )
    looked = None
    cautions = []
    if request.method == "POST" and form.is_valid():
        day, crew = form.cleaned_data["day"], form.cleaned_data["crew"]
        looked = crew_day(
            crew=crew, day=day, hours=found.planned_hours, besides_job=found.pk
        )
        cautions = cautions_on(job=found, day=day)
        if "look" not in request.POST:
            try:
                booked = book_job(
                    job_id=pk,
                    version=form.cleaned_data["version"],
                    day=day,
                    crew_id=crew.pk,
                    reason=form.cleaned_data["reason"],
                    by=request.user,
                    now=clock.now(),
                )
            except (WorkRefused, SomebodyElseChangedIt) as refused:
                if isinstance(refused, NeedsReason):
                    cautions = cautions_on(job=found, day=day)
                refuse(form, refused)
                renew_version(form, pk)
                found = found_job(pk)
            else:
                messages.success(request, _("The job is booked."))
                say_hours(request, looked)
                for caution in cautions:
                    messages.warning(request, caution.words)
                return redirect("job", pk=booked.pk)
    return render(
        request,
        "jobs/job_book.html",
        {
            "form": form,
            "job": found,
            "plants": booking_plants(job=found, day=found.day or today),
            "looked": looked,
            "cautions": cautions,
            "today": today,
        },
    )


@needs(Permission.PLAN_WORK)
@require_POST
def job_start(request: StaffRequest, pk: int) -> HttpResponse:
    """Put a booked job under way."""
    found = found_job(pk)
    form = StartForm(request.POST)
    if form.is_valid():
        try:
            start_job(
                job_id=pk,
                version=form.cleaned_data["version"],
                by=request.user,
                now=clock.now(),
            )
        except (WorkRefused, SomebodyElseChangedIt) as refused:
            messages.error(request, str(refused))
        else:
            messages.success(request, _("The job is under way."))
    return redirect("job", pk=found.pk)


@needs(Permission.PLAN_WORK)
@require_http_methods(["GET", "HEAD", "POST"])
def job_call_off(request: StaffRequest, pk: int) -> HttpResponse:
    """Call a job off, with its reason."""
    found = found_job(pk)
    form = CallOffForm(
        request.POST if request.method == "POST" else None,
        initial={"version": found.version},
    )
    if request.method == "POST" and form.is_valid():
        try:
            call_off_job(
                job_id=pk,
                version=form.cleaned_data["version"],
                reason=form.cleaned_data["reason"],
                by=request.user,
                now=clock.now(),
            )
        except (WorkRefused, SomebodyElseChangedIt) as refused:
            refuse(form, refused)
            renew_version(form, pk)
        else:
            messages.success(request, _("The job is called off."))
            return redirect("job", pk=pk)
    return render(request, "jobs/job_call_off.html", {"form": form, "job": found})


@needs(Permission.PLAN_WORK)
@require_http_methods(["GET", "HEAD", "POST"])
def job_finish(request: StaffRequest, pk: int) -> HttpResponse:
    """Record what was planted; the care guide goes out with it."""
    found = found_job(pk)
    if found.kind != JobKind.PLANTING:
        raise Http404
    today = local_day()
    data = request.POST if request.method == "POST" else None
    form = FinishForm(data, job=found, today=today)
    plants = booking_plants(job=found, day=found.day or today)
    numbers = next_numbers(garden=found.garden, count=len(plants))
    rows = [
        PlantedForm(data, row=row, garden=found.garden, number=number)
        for row, number in zip(plants, numbers, strict=True)
    ]
    if request.method == "POST" and rows_are_valid(form, rows):
        crew = form.cleaned_data.get("crew")
        try:
            finished = finish_planting_job(
                job_id=pk,
                version=form.cleaned_data["version"],
                day=form.cleaned_data["day"],
                crew_id=crew.pk if crew else None,
                planted=[row.planted() for row in rows],
                by=request.user,
                now=clock.now(),
            )
        except PlantingRowRefused as refused:
            for row in rows:
                if row.row.row.pk == refused.job_plant_id:
                    refuse(row, refused)
        except (WorkRefused, SomebodyElseChangedIt) as refused:
            refuse(form, refused)
            renew_version(form, pk)
        else:
            message = finished.guide.message
            messages.success(
                request,
                _("The job is finished and the care guide goes to %(address)s.")
                % {"address": message.recipient}
                if message
                else _(
                    "The job is finished. The client has no mail address: hand the care"
                    " guide over yourself; it stands below."
                ),
            )
            return redirect("job", pk=pk)
    return render(
        request,
        "jobs/job_finish.html",
        {
            "form": form,
            "rows": rows,
            "job": found,
            "notes": crew_notes(job=found),
            "today": today,
        },
    )


@needs(Permission.PLAN_WORK)
@require_POST
def single_visit_finish(request: StaffRequest, pk: int) -> HttpResponse:
    """Close a single visit and its job."""
    page = job_page(pk=pk, day=local_day())
    if page is None or page.job.kind != JobKind.SINGLE or not page.visits:
        raise Http404
    form = DoneOnForm(request.POST, today=local_day())
    if form.is_valid():
        try:
            finish_single_visit(
                visit=page.open_visit or page.visits[0],
                day=form.cleaned_data["day"],
                by=request.user,
                now=clock.now(),
            )
        except (WorkRefused, SomebodyElseChangedIt) as refused:
            messages.error(request, str(refused))
        else:
            messages.success(request, _("The visit is done and the job finished."))
    else:
        for errors in form.errors.values():
            messages.error(request, " ".join(map(str, errors)))
    return redirect("job", pk=pk)
