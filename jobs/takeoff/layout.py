"""Plants set out to scale inside a bed: spacing, edge, heights and drifts kept.

One kind stands in a grid, in rows or along a hedge line. Several kinds are set from
the back to the front, the taller first, each as far back as the ones before it allow;
a lower one never stands behind a taller one that it overlaps on the line of sight.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from math import ceil, hypot, sqrt

from jobs.takeoff.drifts import Kind, tiers
from jobs.takeoff.outline import (
    SAME_M,
    Corners,
    Ground,
    Point,
    bounds,
    check_ground,
    is_rectangle,
    longest_side,
    spans,
    steps_in,
    turn_back,
    turned,
)
from jobs.takeoff.piling import pile, pile_from_the_middle
from jobs.takeoff.shapes import TakeoffError

# The plants stand up to so much wider where the bed has room for it.
WIDEST_SHARE = 1.5
MOST_PLACES = 5_000
# Past this number the bed is not tried at several widths.
WIDENED_UP_TO = 400
TRIED_OFFSETS = 4


class Pattern(StrEnum):
    """How plants of one kind stand to each other."""

    SQUARE = "square"
    TRIANGULAR = "triangular"
    ROWS = "rows"
    HEDGE = "hedge line"


class SeenFrom(StrEnum):
    """The side of the bed one looks from; the front is drawn at the bottom."""

    FRONT = "front"
    BACK = "back"
    LEFT = "left"
    RIGHT = "right"
    ALL = "all sides"


# The direction that runs to the right as seen from each side.
ALONG: dict[SeenFrom, Point] = {
    SeenFrom.FRONT: (1.0, 0.0),
    SeenFrom.BACK: (-1.0, 0.0),
    SeenFrom.LEFT: (0.0, -1.0),
    SeenFrom.RIGHT: (0.0, 1.0),
    SeenFrom.ALL: (1.0, 0.0),
}


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where one plant stands: metres from the bed's front left corner."""

    kind: int
    x: float
    y: float


@dataclass(frozen=True, kw_only=True)
class Short:
    """A kind of which fewer fit than were wanted."""

    kind: int
    wanted: int
    fit: int


@dataclass(frozen=True, kw_only=True)
class Layout:
    """Every plant's place; the kinds as they were asked for, WIDER the share that
    they stand wider than asked, ROOM how many one kind alone would fill the bed with.
    """

    ground: Ground
    kinds: tuple[Kind, ...]
    places: tuple[Place, ...]
    wider: float = 1.0
    room: int | None = None

    def count(self, kind: int) -> int:
        """How many of a kind have a place."""
        return sum(place.kind == kind for place in self.places)

    @property
    def short(self) -> tuple[Short, ...]:
        """The kinds of which fewer fit than were wanted."""
        found = []
        for index, kind in enumerate(self.kinds):
            fit = self.count(index)
            if kind.wanted is not None and fit < kind.wanted:
                found.append(Short(kind=index, wanted=kind.wanted, fit=fit))
        return tuple(found)


def lay_out(
    ground: Ground,
    kinds: Sequence[Kind],
    *,
    pattern: Pattern = Pattern.TRIANGULAR,
    seen_from: SeenFrom = SeenFrom.FRONT,
    edge_m: float | None = None,
    row_gap_m: float | None = None,
    seed: int = 0,
) -> Layout:
    """The places of all kinds; EDGE None keeps half of each kind's spacing.

    The same call gives the same places. Only a hedge line stands closer than its
    spacing, since both its ends are planted.
    """
    check_ground(ground)
    _check(kinds, edge_m=edge_m, row_gap_m=row_gap_m)
    whole = _filled(ground, kinds)
    if len(whole) > 1 and pattern not in (Pattern.SQUARE, Pattern.TRIANGULAR):
        raise TakeoffError("Rows and hedge lines are of one kind; choose a grid.")
    if sum(kind.wanted or 0 for kind in whole) > MOST_PLACES:
        raise TakeoffError(f"A plan shows at most {MOST_PLACES:,} plants.")
    if len(whole) == 1:
        return _of_one(ground, whole[0], pattern, edge_m, row_gap_m)
    return _of_several(ground, whole, pattern, seen_from, edge_m, seed)


