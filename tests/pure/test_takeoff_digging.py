"""Holes, spoil, edging, spares and stakes, against handbook figures and arithmetic.

Widths of holes: University of Florida IFAS, at least 1.5 times the ball; University of
Nebraska-Lincoln Extension, twice, only as deep as the roots (both pages read). Spares
of 5 to 10 %, bulking, edging waste, stakes and bags by the trunk: common practice, no
source; so they are checked for their arithmetic alone.
"""

from decimal import Decimal

import pytest

from firm.units import Display
from jobs.takeoff import Circle, Outline, Rectangle, TakeoffError, backfill, perimeter_m
from jobs.takeoff.digging import (
    Ball,
    bags_for,
    displaced,
    edging,
    holes,
    loosened,
    spares,
    stakes_for,
)

US, METRIC = Display("us"), Display("metric")
FOOT = Decimal("0.3048")
BALL = Ball(label="Oak", count=1, across_m=24 * FOOT / 12, depth_m=16 * FOOT / 12)


@pytest.mark.parametrize(
    ("times", "cubic_feet"),
    # A ball of 24 in, 16 in deep: holes in cu ft; the ball 4.189 (arithmetic).
    [("2", "16.755"), ("3", "37.699"), ("1.5", "9.425")],
)
def test_a_hole_is_as_many_times_as_wide_as_the_ball(
    times: str, cubic_feet: str
) -> None:
    hole = holes(BALL, hole_times=Decimal(times), display=US)
    assert round(hole.in_unit("cu ft"), 3) == Decimal(cubic_feet)
    assert f"24 in × {times} ÷ 2" in hole.formula
    ball = displaced(BALL, display=US)
    assert round(ball.in_unit("cu ft"), 3) == Decimal("4.189")
    around = backfill(
        ball_m=BALL.across_m,
        ball_depth_m=BALL.depth_m,
        hole_times=Decimal(times),
        display=US,
    )
    # What is dug is what goes back and what the ball takes the place of.
    assert round(hole.value - ball.value - around.value, 9) == 0


def test_dug_soil_takes_more_room() -> None:
    ten = Ball(label="Oak", count=10, across_m=BALL.across_m, depth_m=BALL.depth_m)
    bank = displaced(ten, display=US)
    loose = loosened(bank, bulking_percent=Decimal(25), display=US)
    # 41.888 cu ft are 1.551 cu yd, a quarter more 1.939 (arithmetic).
    assert round(bank.value, 3) == Decimal("1.551")
    assert round(loose.value, 3) == Decimal("1.939")
    assert loose.formula == "1.551 cu yd in the ground + 25 % loose = 1.939 cu yd"


def test_edging_runs_around_a_bed_with_what_is_cut_off() -> None:
    bed = Rectangle(length_m=30 * FOOT, width_m=8 * FOOT)
    found = edging(bed, waste_percent=Decimal(5), display=US)
    assert found.formula == "76 ft around + 5 % = 79.80 ft"
    assert round(edging(bed, waste_percent=Decimal(5), display=METRIC).value, 3) == (
        Decimal("24.323")
    )
    circle = perimeter_m(Circle(diameter_m=12 * FOOT)) / FOOT
    assert round(circle, 3) == Decimal("37.699")
    triangle = ((0, 0), (4, 0), (0, 3))
    outline = Outline(corners=tuple((Decimal(x), Decimal(y)) for x, y in triangle))
    assert perimeter_m(outline) == 12


def test_spares_are_whole_plants() -> None:
    found = spares(333, percent=Decimal(5), label="Plugs", display=US)
    assert (found.count, found.exact) == (17, Decimal("16.65"))
    assert found.formula == "Plugs: 333 × 5 % = 16.65, so 17 more"
    assert spares(20, percent=Decimal(5), label="Plugs", display=US).count == 1


def test_thicker_trunks_take_more_stakes_and_bags() -> None:
    trunks = (None, Decimal(1), Decimal(2), Decimal("2.5"), Decimal(4))
    assert [stakes_for(trunk) for trunk in trunks] == [2, 2, 2, 3, 3]
    assert [bags_for(trunk) for trunk in trunks] == [1, 1, 1, 1, 2]


def test_what_nobody_digs_or_orders_is_refused() -> None:
    with pytest.raises(TakeoffError, match="at most five times"):
        holes(BALL, hole_times=Decimal(1), display=US)
    with pytest.raises(TakeoffError, match="Spares lie"):
        spares(3, percent=Decimal(101), label="x", display=US)
    with pytest.raises(TakeoffError, match="more room"):
        loosened(displaced(BALL, display=US), bulking_percent=Decimal(-1), display=US)
    with pytest.raises(TakeoffError, match="cut off"):
        edging(Circle(diameter_m=Decimal(2)), waste_percent=Decimal(-1), display=US)
