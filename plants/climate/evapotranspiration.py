"""Reference evapotranspiration (ETo), mm a day.

After R. G. Allen and others, Crop evapotranspiration, FAO Irrigation and Drainage
Paper 56, 1998; the numbers of its equations stand beside the functions. Three ways are
offered: Penman-Monteith with all that it asks for, the same from the day's highest and
lowest temperature alone (its "reduced set"), and Hargreaves beside it. Everything
takes single figures or whole arrays.
"""

import numpy as np
import numpy.typing as npt

Real = npt.NDArray[np.float64]
Figure = float | Real

SOLAR_CONSTANT = 0.0820
"""MJ a square metre and minute (equation 21)."""

STEFAN_BOLTZMANN = 4.903e-9
"""MJ a square metre and day and K to the fourth (equation 39)."""

ALBEDO = 0.23
"""What the grass of the definition sends back (equation 38)."""

K_RS_INLAND = 0.16
K_RS_COAST = 0.19
"""How far the day's range of temperature tells the sun (equation 50)."""

USUAL_WIND = 2.0
"""m/s at 2 m, the mean of more than 2,000 stations, where wind is not measured."""

LEAST_WIND = 0.5
"""m/s: in still air the plants' own warmth stirs it so much."""

MM_OF_MJ = 0.408
"""mm of water that one MJ a square metre evaporates (equation 20)."""


def pressure_kpa(elevation_m: float) -> float:
    """Mean air pressure at a height above the sea (equation 7)."""
    pressure: float = 101.3 * ((293 - 0.0065 * elevation_m) / 293) ** 5.26
    return pressure


def psychrometric(elevation_m: float) -> float:
    """The psychrometric constant in kPa/°C (equation 8)."""
    return 0.665e-3 * pressure_kpa(elevation_m)


def saturation_kpa(warmth_c: Figure) -> Figure:
    """Vapour pressure of saturated air (equation 11)."""
    out: Figure = 0.6108 * np.exp(17.27 * warmth_c / (warmth_c + 237.3))
    return out


def mean_saturation_kpa(tmax_c: Figure, tmin_c: Figure) -> Figure:
    """Its mean over a day (equation 12)."""
    return (saturation_kpa(tmax_c) + saturation_kpa(tmin_c)) / 2


def slope_kpa(warmth_c: Figure) -> Figure:
    """How steeply saturation rises with warmth, kPa/°C (equation 13)."""
    return 4098 * saturation_kpa(warmth_c) / (warmth_c + 237.3) ** 2


def vapour_kpa(
    tmax_c: Figure, tmin_c: Figure, rh_max: Figure, rh_min: Figure
) -> Figure:
    """Actual vapour pressure from the day's humidities in per cent (equation 17)."""
    return (saturation_kpa(tmin_c) * rh_max + saturation_kpa(tmax_c) * rh_min) / 200


def vapour_of_mean_humidity_kpa(
    tmax_c: Figure, tmin_c: Figure, rh_mean: Figure
) -> Figure:
    """Actual vapour pressure where only mean humidity is known (equation 19)."""
    return rh_mean / 100 * mean_saturation_kpa(tmax_c, tmin_c)


def earth_distance(day_of_year: Figure) -> Figure:
    """Inverse relative distance of the sun (equation 23); 1 January is day 1."""
    out: Figure = 1 + 0.033 * np.cos(2 * np.pi / 365 * day_of_year)
    return out


def declination(day_of_year: Figure) -> Figure:
    """The sun's declination in radians (equation 24)."""
    out: Figure = 0.409 * np.sin(2 * np.pi / 365 * day_of_year - 1.39)
    return out


def sunset_angle(lat: float, day_of_year: Figure) -> Figure:
    """Hour angle of the sunset in radians (equation 25)."""
    turn = -np.tan(np.radians(lat)) * np.tan(declination(day_of_year))
    out: Figure = np.arccos(np.clip(turn, -1, 1))
    return out


def sky_radiation_mj(lat: float, day_of_year: Figure) -> Figure:
    """Radiation above the air, MJ a square metre and day (equation 21)."""
    phi, delta = np.radians(lat), declination(day_of_year)
    omega = sunset_angle(lat, day_of_year)
    out: Figure = (
        24
        * 60
        / np.pi
        * SOLAR_CONSTANT
        * earth_distance(day_of_year)
        * (
            omega * np.sin(phi) * np.sin(delta)
            + np.cos(phi) * np.cos(delta) * np.sin(omega)
        )
    )
    return out


def daylight_h(lat: float, day_of_year: Figure) -> Figure:
    """Hours of daylight (equation 34)."""
    return 24 / np.pi * sunset_angle(lat, day_of_year)


def radiation_of_sunshine_mj(sun_h: Figure, day_h: Figure, sky_mj: Figure) -> Figure:
    """Radiation at the ground from hours of sunshine (equation 35)."""
    return (0.25 + 0.50 * sun_h / day_h) * sky_mj


