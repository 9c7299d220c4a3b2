"""A crew's day: stops in order, what to load, and hours against capacity."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
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
    """Something to take along; without a quantity it is a tool, taken once.

    The weights are those of the whole quantity, None where nobody knows.
    """

    what: str
    quantity: Decimal | None = None
    unit: str = ""
    least_kg: Decimal | None = None
    most_kg: Decimal | None = None

    def __add__(self, other: "LoadItem") -> "LoadItem":
        """Both together; a weight that is not known for one is not known for both."""
        if self.quantity is None or other.quantity is None:
            return self if other.quantity is None else other
        return replace(
            self,
            quantity=self.quantity + other.quantity,
            least_kg=_sum(self.least_kg, other.least_kg),
            most_kg=_sum(self.most_kg, other.most_kg),
        )


def _sum(one: Decimal | None, other: Decimal | None) -> Decimal | None:
    return None if one is None or other is None else one + other


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
    found: dict[tuple[str, str], LoadItem] = {}
    for stop in stops:
        for item in stop.load:
            named = (item.what, item.unit)
            before = found.get(named)
            found[named] = item if before is None else before + item
    return tuple(
        item
        for named, item in sorted(
            found.items(),
            key=lambda pair: (
                pair[1].quantity is None,
                pair[0][0].casefold(),
                pair[0],
            ),
        )
    )
