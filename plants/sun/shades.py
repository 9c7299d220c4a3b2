"""What keeps sun off a bed, and by how far a line to the sun meets or misses it.

A wall, fence or hedge is an upright surface over a base line; a crown is an ellipsoid
over a trunk. All lie on flat ground, on the plan of `plants.sun.ground`.

Every margin is over nothing where the sun is hidden and under nothing where it is not,
and never falls when the thing grows: so hours are found by straight lines between the
margins of two moments, and more shade never makes more sun.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import hypot, isfinite

import numpy as np

from plants.sun.ground import Ground, Point, runs_through
from plants.sun.position import Figures, SunError

ENDLESS_M = 1_000_000.0
"""Half the length of a wall whose ends nobody measured."""


@dataclass(frozen=True, kw_only=True)
class Passing:
    """Which share of direct sun comes through, in leaf and without leaves."""

    in_leaf: float
    bare: float

    def __post_init__(self) -> None:
        if not (0 <= self.in_leaf <= 1 and 0 <= self.bare <= 1):
            raise SunError("The share of sun that comes through lies between 0 and 1.")

    def on(self, leaves: Sequence[bool]) -> Figures:
        """The share on each day, by whether its leaves are out."""
        return np.where(leaves, self.in_leaf, self.bare).astype(np.float64)


SOLID = Passing(in_leaf=0.0, bare=0.0)
DECIDUOUS = Passing(in_leaf=0.19, bare=0.51)
"""Mean of ten deciduous trees of towns, summer 0.11-0.24, winter 0.44-0.54: D. M.
Wilkinson, Modelling light attenuation by urban trees, thesis, Manchester Metropolitan
University, 1992, as tabled by Tregenza and Sharples, Daylight Algorithms, 1.44c."""
EVERGREEN = Passing(in_leaf=0.27, bare=0.27)
"""Scots pine in summer, the one evergreen of the same table; thicker ones pass less."""


@dataclass(frozen=True, kw_only=True)
class Wall:
    """An upright surface over the base line from START to END."""

    start: Point
    end: Point
    height_m: float
    passing: Passing = SOLID

    def __post_init__(self) -> None:
        _check_size("The height of a wall", self.height_m)
        _check_points(self.start, self.end)
        if hypot(self.end[0] - self.start[0], self.end[1] - self.start[1]) < 1e-6:
            raise SunError("A wall needs two ends that lie apart.")

    def margins(self, at: Sequence[Point], sun: Figures) -> Figures:
        """How far the sun stands behind the wall from each point; SUN is 3 x moments.

        A wall seen from a point is cut out of the sky by three planes through the
        point: one upright through each end, one through the top.
        """
        points = np.array(at, dtype=np.float64)
        to_start = np.array(self.start) - points
        to_end = np.array(self.end) - points
        turn = to_start[:, 0] * to_end[:, 1] - to_start[:, 1] * to_end[:, 0]
        length = hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])
        away = np.abs(turn) / length
        # From the one side the start is at the right hand, from the other the end.
        side = np.where(turn >= 0, 1.0, -1.0)[:, None]
        inside_start = side * _beside(to_start) @ sun[:2]
        inside_end = -side * _beside(to_end) @ sun[:2]
        normal = (
            np.array([self.end[1] - self.start[1], self.start[0] - self.end[0]])
            / length
        )
        towards = np.maximum((side * normal) @ sun[:2], 0.0)
        slant = np.hypot(away, self.height_m)[:, None]
        under_top = (
            self.height_m * towards - away[:, None] * np.maximum(sun[2], 0.0)
        ) / slant
        found: Figures = np.minimum(np.minimum(inside_start, inside_end), under_top)
        # On the base line's own course the wall is seen edge on.
        found[away < 1e-9] = -1.0
        return found


def _beside(to: Figures) -> Figures:
    """Lines of length 1 to the left of lines to a point."""
    length = np.maximum(np.hypot(to[:, 0], to[:, 1]), 1e-12)
    return np.stack([-to[:, 1], to[:, 0]], axis=1) / length[:, None]


@dataclass(frozen=True, kw_only=True)
class Crown:
    """A crown like an egg over a trunk; the trunk's own shade is left out."""

    at: Point
    spread_m: float
    height_m: float
    trunk_gap_m: float = 0.0
    passing: Passing = DECIDUOUS

    def __post_init__(self) -> None:
        _check_size("The height of a tree", self.height_m)
        _check_size("The spread of a crown", self.spread_m)
        _check_points(self.at)
        if not 0 <= self.trunk_gap_m < self.height_m:
            raise SunError(
                "The clear trunk of a tree must be shorter than the whole tree."
            )

    @property
    def middle_m(self) -> float:
        """How high the middle of the crown stands."""
        return (self.trunk_gap_m + self.height_m) / 2

    @property
    def half_height_m(self) -> float:
        """Half the height of the crown itself."""
        return (self.height_m - self.trunk_gap_m) / 2

    def margins(self, at: Sequence[Point], sun: Figures) -> Figures:
        """How deep the line to the sun runs into the crown from each point.

        Measured as 1 less the square of how near the line comes to the crown's
        middle, where 1 is its surface.
        """
        points = np.array(at, dtype=np.float64)
        to = np.column_stack(
            [np.array(self.at) - points, np.full(len(points), self.middle_m)]
        )
        squares = np.array(
            [(self.spread_m / 2) ** 2] * 2 + [self.half_height_m**2], dtype=np.float64
        )
        apart = (to**2 / squares).sum(axis=1)
        along = np.maximum((to / squares) @ sun, 0.0)
        lengths = (1 / squares) @ sun**2
        margins: Figures = 1.0 - apart[:, None] + along**2 / lengths
        return margins


Shade = Wall | Crown


def _check_size(what: str, metres: float) -> None:
    if not 0 < metres <= 1000:
        raise SunError(f"{what} must be over 0 and at most 1000 m.")


def _check_points(*points: Point) -> None:
    if not all(
        isfinite(figure) and abs(figure) <= 2 * ENDLESS_M
        for point in points
        for figure in point
    ):
        raise SunError("A shade lies out of reach.")


def check_shades(ground: Ground, shades: Sequence[Shade]) -> None:
    """Raise SunError when a wall runs through the bed."""
    for shade in shades:
        if isinstance(shade, Wall) and runs_through(ground, shade.start, shade.end):
            raise SunError("A wall cannot run through the bed.")


def in_leaf(day: date, *, leaf_out: date | None, leaf_fall: date | None) -> bool:
    """Whether trees that lose their leaves have them on DAY, in any year.

    Where no date is known for both, the leaves stay on.
    """
    if leaf_out is None or leaf_fall is None:
        return True
    at, out, fall = ((each.month, each.day) for each in (day, leaf_out, leaf_fall))
    return out <= at < fall if out <= fall else at >= out or at < fall
