"""Quantities from measurements: soil, mulch and plants, each with its formula."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction
from math import isqrt

from firm.units import Display, convert, round_figure

PI = Decimal("3.141592653589793238462643383279502884")
# A triangle grid holds this many times the plants of a square one: 2 / sqrt(3).
TRIANGLE = 2 / Decimal(3).sqrt()

LONGEST_SIDE_M = Decimal(1000)
LARGEST_AREA_M2 = Decimal(100_000)
DEEPEST_SOIL_M = Decimal(3)
# Deeper mulch keeps air and water from the roots. Memory: several extension sheets.
DEEPEST_MULCH_M = convert(Decimal(4), unit="in", to="m")
CLOSEST_SPACING_M = Decimal("0.02")
WIDEST_SPACING_M = Decimal(50)
ASK_FROM_PLANTS = 5_000
MOST_PLANTS = 10_000_000

SQUARE, TRIANGULAR = "square", "triangular"
HALF_UP, UP = "half up", "up"


class TakeoffError(ValueError):
    """Measurements no bed can have; says which and why."""


def _within(value: Decimal, *, low: Decimal, high: Decimal, name: str) -> None:
    if not isinstance(value, Decimal) or not value.is_finite():
        raise TakeoffError(f"The {name} must be a number.")
    if value <= 0:
        raise TakeoffError(f"The {name} must be more than nothing.")
    if not low <= value <= high:
        size = f"between {low.normalize():f} and {high.normalize():f} m"
        raise TakeoffError(f"The {name} must lie {size}.")


def _side(value: Decimal, name: str) -> None:
    _within(value, low=Decimal("0.01"), high=LONGEST_SIDE_M, name=name)


@dataclass(frozen=True, kw_only=True)
class Rectangle:
    length_m: Decimal
    width_m: Decimal

    def __post_init__(self) -> None:
        _side(self.length_m, "length")
        _side(self.width_m, "width")
        _check_area(self)

    @property
    def area_m2(self) -> Decimal:
        return self.length_m * self.width_m

    def written(self, display: Display) -> str:
        length, width = (_length(display, m) for m in (self.length_m, self.width_m))
        return f"{length} × {width}"


@dataclass(frozen=True, kw_only=True)
class Circle:
    diameter_m: Decimal

    def __post_init__(self) -> None:
        _side(self.diameter_m, "diameter")
        _check_area(self)

    @property
    def area_m2(self) -> Decimal:
        return PI * self.diameter_m * self.diameter_m / 4

    def written(self, display: Display) -> str:
        return f"π × ({_length(display, self.diameter_m)} ÷ 2)²"


@dataclass(frozen=True, kw_only=True)
class Ring:
    """A circle with a bare circle in its middle, as around a trunk."""

    diameter_m: Decimal
    bare_m: Decimal

    def __post_init__(self) -> None:
        _side(self.diameter_m, "diameter")
        _side(self.bare_m, "bare centre")
        if self.bare_m >= self.diameter_m:
            raise TakeoffError("The bare centre must be smaller than the ring.")
        _check_area(self)

    @property
    def area_m2(self) -> Decimal:
        return PI * (self.diameter_m**2 - self.bare_m**2) / 4

    def written(self, display: Display) -> str:
        across, bare = (_length(display, m) for m in (self.diameter_m, self.bare_m))
        return f"π × (({across} ÷ 2)² - ({bare} ÷ 2)²)"


@dataclass(frozen=True, kw_only=True)
class Pieces:
    """A bed measured as several rectangles side by side."""

    pieces: tuple[Rectangle, ...]

    def __post_init__(self) -> None:
        if not self.pieces:
            raise TakeoffError("A bed needs at least one piece.")
        _check_area(self)

    @property
    def area_m2(self) -> Decimal:
        return sum((piece.area_m2 for piece in self.pieces), Decimal(0))

    def written(self, display: Display) -> str:
        return " + ".join(piece.written(display) for piece in self.pieces)


BedShape = Rectangle | Circle | Ring | Pieces


def pieces_of(sizes: Sequence[tuple[Decimal, Decimal]]) -> Pieces:
    """A bed from a list of (length, width) in metres."""
    rectangles = (Rectangle(length_m=length, width_m=width) for length, width in sizes)
    return Pieces(pieces=tuple(rectangles))


def _check_area(shape: BedShape) -> None:
    if shape.area_m2 > LARGEST_AREA_M2:
        raise TakeoffError(f"A bed of more than {LARGEST_AREA_M2} m² is refused.")


@dataclass(frozen=True, kw_only=True)
class Figure:
    """A quantity in the unit it is ordered in, and how it came about.

    `value` is unrounded for a measure and whole for a count; `exact` is the count
    before it was rounded.
    """

    value: Decimal
    unit: str
    formula: str
    exact: Decimal

    @property
    def count(self) -> int:
        return int(self.value)

    def in_unit(self, unit: str) -> Decimal:
        """The unrounded value in another unit of its kind."""
        return convert(self.value, unit=self.unit, to=unit)


@dataclass(frozen=True, kw_only=True)
class Portion:
    """One part of a soil blend."""

    name: str
    percent: Decimal
    figure: Figure


@dataclass(frozen=True, kw_only=True)
class Rows:
    """Plants set out in rows: how many stand in each, and all of them."""

    rows: tuple[int, ...]
    figure: Figure


def _length(display: Display, metres: Decimal) -> str:
    return display.length(metres, places=3, trim=True)


def _depth(display: Display, metres: Decimal) -> str:
    return display.depth(metres, places=2)


def _measured(value: Decimal, unit: str, formula: str) -> Figure:
    return Figure(value=value, unit=unit, formula=formula, exact=value)


# --- areas and volumes ---------------------------------------------------------------


def area(shape: BedShape, *, display: Display) -> Figure:
    """The ground a bed covers."""
    value = convert(shape.area_m2, unit="m²", to=display.area_unit)
    shown = display.area(shape.area_m2)
    return _measured(value, display.area_unit, f"{shape.written(display)} = {shown}")


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
    formula = f"{written} × {_depth(display, depth_m)} deep = {result}"
    return _measured(value, unit, formula)


def soil_volume(shape: BedShape, *, depth_m: Decimal, display: Display) -> Figure:
    """The soil that fills a bed to a depth."""
    _within(depth_m, low=Decimal("0.001"), high=DEEPEST_SOIL_M, name="depth")
    return _volume(shape, depth_m, display)


def mulch(shape: BedShape, *, depth_m: Decimal, display: Display) -> Figure:
    """The mulch on a bed; more than 4 in (10.16 cm) is refused."""
    _within(depth_m, low=Decimal("0.001"), high=DEEPEST_SOIL_M, name="mulch depth")
    if depth_m > DEEPEST_MULCH_M:
        raise TakeoffError(
            f"Mulch deeper than {_depth(display, DEEPEST_MULCH_M)} smothers the roots."
        )
    return _volume(shape, depth_m, display)


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
        figure = _measured(value, volume.unit, formula)
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
    return _measured(value, figure.unit, formula)


def backfill(
    *,
    ball_m: Decimal,
    ball_depth_m: Decimal,
    hole_times: Decimal,
    display: Display,
) -> Figure:
    """The soil around a root ball in a round hole as deep as the ball."""
    _side(ball_m, "root ball")
    _within(ball_depth_m, low=Decimal("0.01"), high=DEEPEST_SOIL_M, name="ball depth")
    if not 1 < hole_times <= 5:
        raise TakeoffError("The hole is wider than the ball, at most five times.")
    unit = display.volume_unit
    cubic_metres = PI * ball_m**2 * (hole_times**2 - 1) / 4 * ball_depth_m
    value = convert(cubic_metres, unit="m³", to=unit)
    ball, deep = (_depth(display, m) for m in (ball_m, ball_depth_m))
    times = display.figure(hole_times, places=2, trim=True)
    formula = (
        f"π × ({ball} ÷ 2)² × ({times}² - 1) × {deep} deep"
        f" = {_result(value, unit, display)}"
    )
    return _measured(value, unit, formula)


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
    _within(depth_m, low=Decimal("0.001"), high=DEEPEST_SOIL_M, name="depth")
    square_metres = volume_m3 / depth_m
    formula = (
        f"{display.volume(volume_m3)} ÷ {_depth(display, depth_m)}"
        f" = {display.area(square_metres)}"
    )
    value = convert(square_metres, unit="m²", to=display.area_unit)
    return _measured(value, display.area_unit, formula)


def slope_factor(*, rise: Decimal, run: Decimal) -> Decimal:
    """How many times its plan area the ground of a slope has."""
    if run <= 0 or rise < 0:
        raise TakeoffError("A slope needs a run above zero and no negative rise.")
    return (1 + (rise / run) ** 2).sqrt()


# --- plants --------------------------------------------------------------------------


def _spacing(spacing_m: Decimal) -> None:
    _within(spacing_m, low=CLOSEST_SPACING_M, high=WIDEST_SPACING_M, name="spacing")


def _layout(layout: str) -> None:
    if layout not in {SQUARE, TRIANGULAR}:
        raise TakeoffError(f"Plants stand square or triangular, not {layout!r}.")


def whole_plants(exact: Decimal, *, rounding: str) -> int:
    """Plants to order: half up, or up to the next whole one."""
    if rounding == HALF_UP:
        return int(round_figure(exact, 0))
    if rounding == UP:
        return int(exact.to_integral_value(ROUND_CEILING))
    raise TakeoffError(f"Counts are rounded half up or up, not {rounding!r}.")


def plants_by_area(
    shape: BedShape,
    *,
    spacing_m: Decimal,
    layout: str,
    rounding: str = HALF_UP,
    overage_percent: Decimal = Decimal(0),
    display: Display,
) -> Figure:
    """The plants an area holds, whatever its shape: area by the square of spacing."""
    _spacing(spacing_m)
    _layout(layout)
    if not 0 <= overage_percent <= 100:
        raise TakeoffError("The overage lies between 0 and 100 %.")
    exact = shape.area_m2 / (spacing_m * spacing_m)
    spacing = _depth(display, spacing_m)
    steps = f"{display.area(shape.area_m2)} ÷ ({spacing})²"
    if layout == TRIANGULAR:
        exact *= TRIANGLE
        steps += f" × {display.figure(TRIANGLE, places=4)}"
    if overage_percent:
        exact = exact * (100 + overage_percent) / 100
        over = display.figure(overage_percent, places=2, trim=True)
        steps += f" + {over} %"
    count = whole_plants(exact, rounding=rounding)
    formula = f"{steps} = {display.figure(exact, places=2)}, so {count} plants"
    return Figure(value=Decimal(count), unit="plants", formula=formula, exact=exact)


def row_gap_m(spacing_m: Decimal) -> Decimal:
    """From row to row when every plant stands its spacing from all neighbours."""
    _spacing(spacing_m)
    return spacing_m * Decimal(3).sqrt() / 2


def _floor_ratio(over: Decimal, under: Decimal) -> int:
    """Whole times `under` goes into `over`, exactly."""
    ratio = Fraction(over) / Fraction(under)
    return ratio.numerator // ratio.denominator


def _square_rows(length: Decimal, width: Decimal, spacing: Decimal) -> tuple[int, ...]:
    return (_floor_ratio(length, spacing),) * _floor_ratio(width, spacing)


def _staggered_rows(
    length: Decimal, width: Decimal, spacing: Decimal
) -> tuple[int, ...]:
    """Rows half a spacing from the edge, every second one set half a spacing on."""
    full = _floor_ratio(length, spacing)
    if not full or width < spacing:
        return ()
    shifted = _floor_ratio(length - spacing / 2, spacing)
    # gaps = floor((width - s) / (s √3 / 2)), found in whole numbers: its square is
    # 4 (width - s)² / 3 s², and the floor of a root is the root of the floor.
    squared = Fraction(4) * Fraction(width - spacing) ** 2
    squared /= 3 * Fraction(spacing) ** 2
    gaps = isqrt(squared.numerator // squared.denominator)
    return tuple(shifted if row % 2 else full for row in range(gaps + 1))


def plants_in_rows(
    shape: Rectangle | Pieces, *, spacing_m: Decimal, layout: str, display: Display
) -> Rows:
    """The plants that stand in rows along the length, half a spacing to the edge."""
    _spacing(spacing_m)
    _layout(layout)
    if not isinstance(shape, Rectangle | Pieces):
        raise TakeoffError("Only rectangles are laid out in rows; count by area.")
    rectangles = shape.pieces if isinstance(shape, Pieces) else (shape,)
    rows: tuple[int, ...] = ()
    parts = []
    for piece in rectangles:
        lay = _square_rows if layout == SQUARE else _staggered_rows
        own = lay(piece.length_m, piece.width_m, spacing_m)
        parts.append(_rows_written(own))
        rows += own
    formula = (
        f"{shape.written(display)} at {_depth(display, spacing_m)},"
        f" {_depth(display, spacing_m / 2)} to the edge:"
        f" {'; '.join(parts)} = {sum(rows)} plants"
    )
    total = Decimal(sum(rows))
    figure = Figure(value=total, unit="plants", formula=formula, exact=total)
    return Rows(rows=rows, figure=figure)


def _rows_written(rows: tuple[int, ...]) -> str:
    if not rows or not sum(rows):
        return "no row fits"
    if len(set(rows)) == 1:
        return f"{len(rows)} rows of {rows[0]}"
    return "rows of " + ", ".join(str(row) for row in rows)


def why_counts_differ(
    *, by_area: Figure, in_rows: Figure, spacing_m: Decimal, display: Display
) -> str:
    """One sentence on the two counts of one bed; empty when they agree."""
    if by_area.count == in_rows.count:
        return ""
    return (
        f"By area {by_area.count}, in rows {in_rows.count}: only whole rows fit, and"
        f" they keep {_depth(display, spacing_m / 2)} to the edge."
    )


def hedge(*, length_m: Decimal, spacing_m: Decimal, display: Display) -> Figure:
    """The plants of a line planted at both ends."""
    _side(length_m, "length")
    _spacing(spacing_m)
    exact = length_m / spacing_m
    count = -_floor_ratio(-length_m, spacing_m) + 1
    length, spacing = _length(display, length_m), _depth(display, spacing_m)
    raw = display.figure(exact, places=2, trim=True)
    formula = f"{length} ÷ {spacing} = {raw}, rounded up, + 1 = {count} plants"
    return Figure(value=Decimal(count), unit="plants", formula=formula, exact=exact + 1)


def check_count(count: int) -> int:
    """A typed number of plants, refused when nobody could mean it."""
    if count < 1:
        raise TakeoffError("At least one plant must be planted.")
    if count > MOST_PLANTS:
        raise TakeoffError(f"More than {MOST_PLANTS:,} plants are refused.")
    return count


def needs_asking(count: int) -> bool:
    """Whether a number of plants is unusual enough to ask about it."""
    return count >= ASK_FROM_PLANTS
