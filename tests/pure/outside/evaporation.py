"""Reference evapotranspiration: the examples of FAO-56, and the package pyet.

R. G. Allen and others, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56,
1998 (page read); the number of the example stands in the row.
"""

from functools import cache

import numpy as np
import pandas as pd
import pyet

from plants.climate import evapotranspiration as eto
from plants.climate.lines import MONTH_DAYS
from plants.climate.monthly import MIDDLES, month_evaporation_mm
from plants.climate.records import DailyRecords, station_figures
from plants.climate.records.days import empty_records
from tests.pure.outside.rows import Check, table

FAO = "FAO-56, page read"
PYET = "package pyet 1.5.0 (MIT)"
LAT, HEIGHT_M = 42.95, 204.0
DAYS = pd.date_range("2025-01-01", periods=365)
NUMBER = np.arange(1.0, 366.0)
TURN = np.sin((np.arange(365) - 100) / 365 * 2 * np.pi)
TMAX, TMIN = 14 + 14 * TURN, 4 + 12 * TURN


def penman_from_sun(
    *, lat, day, elevation, tmax, tmin, vapour, wind, sun_h, soil_heat=0.0
) -> dict[str, float]:
    sky = eto.sky_radiation_mj(lat, day)
    light = eto.daylight_h(lat, day)
    ground = eto.radiation_of_sunshine_mj(sun_h, light, sky)
    clear = eto.clear_radiation_mj(sky, elevation)
    long = eto.net_longwave_mj(tmax, tmin, vapour, ground, clear)
    net = eto.net_shortwave_mj(ground) - long
    return {
        "sky": sky,
        "light": light,
        "ground": ground,
        "clear": clear,
        "long": long,
        "net": net,
        "eto": eto.penman_monteith_mm(
            tmax_c=tmax,
            tmin_c=tmin,
            vapour=vapour,
            wind_2m=wind,
            net_radiation_mj=net,
            elevation_m=elevation,
            soil_heat_mj=soil_heat,
        ),
    }


@cache
def bangkok() -> dict[str, float]:
    return penman_from_sun(
        lat=13 + 44 / 60, day=105, elevation=2, tmax=34.8, tmin=25.6, vapour=2.85,
        wind=2, sun_h=8.5, soil_heat=0.14,
    )  # fmt: skip


@cache
def uccle() -> dict[str, float]:
    return penman_from_sun(
        lat=50.80, day=187, elevation=100, tmax=21.5, tmin=12.3,
        vapour=eto.vapour_kpa(21.5, 12.3, 84, 63),
        wind=eto.wind_at_2_m(10 / 3.6, 10), sun_h=9.25,
    )  # fmt: skip


@cache
def rio() -> tuple[float, float]:
    """Radiation at the ground and long waves on 15 May, 7.1 h of sun."""
    sky = eto.sky_radiation_mj(-22.9, 135)
    sun = eto.radiation_of_sunshine_mj(7.1, eto.daylight_h(-22.9, 135), sky)
    clear = eto.clear_radiation_mj(sky, 0)
    return sun, eto.net_longwave_mj(25.1, 19.1, 2.1, sun, clear)


def lyon(wind: float) -> float:
    return eto.reduced_set_mm(
        tmax_c=26.6, tmin_c=14.8, lat=45.72, day_of_year=196, elevation_m=200,
        wind_2m=wind,
    )  # fmt: skip


def lyon_sun() -> float:
    sky = eto.sky_radiation_mj(45.72, 196)
    return eto.radiation_of_range_mj(26.6, 14.8, sky, elevation_m=200)


def series(values) -> pd.Series:
    return pd.Series(values, DAYS)


def reduced_from_pyet() -> float:
    """Largest difference of a year of days, mm."""
    sky = eto.sky_radiation_mj(LAT, NUMBER)
    ground = eto.radiation_of_range_mj(TMAX, TMIN, sky, elevation_m=HEIGHT_M)
    theirs = pyet.pm_fao56(
        series((TMAX + TMIN) / 2),
        series(2.0),
        rs=series(ground),
        tmax=series(TMAX),
        tmin=series(TMIN),
        ea=series(eto.saturation_kpa(TMIN)),
        elevation=HEIGHT_M,
        lat=np.radians(LAT),
    )
    ours = eto.reduced_set_mm(
        tmax_c=TMAX, tmin_c=TMIN, lat=LAT, day_of_year=NUMBER, elevation_m=HEIGHT_M
    )
    return float(np.abs(ours - theirs.to_numpy()).max())