def _check(
    kinds: Sequence[Kind], *, edge_m: float | None, row_gap_m: float | None
) -> None:
    if not kinds:
        raise TakeoffError("Nothing to set out: choose plants for this bed first.")
    for kind in kinds:
        if not 0.02 <= kind.spacing_m <= 50:
            raise TakeoffError(f"{kind.label}: the spacing lies between 2 cm and 50 m.")
        if kind.wanted is not None and kind.wanted < 1:
            raise TakeoffError(f"{kind.label}: at least one plant must be planted.")
    if edge_m is not None and not 0 <= edge_m <= 50:
        raise TakeoffError("The distance to the edge lies between nothing and 50 m.")
    if sum(kind.wanted is None for kind in kinds) > 1:
        raise TakeoffError("Only one kind can fill what the others leave.")
    if row_gap_m is not None and row_gap_m < max(kind.spacing_m for kind in kinds):
        raise TakeoffError("Rows stand no nearer than the plants in them.")


def ground_m2(ground: Ground) -> float:
    """The area, a ring within a ring taken off."""
    whole = 0.0
    for part in parts_of(ground):
        outer, *holes = (_ring_m2(ring) for ring in part)
        whole += outer - sum(holes)
    return whole


def _ring_m2(ring: Corners) -> float:
    twice = sum(ax * by - bx * ay for (ax, ay), (bx, by) in pairwise((*ring, ring[0])))
    return abs(twice) / 2


def _filled(ground: Ground, kinds: Sequence[Kind]) -> tuple[Kind, ...]:
    """The kinds; of several, the one that fills the rest gets the area left."""
    if len(kinds) == 1:
        return tuple(kinds)
    cell = sqrt(3) / 2
    taken = sum((kind.wanted or 0) * kind.spacing_m**2 * cell for kind in kinds)
    left = max(ground_m2(ground) - taken, 0.0)
    return tuple(
        kind
        if kind.wanted is not None
        else replace(kind, wanted=max(1, int(left / (kind.spacing_m**2 * cell))))
        for kind in kinds
    )


# --- one kind ----------------------------------------------------------------------


def _of_one(
    ground: Ground,
    kind: Kind,
    pattern: Pattern,
    edge_m: float | None,
    row_gap_m: float | None,
) -> Layout:
    edge = kind.spacing_m / 2 if edge_m is None else edge_m
    if pattern == Pattern.HEDGE:
        found = _hedge(ground, kind, edge)
        return _placed(ground, kind, found, room=len(found))

    def fill(share: float) -> list[Point]:
        spacing = kind.spacing_m * share
        gap = (row_gap_m or kind.spacing_m) * share
        return [
            point
            for part in parts_of(ground)
            for point in _best_grid(part, spacing, gap, pattern, edge)
        ]

    _check_number(ground, kind)
    every = fill(1.0)
    wanted = len(every) if kind.wanted is None else kind.wanted
    room, wider = len(every), 1.0
    if len(every) > wanted:
        low, high = 1.0, WIDEST_SHARE
        for _ in range(8 if wanted <= WIDENED_UP_TO else 0):
            middle = (low + high) / 2
            tried = fill(middle)
            if len(tried) >= wanted:
                low, every = middle, tried
            else:
                high = middle
        wider = low
        every = _thinned(every, wanted)
    return _placed(ground, kind, every, room=room, wider=wider)


def _check_number(ground: Ground, kind: Kind) -> None:
    if ground_m2(ground) / kind.spacing_m**2 > 4 * MOST_PLACES:
        raise TakeoffError(
            f"At this spacing the bed holds far more than the {MOST_PLACES:,} plants"
            " that a plan shows; it is counted by area."
        )


def _placed(
    ground: Ground, kind: Kind, found: list[Point], *, room: int, wider: float = 1.0
) -> Layout:
    if len(found) > MOST_PLACES:
        raise TakeoffError(f"A plan shows at most {MOST_PLACES:,} plants.")
    return Layout(
        ground=ground,
        kinds=(kind,),
        places=tuple(Place(kind=0, x=x, y=y) for x, y in found),
        room=room,
        wider=wider,
    )


def parts_of(ground: Ground) -> list[Ground]:
    """The pieces of a bed one by one; a ring within a ring stays with it."""
    out: list[Ground] = []
    for ring in sorted(ground, key=lambda each: -_ring_m2(each)):
        left, front, right, back = bounds((ring,))
        for index, part in enumerate(out):
            outer = bounds(part)
            if (
                outer[0] <= left
                and outer[1] <= front
                and right <= outer[2]
                and back <= outer[3]
            ):
                out[index] = (*part, ring)
                break
        else:
            out.append((ring,))
    return sorted(out, key=lambda part: bounds(part)[0])


