"""A crew's day: stops, tasks, warnings, load, hours; and who may see them."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, Prefetch, Q, QuerySet

from firm.enums import Role
from firm.models import Crew, Person
from firm.queries import crews_of, crews_on, people_in
from jobs.enums import JobKind, JobState, LineKind, TaskState, VisitKind, VisitState
from jobs.models import (
    HourEntry,
    Job,
    JobPlant,
    Problem,
    QuoteLine,
    Visit,
    VisitTask,
)
from jobs.queries.loading import stop_of, weighed
from jobs.queries.locating import Locating, locating_of
from jobs.queries.quote_prices import COUNTED
from jobs.queries.work.crew_words import LOCATE_KEY, plant_key
from jobs.rounds import LoadItem, in_order, load_list
from jobs.takeoff.weights import Truckload
from plants import care
from plants.enums import PlantingState
from plants.models import ObservedBloom, Plant, Planting, StandingInstruction
from plants.queries.care import closed_for, facts_about
from plants.queries.seen import seen_lately

# How far from its day a crew may open a round: to enter yesterday's work and to load.
DAYS_BACK = 7
DAYS_AHEAD = 7
ON_THE_ROUND = (
    VisitState.PLANNED,
    VisitState.UNDER_WAY,
    VisitState.DONE,
    VisitState.RAINED_OFF,
)


@dataclass(frozen=True, kw_only=True)
class Round:
    """One crew's day: the stops in order and what to load for them."""

    crew: Crew
    day: dt.date
    people: Sequence[Person]
    stops: Sequence[Visit]
    load: Sequence[LoadItem]
    truckload: Truckload | None
    planned_h: Decimal
    capacity_h: Decimal
    hours: Sequence[HourEntry]


@dataclass(frozen=True, kw_only=True)
class Closed:
    """A closed season that is on at a stop: for which plantings, until when, why."""

    plantings: Sequence[Planting]
    last: dt.date | None
    why: str


@dataclass(frozen=True, kw_only=True)
class TaskGroup:
    """The tasks at one planting, or for one plant to set, or in the whole garden."""

    planting: Planting | None
    plant: Plant | None
    count: int
    tasks: Sequence[VisitTask]


@dataclass(frozen=True, kw_only=True)
class StopPage:
    """One stop with all that the crew reads before it works."""

    visit: Visit
    instructions: Sequence[StandingInstruction]
    closed: Sequence[Closed]
    groups: Sequence[TaskGroup]
    digging: VisitTask | None
    # How its job stands with underground lines; None: it does not dig.
    lines: Locating | None
    unidentified: Sequence[Planting]
    open_count: int
    shows_gate_code: bool
    is_to_come: bool
    # The identified plantings that nothing is done to on this visit.
    others: Sequence[Planting]
    seen: Mapping[int, Sequence[ObservedBloom]]

    @property
    def is_open(self) -> bool:
        """True while its tasks may be ticked."""
        going_on = (VisitState.PLANNED, VisitState.UNDER_WAY)
        return self.visit.state in going_on and not self.is_to_come


def crews_seen_by(*, person: Person, day: dt.date) -> list[Crew]:
    """The crews whose round PERSON may open on DAY: all for the owner, else the own."""
    if person.role == Role.OWNER:
        return crews_on(day=day)
    return crews_of(person=person, day=day)


def may_open(*, person: Person, day: dt.date, today: dt.date) -> bool:
    """True if PERSON may look at rounds of DAY: the owner always, a crew near today."""
    if person.role == Role.OWNER:
        return True
    return -DAYS_BACK <= (day - today).days <= DAYS_AHEAD


def _on_the_round() -> QuerySet[Visit]:
    return (
        Visit.objects.filter(state__in=ON_THE_ROUND)
        .select_related(
            "garden__client",
            "job__quote",
            "job__garden__tax_region",
            "contract",
            "crew",
        )
        .prefetch_related(
            Prefetch(
                "tasks",
                VisitTask.objects.select_related(
                    "planting__plant__group", "planting__bed", "settled_by"
                ).order_by("position", "id"),
            ),
            "garden__client__contacts",
            Prefetch(
                "job__plants",
                JobPlant.objects.select_related(
                    "plant__group", "bed", "quote_line"
                ).order_by("id"),
            ),
            Prefetch(
                "job__quote__lines",
                QuoteLine.objects.filter(
                    COUNTED, kind__in=[LineKind.SOIL, LineKind.MULCH]
                ).order_by("position"),
            ),
        )
        .annotate(
            open_tasks=Count(
                "tasks",
                filter=Q(tasks__state__in=[TaskState.OPEN, TaskState.PART_DONE]),
            )
        )
    )