def hargreaves_from_pyet() -> float:
    """Largest difference of a year of days, in per cent.

    pyet turns MJ into mm by the day's own warmth, FAO-56 by the round 0.408.
    """
    theirs = pyet.hargreaves(
        series((TMAX + TMIN) / 2), series(TMAX), series(TMIN), lat=np.radians(LAT)
    ).to_numpy()
    ours = eto.hargreaves_mm(tmax_c=TMAX, tmin_c=TMIN, lat=LAT, day_of_year=NUMBER)
    return float((np.abs(ours - theirs) / theirs).max() * 100)


WIND_2M = 1.5 + 0.8 * np.cos(NUMBER / 58)
HUMID_MAX, HUMID_MIN = 88 + 8 * TURN, 46 + 10 * TURN
SUN_SHARE = 0.45 + 0.2 * TURN


@cache
def recorded_year() -> DailyRecords:
    """The year of days as a station would keep it, with wind, humidity and sun."""
    records = empty_records(2025, 2025)
    daylight = eto.daylight_h(LAT, NUMBER)
    for element, values in (
        ("tmax", TMAX * 10),
        ("tmin", TMIN * 10),
        ("wind", WIND_2M * 100),
        ("humidity_max", HUMID_MAX * 10),
        ("humidity_min", HUMID_MIN * 10),
        ("sunshine", SUN_SHARE * daylight * 60),
    ):
        records.room_for(element)[:] = np.round(values)
    return records


@cache
def pyet_full():
    """The same year by pyet: mm of each day."""
    records = recorded_year()

    def read(element: str, per_unit: float) -> pd.Series:
        return series(records.of(element) / per_unit)

    return pyet.pm_fao56(
        (read("tmax", 10) + read("tmin", 10)) / 2,
        read("wind", 100),
        tmax=read("tmax", 10),
        tmin=read("tmin", 10),
        rhmax=read("humidity_max", 10),
        rhmin=read("humidity_min", 10),
        n=read("sunshine", 60),
        elevation=HEIGHT_M,
        lat=np.radians(LAT),
    )


def full_month_from_pyet() -> float:
    """Largest difference of twelve months of the recorded year, mm."""
    found = station_figures(recorded_year(), lat=LAT, elevation_m=HEIGHT_M)
    assert found.eto_measured == ("wind", "humidity", "sunshine")
    theirs = pyet_full().groupby(DAYS.month).sum().to_numpy()
    return float(np.abs(np.array(found.eto_measured_mm) - theirs).max())


def typed_from_pyet() -> float:
    """Largest difference of twelve months out of monthly means, mm."""
    middles = pd.DatetimeIndex(DAYS[(MIDDLES - 1).astype(int)])

    def means(values) -> list[float]:
        return series(values).groupby(DAYS.month).mean().tolist()

    low, high, wind = means(TMIN), means(TMAX), means(WIND_2M)
    humidity = means((HUMID_MAX + HUMID_MIN) / 2)
    sun = means(SUN_SHARE * eto.daylight_h(LAT, NUMBER))
    mean = (np.array(low) + np.array(high)) / 2

    def at_middles(values) -> pd.Series:
        return pd.Series(np.asarray(values), middles)

    theirs = pyet.pm_fao56(
        at_middles(mean),
        at_middles(wind),
        tmax=at_middles(high),
        tmin=at_middles(low),
        ea=at_middles(
            eto.vapour_of_mean_humidity_kpa(
                np.array(high), np.array(low), np.array(humidity)
            )
        ),
        n=at_middles(sun),
        # Equation 43, which pyet does not work out by itself.
        g=at_middles(0.07 * (np.roll(mean, -1) - np.roll(mean, 1))),
        elevation=HEIGHT_M,
        lat=np.radians(LAT),
    ).to_numpy()
    ours = month_evaporation_mm(
        tmin_c=low, tmax_c=high, lat=LAT, elevation_m=HEIGHT_M, wind_2m=wind,
        humidity_percent=humidity, sunshine_h=sun,
    )  # fmt: skip
    return float(np.abs(np.array(ours) - theirs * np.array(MONTH_DAYS)).max())


