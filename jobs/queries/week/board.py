"""Crews by days with their hours against capacity, and what is still to place."""

import datetime as dt
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import F, Q, Sum
from django.utils.translation import gettext as _

from firm.models import Crew, CrewMember, DayOff
from jobs.drawings import Load
from jobs.enums import JobState, VisitState
from jobs.models import Job, Visit
from jobs.queries.week.slipping import (
    ALIVE,
    SLIPPING_DAYS,
    day_said,
    window_words,
)
from jobs.rounds import Hours

WEEK_DAYS = 7
WEEKS_DRAWN = 6
WORKING_WEEK = 5
# Visits whose window opens so soon after the week are shown to be placed.
AHEAD_DAYS = 14
MOST_TO_PLACE = 120
ON_THE_BOARD = (
    VisitState.PLANNED,
    VisitState.UNDER_WAY,
    VisitState.DONE,
    VisitState.RAINED_OFF,
)
# Hours by crew and day; a visit without either is in none of them.
Planned = dict[tuple[int | None, dt.date | None], Decimal]
# Whose hours a day really holds.
HELD = (VisitState.PLANNED, VisitState.UNDER_WAY, VisitState.DONE)


@dataclass(frozen=True, kw_only=True)
class Cell:
    """One crew's day: its stops in order, and its hours in words."""

    day: dt.date
    stops: Sequence[Visit]
    hours: Hours
    people: int
    off: str

    @property
    def is_over(self) -> bool:
        """Whether it holds more than the crew has."""
        return bool(self.hours.over_h)

    @property
    def words(self) -> str:
        """The hours against capacity, or that nobody is there."""
        is_weekend = self.day.weekday() >= WORKING_WEEK
        if (self.off or is_weekend) and not self.hours.planned_h:
            return ""
        if not self.people and not self.hours.planned_h:
            return _("nobody in the crew")
        return self.hours.words


@dataclass(frozen=True, kw_only=True)
class CrewRow:
    """A crew's week."""

    crew: Crew
    cells: Sequence[Cell]


@dataclass(frozen=True, kw_only=True)
class ToPlace:
    """A visit that has no day yet, with how its window stands."""

    visit: Visit
    words: str
    is_late: bool
    is_slipping: bool

    @property
    def at_its_job(self) -> bool:
        """Whether its day is chosen on the page of its job."""
        job = self.visit.job
        return job is not None and job.state != JobState.UNDER_WAY


@dataclass(frozen=True, kw_only=True)
class Board:
    """A week from its Monday: crews by days, what is to place, the weeks ahead."""

    monday: dt.date
    days: Sequence[dt.date]
    rows: Sequence[CrewRow]
    crews: Sequence[Crew]
    free_days: dict[dt.date, str]
    to_place: Sequence[ToPlace]
    more_to_place: int
    to_book: Sequence[Job]
    loads: Sequence[Load]

    @property
    def sunday(self) -> dt.date:
        """Its last day."""
        return self.days[-1]

    @property
    def before(self) -> dt.date:
        """The Monday before."""
        return self.monday - dt.timedelta(days=WEEK_DAYS)

    @property
    def after(self) -> dt.date:
        """The Monday after."""
        return self.monday + dt.timedelta(days=WEEK_DAYS)


def monday_of(day: dt.date) -> dt.date:
    """The Monday of DAY's week."""
    return day - dt.timedelta(days=day.weekday())


class _People:
    """Who is in which crew on which day, and who is off, read once for all weeks."""

    def __init__(self, *, first: dt.date, last: dt.date) -> None:
        self.crews = list(
            Crew.objects.exclude(retired_on__lte=first).order_by("name", "id")
        )
        self._stays: dict[int, list[tuple[int, dt.date, dt.date | None]]] = defaultdict(
            list
        )
        stays = CrewMember.objects.filter(starts_on__lte=last).exclude(
            ends_on__lt=first
        )
        for crew, person, start, end in stays.values_list(
            "crew", "person", "starts_on", "ends_on"
        ):
            self._stays[crew].append((person, start, end))
        self._off: dict[tuple[int | None, dt.date], str] = {
            (row.crew_id, row.day): row.reason
            for row in DayOff.objects.filter(day__gte=first, day__lte=last)
        }

    def off(self, crew: Crew, day: dt.date) -> str:
        """Why the crew does not work on DAY; empty when it does."""
        if crew.retired_on is not None and crew.retired_on <= day:
            return _("given up")
        return self._off.get((None, day)) or self._off.get((crew.pk, day), "")

    def for_all(self, day: dt.date) -> str:
        """Why nobody works on DAY."""
        return self._off.get((None, day), "")

    def count(self, crew: Crew, day: dt.date) -> int:
        """How many people are in the crew on DAY."""
        return len(
            {
                person
                for person, start, end in self._stays[crew.pk]
                if start <= day and (end is None or day <= end)
            }
        )

    def capacity_h(self, crew: Crew, day: dt.date) -> Decimal:
        """The hours the crew has on DAY."""
        if self.off(crew, day):
            return Decimal(0)
        return crew.hours_per_day * self.count(crew, day)


