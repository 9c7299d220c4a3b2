"""Reference evapotranspiration against FAO-56, example by example, and against pyet.

R. G. Allen and others, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56,
1998 (page read); the number of the example stands beside each check.
"""

import numpy as np
import pandas as pd
import pyet
import pytest

from plants.climate import evapotranspiration as eto


def test_example_2_pressure_and_psychrometric_constant():
    assert eto.pressure_kpa(1800) == pytest.approx(81.8, abs=0.05)
    assert eto.psychrometric(1800) == pytest.approx(0.054, abs=0.0005)


def test_example_3_mean_saturation():
    assert eto.mean_saturation_kpa(24.5, 15) == pytest.approx(2.39, abs=0.005)


def test_example_5_actual_vapour_from_both_humidities():
    assert eto.vapour_kpa(25, 18, 82, 54) == pytest.approx(1.70, abs=0.005)
    mean = eto.vapour_of_mean_humidity_kpa(25, 18, 68)
    assert mean == pytest.approx(1.78, abs=0.005)


def test_example_8_radiation_above_the_air():
    # 3 September, 20 degrees south.
    assert eto.earth_distance(246) == pytest.approx(0.985, abs=0.0005)
    assert eto.declination(246) == pytest.approx(0.120, abs=0.0005)
    assert eto.sunset_angle(-20, 246) == pytest.approx(1.527, abs=0.0005)
    sky = eto.sky_radiation_mj(-20, 246)
    assert sky == pytest.approx(32.2, abs=0.05)
    assert sky * eto.MM_OF_MJ == pytest.approx(13.1, abs=0.05)


def test_example_9_daylight():
    assert eto.daylight_h(-20, 246) == pytest.approx(11.7, abs=0.05)


def test_examples_10_to_12_rio_de_janeiro():
    # 22.9 degrees south, 15 May, 7.1 h of sun; 25.1 and 19.1 °C, 2.1 kPa.
    sky = eto.sky_radiation_mj(-22.9, 135)
    sun = eto.radiation_of_sunshine_mj(7.1, eto.daylight_h(-22.9, 135), sky)
    assert sun == pytest.approx(14.5, abs=0.05)
    long = eto.net_longwave_mj(25.1, 19.1, 2.1, sun, eto.clear_radiation_mj(sky, 0))
    assert long == pytest.approx(3.5, abs=0.05)
    assert eto.net_shortwave_mj(sun) == pytest.approx(11.1, abs=0.05)


def test_example_13_soil_heat_of_a_month():
    assert eto.month_soil_heat_mj(14.1, 18.8) == pytest.approx(0.33, abs=0.005)


def test_example_14_wind_at_two_metres():
    assert eto.wind_at_2_m(3.2, 10) == pytest.approx(2.4, abs=0.05)


def test_example_15_radiation_from_the_range_of_temperature():
    sky = eto.sky_radiation_mj(45.72, 196)
    found = eto.radiation_of_range_mj(26.6, 14.8, sky, elevation_m=200)
    assert found == pytest.approx(22.3, abs=0.05)


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


def test_example_17_bangkok_in_april():
    found = penman_from_sun(
        lat=13 + 44 / 60, day=105, elevation=2, tmax=34.8, tmin=25.6, vapour=2.85,
        wind=2, sun_h=8.5, soil_heat=0.14,
    )  # fmt: skip
    printed = {
        "sky": 38.06, "light": 12.31, "ground": 22.65, "clear": 28.54, "long": 3.11,
        "net": 14.33, "eto": 5.72,
    }  # fmt: skip
    assert found == pytest.approx(printed, abs=0.01)


