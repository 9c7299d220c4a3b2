"""Climate from monthly means: frost, warmth, zones and the turns of the year."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plants.climate import (
    Climate,
    ClimateError,
    hardiness_zone,
    heat_zone,
)
from plants.climate.lines import MONTH_DAYS, MONTH_STARTS, year_line
from tests.pure.care_gardens import frostless, mirrored, virginia, warmer


def test_without_scatter_a_cold_month_gives_no_degree_days():
    # Opal, Virginia, March: mean 44.05 F, under the base of 50 F.
    still = virginia(spread_c=[0] * 12)
    assert still.degree_days(date(2025, 3, 20)) == 0
    assert virginia().degree_days(date(2025, 3, 20)) == pytest.approx(25, abs=8)


def test_a_total_is_reached_on_the_first_day_that_holds_it():
    climate = virginia()
    day = climate.degree_days_reached(234, 2025)  # common lilac, Ohio State (memory)
    assert day == date(2025, 5, 1)
    assert climate.degree_days(day) >= 234
    assert climate.degree_days(date(2025, 4, 30)) < 234
    assert climate.degree_days_reached(99_999, 2025) is None


def test_a_leap_day_adds_no_degree_days():
    climate = virginia()
    assert climate.degree_days(date(2028, 2, 29)) == climate.degree_days(
        date(2028, 2, 28)
    )
    assert climate.degree_days(date(2028, 6, 1)) == climate.degree_days(
        date(2027, 6, 1)
    )


@given(st.lists(st.floats(-20, 35), min_size=12, max_size=12))
def test_the_daily_line_keeps_every_monthly_mean(months):
    line = year_line(tuple(months))
    assert len(line) == 365
    for month, (start, days) in enumerate(zip(MONTH_STARTS, MONTH_DAYS, strict=True)):
        assert sum(line[start : start + days]) / days == pytest.approx(
            months[month], abs=0.05
        )


def test_the_turns_of_a_virginia_year():
    # No published dates: the days on which the given means cross 5.5 and 10 °C.
    climate = virginia()
    assert climate.bud_swell(2026) == date(2026, 3, 10)
    assert climate.leaf_out(2026) == date(2026, 4, 2)
    assert climate.leaf_fall(2026) == date(2026, 11, 3)
    assert climate.dormancy(2026) == date(2026, 11, 30)
    assert climate.mean_c(date(2026, 4, 2)) >= 10 > climate.mean_c(date(2026, 4, 1))


def test_frost_dates_and_the_season_between_them():
    climate = virginia()
    assert climate.last_spring(2026) == date(2026, 4, 25)
    assert climate.last_spring(2026, 10) == date(2026, 5, 8)
    assert climate.last_spring(2026, 90) == date(2026, 4, 12)
    assert climate.first_autumn(2026) == date(2026, 10, 26)
    season = climate.growing_season(2026)
    assert season is not None
    assert (season.first, season.last) == (date(2026, 4, 26), date(2026, 10, 25))
    assert season.days == 183


def test_the_ten_percent_spring_date_is_the_late_one():
    # NCEI normals: a spring chance is that of a freeze on that date or later.
    with pytest.raises(ClimateError, match="10 % date is the late one"):
        virginia(last_spring_frost={10: (4, 2), 50: (4, 15), 90: (4, 28)})
    # Ashland, Virginia: 90 / 50 / 10 % on 2 / 15 / 28 April (State Climatology Office).
    climate = virginia(last_spring_frost={10: (4, 28), 50: (4, 15), 90: (4, 2)})
    assert climate.last_spring(2026, 10) == date(2026, 4, 28)


def test_the_ten_percent_autumn_date_is_the_early_one():
    # Milwaukee 1991-2020, computed from GHCN-Daily: 6 Oct, 23 Oct, 8 Nov.
    climate = virginia(
        first_autumn_frost={10: (10, 6), 50: (10, 23), 90: (11, 8)},
    )
    assert climate.first_autumn(2026, 90) == date(2026, 11, 8)
    with pytest.raises(ClimateError, match="10 % date is the early one"):
        virginia(first_autumn_frost={10: (11, 8), 50: (10, 23), 90: (10, 6)})


def test_a_mild_place_says_that_it_has_no_frost():
    mild = frostless()
    assert mild.first_autumn(2026) is None
    assert mild.last_spring(2026) is None
    assert mild.growing_season(2026) is None
    assert mild.leaf_fall(2026) is None
    assert mild.dormancy(2026) is None
    said = mild.says()
    assert said[0].startswith("No autumn frost in most years")
    assert said[1].startswith("No spring frost in most years")
    assert virginia().says() == ()


def test_a_mild_winters_frost_falls_beside_the_right_spring():
    # One winter in ten there: first frost 20 December, last 20 January.
    mild = frostless()
    assert mild.first_autumn(2026, 10) == date(2026, 12, 20)
    assert mild.last_spring(2026, 10) == date(2026, 1, 20)
    early = virginia(
        tmin_c=[2] * 12,
        tmax_c=[12, 13, 15, 18, 21, 24, 26, 26, 24, 20, 16, 13],
        last_spring_frost={10: (2, 1), 50: (1, 5), 90: (12, 20)},
        first_autumn_frost={10: (11, 25), 50: (12, 10), 90: (1, 2)},
    )
    assert early.last_spring(2026, 90) == date(2025, 12, 20)
    assert early.first_autumn(2026, 90) == date(2027, 1, 2)


def test_a_place_without_seasons_hangs_nothing_on_spring():
    even = virginia(
        tmin_c=[22] * 12,
        tmax_c=[30] * 12,
        last_spring_frost={},
        first_autumn_frost={},
        lat=5,
    )
    assert even.leaf_out(2026) is None
    assert even.bud_swell(2026) is None
    assert "too alike" in " ".join(even.says())


def test_a_southern_year_is_the_northern_one_half_a_year_on():
    south = mirrored(virginia())
    assert south.southern
    assert south.last_spring(2026) == date(2026, 10, 25)
    assert south.first_autumn(2026) == date(2027, 4, 26)
    assert abs((south.leaf_out(2026) - date(2026, 10, 2)).days) <= 3
    assert abs((south.leaf_fall(2026) - date(2027, 5, 3)).days) <= 3
    assert south.midsummer(2026) == date(2026, 12, 21)
    assert south.year_of(date(2027, 3, 1)) == 2026
    assert south.year_of(date(2026, 7, 1)) == 2026
    # Degree days run from 1 July; a southern February is three days shorter than the
    # August it mirrors.
    assert south.degree_days(date(2026, 7, 1)) < 1
    assert south.degree_days(date(2027, 6, 30)) == pytest.approx(
        virginia().degree_days(date(2026, 12, 31)), rel=0.015
    )


@given(st.floats(0.5, 4))
def test_a_warmer_place_leafs_out_earlier_and_keeps_its_leaves_longer(kelvin):
    here, there = virginia(), warmer(virginia(), kelvin)
    assert there.leaf_out(2026) < here.leaf_out(2026)
    assert there.leaf_fall(2026) > here.leaf_fall(2026)
    assert there.degree_days(date(2026, 6, 1)) > here.degree_days(date(2026, 6, 1))


# USDA half-zones of 5 F from -60 (permawiki copy; two further pages agree on the ends).
@pytest.mark.parametrize(
    ("lowest_f", "zone"),
    [
        (-60, "1a"),
        (-55, "1b"),
        (-0.1, "6b"),
        (0, "7a"),
        (4.9, "7a"),
        (5, "7b"),
        (20, "9a"),
        (64.9, "13a"),
        (65, "13b"),
        (69.9, "13b"),
        (-70, "1a"),
        (75, "13b"),
    ],
)
def test_hardiness_half_zones(lowest_f, zone):
    assert hardiness_zone(lowest_f) == zone


@pytest.mark.parametrize(
    ("lowest_f", "zone"),
    # Computed from GHCN-Daily: Milwaukee -7.9 F, Central Park 7.6 F.
    [(-7.9, "6a"), (7.6, "7b"), (0, "7a")],
)
def test_a_climates_zone_comes_from_its_mean_yearly_lowest(lowest_f, zone):
    assert virginia(lowest_c=(lowest_f - 32) * 5 / 9).hardiness_zone() == zone
    assert virginia(lowest_c=None).hardiness_zone() is None


# American Horticultural Society scale, decimal bands: a mean of 30.4 days is zone 5.
@pytest.mark.parametrize(
    ("days", "zone"),
    [
        (0, 1),
        (0.9, 1),
        (1, 2),
        (7, 2),
        (7.1, 3),
        (14, 3),
        (18.9, 4),  # Milwaukee
        (30, 4),
        (30.4, 5),
        (32.8, 5),  # Central Park
        (45, 5),
        (60, 6),
        (90, 7),
        (120, 8),
        (150, 9),
        (180, 10),
        (210, 11),
        (210.1, 12),
    ],
)
def test_heat_zones(days, zone):
    assert heat_zone(days) == zone
    assert virginia(heat_days=days).heat_zone() == zone


def test_equal_figures_make_equal_climates():
    assert virginia() == virginia()
    assert hash(virginia()) == hash(virginia())
    assert virginia() != virginia(lat=38.7)


def test_figures_kept_as_json_come_back_the_same():
    stored = {
        "tmin_c": list(virginia().tmin_c),
        "tmax_c": list(virginia().tmax_c),
        "rain_mm": list(virginia().rain_mm),
        "last_spring_frost": {"10": [5, 8], "50": [4, 25], "90": [4, 12]},
        "first_autumn_frost": {"10": [10, 13], "50": [10, 26], "90": [11, 8]},
        "lowest_c": -16.4,
        "method": "typed",
    }
    assert Climate.from_figures(stored, lat=38.6) == virginia()
    with pytest.raises(ClimateError, match="rain: twelve months are needed, not None"):
        Climate.from_figures({**stored, "rain_mm": None}, lat=38.6)
    del stored["first_autumn_frost"]
    with pytest.raises(ClimateError, match="first_autumn_frost"):
        Climate.from_figures(stored, lat=38.6)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"tmin_c": [0] * 11}, "mean lows: twelve months are needed, not 11"),
        ({"tmin_c": [40] * 12}, "the mean low 40.0 °C is over the mean high"),
        ({"rain_mm": [-1] * 12}, "rain, month 1: -1 is not between 0 and 3000"),
        ({"tmax_c": [float("nan")] * 12}, "mean highs, month 1"),
        ({"lat": 95}, "latitude 95"),
        ({"lowest_c": -90}, "mean yearly lowest -90"),
        ({"heat_days": 400}, "heat days 400"),
        ({"last_spring_frost": {50: (2, 30)}}, "is not a month and a day"),
        ({"last_spring_frost": {25: (4, 1)}}, "chances are 10, 50 and 90 %"),
        ({"last_spring_frost": {}}, "has frost: give the 50 % last spring frost"),
        ({"first_autumn_frost": {}}, "has frost: give the 50 % first autumn frost"),
        ({"first_autumn_frost": {50: (5, 1)}}, "its winter"),
    ],
)
def test_impossible_figures_are_refused_with_the_figure_named(changes, message):
    with pytest.raises(ClimateError, match=message):
        virginia(**changes)
