"""Hardiness and heat zones, and the degree days of one recorded day."""

import math
from bisect import bisect_left
from typing import Literal

GddMethod = Literal["average", "modified"]

HEAT_ZONE_TOPS = (1, 7, 14, 30, 45, 60, 90, 120, 150, 180, 210)
"""Most days over 30 °C (86 F) of zones 1 to 11, where zone 1 stays under its figure;
American Horticultural Society scale."""


def hardiness_zone(lowest_f: float) -> str:
    """Half-zone of a mean yearly lowest in F; ends of the scale are held fast.

    A figure on a boundary belongs to the warmer half-zone (USDA bands of 5 F).
    """
    # A hair's breadth mends 0 F that came by way of Celsius.
    index = math.floor((lowest_f + 60) / 5 + 1e-9)
    index = min(max(index, 0), 25)
    return f"{index // 2 + 1}{'ab'[index % 2]}"


def heat_zone(heat_days: float) -> int:
    """Heat zone 1 to 12 of the mean number of days over 30 °C (86 F)."""
    if heat_days < HEAT_ZONE_TOPS[0]:
        return 1
    return max(2, bisect_left(HEAT_ZONE_TOPS, heat_days) + 1)


def day_degrees(
    high_f: float, low_f: float, *, method: GddMethod = "average", base_f: float = 50
) -> float:
    """Degree days of one recorded day; *modified* first lifts both to the base."""
    if method == "modified":
        high_f, low_f = max(high_f, base_f), max(low_f, base_f)
    return max(0.0, (high_f + low_f) / 2 - base_f)
