"""Shadows on the ground, and where a bed's edge lies."""

from datetime import UTC, datetime
from math import hypot, tan

import pytest

from plants.drawings import SunMonth, clock_words, span_words, sun_chart
from plants.sun import (
    Crown,
    Moment,
    Place,
    Wall,
    circle,
    edge,
    moment,
    rectangle,
    shadow,
)

# The sun 45 degrees high in the south: shadows are as long as things are high.
SOUTH = Moment(elevation_deg=45, azimuth_deg=180, reached=())


def test_a_wall_throws_a_shadow_as_long_as_it_is_high_at_forty_five_degrees():
    wall = Wall(start=(-2, -3), end=(2, -3), height_m=3)
    found = shadow(wall, SOUTH)
    wanted = ((-2, -3), (2, -3), (2, 0), (-2, 0))
    for (x, y), (a, b) in zip(found, wanted, strict=True):
        assert (x, y) == pytest.approx((a, b), abs=1e-9)


def test_a_round_crown_throws_a_shadow_stretched_by_the_light():
    # A ball of 2 m over a trunk of 3 m: middle at 4 m, so 4 m to the north, and as
    # long as the ball is wide over sin 45.
    ball = Crown(at=(0, 0), spread_m=2, height_m=5, trunk_gap_m=3)
    ring = shadow(ball, SOUTH)
    norths = [y for _x, y in ring]
    assert max(norths) == pytest.approx(4 + 2**0.5)
    assert min(norths) == pytest.approx(4 - 2**0.5)
    assert max(x for x, _y in ring) == pytest.approx(1)


def test_a_low_sun_throws_no_shadow_that_ends_in_a_garden():
    wall = Wall(start=(-2, -3), end=(2, -3), height_m=3)
    assert shadow(wall, Moment(elevation_deg=0.5, azimuth_deg=90, reached=())) == ()


def test_a_spot_is_hidden_exactly_where_the_shadow_lies():
    place = Place(latitude_deg=40, longitude_deg=0)
    at = datetime(2026, 12, 15, 12, tzinfo=UTC)
    wall = Wall(start=(-50, -1), end=(50, -1), height_m=2)
    found = moment(place, at, [(0, 0)], [])
    length = 2 / tan(found.elevation_deg * 3.141592653589793 / 180)
    spots = [(0, -1 + length * share) for share in (0.5, 0.99, 1.03, 2)]
    found = moment(place, at, spots, [wall])
    assert found.reached == (False, False, True, True)
    assert 26 < found.elevation_deg < 28
    night = datetime(2026, 12, 15, 0, tzinfo=UTC)
    assert moment(place, night, spots, []).reached == (False,) * 4


def test_the_edge_of_a_bed_lies_where_a_line_from_its_middle_leaves_it():
    ground = (rectangle(6, 2),)
    assert edge(ground, 0) == pytest.approx(1)
    assert edge(ground, 90) == pytest.approx(3)
    assert edge(ground, 45) == pytest.approx(hypot(1, 1))
    assert edge((circle(4),), 30) == pytest.approx(2, abs=0.03)


def test_the_chart_says_every_month_in_words():
    june = SunMonth(
        label="Jun",
        before_noon_h=3.04,
        after_noon_h=1.55,
        up_h=15,
        first_h=7 + 20 / 60,
        last_h=25.5,
    )
    never = SunMonth(
        label="Dec",
        before_noon_h=0,
        after_noon_h=0,
        up_h=9,
        first_h=None,
        last_h=None,
    )
    assert clock_words(25.5) == "01:30"
    assert (span_words(june), span_words(never)) == ("07:20–01:30", "")
    drawn = sun_chart([june, never])
    assert "Jun: 3.0 h before and 1.6 h after noon, 07:20–01:30" in drawn
    assert "Dec: no direct sun" in drawn
