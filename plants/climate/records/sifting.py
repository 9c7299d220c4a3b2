"""What of a file's readings is kept, and the account of what is not."""

from array import array
from collections import Counter
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from datetime import date
from typing import Any

import numpy as np

from plants.climate.records.days import (
    BESIDE,
    ELEMENTS,
    EVERY,
    MISSING,
    DailyRecords,
    Element,
    Truth,
    Whole,
    calendar_of,
    empty_records,
    reals,
)

# World records with a little room: -89.2 and 56.7 °C, 1,825 mm in a day (World
# Meteorological Organization, archive of extremes; from memory). A day's mean wind of
# 60 m/s at 2 m is a hurricane's; a day has 1,440 minutes.
BOUNDS: dict[Element, tuple[int, int]] = {
    "tmax": (-900, 570),
    "tmin": (-900, 570),
    "rain": (0, 19000),
    "wind": (0, 6000),
    "humidity": (0, 1000),
    "humidity_max": (0, 1000),
    "humidity_min": (0, 1000),
    "sunshine": (0, 1440),
    "sun_share": (0, 1000),
}
WORDS: dict[Element, str] = {
    "tmax": "highest temperatures",
    "tmin": "lowest temperatures",
    "rain": "amounts of rain",
    "wind": "readings of wind",
    "humidity": "mean humidities",
    "humidity_max": "highest humidities",
    "humidity_min": "lowest humidities",
    "sunshine": "hours of sunshine",
    "sun_share": "shares of sunshine",
}
FIRST_YEAR, LAST_YEAR = 1700, 2200
FEWEST_DAYS = 30
MOST_IMPOSSIBLE = 0.02
MOST_CROSSED = 0.05
MOST_UNREAD = 0.1
WIDEST_RANGE_K = 25.0
WIDEST_MONTH_K = 20.0
DRIEST_PERCENT = 5.0
"""No place has so dry a mean over its record (common practice, no source)."""


class RecordError(ValueError):
    """A file that no daily weather can be read from; says why."""


@dataclass
class Readings:
    """Readings as they come out of a file, in tenths, in any order."""

    days: dict[Element, "array[int]"] = field(
        default_factory=lambda: {element: array("q") for element in EVERY}
    )
    values: dict[Element, "array[int]"] = field(
        default_factory=lambda: {element: array("q") for element in EVERY}
    )
    flagged: dict[Element, Counter[str]] = field(
        default_factory=lambda: {element: Counter() for element in EVERY}
    )
    marked_missing: Counter[str] = field(default_factory=Counter)
    lines: int = 0
    unread_lines: int = 0
    own_units: int = 0

    def add(self, element: Element, day: int, tenths: int) -> None:
        """Notes one reading; DAY is the ordinal of a date."""
        self.days[element].append(day)
        self.values[element].append(tenths)


@dataclass(frozen=True, kw_only=True)
class Report:
    """What was read, dropped and missing in one file."""

    form: str
    station_id: str
    first: date
    last: date
    days: int
    kept: Mapping[str, int]
    flagged: Mapping[str, Mapping[str, int]]
    impossible: Mapping[str, int]
    contradicting: Mapping[str, int]
    missing: Mapping[str, int]
    marked_missing: Mapping[str, int]
    crossed: int
    doubled: int
    unread_lines: int
    own_units: int
    was_unsorted: bool
    gaps: tuple[tuple[date, date], ...]
    units: Mapping[str, str]

    def as_json(self) -> dict[str, Any]:
        """The same as plain values that can be kept."""
        kept = asdict(self)
        kept["first"], kept["last"] = self.first.isoformat(), self.last.isoformat()
        kept["gaps"] = [[one.isoformat(), two.isoformat()] for one, two in self.gaps]
        return kept