def capacity_of(*, crew: Crew, people: Sequence[Person]) -> Decimal:
    """The hours that the people of a crew have in a day."""
    return crew.hours_per_day * len(people)


def round_of(*, crew: Crew, day: dt.date) -> Round:
    """The round of CREW on DAY."""
    visits = {visit.pk: visit for visit in _on_the_round().filter(crew=crew, day=day)}
    stops = in_order([stop_of(visit) for visit in visits.values()])
    people = people_in(crew=crew, day=day)
    working = [
        stop
        for stop in stops
        if visits[stop.key].state in (VisitState.PLANNED, VisitState.UNDER_WAY)
    ]
    load = load_list(working)
    return Round(
        crew=crew,
        day=day,
        people=people,
        stops=[visits[stop.key] for stop in stops],
        load=load,
        truckload=weighed(load, crew=crew),
        planned_h=sum((visit.planned_hours for visit in visits.values()), Decimal(0)),
        capacity_h=capacity_of(crew=crew, people=people),
        hours=list(
            HourEntry.objects.filter(crew=crew, day=day)
            .select_related("person", "visit__garden")
            .order_by("person__name", "id")
        ),
    )


def visit_for(*, visit_id: int, person: Person, today: dt.date) -> Visit | None:
    """The visit if PERSON may open it: the owner, or who is in its crew on its day."""
    visit = _on_the_round().filter(pk=visit_id).first()
    if visit is None or person.role == Role.OWNER:
        return visit
    if visit.day is None or visit.crew is None:
        return None
    if not may_open(person=person, day=visit.day, today=today):
        return None
    crews = crews_of(person=person, day=visit.day)
    return visit if visit.crew in crews else None


def task_for(*, task_id: int, person: Person, today: dt.date) -> VisitTask | None:
    """The task if PERSON may open its visit."""
    task = (
        VisitTask.objects.filter(pk=task_id)
        .select_related("visit", "planting__plant__group")
        .first()
    )
    if task is None:
        return None
    seen = visit_for(visit_id=task.visit_id, person=person, today=today)
    return task if seen else None


def planting_at(*, visit: Visit, planting_id: int) -> Planting | None:
    """The planting if it stands in the garden of VISIT."""
    return Planting.objects.filter(pk=planting_id, garden=visit.garden_id).first()


def _closed_today(
    plantings: Sequence[Planting],
    *,
    instructions: Sequence[StandingInstruction],
    day: dt.date,
) -> list[Closed]:
    """What shaping or cutting would harm on DAY; plantings of one reason together.

    What a standing instruction says in so many words is not said again.
    """
    said = {(row.planting_id, row.text) for row in instructions}
    found: dict[tuple[dt.date | None, str], list[Planting]] = {}
    for facts in facts_about(plantings, day=day):
        if facts.planting.plant is None:
            continue
        periods = (
            closed_for(facts, task=task, purpose="shape", day=day) for task in care.CUTS
        )
        period = next((period for period in periods if period), None)
        if period and (facts.planting.pk, period.why) not in said:
            found.setdefault((period.last, period.why), []).append(facts.planting)
    return [
        Closed(plantings=plantings, last=last, why=why)
        for (last, why), plantings in found.items()
    ]