def radiation_of_range_mj(
    tmax_c: Figure,
    tmin_c: Figure,
    sky_mj: Figure,
    *,
    k_rs: float = K_RS_INLAND,
    elevation_m: float = 0.0,
) -> Figure:
    """Radiation at the ground from the day's range of temperature (equation 50).

    It is no more than what falls from a clear sky.
    """
    reach = np.sqrt(np.maximum(np.subtract(tmax_c, tmin_c), 0))
    out: Figure = np.minimum(
        k_rs * reach * sky_mj, clear_radiation_mj(sky_mj, elevation_m)
    )
    return out


def clear_radiation_mj(sky_mj: Figure, elevation_m: float) -> Figure:
    """Radiation at the ground under a clear sky (equation 37)."""
    return (0.75 + 2e-5 * elevation_m) * sky_mj


def net_shortwave_mj(radiation_mj: Figure) -> Figure:
    """What the grass keeps of the radiation at the ground (equation 38)."""
    return (1 - ALBEDO) * radiation_mj


def net_longwave_mj(
    tmax_c: Figure,
    tmin_c: Figure,
    vapour: Figure,
    radiation_mj: Figure,
    clear_mj: Figure,
) -> Figure:
    """What goes back to the sky as warmth (equation 39)."""
    share = np.clip(np.divide(radiation_mj, np.maximum(clear_mj, 1e-9)), 0.0, 1.0)
    warmth = ((tmax_c + 273.16) ** 4 + (tmin_c + 273.16) ** 4) / 2
    out: Figure = (
        STEFAN_BOLTZMANN
        * warmth
        * (0.34 - 0.14 * np.sqrt(vapour))
        * (1.35 * share - 0.35)
    )
    return out


def month_soil_heat_mj(before_c: Figure, after_c: Figure) -> Figure:
    """Heat that goes into the soil in a month between two others (equation 43)."""
    return 0.07 * (after_c - before_c)


def wind_at_2_m(wind: Figure, height_m: float) -> Figure:
    """Wind at 2 m from wind at another height, m/s (equation 47)."""
    out: Figure = wind * 4.87 / np.log(67.8 * height_m - 5.42)
    return out


def penman_monteith_mm(
    *,
    tmax_c: Figure,
    tmin_c: Figure,
    vapour: Figure,
    wind_2m: Figure,
    net_radiation_mj: Figure,
    elevation_m: float,
    soil_heat_mj: Figure = 0.0,
) -> Figure:
    """ETo with all that the equation asks for (equation 6); never below nought."""
    mean = (tmax_c + tmin_c) / 2
    slope, gamma = slope_kpa(mean), psychrometric(elevation_m)
    wind = np.maximum(wind_2m, LEAST_WIND)
    drying = gamma * 900 / (mean + 273) * wind
    lack = mean_saturation_kpa(tmax_c, tmin_c) - vapour
    out: Figure = np.maximum(
        (MM_OF_MJ * slope * (net_radiation_mj - soil_heat_mj) + drying * lack)
        / (slope + gamma * (1 + 0.34 * wind)),
        0.0,
    )
    return out


def reduced_set_mm(
    *,
    tmax_c: Figure,
    tmin_c: Figure,
    lat: float,
    day_of_year: Figure,
    elevation_m: float = 0.0,
    k_rs: float = K_RS_INLAND,
    wind_2m: float = USUAL_WIND,
) -> Figure:
    """ETo from the day's highest and lowest temperature alone.

    The sun comes from their range, the air's vapour from a dew point at the lowest
    temperature, the wind is taken as usual (FAO-56, chapter 4).
    """
    sky = sky_radiation_mj(lat, day_of_year)
    radiation = radiation_of_range_mj(
        tmax_c, tmin_c, sky, k_rs=k_rs, elevation_m=elevation_m
    )
    vapour = saturation_kpa(tmin_c)
    net = net_shortwave_mj(radiation) - net_longwave_mj(
        tmax_c, tmin_c, vapour, radiation, clear_radiation_mj(sky, elevation_m)
    )
    return penman_monteith_mm(
        tmax_c=tmax_c,
        tmin_c=tmin_c,
        vapour=vapour,
        wind_2m=wind_2m,
        net_radiation_mj=net,
        elevation_m=elevation_m,
    )


def hargreaves_mm(
    *, tmax_c: Figure, tmin_c: Figure, lat: float, day_of_year: Figure
) -> Figure:
    """ETo after Hargreaves (equation 52)."""
    reach = np.sqrt(np.maximum(np.subtract(tmax_c, tmin_c), 0))
    mean = (tmax_c + tmin_c) / 2
    sky = MM_OF_MJ * sky_radiation_mj(lat, day_of_year)
    out: Figure = np.maximum(0.0023 * (mean + 17.8) * reach * sky, 0.0)
    return out
