"""A year's tasks gathered into visits, and the proof that such a plan holds.

`plan_year` makes a plan, `check_plan` proves one and shares nothing with it but the
two rows they speak of. The fewest days that meet all intervals are found by taking the
interval that ends first and piercing it at its end (the textbook greedy, optimal for
intervals on a line); the days then move towards the best days of their tasks.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

ONE_DAY = timedelta(days=1)
MOST_ROUNDS = 50
"""The days settle after a few rounds; the bound is for certainty, not for speed."""
SLACK_DAYS = 6
"""So many days a visit can be put off, where the windows of its tasks are that long:
for rain, holidays and full days. A week in all: common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Span:
    """Days on which a task does harm, both ends in it; None where it has no end."""

    first: date | None
    last: date | None
    why: str = ""


@dataclass(frozen=True, kw_only=True)
class Task:
    """One piece of care of one planting, with the days on which it may be done.

    FOLLOWS is the key of the task that must be done before it, on the same day or
    earlier.
    """

    key: str
    earliest: date
    best: date
    latest: date
    minutes: int = 0
    planting: int | None = None
    rule: str = ""
    closed: tuple[Span, ...] = ()
    follows: str = ""


@dataclass(frozen=True, kw_only=True)
class PlannedVisit:
    """Tasks done on one day, which may be any from EARLIEST to LATEST."""

    earliest: date
    best: date
    latest: date
    tasks: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Left:
    """A task that no day was found for, and why."""

    task: str
    why: str


@dataclass(frozen=True, kw_only=True)
class YearPlan:
    """The visits in order of their days, and what could not be planned."""

    visits: tuple[PlannedVisit, ...]
    left: tuple[Left, ...]


@dataclass(frozen=True, kw_only=True)
class Fault:
    """What is wrong with a plan: which task, in which visit, in words."""

    words: str
    task: str = ""
    visit: int | None = None


@dataclass(frozen=True)
class _Unit:
    """Tasks that are done together, and the days that suit all of them."""

    first: date
    last: date
    tasks: tuple[Task, ...]

    @property
    def weight(self) -> int:
        return sum(max(task.minutes, 1) for task in self.tasks)

    @property
    def key(self) -> str:
        return self.tasks[0].key

    def away(self, day: date) -> int:
        """How many minutes' work lies how many days off its best."""
        return sum(
            max(task.minutes, 1) * abs((day - task.best).days) for task in self.tasks
        )


def plan_year(
    tasks: Iterable[Task],
    *,
    starts_on: date,
    ends_on: date,
    slack_days: int = SLACK_DAYS,
) -> YearPlan:
    """Few visits that hold every task on a day it may be done, near its best day.

    Tasks share a visit only where it can be put off by SLACK_DAYS, or by all that the
    shortest window has. The same tasks in any order give the same plan.
    """
    ordered = sorted(tasks, key=lambda task: (task.best, task.key))
    left: list[Left] = []
    open_days: dict[str, tuple[date, date]] = {}
    for task in ordered:
        days = _open_days(task, starts_on, ends_on)
        if days is None:
            left.append(Left(task=task.key, why="no open day between the two ends"))
        else:
            open_days[task.key] = days
    units = _together(ordered, open_days, left)
    groups = _settled(_pierced(units, slack_days), slack_days)
    visits = [
        PlannedVisit(
            earliest=max(unit.first for unit in group),
            best=_best_day(group),
            latest=min(unit.last for unit in group),
            tasks=tuple(
                task.key
                for task in sorted(
                    (task for unit in group for task in unit.tasks),
                    key=lambda task: (task.planting or 0, task.best, task.key),
                )
            ),
        )
        for group in groups
    ]
    visits.sort(key=lambda visit: (visit.best, visit.tasks))
    return YearPlan(visits=tuple(visits), left=tuple(left))


