"""Paths that run through points: soft curves, stems, leaves and leafy outlines."""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import atan2, cos, hypot, pi, sin

from plants.drawings.svg import Point, at_point


def smooth(points: Sequence[Point], *, closed: bool = False) -> str:
    """A path that runs softly through the points."""
    return "M" + at_point(points[0]) + _curves(points, closed=closed)


def _curves(points: Sequence[Point], *, closed: bool) -> str:
    count = len(points)
    last = count if closed else count - 1
    written = []
    for index in range(last):
        if closed:
            before, start = points[index - 1], points[index]
            end, after = points[(index + 1) % count], points[(index + 2) % count]
        else:
            before, start = points[max(index - 1, 0)], points[index]
            end, after = points[index + 1], points[min(index + 2, count - 1)]
        first = (
            start[0] + (end[0] - before[0]) / 6,
            start[1] + (end[1] - before[1]) / 6,
        )
        second = (
            end[0] - (after[0] - start[0]) / 6,
            end[1] - (after[1] - start[1]) / 6,
        )
        written.append(f"C{at_point(first)} {at_point(second)} {at_point(end)}")
    return "".join(written) + ("Z" if closed else "")


def polyline(points: Iterable[Point], *, closed: bool = False) -> str:
    """A path of straight strokes through the points."""
    return "M" + "L".join(at_point(point) for point in points) + ("Z" if closed else "")


def along(points: Sequence[Point], share: float) -> Point:
    """The point at a share of the way along straight strokes."""
    lengths = [hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points)]
    left = sum(lengths) * share
    for (start, end), length in zip(pairwise(points), lengths, strict=True):
        if left <= length and length > 0:
            part = left / length
            return (
                start[0] + (end[0] - start[0]) * part,
                start[1] + (end[1] - start[1]) * part,
            )
        left -= length
    return points[-1]


def dense(points: Sequence[Point], *, steps: int = 8) -> list[Point]:
    """Points close together on the soft curve through a few points."""
    count = len(points)
    out: list[Point] = []
    for index in range(count - 1):
        p0, p1 = points[max(index - 1, 0)], points[index]
        p2, p3 = points[index + 1], points[min(index + 2, count - 1)]
        for step in range(steps):
            t = step / steps
            out.append((_soft(p0, p1, p2, p3, t, 0), _soft(p0, p1, p2, p3, t, 1)))
    out.append(points[-1])
    return out


def _soft(p0: Point, p1: Point, p2: Point, p3: Point, t: float, axis: int) -> float:
    a, b, c, d = p0[axis], p1[axis], p2[axis], p3[axis]
    return 0.5 * (
        2 * b
        + (c - a) * t
        + (2 * a - 5 * b + 4 * c - d) * t**2
        + (3 * b - a - 3 * c + d) * t**3
    )


def ribbon(points: Sequence[Point], widths: tuple[float, float]) -> str:
    """A stem's outline along the points, tapering from the first to the last width."""
    left: list[Point] = []
    right: list[Point] = []
    count = len(points)
    for index, (x, y) in enumerate(points):
        before = points[max(index - 1, 0)]
        after = points[min(index + 1, count - 1)]
        angle = atan2(after[1] - before[1], after[0] - before[0]) + pi / 2
        share = index / max(count - 1, 1)
        half = (widths[0] + (widths[1] - widths[0]) * share) / 2
        left.append((x + cos(angle) * half, y + sin(angle) * half))
        right.append((x - cos(angle) * half, y - sin(angle) * half))
    back = list(reversed(right))
    return (
        "M"
        + at_point(left[0])
        + _curves(left, closed=False)
        + "L"
        + at_point(back[0])
        + _curves(back, closed=False)
        + "Z"
    )


def leaf(at: Point, *, length: float, angle: float, broad: float = 0.36) -> str:
    """The path of a leaf that starts at a point and points along an angle (radians)."""

    def turned(forward: float, aside: float) -> str:
        return at_point(
            (
                at[0] + forward * cos(angle) - aside * sin(angle),
                at[1] + forward * sin(angle) + aside * cos(angle),
            )
        )

    wide = length * broad
    return (
        f"M{at_point(at)}"
        f"C{turned(length * 0.25, wide)} {turned(length * 0.7, wide * 0.8)} "
        f"{turned(length, 0)}"
        f"C{turned(length * 0.7, -wide * 0.8)} {turned(length * 0.25, -wide)} "
        f"{at_point(at)}Z"
    )


def blob(points: Sequence[Point], *, bump: float, depth: float) -> str:
    """A leafy outline: small round bumps along a closed run of points."""
    ring = [*points, points[0]]
    total = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(ring))
    count = max(int(total / bump), 5)
    stops = [along(ring, index / count) for index in range(count)]
    centre = (
        sum(x for x, _ in stops) / count,
        sum(y for _, y in stops) / count,
    )
    written = ["M" + at_point(stops[0])]
    for start, end in pairwise([*stops, stops[0]]):
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        away = (middle[0] - centre[0], middle[1] - centre[1])
        far = hypot(*away) or 1.0
        # A quadratic's crown reaches half of its handle's height.
        handle = (
            middle[0] + away[0] / far * depth * 2,
            middle[1] + away[1] / far * depth * 2,
        )
        written.append(f"Q{at_point(handle)} {at_point(end)}")
    return "".join(written) + "Z"
