"""Pages of the request to mark underground lines, for the owner and for crews."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from firm import clock
from firm.access import StaffRequest, needs
from firm.permissions import Permission
from jobs.actions.work import (
    WorkRefused,
    no_request_needed,
    note_marks,
    write_locate_request,
)
from jobs.enums import JobKind
from jobs.forms.locating import LocateForm, MarksForm, NotNeededForm
from jobs.queries.locating import locating_of
from jobs.queries.today import visit_for
from jobs.views.work import found_job, local_day, refuse


@needs(Permission.PLAN_WORK)
@require_http_methods(["GET", "HEAD", "POST"])
def job_locate(request: StaffRequest, pk: int) -> HttpResponse:
    """Write down a request to mark underground lines, or why none is needed."""
    job = found_job(pk)
    if job.kind != JobKind.PLANTING:
        raise Http404
    today = local_day()
    is_none = "reason" in request.POST
    sent = request.POST if request.method == "POST" else None
    form = LocateForm(
        None if is_none else sent, today=today, initial={"asked_on": today}
    )
    none = NotNeededForm(sent if is_none else None)
    try:
        if is_none and none.is_valid():
            no_request_needed(
                job_id=pk, by=request.user, now=clock.now(), **none.cleaned_data
            )
            messages.success(request, _("Written down: no request is needed."))
            return redirect("job", pk=pk)
        if not is_none and form.is_valid():
            found = form.cleaned_data
            write_locate_request(
                job_id=pk,
                number=found["number"],
                asked_on=found["asked_on"],
                first_day=found["digs_from"],
                good_until=found["good_until"],
                key=found["key"],
                by=request.user,
                now=clock.now(),
            )
            messages.success(request, _("The request is written down."))
            return redirect("job", pk=pk)
    except WorkRefused as refused:
        refuse(none if is_none else form, refused)
    return render(
        request,
        "jobs/job_locate.html",
        {
            "job": job,
            "form": form,
            "none": none,
            "is_none": is_none,
            "lines": locating_of(job=job, day=today),
        },
    )


def _noted(
    request: StaffRequest, *, job_id: int, row: int, back: str, pk: int
) -> HttpResponse:
    """Keep what was seen of the marks, then the page BACK."""
    form = MarksForm(request.POST)
    if not form.is_valid():
        messages.error(request, _("Write what is marked, in at most 300 signs."))
        return redirect(back, pk=pk)
    try:
        note_marks(
            job_id=job_id,
            request_id=row,
            note=form.cleaned_data["note"],
            by=request.user,
            now=clock.now(),
        )
    except WorkRefused as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, _("The marks are noted."))
    return redirect(back, pk=pk)


@needs(Permission.PLAN_WORK)
@require_POST
def job_marks(request: StaffRequest, pk: int, row: int) -> HttpResponse:
    """Note that the marks are on the ground."""
    return _noted(request, job_id=found_job(pk).pk, row=row, back="job", pk=pk)


@needs(Permission.WORK_ROUND)
@require_POST
def stop_marks(request: StaffRequest, pk: int, row: int) -> HttpResponse:
    """Note, standing in the garden, that the marks are there."""
    visit = visit_for(visit_id=pk, person=request.user, today=local_day())
    if visit is None or visit.job_id is None:
        raise Http404
    return _noted(request, job_id=visit.job_id, row=row, back="stop", pk=pk)