def days_for(tasks: Sequence[Task]) -> tuple[date, date, date]:
    """The earliest, best and latest day of a visit that holds these tasks.

    Call it with tasks that a plan put together: they have days in common.
    """
    found = [
        days
        for task in tasks
        if (days := _open_days(task, date.min, date.max)) is not None
    ]
    if not found or len(found) != len(tasks):
        raise ValueError("a task has no open day")
    first, last = max(days[0] for days in found), min(days[1] for days in found)
    if first > last:
        raise ValueError("the tasks have no day in common")
    whole = _Unit(first, last, tuple(tasks))
    return first, _best_day([whole]), last


def _open_days(task: Task, starts_on: date, ends_on: date) -> tuple[date, date] | None:
    """The run of days nearest the task's best on which it may be done."""
    pieces = [(max(task.earliest, starts_on), min(task.latest, ends_on))]
    for span in task.closed:
        left = []
        for first, last in pieces:
            if span.first is not None and first < span.first:
                left.append((first, min(last, span.first - ONE_DAY)))
            if span.last is not None and last > span.last:
                left.append((max(first, span.last + ONE_DAY), last))
        pieces = left
    pieces = [(first, last) for first, last in pieces if first <= last]
    if not pieces:
        return None
    return min(
        pieces,
        key=lambda piece: (
            abs((min(max(task.best, piece[0]), piece[1]) - task.best).days),
            piece[0],
        ),
    )


def _together(
    ordered: Sequence[Task],
    open_days: Mapping[str, tuple[date, date]],
    left: list[Left],
) -> list[_Unit]:
    """Each task with the work it follows where both have days in common."""
    unit_of: dict[str, str] = {}
    units: dict[str, _Unit] = {}
    for task in _leads_first(ordered):
        if task.key not in open_days:
            continue
        first, last = open_days[task.key]
        head = unit_of.get(task.follows)
        if head is not None:
            lead = units[head]
            common = max(lead.first, first), min(lead.last, last)
            if common[0] <= common[1]:
                units[head] = _Unit(*common, (*lead.tasks, task))
                unit_of[task.key] = head
                continue
            if last < lead.first:
                left.append(
                    Left(task=task.key, why="its days end before the work it follows")
                )
                continue
            # Its days begin after the last day of what it follows.
        units[task.key] = _Unit(first, last, (task,))
        unit_of[task.key] = task.key
    return list(units.values())


def _leads_first(ordered: Sequence[Task]) -> list[Task]:
    """The tasks so that each comes after the one it follows."""
    by_key = {task.key: task for task in ordered}
    found: dict[str, Task] = {}
    for task in ordered:
        chain: list[Task] = []
        each: Task | None = task
        while each is not None and each.key not in found and each not in chain:
            chain.append(each)
            each = by_key.get(each.follows)
        found.update((one.key, one) for one in reversed(chain))
    return list(found.values())


def _last_start(unit: _Unit, slack_days: int) -> date:
    """The last day from which a unit can still be put off by the slack."""
    return max(unit.first, unit.last - timedelta(days=slack_days))


def _pierced(units: Sequence[_Unit], slack_days: int) -> list[list[_Unit]]:
    """The units parted into as few groups as have a day in common with its slack."""
    groups: list[tuple[date, list[_Unit]]] = []
    for unit in sorted(
        units, key=lambda unit: (_last_start(unit, slack_days), unit.first, unit.key)
    ):
        last = _last_start(unit, slack_days)
        held = [group for day, group in groups if unit.first <= day <= last]
        if held:
            held[-1].append(unit)
        else:
            groups.append((last, [unit]))
    return [group for _, group in groups]


def _settled(groups: Sequence[Sequence[_Unit]], slack_days: int) -> list[list[_Unit]]:
    """The groups with every unit in the one whose day suits it best.

    A round never adds to the days that work lies off its best, so it comes to rest.
    """
    now = [(_best_day(group, slack_days), list(group)) for group in groups]
    for _ in range(MOST_ROUNDS):
        days = sorted({day for day, _ in now})
        moved: dict[date, list[_Unit]] = {day: [] for day in days}
        for unit in sorted(
            (unit for _, group in now for unit in group), key=lambda unit: unit.key
        ):
            last = _last_start(unit, slack_days)
            suits = [day for day in days if unit.first <= day <= last]
            moved[min(suits, key=lambda day: (unit.away(day), day))].append(unit)
        after = [
            (_best_day(group, slack_days), group) for group in moved.values() if group
        ]
        if after == now:
            break
        now = after
    return [group for _, group in now]


