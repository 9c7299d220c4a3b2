"""Bagged or bulk, whichever is cheaper, and what a load weighs against the truck."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from firm.money import to_cents
from firm.units import Display, convert, round_figure
from jobs.takeoff.shapes import Figure, TakeoffError
from jobs.takeoff.volumes import bags

# Least and most pounds a cubic yard weighs in bulk (common practice, no source; one
# page prints 800 for playground chips and 600 to 800 for mulch); for warnings only.
POUNDS_A_CU_YD: Mapping[str, tuple[int, int]] = {
    "bark mulch": (400, 800),
    "wood chips": (800, 800),
    "compost": (1000, 1600),
    "topsoil": (2000, 2700),
    "sand": (2600, 3000),
    "gravel": (2700, 3000),
}


@dataclass(frozen=True, kw_only=True)
class BagPrice:
    """A bag as it is sold: so much of UNIT for PRICE."""

    size: Decimal
    unit: str
    price: Decimal


@dataclass(frozen=True, kw_only=True)
class BulkPrice:
    """Bulk as it is sold: PRICE for one of UNIT, in steps, from a least amount."""

    price: Decimal
    unit: str
    minimum: Decimal = Decimal(0)
    step: Decimal = Decimal("0.5")
    delivery: Decimal = Decimal(0)


@dataclass(frozen=True, kw_only=True)
class Offered:
    """One way to buy a volume, with what it costs and how that came about."""

    how: str
    quantity: Decimal
    unit: str
    cost: Decimal
    formula: str


@dataclass(frozen=True, kw_only=True)
class Buying:
    """The ways to buy a volume, the cheaper first; of equals the bulk."""

    offers: tuple[Offered, ...]

    @property
    def best(self) -> Offered:
        return self.offers[0]

    @property
    def saves(self) -> Decimal:
        """By how much the first is cheaper than the second."""
        return (
            self.offers[1].cost - self.best.cost if len(self.offers) > 1 else Decimal(0)
        )


def cheapest(
    volume: Figure,
    *,
    bag: BagPrice | None,
    bulk: BulkPrice | None,
    places: int = 2,
    display: Display,
) -> Buying:
    """The volume bought in bags and in bulk, the cheaper first."""
    if bag is None and bulk is None:
        raise TakeoffError("Give the price of a bag or of bulk.")
    found = []
    if bulk is not None:
        found.append(_in_bulk(volume, bulk, places, display))
    if bag is not None:
        found.append(_in_bags(volume, bag, places, display))
    return Buying(offers=tuple(sorted(found, key=lambda each: each.cost)))


def _in_bags(volume: Figure, bag: BagPrice, places: int, display: Display) -> Offered:
    if bag.price < 0:
        raise TakeoffError("A price cannot be below nothing.")
    whole = bags(volume, bag=bag.size, bag_unit=bag.unit, display=display)
    cost = to_cents(whole.value * bag.price, places=places)
    each = display.figure(bag.price, places=places)
    total = display.figure(cost, places=places)
    return Offered(
        how="bagged",
        quantity=whole.value,
        unit="bags",
        cost=cost,
        formula=f"{whole.formula} × {each} = {total}",
    )


def _in_bulk(volume: Figure, bulk: BulkPrice, places: int, display: Display) -> Offered:
    if min(bulk.price, bulk.minimum, bulk.delivery) < 0 or bulk.step < 0:
        raise TakeoffError("Prices, the least amount and its steps are not negative.")
    needed = volume.in_unit(bulk.unit)
    ordered = max(needed, bulk.minimum)
    if bulk.step:
        # A step too many for the last digit of a division would be bought for nothing.
        steps = round_figure(ordered / bulk.step, 9)
        ordered = steps.to_integral_value(ROUND_CEILING) * bulk.step
    cost = to_cents(ordered * bulk.price + bulk.delivery, places=places)
    have = display.measure(needed, bulk.unit, places=3)
    buys = display.measure(ordered, bulk.unit, places=3, trim=True)
    each = display.figure(bulk.price, places=places)
    brought = (
        f" + {display.figure(bulk.delivery, places=places)} delivery"
        if bulk.delivery
        else ""
    )
    total = display.figure(cost, places=places)
    return Offered(
        how="bulk",
        quantity=ordered,
        unit=bulk.unit,
        cost=cost,
        formula=f"{have}, so {buys} × {each}{brought} = {total}",
    )


@dataclass(frozen=True, kw_only=True)
class Load:
    """What a volume weighs, least and most, and the loads a truck makes of it."""

    least_kg: Decimal
    most_kg: Decimal
    loads: int
    words: str


def load(
    volume: Figure, *, material: str, payload_kg: Decimal, display: Display
) -> Load:
    """The loads of a truck, reckoned by the heavier figure: wet is heavier."""
    if material not in POUNDS_A_CU_YD:
        known = ", ".join(POUNDS_A_CU_YD)
        raise TakeoffError(f"What {material!r} weighs is not known; known are {known}.")
    if payload_kg <= 0:
        raise TakeoffError("A truck must be able to carry something.")
    yards = volume.in_unit("cu yd")
    least, most = (
        convert(yards * pounds, unit="lb", to="kg")
        for pounds in POUNDS_A_CU_YD[material]
    )
    loads = int(round_figure(most / payload_kg, 9).to_integral_value(ROUND_CEILING))
    trips = "one load" if loads == 1 else f"{loads} loads"
    weighs = f"{display.weight(least)} to {display.weight(most)}"
    words = (
        f"{weighs} of {material}: {trips} of a truck that carries "
        f"{display.weight(payload_kg)}. Weights are common practice; the truck's own "
        "plate and the axles decide."
    )
    return Load(least_kg=least, most_kg=most, loads=loads, words=words)
