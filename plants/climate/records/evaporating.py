"""Evapotranspiration of recorded days, from whatever of its weather was measured."""

from collections.abc import Mapping
from typing import Literal, NamedTuple

import numpy as np

from plants.climate import evapotranspiration as eto
from plants.climate.records.days import MISSING, DailyRecords, Element, Real, Truth

Measured = Literal["wind", "humidity", "sunshine"]
MEASURED: tuple[Measured, ...] = ("wind", "humidity", "sunshine")

LEAST_SHARE = 1 / 3
"""Of the days of a period that must have a reading before it is used: ten years of
thirty; common practice, no source."""


class Evaporation(NamedTuple):
    """ETo in mm of the days of the year, and what of its weather was measured."""

    days: Real
    measured: tuple[Measured, ...]


def measured_evaporation(
    records: DailyRecords,
    *,
    days: Truth,
    day_of_year: Real,
    lat: float,
    elevation_m: float,
    k_rs: float,
    by_day: "MeanByDay",
) -> Evaporation | None:
    """ETo after Penman-Monteith of the DAYS whose weather was measured.

    What was measured too seldom is taken as in the reduced set; None where that is all
    of it. A sort of reading that leaves some day of the year without any is given up.
    """
    low, high = _figure(records, "tmin", 10), _figure(records, "tmax", 10)
    sky = eto.sky_radiation_mj(lat, day_of_year)
    found = _measured(records, low, high, sky=sky, lat=lat, day_of_year=day_of_year)
    both = days & ~np.isnan(low) & ~np.isnan(high)
    counts = {
        one: int((both & ~np.isnan(values)).sum()) for one, values in found.items()
    }
    least = max(LEAST_SHARE * both.sum(), 1)
    used = [one for one in MEASURED if counts[one] >= least]
    while used:
        values = _penman(
            low, high, {one: found[one] for one in used},
            sky=sky, elevation_m=elevation_m, k_rs=k_rs,
        )  # fmt: skip
        means = by_day.mean(values)
        if not np.isnan(means).any():
            return Evaporation(means, tuple(used))
        used.remove(min(used, key=lambda one: counts[one]))
    return None


class MeanByDay:
    """Means by the day of the year over the years of a period."""

    def __init__(self, days: "np.typing.NDArray[np.int64]", inside: Truth) -> None:
        self.days = days
        self.inside = inside

    def mean(self, values: Real) -> Real:
        """365 means, NaN for a day that no year has."""
        good = self.inside & ~np.isnan(values)
        counts = np.bincount(self.days[good], minlength=365)
        sums = np.bincount(self.days[good], weights=values[good], minlength=365)
        out = np.full(365, np.nan)
        out[counts > 0] = sums[counts > 0] / counts[counts > 0]
        return out


def _figure(records: DailyRecords, element: Element, per_unit: float) -> Real:
    slots = records.of(element)
    out = slots.astype(np.float64) / per_unit
    out[slots == MISSING] = np.nan
    return out


def _measured(
    records: DailyRecords,
    low: Real,
    high: Real,
    *,
    sky: eto.Figure,
    lat: float,
    day_of_year: Real,
) -> dict[Measured, Real]:
    """Wind in m/s at 2 m, vapour in kPa and radiation in MJ, NaN where not measured."""
    mean = _figure(records, "humidity", 10)
    most, least = (
        _figure(records, "humidity_max", 10),
        _figure(records, "humidity_min", 10),
    )
    vapour = np.asarray(eto.vapour_kpa(high, low, most, least))
    of_mean = np.asarray(eto.vapour_of_mean_humidity_kpa(high, low, mean))
    daylight = np.asarray(eto.daylight_h(lat, day_of_year))
    hours = _figure(records, "sunshine", 60)
    of_share = _figure(records, "sun_share", 1000) * daylight
    hours = np.minimum(np.where(np.isnan(hours), of_share, hours), daylight)
    return {
        "wind": _figure(records, "wind", 100),
        "humidity": np.where(np.isnan(vapour), of_mean, vapour),
        "sunshine": np.asarray(eto.radiation_of_sunshine_mj(hours, daylight, sky)),
    }


def _penman(
    low: Real,
    high: Real,
    measured: Mapping[Measured, Real],
    *,
    sky: eto.Figure,
    elevation_m: float,
    k_rs: float,
) -> Real:
    """ETo with what was measured, the rest as in the reduced set."""
    vapour = measured.get("humidity", eto.saturation_kpa(low))
    radiation = measured.get(
        "sunshine",
        eto.radiation_of_range_mj(high, low, sky, k_rs=k_rs, elevation_m=elevation_m),
    )
    net = eto.net_shortwave_mj(radiation) - eto.net_longwave_mj(
        high, low, vapour, radiation, eto.clear_radiation_mj(sky, elevation_m)
    )
    return np.asarray(
        eto.penman_monteith_mm(
            tmax_c=high,
            tmin_c=low,
            vapour=vapour,
            wind_2m=measured.get("wind", eto.USUAL_WIND),
            net_radiation_mj=net,
            elevation_m=elevation_m,
        )
    )
