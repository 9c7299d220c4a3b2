"""The ground of a bed as corner points, and where on a line across it plants may stand.

Corners are metres from the bed's front left corner, x along the front and y to the
back. Counts by area stay exact elsewhere; positions are floats.
"""

from collections.abc import Sequence
from itertools import pairwise
from math import cos, floor, hypot, pi, sin, sqrt

from jobs.takeoff.shapes import (
    BedShape,
    Circle,
    Outline,
    Pieces,
    Rectangle,
    Ring,
    TakeoffError,
)

Point = tuple[float, float]
Corners = tuple[Point, ...]
Ground = tuple[Corners, ...]
Span = tuple[float, float]

# Lengths are kept to a nanometre, so what differs by less is the same length.
SAME_M = 2e-10
# A circle is drawn with so many sides; its edge is at most 1 part in 1,800 further in.
SIDES_OF_A_CIRCLE = 96
# Between pieces that were measured side by side, as a part of all their lengths.
GAP_OF_PIECES = 0.05


def ground_of(shape: BedShape) -> Ground:
    """The rings of corners of a bed; pieces lie side by side, as they are drawn."""
    if isinstance(shape, Rectangle):
        return (_rectangle(0.0, float(shape.length_m), float(shape.width_m)),)
    if isinstance(shape, Circle):
        return (_circle(float(shape.diameter_m) / 2, float(shape.diameter_m) / 2),)
    if isinstance(shape, Ring):
        middle = float(shape.diameter_m) / 2
        return (_circle(middle, middle), _circle(float(shape.bare_m) / 2, middle))
    if isinstance(shape, Outline):
        left = min(float(x) for x, _ in shape.corners)
        front = min(float(y) for _, y in shape.corners)
        return (tuple((float(x) - left, float(y) - front) for x, y in shape.corners),)
    return _side_by_side(shape)


def _side_by_side(shape: Pieces) -> Ground:
    gap = float(sum(piece.length_m for piece in shape.pieces)) * GAP_OF_PIECES
    rings, at = [], 0.0
    for piece in shape.pieces:
        rings.append(_rectangle(at, float(piece.length_m), float(piece.width_m)))
        at += float(piece.length_m) + gap
    return tuple(rings)


def _rectangle(left: float, length: float, width: float) -> Corners:
    right = left + length
    return ((left, 0.0), (right, 0.0), (right, width), (left, width))


def _circle(radius: float, middle: float) -> Corners:
    turn = 2 * pi / SIDES_OF_A_CIRCLE
    return tuple(
        (middle + radius * cos(turn * step), middle + radius * sin(turn * step))
        for step in range(SIDES_OF_A_CIRCLE)
    )


def bounds(ground: Ground) -> tuple[float, float, float, float]:
    """Least x, least y, most x, most y."""
    xs = [x for ring in ground for x, _ in ring]
    ys = [y for ring in ground for _, y in ring]
    return min(xs), min(ys), max(xs), max(ys)


def turned(ground: Ground, along: Point) -> Ground:
    """The ground with the direction ALONG (of length one) turned onto the x axis."""
    return tuple(tuple(turn(point, along) for point in ring) for ring in ground)


def turn(point: Point, along: Point) -> Point:
    """The point in a frame whose x axis is ALONG."""
    (x, y), (ux, uy) = point, along
    return (x * ux + y * uy, y * ux - x * uy)


def turn_back(point: Point, along: Point) -> Point:
    """The point of that frame as it was before."""
    (u, v), (ux, uy) = point, along
    return (u * ux - v * uy, u * uy + v * ux)


def is_rectangle(ring: Corners) -> bool:
    """Whether the ring is a rectangle along the axes."""
    left, front, right, back = bounds((ring,))
    corners = {(left, front), (right, front), (right, back), (left, back)}
    return len(ring) == 4 and set(ring) == corners


def sides(ring: Corners) -> list[tuple[Point, Point]]:
    """The sides of a ring, the last one back to the first corner."""
    return list(pairwise((*ring, ring[0])))


def longest_side(ground: Ground) -> Point:
    """The direction of the longest side, of length one."""
    (ax, ay), (bx, by) = max(
        (side for ring in ground for side in sides(ring)),
        key=lambda side: hypot(side[1][0] - side[0][0], side[1][1] - side[0][1]),
    )
    length = hypot(bx - ax, by - ay)
    return ((bx - ax) / length, (by - ay) / length)


def to_the_edge(ground: Ground, point: Point) -> float:
    """Metres from a point to the nearest side."""
    return min(_apart(point, *side) for ring in ground for side in sides(ring))