def test_example_18_uccle_on_6_july():
    found = penman_from_sun(
        lat=50.80, day=187, elevation=100, tmax=21.5, tmin=12.3,
        vapour=eto.vapour_kpa(21.5, 12.3, 84, 63),
        wind=eto.wind_at_2_m(10 / 3.6, 10), sun_h=9.25,
    )  # fmt: skip
    assert found["sky"] == pytest.approx(41.09, abs=0.01)
    assert found["light"] == pytest.approx(16.1, abs=0.05)
    assert found["ground"] == pytest.approx(22.07, abs=0.01)
    assert found["net"] == pytest.approx(13.28, abs=0.01)
    assert found["eto"] == pytest.approx(3.88, abs=0.01)


@pytest.mark.parametrize(("wind", "printed"), [(2, 4.56), (1, 4.2), (3, 4.8)])
def test_example_20_lyon_from_temperatures_alone(wind, printed):
    found = eto.reduced_set_mm(
        tmax_c=26.6, tmin_c=14.8, lat=45.72, day_of_year=196, elevation_m=200,
        wind_2m=wind,
    )  # fmt: skip
    assert found == pytest.approx(printed, abs=0.01 if wind == 2 else 0.05)


def test_example_20_hargreaves_beside_it():
    found = eto.hargreaves_mm(tmax_c=26.6, tmin_c=14.8, lat=45.72, day_of_year=196)
    assert found == pytest.approx(5.0, abs=0.05)


def test_still_air_counts_as_half_a_metre_a_second():
    # FAO-56, chapter 3: a floor of 0.5 m/s.
    given = {"tmax_c": 30.0, "tmin_c": 15.0, "lat": 43.0, "day_of_year": 190}
    still = eto.reduced_set_mm(**given, wind_2m=0.0)
    assert still == eto.reduced_set_mm(**given, wind_2m=0.5)
    assert still < eto.reduced_set_mm(**given, wind_2m=0.6)


def test_a_frozen_night_gives_no_negative_water():
    # A clear winter day sends more warmth away than the low sun brings.
    given = {"tmax_c": 5.0, "tmin_c": -15.0, "elevation_m": 0.0}
    vapour = eto.saturation_kpa(-15.0)
    assert (
        eto.penman_monteith_mm(
            **given, vapour=vapour, wind_2m=0.5, net_radiation_mj=-5.0
        )
        == 0
    )
    assert eto.hargreaves_mm(tmax_c=-30, tmin_c=-35, lat=60, day_of_year=1) == 0


def test_a_year_of_days_agrees_with_pyet():
    days = pd.date_range("2025-01-01", periods=365)
    turn = np.sin((np.arange(365) - 100) / 365 * 2 * np.pi)
    tmax, tmin = 14 + 14 * turn, 4 + 12 * turn
    number = np.arange(1.0, 366.0)
    lat, height = 42.95, 204.0
    sky = eto.sky_radiation_mj(lat, number)
    ground = eto.radiation_of_range_mj(tmax, tmin, sky, elevation_m=height)
    theirs = pyet.pm_fao56(
        pd.Series((tmax + tmin) / 2, days),
        pd.Series(2.0, days),
        rs=pd.Series(ground, days),
        tmax=pd.Series(tmax, days),
        tmin=pd.Series(tmin, days),
        ea=pd.Series(eto.saturation_kpa(tmin), days),
        elevation=height,
        lat=np.radians(lat),
    )
    ours = eto.reduced_set_mm(
        tmax_c=tmax, tmin_c=tmin, lat=lat, day_of_year=number, elevation_m=height
    )
    assert np.abs(ours - theirs.to_numpy()).max() < 0.01
    beside = pyet.hargreaves(
        pd.Series((tmax + tmin) / 2, days),
        pd.Series(tmax, days),
        pd.Series(tmin, days),
        lat=np.radians(lat),
    )
    # pyet turns MJ into mm by the day's own warmth, FAO-56 by the round 0.408.
    ours = eto.hargreaves_mm(tmax_c=tmax, tmin_c=tmin, lat=lat, day_of_year=number)
    assert ours == pytest.approx(beside.to_numpy(), rel=0.03)
