"""Frost dates, zones, degree days and the rest from daily records.

What was published of real stations is held in tests/pure/outside.
"""

from collections.abc import Callable
from datetime import date, timedelta
from math import pi, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plants.climate import Climate
from plants.climate.records import (
    DailyRecords,
    Period,
    RecordError,
    autumn_risk,
    day_totals,
    degree_days_of_year,
    frosts_at,
    good_years,
    month_day_of,
    period_of,
    spring_risk,
    station_figures,
    zones_near,
)
from plants.climate.records.days import MISSING, empty_records
from plants.climate.records.frosts import tenths_of_f
from tests.pure.outside.stations import seattle


def made_record(
    first: int,
    last: int,
    low: Callable[[date], float | None],
    *,
    reach: float = 10.0,
) -> DailyRecords:
    """A record whose lows in °C are LOW of the day and whose highs lie REACH over."""
    records = empty_records(first, last)
    for place in range(len(records.tmin)):
        value = low(records.day_at(place))
        if value is not None:
            records.tmin[place] = round(value * 10)
            records.tmax[place] = round((value + reach) * 10)
            records.rain[place] = 20
    return records


def season(day: date) -> float:
    """A smooth northern year: -10 °C in January, 15 in July.

    Its sine stands at 0.2, which is 0 °C, on days 95.8 and 301.7: 6 April, 29 October.
    """
    return 2.5 - 12.5 * sin((day.timetuple().tm_yday + 75) / 365 * 2 * pi)


# --- frost dates -------------------------------------------------------------------


def test_the_ten_percent_spring_date_is_the_late_one_and_the_autumn_one_the_early():
    def low(day: date) -> float:
        # The last spring frost moves a day a year, from 1 to 30 April.
        if day.month == 4 and day.day == day.year - 1990:
            return -1
        return 8 if 3 < day.month < 11 else -5

    found = frosts_at(
        made_record(1990, 2021, low),
        threshold_f=32, southern=False, first_year=1991, last_year=2020,
    )  # fmt: skip
    assert found.spring_date(10) == (4, 27)
    assert found.spring_date(90) == (4, 3)
    # The 15th and 16th of April: the middle, a half day up.
    assert found.spring_date(50) == (4, 16)
    assert found.autumn_date(10) == found.autumn_date(90) == (11, 1)


@pytest.mark.parametrize(
    ("frosty_in_ten", "autumn"),
    [
        (1, {10: (1, 10), 50: None, 90: None}),
        (4, {10: (1, 10), 50: None, 90: None}),
        (6, {10: (1, 10), 50: (1, 10), 90: None}),
        (10, {10: (1, 10), 50: (1, 10), 90: (1, 10)}),
    ],
)
def test_years_without_frost_stay_in_the_count(frosty_in_ten, autumn):
    def low(day: date) -> float:
        is_frost = (day.month, day.day) == (1, 10) and day.year % 10 < frosty_in_ten
        return -3 if is_frost else 12

    found = frosts_at(
        made_record(1990, 2021, low),
        threshold_f=32, southern=False, first_year=1991, last_year=2020,
    )  # fmt: skip
    assert {chance: found.autumn_date(chance) for chance in (10, 50, 90)} == autumn
    assert len(found.autumn) == 30
    assert sum(one.has_frost for one in found.autumn) == frosty_in_ten * 3
    # A winter that holds a new year: the last frost lies in January, too.
    assert found.spring_date(90) == autumn[90]


def test_a_place_without_any_frost_has_no_dates_and_a_season_of_all_year():
    found = frosts_at(
        made_record(1990, 2021, lambda _day: 15),
        threshold_f=32, southern=False, first_year=1991, last_year=2020,
    )  # fmt: skip
    assert [found.spring_date(chance) for chance in (10, 50, 90)] == [None] * 3
    assert found.season_days(50) is None
    assert [one.has_frost for one in found.spring] == [False] * 30


