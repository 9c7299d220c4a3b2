"""The ground of a bed on a plan: outlines, and the spots its sun is reckoned at.

A plan is in metres to the east and to the north of the bed's middle.
"""

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from math import atan2, cos, hypot, pi, radians, sin, sqrt

import numpy as np

from plants.sun.position import Figures, SunError

Point = tuple[float, float]
Ring = tuple[Point, ...]
Ground = tuple[Ring, ...]

_CIRCLE_CORNERS = 32
_LINES = 240


def rectangle(
    length_m: float, width_m: float, *, bearing_deg: float = 90, middle: Point = (0, 0)
) -> Ring:
    """A bed with square corners whose length runs along a bearing from the north."""
    if not (length_m > 0 and width_m > 0):
        raise SunError("A bed needs a length and a width over nothing.")
    along = (sin(radians(bearing_deg)), cos(radians(bearing_deg)))
    across = (-along[1], along[0])
    corners = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return tuple(
        (
            middle[0] + (a * along[0] * length_m + b * across[0] * width_m) / 2,
            middle[1] + (a * along[1] * length_m + b * across[1] * width_m) / 2,
        )
        for a, b in corners
    )


def circle(across_m: float, *, middle: Point = (0, 0)) -> Ring:
    """A round bed, as a ring of corners that encloses the same area."""
    if not across_m > 0:
        raise SunError("A round bed needs a size over nothing.")
    turn = 2 * pi / _CIRCLE_CORNERS
    radius = across_m / 2 * sqrt(turn / sin(turn))
    return tuple(
        (middle[0] + radius * cos(turn * i), middle[1] + radius * sin(turn * i))
        for i in range(_CIRCLE_CORNERS)
    )


def row_of(pieces: Sequence[tuple[float, float]], *, bearing_deg: float = 90) -> Ground:
    """Rectangles laid end to end along a bearing, as nobody measured where they lie."""
    along = (sin(radians(bearing_deg)), cos(radians(bearing_deg)))
    left = -sum(length for length, _width in pieces) / 2
    rings = []
    for length, width in pieces:
        at = left + length / 2
        rings.append(
            rectangle(
                length,
                width,
                bearing_deg=bearing_deg,
                middle=(at * along[0], at * along[1]),
            )
        )
        left += length
    return tuple(rings)


def area_m2(ground: Ground) -> float:
    """How much ground the rings enclose."""
    return sum(abs(_signed_area(ring)) for ring in ground)


def _signed_area(ring: Ring) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in _sides(ring)) / 2


def check_ground(ground: Ground) -> None:
    """Raise SunError for a bed that is no piece of ground."""
    if not ground or any(len(ring) < 3 for ring in ground):
        raise SunError("A bed needs at least three corners.")
    if any(
        not all(np.isfinite(figure) and abs(figure) <= 10_000 for figure in corner)
        for ring in ground
        for corner in ring
    ):
        raise SunError("A corner of the bed lies out of reach.")
    if any(abs(_signed_area(ring)) < 1e-6 for ring in ground):
        raise SunError("The corners of the bed enclose no ground.")
    if any(len(set(ring)) != len(ring) for ring in ground):
        # Gone round twice, it would cross itself nowhere and yet hold nothing.
        raise SunError("The outline of the bed comes to one corner twice.")
    if any(_crosses_itself(ring) for ring in ground):
        raise SunError("The outline of the bed crosses itself.")


def _crosses_itself(ring: Ring) -> bool:
    sides = _sides(ring)
    return any(
        _cross(sides[i], sides[j])
        for i in range(len(sides))
        for j in range(i + 2, len(sides))
    )


def _sides(ring: Ring) -> list[tuple[Point, Point]]:
    return list(zip(ring, (*ring[1:], ring[0]), strict=True))


