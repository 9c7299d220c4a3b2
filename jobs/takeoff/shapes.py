"""Beds as they are measured, and figures that show how they came about."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from firm.units import Display, convert, plain

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


Corner = tuple[Decimal, Decimal]


@dataclass(frozen=True, kw_only=True)
class Outline:
    """A bed measured by its corners, in order around it, in metres."""

    corners: tuple[Corner, ...]

    def __post_init__(self) -> None:
        crossed = why_no_outline(self.corners)
        if crossed:
            raise TakeoffError(crossed)
        _check_area(self)

    @property
    def area_m2(self) -> Decimal:
        """Half of what the corners' cross products come to (the shoelace formula)."""
        return abs(_twice_the_area(self.corners)) / 2

    def written(self, display: Display) -> str:
        return f"outline of {len(self.corners)} corners"


def _sides_of(corners: Sequence[Corner]) -> list[tuple[Corner, Corner]]:
    return list(zip(corners, (*corners[1:], corners[0]), strict=True))


def _twice_the_area(corners: Sequence[Corner]) -> Decimal:
    return sum(
        (ax * by - bx * ay for (ax, ay), (bx, by) in _sides_of(corners)), Decimal(0)
    )


def why_no_outline(corners: Sequence[Corner]) -> str:
    """Why the corners are no bed: too few, a side crossing another; else nothing."""
    if len(corners) < 3:
        return "An outline needs at least three corners."
    for place, (start, end) in enumerate(_sides_of(corners), start=1):
        if start == end:
            return f"Corner {place} and the next one are the same point."
    sides = _sides_of(corners)
    for one in range(len(sides)):
        for other in range(one + 1, len(sides)):
            if _meet(sides, one, other):
                return f"Side {one + 1} crosses or touches side {other + 1}."
    if not _twice_the_area(corners):
        return "The corners lie on one line."
    return ""


def _meet(sides: Sequence[tuple[Corner, Corner]], one: int, other: int) -> bool:
    """Whether two sides meet anywhere but at the corner they share."""
    (a, b), (c, d) = sides[one], sides[other]
    if b == c or d == a:
        shared, far, next_far = (b, a, d) if b == c else (a, b, c)
        if _turn(far, shared, next_far):
            return False
        # Folded back on the same line.
        return (far[0] - shared[0]) * (next_far[0] - shared[0]) + (
            far[1] - shared[1]
        ) * (next_far[1] - shared[1]) > 0
    turns = _turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b)
    if turns[0] * turns[1] < 0 and turns[2] * turns[3] < 0:
        return True
    return any(
        not turned and _on(corner, start, end)
        for turned, corner, start, end in (
            (turns[0], c, a, b),
            (turns[1], d, a, b),
            (turns[2], a, c, d),
            (turns[3], b, c, d),
        )
    )


def _turn(a: Corner, b: Corner, c: Corner) -> Decimal:
    """Above nothing for a turn to the left, nothing on one line."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _on(corner: Corner, start: Corner, end: Corner) -> bool:
    """Whether a corner on the line of a side lies between its ends."""
    return all(
        min(start[axis], end[axis]) <= corner[axis] <= max(start[axis], end[axis])
        for axis in (0, 1)
    )


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
            for (ax, ay), (bx, by) in _sides_of(shape.corners)
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
