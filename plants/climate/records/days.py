"""Daily readings in one unbroken run of whole years, in tenths as NOAA keeps them.

Temperatures are tenths of a degree Celsius, rain is tenths of a millimetre. What some
stations read beside them: wind in hundredths of m/s at 2 m, humidities and the share of
possible sunshine in tenths of a per cent, sunshine in minutes. A threshold is rounded
to the same tenth before it is compared, so that a reading of 28 F, which is kept as
-2.2 °C, counts as 28 F.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Literal, NamedTuple

import numpy as np
import numpy.typing as npt

Element = Literal[
    "tmax",
    "tmin",
    "rain",
    "wind",
    "humidity",
    "humidity_max",
    "humidity_min",
    "sunshine",
    "sun_share",
]
Whole = npt.NDArray[np.int64]
Real = npt.NDArray[np.float64]
Truth = npt.NDArray[np.bool_]
Tenths = npt.NDArray[np.int16]

ELEMENTS: tuple[Element, ...] = ("tmax", "tmin", "rain")
BESIDE: tuple[Element, ...] = (
    "wind",
    "humidity",
    "humidity_max",
    "humidity_min",
    "sunshine",
    "sun_share",
)
"""What few stations read; a day counts as read without them."""

EVERY: tuple[Element, ...] = (*ELEMENTS, *BESIDE)
MISSING = -32768
"""Stands where a day has no reading; no place on earth is so cold."""

YearValues = Mapping[str, Sequence[int | None]]


class Change(NamedTuple):
    """What laying one record over another did to the days."""

    new: int
    changed: int
    same: int


@dataclass(frozen=True, eq=False)
class DailyRecords:
    """Readings from 1 January of the first year to 31 December of the last.

    BESIDE holds the slots of what was read beside temperatures and rain.
    """

    first_year: int
    tmax: Tenths
    tmin: Tenths
    rain: Tenths
    beside: dict[Element, Tenths] = field(default_factory=dict)

    @property
    def start(self) -> date:
        """1 January of the first year."""
        return date(self.first_year, 1, 1)

    @property
    def last_year(self) -> int:
        """The year of the last slot."""
        return date.fromordinal(self.start.toordinal() + len(self.tmax) - 1).year

    def of(self, element: Element) -> Tenths:
        """The slots of one element, empty ones where it was never read."""
        if element in BESIDE:
            found = self.beside.get(element)
            return _blank(len(self.tmax)) if found is None else found
        values: Tenths = getattr(self, element)
        return values

    def room_for(self, element: Element) -> Tenths:
        """The slots of one element to write to."""
        if element in BESIDE and element not in self.beside:
            self.beside[element] = _blank(len(self.tmax))
        return self.of(element)

    def is_read(self) -> Truth:
        """Where a day has any reading at all."""
        found: Truth = np.zeros(len(self.tmax), dtype=np.bool_)
        for element in ELEMENTS:
            found |= self.of(element) != MISSING
        return found

    def place_of(self, day: date) -> int:
        """The slot of a day, which may lie outside the record."""
        return day.toordinal() - self.start.toordinal()

    def day_at(self, place: int) -> date:
        """The day of a slot."""
        return date.fromordinal(self.start.toordinal() + place)

    def span(self) -> tuple[date, date] | None:
        """First and last day that has a reading; None without any."""
        found = np.flatnonzero(self.is_read())
        if not len(found):
            return None
        return self.day_at(int(found[0])), self.day_at(int(found[-1]))

    def years(self) -> dict[int, dict[str, list[int | None]]]:
        """The readings by year and element, None where one is missing."""
        kept: dict[int, dict[str, list[int | None]]] = {}
        is_read = self.is_read()
        for year in range(self.first_year, self.last_year + 1):
            first = self.place_of(date(year, 1, 1))
            after = self.place_of(date(year + 1, 1, 1))
            if not is_read[first:after].any():
                continue
            kept[year] = {
                element: [
                    None if value == MISSING else int(value)
                    for value in self.of(element)[first:after].tolist()
                ]
                for element in (*ELEMENTS, *self.beside)
                if element in ELEMENTS
                or (self.of(element)[first:after] != MISSING).any()
            }
        return kept


def empty_records(first_year: int, last_year: int) -> DailyRecords:
    """Whole years without any reading."""
    length = (date(last_year + 1, 1, 1) - date(first_year, 1, 1)).days
    return DailyRecords(first_year, _blank(length), _blank(length), _blank(length))


def _blank(length: int) -> Tenths:
    return np.full(length, MISSING, dtype=np.int16)


def records_of_years(years: Mapping[int, YearValues]) -> DailyRecords | None:
    """The record that was kept by year; None when nothing was kept."""
    if not years:
        return None
    made = empty_records(min(years), max(years))
    for year, values in years.items():
        first = made.place_of(date(year, 1, 1))
        for element in EVERY:
            if element not in values:
                continue
            kept = [MISSING if value is None else value for value in values[element]]
            made.room_for(element)[first : first + len(kept)] = kept
    return made


def laid_over(
    old: DailyRecords | None, new: DailyRecords
) -> tuple[DailyRecords, Change]:
    """OLD with the readings of NEW put over it, and how many days that touched.

    A day that NEW does not know stays as it was, so a second reading of a file changes
    nothing and a newer file adds its days.
    """
    if old is None:
        return new, Change(new=int(new.is_read().sum()), changed=0, same=0)
    made = empty_records(
        min(old.first_year, new.first_year), max(old.last_year, new.last_year)
    )
    was = np.zeros(len(made.tmax), dtype=np.bool_)
    touched = was.copy()
    at = made.place_of(old.start)
    was[at : at + len(old.tmax)] = old.is_read()
    for element in EVERY:
        if element in BESIDE and element not in {*old.beside, *new.beside}:
            continue
        slots = made.room_for(element)
        slots[at : at + len(old.tmax)] = old.of(element)
        begin = made.place_of(new.start)
        part = slots[begin : begin + len(new.tmax)]
        fresh = new.of(element)
        differs = (fresh != MISSING) & (part != fresh)
        touched[begin : begin + len(new.tmax)] |= differs
        part[differs] = fresh[differs]
    begin = made.place_of(new.start)
    given = np.zeros(len(was), dtype=np.bool_)
    given[begin : begin + len(new.tmax)] = new.is_read()
    return made, Change(
        new=int((given & ~was).sum()),
        changed=int((given & was & touched).sum()),
        same=int((given & was & ~touched).sum()),
    )


def reals(values: Tenths) -> Real:
    """Whole units out of tenths, NaN where missing."""
    out = values.astype(np.float64) / 10
    out[values == MISSING] = np.nan
    return out


class Calendar(NamedTuple):
    """Year, month (0 to 11) and day of a year of 365 days (0 to 364) of each slot."""

    year: Whole
    month: Whole
    day: Whole


def calendar_of(records: DailyRecords) -> Calendar:
    """The calendar beside the slots; 29 February counts as the 28th."""
    days = np.datetime64(records.start) + np.arange(len(records.tmax))
    months = days.astype("datetime64[M]")
    years = days.astype("datetime64[Y]")
    number = years.astype(np.int64) + 1970
    month = (months - years).astype(np.int64)
    day = (days - years).astype(np.int64)
    is_leap = (number % 4 == 0) & ((number % 100 != 0) | (number % 400 == 0))
    day = day - (is_leap & (day >= 59))
    return Calendar(year=number, month=month, day=day)
