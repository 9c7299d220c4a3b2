"""Degree days of recorded days over 50 F, by four methods, and the sums of one year.

The methods are those of the University of California's pest management programme:
average; modified (high and low first lifted to the base); capped, which also lowers
them to 86 F; and the single sine, the area of a sine curve through the day's low and
high over the base. They differ by a factor of two early in the year, so that the
method always stands beside a total.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal, get_args

import numpy as np

from plants.climate.records.days import DailyRecords, Real, reals

RecordMethod = Literal["average", "modified", "capped", "sine"]
METHODS: tuple[RecordMethod, ...] = get_args(RecordMethod)
METHOD_WORDS: Mapping[RecordMethod, str] = {
    "average": "mean of high and low less 50 F, never below nought",
    "modified": "high and low first lifted to 50 F",
    "capped": "high and low first held between 50 and 86 F",
    "sine": "area over 50 F of a sine curve through low and high",
}
BASE_F = 50.0
CAP_F = 86.0
LONGEST_BRIDGE = 5
"""Days without a reading that a running total is carried over; common practice, no
source."""


def day_totals(
    high_f: Real, low_f: Real, *, method: RecordMethod, base_f: float = BASE_F
) -> Real:
    """Degree days (F) of each day; NaN where a reading is missing."""
    if method == "sine":
        return _sine(high_f, low_f, base_f)
    if method in {"modified", "capped"}:
        high_f, low_f = np.maximum(high_f, base_f), np.maximum(low_f, base_f)
    if method == "capped":
        high_f, low_f = np.minimum(high_f, CAP_F), np.minimum(low_f, CAP_F)
    return np.maximum((high_f + low_f) / 2 - base_f, 0.0)


def _sine(high: Real, low: Real, base: float) -> Real:
    mean, reach = (high + low) / 2, (high - low) / 2
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        angle = np.arcsin(np.clip((base - mean) / reach, -1, 1))
    part = ((mean - base) * (np.pi / 2 - angle) + reach * np.cos(angle)) / np.pi
    out: Real = np.where(high <= base, 0.0, np.where(low >= base, mean - base, part))
    out[np.isnan(mean)] = np.nan
    return out


def record_totals(
    records: DailyRecords, *, method: RecordMethod, base_f: float = BASE_F
) -> Real:
    """Degree days (F) of each slot of a record; NaN where a reading is missing."""
    high, low = reals(records.tmax) * 1.8 + 32, reals(records.tmin) * 1.8 + 32
    return day_totals(high, low, method=method, base_f=base_f)


@dataclass(frozen=True, kw_only=True)
class YearTotals:
    """Running degree days (F, base 50) of one growing year, as far as it was read.

    TOTALS starts with the first day; BRIDGED days had no reading and were given the
    mean of the days around them.
    """

    method: RecordMethod
    first: date
    totals: tuple[float, ...]
    bridged: int

    @property
    def last(self) -> date | None:
        """The last day in the totals; None before any day was read."""
        if not self.totals:
            return None
        return self.first + timedelta(days=len(self.totals) - 1)

    def on(self, day: date) -> float | None:
        """The total at the end of a day; None where the record does not reach."""
        place = (day - self.first).days
        return self.totals[place] if 0 <= place < len(self.totals) else None

    def reached(self, total: float) -> date | None:
        """The first day on which the total was reached; None when it was not yet."""
        for place, so_far in enumerate(self.totals):
            if so_far >= total:
                return self.first + timedelta(days=place)
        return None


def degree_days_of_year(
    records: DailyRecords,
    year: int,
    method: RecordMethod = "average",
    *,
    southern: bool = False,
) -> YearTotals:
    """Running degree days of a growing year, from its first day as far as it is read.

    The year starts on 1 January, south of the equator on 1 July of YEAR. Up to five
    days without a reading are bridged; a longer gap ends the totals, because what came
    after it cannot be told.
    """
    first = date(year, 7 if southern else 1, 1)
    after = first.replace(year=year + 1)
    begin, end = records.place_of(first), records.place_of(after)
    days = record_totals(records, method=method)
    if begin < 0 or begin >= len(days):
        return YearTotals(method=method, first=first, totals=(), bridged=0)
    part = days[begin:end].copy()
    read = np.flatnonzero(~np.isnan(part))
    bridged = 0
    reach = -1
    for place in read.tolist():
        gap = place - reach - 1
        # Nothing lies before the first day, so a gap there is never bridged.
        if gap > LONGEST_BRIDGE or (gap and reach < 0):
            break
        if gap:
            part[reach + 1 : place] = (part[reach] + part[place]) / 2
            bridged += gap
        reach = place
    totals = tuple(float(total) for total in np.cumsum(part[: reach + 1]))
    return YearTotals(method=method, first=first, totals=totals, bridged=bridged)