def groups_of(visit: Visit) -> list[TaskGroup]:
    """The tasks of VISIT by planting, in the order of each planting's first task."""
    to_set: dict[str, JobPlant] = {}
    if visit.kind == VisitKind.PLANTING and visit.job:
        to_set = {plant_key(row.pk): row for row in visit.job.plants.all()}
    found: dict[tuple[int | None, str], list[VisitTask]] = {}
    for task in visit.tasks.all():
        own = task.rule_key if task.rule_key in to_set else ""
        found.setdefault((task.planting_id, own), []).append(task)
    groups = []
    for (_planting, own), tasks in found.items():
        # What is recorded by now says more than what was to be set.
        counted = tasks[0].planting or to_set.get(own)
        groups.append(
            TaskGroup(
                planting=tasks[0].planting,
                plant=counted.plant if counted else None,
                count=counted.count if counted else 0,
                tasks=tasks,
            )
        )
    return groups


def stop_page(*, visit: Visit, person: Person, today: dt.date) -> StopPage:
    """All that the crew reads at one stop, warnings first."""
    day = visit.day or today
    tasks = list(visit.tasks.all())
    plantings = list(
        Planting.objects.filter(
            garden=visit.garden,
            state__in=[PlantingState.GROWING, PlantingState.STRUGGLING],
        )
        .select_related("garden__station", "bed", "plant__group")
        .order_by("number", "id")
    )
    instructions = list(
        StandingInstruction.objects.filter(garden=visit.garden, given_on__lte=day)
        .exclude(ended_on__lt=day)
        .select_related("planting__plant")
        .order_by("planting__number", "id")
    )
    with_tasks = {task.planting_id for task in tasks}
    own_crew = visit.crew is not None and visit.crew in crews_of(person=person, day=day)
    return StopPage(
        visit=visit,
        instructions=instructions,
        closed=_closed_today(plantings, instructions=instructions, day=day),
        groups=groups_of(visit),
        digging=next((task for task in tasks if task.rule_key == LOCATE_KEY), None),
        lines=locating_of(job=visit.job, day=today) if visit.job else None,
        unidentified=[row for row in plantings if row.plant is None],
        open_count=sum(
            task.state in (TaskState.OPEN, TaskState.PART_DONE) for task in tasks
        ),
        shows_gate_code=own_crew and visit.day == today,
        is_to_come=visit.day is not None and visit.day > today,
        others=[row for row in plantings if row.plant_id and row.pk not in with_tasks],
        seen=seen_lately(garden=visit.garden, day=today),
    )


def plantings_to_record() -> QuerySet[Job]:
    """Planting jobs whose crew is done and whose plantings nobody recorded yet."""
    return (
        Job.objects.filter(
            kind=JobKind.PLANTING,
            state__in=[JobState.BOOKED, JobState.UNDER_WAY],
            visits__state=VisitState.DONE,
        )
        .exclude(visits__state__in=[VisitState.PLANNED, VisitState.UNDER_WAY])
        .select_related("garden", "crew")
        .distinct()
        .order_by("day", "id")
    )


def hours_for(*, entry_id: int, person: Person, today: dt.date) -> HourEntry | None:
    """Logged hours if PERSON may open the round they are on."""
    entry = (
        HourEntry.objects.filter(pk=entry_id)
        .select_related("person", "crew", "visit__job")
        .first()
    )
    if entry is None or person.role == Role.OWNER:
        return entry
    if not may_open(person=person, day=entry.day, today=today):
        return None
    return entry if entry.crew in crews_of(person=person, day=entry.day) else None


def problems_open() -> QuerySet[Problem]:
    """Problems that nobody settled, the oldest first."""
    return (
        Problem.objects.filter(settled_at__isnull=True)
        .select_related("garden", "visit", "planting__plant", "raised_by")
        .order_by("raised_at", "id")
    )


def problem_by_id(*, problem_id: int) -> Problem | None:
    """One problem."""
    return Problem.objects.filter(pk=problem_id).select_related("garden").first()


def hours_of_day(*, person_ids: Sequence[int], day: dt.date) -> dict[int, Decimal]:
    """The hours each person logged on DAY."""
    found: dict[int, Decimal] = {}
    for person_id, hours in HourEntry.objects.filter(
        person__in=person_ids, day=day
    ).values_list("person_id", "hours"):
        found[person_id] = found.get(person_id, Decimal(0)) + hours
    return found


def visit_by_id(*, visit_id: int) -> Visit | None:
    """One visit with its garden, contacts and tasks, whoever asks."""
    return _on_the_round().filter(pk=visit_id).first()
