"""A bed's sun through the year and the word for it."""

from datetime import date
from zoneinfo import ZoneInfo

import pytest

from plants.sun import (
    SOLID,
    Crown,
    Place,
    Seasons,
    SunError,
    Thresholds,
    Wall,
    bed_sun,
    in_leaf,
    rectangle,
    sun_days,
)

BED = (rectangle(6, 2),)
LEAFY = Seasons(
    leaf_out=date(2026, 4, 20),
    leaf_fall=date(2026, 10, 25),
    growing=frozenset(range(5, 11)),
    hot=frozenset({6, 7, 8}),
)


def sun(*shades, latitude=40.0, longitude=-75.0, zone="America/New_York", **options):
    return bed_sun(
        **{
            "place": Place(latitude_deg=latitude, longitude_deg=longitude),
            "ground": BED,
            "shades": shades,
            "year": 2026,
            "zone": ZoneInfo(zone),
            "seasons": LEAFY,
            "thresholds": Thresholds(),
            **options,
        }
    )


def test_an_open_bed_is_in_full_sun_with_the_days_that_almanacs_print():
    found = sun()
    assert found.light == "full sun"
    assert [month.day for month in found.months][5] == date(2026, 6, 15)
    # Day lengths at 40 north on 15 June and 15 December, in minutes: 15 h 00, 9 h 21
    # (US Naval Observatory tables, from memory).
    assert found.months[5].total_h * 60 == pytest.approx(900, abs=2)
    assert found.months[11].total_h * 60 == pytest.approx(561, abs=2)
    june = found.months[5]
    assert june.before_noon_h == pytest.approx(june.after_noon_h, abs=0.01)
    assert (june.lit_share, june.least_share, june.most_share) == (1, 1, 1)
    # From two solar hours after noon until sunset.
    assert june.late_h == pytest.approx(june.after_noon_h - 2, abs=1e-9)
    assert found.scorch_h == pytest.approx(5.2, abs=0.3)


def test_the_clock_of_first_and_last_sun_is_the_zones_with_its_summer_time():
    summer, winter = (sun().months[month] for month in (5, 0))
    assert f"{summer.first:%H:%M} {summer.last:%H:%M}" == "05:30 20:30"
    assert f"{winter.first:%H:%M} {winter.last:%H:%M}" == "07:19 16:59"
    place = Place(latitude_deg=40, longitude_deg=-75)
    zone = ZoneInfo("America/New_York")
    days = sun_days(place, [summer.day, winter.day], zone)
    for month, day in zip((summer, winter), days, strict=True):
        assert abs((month.first - day.rise).total_seconds()) < 2
        assert abs((month.last - day.set).total_seconds()) < 2
    assert summer.last.utcoffset().total_seconds() == -4 * 3600
    elsewhere = sun(zone="UTC").months[5]
    assert elsewhere.last == summer.last


def test_a_house_in_the_west_leaves_the_morning_and_makes_part_shade():
    wall = Wall(start=(-3.5, -40), end=(-3.5, 40), height_m=200)
    morning = sun(wall, ground=(rectangle(2, 2, middle=(-2, 0)),))
    assert morning.season_after_noon_h < 0.5
    assert morning.light == "full sun"
    # A hill in the east that takes the early hours leaves less than six.
    hill = Wall(start=(20, -90), end=(20, 90), height_m=9)
    both = sun(wall, hill, ground=(rectangle(2, 2, middle=(-2, 0)),))
    assert 4 < both.season_h < 6
    assert both.light == "part shade"
    turned = sun(
        Wall(start=(3.5, -40), end=(3.5, 40), height_m=200),
        Wall(start=(-20, -90), end=(-20, 90), height_m=9),
        ground=(rectangle(2, 2, middle=(2, 0)),),
    )
    assert turned.season_h == pytest.approx(both.season_h, abs=0.01)
    assert turned.light == "part sun"
    assert turned.scorch_h > 2 > 0.1 > both.scorch_h


