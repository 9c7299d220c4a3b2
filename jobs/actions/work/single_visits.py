"""Single visits: a job of its own that needs no planting and no contract."""

import datetime as dt
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db import IntegrityError, transaction
from django.db.models import F

from firm.actions.record import next_number, record
from firm.models import Crew, Person
from jobs.actions.work.booking import OPEN, refusal
from jobs.actions.work.refusals import (
    CrewIsNeeded,
    DayIsPast,
    DayToCome,
    NeedsReason,
    NoSuchJob,
)
from jobs.actions.work.visits import put_visit, write_chosen_tasks
from jobs.enums import JobKind, JobState, VisitState
from jobs.models import Job, Visit
from jobs.queries.work.cautions import closed_tasks_on, firm_day
from jobs.queries.work.tasks import chosen_tasks
from plants.models import Garden


@dataclass(frozen=True, kw_only=True)
class SingleVisitDetails:
    """What is typed for a single visit: PRICE fixed, or HOUR_PRICE by the hour.

    TASKS name choices of jobs.queries.work.task_choices; FREE are typed tasks.
    """

    title: str
    price: Decimal | None
    hour_price: Decimal | None
    is_taxed: bool
    planned_hours: Decimal
    planned_cost: Decimal
    day: dt.date | None = None
    crew_id: int | None = None
    tasks: Sequence[str] = ()
    free: Sequence[str] = ()
    notes: str = ""
    reason: str = ""


@transaction.atomic
def open_single_visit(
    *,
    garden: Garden,
    details: SingleVisitDetails,
    key: uuid.UUID,
    by: Person,
    now: dt.datetime,
) -> Job:
    """The job of a single visit with its visit and tasks, booked when it has a day.

    The same KEY finds the job that was opened first. Tasks in their closed season on
    the day need a reason.
    """
    today = firm_day(now)
    crew = None
    if details.day is not None:
        if details.day < today:
            raise DayIsPast(details.day)
        if details.crew_id is None:
            raise CrewIsNeeded
        crew = (
            Crew.objects.filter(pk=details.crew_id)
            .exclude(retired_on__lte=details.day)
            .first()
        )
        if crew is None:
            raise NoSuchJob
    choices = chosen_tasks(
        garden=garden, day=details.day or today, values=details.tasks
    )
    harmful = []
    if details.day is not None:
        harmful = closed_tasks_on(
            tasks=[
                (choice.planting, choice.rule.task, choice.rule.purpose)
                for choice in choices
            ],
            day=details.day,
        )
    reason = details.reason.strip()[:300]
    if harmful and not reason:
        raise NeedsReason(harmful)
    kept = reason if harmful else ""
    existing = Job.objects.filter(key=key).first()
    if existing is not None:
        return existing
    try:
        with transaction.atomic():
            job = Job.objects.create(
                key=key,
                kind=JobKind.SINGLE,
                number=next_number(kind="job", prefix="J", year=today.year),
                garden=garden,
                title=details.title,
                state=JobState.BOOKED if crew else JobState.TO_BOOK,
                day=details.day,
                crew=crew,
                planned_hours=details.planned_hours,
                planned_cost=details.planned_cost,
                price=details.price,
                hour_price=details.hour_price,
                is_taxed=details.is_taxed,
                out_of_window_reason=kept,
                out_of_window_words="\n".join(each.words for each in harmful),
            )
    except IntegrityError:
        # The same form came in twice at once; the other one was quicker.
        return Job.objects.get(key=key)
    visit = put_visit(job=job, day=details.day, crew=crew, reason=kept)
    if details.notes:
        Visit.objects.filter(pk=visit.pk).update(notes=details.notes)
    write_chosen_tasks(visit=visit, choices=choices, free=list(details.free))
    record(
        action="single visit opened",
        subject=job,
        summary=f"{job} for {garden.name}",
        details={"reason": kept} if kept else None,
        now=now,
        by=by,
    )
    return job


@transaction.atomic
def finish_single_visit(
    *, visit: Visit, by: Person, now: dt.datetime, day: dt.date | None = None
) -> Job:
    """The job of a single visit finished, and the visit done on DAY or on its own day.

    Works on a visit that its crew has already closed; a second finishing is refused.
    """
    worked_on = day or visit.day or firm_day(now)
    if worked_on > firm_day(now):
        raise DayToCome
    if visit.job_id is None:
        raise NoSuchJob
    changed = Job.objects.filter(
        pk=visit.job_id, kind=JobKind.SINGLE, state__in=OPEN
    ).update(
        state=JobState.FINISHED,
        finished_at=now,
        day=worked_on,
        version=F("version") + 1,
    )
    if changed != 1:
        raise refusal(job_id=visit.job_id, states=OPEN)
    Visit.objects.filter(
        pk=visit.pk, state__in=(VisitState.PLANNED, VisitState.UNDER_WAY)
    ).update(
        state=VisitState.DONE, day=worked_on, ended_at=now, version=F("version") + 1
    )
    visit.refresh_from_db()
    job = Job.objects.get(pk=visit.job_id)
    record(
        action="job finished",
        subject=job,
        summary=f"{job} finished, done on {worked_on:%Y-%m-%d}",
        now=now,
        by=by,
    )
    return job
