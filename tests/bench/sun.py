"""How long the sun takes here: a site's table, one bed cold, six hundred beds.

`.venv/bin/python -m tests.bench.sun` prints the figures beside their bounds and ends
with 1 where a bound is missed. It is no test: a busy machine would fail it. Times are
those of the processor, on one core. The beds have a house, a fence and three trees,
which is more than most have, and each lies in a place of its own.
"""

import statistics
import sys
from collections.abc import Callable
from datetime import date
from time import process_time
from zoneinfo import ZoneInfo

from plants.sun import (
    BedSun,
    Crown,
    Place,
    Seasons,
    Thresholds,
    Wall,
    bed_sun,
    circle,
    month_days,
    rectangle,
    spots,
    sun_path,
)

ZONE = ZoneInfo("America/New_York")
SEASONS = Seasons(
    leaf_out=date(2026, 4, 20),
    leaf_fall=date(2026, 10, 25),
    growing=frozenset(range(5, 11)),
    hot=frozenset({6, 7, 8}),
)
SHADES = (
    Wall(start=(-8, 3), end=(8, 3), height_m=7),
    Wall(start=(5, -9), end=(5, 2), height_m=1.8),
    *(
        Crown(at=(x, -7), spread_m=6, height_m=9, trunk_gap_m=2)
        for x in (-6.0, 0.0, 6.0)
    ),
)
BEDS = 600
RUNS = 25


def main() -> int:
    """Print every figure; 1 when one of them is over its bound."""
    missed = 0
    one_bed(0)
    for what, milliseconds, bound in (
        ("a site's table of 12 days x 289 moments", median(table), 30.0),
        ("one bed, 5 shades, 12 months, cold", median(one_bed), 25.0),
        (f"{BEDS} beds in {BEDS} places, 12 months", whole(), 3000.0),
    ):
        over = milliseconds > bound
        missed |= over
        told = f"{milliseconds:>8.1f} ms  {what}   bound {bound:.0f} ms"
        print(told + ("   MISSED" if over else ""), flush=True)  # noqa: T201
    return missed


def table(number: int) -> object:
    """The sun's way over a place on the days that stand for the months."""
    place = Place(latitude_deg=10 + number / 7, longitude_deg=11)
    return sun_path(place, month_days(2026), ZONE)


def one_bed(number: int) -> BedSun:
    """The year of a bed of its own size in a place of its own."""
    more = number * 1e-6
    ground = (circle(3 + more),) if number % 3 == 0 else (rectangle(6 + more, 2),)
    return bed_sun(
        place=Place(latitude_deg=38 + number * 1e-4, longitude_deg=-77),
        ground=ground,
        shades=SHADES,
        year=2026,
        zone=ZONE,
        seasons=SEASONS,
        thresholds=Thresholds(),
    )


def forget() -> None:
    """Empty the caches, as in a process that has just begun."""
    sun_path.cache_clear()
    spots.cache_clear()


def median(work: Callable[[int], object]) -> float:
    """Milliseconds in the middle of several runs, each without caches."""
    found = []
    for number in range(RUNS):
        forget()
        began = process_time()
        work(number)
        found.append((process_time() - began) * 1000)
    return statistics.median(found)


def whole() -> float:
    """Milliseconds of all beds one after the other."""
    forget()
    began = process_time()
    for number in range(BEDS):
        one_bed(number)
    return (process_time() - began) * 1000


if __name__ == "__main__":
    sys.exit(main())
