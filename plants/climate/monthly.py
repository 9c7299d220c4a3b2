"""Evapotranspiration of the months, from their means and what else is known."""

from collections.abc import Sequence

import numpy as np

from plants.climate import evapotranspiration as eto
from plants.climate.lines import MONTH_DAYS

Months = Sequence[float]

# The day of the year in the middle of each month (FAO-56, annex 2: 30.4 M - 15).
MIDDLES = np.floor(30.4 * np.arange(1, 13) - 15)


def month_evaporation_mm(
    *,
    tmin_c: Months,
    tmax_c: Months,
    lat: float,
    elevation_m: float = 0.0,
    wind_2m: Months | None = None,
    humidity_percent: Months | None = None,
    sunshine_h: Months | None = None,
) -> tuple[float, ...]:
    """ETo after Penman-Monteith in mm of each month, January first.

    What is not known is taken as in the reduced set: usual wind, a dew point at the
    mean low, radiation from the range of temperature. The soil takes up and gives back
    warmth between the months (equation 43).
    """
    low, high = np.asarray(tmin_c, dtype=float), np.asarray(tmax_c, dtype=float)
    sky = eto.sky_radiation_mj(lat, MIDDLES)
    vapour = (
        eto.saturation_kpa(low)
        if humidity_percent is None
        else eto.vapour_of_mean_humidity_kpa(
            high, low, np.asarray(humidity_percent, dtype=float)
        )
    )
    if sunshine_h is None:
        radiation = eto.radiation_of_range_mj(high, low, sky, elevation_m=elevation_m)
    else:
        daylight = eto.daylight_h(lat, MIDDLES)
        hours = np.minimum(np.asarray(sunshine_h, dtype=float), daylight)
        radiation = eto.radiation_of_sunshine_mj(hours, daylight, sky)
    net = eto.net_shortwave_mj(radiation) - eto.net_longwave_mj(
        high, low, vapour, radiation, eto.clear_radiation_mj(sky, elevation_m)
    )
    mean = (low + high) / 2
    day = eto.penman_monteith_mm(
        tmax_c=high,
        tmin_c=low,
        vapour=vapour,
        wind_2m=eto.USUAL_WIND if wind_2m is None else np.asarray(wind_2m, dtype=float),
        net_radiation_mj=net,
        elevation_m=elevation_m,
        soil_heat_mj=eto.month_soil_heat_mj(np.roll(mean, 1), np.roll(mean, -1)),
    )
    return _of_months(day)


def month_hargreaves_mm(
    *, tmin_c: Months, tmax_c: Months, lat: float
) -> tuple[float, ...]:
    """ETo after Hargreaves in mm of each month, January first."""
    day = eto.hargreaves_mm(
        tmax_c=np.asarray(tmax_c, dtype=float),
        tmin_c=np.asarray(tmin_c, dtype=float),
        lat=lat,
        day_of_year=MIDDLES,
    )
    return _of_months(day)


def _of_months(day: eto.Figure) -> tuple[float, ...]:
    return tuple(float(value) for value in np.asarray(day) * np.array(MONTH_DAYS))
