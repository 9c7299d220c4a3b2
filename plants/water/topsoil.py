"""Evaporation from the top of the soil, a day at a time (FAO-56, chapter 7)."""

from typing import NamedTuple

from plants.water.plant_factors import LEAST_KC


class TopsoilDay(NamedTuple):
    """One day of the top layer: what evaporated, drained, and how dry it ends."""

    coefficient: float
    evaporated_mm: float
    drained_mm: float
    depletion_mm: float


def most_coefficient(
    *, basal: float, height_m: float, humidity_min: float, wind_2m: float
) -> float:
    """The upper bound of what soil and plants use together (equation 72)."""
    drying = 0.04 * (wind_2m - 2) - 0.004 * (humidity_min - 45)
    air = 1.2 + drying * (height_m / 3) ** 0.3
    return float(max(air, basal + 0.05))


def covered_share(*, basal: float, most: float, height_m: float) -> float:
    """The share of the ground that plants cover (equation 76)."""
    share = max((basal - LEAST_KC) / (most - LEAST_KC), 0.0)
    return float(share ** (1 + 0.5 * height_m))


def drying_share(depletion_mm: float, *, easy_mm: float, total_mm: float) -> float:
    """How far dryness lets the soil evaporate, from 1 down to 0 (equation 74)."""
    if depletion_mm <= easy_mm:
        return 1.0
    return max((total_mm - depletion_mm) / (total_mm - easy_mm), 0.0)


def evaporation_coefficient(
    *, drying: float, most: float, basal: float, bare_wet_share: float
) -> float:
    """What bare wet soil adds to the plants' own use (equation 71)."""
    return min(drying * (most - basal), bare_wet_share * most)


def topsoil_day(
    *,
    before_mm: float,
    rain_mm: float = 0.0,
    irrigation_mm: float = 0.0,
    irrigated_share: float = 1.0,
    et0_mm: float,
    basal: float,
    most: float,
    bare_wet_share: float,
    easy_mm: float,
    total_mm: float,
) -> TopsoilDay:
    """One day of the top layer (equation 77), its water given early in the day."""
    given = rain_mm + irrigation_mm / irrigated_share
    drained = max(given - before_mm, 0.0)
    start = max(before_mm - given, 0.0)
    adds = evaporation_coefficient(
        drying=drying_share(start, easy_mm=easy_mm, total_mm=total_mm),
        most=most,
        basal=basal,
        bare_wet_share=bare_wet_share,
    )
    evaporated = adds * et0_mm
    depletion = min(start + evaporated / bare_wet_share, total_mm)
    return TopsoilDay(adds, evaporated, drained, depletion)
