"""Beds as they are measured, and figures that show how they came about."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from firm.units import Display, convert, plain
from plants.sun.outline import Corners, outline_area_m2, sides_of, why_no_outline

PI = Decimal("3.141592653589793238462643383279502884")

LONGEST_SIDE_M = Decimal(1000)
LARGEST_AREA_M2 = Decimal(100_000)
DEEPEST_SOIL_M = Decimal(3)


def written_length(display: Display, metres: Decimal) -> str:
    return display.length(metres, places=3, trim=True)


def written_depth(display: Display, metres: Decimal) -> str:
    return display.depth(metres, places=2)


class TakeoffError(ValueError):
    """Measurements no bed can have; says which and why."""


def within(value: Decimal, *, low: Decimal, high: Decimal, name: str) -> None:
    if not isinstance(value, Decimal) or not value.is_finite():
        raise TakeoffError(f"The {name} must be a number.")
    if value <= 0:
        raise TakeoffError(f"The {name} must be more than nothing.")
    if not low <= value <= high:
        metric, us = (
            f"{plain(convert(low, unit='m', to=unit), places=2)} and"
            f" {plain(convert(high, unit='m', to=unit), places=2)} {unit}"
            for unit in ("m", "ft")
        )
        raise TakeoffError(f"The {name} must lie between {metric} ({us}).")


def check_side(value: Decimal, name: str) -> None:
    within(value, low=Decimal("0.01"), high=LONGEST_SIDE_M, name=name)


@dataclass(frozen=True, kw_only=True)
class Rectangle:
    length_m: Decimal
    width_m: Decimal

    def __post_init__(self) -> None:
        check_side(self.length_m, "length")
        check_side(self.width_m, "width")
        _check_area(self)

    @property
    def area_m2(self) -> Decimal:
        return self.length_m * self.width_m

    def written(self, display: Display) -> str:
        length, width = (
            written_length(display, m) for m in (self.length_m, self.width_m)
        )
        return f"{length} × {width}"


@dataclass(frozen=True, kw_only=True)
class Circle:
    diameter_m: Decimal

    def __post_init__(self) -> None:
        check_side(self.diameter_m, "diameter")
        _check_area(self)

    @property
    def area_m2(self) -> Decimal:
        return PI * self.diameter_m * self.diameter_m / 4

    def written(self, display: Display) -> str:
        return f"π × ({written_length(display, self.diameter_m)} ÷ 2)²"


@dataclass(frozen=True, kw_only=True)
class Ring:
    """A circle with a bare circle in its middle, as around a trunk."""

    diameter_m: Decimal
    bare_m: Decimal

    def __post_init__(self) -> None:
        check_side(self.diameter_m, "diameter")
        check_side(self.bare_m, "bare centre")
        if self.bare_m >= self.diameter_m:
            raise TakeoffError("The bare centre must be smaller than the ring.")
        _check_area(self)

    @property
    def area_m2(self) -> Decimal:
        return PI * (self.diameter_m**2 - self.bare_m**2) / 4

    def written(self, display: Display) -> str:
        across, bare = (
            written_length(display, m) for m in (self.diameter_m, self.bare_m)
        )
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


@dataclass(frozen=True, kw_only=True)
class Outline:
    """A bed measured by its corners, in order around it, in metres."""

    corners: Corners

    def __post_init__(self) -> None:
        crossed = why_no_outline(self.corners)
        if crossed:
            raise TakeoffError(crossed)
        _check_area(self)

    @property
    def area_m2(self) -> Decimal:
        """Half of what the corners' cross products come to (the shoelace formula)."""
        return outline_area_m2(self.corners)

    def written(self, display: Display) -> str:
        return f"outline of {len(self.corners)} corners"

    def corners_written(self, display: Display) -> str:
        """The sum that makes the area, with the corners it is made of."""
        unit = display.length_unit
        corners = " ".join(
            "({}; {})".format(
                *(
                    display.figure(convert(m, unit="m", to=unit), places=2, trim=True)
                    for m in corner
                )
            )
            for corner in self.corners
        )
        return f"½ × |Σ (x × next y - next x × y)| of {corners} {unit}"


BedShape = Rectangle | Circle | Ring | Pieces | Outline


def perimeter_m(shape: BedShape) -> Decimal:
    """The way around a bed; of pieces the sum, with the sides they share."""
    if isinstance(shape, Rectangle):
        return 2 * (shape.length_m + shape.width_m)
    if isinstance(shape, Circle | Ring):
        return PI * shape.diameter_m
    if isinstance(shape, Pieces):
        return sum((perimeter_m(piece) for piece in shape.pieces), Decimal(0))
    return sum(
        (
            ((bx - ax) ** 2 + (by - ay) ** 2).sqrt()
            for (ax, ay), (bx, by) in sides_of(shape.corners)
        ),
        Decimal(0),
    )


def pieces_of(sizes: Sequence[tuple[Decimal, Decimal]]) -> Pieces:
    """A bed from a list of (length, width) in metres."""
    rectangles = (Rectangle(length_m=length, width_m=width) for length, width in sizes)
    return Pieces(pieces=tuple(rectangles))


def _check_area(shape: BedShape) -> None:
    if shape.area_m2 > LARGEST_AREA_M2:
        raise TakeoffError(f"A bed of more than {LARGEST_AREA_M2:,} m² is refused.")


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


def measured(value: Decimal, unit: str, formula: str) -> Figure:
    return Figure(value=value, unit=unit, formula=formula, exact=value)
