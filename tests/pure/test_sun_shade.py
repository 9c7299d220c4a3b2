"""Shade on a bed against closed formulas, mirrors and ten-second steps."""

from math import acos, atan, cos, degrees, radians, sin, tan

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from plants.sun import (
    Crown,
    Passing,
    SunError,
    Wall,
    check_shades,
    direct_sun,
    path_of_declinations,
    rectangle,
)
from tests.pure.outside.shade import BED, FLAT, HERE, mirrored, sun_of, wall_south

# A shadow's edge moves evenly between moments: off by less than a second here.
H = 0.0005


@given(declination=st.floats(-23.4, 23.4), ratio=st.floats(0.05, 1.15))
def test_a_low_wall_in_the_south_leaves_the_hours_of_the_closed_formula(
    declination, ratio
):
    # W3, ratio under cot(latitude): lit while cos(hour angle) is over a figure.
    latitude = radians(40)
    figure = (
        tan(radians(declination))
        * (sin(latitude) + ratio * cos(latitude))
        / (ratio * sin(latitude) - cos(latitude))
    )
    assume(abs(figure) < 0.995)
    rises = degrees(acos(-tan(latitude) * tan(radians(declination)))) / 7.5
    wanted = min(degrees(acos(figure)) / 7.5, rises)
    path = path_of_declinations(40, [declination], step_s=20)
    found = direct_sun(path, HERE, [wall_south(ratio)], **FLAT).total_h[0, 0]
    assert found == pytest.approx(wanted, abs=20 / 3600)


@given(latitude=st.floats(-65, 65), declination=st.floats(-23.44, 23.44))
def test_an_open_bed_is_lit_from_rise_to_set(latitude, declination):
    # W4.
    figure = -tan(radians(latitude)) * tan(radians(declination))
    assume(abs(figure) < 1)
    wanted = degrees(acos(figure)) / 7.5
    found = sun_of(latitude, declination)
    assert found.total_h[0, 0] == pytest.approx(wanted, abs=5 / 60)
    assert (found.last_s - found.first_s)[0] / 3600 == pytest.approx(wanted, abs=5 / 60)
    assert found.up_h[0] == pytest.approx(found.total_h[0, 0], abs=1e-9)


coordinates = st.floats(-30, 30)
heights = st.floats(0.3, 25)


@st.composite
def walls(draw):
    start = (draw(coordinates), draw(coordinates))
    end = (draw(coordinates), draw(coordinates))
    assume(abs(start[0] - end[0]) + abs(start[1] - end[1]) > 0.5)
    return Wall(start=start, end=end, height_m=draw(heights))


@st.composite
def crowns(draw):
    height = draw(st.floats(1, 25))
    return Crown(
        at=(draw(coordinates), draw(coordinates)),
        spread_m=draw(st.floats(0.5, 15)),
        height_m=height,
        trunk_gap_m=height * draw(st.floats(0, 0.8)),
        passing=Passing(in_leaf=draw(st.floats(0, 1)), bare=1),
    )


scenes = st.lists(walls() | crowns(), max_size=5)
latitudes = st.floats(-70, 70)
declinations = st.floats(-23.44, 23.44)


@given(latitude=latitudes, declination=declinations, shades=scenes)
def test_a_scene_in_the_mirror_swaps_morning_and_afternoon(
    latitude, declination, shades
):
    # W5 for any scene.
    path = path_of_declinations(latitude, [declination])
    here = direct_sun(path, BED, shades)
    there = direct_sun(
        path, [(-x, y) for x, y in BED], [mirrored(shade) for shade in shades]
    )
    assert here.before_noon_h == pytest.approx(there.after_noon_h, abs=1e-9)
    assert here.after_noon_h == pytest.approx(there.before_noon_h, abs=1e-9)


@given(latitude=latitudes, declination=declinations, shades=scenes)
def test_morning_and_afternoon_are_the_whole_day(latitude, declination, shades):
    path = path_of_declinations(latitude, [declination])
    found = direct_sun(path, BED, shades)
    whole = found.before_noon_h + found.after_noon_h
    assert np.abs(found.total_h - whole).max() < 1e-9
    assert (found.total_h <= found.up_h + 1e-9).all()
    assert (found.late_h <= found.after_noon_h + 1e-9).all()
    assert (found.total_h >= 0).all()


@given(
    latitude=latitudes,
    declination=declinations,
    wall=walls(),
    others=scenes,
    taller=st.floats(1, 3),
)
def test_a_taller_wall_never_adds_sun(latitude, declination, wall, others, taller):
    # W6.
    grown = Wall(start=wall.start, end=wall.end, height_m=wall.height_m * taller)
    _never_adds(latitude, declination, [wall, *others], [grown, *others])


