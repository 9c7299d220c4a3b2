"""Last spring and first autumn frost out of daily lows, years without one counted in.

A cold season runs from 1 August to 31 July in the north and from 1 February to
31 January in the south, so that it may hold a new year. Its first frost is that of the
autumn, its last that of the spring, at 36, 32 and 28 F. Chances are read by rank among
all years: a year without frost has its autumn frost never and its spring frost before
all others, and stays in the count. So a place where frost comes in two years of ten has
a 10 % date and no 50 % date (NCEI keeps the chance of any frost for the same reason).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from plants.climate.lines import MONTH_DAYS, MONTH_STARTS
from plants.climate.records.days import MISSING, DailyRecords, Tenths

THRESHOLDS_F = (36, 32, 28)
CHANCES = (10, 50, 90)
ENOUGH = 0.9
"""Share of the days before a first frost, or after a last one, that must have been
read (common practice, no source)."""

MonthDay = tuple[int, int]
NEVER = math.inf


def tenths_of_f(warmth_f: float) -> int:
    """A temperature in F as the tenth of a °C that records keep it as."""
    return round((warmth_f - 32) * 50 / 9)


@dataclass(frozen=True)
class FrostYear:
    """One year's frost date as a place in the cold season (0 to 364).

    Without frost it is plus or minus infinity: autumn's never comes, spring's lies
    before every other.
    """

    year: int
    place: float

    @property
    def has_frost(self) -> bool:
        return math.isfinite(self.place)


@dataclass(frozen=True, kw_only=True)
class Frosts:
    """The frost dates of a run of years at one threshold."""

    threshold_f: int
    southern: bool
    spring: tuple[FrostYear, ...]
    autumn: tuple[FrostYear, ...]

    def spring_date(self, chance: int) -> MonthDay | None:
        """Frost comes after this date in so many of 100 years; None without frost."""
        return self._date(ranked([one.place for one in self.spring], 100 - chance))

    def autumn_date(self, chance: int) -> MonthDay | None:
        """Frost has come by this date in so many of 100 years; None without frost."""
        return self._date(ranked([one.place for one in self.autumn], chance))

    def season_days(self, chance: int) -> int | None:
        """Frost-free days that so many of 100 years have or exceed; None: all year."""
        lengths = [length for _year, length in self.seasons()]
        found = ranked(lengths, 100 - chance)
        return None if math.isinf(found) or math.isnan(found) else round(found)

    def seasons(self) -> list[tuple[int, float]]:
        """Year and days between its last spring and its first autumn frost."""
        autumns = {one.year: one.place for one in self.autumn}
        out = []
        for spring in self.spring:
            # In the south the autumn that ends a season lies in the year after.
            autumn = autumns.get(spring.year + self.southern)
            if autumn is not None:
                out.append((spring.year, 365 + autumn - spring.place))
        return out

    def month_day(self, place: float) -> MonthDay:
        """Month and day of a place of the cold season."""
        return month_day_of(place, southern=self.southern)

    def _date(self, place: float) -> MonthDay | None:
        return self.month_day(place) if math.isfinite(place) else None


def month_day_of(place: float, *, southern: bool) -> MonthDay:
    """Month and day of a place (0 to 364) of the cold season."""
    start = MONTH_STARTS[1 if southern else 7]
    day = (start + math.floor(place + 0.5)) % 365
    month = max(number for number in range(12) if MONTH_STARTS[number] <= day)
    return month + 1, day - MONTH_STARTS[month] + 1


def spring_risk(places: Sequence[int | None], place: int) -> float:
    """Share of the years with a frost on or after a place; None is a year without."""
    return sum(one is not None and one >= place for one in places) / len(places)


def autumn_risk(places: Sequence[int | None], place: int) -> float:
    """Share of the years with a frost on or before a place; None is a year without."""
    return sum(one is not None and one <= place for one in places) / len(places)


def ranked(values: Sequence[float], percent: int) -> float:
    """The figure that so many of 100 do not exceed, by nearest rank.

    The middle of an even number is the mean of the two in the middle; with only one of
    them finite there is none. Not a number without values.
    """
    if not values:
        return math.nan
    ordered = sorted(values)
    count = len(ordered)
    rank = max(math.ceil(count * percent / 100 - 1e-9), 1)
    if percent == 50 and count % 2 == 0:
        low, high = ordered[rank - 1], ordered[rank]
        return low if low == high else (low + high) / 2
    return ordered[rank - 1]


def frosts_at(
    records: DailyRecords,
    *,
    threshold_f: int,
    southern: bool,
    first_year: int,
    last_year: int,
) -> Frosts:
    """The frost dates of all years of a period whose days were read well enough."""
    threshold = tenths_of_f(threshold_f)
    springs: list[FrostYear] = []
    autumns: list[FrostYear] = []
    for start_year in range(first_year - 1, last_year + 1):
        start = date(start_year, 2 if southern else 8, 1)
        values = _slots(records, start)
        read = values != MISSING
        found = np.flatnonzero(read & (values <= threshold))
        # A first frost hangs on the days before it, a last one on those after it.
        before = read if not len(found) else read[: int(found[0]) + 1]
        after = read if not len(found) else read[int(found[-1]) :]
        if before.mean() >= ENOUGH:
            place = _place(start, int(found[0])) if len(found) else NEVER
            autumns.append(FrostYear(start_year, place))
        if after.mean() >= ENOUGH:
            place = _place(start, int(found[-1])) if len(found) else -NEVER
            springs.append(FrostYear(start_year + (not southern), place))
    return Frosts(
        threshold_f=threshold_f,
        southern=southern,
        spring=tuple(one for one in springs if first_year <= one.year <= last_year),
        autumn=tuple(one for one in autumns if first_year <= one.year <= last_year),
    )


def _slots(records: DailyRecords, start: date) -> Tenths:
    """The lows of the year that begins on START, missing where not in the record."""
    after = start.replace(year=start.year + 1)
    length = (after - start).days
    out = np.full(length, MISSING, dtype=np.int16)
    begin = records.place_of(start)
    low, high = max(begin, 0), min(begin + length, len(records.tmin))
    if low < high:
        out[low - begin : high - begin] = records.tmin[low:high]
    return out


def _place(start: date, number: int) -> int:
    """The place of a day in a cold season of 365 days; 29 February is the 28th."""
    day = date.fromordinal(start.toordinal() + number)
    of_year = MONTH_STARTS[day.month - 1] + min(day.day, MONTH_DAYS[day.month - 1]) - 1
    return (of_year - MONTH_STARTS[start.month - 1]) % 365