def test_the_risk_of_frost_falls_through_spring_and_rises_through_autumn():
    # Places in the cold season of five years, one of them without frost.
    places = [240, 250, 260, 270, None]
    assert [spring_risk(places, at) for at in (200, 250, 251, 271)] == [
        0.8,
        0.6,
        0.4,
        0,
    ]
    assert [autumn_risk(places, at) for at in (239, 240, 255, 364)] == [
        0,
        0.2,
        0.4,
        0.8,
    ]
    assert month_day_of(0, southern=False) == (8, 1)
    assert month_day_of(0, southern=True) == (2, 1)
    assert month_day_of(364, southern=False) == (7, 31)


def test_a_southern_year_is_the_northern_one_half_a_year_later():
    def south(day: date) -> float:
        return season(day + timedelta(days=184))

    given = {"threshold_f": 32, "first_year": 1995, "last_year": 2015}
    north_found = frosts_at(made_record(1990, 2021, season), southern=False, **given)
    south_found = frosts_at(made_record(1990, 2021, south), southern=True, **given)
    assert north_found.spring_date(50) == (4, 6)
    assert south_found.spring_date(50)[0] == 10
    assert north_found.autumn_date(50) == (10, 29)
    assert south_found.autumn_date(50)[0] == 4
    assert south_found.season_days(50) == pytest.approx(
        north_found.season_days(50), abs=2
    )


def test_a_spring_whose_days_were_not_read_counts_for_nothing():
    def low(day: date) -> float | None:
        # Ten days in May of 2000 are missing, and March to June of 2001.
        if day.year == 2000 and day.month == 5 and day.day <= 9:
            return None
        if day.year == 2001 and 3 <= day.month <= 6:
            return None
        return season(day)

    found = frosts_at(
        made_record(1990, 2021, low),
        threshold_f=32, southern=False, first_year=1991, last_year=2020,
    )  # fmt: skip
    years = {one.year for one in found.spring}
    assert 2000 in years
    assert 2001 not in years
    assert len(found.autumn) == 30


@pytest.mark.parametrize(("warmth_f", "tenths"), [(36, 22), (32, 0), (28, -22)])
def test_a_reading_at_the_threshold_counts_in_fahrenheit_and_in_tenths(
    warmth_f, tenths
):
    # 28 F is kept as -2.2 °C, which is 28.04 F: a bare comparison would lose the day.
    assert tenths_of_f(warmth_f) == tenths
    assert tenths_of_f(warmth_f + 1) > tenths


# --- degree days -------------------------------------------------------------------


@given(st.floats(-40, 120), st.floats(0, 60))
def test_the_sine_is_the_area_of_the_curve(low, reach):
    found = day_totals(np.array([low + reach]), np.array([low]), method="sine")[0]
    # The area over the base by the middles of 200,000 strips; the curve's falling half
    # mirrors the rising one.
    turns = (np.arange(200_000) + 0.5) / 200_000 * pi - pi / 2
    curve = low + reach / 2 + reach / 2 * np.sin(turns)
    assert found == pytest.approx(np.maximum(curve - 50, 0).mean(), abs=1e-6)


def test_a_year_so_far_ends_with_the_last_day_that_was_read():
    records = seattle()
    part = DailyRecords(
        records.first_year, *(getattr(records, one).copy() for one in records_of)
    )
    part.tmax[records.place_of(date(2015, 5, 1)) :] = MISSING
    found = degree_days_of_year(part, 2015)
    assert found.last == date(2015, 4, 30)
    assert found.on(date(2015, 4, 30)) == pytest.approx(166.68, abs=0.005)
    assert found.on(date(2015, 5, 1)) is None
    assert found.reached(166) == date(2015, 4, 30)
    assert found.reached(200) is None
    assert degree_days_of_year(part, 1999).totals == ()


records_of = ("tmax", "tmin", "rain")


def test_a_gap_of_five_days_is_bridged_and_of_six_ends_the_total():
    def holed(days: int) -> DailyRecords:
        def low(day: date) -> float | None:
            gap = (day - date(2021, 6, 1)).days
            return None if 0 <= gap < days else 15.0

        return made_record(2021, 2021, low)

    whole = degree_days_of_year(holed(0), 2021)
    bridged = degree_days_of_year(holed(5), 2021)
    assert (bridged.bridged, bridged.last) == (5, date(2021, 12, 31))
    assert bridged.totals[-1] == pytest.approx(whole.totals[-1])
    assert degree_days_of_year(holed(6), 2021).last == date(2021, 5, 31)