def _best_day(group: Sequence[_Unit], slack_days: int = 0) -> date:
    """The day common to all units on which the least work lies off its best.

    The work is least off at the weighted middle of the best days (the median), or at
    the common day nearest to it; the common days end so early that the slack is left.
    """
    first = max(unit.first for unit in group)
    last = min(_last_start(unit, slack_days) for unit in group)
    tasks = sorted(
        (task for unit in group for task in unit.tasks), key=lambda task: task.best
    )
    whole = sum(unit.weight for unit in group)
    passed = 0
    middle = tasks[0].best
    for task in tasks:
        middle = task.best
        passed += max(task.minutes, 1)
        if 2 * passed >= whole:
            break
    return min(max(middle, first), last)


# --- the proof ---------------------------------------------------------------------


def check_plan(
    tasks: Iterable[Task],
    visits: Sequence[PlannedVisit],
    *,
    starts_on: date,
    ends_on: date,
) -> list[Fault]:
    """What is wrong with a plan; nothing when it holds.

    Every day of a visit's window is looked at one by one: a visit may be put on any of
    them without a question, so each must suit every task.
    """
    given = list(tasks)
    known = {task.key: task for task in given}
    faults = [
        Fault(task=key, words="two tasks have this key")
        for key, times in sorted(Counter(task.key for task in given).items())
        if times > 1
    ]
    times_planned = Counter(key for visit in visits for key in visit.tasks)
    for key in sorted(known.keys() | times_planned.keys()):
        if key not in known:
            faults.append(Fault(task=key, words="planned, but nobody asked for it"))
        elif times_planned[key] == 0:
            faults.append(Fault(task=key, words="not planned"))
        elif times_planned[key] > 1:
            faults.append(Fault(task=key, words="planned more than once"))
    for number, visit in enumerate(visits):
        faults.extend(_faults_of_visit(number, visit, known, starts_on, ends_on))
    day_of = {key: visit.best for visit in visits for key in visit.tasks}
    for task in given:
        before, own = day_of.get(task.follows), day_of.get(task.key)
        if before is not None and own is not None and own < before:
            faults.append(
                Fault(task=task.key, words="planned before the work it follows")
            )
    return faults


def _faults_of_visit(
    number: int,
    visit: PlannedVisit,
    known: Mapping[str, Task],
    starts_on: date,
    ends_on: date,
) -> list[Fault]:
    """What is wrong with one visit and with each task in it."""

    def fault(words: str, task: str = "") -> Fault:
        return Fault(task=task, visit=number, words=words)

    if not visit.earliest <= visit.best <= visit.latest:
        return [fault("its best day lies outside its own days")]
    faults = []
    if visit.earliest < starts_on or visit.latest > ends_on:
        faults.append(fault("lies outside the twelve months"))
    if not visit.tasks:
        faults.append(fault("holds no task"))
    of_one = Counter(
        (task.planting, task.rule)
        for key in visit.tasks
        if (task := known.get(key)) is not None and task.rule
    )
    for key in visit.tasks:
        task = known.get(key)
        if task is None:
            continue
        if of_one[task.planting, task.rule] > 1:
            faults.append(fault("the same work twice in one visit", key))
        if not task.earliest <= task.best <= task.latest:
            faults.append(fault("its own window is out of order", key))
        day = visit.earliest
        while day <= visit.latest:
            if not task.earliest <= day <= task.latest:
                faults.append(fault(f"outside its window on {day}", key))
                break
            closed = [span for span in task.closed if _holds(span, day)]
            if closed:
                faults.append(fault(f"closed on {day}: {closed[0].why}", key))
                break
            day += ONE_DAY
    return faults


def _holds(span: Span, day: date) -> bool:
    after_first = span.first is None or day >= span.first
    before_last = span.last is None or day <= span.last
    return after_first and before_last