def _cross(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    """Whether two lines cross inside both, touching ends apart."""
    (a, b), (c, d) = one, other
    return (
        _turn(a, b, c) * _turn(a, b, d) < -1e-15
        and _turn(c, d, a) * _turn(c, d, b) < -1e-15
    )


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def holds(ground: Ground, point: Point) -> bool:
    """Whether a point lies inside the bed."""
    return any(_ring_holds(ring, point) for ring in ground)


def _ring_holds(ring: Ring, point: Point) -> bool:
    x, y = point
    is_inside = False
    for (x0, y0), (x1, y1) in _sides(ring):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            is_inside = not is_inside
    return is_inside


def runs_through(ground: Ground, start: Point, end: Point) -> bool:
    """Whether a line from START to END cuts into the bed; along its edge is allowed."""
    if start == end:
        return holds(ground, start)
    run = (end[0] - start[0], end[1] - start[1])
    for ring in ground:
        cuts = [0.0, 1.0]
        for a, b in _sides(ring):
            edge = (b[0] - a[0], b[1] - a[1])
            cross = run[0] * edge[1] - run[1] * edge[0]
            if abs(cross) < 1e-12:
                continue
            away = (a[0] - start[0], a[1] - start[1])
            at = (away[0] * edge[1] - away[1] * edge[0]) / cross
            if 0 < at < 1:
                cuts.append(at)
        cuts.sort()
        for before, after in pairwise(cuts):
            if (after - before) * hypot(*run) < 1e-6:
                continue
            middle = (before + after) / 2
            point = (start[0] + middle * run[0], start[1] + middle * run[1])
            if _ring_holds(ring, point) and _off_the_edge(ring, point):
                return True
    return False


def _off_the_edge(ring: Ring, point: Point) -> bool:
    return all(distance_to(point, a, b) > 1e-6 for a, b in _sides(ring))


def distance_to(point: Point, start: Point, end: Point) -> float:
    """How far a point lies from a straight piece of line."""
    run = (end[0] - start[0], end[1] - start[1])
    away = (point[0] - start[0], point[1] - start[1])
    length2 = run[0] ** 2 + run[1] ** 2
    share = (away[0] * run[0] + away[1] * run[1]) / length2 if length2 else 0.0
    share = min(max(share, 0.0), 1.0)
    return hypot(away[0] - share * run[0], away[1] - share * run[1])


def reach(ground: Ground, bearing_deg: float) -> float:
    """How far the bed reaches from its middle towards a bearing."""
    way = (sin(radians(bearing_deg)), cos(radians(bearing_deg)))
    return max(x * way[0] + y * way[1] for ring in ground for x, y in ring)


def edge(ground: Ground, bearing_deg: float) -> float:
    """How far the bed's edge lies from its middle along a bearing."""
    way = (sin(radians(bearing_deg)), cos(radians(bearing_deg)))
    found = [0.0]
    for ring in ground:
        for a, b in _sides(ring):
            run = (b[0] - a[0], b[1] - a[1])
            cross = way[0] * run[1] - way[1] * run[0]
            if abs(cross) < 1e-12:
                continue
            share = (a[0] * way[1] - a[1] * way[0]) / cross
            if -1e-9 <= share <= 1 + 1e-9:
                found.append((a[0] * run[1] - a[1] * run[0]) / cross)
    return max(found)


@lru_cache(maxsize=1024)
def spots(ground: Ground) -> tuple[Point, ...]:
    """Eight or nine spots spread evenly over any bed, each for the same area.

    The bed is cut across its length into strips of equal area; a spot lies in the
    middle of each part of a strip's middle line. A rectangle is cut like a chessboard.
    """
    check_ground(ground)
    turn = _long_bearing(ground)
    c, s = cos(turn), sin(turn)
    rings = [
        np.array([(x * c + y * s, -x * s + y * c) for x, y in ring]) for ring in ground
    ]
    low = min(ring[:, 0].min() for ring in rings)
    high = max(ring[:, 0].max() for ring in rings)
    deep = max(ring[:, 1].max() for ring in rings) - min(
        ring[:, 1].min() for ring in rings
    )
    stretch = (high - low) / max(deep, 1e-9)
    strips, rows = (9, 1) if stretch >= 6 else (4, 2) if stretch >= 2 else (3, 3)
    at = low + (np.arange(_LINES) + 0.5) * (high - low) / _LINES
    summed = np.concatenate([[0.0], np.cumsum(_widths(rings, at))])
    edges = np.linspace(low, high, _LINES + 1)
    found = []
    for strip in range(strips):
        u = float(np.interp((strip + 0.5) / strips * summed[-1], summed, edges))
        chords = _chords(rings, u)
        whole = sum(end - start for start, end in chords)
        for row in range(rows):
            left = (row + 0.5) / rows * whole
            for start, end in chords:
                if left <= end - start:
                    break
                left -= end - start
            v = start + left
            found.append((u * c - v * s, u * s + v * c))
    return tuple(found)


def _long_bearing(ground: Ground) -> float:
    """The angle from the east of the longest edge along which the bed is longest."""
    sides = [side for ring in ground for side in _sides(ring)]
    corners = [corner for ring in ground for corner in ring]

    def extent(angle: float) -> float:
        along = [x * cos(angle) + y * sin(angle) for x, y in corners]
        return max(along) - min(along)

    angles = {round(atan2(b[1] - a[1], b[0] - a[0]) % pi, 9) for a, b in sides}
    return max(sorted(angles)[:16], key=lambda angle: round(extent(angle), 6))


def _widths(rings: Sequence[Figures], at: Figures) -> Figures:
    """How wide the bed is along each of the lines u = AT."""
    total = np.zeros_like(at)
    for ring in rings:
        after = np.roll(ring, -1, axis=0)
        u0, v0, u1, v1 = ring[:, 0], ring[:, 1], after[:, 0], after[:, 1]
        crosses = (u0[:, None] <= at) != (u1[:, None] <= at)
        run = np.where(u1 == u0, 1.0, u1 - u0)
        v = v0[:, None] + (at - u0[:, None]) * ((v1 - v0) / run)[:, None]
        signed = np.where(crosses, np.where((u1 > u0)[:, None], v, -v), 0.0)
        total += np.abs(signed.sum(axis=0))
    return total


def _chords(rings: Sequence[Figures], u: float) -> list[tuple[float, float]]:
    """The stretches of the line u that lie in the bed."""
    found: list[tuple[float, float]] = []
    for ring in rings:
        cuts = []
        for (u0, v0), (u1, v1) in zip(ring, np.roll(ring, -1, axis=0), strict=True):
            if (u0 <= u) != (u1 <= u):
                cuts.append(float(v0 + (u - u0) * (v1 - v0) / (u1 - u0)))
        cuts.sort()
        found += list(zip(cuts[::2], cuts[1::2], strict=True))
    return sorted(found)
