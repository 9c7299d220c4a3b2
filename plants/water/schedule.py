"""Water in the first year: how often by date, and how much at a time.

Trees and shrubs after University of Minnesota Extension, Watering newly planted trees
and shrubs (page read): daily in weeks 1 and 2, every two to three days in weeks 3 to
12, then weekly until established; 1 to 1.5 US gal a time for every inch of a tree's
trunk; for a shrub a quarter to a third of its container. Perennials, grasses and ferns:
common practice, no source.

The weeks are counted as printed, cold or not. What is really poured in cold months is
another matter: roots stay active while the soil is at about 40 F (4.5 C) or more (a
Virginia garden column, godanriver.com, copy), and below it they take little. The mean
of the month's air stands in for the soil. What a planted root gets in such a month
(bare plants only in a dry thaw, evergreens a look once or twice a month) is common
practice, no source.
"""

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from plants.climate import Climate

Every = Literal["day", "2-3 days", "week"]

WOODY = frozenset({"shrub", "tree", "climber", "rose", "conifer", "hedge", "fruit"})
LITRES_OF_A_GALLON = Decimal("3.785411784")

COLD_MEAN_C = 4.5
"""A month whose mean is lower is cold: about the 40 F at which roots come to rest."""

ALWAYS_DAYS = 14
"""The weeks of daily water, which are given in cold months too while nothing freezes:
a root ball fresh from its pot has no other water."""

SHRUB_SHARES = (Decimal(1) / 4, Decimal(1) / 3)
TREE_GALLONS_PER_INCH = (Decimal(1), Decimal("1.5"))

CONTAINER_GALLONS: dict[str, Decimal] = {
    "#1": Decimal("0.74"),
    "#2": Decimal("1.6"),
    "#3": Decimal("2.4"),
    "#5": Decimal("3.9"),
    "#7": Decimal("6.5"),
    "#15": Decimal("14.5"),
}
"""True volume of a container by its class, as one nursery's catalogue prints it (copy
read); the class is no number of gallons, and other growers' pots differ."""

# The days after planting on which each rhythm ends; None: no end within the year.
_WOODY: tuple[tuple[int | None, Every], ...] = (
    (14, "day"),
    (84, "2-3 days"),
    (None, "week"),
)
_SOFT: tuple[tuple[int | None, Every], ...] = (
    (28, "2-3 days"),
    (150, "week"),
)


@dataclass(frozen=True, kw_only=True)
class Phase:
    """Days on which a new plant is watered in one rhythm, both ends in it.

    EVERY is the rhythm as printed; IS_COLD says that roots rest in these months, so
    that the plant gets less than it.
    """

    first: dt.date
    last: dt.date
    every: Every
    is_cold: bool = False


def is_woody(kind: str) -> bool:
    """Whether plants of KIND are watered as trees and shrubs are."""
    return kind in WOODY


def is_cold(climate: Climate, month: int) -> bool:
    """Whether roots rest in a month (1 to 12) of CLIMATE."""
    low, high = climate.tmin_c[month - 1], climate.tmax_c[month - 1]
    return (low + high) / 2 < COLD_MEAN_C


def rhythm_after(days: int, *, kind: str) -> Every | None:
    """The printed rhythm so many days after planting; None once none is printed."""
    for until, every in _WOODY if is_woody(kind) else _SOFT:
        if until is None or days <= until:
            return every
    return None


def first_year(
    *,
    kind: str,
    planted_on: dt.date,
    start: dt.date,
    end: dt.date,
    climate: Climate,
) -> list[Phase]:
    """The rhythms of watering from START to END, both in it, of a plant set then.

    A rhythm is divided where cold months begin and end. Nothing is said from a year
    after planting on.
    """
    last_day = min(end, planted_on + dt.timedelta(days=365))
    found: list[Phase] = []
    after = 0
    for until, every in _WOODY if is_woody(kind) else _SOFT:
        first = planted_on + dt.timedelta(days=after + 1)
        last = last_day if until is None else planted_on + dt.timedelta(days=until)
        first, last = max(first, start), min(last, last_day)
        if first <= last:
            found += _by_cold(first, last, every, planted_on, climate)
        if until is not None:
            after = until
    return found


def _by_cold(
    first: dt.date, last: dt.date, every: Every, planted_on: dt.date, climate: Climate
) -> list[Phase]:
    """One rhythm, divided into its warm and its cold days."""
    settled_on = planted_on + dt.timedelta(days=ALWAYS_DAYS + 1)
    found: list[Phase] = []
    day = first
    while day <= last:
        rests = day >= settled_on and is_cold(climate, day.month)
        part_last = min(last, _last_of_month(day))
        if day < settled_on:
            part_last = min(part_last, settled_on - dt.timedelta(days=1))
        if found and found[-1].is_cold == rests:
            day_first = found.pop().first
        else:
            day_first = day
        found.append(Phase(first=day_first, last=part_last, every=every, is_cold=rests))
        day = part_last + dt.timedelta(days=1)
    return found


def _last_of_month(day: dt.date) -> dt.date:
    return (day.replace(day=1) + dt.timedelta(days=31)).replace(day=1) - dt.timedelta(
        days=1
    )


def shrub_litres(container: str) -> tuple[Decimal, Decimal]:
    """Least and most litres a time for a shrub out of a container of that class."""
    volume = CONTAINER_GALLONS[container] * LITRES_OF_A_GALLON
    low, high = (volume * share for share in SHRUB_SHARES)
    return low, high