def _thinned(points: list[Point], wanted: int) -> list[Point]:
    """So many of the points, evenly taken in their order."""
    return [points[index * len(points) // wanted] for index in range(wanted)]


def _best_grid(
    ground: Ground, spacing: float, gap: float, pattern: Pattern, edge: float
) -> list[Point]:
    """The grid that holds most plants; a rectangle has the one of the closed form."""
    ways: list[Point] = [(1.0, 0.0)]
    offsets = 1
    if not (len(ground) == 1 and is_rectangle(ground[0])):
        offsets = TRIED_OFFSETS
        longest = longest_side(ground)
        if abs(longest[1]) > 1e-9:
            ways.append(longest)
    best: list[Point] = []
    for along in ways:
        frame = turned(ground, along)
        for row in range(offsets):
            for column in range(offsets):
                found = _grid(
                    frame, spacing, gap, pattern, edge, row / offsets, column / offsets
                )
                if len(found) > len(best):
                    best = [turn_back(point, along) for point in found]
    return best


def _grid(
    ground: Ground,
    spacing: float,
    gap: float,
    pattern: Pattern,
    edge: float,
    row_share: float,
    column_share: float,
) -> list[Point]:
    left, front, _right, back = bounds(ground)
    staggered = pattern == Pattern.TRIANGULAR
    step = gap * sqrt(3) / 2 if staggered else gap
    first = front + edge + row_share * step
    found = []
    rows = int((back - edge - first + SAME_M) / step) + 1 if back > first else 1
    for row in range(max(rows, 0)):
        y = first + row * step
        start = left + edge + column_share * spacing
        if staggered and row % 2:
            start += spacing / 2
        for span in spans(ground, y, edge=edge):
            found += [(x, y) for x in steps_in(span, start=start, step=spacing)]
    return found


def _hedge(ground: Ground, kind: Kind, edge: float) -> list[Point]:
    """A line along the bed with a plant at both ends, evenly set."""
    longest = longest_side(ground)
    lines: list[tuple[float, Point, Point]] = []
    for along in dict.fromkeys([(1.0, 0.0), (0.0, 1.0), longest]):
        frame = turned(ground, along)
        _left, front, _right, back = bounds(frame)
        for share in (8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14):
            y = front + (back - front) * share / 16
            for low, high in spans(frame, y, edge=edge):
                ends = turn_back((low, y), along), turn_back((high, y), along)
                lines.append((high - low, *ends))
    if not lines:
        return []
    length, start, end = max(lines, key=lambda each: round(each[0], 6))
    gaps = ceil((length - SAME_M) / kind.spacing_m)
    if kind.wanted is not None and kind.wanted - 1 <= gaps:
        gaps = max(kind.wanted - 1, 0)
        if not gaps:
            return [((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)]
    return [
        (
            start[0] + (end[0] - start[0]) * index / max(gaps, 1),
            start[1] + (end[1] - start[1]) * index / max(gaps, 1),
        )
        for index in range(gaps + 1)
    ]


# --- several kinds -----------------------------------------------------------------


def _of_several(
    ground: Ground,
    kinds: tuple[Kind, ...],
    pattern: Pattern,
    seen_from: SeenFrom,
    edge_m: float | None,
    seed: int,
) -> Layout:
    along = ALONG[seen_from]
    frame = turned(ground, along)
    order = tiers(kinds)
    wanted = sum(kind.wanted or 0 for kind in kinds)
    best: list[Place] = []
    wider = 1.0
    shares = (1.0, 1.3, 1.2, 1.1) if wanted <= WIDENED_UP_TO else (1.0,)
    for share in shares:
        lay = pile_from_the_middle if seen_from == SeenFrom.ALL else pile
        found = lay(
            frame,
            kinds,
            order,
            share=share,
            edge_m=edge_m,
            square=pattern == Pattern.SQUARE,
            seed=seed,
        )
        if share == 1.0 or len(found) == wanted:
            best = [
                Place(kind=kind, x=x, y=y)
                for kind, point in found
                for x, y in (turn_back(point, along),)
            ]
            wider = share
        if (share > 1.0 and len(found) == wanted) or len(best) < wanted:
            break
    return Layout(ground=ground, kinds=kinds, places=tuple(best), wider=wider)


def nearest_m(layout: Layout) -> float | None:
    """The least distance between two plants; None for fewer than two."""
    points = sorted((place.x, place.y) for place in layout.places)
    least: float | None = None
    for index, (x, y) in enumerate(points):
        for other_x, other_y in points[index + 1 :]:
            if least is not None and other_x - x > least:
                break
            apart = hypot(other_x - x, other_y - y)
            least = apart if least is None else min(least, apart)
    return least
