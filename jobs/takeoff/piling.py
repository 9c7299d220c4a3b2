"""Several kinds set out one after the other, each as near to the back as it can be."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from math import atan2, ceil, hypot, sqrt

from jobs.takeoff.drifts import Kind, drifts_of
from jobs.takeoff.outline import (
    SAME_M,
    Ground,
    Point,
    Span,
    bounds,
    spans,
    steps_in,
    to_the_edge,
)

Found = list[tuple[int, Point]]
# Columns to a spacing: finer ones fill no more and take longer.
COLUMNS = 4
NOWHERE = float("-inf")


class Standing:
    """The plants that stand, by the squares they stand in."""

    def __init__(self, kinds: Sequence[Kind], *, share: float) -> None:
        self.kinds = kinds
        self.share = share
        self.cell = max(kind.spacing_m for kind in kinds) * share
        self.cells: dict[tuple[int, int], Found] = defaultdict(list)
        self.found: Found = []

    def add(self, kind: int, point: Point) -> None:
        """One more."""
        self.found.append((kind, point))
        self.cells[self._cell(point)].append((kind, point))

    def apart(self, one: int, other: int) -> float:
        """How far two kinds stand from each other: half the sum of their spacings."""
        both = self.kinds[one].spacing_m + self.kinds[other].spacing_m
        return both / 2 * self.share

    def is_free(self, kind: int, point: Point) -> bool:
        """Whether nothing stands too near."""
        column, row = self._cell(point)
        return all(
            hypot(x - point[0], y - point[1]) >= self.apart(kind, other) - SAME_M
            for across in (-1, 0, 1)
            for deep in (-1, 0, 1)
            for other, (x, y) in self.cells.get((column + across, row + deep), ())
        )

    def _cell(self, point: Point) -> tuple[int, int]:
        return int(point[0] // self.cell), int(point[1] // self.cell)


class Columns:
    """For one kind: how far back it can stand in every column of the bed."""

    def __init__(
        self,
        ground: Ground,
        standing: Standing,
        kind: int,
        *,
        edge: float,
        square: bool,
    ) -> None:
        self.standing, self.kind = standing, kind
        spacing = standing.kinds[kind].spacing_m * standing.share
        self.step = spacing if square else spacing / COLUMNS
        left, _, right, _ = bounds(ground)
        upright: Ground = tuple(tuple((y, x) for x, y in ring) for ring in ground)
        inner = (left + edge, right - edge)
        self.at = steps_in(inner, start=left + edge, step=self.step)
        self.free: list[list[Span]] = [
            spans(upright, column, edge=edge) for column in self.at
        ]
        self.top = [free[-1][1] if free else NOWHERE for free in self.free]
        for other, point in standing.found:
            self.lower(other, point)

    def lower(self, other: int, point: Point) -> None:
        """Bring down the columns that a plant stands before."""
        apart = self.standing.apart(self.kind, other)
        x, y = point
        if not self.at:
            return
        first = max(ceil((x - apart - self.at[0]) / self.step), 0)
        for index in range(first, len(self.at)):
            aside = self.at[index] - x
            if aside >= apart:
                break
            under = y - sqrt(max(apart * apart - aside * aside, 0.0))
            if self.top[index] > under:
                self.top[index] = self._snapped(index, under)

    def _snapped(self, index: int, y: float) -> float:
        """The farthest place at or before Y in a column that lies in the bed."""
        for low, high in reversed(self.free[index]):
            if low <= y + SAME_M:
                return min(high, max(y, low))
        return NOWHERE

    def take(self, *, middle: float, within: Span | None) -> Point | None:
        """The farthest place, of equal ones that nearest to the MIDDLE."""
        best: Point | None = None
        for column, top in zip(self.at, self.top, strict=True):
            if top == NOWHERE:
                continue
            if within is not None and not within[0] <= column < within[1]:
                continue
            if best is None or top > best[1] + 1e-7:
                best = (column, top)
            elif top > best[1] - 1e-7 and abs(column - middle) < abs(best[0] - middle):
                best = (column, top)
        return best


def pile(
    ground: Ground,
    kinds: Sequence[Kind],
    order: Sequence[Sequence[int]],
    *,
    share: float,
    edge_m: float | None,
    square: bool,
    seed: int,
) -> Found:
    """The plants of all tiers, the back ones first; those that found no place lack."""
    standing = Standing(kinds, share=share)
    left, _, right, _ = bounds(ground)
    for number, tier in enumerate(order):
        columns = {
            index: Columns(
                ground,
                standing,
                index,
                edge=_edge(kinds[index], edge_m),
                square=square,
            )
            for index in tier
        }
        drifts = drifts_of(kinds, tier, seed=seed + number)
        room = [drift.count * kinds[drift.kind].spacing_m ** 2 for drift in drifts]
        at, late = left, []
        for drift, need in zip(drifts, room, strict=True):
            wide = (right - left) * need / sum(room)
            within = (at, at + wide) if len(drifts) > 1 else None
            for _ in range(drift.count):
                spot = columns[drift.kind].take(middle=at + wide / 2, within=within)
                if spot is None:
                    late.append((drift.kind, at + wide / 2))
                    continue
                _stand(standing, columns, drift.kind, spot)
            at += wide
        for kind, middle in late:
            spot = columns[kind].take(middle=middle, within=None)
            if spot is not None:
                _stand(standing, columns, kind, spot)
    return standing.found


def _stand(
    standing: Standing, columns: dict[int, Columns], kind: int, spot: Point
) -> None:
    standing.add(kind, spot)
    for each in columns.values():
        each.lower(kind, spot)


def _edge(kind: Kind, edge_m: float | None) -> float:
    return kind.spacing_m / 2 if edge_m is None else edge_m


def pile_from_the_middle(
    ground: Ground,
    kinds: Sequence[Kind],
    order: Sequence[Sequence[int]],
    *,
    share: float,
    edge_m: float | None,
    square: bool,
    seed: int,
) -> Found:
    """The plants of all tiers, the tallest where the bed is deepest, lower ones
    nowhere further in than those before them.
    """
    standing = Standing(kinds, share=share)
    limit = float("inf")
    for number, tier in enumerate(order):
        wanted = sum(kinds[index].wanted or 0 for index in tier)
        widest = max(tier, key=lambda index: kinds[index].spacing_m)
        best: list[tuple[float, Point]] = []
        for finer in (1, 2):
            best = _deepest(
                ground,
                standing,
                widest,
                wanted,
                limit,
                finer=finer,
                edge=_edge(kinds[widest], edge_m),
                square=square,
            )
            if len(best) == wanted:
                break
        if best:
            limit = min(deep for deep, _ in best)
        for kind, point in _shared_out(
            [point for _, point in best], kinds, tier, ground, seed=seed + number
        ):
            standing.add(kind, point)
    return standing.found


def _deepest(
    ground: Ground,
    standing: Standing,
    kind: int,
    wanted: int,
    limit: float,
    *,
    finer: int,
    edge: float,
    square: bool,
) -> list[tuple[float, Point]]:
    """The deepest free places of a kind, up to the number wanted."""
    spacing = standing.kinds[kind].spacing_m * standing.share
    tried = Standing(standing.kinds, share=standing.share)
    found: list[tuple[float, Point]] = []
    for deep, point in sorted(
        (-to_the_edge(ground, point), point)
        for point in _lattice(ground, spacing / finer, edge=edge, square=square)
    ):
        if len(found) == wanted:
            break
        if -deep > limit + SAME_M or not standing.is_free(kind, point):
            continue
        if tried.is_free(kind, point):
            tried.add(kind, point)
            found.append((-deep, point))
    return found


def _lattice(
    ground: Ground, step: float, *, edge: float, square: bool
) -> Iterable[Point]:
    left, front, _, back = bounds(ground)
    gap = step if square else step * sqrt(3) / 2
    row = 0
    while front + edge + row * gap <= back - edge + SAME_M:
        y = front + edge + row * gap
        start = left + edge + (step / 2 if row % 2 and not square else 0.0)
        for span in spans(ground, y, edge=edge):
            for x in steps_in(span, start=start, step=step):
                yield (x, y)
        row += 1


def _shared_out(
    points: Sequence[Point],
    kinds: Sequence[Kind],
    tier: Sequence[int],
    ground: Ground,
    *,
    seed: int,
) -> Found:
    """The places of a tier given to its drifts, around the middle of the bed."""
    if len(tier) == 1:
        return [(tier[0], point) for point in points]
    left, front, right, back = bounds(ground)
    middle = ((left + right) / 2, (front + back) / 2)
    around = sorted(
        points,
        key=lambda each: (atan2(each[1] - middle[1], each[0] - middle[0]), each),
    )
    named = [
        drift.kind
        for drift in drifts_of(kinds, tier, seed=seed)
        for _ in range(drift.count)
    ]
    return list(zip(named, around, strict=False))
