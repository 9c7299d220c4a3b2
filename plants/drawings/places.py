"""Where a bed's plants stand when nobody has placed them: evenly over its shape."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from math import ceil, cos, floor, pi, sin, sqrt

from plants.drawings.svg import Point


@dataclass(frozen=True, kw_only=True)
class Rectangle:
    """A bed with four square corners."""

    length_m: Decimal
    width_m: Decimal


@dataclass(frozen=True, kw_only=True)
class Circle:
    """A round bed."""

    diameter_m: Decimal


@dataclass(frozen=True, kw_only=True)
class Pieces:
    """A bed measured as a list of lengths and widths, drawn side by side."""

    pieces: tuple[tuple[Decimal, Decimal], ...]


@dataclass(frozen=True, kw_only=True)
class Outline:
    """A bed measured by its corners, x along the front and y to the back."""

    corners: tuple[tuple[Decimal, Decimal], ...]


Shape = Rectangle | Circle | Pieces | Outline

# How far a grid may be drawn out of square for the sake of equal columns.
MOST_STRETCH = 1.35
# The least step in a hedge's row, as a part of the plants' spread when grown.
LEAST_STEP = 0.35


@dataclass(frozen=True, kw_only=True)
class PlanPlanting:
    """So many of one plant; positions are metres from the bed's upper left corner.

    Without positions the plants are spread evenly over the bed, a hedge in one or two
    rows along its long side. Plants that have a mature spread are drawn as wide as it.
    """

    number: int
    label: str
    quantity: int
    positions: tuple[tuple[Decimal, Decimal], ...] = ()
    spread_m: Decimal | None = None
    hedge: bool = False


@dataclass(frozen=True)
class Piece:
    """One part of the bed, in metres from the drawing's upper left corner."""

    x: float
    y: float
    wide: float
    high: float
    round: bool = False
    # Of an outline: its corners as the drawing sees them, the front below.
    corners: tuple[Point, ...] = ()


def pieces_of(shape: Shape) -> list[Piece]:
    if isinstance(shape, Outline):
        return [_outlined(shape)]
    if isinstance(shape, Rectangle):
        sides = [(shape.length_m, shape.width_m)]
    elif isinstance(shape, Circle):
        sides = [(shape.diameter_m, shape.diameter_m)]
    else:
        sides = list(shape.pieces)
    if not sides or any(a <= 0 or b <= 0 for a, b in sides):
        raise ValueError("a bed needs sizes above nothing")
    if isinstance(shape, Circle):
        across = float(shape.diameter_m)
        return [Piece(0, 0, across, across, round=True)]
    if isinstance(shape, Rectangle):
        return [Piece(0, 0, float(shape.length_m), float(shape.width_m))]
    # Side by side, each as long as it was measured, with a little ground between.
    total = sum(float(length) for length, _ in sides)
    gap = total * 0.05
    out = []
    x = 0.0
    for length, breadth in sides:
        out.append(Piece(x, 0, float(length), float(breadth)))
        x += float(length) + gap
    return out


def _outlined(shape: Outline) -> Piece:
    """The box around an outline with the outline in it."""
    xs, ys = ([float(corner[axis]) for corner in shape.corners] for axis in (0, 1))
    if len(xs) < 3 or max(xs) <= min(xs) or max(ys) <= min(ys):
        raise ValueError("a bed needs sizes above nothing")
    return Piece(
        0,
        0,
        max(xs) - min(xs),
        max(ys) - min(ys),
        corners=tuple((x - min(xs), max(ys) - y) for x, y in zip(xs, ys, strict=True)),
    )


def _split(count: int, weights: Sequence[float]) -> list[int]:
    """A count divided by weight; the largest remainders take what is left."""
    total = sum(weights)
    exact = [count * weight / total for weight in weights]
    out = [floor(each) for each in exact]
    order = sorted(
        range(len(exact)), key=lambda index: (out[index] - exact[index], index)
    )
    for index in order[: count - sum(out)]:
        out[index] += 1
    return out


def placed(
    shape: Shape, plantings: Sequence[PlanPlanting]
) -> list[tuple[PlanPlanting, list[Point]]]:
    """Each planting with its places in metres; those without any share the bed."""
    loose = [planting for planting in plantings if not planting.positions]
    # A planting's share of the bed is the ground its plants cover when grown.
    known = [planting.spread_m for planting in loose if planting.spread_m]
    usual = float(sum(known)) / len(known) if known else 1.0
    shares = [
        max(planting.quantity, 0) * float(planting.spread_m or usual) ** 2
        for planting in loose
    ]
    counts = [max(planting.quantity, 0) for planting in loose]
    parts = pieces_of(shape)
    if parts[0].round:
        places = _in_circle(parts[0].wide / 2, counts, shares)
    elif parts[0].corners:
        places = _shared(_inside(parts[0], sum(counts)), counts, shares)
    else:
        places = _in_slices(parts, loose, counts, shares)
    ready = iter(places)
    return [
        (
            planting,
            [(float(x), float(y)) for x, y in planting.positions]
            if planting.positions
            else next(ready),
        )
        for planting in plantings
    ]


