"""Anchors of a place, a group and a year."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plants.care import ANCHORS, anchors, read_group, spring_shift
from plants.care.regions import mid_atlantic
from plants.climate import Climate
from tests.pure.care_gardens import (
    celsius,
    frostless,
    group,
    mirrored,
    virginia,
    warmer,
)

OLD = read_group(group("old"))
NEW = read_group(group("new"))


def bloom(first: int, last: int, wood: str = "old", **degree_days: float):
    spec = group(wood, rules=[])
    spec["bloom"] = {
        "months": [first, last],
        "region": "mid-atlantic",
        "source": "bloom-memory",
        **degree_days,
    }
    return read_group(spec)


def test_every_anchor_is_given_for_every_group_and_year():
    found = anchors(climate=virginia(), group=OLD, year=2026)
    assert set(found) == set(ANCHORS)


def test_the_anchors_of_a_virginia_year():
    # Frost dates: plantmaps.com, Opal (middles). Bud swell, leaf-out, leaf fall and
    # dormancy: 5.5 and 10 °C crossings of its normals. Late winter is three weeks
    # before bud swell. Bud set: Virginia Cooperative Extension 430-462 closes its
    # shrubs from August.
    found = anchors(
        climate=virginia(), group=OLD, year=2026, planted_on=date(2026, 4, 9)
    )
    assert found == {
        "last_spring_frost": date(2026, 4, 25),
        "last_spring_frost_early": date(2026, 4, 12),
        "first_autumn_frost": date(2026, 10, 26),
        "leaf_out": date(2026, 4, 2),
        "bud_swell": date(2026, 3, 10),
        "bloom_start": date(2026, 4, 1),
        "bloom_end": date(2026, 5, 31),
        "bud_set": date(2026, 7, 31),
        "leaf_fall": date(2026, 11, 3),
        "dormancy": date(2026, 11, 30),
        "late_winter": date(2026, 2, 17),
        "midsummer": date(2026, 6, 21),
        "planting_day": date(2026, 4, 9),
        "year_start": date(2026, 1, 1),
    }


def test_the_region_of_the_shipped_months_is_the_virginia_piedmont():
    # The tests' own copy of the published normals leads to the same dates.
    region = anchors(climate=mid_atlantic(), group=OLD, year=2026)
    assert region == anchors(climate=virginia(), group=OLD, year=2026)
    assert spring_shift(mid_atlantic(), "mid-atlantic") == 0
    assert mid_atlantic().hardiness_zone() == "7a"  # USDA map of 2023


def test_a_group_without_old_wood_sets_no_buds_to_wait_for():
    assert anchors(climate=virginia(), group=NEW, year=2026)["bud_set"] is None
    assert anchors(climate=virginia(), group=OLD, year=2026)["bud_set"] is not None


def test_a_group_without_bloom_has_no_bloom_anchors():
    leafy = read_group(group("none", bloom=None))
    found = anchors(climate=virginia(), group=leafy, year=2026)
    assert found["bloom_start"] is None
    assert found["bloom_end"] is None
    assert found["leaf_out"] == date(2026, 4, 2)


def test_bloom_of_late_summer_ends_before_its_buds_are_set():
    found = anchors(climate=virginia(), group=bloom(6, 8), year=2026)
    assert found["bloom_end"] == date(2026, 8, 31)
    assert found["bud_set"] == date(2026, 8, 31)


def test_an_autumn_bloomer_lays_its_buds_in_the_summer_after():
    # Virginian witch hazel, October and November (mid-Atlantic, from memory).
    found = anchors(climate=virginia(), group=bloom(10, 11), year=2026)
    assert found["bloom_start"] == date(2026, 10, 1)
    assert found["bloom_end"] == date(2026, 11, 30)
    assert found["bud_set"] == date(2027, 7, 31)


def test_bloom_may_cross_the_new_year():
    found = anchors(climate=virginia(), group=bloom(11, 2), year=2026)
    assert found["bloom_start"] == date(2026, 11, 1)
    assert found["bloom_end"] == date(2027, 2, 28)


def test_a_leap_year_moves_no_month():
    group_ = bloom(2, 3)
    assert anchors(climate=virginia(), group=group_, year=2028)["bloom_start"] == date(
        2028, 2, 1
    )
    assert anchors(climate=virginia(), group=group_, year=2028)["bloom_end"] == date(
        2028, 3, 31
    )


def test_spring_bloom_shifts_by_the_whole_difference_of_leaf_out():
    # Milwaukee airport 1991-2020, monthly means from GHCN-Daily.
    milwaukee = virginia(
        tmin_c=celsius(
            [16.7, 19.6, 28.2, 37.3, 47.3, 57.9, 64.3, 63.7, 55.9, 44.2, 32.5, 22.5]
        ),
        tmax_c=celsius(
            [30.0, 33.3, 43.2, 53.9, 65.6, 75.9, 80.9, 79.4, 72.6, 60.4, 46.7, 35.1]
        ),
        last_spring_frost={10: (5, 5), 50: (4, 23), 90: (4, 10)},
        first_autumn_frost={10: (10, 6), 50: (10, 23), 90: (11, 8)},
    )
    shift = spring_shift(milwaukee, "mid-atlantic")
    assert milwaukee.leaf_out(2026) == date(2026, 4, 29)
    assert shift == 27
    spring = anchors(climate=milwaukee, group=bloom(4, 5), year=2026)
    assert spring["bloom_start"] == date(2026, 4, 1) + timedelta(days=27)
    assert spring["bloom_end"] == date(2026, 5, 31) + timedelta(days=27)
    # September bloom goes by the length of the day: no shift (common practice).
    late = anchors(climate=milwaukee, group=bloom(9, 9), year=2026)
    assert late["bloom_start"] == date(2026, 9, 1)
    assert late["bloom_end"] == date(2026, 9, 30)


def test_degree_days_serve_in_their_own_region_only():
    # Common lilac, first bloom 234 F degree days (Ohio State, from memory), put down
    # for the region only to see which figure is used.
    lilac = bloom(4, 5, gdd50_first=234)
    inside = anchors(climate=mid_atlantic(), group=lilac, year=2026)
    outside = anchors(climate=virginia(), group=lilac, year=2026)
    assert inside["bloom_start"] == date(2026, 5, 1)
    assert inside["bloom_end"] == date(2026, 6, 30)
    assert outside["bloom_start"] == date(2026, 4, 1)
    both = bloom(4, 5, gdd50_first=234, gdd50_last=534)
    assert anchors(climate=mid_atlantic(), group=both, year=2026)[
        "bloom_end"
    ] == mid_atlantic().degree_days_reached(534, 2026)


def test_a_bloom_seen_this_year_replaces_the_computed_one():
    plain = anchors(climate=virginia(), group=OLD, year=2026)
    seen = anchors(
        climate=virginia(),
        group=OLD,
        year=2026,
        observed={"bloom_start": date(2026, 4, 21)},
    )
    assert seen["bloom_start"] == date(2026, 4, 21)
    assert seen["bloom_end"] == plain["bloom_end"] + timedelta(days=20)
    assert seen["bud_set"] == plain["bud_set"] + timedelta(days=20)
    assert seen["leaf_out"] == plain["leaf_out"]
    # Another year's bloom tells nothing about this one.
    assert anchors(
        climate=virginia(),
        group=OLD,
        year=2027,
        observed={"bloom_start": date(2026, 4, 21)},
    )["bloom_start"] == date(2027, 4, 1)


def test_a_bloom_seen_to_end_holds_its_length():
    seen = anchors(
        climate=virginia(),
        group=OLD,
        year=2026,
        observed={
            "bloom_start": [date(2025, 4, 3), date(2026, 4, 11)],
            "bloom_end": date(2026, 5, 20),
        },
    )
    assert seen["bloom_start"] == date(2026, 4, 11)
    assert seen["bloom_end"] == date(2026, 5, 20)
    assert seen["bud_set"] == date(2026, 7, 20)


def test_nobody_can_observe_midsummer():
    with pytest.raises(ValueError, match="midsummer cannot be observed"):
        anchors(
            climate=virginia(),
            group=OLD,
            year=2026,
            observed={"midsummer": date(2026, 6, 20)},
        )


def test_a_mild_place_has_no_frost_anchors():
    found = anchors(climate=frostless(), group=OLD, year=2026)
    assert found["last_spring_frost"] is None
    assert found["first_autumn_frost"] is None
    assert found["leaf_fall"] is None
    assert found["dormancy"] is None
    # The coldest day of the given months is in mid-January; 30 days on (practice).
    assert found["bud_swell"] == frostless().coldest(2026) + timedelta(days=30)
    assert found["late_winter"] == frostless().coldest(2026) + timedelta(days=9)


NAMES_IN_ORDER = ("late_winter", "bud_swell", "leaf_out", "leaf_fall", "dormancy")


@given(
    first=st.integers(1, 12),
    length=st.integers(0, 4),
    wood=st.sampled_from(["old", "new", "both"]),
    year=st.integers(1990, 2060),
)
def test_a_southern_garden_has_the_mirrored_year(first, length, wood, year):
    plant = bloom(first, (first + length - 1) % 12 + 1, wood)
    north = anchors(climate=virginia(), group=plant, year=year)
    south = anchors(climate=mirrored(virginia()), group=plant, year=year)
    for name, day in north.items():
        other = south[name]
        if day is None:
            assert other is None
            continue
        # Half a year on; months of other lengths account for three days.
        assert abs((other - day).days - 182) <= 4, name


@given(st.floats(-4, 4))
def test_warmth_keeps_the_order_of_the_year(kelvin):
    climate: Climate = warmer(virginia(), kelvin)
    found = anchors(climate=climate, group=OLD, year=2026)
    days = [found[name] for name in NAMES_IN_ORDER]
    assert days == sorted(days)
    assert found["bloom_start"] < found["bloom_end"] <= found["bud_set"]
