"""Finishing a planting job: the plants are in the ground and have their numbers."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from firm.actions.record import record
from firm.models import Crew, Person
from jobs.actions.guides import IssuedGuide, issue_guide, main_contact
from jobs.actions.work.booking import OPEN, refusal
from jobs.actions.work.refusals import (
    CrewIsNeeded,
    DayToCome,
    NoSuchJob,
    WorkRefused,
)
from jobs.actions.work.visits import put_visit
from jobs.enums import JobKind, JobState, TaskState, VisitState
from jobs.models import Job, JobPlant, Visit, VisitTask
from jobs.queries.work.cautions import firm_day
from jobs.queries.work.crew_words import LOCATE_KEY, plant_key
from jobs.queries.work.pages import job as find_job
from plants.actions.plantings import next_number_on_sketch
from plants.enums import AgeKnown, Origin
from plants.models import Bed, Planting


@dataclass(frozen=True, kw_only=True)
class Planted:
    """How many of a job's plant really went in, where, and the number on the sketch."""

    job_plant_id: int
    count: int
    bed_id: int | None = None
    number: int | None = None
    place: str = ""


@dataclass(frozen=True, kw_only=True)
class FinishedPlanting:
    """A finished planting job: what grows now, and the care guide to it."""

    job: Job
    plantings: Sequence[Planting]
    guide: IssuedGuide


class PlantingRowRefused(WorkRefused):
    """One row that cannot be so; JOB_PLANT_ID says which, FIELD where it was typed."""

    def __init__(self, message: str, *, job_plant_id: int, field: str) -> None:
        self.job_plant_id = job_plant_id
        self.field = field
        super().__init__(message)


class NothingPlanted(WorkRefused):
    """A planting job was to be finished without a plant in the ground."""

    def __init__(self) -> None:
        super().__init__(
            _("Nothing was planted. If nothing will be, call the job off instead.")
        )


@transaction.atomic
def finish_planting_job(
    *,
    job_id: int,
    version: int,
    day: dt.date,
    planted: Sequence[Planted],
    by: Person,
    now: dt.datetime,
    crew_id: int | None = None,
) -> FinishedPlanting:
    """The job finished once: plantings recorded, visit done, care guide on its way.

    Fewer than planned stay visible beside the plan; of a plant with none there is no
    planting. CREW_ID is needed where the job was never booked.
    """
    if day > firm_day(now):
        raise DayToCome
    job = find_job(pk=job_id)
    if job is None or job.kind != JobKind.PLANTING:
        raise NoSuchJob
    changed = Job.objects.filter(pk=job_id, version=version, state__in=OPEN).update(
        state=JobState.FINISHED,
        finished_at=now,
        day=day,
        version=F("version") + 1,
    )
    if changed != 1:
        raise refusal(job_id=job_id, states=OPEN)
    crew = job.crew
    if crew is None:
        if crew_id is None:
            raise CrewIsNeeded
        crew = Crew.objects.filter(pk=crew_id).first()
        if crew is None:
            raise NoSuchJob
        Job.objects.filter(pk=job_id).update(crew=crew)
    job.refresh_from_db()
    rows = {
        row.pk: row for row in job.plants.select_related("plant", "bed", "quote_line")
    }
    by_row = {each.job_plant_id: each for each in planted}
    if set(by_row) != set(rows):
        raise NoSuchJob
    if not any(each.count for each in planted):
        raise NothingPlanted
    plantings = _record(job=job, rows=rows, planted=planted, day=day)
    _settle_visit(job=job, crew=crew, day=day, plantings=plantings, by=by, now=now)
    guide = issue_guide(
        garden=job.garden,
        planting_ids=[planting.pk for planting in plantings.values()],
        start=day,
        contact=main_contact(job.garden.client),
        job=job,
        now=now,
        by=by,
    )
    record(
        action="job finished",
        subject=job,
        summary=f"{job} planted on {day:%Y-%m-%d}",
        details={
            "planted": [
                {
                    "plant": row.plant.common,
                    "planned": row.count,
                    "planted": by_row[pk].count,
                }
                for pk, row in rows.items()
            ]
        },
        now=now,
        by=by,
    )
    return FinishedPlanting(job=job, plantings=list(plantings.values()), guide=guide)


