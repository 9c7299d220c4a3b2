"""A crew's day: stops in order, what to load, and hours against capacity."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from firm.units import plain


class RoundError(ValueError):
    """Stops or hours no crew can have; says which."""


# What each task of care is done with: common practice, no source.
TOOLS: dict[str, tuple[str, ...]] = {
    "prune": ("secateurs", "loppers", "pruning saw", "disinfectant for blades"),
    "thin": ("loppers", "pruning saw", "disinfectant for blades"),
    "renovate": ("loppers", "pruning saw", "disinfectant for blades", "tarpaulin"),
    "dead wood": ("secateurs", "pruning saw", "disinfectant for blades"),
    "deadhead": ("secateurs", "bucket"),
    "cut down": ("hedge shears", "twine", "tarpaulin"),
    "shear": ("hedge shears", "string line", "tarpaulin"),
    "feed": ("fertiliser", "spreader or scoop", "gloves"),
    "acidify": ("sulfur", "scoop", "gloves"),
    "lime": ("ground limestone", "scoop", "gloves"),
    "mulch": ("mulch", "mulch fork", "barrow"),
    "stake": ("stakes and ties", "mallet"),
    "unstake": ("secateurs",),
    "tie in": ("soft ties", "secateurs"),
    "divide": ("digging fork", "spade", "buckets"),
    "protect": ("cover and ties",),
    "water check": ("hose or watering bags", "soil probe"),
    "clear up": ("rake", "tarpaulin"),
    "plant": ("spades", "barrow", "hose", "tarpaulin", "measuring tape"),
}


def tools_for(task: str) -> tuple[str, ...]:
    """What a task is done with; nothing for one that needs only eyes."""
    return TOOLS.get(task, ())


@dataclass(frozen=True, kw_only=True)
class LoadItem:
    """Something to take along; without a quantity it is a tool, taken once."""

    what: str
    quantity: Decimal | None = None
    unit: str = ""


@dataclass(frozen=True, kw_only=True)
class Stop:
    """One visit of a round; `place` is the order as typed, None where none was."""

    key: int
    place: int | None
    planned_h: Decimal = Decimal(0)
    load: tuple[LoadItem, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Hours:
    """Planned hours beside the hours a crew has."""

    planned_h: Decimal
    capacity_h: Decimal

    def __post_init__(self) -> None:
        if self.planned_h < 0 or self.capacity_h < 0:
            raise RoundError("Hours cannot be negative.")

    @property
    def over_h(self) -> Decimal:
        return max(self.planned_h - self.capacity_h, Decimal(0))

    @property
    def free_h(self) -> Decimal:
        return max(self.capacity_h - self.planned_h, Decimal(0))

    @property
    def words(self) -> str:
        """7.5 of 16 h; 17.5 of 16 h, over-full by 1.5 h."""
        planned, capacity = (
            plain(hours, places=2) for hours in (self.planned_h, self.capacity_h)
        )
        said = f"{planned} of {capacity} h"
        if self.over_h:
            said += f", over-full by {plain(self.over_h, places=2)} h"
        return said


def capacity_words(*, planned_h: Decimal, capacity_h: Decimal) -> str:
    """Hours against capacity in words: 7.5 of 16 h."""
    return Hours(planned_h=planned_h, capacity_h=capacity_h).words


def in_order(stops: Iterable[Stop]) -> tuple[Stop, ...]:
    """The stops as they were put in order; those without a place come last."""

    def rank(stop: Stop) -> tuple[bool, int, int]:
        return (stop.place is None, stop.place or 0, stop.key)

    return tuple(sorted(stops, key=rank))


def planned_hours(stops: Iterable[Stop]) -> Decimal:
    """The hours of all stops together."""
    return sum((stop.planned_h for stop in stops), Decimal(0))


def load_list(stops: Sequence[Stop]) -> tuple[LoadItem, ...]:
    """Everything the round needs: what is measured, added up, then tools, once each."""
    quantities: dict[tuple[str, str], Decimal | None] = {}
    for stop in stops:
        for item in stop.load:
            named = (item.what, item.unit)
            before = quantities.get(named)
            if item.quantity is None:
                quantities.setdefault(named, None)
            else:
                quantities[named] = (before or Decimal(0)) + item.quantity
    return tuple(
        LoadItem(what=what, unit=unit, quantity=quantity)
        for (what, unit), quantity in sorted(
            quantities.items(),
            key=lambda pair: (pair[1] is None, pair[0][0].casefold(), pair[0]),
        )
    )
