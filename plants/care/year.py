"""The care year of one planting: its windows, open, conditioned and in date order."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import lru_cache
from math import ceil

from plants.care.anchors import Observed, Seen, seen
from plants.care.group import Group, Rule
from plants.care.windows import (
    ClosedPeriod,
    Window,
    closures_about,
    closures_between,
    open_part,
    planting_windows,
    raw_windows,
)
from plants.climate import Climate

YEAR_DAYS = 365.25
REPLACED_TASKS = ("prune", "thin", "cut down")
REPLACED_PURPOSES = ("shape", "structure", "renovation")
"""Ordinary cuts that fall away in a year in which a renovation takes its share."""
NEAR_DAYS = 183
FEED_BEFORE_FROST_DAYS = 56
ANCHORS_BEFORE_DAYS = 183
"""No anchor lies more than half a year before its growing year, and nothing seen moves
one by more."""


def care_year(
    *,
    group: Group,
    climate: Climate,
    start: date,
    days: int = 365,
    planted_on: date | None = None,
    age_years: float | None = None,
    irrigated: bool | None = None,
    ph: float | None = None,
    observed: Observed | None = None,
) -> list[Window]:
    """Windows whose best day falls in so many days from the start, in date order.

    Closed days are cut off, a window without an open day falls away, rules whose
    conditions do not hold are left out, and work that follows other work is moved to
    it. AGE_YEARS is the age at the start when the planting day is not known; without
    either the plant counts as established. An unknown pH meets no pH condition, and
    unknown irrigation counts as none.
    """
    observations = seen(observed)
    found = [
        _in_shares(window, planted_on)
        for window in _candidates(group, climate, start, days, observations)
        if _holds(window, start, planted_on, age_years, irrigated, ph)
    ]
    if planted_on is not None:
        found = [window for window in found if window.best >= planted_on]
        found.extend(
            _once(group, climate, start, days, planted_on, irrigated, ph, observations)
        )
    renewing = _renewing(
        group, climate, start, days, planted_on, age_years, observations
    )
    found = _spared(found, renewing)
    followed = _followed(group, climate, found, observations)
    return sorted(followed, key=by_date)


def by_date(window: Window) -> tuple[date, date, str]:
    """Order of a care year."""
    return window.best, window.earliest, window.rule.key


@lru_cache(maxsize=16384)
def _candidates(
    group: Group, climate: Climate, start: date, days: int, observations: Seen
) -> tuple[Window, ...]:
    """Open windows of the span before a planting's own conditions; cached."""
    end = start + timedelta(days=days)
    has_frost = climate.first_autumn(start.year) is not None
    found = []
    most_before = min((rule.first.days for rule in group.rules), default=0)
    most_before -= ANCHORS_BEFORE_DAYS * (2 if observations else 1)
    first, last = climate.year_of(start) - 1, climate.year_of(end) + 1
    closures = closures_between(group, climate, first, last, observations)
    for year in range(first, last + 1):
        if climate.date_of(most_before, year) >= end:
            break
        for window in raw_windows(group, climate, year, observations):
            # Nothing that stays of it can have its best day in the span.
            if window.latest < start or window.earliest >= end:
                continue
            frost = window.rule.conditions.frost
            if frost is not None and (frost == "needed") != has_frost:
                continue
            part = open_part(window, closures)
            if part is not None and start <= part.best < end:
                found.append(part)
    return tuple(sorted(found, key=by_date))


def _once(
    group: Group,
    climate: Climate,
    start: date,
    days: int,
    planted_on: date,
    irrigated: bool | None,
    ph: float | None,
    observations: Seen,
) -> list[Window]:
    """Open windows counted from the planting day that fall in the span."""
    end = start + timedelta(days=days)
    closures: Sequence[ClosedPeriod] = ()
    found = []
    for window in planting_windows(group, climate, planted_on):
        if not start <= window.best < end:
            continue
        closures = closures or closures_about(
            group, climate, climate.year_of(window.best), observations
        )
        part = open_part(window, closures)
        if part is not None and _holds(part, start, planted_on, None, irrigated, ph):
            found.append(part)
    return found


def _holds(
    window: Window,
    start: date,
    planted_on: date | None,
    age_years: float | None,
    irrigated: bool | None,
    ph: float | None,
) -> bool:
    """Whether a rule's conditions hold for the planting on the best day."""
    rule = window.rule
    needs = rule.conditions
    age = age_on(window.best, start, planted_on, age_years)
    if needs.age_years_min is not None and age is not None:
        if age < needs.age_years_min:
            return False
    if needs.age_years_max is not None:
        if age is None or age > needs.age_years_max:
            return False
    if needs.irrigated is not None and needs.irrigated != bool(irrigated):
        return False
    if needs.ph_above is not None and (ph is None or ph <= needs.ph_above):
        return False
    if needs.ph_below is not None and (ph is None or ph >= needs.ph_below):
        return False
    return rule.repeat is None or _turn(window, planted_on) is not None


def age_on(
    day: date, start: date, planted_on: date | None, age_years: float | None
) -> float | None:
    """Age in years on the day, or None when neither day nor age is known."""
    if planted_on is not None:
        return (day - planted_on).days / YEAR_DAYS
    if age_years is not None:
        return age_years + (day - start).days / YEAR_DAYS
    return None


