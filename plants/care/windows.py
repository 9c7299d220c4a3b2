"""Windows of a year: when a rule's work falls, and when harm is done instead."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import lru_cache

from plants.care.anchors import Observed, Seen, seen, year_anchors
from plants.care.group import ClosedSeason, Group, Moment, Rule
from plants.climate import Climate

Anchors = Mapping[str, date | None]

ONE_DAY = timedelta(days=1)

MOST_WINDOW_DAYS = 300
"""A longer window has its end before its beginning and found the next year's."""


@dataclass(frozen=True, slots=True)
class Window:
    """Earliest, best and latest day of a rule's work in a growing year.

    SHARE counts the years of work that is spread over several, from 1; 0 where it is
    done in one. REPLACES names the ordinary cuts whose place a renovation takes in its
    year.
    """

    rule: Rule
    earliest: date
    best: date
    latest: date
    year: int
    follows: str = ""
    share: int = 0
    replaces: tuple[str, ...] = ()

    @property
    def shares(self) -> int:
        """Over how many years the work is spread."""
        repeat = self.rule.repeat
        return 1 if repeat is None else repeat.for_years

    @property
    def layer(self) -> str:
        """Who wrote the rule."""
        return self.rule.layer


@dataclass(frozen=True, slots=True)
class ClosedPeriod:
    """The days of one closed season, both ends in it; None where it has no end."""

    season: ClosedSeason
    first: date | None
    last: date | None

    @property
    def key(self) -> str:
        """Key of the season."""
        return self.season.key

    @property
    def why(self) -> str:
        """Harm that is done inside it."""
        return self.season.why

    @property
    def source(self) -> str:
        """Where the season comes from."""
        return self.season.source

    @property
    def layer(self) -> str:
        """Who wrote it."""
        return self.season.layer

    def holds_on(self, day: date) -> bool:
        """Whether the day lies in it."""
        return (self.first is None or self.first <= day) and (
            self.last is None or day <= self.last
        )


def windows(
    *,
    group: Group,
    climate: Climate,
    year: int,
    planted_on: date | None = None,
    observed: Observed | None = None,
) -> list[Window]:
    """Windows of the growing year as the anchors say, in date order.

    Closed seasons and conditions are not yet looked at; a window whose anchor the
    place lacks is left out, see `unhung`.
    """
    found = list(raw_windows(group, climate, year, seen(observed)))
    if planted_on is not None and climate.year_of(planted_on) == year:
        found.extend(planting_windows(group, climate, planted_on))
    return sorted(found, key=_by_date)


def unhung(*, group: Group, climate: Climate, year: int) -> list[tuple[Rule, str]]:
    """Rules without a window here, each with the anchor the place does not have."""
    here = year_anchors(climate, group.timing, year, ())
    missing = []
    for rule in group.rules:
        if rule.always or rule.hangs_on_planting:
            continue
        for moment in (rule.first, rule.best, rule.last):
            if here[moment.anchor] is None:
                missing.append((rule, moment.anchor))
                break
    return missing


@lru_cache(maxsize=32768)
def raw_windows(
    group: Group, climate: Climate, year: int, observations: Seen
) -> tuple[Window, ...]:
    """Windows of the year, those counted from planting apart; cached."""
    years = _Years(group, climate, year, observations)
    found = []
    for rule in group.rules:
        if rule.always:
            found.append(_always(rule, group, years))
        elif not rule.hangs_on_planting:
            window = _hang(rule, years)
            if window is not None:
                found.extend(_repeated(window))
    return tuple(found)


def planting_windows(group: Group, climate: Climate, planted_on: date) -> list[Window]:
    """Windows that are counted once, from the day of planting."""
    rules = [rule for rule in group.rules if rule.hangs_on_planting]
    if not rules:
        return []
    year = climate.year_of(planted_on)
    years = _Years(group, climate, year, (), planted_on)
    found: list[Window] = []
    for rule in rules:
        window = _hang(rule, years)
        if window is not None:
            found.extend(_repeated(window))
    return found


@lru_cache(maxsize=32768)
def closed_periods(
    group: Group, climate: Climate, year: int, observations: Seen
) -> tuple[ClosedPeriod, ...]:
    """Closed seasons that begin in the growing year, and those without an end."""
    years = _Years(group, climate, year, observations)
    found = []
    for season in group.closed:
        if season.first is None or season.last is None:
            found.append(ClosedPeriod(season, None, None))
            continue
        first = years.day(season.first, 0)
        if first is None:
            continue
        last = years.day_from(season.last, first)
        if last is not None:
            found.append(ClosedPeriod(season, first, last))
    return tuple(found)


@lru_cache(maxsize=32768)
def closures_about(
    group: Group, climate: Climate, year: int, observations: Seen
) -> tuple[ClosedPeriod, ...]:
    """Closed periods that can touch a window of the growing year."""
    return closures_between(group, climate, year, year, observations)


def closures_between(
    group: Group, climate: Climate, first: int, last: int, observations: Seen
) -> tuple[ClosedPeriod, ...]:
    """Closed periods that can touch a window of these growing years."""
    found = dict.fromkeys(
        period
        for near in range(first - 2, last + 3)
        for period in closed_periods(group, climate, near, observations)
    )
    return tuple(found)