def test_a_bed_between_high_walls_is_in_shade_and_says_so_of_every_month():
    around = [Wall(start=(-4, y), end=(4, y), height_m=60) for y in (-2.0, 2.0)] + [
        Wall(start=(x, -2), end=(x, 2), height_m=60) for x in (-4.0, 4.0)
    ]
    found = sun(*around)
    assert found.light == "shade"
    assert all(month.total_h == 0 for month in found.months)
    assert all(month.first is None and month.last is None for month in found.months)


def test_a_tree_takes_less_when_its_leaves_are_down():
    tree = Crown(at=(0, -9), spread_m=12, height_m=14, trunk_gap_m=2)
    leafy = sun(tree).months
    always = sun(tree, seasons=Seasons(growing=LEAFY.growing)).months
    # 15 March lies before leaf-out: the same sun, more of it.
    assert leafy[2].total_h > always[2].total_h + 0.3
    assert leafy[8].total_h == always[8].total_h


def test_leaves_are_out_across_the_new_year_in_the_south():
    out, fall = date(2026, 9, 20), date(2026, 5, 10)
    for day, wanted in (
        (date(2026, 1, 15), True),
        (date(2026, 5, 9), True),
        (date(2026, 5, 10), False),
        (date(2026, 7, 1), False),
        (date(2026, 9, 20), True),
    ):
        assert in_leaf(day, leaf_out=out, leaf_fall=fall) is wanted
    assert in_leaf(date(2026, 1, 15), leaf_out=out, leaf_fall=None)


def test_in_the_south_a_wall_in_the_north_takes_the_winter():
    wall = Wall(start=(-40, 2), end=(40, 2), height_m=3)
    found = sun(wall, latitude=-40, longitude=147, zone="Australia/Hobart").months
    assert found[5].total_h < 0.5
    assert found[11].total_h > 9
    across = Wall(start=(-40, -2), end=(40, -2), height_m=3)
    free = sun(across, latitude=-40, longitude=147, zone="Australia/Hobart").months
    assert free[5].total_h == pytest.approx(free[5].up_h, abs=1e-9)


def test_polar_night_has_no_sun_and_polar_day_has_twenty_four_hours():
    found = sun(latitude=78.2, longitude=15.6, zone="Arctic/Longyearbyen").months
    assert (found[11].total_h, found[11].lit_share, found[11].first) == (0, 0, None)
    assert found[5].total_h == pytest.approx(24, abs=1e-9)
    assert (found[5].last - found[5].first).total_seconds() == 24 * 3600


def test_thresholds_decide_the_word():
    common = Thresholds()
    # Oregon State University extension: over 6, 3 to 6, under 3.
    oregon = Thresholds(full_sun_h=6, part_h=3)
    for hours, after, said, said_there in (
        (6.0, 3, "full sun", "full sun"),
        (5.9, 3, "part sun", "part sun"),
        (5.9, 1.9, "part shade", "part shade"),
        (4.0, 2, "part sun", "part sun"),
        (3.9, 3, "shade", "part sun"),
        (2.9, 2.9, "shade", "shade"),
    ):
        assert common.word(total_h=hours, after_noon_h=after) == said
        assert oregon.word(total_h=hours, after_noon_h=after) == said_there
    with pytest.raises(SunError, match="more hours than part sun"):
        Thresholds(full_sun_h=4, part_h=4)
    with pytest.raises(SunError, match="afternoon"):
        Thresholds(afternoon_h=13)


def test_a_wall_through_the_bed_is_refused():
    with pytest.raises(SunError, match="cannot run through the bed"):
        sun(Wall(start=(-5, 0), end=(5, 0), height_m=2))


def test_without_a_growing_season_the_whole_year_counts():
    found = sun(seasons=Seasons())
    assert found.growing == frozenset(range(1, 13))
    assert found.scorch_h is None
    assert found.season_h == pytest.approx(
        sum(month.total_h for month in found.months) / 12
    )


def test_a_crown_that_lets_nothing_through_is_as_dark_as_a_wall():
    solid = Crown(at=(0, -3), spread_m=40, height_m=40, passing=SOLID)
    months = sun(solid).months
    assert months[5].total_h < sun().months[5].total_h - 3
