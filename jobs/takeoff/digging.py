"""What planting takes beside plants and soil: holes, spoil, edging, stakes, spares."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from firm.units import Display, convert
from jobs.takeoff.shapes import (
    DEEPEST_SOIL_M,
    PI,
    BedShape,
    Figure,
    TakeoffError,
    check_side,
    measured,
    perimeter_m,
    within,
    written_depth,
    written_length,
)
from jobs.takeoff.volumes import _result

# Loose soil takes so much more room than in the ground (common practice, no source).
BULKING_PERCENT = Decimal(25)
# Plugs that fail or are damaged: 5 to 10 % (common practice, no source).
SPARE_PERCENT = Decimal(5)
# Mulch settles, edging is cut to length (common practice, no source).
MULCH_SETTLING_PERCENT = Decimal(10)
EDGING_WASTE_PERCENT = Decimal(5)
# Up to 2 in of trunk two stakes, above it three; a bag up to 3 in one, above it two
# (common practice, no source). Stakes come off after one growing season: University of
# Nebraska-Lincoln Extension (page read), and a list of tree-care bodies (copy).
TWO_STAKES_UP_TO_IN = Decimal(2)
ONE_BAG_UP_TO_IN = Decimal(3)


@dataclass(frozen=True, kw_only=True)
class Ball:
    """The roots of one plant as it is sold, and how many come so."""

    label: str
    count: int
    across_m: Decimal
    depth_m: Decimal

    @property
    def volume_m3(self) -> Decimal:
        """The cylinder of one."""
        return PI * self.across_m**2 / 4 * self.depth_m


def check_hole_times(hole_times: Decimal) -> Decimal:
    """How many times as wide as the ball a hole is dug; refused where nobody does."""
    if not 1 < hole_times <= 5:
        raise TakeoffError("The hole is wider than the ball, at most five times.")
    return hole_times


def holes(ball: Ball, *, hole_times: Decimal, display: Display) -> Figure:
    """What is dug for the plants of one size: round holes as deep as the ball."""
    check_hole_times(hole_times)
    check_side(ball.across_m, "root ball")
    within(
        ball.depth_m, low=Decimal("0.01"), high=DEEPEST_SOIL_M, name="depth of the ball"
    )
    unit = display.volume_unit
    whole = ball.volume_m3 * hole_times**2 * ball.count
    value = convert(whole, unit="m³", to=unit)
    across, deep = (written_depth(display, m) for m in (ball.across_m, ball.depth_m))
    times = display.figure(hole_times, places=2, trim=True)
    formula = (
        f"{ball.label}: {ball.count} × π × ({across} × {times} ÷ 2)² × {deep} deep"
        f" = {_result(value, unit, display)}"
    )
    return measured(value, unit, formula)


def displaced(ball: Ball, *, display: Display) -> Figure:
    """The soil that the root balls of one size take the place of."""
    unit = display.volume_unit
    value = convert(ball.volume_m3 * ball.count, unit="m³", to=unit)
    across, deep = (written_depth(display, m) for m in (ball.across_m, ball.depth_m))
    formula = (
        f"{ball.label}: {ball.count} × π × ({across} ÷ 2)² × {deep} deep"
        f" = {_result(value, unit, display)}"
    )
    return measured(value, unit, formula)


def loosened(figure: Figure, *, bulking_percent: Decimal, display: Display) -> Figure:
    """The room that soil takes once it is dug, from its volume in the ground."""
    if not 0 <= bulking_percent <= 100:
        raise TakeoffError("Dug soil takes between 0 and 100 % more room.")
    value = figure.value * (100 + bulking_percent) / 100
    before = display.measure(figure.value, figure.unit, places=3)
    share = display.figure(bulking_percent, places=2, trim=True)
    after = display.measure(value, figure.unit, places=3)
    return measured(
        value, figure.unit, f"{before} in the ground + {share} % loose = {after}"
    )


def edging(shape: BedShape, *, waste_percent: Decimal, display: Display) -> Figure:
    """The edging around a bed, with what is cut off."""
    if not 0 <= waste_percent <= 100:
        raise TakeoffError("What is cut off lies between 0 and 100 %.")
    around = perimeter_m(shape)
    unit = display.length_unit
    value = convert(around * (100 + waste_percent) / 100, unit="m", to=unit)
    share = display.figure(waste_percent, places=2, trim=True)
    shown = display.measure(value, unit, places=2)
    formula = f"{written_length(display, around)} around + {share} % = {shown}"
    return measured(value, unit, formula)


def spares(count: int, *, percent: Decimal, label: str, display: Display) -> Figure:
    """Plants beyond the count, for those that fail; whole ones."""
    if not 0 <= percent <= 100:
        raise TakeoffError("Spares lie between 0 and 100 %.")
    exact = count * percent / 100
    value = exact.to_integral_value(ROUND_CEILING)
    share = display.figure(percent, places=2, trim=True)
    raw = display.figure(exact, places=2)
    formula = f"{label}: {count} × {share} % = {raw}, so {value:f} more"
    return Figure(value=value, unit="plants", formula=formula, exact=exact)


def stakes_for(caliper_in: Decimal | None) -> int:
    """Stakes of one tree by its trunk; two where the trunk is not known."""
    return 2 if caliper_in is None or caliper_in <= TWO_STAKES_UP_TO_IN else 3


def bags_for(caliper_in: Decimal | None) -> int:
    """Watering bags of one tree by its trunk."""
    return 1 if caliper_in is None or caliper_in <= ONE_BAG_UP_TO_IN else 2
