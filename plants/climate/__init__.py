"""What a place's weather is like in the mean: frost, warmth, zones, the year's turns.

A climate is twelve monthly figures and the frost dates of a station. Between the
months the figures run on a closed line that keeps every month's mean. Everything is
counted from the hemisphere's own new year (1 January in the north, 1 July in the
south), so a southern garden needs no special case.
"""

from plants.climate.checks import CHANCES, Chance, ClimateError
from plants.climate.place import Climate, Season
from plants.climate.zones import GddMethod, day_degrees, hardiness_zone, heat_zone

__all__ = [
    "CHANCES",
    "Chance",
    "Climate",
    "ClimateError",
    "GddMethod",
    "Season",
    "day_degrees",
    "hardiness_zone",
    "heat_zone",
]
