"""What may be done to a plant on a day: allowed, best now, or closed and why."""

from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from typing import Literal

from plants.care.anchors import Observed, seen
from plants.care.group import Group, Rule
from plants.care.vocabulary import CUTS
from plants.care.windows import (
    ONE_DAY,
    ClosedPeriod,
    Window,
    closures_about,
)
from plants.care.year import YEAR_DAYS, age_on, care_year
from plants.climate import Climate

Verdict = Literal["best now", "allowed", "closed"]
Ground = Literal[
    "in its window",
    "out of its window",
    "on any day",
    "dead wood",
    "not needed",
    "closed season",
    "forbidden",
    "too young",
]
"""What a verdict rests on, for pages that say it in another language."""

HARMS_THE_YOUNG = (*CUTS, "feed", "acidify", "lime", "divide")
"""Work that is closed to a plant younger than all its rules ask for; the rest of what
waits for an age is only not needed yet (common practice, no source)."""

LOOK_BACK_DAYS = 200
LOOK_AHEAD_DAYS = 400


@dataclass(frozen=True, slots=True)
class Answer:
    """The verdict on one task for one purpose, with its reason.

    UNTIL is the last day the verdict holds, where that is known. AHEAD is the next
    window after the day, for work whose window is not open now.
    """

    task: str
    purpose: str
    verdict: Verdict
    reason: str
    until: date | None = None
    window: Window | None = None
    closed: ClosedPeriod | None = None
    rule: Rule | None = None
    ground: Ground = "not needed"
    ahead: Window | None = None

    @property
    def source(self) -> str:
        """Where the line the verdict rests on comes from; empty when from nowhere."""
        line = self.closed or self.rule
        return line.source if line is not None else ""

    @property
    def layer(self) -> str:
        """Who wrote the line the verdict rests on; empty when nobody did."""
        line = self.closed or self.rule
        return line.layer if line is not None else ""


def closed_on(
    day: date,
    task: str,
    purpose: str = "none",
    *,
    group: Group,
    climate: Climate,
    observed: Observed | None = None,
) -> ClosedPeriod | None:
    """The closed period that forbids the task on the day, or None when it is open.

    Of several the one that lasts longest is told; one without an end comes first.
    """
    closures = closures_about(group, climate, climate.year_of(day), seen(observed))
    found = [
        period
        for period in closures
        if period.season.holds_for(task, purpose) and period.holds_on(day)
    ]
    return max(found, key=lambda period: period.last or date.max, default=None)


def ask(
    day: date,
    *,
    group: Group,
    climate: Climate,
    planted_on: date | None = None,
    age_years: float | None = None,
    irrigated: bool | None = None,
    ph: float | None = None,
    observed: Observed | None = None,
) -> list[Answer]:
    """A verdict for every task the group has a rule for, and for dead wood.

    The first are those to be done now, then the allowed, then the closed; in each
    they stand in the group's own order.
    """
    year = care_year(
        group=group,
        climate=climate,
        start=day - LOOK_BACK_DAYS * ONE_DAY,
        days=LOOK_BACK_DAYS + LOOK_AHEAD_DAYS,
        planted_on=planted_on,
        age_years=None if age_years is None else age_years - LOOK_BACK_DAYS / YEAR_DAYS,
        irrigated=irrigated,
        ph=ph,
        observed=observed,
    )
    subjects: dict[tuple[str, str], None] = {("dead wood", "dead wood"): None}
    subjects.update(((rule.task, rule.purpose), None) for rule in group.rules)
    age = age_on(day, day, planted_on, age_years)
    answers = []
    for task, purpose in subjects:
        period = closed_on(
            day, task, purpose, group=group, climate=climate, observed=observed
        )
        own = [
            window
            for window in year
            if (window.rule.task, window.rule.purpose) == (task, purpose)
        ]
        ahead = next((window for window in own if window.earliest > day), None)
        young = _too_young(group, task, purpose, age)
        found = _open(day, task, purpose, own, ahead)
        if young is not None:
            found = _young(day, young, age or 0.0, ahead)
        # Of two reasons to leave it alone the one that lasts longer is told.
        if period is not None and not _outlasts(found, period):
            found = _closed(task, purpose, period, ahead)
        answers.append(found)
    order = ("best now", "allowed", "closed")
    return sorted(answers, key=lambda answer: order.index(answer.verdict))