@given(
    latitude=latitudes,
    declination=declinations,
    crown=crowns(),
    others=scenes,
    wider=st.floats(1, 3),
    fewer=st.floats(0, 1),
)
def test_a_wider_or_thicker_crown_never_adds_sun(
    latitude, declination, crown, others, wider, fewer
):
    # W6.
    grown = Crown(
        at=crown.at,
        spread_m=crown.spread_m * wider,
        height_m=crown.height_m,
        trunk_gap_m=crown.trunk_gap_m,
        passing=Passing(in_leaf=crown.passing.in_leaf * fewer, bare=1),
    )
    _never_adds(latitude, declination, [crown, *others], [grown, *others])


@given(
    latitude=latitudes, declination=declinations, shades=scenes, more=walls() | crowns()
)
def test_one_thing_more_never_adds_sun(latitude, declination, shades, more):
    _never_adds(latitude, declination, shades, [*shades, more])


def _never_adds(latitude, declination, before, after):
    path = path_of_declinations(latitude, [declination])
    less, more = (direct_sun(path, BED, shades) for shades in (before, after))
    assert (more.before_noon_h <= less.before_noon_h + 1e-9).all()
    assert (more.after_noon_h <= less.after_noon_h + 1e-9).all()


def test_a_bare_crown_lets_through_its_share_and_no_more():
    over = Crown(
        at=(0, 0),
        spread_m=400,
        height_m=400,
        passing=Passing(in_leaf=0.2, bare=0.6),
    )
    path = path_of_declinations(40, [20, 20])
    found = direct_sun(path, HERE, [over], leaves=[True, False], **FLAT)
    summer, winter = found.total_h[0]
    up = found.up_h[0]
    # A crown that rests on the spot hides every part of the sky.
    assert summer / up == pytest.approx(0.2, abs=0.001)
    assert winter / up == pytest.approx(0.6, abs=0.001)
    # In leaf it is no direct sun by the clock, bare it is.
    assert found.last_s[1] - found.first_s[1] > 13 * 3600


def test_the_sun_comes_in_under_a_high_crown_and_not_under_a_low_one():
    low, high = (
        Crown(
            at=(-6, 0),
            spread_m=8,
            height_m=12,
            trunk_gap_m=gap,
            passing=Passing(in_leaf=0, bare=0),
        )
        for gap in (0, 5)
    )
    under_low, under_high = (sun_of(40, 0, tree) for tree in (low, high))
    assert under_low.after_noon_h[0, 0] < under_high.after_noon_h[0, 0] - 0.5
    # It sets under the high crown: the last sun is the horizon's.
    assert under_high.last_s[0] == pytest.approx(18 * 3600, abs=2)


def test_beside_the_end_of_a_wall_the_sun_shines_past_it():
    # At the equinox the sun stands in the west as it sets and in the south-west while
    # tan(azimuth from the south) is 1: a wall from the west to the north-west of the
    # spot hides only what is past the west, which is under the horizon.
    behind = Wall(start=(-5, 0.01), end=(-5, 5), height_m=30)
    assert sun_of(40, 0, behind).total_h[0, 0] == pytest.approx(12, abs=H)
    # From the west to the south-west it hides the sun from the hour angle on at which
    # tan(H) = sin(latitude).
    before = Wall(start=(-5, 0.01), end=(-5, -5), height_m=1000)
    hours = degrees(atan(sin(radians(40)))) / 15
    assert sun_of(40, 0, before).after_noon_h[0, 0] == pytest.approx(hours, abs=0.01)


@pytest.mark.parametrize("height", [0, -1, 1001, float("nan")])
def test_a_wall_without_a_height_is_refused(height):
    with pytest.raises(SunError, match="height of a wall"):
        Wall(start=(0, 1), end=(1, 1), height_m=height)


def test_a_tree_that_is_all_trunk_is_refused():
    assert Crown(at=(0, 5), spread_m=3, height_m=5, trunk_gap_m=4.9).half_height_m > 0
    with pytest.raises(SunError, match="clear trunk"):
        Crown(at=(0, 5), spread_m=3, height_m=5, trunk_gap_m=5)
    with pytest.raises(SunError, match="spread of a crown"):
        Crown(at=(0, 5), spread_m=0, height_m=5)


def test_more_sun_than_there_is_cannot_come_through():
    with pytest.raises(SunError, match="between 0 and 1"):
        Passing(in_leaf=0.2, bare=1.2)


def test_a_wall_through_the_bed_is_refused_and_one_along_its_edge_is_taken():
    ground = (rectangle(6, 2),)
    along = Wall(start=(-3, 1), end=(3, 1), height_m=2)
    past_its_end = Wall(start=(3.0, 5), end=(3.0, -5), height_m=2)
    check_shades(
        ground, [along, past_its_end, Crown(at=(0, 0), spread_m=2, height_m=3)]
    )
    for through in (
        Wall(start=(-5, 0), end=(5, 0), height_m=2),
        Wall(start=(0, 0), end=(0.5, 0.5), height_m=2),
        Wall(start=(2, 0.5), end=(9, 9), height_m=2),
    ):
        with pytest.raises(SunError, match="cannot run through the bed"):
            check_shades(ground, [through])
