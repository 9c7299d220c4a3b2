"""Shade on a bed: rows W1 to W6, which follow from closed formulas and from mirrors.

The formulas are our own derivation; they know no bent light. Rows of random scenes
print the worst of them; `tests/pure/test_sun_shade.py` looks for worse ones.
"""

from datetime import UTC
from functools import cache
from math import acos, atan, cos, degrees, radians, tan

import numpy as np

from plants.sun import (
    ENDLESS_M,
    EVERGREEN,
    SOLID,
    Crown,
    Passing,
    Place,
    Wall,
    circle,
    direct_sun,
    month_days,
    path_of_declinations,
    rectangle,
    spots,
    sun_path,
)
from tests.pure.outside.rows import Check

FORMULA = "closed formula"
MIRROR = "mirror of the same scene"
GOALS = "goal of accuracy, ten-second steps"
FLAT = {"horizon_deg": 0.0}
HERE = [(0.0, 0.0)]
BED = spots((rectangle(6, 3),))
# A shadow's edge moves evenly between moments: off by less than two seconds here.
HOURS = "0.0005"


def wall_south(ratio):
    return Wall(start=(-ENDLESS_M, -1), end=(ENDLESS_M, -1), height_m=ratio)


def wall_west(ratio):
    return Wall(start=(-1, -ENDLESS_M), end=(-1, ENDLESS_M), height_m=ratio)


def wall_east(ratio):
    return Wall(start=(1, ENDLESS_M), end=(1, -ENDLESS_M), height_m=ratio)


def sun_of(latitude, declination, *shades, **options):
    path = path_of_declinations(latitude, [declination])
    return direct_sun(path, HERE, shades, **{**FLAT, **options})


def towards_the_sun(latitude: float, ratio: float) -> float:
    """Hours at the equinox behind an endless wall on the side of the noon."""
    wall = wall_south(ratio)
    if latitude < 0:
        wall = Wall(start=(-ENDLESS_M, 1), end=(ENDLESS_M, 1), height_m=ratio)
    return float(sun_of(latitude, 0, wall).total_h[0, 0])


def mirrored(shade):
    if isinstance(shade, Wall):
        return Wall(
            start=(-shade.start[0], shade.start[1]),
            end=(-shade.end[0], shade.end[1]),
            height_m=shade.height_m,
        )
    return Crown(
        at=(-shade.at[0], shade.at[1]),
        spread_m=shade.spread_m,
        height_m=shade.height_m,
        trunk_gap_m=shade.trunk_gap_m,
        passing=shade.passing,
    )


def random_scene(random):
    """A place, days, spots and up to six shades, none over the bed itself."""
    place = Place(
        latitude_deg=random.uniform(-60, 60), longitude_deg=random.uniform(-170, 170)
    )
    shades = []
    for _number in range(random.integers(1, 7)):
        bearing, away = random.uniform(0, 2 * np.pi), random.uniform(3, 20)
        at = (away * np.sin(bearing), away * np.cos(bearing))
        if random.random() < 0.5:
            half, turn = random.uniform(1, 15), bearing + random.uniform(1.0, 2.1)
            ends = [
                (at[0] + s * half * np.sin(turn), at[1] + s * half * np.cos(turn))
                for s in (-1, 1)
            ]
            shades.append(
                Wall(start=ends[0], end=ends[1], height_m=random.uniform(1, 9))
            )
        else:
            height = random.uniform(2, 18)
            shades.append(
                Crown(
                    at=at,
                    spread_m=random.uniform(1, 10),
                    height_m=height,
                    trunk_gap_m=height * random.uniform(0, 0.5),
                    passing=(SOLID, EVERGREEN)[random.integers(2)],
                )
            )
    return place, shades


def grown(shade, random):
    """The same thing taller, or wider and thicker."""
    more = random.uniform(1, 3)
    if isinstance(shade, Wall):
        return Wall(start=shade.start, end=shade.end, height_m=shade.height_m * more)
    return Crown(
        at=shade.at,
        spread_m=shade.spread_m * more,
        height_m=shade.height_m,
        trunk_gap_m=shade.trunk_gap_m,
        passing=Passing(in_leaf=shade.passing.in_leaf * random.random(), bare=1),
    )


@cache
def worst_open_day() -> float:
    """Hours by which an open bed differs from rise to set."""
    random, worst = np.random.default_rng(4), 0.0
    for _number in range(200):
        latitude, declination = random.uniform(-65, 65), random.uniform(-23.44, 23.44)
        figure = -tan(radians(latitude)) * tan(radians(declination))
        wanted = degrees(acos(figure)) / 7.5
        found = float(sun_of(latitude, declination).total_h[0, 0])
        worst = max(worst, abs(found - wanted))
    return worst


