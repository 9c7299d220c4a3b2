"""Water in the first year: how often by date, and how much at a time.

Trees and shrubs after University of Minnesota Extension, Watering newly planted trees
and shrubs (page read): daily in weeks 1 and 2, every two to three days in weeks 3 to
12, then weekly until established; 1 to 1.5 US gal a time for every inch of a tree's
trunk; for a shrub a quarter to a third of its container. Perennials, grasses and ferns:
common practice, no source.
"""

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

Every = Literal["day", "2-3 days", "week"]

WOODY = frozenset({"shrub", "tree", "climber", "rose", "conifer", "hedge", "fruit"})
LITRES_OF_A_GALLON = Decimal("3.785411784")

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
    """Days on which a new plant is watered in one rhythm, both ends in it."""

    first: dt.date
    last: dt.date
    every: Every


def is_woody(kind: str) -> bool:
    """Whether plants of KIND are watered as trees and shrubs are."""
    return kind in WOODY


def first_year(
    *, kind: str, planted_on: dt.date, start: dt.date, end: dt.date
) -> list[Phase]:
    """The rhythms of watering from START to END, both in it, of a plant set then.

    Nothing is said from a year after planting on.
    """
    last_day = min(end, planted_on + dt.timedelta(days=365))
    found = []
    after = 0
    for until, every in _WOODY if is_woody(kind) else _SOFT:
        first = planted_on + dt.timedelta(days=after + 1)
        last = last_day if until is None else planted_on + dt.timedelta(days=until)
        first, last = max(first, start), min(last, last_day)
        if first <= last:
            found.append(Phase(first=first, last=last, every=every))
        if until is not None:
            after = until
    return found


def shrub_litres(container: str) -> tuple[Decimal, Decimal]:
    """Least and most litres a time for a shrub out of a container of that class."""
    volume = CONTAINER_GALLONS[container] * LITRES_OF_A_GALLON
    low, high = (volume * share for share in SHRUB_SHARES)
    return low, high