def sift(
    readings: Readings, *, form: str, station_id: str, units: Mapping[Element, str]
) -> tuple[DailyRecords, Report]:
    """The record that can be kept of the readings, with the account, or RecordError."""
    if readings.unread_lines > max(10, MOST_UNREAD * readings.lines):
        raise RecordError(
            f"{readings.unread_lines} of {readings.lines} lines cannot be read as "
            "days. Is this a file of daily weather?"
        )
    sifted = {
        element: _sift_one(readings, element)
        for element in EVERY
        if element in ELEMENTS or readings.values[element] or readings.flagged[element]
    }
    _check_bounds(sifted)
    days = [
        one.days
        for element, one in sifted.items()
        if element in ELEMENTS and len(one.days)
    ]
    if not days or not len(sifted["tmax"].days) or not len(sifted["tmin"].days):
        raise RecordError(
            "No days with a highest and a lowest temperature are in this file."
        )
    first = date.fromordinal(int(min(one[0] for one in days)))
    last = date.fromordinal(int(max(one[-1] for one in days)))
    records = empty_records(first.year, last.year)
    start = records.start.toordinal()
    for element, one in sifted.items():
        slots = records.room_for(element)
        # A day with nothing but wind or sun is no day of the record.
        place = one.days - start
        inside = (place >= 0) & (place < len(slots))
        slots[place[inside]] = one.values[inside]
    crossed = _drop_crossed(records)
    crossed_humidity = _drop_crossed_humidity(records)
    _check(records, crossed)
    begin, end = records.place_of(first), records.place_of(last) + 1
    read = records.is_read()[begin:end]
    return records, Report(
        form=form,
        station_id=station_id,
        first=first,
        last=last,
        days=int(read.sum()),
        kept={one: int((records.of(one) != MISSING).sum()) for one in sifted},
        flagged={
            one: dict(sorted(readings.flagged[one].items()))
            for one in sifted
            if readings.flagged[one]
        },
        impossible={
            one: found.impossible
            + (crossed_humidity if one in {"humidity_min", "humidity_max"} else 0)
            for one, found in sifted.items()
        },
        contradicting={one: found.contradicting for one, found in sifted.items()},
        missing={
            one: int((records.of(one)[begin:end] == MISSING).sum()) for one in sifted
        },
        marked_missing=dict(readings.marked_missing),
        crossed=crossed,
        doubled=max(one.doubled for one in sifted.values()),
        unread_lines=readings.unread_lines,
        own_units=readings.own_units,
        was_unsorted=any(one.was_unsorted for one in sifted.values()),
        gaps=_gaps(read, first),
        units={element: units[element] for element in sifted if element in units},
    )


@dataclass(frozen=True)
class _One:
    """The sifted readings of one element, in order of days."""

    days: Whole
    values: Whole
    impossible: int
    contradicting: int
    doubled: int
    was_unsorted: bool


def _sift_one(readings: Readings, element: Element) -> _One:
    days = np.array(readings.days[element], dtype=np.int64)
    values = np.array(readings.values[element], dtype=np.int64)
    was_unsorted = bool((np.diff(days) < 0).any())
    lowest, highest = BOUNDS[element]
    earliest = date(FIRST_YEAR, 1, 1).toordinal()
    latest = date(LAST_YEAR, 1, 1).toordinal()
    possible = (values >= lowest) & (values <= highest)
    possible &= (days >= earliest) & (days < latest)
    impossible = int((~possible).sum())
    days, values = days[possible], values[possible]
    order = np.lexsort((values, days))
    days, values = days[order], values[order]
    same_day = np.diff(days) == 0
    same_value = np.diff(values) == 0
    twins = np.zeros(len(days), dtype=np.bool_)
    twins[1:] = same_day & same_value
    at_odds = days[1:][same_day & ~same_value]
    keep = ~twins & ~np.isin(days, at_odds)
    return _One(
        days=days[keep],
        values=values[keep],
        impossible=impossible,
        contradicting=len(np.unique(at_odds)),
        doubled=int(twins.sum()),
        was_unsorted=was_unsorted,
    )


def _drop_crossed(records: DailyRecords) -> int:
    """Empties the days whose low is over their high; how many they were."""
    both = (records.tmin != MISSING) & (records.tmax != MISSING)
    crossed = both & (records.tmin > records.tmax)
    records.tmin[crossed] = MISSING
    records.tmax[crossed] = MISSING
    return int(crossed.sum())