def _turn(window: Window, planted_on: date | None) -> int | None:
    """Share of work that comes every so many years, from 1; None out of turn.

    The turns of a planting count from its planting, or from the year in which it is
    first old enough; where the planting day is not known, from the year nought.
    """
    repeat = window.rule.repeat
    if repeat is None or repeat.every_years is None:
        return 1
    oldest = window.rule.conditions.age_years_min
    if planted_on is None:
        since = window.year
    elif oldest is None:
        since = window.year - planted_on.year
    else:
        best = window.best
        since = best.year - planted_on.year - ceil(oldest)
        if (best.month, best.day) < (planted_on.month, planted_on.day):
            since -= 1
    share, rest = divmod(since % repeat.every_years, repeat.years_apart)
    return share + 1 if rest == 0 and share < repeat.for_years else None


def _in_shares(window: Window, planted_on: date | None) -> Window:
    """The window with its share, where the work is spread over years."""
    if window.shares == 1:
        return window
    return replace(window, share=_turn(window, planted_on) or 0)


def _renewing(
    group: Group,
    climate: Climate,
    start: date,
    days: int,
    planted_on: date | None,
    age_years: float | None,
    observations: Seen,
) -> dict[int, Rule]:
    """The renovation whose turn it is, by growing year.

    A year beyond either end of the span is looked at as well, as a span may begin
    between the renovation and the ordinary cuts of the same year.
    """
    if not any(_renews_in_turn(rule) for rule in group.rules):
        return {}
    renewals = _renewals(group)
    around = _candidates(
        renewals, climate, start - timedelta(days=366), days + 732, observations
    )
    return {
        window.year: window.rule
        for window in around
        if _renews_in_turn(window.rule)
        and (planted_on is None or window.best >= planted_on)
        and _holds(window, start, planted_on, age_years, None, None)
    }


@lru_cache(maxsize=4096)
def _renewals(group: Group) -> Group:
    """The group with no rules but its renovations, which are quickly hung."""
    return replace(group, rules=tuple(r for r in group.rules if _renews_in_turn(r)))


def _renews_in_turn(rule: Rule) -> bool:
    """Whether the rule is a renovation that comes round every so many years."""
    repeat = rule.repeat
    return (
        "renovat" in f"{rule.task} {rule.purpose}"
        and repeat is not None
        and repeat.every_years is not None
    )


def _spared(found: list[Window], renewing: dict[int, Rule]) -> list[Window]:
    """The windows without the ordinary cuts whose place a renovation takes.

    Both in one year would take more than the renovation's share alone (common
    practice, no source). What follows the renovation by its own words stays.
    """
    kept = []
    gone: dict[int, list[str]] = {}
    for window in found:
        rule, renovation = window.rule, renewing.get(window.year)
        if (
            renovation is not None
            and not _renews_in_turn(rule)
            and not rule.hangs_on_planting
            and rule.task in REPLACED_TASKS
            and rule.purpose in REPLACED_PURPOSES
            and (renovation.follow_up is None or renovation.follow_up.rule != rule.key)
        ):
            gone.setdefault(window.year, []).append(rule.key)
        else:
            kept.append(window)
    return [
        replace(window, replaces=tuple(gone[window.year]))
        if window.year in gone and _renews_in_turn(window.rule)
        else window
        for window in kept
    ]


def _followed(
    group: Group, climate: Climate, found: list[Window], observations: Seen
) -> list[Window]:
    """The windows with each follow-up drawn to the work it follows.

    A follow-up that would land in its closed season keeps its own window.
    """
    leads = [window for window in found if window.rule.follow_up is not None]
    if not leads:
        return found
    drawn: dict[int, Window] = {}
    for lead in sorted(leads, key=by_date):
        follow = lead.rule.follow_up
        rows = [
            (abs(window.best - lead.best), number)
            for number, window in enumerate(found)
            if follow is not None
            and window.rule.key == follow.rule
            and number not in drawn
        ]
        if follow is None or not rows:
            continue
        gap, number = min(rows)
        if gap.days > NEAR_DAYS:
            continue
        moved = _drawn(found[number], lead, follow.within_days, climate)
        closures = closures_about(group, climate, lead.year, observations)
        part = None if moved is None else open_part(moved, closures)
        if part is not None:
            drawn[number] = part
    return [drawn.get(number, window) for number, window in enumerate(found)]


def _drawn(
    window: Window, lead: Window, within_days: int, climate: Climate
) -> Window | None:
    """The window moved to the days after the lead's best day, or None.

    Days that both have are kept; else it lands in the days after the lead. Feeding
    is never moved so late that less than eight weeks remain to the median first frost
    (common practice, no source).
    """
    earliest, latest = lead.best, lead.best + timedelta(days=within_days)
    if window.earliest <= latest and earliest <= window.latest:
        earliest = max(earliest, window.earliest)
        latest = min(latest, window.latest)
    if window.rule.task == "feed":
        frost = climate.first_autumn(climate.year_of(lead.best))
        if frost is not None:
            latest = min(latest, frost - timedelta(days=FEED_BEFORE_FROST_DAYS))
    if earliest > latest:
        return None
    best = min(max(window.best, earliest), latest)
    return replace(
        window, earliest=earliest, best=best, latest=latest, follows=lead.rule.key
    )