def _apart(point: Point, start: Point, end: Point) -> float:
    (x, y), (ax, ay), (bx, by) = point, start, end
    dx, dy = bx - ax, by - ay
    squared = dx * dx + dy * dy
    share = ((x - ax) * dx + (y - ay) * dy) / squared if squared else 0.0
    share = min(max(share, 0.0), 1.0)
    return hypot(x - ax - share * dx, y - ay - share * dy)


def holds(ground: Ground, point: Point) -> bool:
    """Whether a point lies on the ground; sides count to it within a nanometre."""
    if to_the_edge(ground, point) <= 1e-9:
        return True
    x, y = point
    inside = False
    for ring in ground:
        for (ax, ay), (bx, by) in sides(ring):
            if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
                inside = not inside
    return inside


def spans(ground: Ground, y: float, *, edge: float) -> list[Span]:
    """The stretches of the line at Y that lie at least EDGE inside the ground."""
    every = [side for ring in ground for side in sides(ring)]
    inside = _joined([*_inside(every, y, upper=True), *_inside(every, y, upper=False)])
    radius = edge - SAME_M
    if radius <= 0:
        return inside
    barred = _joined(
        [span for side in every if (span := _near(side, y, radius)) is not None]
    )
    free = []
    for start, end in inside:
        at = start
        for low, high in barred:
            if high <= at:
                continue
            if low >= end:
                break
            if low >= at:
                free.append((at, low))
            at = max(at, high)
        if at <= end:
            free.append((at, end))
    return free


def _inside(
    every: Sequence[tuple[Point, Point]], y: float, *, upper: bool
) -> list[Span]:
    """Stretches inside; a corner on the line belongs to its upper or its lower side."""
    cuts = []
    for (ax, ay), (bx, by) in every:
        crosses = (ay > y) != (by > y) if upper else (ay >= y) != (by >= y)
        if crosses:
            cuts.append(ax + (y - ay) / (by - ay) * (bx - ax))
    cuts.sort()
    return [(cuts[i], cuts[i + 1]) for i in range(0, len(cuts) - 1, 2)]


def _joined(found: Sequence[Span]) -> list[Span]:
    out: list[Span] = []
    for low, high in sorted(found):
        if out and low <= out[-1][1]:
            out[-1] = (out[-1][0], max(out[-1][1], high))
        else:
            out.append((low, high))
    return out


def _near(side: tuple[Point, Point], y: float, radius: float) -> Span | None:
    """Where the line at Y runs nearer than RADIUS to a side; it is one stretch."""
    (ax, ay), (bx, by) = side
    if min(ay, by) - radius >= y or max(ay, by) + radius <= y:
        return None
    found = []
    for cx, cy in side:
        below = radius * radius - (y - cy) ** 2
        if below > 0:
            found.append((cx - sqrt(below), cx + sqrt(below)))
    length = hypot(bx - ax, by - ay)
    if length:
        strip = _strip((ax, ay), ((bx - ax) / length, (by - ay) / length), length, y)
        across = _between(strip[0], -radius, radius)
        along = _between(strip[1], 0.0, length)
        low, high = max(across[0], along[0]), min(across[1], along[1])
        if low < high:
            found.append((low, high))
    if not found:
        return None
    return (min(low for low, _ in found), max(high for _, high in found))


def _strip(
    start: Point, way: Point, length: float, y: float
) -> tuple[tuple[float, float], tuple[float, float]]:
    """How far across and along a side x lies, each as (at x = 0, per metre of x)."""
    (ax, ay), (dx, dy) = start, way
    across = (ax * dy + (y - ay) * dx, -dy)
    along = (-ax * dx + (y - ay) * dy, dx)
    return across, along


def _between(linear: tuple[float, float], low: float, high: float) -> Span:
    """Where a linear measure lies between two bounds; an empty stretch if nowhere."""
    at_nought, slope = linear
    if abs(slope) < 1e-15:
        wide = float("inf")
        return (-wide, wide) if low < at_nought < high else (wide, -wide)
    ends = ((low - at_nought) / slope, (high - at_nought) / slope)
    return (min(ends), max(ends))


def steps_in(span: Span, *, start: float, step: float) -> list[float]:
    """The places START + n STEP that lie in a stretch, its ends among them."""
    first = -floor((start - span[0] + SAME_M) / step)
    last = floor((span[1] - start + SAME_M) / step)
    return [start + step * index for index in range(first, last + 1)]


def check_ground(ground: Ground) -> Ground:
    """The ground, refused where there is none."""
    if not ground or any(len(ring) < 3 for ring in ground):
        raise TakeoffError("A bed needs at least three corners.")
    return ground
