"""Planned work whose windows moved with what was seen or with the climate."""

import datetime as dt
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from django.db.models import F, Prefetch, Q
from django.utils.translation import gettext as _

from firm.models import DayOff
from jobs.enums import TaskState, VisitState
from jobs.models import Visit, VisitTask
from jobs.queries.week.slipping import ALIVE, day_said
from jobs.yearplan import Span, days_for
from jobs.yearplan import Task as PlanTask
from plants import care
from plants.climate import Climate
from plants.queries.care import PlantingYear, facts_about, planting_year

OPEN_TASKS = (TaskState.OPEN, TaskState.PART_DONE)
# Only what hangs on these anchors moves with what was seen.
MOVING = frozenset({"leaf_out", "bloom_start", "bloom_end", "bud_set"})
# A task's window is looked for so far from its agreed best day.
NEAR = dt.timedelta(days=75)
REACH = dt.timedelta(days=250)
WORKING_WEEK = 5

Days = tuple[dt.date, dt.date, dt.date]


@dataclass(frozen=True, kw_only=True)
class VisitMove:
    """A planned visit whose tasks have other days now.

    TASKS are earliest, best and latest by task id, for those that differ; DAYS are the
    visit's own, None where its tasks share no day any more.
    """

    visit: Visit
    tasks: dict[int, Days]
    days: Days | None


@dataclass(frozen=True, kw_only=True)
class MovedOut:
    """A visit on a day that lies outside of a task's window since that moved.

    NEAREST is the working day nearest to its own on which all its work is right, None
    where there is none to come.
    """

    visit: Visit
    tasks: Sequence[VisitTask]
    nearest: dt.date | None

    @property
    def words(self) -> str:
        """What lies outside now, and the nearest good day."""
        outside = ", ".join(
            _("%(task)s now %(first)s to %(last)s")
            % {
                "task": task.title,
                "first": day_said(task.earliest_on),
                "last": day_said(task.latest_on),
            }
            for task in self.tasks
            if task.earliest_on and task.latest_on
        )
        if self.nearest is None:
            better = _("no day to come suits all of its work")
        else:
            better = _("the nearest good day is %(day)s") % {
                "day": day_said(self.nearest)
            }
        return _("planned for %(day)s: %(outside)s; %(better)s") % {
            "day": day_said(self.visit.day) if self.visit.day else "",
            "outside": outside,
            "better": better,
        }


def visits_to_move(
    *,
    plantings: Collection[int],
    day: dt.date,
    before: Mapping[int, Climate] | None = None,
) -> list[VisitMove]:
    """Planned visits with work on PLANTINGS that has other days now, seen from DAY.

    BEFORE holds the climates, by station, that changed since: then every window counts
    that lies otherwise under the new one, else those that hang on what is seen. It asks
    a fixed number of questions for any number of visits.
    """
    visits = list(
        Visit.objects.filter(
            pk__in=VisitTask.objects.filter(
                planting__in=plantings,
                state__in=OPEN_TASKS,
                best_on__isnull=False,
                visit__state=VisitState.PLANNED,
            ).values("visit")
        )
        .select_related("garden", "contract")
        .prefetch_related(_open_tasks())
        .order_by("best_on", "id")
    )
    if not visits:
        return []
    tasks = [task for visit in visits for task in visit.tasks.all()]
    years = _years_of(tasks, day, before or {})
    found = []
    for visit in visits:
        moved = _tasks_moved(visit, set(plantings), years)
        if moved:
            found.append(
                VisitMove(visit=visit, tasks=moved, days=_days_of(visit, moved, years))
            )
    return found


def moved_out(*, day: dt.date, visit_id: int | None = None) -> list[MovedOut]:
    """Visits to come on a day that was in a task's agreed window and no longer is."""
    shut = Q(day__lt=F("tasks__earliest_on")) | Q(day__gt=F("tasks__latest_on"))
    visits = Visit.objects.filter(
        ALIVE,
        shut,
        state=VisitState.PLANNED,
        day__gte=day,
        day__range=(F("tasks__agreed_earliest_on"), F("tasks__agreed_latest_on")),
        tasks__state__in=OPEN_TASKS,
    )
    if visit_id is not None:
        visits = visits.filter(pk=visit_id)
    rows = list(
        visits.select_related("garden", "job", "contract")
        .prefetch_related(_open_tasks())
        .order_by("day", "id")
        .distinct()
    )
    if not rows:
        return []
    off = set(
        DayOff.objects.filter(crew=None, day__gte=day).values_list("day", flat=True)
    )
    return [
        MovedOut(
            visit=row,
            tasks=[task for task in row.tasks.all() if _is_out(row, task)],
            nearest=_nearest(row, day, off),
        )
        for row in rows
    ]


def _open_tasks() -> Prefetch[str]:
    return Prefetch(
        "tasks",
        VisitTask.objects.filter(state__in=OPEN_TASKS)
        .select_related(
            "planting__plant__group", "planting__bed", "planting__garden__station"
        )
        .order_by("position", "id"),
    )


def _is_out(visit: Visit, task: VisitTask) -> bool:
    if (
        visit.day is None
        or task.agreed_earliest_on is None
        or task.agreed_latest_on is None
        or task.earliest_on is None
        or task.latest_on is None
    ):
        return False
    was_in = task.agreed_earliest_on <= visit.day <= task.agreed_latest_on
    return was_in and not task.earliest_on <= visit.day <= task.latest_on


