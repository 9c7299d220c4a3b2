"""What speaks against a day: planting windows, closed seasons, a crew's hours."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.db.models import Q, Sum
from django.utils.dates import MONTHS_3, WEEKDAYS_ABBR
from django.utils.translation import gettext as _

from firm.models import Crew, DayOff
from firm.queries import firm_or_blank, people_in
from jobs.enums import JobKind, VisitState
from jobs.models import Job, JobPlant, Visit, VisitTask
from jobs.rounds import Hours
from plants.enums import Task
from plants.models import Planting
from plants.queries.care import (
    climate_of,
    closed_for,
    engine_groups,
    facts_about,
    planting_time,
    size_sold,
)

# Visits whose hours a crew's day really holds.
HELD = (VisitState.PLANNED, VisitState.UNDER_WAY, VisitState.DONE)


def firm_day(now: dt.datetime) -> dt.date:
    """The firm's own day of an instant."""
    return now.astimezone(ZoneInfo(firm_or_blank().time_zone)).date()


def day_said(day: dt.date) -> str:
    """A day in running text: Tue 14 Apr 2026."""
    weekday, month = WEEKDAYS_ABBR[day.weekday()], MONTHS_3[day.month].title()
    return f"{weekday} {day.day} {month} {day.year}"


@dataclass(frozen=True, kw_only=True)
class Caution:
    """Why a day is not right for one plant or task, and when it would be.

    VERDICT: "wrong" and "closed" need the owner's written reason, "bearable" does not.
    """

    what: str
    verdict: str
    reason: str
    better: str

    @property
    def needs_reason(self) -> bool:
        """Whether nothing is booked on that day without a written reason."""
        return self.verdict != "bearable"

    @property
    def words(self) -> str:
        """What and why in a line, as it is kept beside the reason."""
        return " ".join(
            part for part in (f"{self.what}:", self.reason, self.better) if part
        )


def cautions_on(*, job: Job, day: dt.date) -> list[Caution]:
    """What speaks against doing JOB on DAY; the worst first, each thing once."""
    found = (
        _outside_planting_time(job, day)
        if job.kind == JobKind.PLANTING
        else closed_tasks_on(
            tasks=[
                (task.planting, task.task, task.purpose)
                for task in _tasks_of(job)
                if task.planting is not None
            ],
            day=day,
        )
    )
    return sorted(found, key=lambda each: not each.needs_reason)


def _outside_planting_time(job: Job, day: dt.date) -> list[Caution]:
    """One caution for each plant that DAY is not right for, by plant and bed."""
    rows: Sequence[JobPlant] = list(
        job.plants.select_related("plant__group", "bed", "quote_line").order_by("id")
    )
    groups = engine_groups(row.plant for row in rows)
    climate = climate_of(job.garden)
    found: dict[str, Caution] = {}
    for row in rows:
        time = planting_time(
            row.plant,
            groups[row.plant_id],
            climate=climate,
            day=day,
            irrigated=bool(row.bed and row.bed.is_irrigated),
            size=size_sold(row.quote_line.size_text) if row.quote_line else None,
        )
        if time.verdict.verdict == "right":
            continue
        what = row.plant.common
        if row.quote_line and row.quote_line.size_text:
            what = f"{what} ({row.quote_line.size_text})"
        if row.bed:
            what = f"{what}, {row.bed.name}"
        better = ""
        if time.next is not None:
            better = _("The next time to plant it is %(first)s to %(last)s.") % {
                "first": day_said(time.next.first),
                "last": day_said(time.next.last),
            }
        found.setdefault(
            what,
            Caution(
                what=what,
                verdict=time.verdict.verdict,
                reason=_(time.verdict.reason),
                better=better,
            ),
        )
    return list(found.values())


def _tasks_of(job: Job) -> list[VisitTask]:
    return list(
        VisitTask.objects.filter(visit__job=job, planting__isnull=False)
        .select_related(
            "planting__plant__group", "planting__bed", "planting__garden__station"
        )
        .order_by("position", "id")
    )


def closed_tasks_on(
    *, tasks: Sequence[tuple[Planting, str, str]], day: dt.date
) -> list[Caution]:
    """One caution for each task (planting, task, purpose) that is closed on DAY."""
    plantings = list({planting.pk: planting for planting, _t, _p in tasks}.values())
    facts = {each.planting.pk: each for each in facts_about(plantings, day=day)}
    found: dict[tuple[int, str, str], Caution] = {}
    for planting, task, purpose in tasks:
        period = closed_for(
            facts[planting.pk], task=task, purpose=purpose or "none", day=day
        )
        if period is None:
            continue
        better = ""
        if period.last is not None:
            better = _("Closed to %(last)s.") % {"last": day_said(period.last)}
        named = planting.plant.common if planting.plant else planting.what_it_looks_like
        found[(planting.pk, task, purpose)] = Caution(
            what=_("%(plant)s (number %(number)s), %(task)s")
            % {"plant": named, "number": planting.number, "task": task_label(task)},
            verdict="closed",
            reason=period.why,
            better=better,
        )
    return list(found.values())


def task_label(task: str) -> str:
    """A task as it is said: take out dead wood."""
    return str(Task(task).label) if task in Task.values else task


@dataclass(frozen=True, kw_only=True)
class CrewDay:
    """A crew's day with the hours it would hold, and what speaks against it."""

    crew: Crew
    day: dt.date
    people: int
    hours: Hours
    off: str

    @property
    def is_fine(self) -> bool:
        """Whether the crew works that day and has the hours."""
        return not self.off and self.people > 0 and not self.hours.over_h

    @property
    def words(self) -> list[str]:
        """The hours against capacity, and a day off or an empty crew, in words."""
        named = {"crew": self.crew.name, "day": day_said(self.day)}
        said = []
        if self.off:
            said.append(
                _("%(crew)s does not work on %(day)s: %(reason)s.")
                % {**named, "reason": self.off.rstrip(".")}
            )
        elif not self.people:
            said.append(_("Nobody is in %(crew)s on %(day)s.") % named)
        said.append(
            _("%(crew)s on %(day)s: %(hours)s.") % {**named, "hours": self.hours.words}
        )
        return said


def crew_day(
    *, crew: Crew, day: dt.date, hours: Decimal, besides_job: int | None
) -> CrewDay:
    """The crew's DAY with HOURS more than what stands there besides one job."""
    standing = Visit.objects.filter(crew=crew, day=day, state__in=HELD)
    if besides_job is not None:
        standing = standing.exclude(job=besides_job)
    planned = standing.aggregate(all=Sum("planned_hours"))["all"] or Decimal(0)
    off = (
        DayOff.objects.filter(Q(crew=crew) | Q(crew__isnull=True), day=day)
        .order_by("crew_id", "id")
        .values_list("reason", flat=True)
        .first()
    )
    people = len(people_in(crew=crew, day=day))
    capacity = Decimal(0) if off else crew.hours_per_day * people
    return CrewDay(
        crew=crew,
        day=day,
        people=people,
        hours=Hours(planned_h=planned + hours, capacity_h=capacity),
        off=off or "",
    )