def week_board(*, day: dt.date, today: dt.date) -> Board:
    """The board of DAY's week as it stands TODAY, in a fixed number of queries."""
    monday = monday_of(day)
    days = [monday + dt.timedelta(days=number) for number in range(WEEK_DAYS)]
    last = monday + dt.timedelta(days=WEEK_DAYS * WEEKS_DRAWN - 1)
    people = _People(first=monday, last=last)
    stops: dict[tuple[int | None, dt.date | None], list[Visit]] = defaultdict(list)
    for visit in (
        Visit.objects.filter(day__gte=monday, day__lte=days[-1], state__in=ON_THE_BOARD)
        .select_related("garden", "job", "contract")
        .order_by("position", "id")
    ):
        stops[visit.crew_id, visit.day].append(visit)
    planned: Planned = {
        (row["crew"], row["day"]): row["all"]
        for row in Visit.objects.filter(
            day__gte=monday, day__lte=last, crew__isnull=False, state__in=HELD
        )
        .values("crew", "day")
        .annotate(all=Sum("planned_hours"))
        .order_by("crew", "day")
    }
    rows = [
        CrewRow(
            crew=crew,
            cells=[
                Cell(
                    day=each,
                    stops=stops[crew.pk, each],
                    hours=Hours(
                        planned_h=planned.get((crew.pk, each), Decimal(0)),
                        capacity_h=people.capacity_h(crew, each),
                    ),
                    people=people.count(crew, each),
                    off=people.off(crew, each),
                )
                for each in days
            ],
        )
        for crew in people.crews
    ]
    placeable, more = _to_place(sunday=days[-1], today=today)
    return Board(
        monday=monday,
        days=days,
        rows=rows,
        crews=people.crews,
        free_days={each: why for each in days if (why := people.for_all(each))},
        to_place=placeable,
        more_to_place=more,
        to_book=list(
            Job.objects.filter(state=JobState.TO_BOOK)
            .select_related("garden")
            .order_by("created_at", "id")[:MOST_TO_PLACE]
        ),
        loads=_loads(monday, people, planned),
    )


def _to_place(*, sunday: dt.date, today: dt.date) -> tuple[list[ToPlace], int]:
    """Visits without a day: late ones first, then those that soonest run out.

    How many more there are than are shown comes with them.
    """
    soon = today + dt.timedelta(days=SLIPPING_DAYS)
    rows = (
        Visit.objects.filter(ALIVE, state=VisitState.PLANNED, day__isnull=True)
        .filter(
            Q(earliest_on__isnull=True)
            | Q(earliest_on__lte=sunday + dt.timedelta(days=AHEAD_DAYS))
        )
        .exclude(job__state=JobState.TO_BOOK)
        .select_related("garden", "job", "contract")
        .order_by(F("latest_on").asc(nulls_last=True), "best_on", "id")
    )
    visits = list(rows[: MOST_TO_PLACE + 1])
    more = rows.count() - MOST_TO_PLACE if len(visits) > MOST_TO_PLACE else 0
    found = []
    for visit in visits[:MOST_TO_PLACE]:
        words, is_late = window_words(visit, today)
        found.append(
            ToPlace(
                visit=visit,
                words=words,
                is_late=is_late,
                is_slipping=visit.latest_on is not None
                and today <= visit.latest_on <= soon,
            )
        )
    return found, more


def _loads(
    monday: dt.date,
    people: _People,
    planned: Planned,
) -> list[Load]:
    """All crews' hours of each week drawn; a weekend counts where it holds work."""
    found = []
    for week in range(WEEKS_DRAWN):
        first = monday + dt.timedelta(days=week * WEEK_DAYS)
        hours = capacity = Decimal(0)
        for number in range(WEEK_DAYS):
            day = first + dt.timedelta(days=number)
            for crew in people.crews:
                of_day = planned.get((crew.pk, day), Decimal(0))
                hours += of_day
                if number < WORKING_WEEK or of_day:
                    capacity += people.capacity_h(crew, day)
        found.append(
            Load(
                label=_("Week of %(day)s") % {"day": day_said(first)},
                planned_h=hours,
                capacity_h=capacity,
            )
        )
    return found
