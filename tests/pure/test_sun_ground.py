"""The ground of beds: outlines, spots, what lies inside."""

from math import hypot, pi

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from plants.sun import (
    SunError,
    area_m2,
    circle,
    holds,
    reach,
    rectangle,
    row_of,
    runs_through,
    spots,
)

L_SHAPE = (((0, 0), (6, 0), (6, 1), (1, 1), (1, 4), (0, 4)),)
HORSESHOE = (((0, 0), (9, 0), (9, 6), (8, 6), (8, 1), (1, 1), (1, 6), (0, 6)),)


def test_the_spots_of_a_rectangle_lie_like_the_middles_of_a_chessboard():
    found = spots((rectangle(3, 3),))
    wanted = {(x, y) for x in (-1, 0, 1) for y in (-1, 0, 1)}
    assert len(found) == 9
    for x, y in found:
        assert min(hypot(x - a, y - b) for a, b in wanted) < 1e-3


def test_a_long_bed_has_its_spots_along_its_length():
    assert {round(y, 3) for _x, y in spots((rectangle(20, 1),))} == {0.0}
    assert len({round(x, 3) for x, _y in spots((rectangle(20, 1),))}) == 9
    # Length along 0 degrees runs north.
    assert {round(x, 3) for x, _y in spots((rectangle(20, 1, bearing_deg=0),))} == {0.0}
    assert len(spots((rectangle(6, 2),))) == 8


@pytest.mark.parametrize("ground", [L_SHAPE, HORSESHOE, (circle(5),)])
def test_the_spots_of_any_bed_lie_inside_it(ground):
    found = spots(ground)
    assert 4 <= len(found) <= 9
    assert len(set(found)) == len(found)
    assert all(holds(ground, spot) for spot in found)


@given(
    corners=st.lists(
        st.tuples(st.floats(-20, 20), st.floats(-20, 20)), min_size=3, max_size=7
    )
)
def test_the_spots_of_any_simple_outline_lie_inside_it(corners):
    ground = (tuple(corners),)
    try:
        found = spots(ground)
    except SunError:
        return
    assume(area_m2(ground) > 1)
    assert 4 <= len(found) <= 9
    inside = sum(holds(ground, spot) for spot in found)
    # An outline that touches itself may put one on its own edge.
    assert inside >= len(found) - 1


def test_an_outline_that_comes_to_one_corner_twice_is_refused():
    triangle = ((0.0, 2.0), (0.0, 0.0), (3.0, 0.0))
    assert len(spots((triangle,))) >= 4
    for ring in (triangle * 2, (*triangle, triangle[0])):
        with pytest.raises(SunError, match="one corner twice"):
            spots((ring,))


def test_pieces_lie_end_to_end_and_each_has_spots():
    ground = row_of([(4, 2), (2, 1), (3, 2)])
    assert area_m2(ground) == pytest.approx(16)
    assert reach(ground, 90) == pytest.approx(4.5)
    xs = [x for x, _y in spots(ground)]
    assert min(xs) < -0.5
    assert max(xs) > 1.5
    assert all(holds(ground, spot) for spot in spots(ground))


def test_a_round_bed_has_the_area_of_its_circle():
    assert area_m2((circle(5),)) == pytest.approx(pi * 6.25)


def test_a_bed_reaches_as_far_as_its_corners():
    ground = (rectangle(6, 2, bearing_deg=90),)
    assert reach(ground, 0) == pytest.approx(1)
    assert reach(ground, 90) == pytest.approx(3)
    assert reach(ground, 45) == pytest.approx(4 / 2**0.5)
    turned = (rectangle(6, 2, bearing_deg=45),)
    assert reach(turned, 45) == pytest.approx(3)


def test_what_is_no_piece_of_ground_is_refused():
    for ground, why in (
        ((((0, 0), (1, 1)),), "three corners"),
        ((((0, 0), (1, 1), (2, 2)),), "enclose no ground"),
        ((((0, 0), (5, 5), (5, 0), (0, 4)),), "crosses itself"),
        ((((0, 0), (float("nan"), 1), (2, 0)),), "out of reach"),
        ((), "three corners"),
    ):
        with pytest.raises(SunError, match=why):
            spots(ground)
    with pytest.raises(SunError, match="length and a width"):
        rectangle(0, 2)
    with pytest.raises(SunError, match="size over nothing"):
        circle(-1)


def test_a_line_runs_through_a_bed_only_when_it_enters_it():
    assert runs_through(L_SHAPE, (-1, 0.5), (7, 0.5))
    assert runs_through(L_SHAPE, (0.2, 0.2), (0.4, 0.2))
    # Across the open corner of the L.
    assert not runs_through(L_SHAPE, (3, 1.5), (3, 4))
    assert not runs_through(L_SHAPE, (1, 1), (1, 4))
    assert not runs_through(L_SHAPE, (0, -1), (6, -1))
    assert not runs_through(HORSESHOE, (4, 2), (4, 9))
