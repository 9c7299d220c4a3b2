"""From a planting to its water balance, and which young plants are dry on a day.

Soils and root depths: FAO-56, tables 19 and 22 (page read). Container volumes: one
nursery's catalogue (copy). Shares and crowns: common practice, no source.
"""

import datetime as dt
import math

import numpy as np
import pytest

from plants import water
from plants.drawings import WaterBar, water_weeks
from plants.water.new_plants import roots_m

PLANTED = dt.date(2026, 5, 1)


def shrub(size: str = "#3", texture: str = "loam") -> water.NewPlant:
    plant, assumed = water.new_plant(
        kind="shrub", size_text=size, width_m=1.5, texture=texture
    )
    assert assumed == ()
    return plant


def test_a_number_3_container_fills_a_ball_as_deep_as_wide() -> None:
    plant = shrub()
    # 2.4 gal = 9.085 L; d = (4 x 0.009085 / pi) ^ (1/3) = 0.2262 m.
    assert plant.ball_across_m == pytest.approx(0.2262, abs=5e-4)
    assert plant.ball_depth_m == plant.ball_across_m
    # Half as wide again in leaves: pi / 4 x 0.3393^2.
    assert plant.leaves_m2 == pytest.approx(0.0904, abs=3e-4)
    assert (plant.roots_depth_m, plant.roots_across_m) == (0.6, 1.5)
    assert plant.soil is water.soil_of("loam")


@pytest.mark.parametrize(
    ("kind", "deep"),
    # FAO-56, table 22: conifers 1.0 m, berry bushes 0.6 m, turf 0.5 m at least.
    [("tree", 1.0), ("conifer", 1.0), ("rose", 0.6), ("perennial", 0.5)],
)
def test_roots_go_as_deep_as_the_nearest_row_of_table_22(
    kind: str, deep: float
) -> None:
    assert roots_m(kind) == deep


def test_what_nobody_wrote_is_taken_as_usual_and_named() -> None:
    plant, assumed = water.new_plant(
        kind="perennial", size_text="", width_m=None, texture=""
    )
    assert assumed == ("size", "soil", "width")
    usual, nothing = water.new_plant(
        kind="perennial", size_text="#1", width_m=1.2, texture="loam"
    )
    assert (plant, nothing) == (usual, ())
    # Words that say no size are as good as none.
    balled, assumed = water.new_plant(
        kind="shrub", size_text="balled", width_m=1.0, texture="sand"
    )
    assert assumed == ("size",)
    assert balled.ball_across_m == shrub().ball_across_m
    bare, assumed = water.new_plant(
        kind="rose", size_text="bare root", width_m=1.0, texture="clay loam"
    )
    assert (bare.ball_across_m, bare.ball_depth_m, assumed) == (0.30, 0.25, ())


def test_a_plant_of_dry_places_uses_less() -> None:
    thirsty, _ = water.new_plant(
        kind="shrub", size_text="#3", width_m=1, texture="loam"
    )
    frugal, _ = water.new_plant(
        kind="shrub", size_text="#3", width_m=1, texture="loam", likes_dry=True
    )
    assert (thirsty.factor, frugal.factor) == (0.7, 0.5)


def thirst(
    *,
    rain: dict[int, float] | None = None,
    days: int = 20,
    soaked_before: int = 10,
    age_days: int = 200,
    texture: str = "loam",
) -> water.Thirst:
    """After so many days of 5 mm, RAIN in mm by days before the last."""
    day = PLANTED + dt.timedelta(days=age_days)
    fell = np.zeros((days, 1))
    for before, amount in (rain or {}).items():
        fell[days - 1 - before, 0] = amount
    (found,) = water.thirst_on(
        [
            water.Young(
                plant=shrub(texture=texture),
                planted_on=PLANTED,
                soaked_on=day - dt.timedelta(days=soaked_before),
            )
        ],
        day=day,
        et0_mm=np.full((days, 1), 5.0),
        rain_mm=fell,
    )
    return found


def daily(age_days: int) -> float:
    """0.7 x 5 mm over leaves that were 0.3393 m across and widen by 0.3 m a year."""
    return 0.7 * 5 * math.pi / 4 * (0.3393 + 0.3 * age_days / 365) ** 2


def test_a_plant_loses_what_its_leaves_use_from_the_day_after_it_was_soaked() -> None:
    one = thirst(soaked_before=1)
    assert one.lacking_litres == pytest.approx(daily(200), abs=2e-3)
    two = thirst(soaked_before=2)
    assert two.lacking_litres == pytest.approx(daily(199) + daily(200), abs=4e-3)
    assert thirst(soaked_before=0).lacking_litres == 0
    assert not thirst(soaked_before=0).wants_water


def test_a_fresh_root_ball_is_dry_in_days_and_rooted_ground_in_weeks() -> None:
    # The ball of 9.1 L of loam holds 155 mm/m: 1.41 L; a day uses 0.36 L of it.
    fresh = thirst(age_days=30, soaked_before=2)
    assert fresh.wants_water
    assert fresh.dry_days == 1
    assert not thirst(age_days=30, soaked_before=1).wants_water
    rooted = thirst(age_days=200, soaked_before=5)
    assert not rooted.wants_water
    assert thirst(age_days=200, days=60, soaked_before=59).dry_days > 0


def test_a_shower_ends_the_dry_days_and_a_light_one_does_not() -> None:
    dry = thirst(age_days=30, soaked_before=5)
    assert dry.dry_days == 4
    assert thirst(age_days=30, soaked_before=5, rain={0: 0.9}).dry_days == 4
    soaked = thirst(age_days=30, soaked_before=5, rain={0: 60.0})
    assert soaked.dry_days == 0
    assert soaked.lacking_litres == pytest.approx(daily(30), abs=1e-3)
    assert 0 < dry.share_left < soaked.share_left < 1
    assert thirst(age_days=30, soaked_before=5, rain={1: 60.0}).dry_days == 1


def test_no_plants_are_never_dry() -> None:
    assert (
        water.thirst_on(
            [], day=PLANTED, et0_mm=np.zeros((5, 0)), rain_mm=np.zeros((5, 0))
        )
        == []
    )


def test_a_plant_planted_within_the_days_is_dry_only_since_then() -> None:
    day = PLANTED + dt.timedelta(days=3)
    (found,) = water.thirst_on(
        [water.Young(plant=shrub(), planted_on=PLANTED, soaked_on=PLANTED)],
        day=day,
        et0_mm=np.full((60, 1), 5.0),
        rain_mm=np.zeros((60, 1)),
    )
    assert found.dry_days == 1
    assert math.isfinite(found.share_left)


def test_the_picture_tells_its_thirstiest_week_in_words() -> None:
    bars = [
        WaterBar(first=PLANTED + dt.timedelta(days=7 * number), amount=amount)
        for number, amount in enumerate([0.0, 1.5, 0.25])
    ]
    drawn = water_weeks(bars, unit="gal", today=PLANTED + dt.timedelta(days=8))
    assert (
        "The most in a week is 1.5 gal, from 2026-05-08; 1 of 3 weeks want none."
        in drawn
    )
    assert "today" in drawn
    assert "style=" not in drawn
    none = water_weeks([WaterBar(first=PLANTED, amount=0)], unit="L")
    assert "No week wants water." in none
    assert water_weeks([], unit="L") == ""
