"""Crop coefficients: how a planting's use of water stands to that of short grass.

FAO-56, chapters 6, 7 and 9 (page read); the numbers of its equations stand beside the
functions.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

LEAST_KC = 0.15
"""The coefficient of dry bare soil with a little cover (FAO-56, example 41)."""


def staged(
    day: int, *, lengths: Sequence[int], first: float, middle: float, last: float
) -> float:
    """The coefficient on a day of a season of four stages (equation 66).

    The stages are the beginning, growth, the middle and the end; day 1 is the first.
    """
    beginning, growth, height, ending = lengths
    if day <= beginning:
        return first
    if day <= beginning + growth:
        return first + (day - beginning) / growth * (middle - first)
    if day <= beginning + growth + height:
        return middle
    gone = min(day - beginning - growth - height, ending)
    return middle + gone / ending * (last - middle)


def _of_air(*, height_m: float, humidity_min: float, wind_2m: float) -> float:
    """What dry or windy air adds (the second part of equations 72 and 99)."""
    drying = 0.04 * (wind_2m - 2) - 0.004 * (humidity_min - 45)
    return float(drying * (height_m / 3) ** 0.3)


def full_cover(*, height_m: float, humidity_min: float, wind_2m: float) -> float:
    """The basal coefficient of a planting that covers the ground (99, 101)."""
    still = min(1.0 + 0.1 * height_m, 1.20)
    return still + _of_air(
        height_m=height_m, humidity_min=humidity_min, wind_2m=wind_2m
    )


def shade_share(
    *, cover: float, height_to_width: float, lat: float, day_of_year: int
) -> float:
    """The share of the ground in shade at noon under upright plants (example 41)."""
    tilt = 0.409 * math.sin(2 * math.pi / 365 * day_of_year - 1.39)
    phi = math.radians(lat)
    height = math.sin(phi) * math.sin(tilt) + math.cos(phi) * math.cos(tilt)
    sun = math.asin(max(height, 1e-6))
    return min(cover * (1 + height_to_width / math.tan(sun)), 1.0)


def part_cover(*, full: float, cover: float, shaded: float, height_m: float) -> float:
    """The basal coefficient of plants that cover only a part of the ground (98)."""
    share = min(1.0, 2 * cover, shaded ** (1 / (1 + height_m)))
    return float(LEAST_KC + (full - LEAST_KC) * share)


class PlantingRow(NamedTuple):
    """A kind of planting: its coefficients, roots and easy water as FAO-56 prints them.

    WHOLE holds soil and plants together (table 12), BASAL the plants alone (17), each
    at the beginning, the middle and the end; the roots' depth and the share of easy
    water come from table 22.
    """

    whole: tuple[float, float, float]
    basal: tuple[float, float, float]
    roots_m: tuple[float, float]
    share: float


PLANTING_ROWS: dict[str, PlantingRow] = {
    "cool-season turf": PlantingRow(
        (0.90, 0.95, 0.95), (0.85, 0.90, 0.90), (0.5, 1.0), 0.40
    ),
    "warm-season turf": PlantingRow(
        (0.80, 0.85, 0.85), (0.75, 0.80, 0.80), (0.5, 1.0), 0.50
    ),
    "conifers": PlantingRow((1.0, 1.0, 1.0), (0.95, 0.95, 0.95), (1.0, 1.5), 0.70),
    "berry bushes": PlantingRow(
        (0.30, 1.05, 0.50), (0.20, 1.00, 0.40), (0.6, 1.2), 0.50
    ),
    "strawberries": PlantingRow(
        (0.40, 0.85, 0.75), (0.30, 0.80, 0.70), (0.2, 0.3), 0.20
    ),
    "apple and pear": PlantingRow(
        (0.45, 0.95, 0.70), (0.35, 0.90, 0.65), (1.0, 2.0), 0.50
    ),
}
"""The rows of FAO-56 that lie nearest to planted beds; apple and pear without ground
cover, where frost kills."""