CHECKS: list[Check] = [
    *table("Ex. 2", FAO, {
        "pressure at 1,800 m, kPa": (lambda: eto.pressure_kpa(1800), "81.8"),
        "psychrometric constant, kPa/°C": (lambda: eto.psychrometric(1800), "0.054"),
    }),
    *table("Ex. 3", FAO, {
        "mean saturation of 24.5 and 15 °C, kPa": (
            lambda: eto.mean_saturation_kpa(24.5, 15), "2.39"),
    }),
    *table("Ex. 5", FAO, {
        "vapour from 54 and 82 %, kPa": (
            lambda: eto.vapour_kpa(25, 18, 82, 54), "1.70"),
        "vapour from the mean humidity, kPa": (
            lambda: eto.vapour_of_mean_humidity_kpa(25, 18, 68), "1.78"),
    }),
    *table("Ex. 8", FAO + ": 3 September, 20 S", {
        "relative distance": (lambda: eto.earth_distance(246), "0.985"),
        "declination, rad": (lambda: eto.declination(246), "0.120"),
        "sunset angle, rad": (lambda: eto.sunset_angle(-20, 246), "1.527"),
        "radiation above the air, MJ": (
            lambda: eto.sky_radiation_mj(-20, 246), "32.2"),
        "the same, mm": (
            lambda: eto.sky_radiation_mj(-20, 246) * eto.MM_OF_MJ, "13.1"),
    }),
    *table("Ex. 9", FAO, {"daylight, h": (lambda: eto.daylight_h(-20, 246), "11.7")}),
    *table("Ex. 10-12", FAO + ": Rio, 15 May", {
        "radiation at the ground, MJ": (lambda: rio()[0], "14.5"),
        "long waves, MJ": (lambda: rio()[1], "3.5"),
        "short waves kept, MJ": (lambda: eto.net_shortwave_mj(rio()[0]), "11.1"),
    }),
    *table("Ex. 13", FAO, {
        "heat into the soil, 14.1 to 18.8 °C, MJ": (
            lambda: eto.month_soil_heat_mj(14.1, 18.8), "0.33"),
    }),
    *table("Ex. 14", FAO, {
        "wind of 3.2 m/s at 10 m, at 2 m": (lambda: eto.wind_at_2_m(3.2, 10), "2.4"),
    }),
    *table("Ex. 15", FAO, {
        "Lyon, radiation from the range, MJ": (lyon_sun, "22.3"),
    }),
    *table("Ex. 17", FAO, {
        f"Bangkok in April: {what}": (lambda k=key: bangkok()[k], printed)
        for what, key, printed in (
            ("above the air, MJ", "sky", "38.06"), ("daylight, h", "light", "12.31"),
            ("at the ground, MJ", "ground", "22.65"),
            ("of a clear sky, MJ", "clear", "28.54"),
            ("long waves, MJ", "long", "3.11"), ("kept, MJ", "net", "14.33"),
            ("ETo, mm", "eto", "5.72"),
        )
    }, within="0.01"),
    *table("Ex. 18", FAO, {
        f"Uccle, 6 July: {what}": (lambda k=key: uccle()[k], printed)
        for what, key, printed in (
            ("above the air, MJ", "sky", "41.09"),
            ("at the ground, MJ", "ground", "22.07"), ("kept, MJ", "net", "13.28"),
            ("ETo, mm", "eto", "3.88"),
        )
    }, within="0.01"),
    *table("Ex. 18", FAO, {
        "Uccle, 6 July: daylight, h": (lambda: uccle()["light"], "16.1"),
    }),
    *table("Ex. 20", FAO, {
        "Lyon in July, wind of 2 m/s, mm": (lambda: lyon(2), "4.56"),
    }, within="0.01"),
    *table("Ex. 20", FAO, {
        "with 1 m/s, mm": (lambda: lyon(1), "4.2"),
        "with 3 m/s, mm": (lambda: lyon(3), "4.8"),
        "Hargreaves, mm": (
            lambda: eto.hargreaves_mm(
                tmax_c=26.6, tmin_c=14.8, lat=45.72, day_of_year=196), "5.0"),
    }),
    *table("pyet", PYET, {
        "reduced set, worst of 365 days, mm": (reduced_from_pyet, "0"),
    }, within="0.01"),
    *table("pyet", PYET, {
        "full set out of a station's records, worst month, mm": (
            full_month_from_pyet, "0"),
    }, within="0.05"),
    *table("pyet", PYET, {
        "full set from twelve typed months, worst month, mm": (typed_from_pyet, "0"),
    }, within="0.05"),
    *table("pyet", PYET, {
        "Hargreaves, worst of 365 days, per cent": (hargreaves_from_pyet, "0"),
    }, within="3"),
]  # fmt: skip