def test_a_southern_growing_year_starts_in_july():
    found = degree_days_of_year(
        made_record(2020, 2021, lambda _day: 15.0), 2020, southern=True
    )
    assert found.first == date(2020, 7, 1)
    assert found.last == date(2021, 6, 30)


# --- zones -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("lowest_f", "zones"),
    [
        (-7.86, ("6a",)),
        (-0.1, ("6b", "7a")),
        (0.0, ("6b", "7a")),
        (0.4, ("6b", "7a")),
        (0.6, ("7a",)),
        (4.6, ("7a", "7b")),
        (-60.0, ("1a",)),
        (64.9, ("13a", "13b")),
        (75.0, ("13b",)),
    ],
)
def test_both_zones_are_shown_within_half_a_degree_of_an_edge(lowest_f, zones):
    assert zones_near(lowest_f) == zones


def test_a_short_record_is_said_to_be_short_and_gives_no_zone():
    found = station_figures(made_record(2001, 2024, season), lat=42)
    assert (found.good_years, found.is_short, found.is_enough) == (24, True, True)
    assert found.hardiness_zones() == ()
    assert found.heat_zone() is None
    assert found.climate_figures()["lowest_c"] is None
    whole = station_figures(made_record(2000, 2024, season), lat=42)
    assert (whole.good_years, whole.is_short) == (25, False)
    assert whole.hardiness_zones() == ("8a",)  # -10 °C is 14 F


def test_nine_years_are_not_enough_for_a_climate():
    found = station_figures(made_record(2010, 2018, season), lat=42)
    assert (found.good_years, found.is_enough) == (9, False)


# --- periods and gaps --------------------------------------------------------------


def test_the_period_is_the_normals_or_the_newest_thirty_years():
    long = made_record(1980, 2024, season)
    assert period_of(long) == Period(1991, 2020)
    assert period_of(long, newest=True) == Period(1995, 2024)
    old = made_record(1940, 2000, season)
    assert period_of(old) == Period(1971, 2000)
    short = made_record(2015, 2024, season)
    assert period_of(short) == Period(2015, 2024)


def test_a_year_with_too_many_holes_is_no_good_year():
    def low(day: date) -> float | None:
        return None if day.year == 2005 and day.month in (7, 8) else season(day)

    assert 2005 not in good_years(made_record(2000, 2010, low))
    assert 2004 in good_years(made_record(2000, 2010, low))


def test_a_gap_in_one_summer_does_not_pull_the_means_down():
    def low(day: date) -> float | None:
        return None if day.year == 2005 and day.month in (7, 8) else season(day)

    whole = station_figures(made_record(1991, 2020, season), lat=42)
    holed = station_figures(made_record(1991, 2020, low), lat=42)
    assert holed.tmax_c == pytest.approx(whole.tmax_c, abs=0.02)
    assert holed.degree_days["average"][-1] == pytest.approx(
        whole.degree_days["average"][-1], rel=0.001
    )
    assert (whole.good_years, holed.good_years) == (30, 29)


def test_days_that_no_year_has_give_no_figures():
    def low(day: date) -> float | None:
        return None if day.month == 2 and day.day < 10 else season(day)

    with pytest.raises(RecordError, match="Some days of the year have no reading"):
        station_figures(made_record(1991, 2020, low), lat=42)


def test_the_climate_reads_what_the_records_give():
    figures = station_figures(made_record(1991, 2020, season), lat=42)
    climate = Climate.from_figures(figures.climate_figures(), lat=42)
    assert climate.method == "daily records 1991-2020, 30 good years"
    assert climate.last_spring(2026) == date(2026, 4, 6)
    assert climate.first_autumn(2026) == date(2026, 10, 29)
    assert climate.tmin_c[0] == pytest.approx(-9.85, abs=0.01)
    assert climate.rain_mm[0] == 62.0
    assert climate.spread_c is not None
