"""The water balance by what must always hold; FAO-56 is held in tests/pure/outside."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plants.water import BedsWater, NewPlant, soil_of, two_seasons, typical_days
from plants.water.rootzone import adjusted_share, stress_share, water_balance
from plants.water.soils import TABLE_19
from plants.water.topsoil import (
    drying_share,
)
from tests.pure.care_gardens import mirrored, virginia

# --- plants and soils --------------------------------------------------------------


def test_table_19_is_in_order_and_holds_what_it_says():
    assert len(TABLE_19) == 9
    for soil in TABLE_19.values():
        for low, high in soil:
            assert 0 < low < high
        # Between the two ends lies what the ends of capacity and wilting allow.
        assert soil.available[1] <= soil.capacity[1] - soil.wilting[0]
        assert soil.easy_mm[1] < soil.total_mm[1]
    assert soil_of("loam").available_mm_per_m == pytest.approx(155)
    assert soil_of("sand").available_mm_per_m == pytest.approx(80)
    assert soil_of("clay loam") is TABLE_19["silty clay loam"]
    with pytest.raises(KeyError):
        soil_of("gravel")


# --- the top of the soil -----------------------------------------------------------


def test_drying_runs_from_one_to_nought():
    assert drying_share(5, easy_mm=9, total_mm=20) == 1
    assert drying_share(20, easy_mm=9, total_mm=20) == 0
    assert drying_share(25, easy_mm=9, total_mm=20) == 0


# --- the depth of the roots --------------------------------------------------------


def one_bed(total: object, share: float, coefficient: float = 1.0) -> BedsWater:
    return BedsWater(
        total_mm=np.atleast_1d(np.asarray(total, dtype=float)),
        share=np.array([share]),
        coefficient=np.array([coefficient]),
    )


def test_the_share_of_easy_water_follows_the_days_need():
    share = np.array([0.5])
    assert adjusted_share(share, np.array([5.0]))[0] == 0.5
    assert adjusted_share(share, np.array([2.0]))[0] == pytest.approx(0.62)
    assert adjusted_share(share, np.array([30.0]))[0] == 0.1
    assert adjusted_share(np.array([0.75]), np.array([0.0]))[0] == 0.8


def test_light_rain_never_reaches_the_roots():
    # FAO-56, chapter 8: rain under 0.2 ETo is left out of the balance.
    def after(rain: float) -> tuple[float, float]:
        found = water_balance(
            one_bed(100.0, 0.5), et0_mm=np.array([5.0]),
            rain_mm=np.array([[rain]]), start_mm=np.array([40.0]),
        )  # fmt: skip
        return float(found.depletion[0, 0]), float(found.lost[0, 0])

    assert after(0.9) == (45.0, 0.9)
    assert after(1.0) == (44.0, 0.0)


def test_a_bed_that_waters_never_suffers_and_one_that_does_not_dries_out():
    beds = BedsWater(
        total_mm=np.array([60.0, 60.0]), share=np.array([0.4, 0.4]),
        coefficient=np.array([0.8, 0.8]),
    )  # fmt: skip
    found = water_balance(
        beds, et0_mm=np.full(60, 5.0), rain_mm=np.zeros((60, 1)),
        start_mm=np.zeros(2), waters=np.array([True, False]),
    )  # fmt: skip
    assert found.stress[:, 0].min() == 1
    assert found.irrigated[:, 1].sum() == 0
    assert found.stress[-1, 1] < 0.05
    assert found.depletion[:, 1].max() <= 60


@given(
    st.integers(0, 2**32 - 1),
    st.sampled_from(["early", "late"]),
    st.booleans(),
    st.booleans(),
)
def test_no_water_comes_from_nowhere_or_is_lost(seed, when, adjusts, ignores):
    random = np.random.default_rng(seed)
    days, count = 120, 7
    grows = np.linspace(1, random.uniform(1, 3), days)[:, np.newaxis]
    beds = BedsWater(
        total_mm=random.uniform(8, 150, count) * grows,
        share=random.uniform(0.1, 0.8, count),
        coefficient=random.uniform(0.1, 1.4, (days, count)),
    )
    rain = np.where(random.random((days, 1)) < 0.3, random.gamma(1, 9, (days, 1)), 0)
    given_mm = np.where(random.random((days, count)) < 0.05, 25.0, 0.0)
    found = water_balance(
        beds, et0_mm=random.uniform(0, 9, days), rain_mm=rain, given_mm=given_mm,
        start_mm=random.uniform(0, 8, count), waters=random.random(count) < 0.5,
        when=when, adjusts_share=adjusts, ignores_light_rain=ignores,
    )  # fmt: skip
    assert found.unclosed_mm(rain) <= 1e-9
    assert (found.depletion >= 0).all()
    assert (found.depletion <= beds.total_mm + 1e-9).all()
    for part in (found.used, found.drained, found.irrigated):
        assert (part >= 0).all()


def test_stress_begins_where_easy_water_ends():
    total, share = np.array([100.0]), np.array([0.5])
    assert stress_share(np.array([50.0]), total, share)[0] == 1
    assert stress_share(np.array([75.0]), total, share)[0] == 0.5
    assert stress_share(np.array([100.0]), total, share)[0] == 0
    assert stress_share(np.array([0.0]), np.array([0.0]), share)[0] == 1


# --- two seasons -------------------------------------------------------------------


def shrub(**changes: object) -> NewPlant:
    given_values = {
        "kind": "shrub", "ball_depth_m": 0.24, "ball_across_m": 0.22,
        "leaves_m2": 0.08, "roots_depth_m": 0.45, "roots_across_m": 1.2,
        "factor": 0.6, "soil": soil_of("loam"),
    }  # fmt: skip
    return NewPlant(**{**given_values, **changes})


def weeks(plant: NewPlant, planted_on: date = date(2026, 5, 1), climate=None):
    here = climate or virginia()
    et0, rain = typical_days(here, date.fromordinal(planted_on.toordinal() + 1), 728)
    return two_seasons(plant, planted_on=planted_on, et0_mm=et0, rain_mm=rain)


def test_typical_days_keep_the_rain_of_the_months_and_an_even_et0():
    et0, rain = typical_days(virginia(), date(2026, 1, 1), 365)
    assert rain.sum() == pytest.approx(sum(virginia().rain_mm), rel=0.05)
    assert (rain > 0).sum() == pytest.approx(122, abs=1)
    # Summer in Virginia uses some 4 to 6 mm a day (common practice, no source).
    assert 4 < et0[180:210].mean() < 6
    assert 0.3 < et0[:31].mean() < 1.5


def test_a_root_ball_is_watered_far_more_often_than_the_roots_of_the_second_year():
    found = weeks(shrub())
    assert len(found) == 104
    first = sum(week.times for week in found[:12])
    second = sum(week.times for week in found[52:64])
    assert first >= 12
    assert second <= first / 4
    assert found[0].every == "day"
    assert found[5].every == "2-3 days"
    assert found[20].every == "week"
    # The printed schedule asks for more in the first twelve weeks: both are shown.
    assert first <= 49


def test_without_rain_winter_asks_for_less_water_than_summer():
    planted_on = date(2026, 10, 1)
    et0, rain = typical_days(virginia(), date(2026, 10, 2), 728)
    found = two_seasons(
        shrub(), planted_on=planted_on, et0_mm=et0, rain_mm=np.zeros_like(rain)
    )

    def litres(*months: int) -> float:
        inside = [week for week in found if week.first.month in months]
        return sum(week.times * week.litres_each for week in inside)

    assert 0 < litres(12, 1, 2) < litres(6, 7, 8) / 2
    assert all((week.times == 0) == (week.litres_each == 0) for week in found)


def test_a_plant_that_nobody_waters_lacks_more_in_sand():
    loam = sum(week.lacking_litres for week in weeks(shrub()))
    sand = sum(week.lacking_litres for week in weeks(shrub(soil=soil_of("sand"))))
    assert 0 < loam < sand


def test_more_rain_never_asks_for_more_water():
    et0, rain = typical_days(virginia(), date(2026, 5, 2), 200)
    amounts = []
    for factor in (0, 0.5, 1, 2):
        found = two_seasons(
            shrub(), planted_on=date(2026, 5, 1), et0_mm=et0, rain_mm=rain * factor
        )
        amounts.append(sum(week.times * week.litres_each for week in found))
    assert amounts == sorted(amounts, reverse=True)


def test_a_southern_summer_is_dry_in_january():
    south = mirrored(virginia())
    found = weeks(shrub(), planted_on=date(2026, 11, 1), climate=south)
    january = sum(week.times for week in found if week.first.month == 1)
    july = sum(week.times for week in found if week.first.month == 7)
    assert january > july
