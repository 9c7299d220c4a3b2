"""The list of jobs and the page of one."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, Exists, Max, OuterRef, Q, QuerySet

from jobs.costing import HourCost
from jobs.enums import DocumentKind, JobKind, JobState
from jobs.models import (
    Bill,
    Document,
    HourEntry,
    Job,
    JobPlant,
    LocateRequest,
    Quote,
    Substitution,
    Visit,
    VisitTask,
)
from jobs.queries.parts import JobParts, job_parts
from plants.models import Garden
from plants.queries.care import (
    PlantingTime,
    climate_of,
    engine_groups,
    planting_time,
    size_sold,
)

FINISHED_LATELY = dt.timedelta(days=60)
SHOWN = 100


@dataclass(frozen=True, kw_only=True)
class JobsPage:
    """All open jobs by where they stand, and those finished lately."""

    to_book: Sequence[Job]
    booked: Sequence[Job]
    under_way: Sequence[Job]
    finished: Sequence[Job]


def _jobs() -> QuerySet[Job]:
    return Job.objects.select_related("garden__client", "crew").annotate(
        plant_count=Count("plants"),
        lines_asked=Exists(LocateRequest.objects.filter(job=OuterRef("pk"))),
    )


def jobs_page(*, day: dt.date) -> JobsPage:
    """The jobs as they stand on DAY, in four queries."""
    lately = day - FINISHED_LATELY
    return JobsPage(
        to_book=list(
            _jobs().filter(state=JobState.TO_BOOK).order_by("created_at", "id")[:SHOWN]
        ),
        booked=list(
            _jobs().filter(state=JobState.BOOKED).order_by("day", "id")[:SHOWN]
        ),
        under_way=list(
            _jobs().filter(state=JobState.UNDER_WAY).order_by("day", "id")[:SHOWN]
        ),
        finished=list(
            _jobs()
            .filter(state=JobState.FINISHED, finished_at__date__gte=lately)
            .order_by("-finished_at", "-id")[:SHOWN]
        ),
    )


def job(*, pk: int) -> Job | None:
    """One job with garden, client, climate and crew."""
    return (
        Job.objects.select_related(
            "garden__client",
            "garden__station",
            "garden__tax_region",
            "crew",
            "quote__garden__tax_region",
        )
        .filter(pk=pk)
        .first()
    )


def job_plant(*, job_id: int, row_id: int) -> JobPlant | None:
    """One plant of a job with its agreed line, for changing it before it is planted."""
    return (
        JobPlant.objects.select_related(
            "plant", "bed", "job__garden__client", "quote_line__quote"
        )
        .filter(pk=row_id, job=job_id, quote_line__isnull=False, planting__isnull=True)
        .first()
    )


def crew_notes(*, job: Job) -> QuerySet[VisitTask]:
    """Tasks of the job at which its crew wrote a note or why they are left out."""
    return (
        VisitTask.objects.filter(visit__job=job)
        .filter(~Q(note="") | ~Q(left_out_reason=""))
        .order_by("visit_id", "position", "id")
    )


@dataclass(frozen=True, kw_only=True)
class PlantRow:
    """A plant of a job: planned, really planted, and when it may go in."""

    row: JobPlant
    time: PlantingTime | None

    @property
    def planted(self) -> int:
        """How many were planted; 0 before the job is finished."""
        return self.row.planting.count if self.row.planting else 0

    @property
    def fewer(self) -> int:
        """How many of the planned were not planted."""
        return max(self.row.count - self.planted, 0)

    @property
    def more(self) -> int:
        """How many were planted beyond the plan."""
        return max(self.planted - self.row.count, 0)


@dataclass(frozen=True, kw_only=True)
class JobPage:
    """A job with its plants, visits, hours, guides and bills."""

    job: Job
    plants: Sequence[PlantRow]
    visits: Sequence[Visit]
    hours: Decimal
    hours_cost: Decimal
    guides: Sequence[Document]
    bills: Sequence[Bill]
    additions: Sequence[Quote]
    substitutions: Sequence[Substitution]
    parts: JobParts

    @property
    def may_grow(self) -> bool:
        """Whether something may still be agreed on top of it."""
        return self.job.kind == JobKind.PLANTING and self.job.state in (
            JobState.TO_BOOK,
            JobState.BOOKED,
            JobState.UNDER_WAY,
        )

    @property
    def open_visit(self) -> Visit | None:
        """The visit that is still to be done or under way."""
        waiting = (one for one in self.visits if one.state in ("planned", "under way"))
        return next(waiting, None)


def job_page(*, pk: int, day: dt.date) -> JobPage | None:
    """The page of a job on DAY; None when there is none."""
    found = job(pk=pk)
    if found is None:
        return None
    entries = [
        HourCost(hours=hours, rate=rate)
        for hours, rate in HourEntry.objects.filter(visit__job=found).values_list(
            "hours", "hour_cost"
        )
    ]
    return JobPage(
        job=found,
        plants=booking_plants(job=found, day=found.day or day),
        visits=list(
            found.visits.select_related("crew")
            .prefetch_related("tasks__planting__plant")
            .order_by("-day", "-id")
        ),
        hours=sum((entry.hours for entry in entries), Decimal(0)),
        hours_cost=sum((entry.cost for entry in entries), Decimal(0)),
        guides=list(
            found.documents.filter(kind=DocumentKind.CARE_GUIDE).order_by("-id")
        ),
        bills=list(found.bills.order_by("day", "id")),
        additions=list(found.additions.order_by("id")),
        substitutions=list(
            found.substitutions.select_related("plant", "from_plant").order_by("id")
        ),
        parts=job_parts(job=found, day=day),
    )


def booking_plants(*, job: Job, day: dt.date) -> list[PlantRow]:
    """The plants of a job in their order, each with its planting time around DAY."""
    if job.kind != JobKind.PLANTING:
        return []
    rows = list(
        job.plants.select_related(
            "plant__group", "bed", "planting", "quote_line"
        ).order_by("id")
    )
    groups = engine_groups(row.plant for row in rows)
    climate = climate_of(job.garden)
    return [
        PlantRow(
            row=row,
            time=planting_time(
                row.plant,
                groups[row.plant_id],
                climate=climate,
                day=day,
                irrigated=bool(row.bed and row.bed.is_irrigated),
                size=size_sold(row.size_now),
            ),
        )
        for row in rows
    ]


def next_numbers(*, garden: Garden, count: int) -> list[int]:
    """So many free numbers of the garden's sketch, behind all that were ever given."""
    last = garden.plantings.aggregate(last=Max("number"))["last"] or 0
    return list(range(last + 1, last + 1 + count))
