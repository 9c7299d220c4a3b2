"""Planting windows: right, bearable and wrong weeks of a year."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plants.care import planting_verdict, planting_window, read_group
from plants.care.planting import DAMPING_DEPTH_M, Stock, lag_days, rule_on
from tests.pure.care_gardens import celsius, frostless, group, mirrored, virginia

# Milwaukee airport 1991-2020, monthly means and frost dates from GHCN-Daily.
MILWAUKEE = virginia(
    tmin_c=celsius(
        [16.7, 19.6, 28.2, 37.3, 47.3, 57.9, 64.3, 63.7, 55.9, 44.2, 32.5, 22.5]
    ),
    tmax_c=celsius(
        [30.0, 33.3, 43.2, 53.9, 65.6, 75.9, 80.9, 79.4, 72.6, 60.4, 46.7, 35.1]
    ),
    last_spring_frost={10: (5, 5), 50: (4, 23), 90: (4, 10)},
    first_autumn_frost={10: (10, 6), 50: (10, 23), 90: (11, 8)},
)


def said(day: date, **changes) -> tuple[str, str]:
    found = planting_verdict(day, **{"climate": virginia(), **changes})
    return found.verdict, found.key


def test_spring_and_autumn_are_right_in_virginia():
    # Spring, autumn and mild winter are for planting (common practice, no source).
    assert said(date(2026, 4, 15)) == ("right", "spring")
    assert said(date(2026, 10, 5)) == ("right", "autumn")
    assert said(date(2026, 1, 15)) == ("bearable", "mild-winter")


def test_midsummer_only_with_irrigation():
    july = date(2026, 7, 15)
    assert said(july) == ("wrong", "heat-dry")
    assert said(july, irrigated=True) == ("bearable", "heat-watered")


def test_evergreens_stop_in_autumn():
    # Chicago Botanic Garden, planting evergreens in the fall (read): late autumn
    # leaves them no time to root; six weeks is trade advice.
    evergreen = read_group(group("none", evergreen="yes"))
    assert said(date(2026, 9, 25), group=evergreen) == ("right", "autumn")
    assert said(date(2026, 11, 20), group=evergreen) == ("wrong", "evergreen-winter")
    leafless = read_group(group("none", evergreen="no"))
    assert said(date(2026, 11, 20), group=leafless)[0] == "right"
    assert said(date(2026, 11, 20), group=leafless, evergreen=True)[0] == "wrong"


def test_frozen_ground_is_wrong_and_six_weeks_before_it_late():
    freeze = MILWAUKEE.cools_to(0, 2026)
    assert freeze is not None and freeze.month in (11, 12)
    where = {"climate": MILWAUKEE}
    assert said(freeze, **where) == ("wrong", "frozen")
    assert said(freeze - timedelta(days=1), **where) == ("bearable", "late-autumn")
    assert said(freeze - timedelta(days=42), **where) == ("bearable", "late-autumn")
    assert said(freeze - timedelta(days=43), **where) == ("right", "autumn")
    assert said(date(2026, 1, 15), **where) == ("wrong", "frozen")


def test_bare_roots_are_planted_leafless():
    bare = {"container": False}
    assert said(date(2026, 3, 20), **bare) == ("right", "spring")
    assert said(date(2026, 5, 20), **bare) == ("wrong", "bare-in-leaf")
    assert said(date(2026, 5, 20)) == ("right", "spring")
    assert said(date(2026, 11, 10), **bare)[0] == "right"


def test_a_balled_plant_stands_no_heat_even_watered():
    # Common practice, no source: digging leaves most of the roots behind.
    july = date(2026, 7, 15)
    balled = {"container": False, "balled": True}
    assert said(july, irrigated=True, **balled) == ("wrong", "balled-heat")
    assert said(july, irrigated=True) == ("bearable", "heat-watered")
    # In leaf it may still be moved, unlike bare roots.
    assert said(date(2026, 5, 20), **balled) == ("right", "spring")
    assert said(date(2026, 5, 20), container=False) == ("wrong", "bare-in-leaf")


def test_shallow_roots_are_lifted_where_the_ground_freezes():
    # Common practice, no source.
    freeze = MILWAUKEE.cools_to(0, 2026)
    late = freeze - timedelta(days=20)
    where = {"climate": MILWAUKEE}
    assert said(late, root_depth_m=0.1, **where) == ("wrong", "frost-heave")
    assert said(late, root_depth_m=0.3, **where) == ("bearable", "late-autumn")
    assert said(date(2026, 9, 25), root_depth_m=0.1, **where)[0] == "right"


def test_the_soil_follows_the_air_later_with_depth():
    # Damping depth of the year's wave at 0.5 mm² a second: the root of
    # 2 × 0.5e-6 × 31 557 600 / 2π = 2.24 m (arithmetic); 365.25 / 2π / 2.24 = 25.9.
    assert round(DAMPING_DEPTH_M, 2) == 2.24
    assert [lag_days(depth) for depth in (None, 0.0, 0.4, 1.0)] == [0, 0, 10, 26]
    evergreen = {"evergreen": True}
    cold = virginia().cools_to(4.5, 2026)
    last = cold - timedelta(days=43)
    assert said(last, **evergreen)[0] == "right"
    assert said(last + timedelta(days=1), **evergreen)[0] == "wrong"
    assert said(last + timedelta(days=10), root_depth_m=0.4, **evergreen)[0] == "right"
    assert said(last + timedelta(days=11), root_depth_m=0.4, **evergreen)[0] == "wrong"


def test_tender_plants_wait_for_the_late_date_of_the_last_frost():
    # 10 % date of Ashland's reach about the Opal mean: 8 May.
    tender = {"tender": True, "irrigated": True}
    assert said(date(2026, 5, 8), **tender) == ("wrong", "tender-frost")
    assert said(date(2026, 5, 9), **tender) == ("right", "tender-warm")
    assert said(date(2026, 9, 20), **tender) == ("wrong", "tender-late")


def test_a_mild_coast_has_neither_frozen_ground_nor_heat():
    rainy = replace(frostless(), rain_mm=(60.0,) * 12)
    verdicts = [period.key for period in planting_window(climate=rainy, year=2026)]
    assert verdicts == ["mild-winter", "spring", "cool-summer", "autumn"]


def test_a_dry_summer_is_as_bad_as_a_hot_one():
    # The made-up coast has 1 mm of rain in July and a mean of 16.7 °C.
    july = date(2026, 7, 15)
    assert said(july, climate=frostless()) == ("wrong", "heat-dry")
    assert said(july, climate=frostless(), irrigated=True) == (
        "bearable",
        "heat-watered",
    )
    assert said(date(2026, 11, 15), climate=frostless()) == ("right", "autumn")


@given(
    year=st.integers(2000, 2060),
    irrigated=st.booleans(),
    evergreen=st.booleans(),
    container=st.booleans(),
    tender=st.booleans(),
    balled=st.booleans(),
    depth=st.sampled_from([None, 0.1, 0.3, 0.9]),
    place=st.sampled_from(["virginia", "milwaukee", "south", "mild"]),
)
def test_the_periods_leave_no_day_out_and_agree_with_the_days(
    year, irrigated, evergreen, container, tender, balled, depth, place
):
    climate = {
        "virginia": virginia(),
        "milwaukee": MILWAUKEE,
        "south": mirrored(virginia()),
        "mild": frostless(),
    }[place]
    how = {
        "climate": climate,
        "irrigated": irrigated,
        "evergreen": evergreen,
        "container": container,
        "tender": tender,
        "balled": balled,
        "root_depth_m": depth,
    }
    periods = planting_window(year=year, **how)
    assert periods[0].first == climate.date_of(0, year)
    assert periods[-1].last == climate.date_of(0, year + 1) - timedelta(days=1)
    for before, after in pairwise(periods):
        assert after.first == before.last + timedelta(days=1)
        assert after.key != before.key
    stock = Stock(irrigated, evergreen, container, tender, balled, depth)
    for period in periods:
        # Every fifth day by itself, and both ends.
        days = (period.last - period.first).days
        for number in {*range(0, days, 5), days}:
            day = period.first + timedelta(days=number)
            ruling = rule_on(day, climate, stock)
            assert ruling == (period.verdict, period.key, period.reason), day
        assert planting_verdict(period.last, **how) == period


@pytest.mark.parametrize("month", range(1, 13))
def test_a_southern_garden_plants_half_a_year_later(month):
    south = mirrored(virginia())
    turned = date(2026 + (month > 6), (month + 5) % 12 + 1, 15)
    assert said(turned, climate=south) == said(date(2026, month, 15))
