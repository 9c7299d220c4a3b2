"""Requests to mark underground lines, and the gate before the first spade."""

import datetime as dt
import uuid

from django.db import transaction
from django.utils.translation import gettext as _

from firm.actions.record import record
from firm.models import Person
from jobs.actions.work.refusals import (
    JobMovedOn,
    LinesNotMarked,
    NoSuchJob,
    WorkRefused,
)
from jobs.enums import JobKind, JobState
from jobs.models import Job, LocateRequest
from jobs.queries.locating import digs_from, locating_of
from jobs.queries.work import job as find_job
from jobs.queries.work.cautions import day_said

OPEN = (JobState.TO_BOOK, JobState.BOOKED, JobState.UNDER_WAY)


class DigsTooEarly(WorkRefused):
    """A day of digging before the full business days of the place are over."""

    field = "digs_from"

    def __init__(self, day: dt.date) -> None:
        super().__init__(
            _(
                "By the days of the place digging may begin on %(day)s at the earliest."
                " Where local law asks for fewer, change the days of the place."
            )
            % {"day": day_said(day)}
        )


class MarksEndTooEarly(WorkRefused):
    """Marks that would hold until a day before digging may begin."""

    field = "good_until"

    def __init__(self, day: dt.date) -> None:
        super().__init__(
            _("Digging may begin on %(day)s; the marks would be over by then.")
            % {"day": day_said(day)}
        )


class MarksNotedAlready(WorkRefused):
    """Somebody else has noted the marks, or the request is not there."""

    def __init__(self) -> None:
        super().__init__(_("The marks of this request are noted already."))


def refuse_to_dig(*, job: Job, day: dt.date) -> None:
    """Raise LinesNotMarked unless JOB may be dug for on DAY, or does not dig."""
    locating = locating_of(job=job, day=day)
    if locating is not None and locating.why_not:
        raise LinesNotMarked(locating.why_not)


def _open_planting(job_id: int) -> Job:
    job = find_job(pk=job_id)
    if job is None or job.kind != JobKind.PLANTING:
        raise NoSuchJob
    if job.state not in OPEN:
        raise JobMovedOn(job.get_state_display())
    return job


@transaction.atomic
def write_locate_request(
    *,
    job_id: int,
    number: str,
    asked_on: dt.date,
    first_day: dt.date | None,
    good_until: dt.date | None,
    key: uuid.UUID,
    by: Person,
    now: dt.datetime,
) -> LocateRequest:
    """The request that was made; its first day of digging counted unless it was told.

    DigsTooEarly where FIRST_DAY is before the counted one; sent twice, it is one.
    """
    job = _open_planting(job_id)
    kept = LocateRequest.objects.filter(key=key, job=job).first()
    if kept is not None:
        return kept
    counted = digs_from(job=job, asked_on=asked_on)
    if first_day is not None and first_day < counted:
        raise DigsTooEarly(counted)
    begins = first_day or counted
    if good_until is not None and good_until < begins:
        raise MarksEndTooEarly(begins)
    request = LocateRequest.objects.create(
        job=job,
        number=number,
        asked_on=asked_on,
        digs_from=begins,
        good_until=good_until,
        written_by=by,
        written_at=now,
        key=key,
    )
    record(
        action="locate request written",
        subject=job,
        summary=f"{job}: request {number}, digging from {begins:%Y-%m-%d}",
        now=now,
        by=by,
    )
    return request


@transaction.atomic
def no_request_needed(
    *, job_id: int, reason: str, key: uuid.UUID, by: Person, now: dt.datetime
) -> LocateRequest:
    """The reason why nobody is asked for this job; sent twice, it is one."""
    job = _open_planting(job_id)
    kept = LocateRequest.objects.filter(key=key, job=job).first()
    if kept is not None:
        return kept
    request = LocateRequest.objects.create(
        job=job, not_needed_reason=reason, written_by=by, written_at=now, key=key
    )
    record(
        action="locate request not needed",
        subject=job,
        summary=f"{job}: no request needed: {reason}",
        now=now,
        by=by,
    )
    return request


@transaction.atomic
def note_marks(
    *, job_id: int, request_id: int, note: str, by: Person, now: dt.datetime
) -> LocateRequest:
    """The request whose marks somebody has seen on the ground, with what they saw."""
    noted = LocateRequest.objects.filter(
        pk=request_id, job=job_id, marks_noted_at__isnull=True, not_needed_reason=""
    ).update(marks_noted_at=now, marks_noted_by=by, marks_note=note)
    if noted != 1:
        raise MarksNotedAlready
    request = LocateRequest.objects.select_related("job").get(pk=request_id)
    record(
        action="locate marks noted",
        subject=request.job,
        summary=f"{request.job}: marks of {request.number} seen: {note}",
        now=now,
        by=by,
    )
    return request