@cache
def worst_of_mirrors() -> float:
    random, worst = np.random.default_rng(5), 0.0
    for _number in range(100):
        place, shades = random_scene(random)
        path = path_of_declinations(
            place.latitude_deg, [float(random.uniform(-23.44, 23.44))]
        )
        here = direct_sun(path, BED, shades)
        there = direct_sun(
            path, [(-x, y) for x, y in BED], [mirrored(shade) for shade in shades]
        )
        for one, other in (
            (here.before_noon_h, there.after_noon_h),
            (here.after_noon_h, there.before_noon_h),
        ):
            worst = max(worst, float(np.abs(one - other).max()))
    return worst


@cache
def most_that_more_shade_adds() -> float:
    random, most = np.random.default_rng(6), 0.0
    for _number in range(200):
        place, shades = random_scene(random)
        path = path_of_declinations(
            place.latitude_deg, [float(random.uniform(-23.44, 23.44))]
        )
        less = direct_sun(path, BED, shades)
        more = direct_sun(path, BED, [grown(shades[0], random), *shades[1:]])
        for one, other in (
            (less.before_noon_h, more.before_noon_h),
            (less.after_noon_h, more.after_noon_h),
        ):
            most = max(most, float((other - one).max()))
    return most


@cache
def minutes_apart():
    """Five-minute steps against ten-second ones: 200 scenes, 3 days, 3 spots."""
    random = np.random.default_rng(7)
    at = spots((circle(4),))[::3]
    all_days = month_days(2026)
    apart = []
    for number in range(200):
        place, shades = random_scene(random)
        days = tuple(all_days[(number + step) % 12] for step in (0, 4, 8))
        coarse = direct_sun(sun_path(place, days, UTC), at, shades)
        fine = direct_sun(sun_path(place, days, UTC, step_s=10), at, shades)
        apart.append(np.abs(coarse.total_h - fine.total_h).ravel() * 60)
    minutes = np.concatenate(apart)
    assert len(minutes) == 200 * 3 * 3
    return minutes


CHECKS: list[Check] = [
    *(
        Check(
            "W1",
            f"equinox at {latitude}, wall towards the sun of {share:g} of the limit, h",
            FORMULA,
            lambda phi=latitude, s=share: towards_the_sun(
                phi, s * tan(radians(90 - abs(phi)))
            ),
            hours,
            HOURS,
        )
        for latitude in (20, 40, 55, -40)
        for share, hours in ((0.5, "12"), (0.99, "12"), (1.01, "0"))
    ),
    *(
        Check(
            "W1", f"equinox at 40, height over distance {ratio}, h", FORMULA,
            lambda r=ratio: towards_the_sun(40, r), hours, HOURS,
        )
        for ratio, hours in ((1.0, "12"), (1.3, "0"))
    ),
    *(
        Check(
            "W2", f"equinox at 40, wall in the west of {ratio}: {what}", FORMULA,
            computed, hours, HOURS,
        )
        for ratio, after in ((1, "2.4969"), (2, "1.3972"))
        for what, computed, hours in (
            (
                "after noon, h",
                lambda r=ratio: sun_of(40, 0, wall_west(r)).after_noon_h[0, 0],
                after,
            ),
            (
                "by the formula, h",
                lambda r=ratio: degrees(atan(cos(radians(40)) / r)) / 15,
                after,
            ),
            (
                "before noon, h",
                lambda r=ratio: sun_of(40, 0, wall_west(r)).before_noon_h[0, 0],
                "6",
            ),
        )
    ),
    *(
        Check(
            "W3", f"at 40, sun at {declination}, wall in the south of {ratio}, h",
            FORMULA,
            lambda d=declination, r=ratio: sun_of(40, d, wall_south(r)).total_h[0, 0],
            hours, "0.001",
        )
        for declination, ratio, hours in (
            (-15, 0.5, "6.909"),
            (-23.44, 0.45, "3.481"),
            (10, 1.5, "13.134"),
        )
    ),
    Check(
        "W4", "open bed against rise to set, worst of 200, h", FORMULA,
        worst_open_day, "0", "0.0833",
    ),
    Check(
        "W5", "wall in the east, before noon: as the west after noon, h", MIRROR,
        lambda: sun_of(40, 12, wall_east(1.7)).before_noon_h[0, 0]
        - sun_of(40, 12, wall_west(1.7)).after_noon_h[0, 0],
        "0.0000",
    ),
    Check(
        "W5", "scene in the mirror, worst of 100, h", MIRROR,
        worst_of_mirrors, "0", "0.000000001",
    ),
    Check(
        "W6", "sun that a taller or thicker thing adds, most of 200, h",
        "more shade never adds sun", most_that_more_shade_adds, "0", "0.000000001",
    ),
    Check(
        "steps", "five-minute steps, 95 of 100 within, minutes a day", GOALS,
        lambda: np.percentile(minutes_apart(), 95), "0", "2",
    ),
    Check(
        "steps", "five-minute steps, worst of 1,800, minutes a day", GOALS,
        lambda: minutes_apart().max(), "0", "6",
    ),
]  # fmt: skip