def open_part(window: Window, closures: Iterable[ClosedPeriod]) -> Window | None:
    """The part of a window outside the closed periods, nearest to its best day.

    None when nothing of it is left.
    """
    rule = window.rule
    start, end = window.earliest, window.latest
    in_the_way = [
        period
        for period in closures
        if (period.first is None or period.first <= end)
        and (period.last is None or period.last >= start)
        and period.season.holds_for(rule.task, rule.purpose)
    ]
    if not in_the_way:
        return window
    pieces = [(start, end)]
    for period in in_the_way:
        pieces = [left for piece in pieces for left in _without(piece, period)]
    if not pieces:
        return None

    def away(piece: tuple[date, date]) -> tuple[int, date]:
        nearest = min(max(window.best, piece[0]), piece[1])
        return abs((nearest - window.best).days), piece[0]

    earliest, latest = min(pieces, key=away)
    best = min(max(window.best, earliest), latest)
    return replace(window, earliest=earliest, best=best, latest=latest)


def _without(
    piece: tuple[date, date], period: ClosedPeriod
) -> Iterator[tuple[date, date]]:
    first, last = piece
    if period.first is None or period.last is None:
        return
    if period.last < first or last < period.first:
        yield piece
        return
    if first < period.first:
        yield first, period.first - ONE_DAY
    if period.last < last:
        yield period.last + ONE_DAY, last


def best_too_late(group: Group, climate: Climate, year: int) -> list[Rule]:
    """Rules whose best day hangs on another anchor and falls after the latest day."""
    years = _Years(group, climate, year, ())
    found = []
    for rule in group.rules:
        if rule.always or rule.hangs_on_planting:
            continue
        earliest = years.day(rule.first, 0)
        best = earliest and years.day_from(rule.best, earliest)
        latest = earliest and years.day_from(rule.last, earliest)
        if best is not None and latest is not None and best > latest:
            found.append(rule)
    return found


class _Years:
    """Anchors of a growing year and of those beside it."""

    def __init__(
        self,
        group: Group,
        climate: Climate,
        year: int,
        observations: Seen,
        planted_on: date | None = None,
    ) -> None:
        self.year = year
        self._timing = group.timing
        self._climate = climate
        self._observations = observations
        self._planted_on = planted_on
        self._found: dict[int, Anchors] = {}

    def anchors(self, ahead: int) -> Anchors:
        """Anchors of a year so many years ahead."""
        found = self._found.get(ahead)
        if found is None:
            found = self._found[ahead] = year_anchors(
                self._climate, self._timing, self.year + ahead, self._observations
            )
        return found

    def span(self) -> tuple[date, date]:
        """First and last day of the growing year."""
        first = self._climate.date_of(0, self.year)
        return first, self._climate.date_of(0, self.year + 1) - ONE_DAY

    def day(self, moment: Moment, ahead: int) -> date | None:
        """The moment in a year so many years ahead."""
        anchor, days = moment
        if anchor == "planting_day":
            found = self._planted_on
        else:
            found = (self._found.get(ahead) or self.anchors(ahead))[anchor]
        return found if found is None or not days else found + _days(days)

    def day_from(self, moment: Moment, start: date) -> date | None:
        """The moment's first day on or after the start.

        A season that starts in autumn ends at the next year's spring anchor.
        """
        for ahead in (0, 1, 2):
            found = self.day(moment, ahead)
            if found is not None and found >= start:
                return found
        return None


@lru_cache(maxsize=2048)
def _days(number: int) -> timedelta:
    return timedelta(days=number)


def _hang(rule: Rule, years: _Years) -> Window | None:
    earliest = years.day(rule.first, 0)
    if earliest is None:
        return None
    best = years.day_from(rule.best, earliest)
    if best is None:
        return None
    latest = years.day_from(rule.last, earliest)
    if latest is None or (latest - earliest).days > MOST_WINDOW_DAYS:
        return None
    # Anchors move apart and together from place to place; the ends hold the best day.
    return Window(rule, earliest, min(best, latest), latest, years.year)


def _always(rule: Rule, group: Group, years: _Years) -> Window:
    """The whole year, best with the main cut or else in late winter."""
    first, last = years.span()
    best = None
    for other in group.rules:
        if other.task in ("prune", "thin") and not other.hangs_on_planting:
            best = None if other.always else years.day(other.best, 0)
            if best is not None:
                break
    if best is None:
        best = years.day(Moment("late_winter", 0), 0) or first
    return Window(rule, first, min(max(best, first), last), last, years.year)


def _repeated(window: Window) -> Sequence[Window]:
    """One window for each return of a task that comes again after some days."""
    repeat = window.rule.repeat
    if repeat is None or repeat.every_days is None:
        return (window,)
    step = timedelta(days=repeat.every_days)
    # A rest of under half a step is no return of its own.
    returns = max(1, round((window.latest - window.earliest + ONE_DAY) / step))
    found = []
    for number in range(returns):
        day = window.earliest + number * step
        last = window.latest if number == returns - 1 else day + step - ONE_DAY
        found.append(replace(window, earliest=day, best=day, latest=last))
    return found


def _by_date(window: Window) -> tuple[date, date, str]:
    return window.best, window.earliest, window.rule.key