def _drop_crossed_humidity(records: DailyRecords) -> int:
    """Empties the days whose lowest humidity is over their highest; how many."""
    if not {"humidity_min", "humidity_max"} <= records.beside.keys():
        return 0
    low, high = records.of("humidity_min"), records.of("humidity_max")
    crossed = (low != MISSING) & (high != MISSING) & (low > high)
    low[crossed] = MISSING
    high[crossed] = MISSING
    return int(crossed.sum())


def _check_bounds(sifted: Mapping[Element, _One]) -> None:
    """Refuses a file of which a whole column is impossible."""
    for element, one in sifted.items():
        count = len(one.days) + one.impossible
        if one.impossible > max(3, MOST_IMPOSSIBLE * count):
            raise RecordError(
                f"{one.impossible} of {count} {WORDS[element]} are such as no place on "
                "earth has. Is the unit right, or are two units mixed?"
            )
        is_humid = element in BESIDE and element.startswith("humidity")
        if is_humid and count and one.values.mean() < 10 * DRIEST_PERCENT:
            raise RecordError(
                f"The {WORDS[element]} are under {DRIEST_PERCENT:.0f} % in the mean. "
                "They are read as per cent from 0 to 100: are they shares of 1?"
            )


def _check(records: DailyRecords, crossed: int) -> None:
    """Refuses what looks like wrong or mixed units, or too little to be a record."""
    both = (records.tmin != MISSING) & (records.tmax != MISSING)
    days = int(both.sum())
    if crossed > max(3, MOST_CROSSED * (days + crossed)):
        raise RecordError(
            f"On {crossed} of {days + crossed} days the lowest temperature is over the "
            "highest. Are the columns the right way round and their units right?"
        )
    if days < FEWEST_DAYS:
        raise RecordError(
            f"Only {days} days with both temperatures are in this file: a record "
            f"begins with {FEWEST_DAYS}."
        )
    reach = (records.tmax[both].astype(np.int64) - records.tmin[both]).mean() / 10
    if reach > WIDEST_RANGE_K:
        raise RecordError(
            f"Between the lowest and the highest of a day lie {reach:.0f} °C in the "
            "mean, more than in any desert. Is one of the two in another unit?"
        )
    for element in ELEMENTS[:2]:
        jump = _month_jump(records, element)
        if jump > WIDEST_MONTH_K:
            raise RecordError(
                f"In the {WORDS[element]} the same months of different years lie "
                f"{jump:.0f} °C apart. Two units are mixed in this column: divide the "
                "file where the unit changes."
            )


def _month_jump(records: DailyRecords, element: Element) -> float:
    """How far the means of one month lie apart between years, the middle of the months.

    Natural years differ by some 8 °C, in the hardest continental winters by 25.
    """
    calendar = calendar_of(records)
    values = reals(records.of(element))
    good = ~np.isnan(values)
    key = (calendar.year[good] - records.first_year) * 12 + calendar.month[good]
    size = (records.last_year - records.first_year + 1) * 12
    counts = np.bincount(key, minlength=size)
    sums = np.bincount(key, weights=values[good], minlength=size)
    table = np.full(size, np.nan)
    enough = counts >= 10
    table[enough] = sums[enough] / counts[enough]
    by_month = table.reshape(-1, 12)
    reaches = [
        float(np.nanmax(column) - np.nanmin(column))
        for column in by_month.T
        if (~np.isnan(column)).sum() > 1
    ]
    return float(np.median(reaches)) if reaches else 0.0


def _gaps(read: Truth, first: date) -> tuple[tuple[date, date], ...]:
    """Runs of at least a month of days without any reading."""
    edges = np.diff(np.concatenate(([False], ~read, [False])).astype(np.int8))
    starts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    origin = first.toordinal()
    return tuple(
        (
            date.fromordinal(origin + int(begin)),
            date.fromordinal(origin + int(end) - 1),
        )
        for begin, end in zip(starts, ends, strict=True)
        if end - begin >= FEWEST_DAYS
    )
