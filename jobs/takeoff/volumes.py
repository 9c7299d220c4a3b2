"""Areas and volumes: soil, blends, settling, mulch, backfill and bags."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from firm.units import Display, convert, round_figure
from jobs.takeoff.shapes import (
    DEEPEST_SOIL_M,
    PI,
    BedShape,
    Figure,
    Outline,
    Pieces,
    TakeoffError,
    check_side,
    measured,
    within,
    written_depth,
)

# Deeper mulch keeps air and water from the roots. Memory: several extension sheets.
DEEPEST_MULCH_M = convert(Decimal(4), unit="in", to="m")
# Mulch is kept 1 to 6 in off a stem: a Nebraska column and lists of tree-care bodies
# (copies); half of that in between is ours.
STEM_GAP_LEAST_M = convert(Decimal(1), unit="in", to="m")
STEM_GAP_M = convert(Decimal(3), unit="in", to="m")
STEM_GAP_MOST_M = convert(Decimal(6), unit="in", to="m")


@dataclass(frozen=True, kw_only=True)
class Portion:
    """One part of a soil blend."""

    name: str
    percent: Decimal
    figure: Figure


def area(shape: BedShape, *, display: Display) -> Figure:
    """The ground a bed covers."""
    value = convert(shape.area_m2, unit="m²", to=display.area_unit)
    shown = display.area(shape.area_m2)
    written = shape.written(display)
    if isinstance(shape, Outline):
        written = f"{written}, {shape.corners_written(display)}"
    return measured(value, display.area_unit, f"{written} = {shown}")


def _result(value: Decimal, unit: str, display: Display) -> str:
    """A volume at the end of a formula; cubic yards are shown from cubic feet."""
    shown = display.measure(value, unit, places=3)
    if unit != "cu yd":
        return shown
    return f"{_reckoned(value, unit, display)}; ÷ 27 = {shown}"


def _reckoned(value: Decimal, unit: str, display: Display) -> str:
    """A volume in the unit it is reckoned in: cubic feet for cubic yards."""
    if unit != "cu yd":
        return display.measure(value, unit, places=3)
    cubic_feet = convert(value, unit=unit, to="cu ft")
    return display.measure(cubic_feet, "cu ft", places=2)


def _volume(shape: BedShape, depth_m: Decimal, display: Display) -> Figure:
    unit = display.volume_unit
    value = convert(shape.area_m2 * depth_m, unit="m³", to=unit)
    written = shape.written(display)
    if isinstance(shape, Pieces) and len(shape.pieces) > 1:
        written = f"({written})"
    result = _result(value, unit, display)
    formula = f"{written} × {written_depth(display, depth_m)} deep = {result}"
    return measured(value, unit, formula)


def soil_volume(shape: BedShape, *, depth_m: Decimal, display: Display) -> Figure:
    """The soil that fills a bed to a depth."""
    within(depth_m, low=Decimal("0.001"), high=DEEPEST_SOIL_M, name="depth")
    return _volume(shape, depth_m, display)


def mulch(
    shape: BedShape,
    *,
    depth_m: Decimal,
    stems: int = 0,
    gap_m: Decimal = STEM_GAP_M,
    display: Display,
) -> Figure:
    """The mulch on a bed; more than 4 in (10.16 cm) is refused.

    Around each of STEMS a ring of GAP stays bare, so that no bark rots.
    """
    within(depth_m, low=Decimal("0.001"), high=DEEPEST_SOIL_M, name="mulch depth")
    if depth_m > DEEPEST_MULCH_M:
        deepest = written_depth(display, DEEPEST_MULCH_M)
        raise TakeoffError(f"Mulch deeper than {deepest} smothers the roots.")
    if not stems:
        return _volume(shape, depth_m, display)
    if stems < 0 or not STEM_GAP_LEAST_M <= gap_m <= STEM_GAP_MOST_M:
        least, most = (
            written_depth(display, m) for m in (STEM_GAP_LEAST_M, STEM_GAP_MOST_M)
        )
        raise TakeoffError(f"The gap around a stem lies between {least} and {most}.")
    bare = PI * gap_m**2 * stems
    if bare >= shape.area_m2:
        raise TakeoffError("So many stems leave no ground to mulch.")
    unit = display.volume_unit
    value = convert((shape.area_m2 - bare) * depth_m, unit="m³", to=unit)
    formula = (
        f"({shape.written(display)} - {stems} × π × ({written_depth(display, gap_m)})²)"
        f" × {written_depth(display, depth_m)} deep = {_result(value, unit, display)}"
    )
    return measured(value, unit, formula)


def blend(
    volume: Figure, *, parts: Sequence[tuple[str, Decimal]], display: Display
) -> tuple[Portion, ...]:
    """What of each part goes into a volume; the per cents must make 100."""
    if any(percent < 0 for _, percent in parts):
        raise TakeoffError("A part of a blend cannot be negative.")
    whole = sum((percent for _, percent in parts), Decimal(0))
    if whole != 100:
        raise TakeoffError(f"The parts of a blend make {whole} %, not 100 %.")
    total = _reckoned(volume.value, volume.unit, display)
    portions = []
    for name, percent in parts:
        value = volume.value * percent / 100
        share = display.figure(percent, places=2, trim=True)
        formula = f"{total} × {share} % = {_result(value, volume.unit, display)}"
        figure = measured(value, volume.unit, formula)
        portions.append(Portion(name=name, percent=percent, figure=figure))
    return tuple(portions)


def to_order(figure: Figure, *, settling_percent: Decimal, display: Display) -> Figure:
    """The loose volume to order so that the settled one is there."""
    if not 0 <= settling_percent <= 100:
        raise TakeoffError("The settling allowance lies between 0 and 100 %.")
    value = figure.value * (100 + settling_percent) / 100
    before = _reckoned(figure.value, figure.unit, display)
    share = display.figure(settling_percent, places=2, trim=True)
    after = _result(value, figure.unit, display)
    formula = f"{before} + {share} % for settling = {after}"
    return measured(value, figure.unit, formula)


def backfill(
    *,
    ball_m: Decimal,
    ball_depth_m: Decimal,
    hole_times: Decimal,
    display: Display,
) -> Figure:
    """The soil around a root ball in a round hole as deep as the ball."""
    check_side(ball_m, "root ball")
    within(ball_depth_m, low=Decimal("0.01"), high=DEEPEST_SOIL_M, name="ball depth")
    if not 1 < hole_times <= 5:
        raise TakeoffError("The hole is wider than the ball, at most five times.")
    unit = display.volume_unit
    cubic_metres = PI * ball_m**2 * (hole_times**2 - 1) / 4 * ball_depth_m
    value = convert(cubic_metres, unit="m³", to=unit)
    ball, deep = (written_depth(display, m) for m in (ball_m, ball_depth_m))
    times = display.figure(hole_times, places=2, trim=True)
    formula = (
        f"π × ({ball} ÷ 2)² × ({times}² - 1) × {deep} deep"
        f" = {_result(value, unit, display)}"
    )
    return measured(value, unit, formula)


def bags(volume: Figure, *, bag: Decimal, bag_unit: str, display: Display) -> Figure:
    """Whole bags that hold at least the volume."""
    if bag <= 0:
        raise TakeoffError("A bag must hold something.")
    exact = convert(volume.value, unit=volume.unit, to=bag_unit) / bag
    # A bag too many for the last digit of a division would be a bag for nothing.
    value = round_figure(exact, 9).to_integral_value(ROUND_CEILING)
    have = display.measure(volume.in_unit(bag_unit), bag_unit, places=2)
    size = display.measure(bag, bag_unit, places=2, trim=True)
    raw = display.figure(exact, places=2)
    formula = f"{have} ÷ {size} = {raw}, so {value:f} bags"
    return Figure(value=value, unit="bags", formula=formula, exact=exact)


def cover(*, volume_m3: Decimal, depth_m: Decimal, display: Display) -> Figure:
    """The ground a volume covers at a depth."""
    within(depth_m, low=Decimal("0.001"), high=DEEPEST_SOIL_M, name="depth")
    square_metres = volume_m3 / depth_m
    formula = (
        f"{display.volume(volume_m3)} ÷ {written_depth(display, depth_m)}"
        f" = {display.area(square_metres)}"
    )
    value = convert(square_metres, unit="m²", to=display.area_unit)
    return measured(value, display.area_unit, formula)


def slope_factor(*, rise: Decimal, run: Decimal) -> Decimal:
    """How many times its plan area the ground of a slope has."""
    if run <= 0 or rise < 0:
        raise TakeoffError("A slope needs a run above zero and no negative rise.")
    return (1 + (rise / run) ** 2).sqrt()
