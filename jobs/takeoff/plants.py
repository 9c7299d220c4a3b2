"""Plant counts: by area, in rows, along a hedge."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction
from math import isqrt

from firm.units import Display, round_figure
from jobs.takeoff.shapes import (
    BedShape,
    Figure,
    Pieces,
    Rectangle,
    TakeoffError,
    check_side,
    within,
    written_depth,
    written_length,
)

# A triangle grid holds this many times the plants of a square one: 2 / sqrt(3).
TRIANGLE = 2 / Decimal(3).sqrt()
CLOSEST_SPACING_M = Decimal("0.02")
WIDEST_SPACING_M = Decimal(50)
ASK_FROM_PLANTS = 5_000
MOST_PLANTS = 10_000_000

SQUARE, TRIANGULAR = "square", "triangular"
HALF_UP, UP = "half up", "up"


@dataclass(frozen=True, kw_only=True)
class Rows:
    """Plants set out in rows: how many stand in each, and all of them."""

    rows: tuple[int, ...]
    figure: Figure


def _spacing(spacing_m: Decimal) -> None:
    within(spacing_m, low=CLOSEST_SPACING_M, high=WIDEST_SPACING_M, name="spacing")


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
    spacing = written_depth(display, spacing_m)
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
        f"{shape.written(display)} at {written_depth(display, spacing_m)},"
        f" {written_depth(display, spacing_m / 2)} to the edge:"
        f" {'; '.join(parts)} = {sum(rows)} plants"
    )
    total = Decimal(sum(rows))
    figure = Figure(value=total, unit="plants", formula=formula, exact=total)
    return Rows(rows=rows, figure=figure)


def _rows_written(rows: tuple[int, ...]) -> str:
    if not rows or not sum(rows):
        return "no row fits"
    if len(set(rows)) == 1:
        return f"{len(rows)} {'row' if len(rows) == 1 else 'rows'} of {rows[0]}"
    return "rows of " + ", ".join(str(row) for row in rows)


def why_counts_differ(
    *, by_area: Figure, in_rows: Figure, spacing_m: Decimal, display: Display
) -> str:
    """One sentence on the two counts of one bed; empty when they agree."""
    if by_area.count == in_rows.count:
        return ""
    return (
        f"By area {by_area.count}, in rows {in_rows.count}: only whole rows fit, and"
        f" they keep {written_depth(display, spacing_m / 2)} to the edge."
    )


def hedge(*, length_m: Decimal, spacing_m: Decimal, display: Display) -> Figure:
    """The plants of a line planted at both ends."""
    check_side(length_m, "length")
    _spacing(spacing_m)
    exact = length_m / spacing_m
    count = -_floor_ratio(-length_m, spacing_m) + 1
    length, spacing = (
        written_length(display, length_m),
        written_depth(display, spacing_m),
    )
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
