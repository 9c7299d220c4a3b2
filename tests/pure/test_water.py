"""Water in the first year: the printed weeks, and the months in which roots rest.

Weeks: University of Minnesota Extension, Watering newly planted trees and shrubs (page
read). Roots active while soil is at about 40 F or more: a Virginia garden column,
godanriver.com (copy). Climate of the Virginia Piedmont: monthly normals of Opal,
plantmaps.com (read); their means by hand are 34.1 (January), 36.5, 44.05, 54.85 (April)
and 56.45 (October), 45.95, 37.8 F (December): December to February lie below 40 F.
"""

import datetime as dt

import pytest

from plants import water
from plants.climate import Climate
from tests.pure.care_gardens import frostless, mirrored, virginia, warmer


def told(
    kind: str,
    planted_on: str,
    climate: Climate,
    *,
    start: str | None = None,
    end: str = "2099-12-31",
) -> list[tuple[str, str, str, bool]]:
    phases = water.first_year(
        kind=kind,
        planted_on=dt.date.fromisoformat(planted_on),
        start=dt.date.fromisoformat(start or planted_on),
        end=dt.date.fromisoformat(end),
        climate=climate,
    )
    return [(str(p.first), str(p.last), p.every, p.is_cold) for p in phases]


def test_roots_rest_from_december_to_february_in_the_virginia_piedmont() -> None:
    here = virginia()
    assert [m for m in range(1, 13) if water.is_cold(here, m)] == [1, 2, 12]
    south = mirrored(here)
    assert [m for m in range(1, 13) if water.is_cold(south, m)] == [6, 7, 8]
    assert not any(water.is_cold(frostless(), m) for m in range(1, 13))


def test_a_month_is_cold_below_the_mean_and_not_at_it() -> None:
    low = list(virginia().tmin_c)
    high = list(virginia().tmax_c)
    low[2], high[2] = 0.0, 9.0
    assert not water.is_cold(virginia(tmin_c=low, tmax_c=high), 3)
    high[2] = 8.99
    assert water.is_cold(virginia(tmin_c=low, tmax_c=high), 3)


def test_a_shrub_of_october_is_watered_daily_for_two_weeks_and_rests_in_winter() -> (
    None
):
    assert told("shrub", "2026-10-12", virginia()) == [
        ("2026-10-13", "2026-10-26", "day", False),
        ("2026-10-27", "2026-11-30", "2-3 days", False),
        ("2026-12-01", "2027-01-04", "2-3 days", True),
        ("2027-01-05", "2027-02-28", "week", True),
        ("2027-03-01", "2027-10-12", "week", False),
    ]


def test_the_first_two_weeks_are_daily_even_where_they_reach_into_the_cold() -> None:
    assert told("tree", "2026-11-25", virginia(), end="2027-03-31") == [
        ("2026-11-26", "2026-12-09", "day", False),
        ("2026-12-10", "2027-02-17", "2-3 days", True),
        ("2027-02-18", "2027-02-28", "week", True),
        ("2027-03-01", "2027-03-31", "week", False),
    ]


def test_a_perennial_of_december_has_its_first_two_weeks_before_it_rests() -> None:
    assert told("perennial", "2026-12-01", virginia()) == [
        ("2026-12-02", "2026-12-15", "2-3 days", False),
        ("2026-12-16", "2026-12-29", "2-3 days", True),
        ("2026-12-30", "2027-02-28", "week", True),
        ("2027-03-01", "2027-04-30", "week", False),
    ]


def test_a_planting_of_spring_is_first_cold_in_its_first_december() -> None:
    assert told("shrub", "2026-04-14", virginia()) == [
        ("2026-04-15", "2026-04-28", "day", False),
        ("2026-04-29", "2026-07-07", "2-3 days", False),
        ("2026-07-08", "2026-11-30", "week", False),
        ("2026-12-01", "2027-02-28", "week", True),
        ("2027-03-01", "2027-04-14", "week", False),
    ]


@pytest.mark.parametrize("climate", [frostless(), warmer(virginia(), 4)])
def test_where_no_month_is_cold_the_printed_weeks_stand_alone(
    climate: Climate,
) -> None:
    assert told("shrub", "2026-10-12", climate) == [
        ("2026-10-13", "2026-10-26", "day", False),
        ("2026-10-27", "2027-01-04", "2-3 days", False),
        ("2027-01-05", "2027-10-12", "week", False),
    ]


def test_south_of_the_equator_the_cold_is_june_to_august() -> None:
    assert told("hedge", "2026-04-14", mirrored(virginia())) == [
        ("2026-04-15", "2026-04-28", "day", False),
        ("2026-04-29", "2026-05-31", "2-3 days", False),
        ("2026-06-01", "2026-07-07", "2-3 days", True),
        ("2026-07-08", "2026-08-31", "week", True),
        ("2026-09-01", "2027-04-14", "week", False),
    ]


def test_only_the_days_asked_for_are_told_and_none_after_a_year() -> None:
    assert told(
        "shrub", "2026-10-12", virginia(), start="2027-01-01", end="2027-03-10"
    ) == [
        ("2027-01-01", "2027-01-04", "2-3 days", True),
        ("2027-01-05", "2027-02-28", "week", True),
        ("2027-03-01", "2027-03-10", "week", False),
    ]
    assert told("shrub", "2026-10-12", virginia(), start="2027-10-13") == []
