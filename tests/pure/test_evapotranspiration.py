"""Reference evapotranspiration at its edges; its figures are in tests/pure/outside."""

from plants.climate import evapotranspiration as eto


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
