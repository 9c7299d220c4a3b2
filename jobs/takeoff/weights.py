"""What plants and materials weigh on the truck, least and most."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from firm.units import Display, UnitError, convert, round_figure
from jobs.takeoff.buying import POUNDS_A_CU_YD
from jobs.takeoff.shapes import TakeoffError
from plants.soil import SoilError
from plants.soil.stock import BALL_LB_PER_CU_FT, BALL_SHARE, Sold, read_size

# A pot's mix weighs between dry bark and wet loam (common practice, no source).
POT_KG_PER_M3 = (Decimal(600), Decimal(1300))
# What a line's words name, the surer words first; a mix lies between its parts.
NAMED: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("chips", ("wood chips",)),
    ("mulch", ("bark mulch",)),
    ("bark", ("bark mulch",)),
    ("compost", ("compost",)),
    ("gravel", ("gravel",)),
    ("sand", ("sand",)),
    ("topsoil", ("topsoil",)),
    ("mix", ("compost", "topsoil")),
    ("soil", ("topsoil",)),
)


@dataclass(frozen=True, kw_only=True)
class Weight:
    """What something weighs, least and most; both nothing where nobody knows."""

    least_kg: Decimal
    most_kg: Decimal

    def times(self, count: Decimal | int) -> "Weight":
        """The weight of so many."""
        return Weight(least_kg=self.least_kg * count, most_kg=self.most_kg * count)


@dataclass(frozen=True, kw_only=True)
class Truckload:
    """A day's load against what the truck may carry."""

    weight: Weight
    unweighed: tuple[str, ...]
    trips: int | None
    words: str

    @property
    def is_too_much(self) -> bool:
        """Whether one trip may not be enough, reckoned by the heavier figure."""
        return self.trips is not None and self.trips > 1


def plant_weight(size_text: str) -> Weight | None:
    """One plant as it is sold; None for a bare root or a size that says nothing.

    Balls weigh between 78 and 100 % of a cylinder at 100 lb a cubic foot, the lower
    figure being that of one nursery's catalogue (copy).
    """
    try:
        size = read_size(size_text)
    except (SoilError, UnitError):
        return None
    if size.volume_m3 is None or size.sold == Sold.BARE:
        return None
    if size.sold == Sold.CONTAINER:
        least, most = (size.volume_m3 * each for each in POT_KG_PER_M3)
        return Weight(least_kg=least, most_kg=most)
    pounds = convert(size.volume_m3, unit="m³", to="cu ft") * BALL_LB_PER_CU_FT
    full = convert(pounds, unit="lb", to="kg")
    return Weight(least_kg=full * BALL_SHARE, most_kg=full)


def material_weight(words: str, *, quantity: Decimal, unit: str) -> Weight | None:
    """A volume of what the words name; None where they or the unit do not tell."""
    named = next(
        (
            materials
            for sign, materials in NAMED
            if re.search(rf"\b{sign}", words, re.IGNORECASE)
        ),
        None,
    )
    if named is None:
        return None
    try:
        yards = convert(quantity, unit=unit, to="cu yd")
    except UnitError:
        return None
    least = min(POUNDS_A_CU_YD[material][0] for material in named)
    most = max(POUNDS_A_CU_YD[material][1] for material in named)
    return Weight(
        least_kg=convert(yards * least, unit="lb", to="kg"),
        most_kg=convert(yards * most, unit="lb", to="kg"),
    )


def truckload(
    items: Iterable[tuple[str, Weight | None]],
    *,
    payload_kg: Decimal | None,
    display: Display,
) -> Truckload | None:
    """The items together against the payload; None when there is nothing to weigh."""
    known, unweighed = Weight(least_kg=Decimal(0), most_kg=Decimal(0)), []
    for words, weight in items:
        if weight is None:
            unweighed.append(words)
            continue
        known = Weight(
            least_kg=known.least_kg + weight.least_kg,
            most_kg=known.most_kg + weight.most_kg,
        )
    if not known.most_kg and not unweighed:
        return None
    if payload_kg is not None and payload_kg <= 0:
        raise TakeoffError("A truck must be able to carry something.")
    trips = None
    if payload_kg is not None:
        exact = round_figure(known.most_kg / payload_kg, 9)
        trips = max(1, int(exact.to_integral_value(ROUND_CEILING)))
    return Truckload(
        weight=known,
        unweighed=tuple(unweighed),
        trips=trips,
        words=_words(known, trips, payload_kg, display),
    )


def _words(
    known: Weight, trips: int | None, payload_kg: Decimal | None, display: Display
) -> str:
    if not known.most_kg:
        return ""
    said = (
        f"About {display.weight(known.least_kg)} to {display.weight(known.most_kg)}"
        ", dry to wet"
    )
    if trips is None or payload_kg is None:
        return f"{said}."
    carries = display.weight(payload_kg)
    if trips == 1:
        return f"{said}: one trip of a truck that carries {carries}."
    return (
        f"{said}: more than the {carries} that the truck carries. Make {trips} trips or"
        " have it delivered."
    )