def _record(
    *, job: Job, rows: dict[int, JobPlant], planted: Sequence[Planted], day: dt.date
) -> dict[int, Planting]:
    """The new plantings by the id of the job's plant they came of."""
    # Locks the garden, so that two never give the same number.
    following = next_number_on_sketch(garden=job.garden)
    taken = set(job.garden.plantings.values_list("number", flat=True))
    beds = {bed.pk: bed for bed in Bed.objects.filter(garden=job.garden)}
    typed = {each.number for each in planted if each.count and each.number}
    found: dict[int, Planting] = {}
    for each in planted:
        if each.count == 0:
            continue
        if each.count < 0:
            raise PlantingRowRefused(
                _("At least none."), job_plant_id=each.job_plant_id, field="count"
            )
        if each.bed_id is not None and each.bed_id not in beds:
            raise PlantingRowRefused(
                _("This bed is in another garden."),
                job_plant_id=each.job_plant_id,
                field="bed",
            )
        number = each.number
        if number is None:
            while following in taken or following in typed:
                following += 1
            number = following
        elif number in taken:
            raise PlantingRowRefused(
                _("Number %(number)s is already on this garden's sketch.")
                % {"number": number},
                job_plant_id=each.job_plant_id,
                field="number",
            )
        taken.add(number)
        row = rows[each.job_plant_id]
        planting = Planting.objects.create(
            garden=job.garden,
            bed=beds[each.bed_id] if each.bed_id is not None else None,
            plant=row.plant,
            number=number,
            count=each.count,
            place=each.place[:200],
            size_text=row.size_now,
            origin=Origin.PLANTED,
            planted_on=day,
            age_known=AgeKnown.KNOWN,
            age_years=0,
            age_on=day,
        )
        if JobPlant.objects.filter(pk=row.pk, planting__isnull=True).update(
            planting=planting
        ):
            found[row.pk] = planting
    return found


def _settle_visit(
    *,
    job: Job,
    crew: Crew,
    day: dt.date,
    plantings: dict[int, Planting],
    by: Person,
    now: dt.datetime,
) -> None:
    """The visit done on DAY and its tasks settled, each with its planting."""
    open_states = (VisitState.PLANNED, VisitState.UNDER_WAY)
    visit = job.visits.filter(state__in=open_states).order_by("-id").first()
    if visit is None:
        visit = job.visits.filter(state=VisitState.DONE).order_by("-id").first()
    if visit is None:
        visit = put_visit(job=job, day=day, crew=crew, reason="")
    Visit.objects.filter(pk=visit.pk, state__in=open_states).update(
        state=VisitState.DONE, day=day, ended_at=now, version=F("version") + 1
    )
    tasks = VisitTask.objects.filter(visit=visit)
    for row_id, planting in plantings.items():
        tasks.filter(rule_key=plant_key(row_id)).update(planting=planting)
    kept = [plant_key(row_id) for row_id in plantings]
    waiting = tasks.filter(settled_at__isnull=True)
    # Nobody is said to have looked for lines who did not say so.
    waiting.filter(rule_key=LOCATE_KEY).update(
        state=TaskState.LEFT_OUT,
        left_out_reason=_("Nobody ticked it before the job was finished."),
        settled_at=now,
        settled_by=by,
    )
    waiting.filter(rule_key__in=kept).update(
        state=TaskState.DONE, settled_at=now, settled_by=by
    )
    waiting.filter(rule_key__startswith=plant_key(0)[:-1]).exclude(
        rule_key__in=kept
    ).update(
        state=TaskState.LEFT_OUT,
        left_out_reason=_("None was planted."),
        settled_at=now,
        settled_by=by,
    )