def _too_young(group: Group, task: str, purpose: str, age: float | None) -> Rule | None:
    """The rule that a plant of this age waits for; None where it need not wait."""
    if age is None or task not in HARMS_THE_YOUNG or purpose == "dead wood":
        return None
    rules = [
        rule for rule in group.rules if (rule.task, rule.purpose) == (task, purpose)
    ]
    waits = [
        rule
        for rule in rules
        if rule.conditions.age_years_min is not None
        and rule.conditions.age_years_min > age
    ]
    if not waits or len(waits) < len(rules):
        return None
    return min(waits, key=lambda rule: rule.conditions.age_years_min or 0)


def _outlasts(found: Answer, period: ClosedPeriod) -> bool:
    """Whether a plant is still too young when the season opens again."""
    return (
        found.ground == "too young"
        and found.until is not None
        and period.last is not None
        and found.until > period.last
    )


def _young(day: date, rule: Rule, age: float, ahead: Window | None) -> Answer:
    wanted = rule.conditions.age_years_min or 0.0
    grown = day + timedelta(days=ceil((wanted - age) * YEAR_DAYS))
    years = "1 year" if wanted == 1 else f"{wanted:g} years"
    return Answer(
        task=rule.task,
        purpose=rule.purpose,
        verdict="closed",
        reason=(
            f"It is too young: this is done from {years} of age on, that is from "
            f"{_day(grown)}."
        ),
        until=grown - ONE_DAY,
        rule=rule,
        ground="too young",
        ahead=ahead,
    )


def _closed(
    task: str, purpose: str, period: ClosedPeriod, ahead: Window | None
) -> Answer:
    until = "" if period.last is None else f" Closed to {_day(period.last)}."
    return Answer(
        task=task,
        purpose=purpose,
        verdict="closed",
        reason=f"{period.why}{until}",
        until=period.last,
        closed=period,
        ground="forbidden" if period.last is None else "closed season",
        ahead=ahead,
    )


def _open(
    day: date, task: str, purpose: str, own: list[Window], ahead: Window | None
) -> Answer:
    for window in own:
        if window.rule.always:
            return Answer(
                task=task,
                purpose=purpose,
                verdict="allowed",
                reason="It may be done on any day.",
                window=window,
                rule=window.rule,
                ground="on any day",
            )
        if window.earliest <= day <= window.latest:
            return Answer(
                task=task,
                purpose=purpose,
                verdict="best now",
                reason=(
                    f"Its window runs from {_day(window.earliest)} to "
                    f"{_day(window.latest)}, best about {_day(window.best)}."
                ),
                until=window.latest,
                window=window,
                rule=window.rule,
                ground="in its window",
            )
    if task == "dead wood":
        return Answer(
            task=task,
            purpose=purpose,
            verdict="allowed",
            reason="Dead, damaged and diseased wood may come off on any day.",
            ground="dead wood",
        )
    if ahead is None:
        return Answer(
            task=task,
            purpose=purpose,
            verdict="allowed",
            reason="It does no harm now; this planting does not need it.",
        )
    return Answer(
        task=task,
        purpose=purpose,
        verdict="allowed",
        reason=(
            f"It does no harm now; the next window opens on {_day(ahead.earliest)}, "
            f"best about {_day(ahead.best)}."
        ),
        until=ahead.earliest - ONE_DAY,
        window=ahead,
        rule=ahead.rule,
        ground="out of its window",
        ahead=ahead,
    )


def _day(day: date) -> str:
    return f"{day.day} {day:%B %Y}"
