"""What was seen of bloom, told by the warmth that came before it.

A total is that of the degree days, base 50 F, from the new year of the hemisphere to
the day on which something was seen, in it. The warmth is asked of whatever counts it:
the mean year of a climate, or the records of the year itself.
"""

from collections.abc import Sequence
from datetime import date, timedelta
from math import floor
from statistics import median
from typing import NamedTuple, Protocol

from plants.climate import Climate

TELLS_FROM = 0.5
"""Degree days that a day of the mean year must bring for its total to tell anything:
where less adds up, in winter, a single mild week moves the day by weeks (common
practice, no source)."""


class Warmth(Protocol):
    """Whatever counts degree days up to a day: a climate, or the records of a year."""

    def degree_days(self, day: date) -> float:
        """Degree days (F, base 50) from the hemisphere's new year to the day, in it."""


class Sighting(NamedTuple):
    """A day on which something was seen, and the warmth of its year."""

    day: date
    warmth: Warmth

    @property
    def total(self) -> float:
        """The degree days up to the day, cut to a tenth so that it leads back."""
        return floor(self.warmth.degree_days(self.day) * 10) / 10


class Spread(NamedTuple):
    """The middle of some totals, the lowest and the highest, and how many they are."""

    middle: float
    lowest: float
    highest: float
    n: int


class Suggestion(NamedTuple):
    """The degree days that the log speaks for; LAST only where the end was seen.

    FULL_OUTSIDE counts sightings of full bloom that lie before the first or after the
    last total, which cannot be.
    """

    first: Spread
    last: Spread | None
    full_outside: int


def spread_of(sightings: Sequence[Sighting]) -> Spread | None:
    """The totals of sightings as their middle and their ends; None without any."""
    totals = [sighting.total for sighting in sightings]
    if not totals:
        return None
    return Spread(round(median(totals), 1), min(totals), max(totals), len(totals))


def telling(sightings: Sequence[Sighting], climate: Climate) -> list[Sighting]:
    """The sightings of the part of the year in which warmth adds up."""
    found = []
    for sighting in sightings:
        total = climate.degree_days(sighting.day)
        before = climate.degree_days(sighting.day - timedelta(days=1))
        # On the first day of the year everything is new.
        gained = total - before if total >= before else total
        if gained >= TELLS_FROM:
            found.append(sighting)
    return found


def suggestion(
    *,
    climate: Climate,
    first: Sequence[Sighting],
    full: Sequence[Sighting] = (),
    last: Sequence[Sighting] = (),
) -> Suggestion | None:
    """The totals that the log speaks for; None where it tells no first flowers.

    The end is left out where it does not come after the first flowers in one growing
    year, such as of what flowers over the new year.
    """
    begun = spread_of(telling(first, climate))
    if begun is None:
        return None
    ended = spread_of(telling(last, climate))
    if ended is not None and ended.middle <= begun.middle:
        ended = None
    outside = [
        sighting
        for sighting in full
        if sighting.total < begun.middle
        or (ended is not None and sighting.total > ended.middle)
    ]
    return Suggestion(begun, ended, len(outside))
