"""Giving a job a day and a crew, moving it, and calling it off."""

import datetime as dt

from django.db import transaction
from django.db.models import F

from firm.actions.record import SomebodyElseChangedIt, record
from firm.models import Crew, Person
from jobs.actions.work.locating import refuse_to_dig
from jobs.actions.work.refusals import (
    AlreadyFinished,
    DayIsPast,
    JobMovedOn,
    NeedsReason,
    NoSuchJob,
    StartsLater,
)
from jobs.actions.work.visits import put_visit
from jobs.enums import JobState, TaskState, VisitState
from jobs.models import Job, Visit, VisitTask
from jobs.queries.work.cautions import cautions_on, firm_day
from jobs.queries.work.crew_words import LOCATE_KEY
from jobs.queries.work.pages import job as find_job

BOOKABLE = (JobState.TO_BOOK, JobState.BOOKED)
OPEN = (*BOOKABLE, JobState.UNDER_WAY)


@transaction.atomic
def book_job(
    *,
    job_id: int,
    version: int,
    day: dt.date,
    crew_id: int,
    reason: str,
    by: Person,
    now: dt.datetime,
) -> Job:
    """The job on DAY with a crew, and its visit put there; of two the second is told.

    A day outside a plant's planting window, or in a closed season of a task, needs
    REASON; it is kept with the words that were shown.
    """
    if day < firm_day(now):
        raise DayIsPast(day)
    job = find_job(pk=job_id)
    crew = Crew.objects.filter(pk=crew_id).exclude(retired_on__lte=day).first()
    if job is None or crew is None:
        raise NoSuchJob
    harmful = [each for each in cautions_on(job=job, day=day) if each.needs_reason]
    reason = reason.strip()[:300]
    if harmful and not reason:
        raise NeedsReason(harmful)
    kept = reason if harmful else ""
    before = (job.day, job.crew_id)
    changed = Job.objects.filter(pk=job_id, version=version, state__in=BOOKABLE).update(
        state=JobState.BOOKED,
        day=day,
        crew=crew,
        out_of_window_reason=kept,
        out_of_window_words="\n".join(each.words for each in harmful),
        version=F("version") + 1,
    )
    if changed != 1:
        raise refusal(job_id=job_id, states=BOOKABLE)
    job.refresh_from_db()
    put_visit(job=job, day=day, crew=crew, reason=kept)
    record(
        action="job booked" if before[0] is None else "job moved",
        subject=job,
        summary=f"{job} on {day:%Y-%m-%d} with {crew.name}",
        details={"reason": kept, "words": job.out_of_window_words} if kept else None,
        now=now,
        by=by,
    )
    return job


def refusal(*, job_id: int, states: tuple[JobState, ...]) -> Exception:
    """Why a change of a job in one of STATES found no row."""
    found = Job.objects.filter(pk=job_id).first()
    if found is None:
        return NoSuchJob()
    if found.state == JobState.FINISHED:
        return AlreadyFinished()
    if found.state not in states:
        return JobMovedOn(found.get_state_display())
    return SomebodyElseChangedIt()


@transaction.atomic
def start_job(
    *,
    job_id: int,
    version: int,
    by: Person,
    now: dt.datetime,
) -> Job:
    """The booked job under way; a planting only once underground lines are marked.

    LinesNotMarked says what is still in the way of digging.
    """
    job = find_job(pk=job_id)
    if job is None:
        raise NoSuchJob
    today = firm_day(now)
    if job.state == JobState.BOOKED and job.day is not None and job.day > today:
        raise StartsLater(job.day)
    if job.state == JobState.BOOKED:
        refuse_to_dig(job=job, day=today)
    changed = Job.objects.filter(
        pk=job_id, version=version, state=JobState.BOOKED
    ).update(state=JobState.UNDER_WAY, started_at=now, version=F("version") + 1)
    if changed != 1:
        raise refusal(job_id=job_id, states=(JobState.BOOKED,))
    Visit.objects.filter(job=job_id, state=VisitState.PLANNED).update(
        state=VisitState.UNDER_WAY, started_at=now, version=F("version") + 1
    )
    VisitTask.objects.filter(
        visit__job=job_id, rule_key=LOCATE_KEY, settled_at__isnull=True
    ).update(state=TaskState.DONE, settled_at=now, settled_by=by)
    job.refresh_from_db()
    record(
        action="job started",
        subject=job,
        summary=f"{job} started",
        now=now,
        by=by,
    )
    return job


@transaction.atomic
def note_visit_started(*, visit: Visit, by: Person, now: dt.datetime) -> None:
    """Put the booked job of a visit that a crew has begun under way; else nothing."""
    if visit.job_id is None:
        return
    changed = Job.objects.filter(pk=visit.job_id, state=JobState.BOOKED).update(
        state=JobState.UNDER_WAY, started_at=now, version=F("version") + 1
    )
    if changed:
        job = Job.objects.get(pk=visit.job_id)
        record(
            action="job started",
            subject=job,
            summary=f"{job} started by its crew",
            now=now,
            by=by,
        )


@transaction.atomic
def call_off_job(
    *, job_id: int, version: int, reason: str, by: Person, now: dt.datetime
) -> Job:
    """The job called off with its reason, and its open visits with it."""
    changed = Job.objects.filter(pk=job_id, version=version, state__in=OPEN).update(
        state=JobState.CALLED_OFF,
        called_off_reason=reason.strip()[:300],
        version=F("version") + 1,
    )
    if changed != 1:
        raise refusal(job_id=job_id, states=OPEN)
    Visit.objects.filter(
        job=job_id, state__in=(VisitState.PLANNED, VisitState.UNDER_WAY)
    ).update(state=VisitState.CALLED_OFF, version=F("version") + 1)
    job = Job.objects.get(pk=job_id)
    record(
        action="job called off",
        subject=job,
        summary=f"{job} called off: {job.called_off_reason}",
        now=now,
        by=by,
    )
    return job
