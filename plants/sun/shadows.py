"""The shadow that each thing throws on the flat ground at one moment."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from math import cos, hypot, pi, radians, sin, tan

import numpy as np

from plants.sun.ground import Point, Ring
from plants.sun.position import Place, sun_at
from plants.sun.shades import Crown, Shade, Wall

LOWEST_DEG = 1.0
"""Under this the shadows run out of every garden."""

_CORNERS = 36


@dataclass(frozen=True, kw_only=True)
class Moment:
    """Where the sun stands at one moment, and which spots of a bed it reaches."""

    elevation_deg: float
    azimuth_deg: float
    reached: tuple[bool, ...]

    @property
    def is_up(self) -> bool:
        """Whether the sun is high enough to throw shadows that end in a garden."""
        return self.elevation_deg >= LOWEST_DEG


def moment(
    place: Place, at: datetime, spots: Sequence[Point], shades: Sequence[Shade]
) -> Moment:
    """The sun over PLACE at an instant, and which SPOTS no wall or crown hides.

    A spot under any crown counts as hidden, however thin the crown is.
    """
    found = sun_at(place, [at])
    elevation, azimuth = float(found.elevation_deg[0]), float(found.azimuth_deg[0])
    east = cos(radians(elevation)) * sin(radians(azimuth))
    north = cos(radians(elevation)) * cos(radians(azimuth))
    sun = np.array([[east], [north], [sin(radians(elevation))]])
    hidden = np.zeros(len(spots), dtype=bool)
    for shade in shades:
        hidden |= shade.margins(spots, sun)[:, 0] > 0
    return Moment(
        elevation_deg=elevation,
        azimuth_deg=azimuth,
        reached=tuple(bool(elevation > 0 and not each) for each in hidden),
    )


def shadow(shade: Shade, sun: Moment) -> Ring:
    """The outline of a shadow on the ground; nothing for a sun too low."""
    if not sun.is_up:
        return ()
    per_metre = 1 / tan(radians(sun.elevation_deg))
    away = (-sin(radians(sun.azimuth_deg)), -cos(radians(sun.azimuth_deg)))
    if isinstance(shade, Wall):
        run = shade.height_m * per_metre
        return (
            shade.start,
            shade.end,
            (shade.end[0] + run * away[0], shade.end[1] + run * away[1]),
            (shade.start[0] + run * away[0], shade.start[1] + run * away[1]),
        )
    return _crown_shadow(shade, away, per_metre)


def _crown_shadow(crown: Crown, away: Point, per_metre: float) -> Ring:
    """An ellipse: as wide as the crown, stretched along the way of the light."""
    run = crown.middle_m * per_metre
    middle = (crown.at[0] + run * away[0], crown.at[1] + run * away[1])
    wide = crown.spread_m / 2
    long = hypot(wide, crown.half_height_m * per_metre)
    ring = []
    for corner in range(_CORNERS):
        turn = 2 * pi * corner / _CORNERS
        along, aside = long * cos(turn), wide * sin(turn)
        ring.append(
            (
                middle[0] + along * away[0] - aside * away[1],
                middle[1] + along * away[1] + aside * away[0],
            )
        )
    return tuple(ring)