def _nearest(visit: Visit, day: dt.date, off: Collection[dt.date]) -> dt.date | None:
    """The working day nearest to the visit's own in all its tasks' windows."""
    windows = [
        (task.earliest_on, task.latest_on)
        for task in visit.tasks.all()
        if task.earliest_on is not None and task.latest_on is not None
    ]
    if not windows or visit.day is None:
        return None
    first = max(day, *(each[0] for each in windows))
    last = min(each[1] for each in windows)
    days = [
        each
        for number in range((last - first).days + 1)
        if (each := first + dt.timedelta(days=number)).weekday() < WORKING_WEEK
        and each not in off
    ]
    planned = visit.day
    return min(days, key=lambda each: abs((each - planned).days), default=None)


# --- what moves ---------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class _Years:
    """A planting's windows as they were computed and as they stand now.

    Without HAS_NEW_CLIMATE the two differ by what was seen, else by the climate.
    """

    computed: PlantingYear
    now: PlantingYear
    has_new_climate: bool = False


def _years_of(
    tasks: Iterable[VisitTask], day: dt.date, before: Mapping[int, Climate]
) -> dict[int, _Years]:
    """The windows of every planting that TASKS speak of, around their days."""
    best: dict[int, list[dt.date]] = defaultdict(list)
    plantings = {}
    for task in tasks:
        if task.planting is not None and task.best_on is not None:
            plantings[task.planting.pk] = task.planting
            best[task.planting.pk].append(task.agreed_best_on or task.best_on)
    found = {}
    for facts in facts_about(list(plantings.values()), day=day):
        days = best[facts.planting.pk]
        start = min(days) - REACH
        length = (max(days) + REACH - start).days
        # Ages count from the day that was asked about.
        if facts.age_years is not None:
            gone = (day - start).days / 365.25
            facts = replace(facts, age_years=max(facts.age_years - gone, 0))
        old = before.get(facts.planting.garden.station_id)
        was = (
            replace(facts, observed={}) if old is None else replace(facts, climate=old)
        )
        found[facts.planting.pk] = _Years(
            computed=planting_year(was, start=start, days=length),
            now=planting_year(facts, start=start, days=length),
            has_new_climate=old is not None,
        )
    return found


def _tasks_moved(
    visit: Visit, plantings: Collection[int], years: dict[int, _Years]
) -> dict[int, Days]:
    moved = {}
    for task in visit.tasks.all():
        if (
            task.planting_id not in plantings
            or task.planting_id not in years
            or task.best_on is None
        ):
            continue
        window = _window_now(task, years[task.planting_id])
        if window is None:
            continue
        days = _within_contract(visit, window)
        if days != (task.earliest_on, task.best_on, task.latest_on):
            moved[task.pk] = days
    return moved


def _window_now(task: VisitTask, years: _Years) -> care.Window | None:
    """The window of the task's rule that it was agreed for, as it stands now.

    None where the rule does not hang on what changed, or is not there any more.
    """
    agreed = task.agreed_best_on or task.best_on
    computed = [
        window
        for window in years.computed.windows
        if window.rule.key == task.rule_key
        and (years.has_new_climate or _moves(window, years.computed))
    ]
    if agreed is None or not computed:
        return None
    own = min(computed, key=lambda window: abs(window.best - agreed))
    if abs(own.best - agreed) > NEAR:
        return None
    # The same return of the rule: bloom may have moved it past the next one's days.
    turn = [each for each in computed if each.year == own.year].index(own)
    now = [
        window
        for window in years.now.windows
        if window.rule.key == task.rule_key and window.year == own.year
    ]
    if turn >= len(now):
        return None
    found = now[turn]
    if years.has_new_climate and _days(found) == _days(own):
        return None
    return found


def _days(window: care.Window) -> Days:
    return window.earliest, window.best, window.latest


def _moves(window: care.Window, year: PlantingYear) -> bool:
    """Whether a window hangs on bloom or leaves, itself or by the work it follows."""
    rules = [window.rule]
    if window.follows:
        rules.append(year.group.rule(window.follows))
    return any(
        moment.anchor in MOVING
        for rule in rules
        for moment in (rule.first, rule.best, rule.last)
    )


def _within_contract(visit: Visit, window: care.Window) -> Days:
    """The window's days, cut to the contract's as the plan cut them."""
    earliest, best, latest = window.earliest, window.best, window.latest
    if visit.contract is not None:
        first = max(earliest, visit.contract.starts_on)
        last = min(latest, visit.contract.ends_on)
        if first <= last:
            earliest, latest = first, last
            best = min(max(best, first), last)
    return earliest, best, latest


def _days_of(
    visit: Visit, moved: dict[int, Days], years: dict[int, _Years]
) -> Days | None:
    """The visit's days that suit all its open tasks, closed seasons left out."""
    if visit.earliest_on is None:
        return None
    tasks = []
    for task in visit.tasks.all():
        days = moved.get(task.pk, (task.earliest_on, task.best_on, task.latest_on))
        earliest, best, latest = days
        if earliest is None or best is None or latest is None:
            continue
        year = years.get(task.planting_id or 0)
        tasks.append(
            PlanTask(
                key=str(task.pk),
                earliest=earliest,
                best=best,
                latest=latest,
                minutes=task.minutes,
                closed=tuple(
                    Span(first=period.first, last=period.last, why=period.why)
                    for period in (year.now.closed if year else ())
                    if period.season.holds_for(task.task, task.purpose or "none")
                ),
            )
        )
    try:
        return days_for(tasks)
    except ValueError:
        return None