def _in_slices(
    parts: Sequence[Piece],
    loose: Sequence[PlanPlanting],
    counts: Sequence[int],
    shares: Sequence[float],
) -> list[list[Point]]:
    """Slices of the pieces, left to right, one planting after the other."""
    area = sum(part.wide * part.high for part in parts)
    whole = sum(shares) or 1.0
    stack = [*parts]
    out = []
    for planting, count, share in zip(loose, counts, shares, strict=True):
        left = area * share / whole
        slices: list[Piece] = []
        while stack and left > area * 1e-9:
            part = stack[0]
            wide = min(left / part.high, part.wide)
            slices.append(Piece(part.x, part.y, wide, part.high))
            left -= wide * part.high
            stack[0] = Piece(part.x + wide, part.y, part.wide - wide, part.high)
            if (
                stack[0].wide < part.wide * 1e-6
                or stack[0].wide * part.high < area * 1e-6
            ):
                stack.pop(0)
        places: list[Point] = []
        if slices:
            divided = _split(count, [piece.wide * piece.high for piece in slices])
            for piece, number_of in zip(slices, divided, strict=True):
                if planting.hedge:
                    places += _line(piece, number_of, planting.spread_m)
                else:
                    places += _grid(piece, number_of)
        out.append(places)
    return out


def _grid(piece: Piece, count: int) -> list[Point]:
    """Columns of plants that fill a rectangle, all alike where their number allows."""
    if count == 0:
        return []
    ideal = sqrt(count * piece.wide / piece.high)
    columns = min(max(1, round(ideal)), count)
    even = [
        each
        for each in range(1, count + 1)
        if count % each == 0 and 1 / MOST_STRETCH <= each / ideal <= MOST_STRETCH
    ]
    if even:
        columns = min(even, key=lambda each: (abs(each - ideal), each))
    out = []
    for column, size in enumerate(_split(count, [1.0] * columns)):
        x = piece.x + piece.wide * (column + 0.5) / columns
        out += [(x, piece.y + piece.high * (row + 0.5) / size) for row in range(size)]
    return out


def _line(piece: Piece, count: int, spread_m: Decimal | None) -> list[Point]:
    """A hedge along the long side, all alike; two rows where one would be crowded."""
    if count == 0:
        return []
    long, deep = max(piece.wide, piece.high), min(piece.wide, piece.high)
    crowded = spread_m is not None and long / count < float(spread_m) * LEAST_STEP
    rows = 2 if crowded and count > 2 else 1
    sizes = _split(count, [1.0] * rows)
    step = long / (sizes[0] + (0.5 if rows == 2 and count % 2 == 0 else 0))
    out = []
    for row, size in enumerate(sizes):
        across = deep * (row + 0.5) / rows
        # The second row stands in the gaps of the first.
        begun = step * (0.5 + row * 0.5)
        for index in range(size):
            along = begun + step * index
            out.append((along, across) if piece.wide >= piece.high else (across, along))
    return [(piece.x + x, piece.y + y) for x, y in out]


def _sunflower(radius: float, count: int) -> list[Point]:
    """Points that cover a disc evenly, whatever their count."""
    turn = pi * (3 - sqrt(5))
    out = []
    for index in range(count):
        away = radius * sqrt((index + 0.5) / count)
        out.append(
            (radius + away * cos(index * turn), radius + away * sin(index * turn))
        )
    return out


def _in_circle(
    radius: float, counts: Sequence[int], shares: Sequence[float]
) -> list[list[Point]]:
    """Slices of a disc, left to right, each with its plants apart from each other."""
    most = sum(counts)
    fine = sorted(_sunflower(radius, max(240, most if most > 100 else 6 * most)))
    return _shared(fine, counts, shares)


def _shared(
    fine: Sequence[Point], counts: Sequence[int], shares: Sequence[float]
) -> list[list[Point]]:
    """The ground, left to right, given to the plantings by their shares."""
    slices = _split(len(fine), shares) if sum(shares) else [0] * len(counts)
    out = []
    taken = 0
    for count, size in zip(counts, slices, strict=True):
        ground = fine[taken : taken + size]
        taken += size
        out.append(_apart(ground, count))
    return out


def _inside(piece: Piece, most: int) -> list[Point]:
    """Points that cover an outline evenly, many more than the plants in it."""
    wanted = max(240, most if most > 100 else 6 * most)
    step = sqrt(piece.wide * piece.high / wanted)
    while True:
        found = [
            (x, y)
            for column in range(ceil(piece.wide / step))
            for row in range(ceil(piece.high / step))
            if _holds(
                piece.corners,
                x := (column + 0.5) * step,
                y := (row + 0.5) * step,
            )
        ]
        if len(found) >= wanted / 2:
            return sorted(found)
        step /= 1.5


def _holds(corners: Sequence[Point], x: float, y: float) -> bool:
    """Whether a point lies inside the corners."""
    inside = False
    for (ax, ay), (bx, by) in pairwise((*corners, corners[0])):
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            inside = not inside
    return inside


def _apart(ground: Sequence[Point], count: int) -> list[Point]:
    """So many middles of equal parts of the ground, found in a few rounds."""
    if count <= 0 or not ground:
        return []
    step = len(ground) / count
    middles = [ground[min(int((index + 0.5) * step), len(ground) - 1)]
               for index in range(count)]  # fmt: skip
    # Beyond a hundred plants the rounds cost more than their evenness is worth.
    for _ in range(8 if count <= 100 else 0):
        near: list[list[Point]] = [[] for _ in middles]
        for x, y in ground:
            least = min(
                range(count),
                key=lambda at: (middles[at][0] - x) ** 2 + (middles[at][1] - y) ** 2,
            )
            near[least].append((x, y))
        middles = [
            (sum(x for x, _ in some) / len(some), sum(y for _, y in some) / len(some))
            if some
            else middle
            for some, middle in zip(near, middles, strict=True)
        ]
    return middles
