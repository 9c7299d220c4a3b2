"""How long care years and the catalogue take here, and how much memory.

`.venv/bin/python -m tests.bench.care` prints the figures beside their bounds and ends
with 1 where a bound is missed. It is no test: a busy machine would fail it. Times are
those of the processor, on one core; the database is SQLite in memory.
"""

import random
import resource
import statistics
import sys
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from time import process_time

from django.core.management import call_command
from django.db import connection

from plants import care
from plants.actions.catalogue import load_catalogue
from plants.care import anchors, layers, windows, year
from plants.care.regions import mid_atlantic
from plants.climate import Climate
from plants.imports import Catalogue, read_catalogue
from plants.models import Plant
from plants.queries.care import care_years
from tests import factories
from tests.pure.care_gardens import warmer

SHIPPED = Path(__file__).resolve().parents[2] / "plants" / "catalogue"
PLANTINGS = 10_000
IN_A_GARDEN = 60
START = date(2026, 3, 1)
SEED = 20261125

Planting = tuple[care.Group, Climate, date | None, float | None]


def main() -> int:
    """Print every figure; 1 when one of them is over its bound."""
    report = Report()
    began = process_time()
    catalogue = read_catalogue(SHIPPED)
    report.say("catalogue read and proved", process_time() - began)
    connection.creation.create_test_db(verbosity=0)
    began = process_time()
    load_catalogue(catalogue=catalogue, now=factories.NOW)
    report.say("catalogue taken over, first time", process_time() - began)
    began = process_time()
    call_command("load_catalogue", verbosity=0)
    report.say("manage.py load_catalogue, nothing new", process_time() - began, 5)
    report.memory("memory after loading")

    groups = [care.read_group(spec) for spec in catalogue.groups.values()]
    few = [warmer(mid_atlantic(), kelvin / 2) for kelvin in range(-2, 3)]
    many = [warmer(mid_atlantic(), kelvin / 60) for kelvin in range(-83, 84)]
    for words, climates in (
        ("5 climates", few),
        (f"{len(many)} climates, one a garden", many),
    ):
        forget()
        plantings = some_plantings(groups, climates)
        began = process_time()
        tasks = sum(map(year_of, plantings))
        report.say(
            f"{PLANTINGS:,} plantings' years ({tasks:,} tasks), {words}, uncached",
            process_time() - began,
            3,
        )
    report.memory("memory after 20,000 plantings")

    forget()
    garden = some_plantings(groups, [mid_atlantic()])[:IN_A_GARDEN]
    began = process_time()
    sum(map(year_of, garden))
    cold = process_time() - began
    report.say(f"a garden of {IN_A_GARDEN}, uncached", cold, 0.03)
    report.say(
        f"a garden of {IN_A_GARDEN}, again", median(lambda: sum(map(year_of, garden)))
    )

    rows = garden_in_rows(catalogue)
    forget()
    began = process_time()
    found = care_years(rows, start=START)
    cold = process_time() - began
    assert len(found) == IN_A_GARDEN
    report.say(f"a garden of {IN_A_GARDEN} from its rows, uncached", cold)
    again = median(lambda: care_years(rows, start=START))
    report.say(f"a garden of {IN_A_GARDEN} from its rows", again, 0.03)
    report.memory("memory at the end")
    return report.missed


class Report:
    """Prints figures as they come and keeps whether one missed its bound."""

    def __init__(self) -> None:
        self.missed = 0

    def say(self, what: str, seconds: float, bound: float | None = None) -> None:
        """Print a time in the unit that suits it."""
        within = "" if bound is None else f"   bound {_time(bound)}"
        if bound is not None and seconds > bound:
            self.missed = 1
            within += "   MISSED"
        print(f"{_time(seconds):>10}  {what}{within}", flush=True)  # noqa: T201

    def memory(self, what: str) -> None:
        """Print the most memory that the process has held so far."""
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"{peak:>7.0f} MB  {what}", flush=True)  # noqa: T201


def _time(seconds: float) -> str:
    return f"{seconds:.2f} s" if seconds >= 0.2 else f"{seconds * 1000:.1f} ms"


def median(work: Callable[[], object], times: int = 15) -> float:
    """The middle of several runs."""
    found = []
    for _ in range(times):
        began = process_time()
        work()
        found.append(process_time() - began)
    return statistics.median(found)


def forget() -> None:
    """Empty every cache of the engine, as in a process that has just begun."""
    for module in (anchors, layers, windows, year):
        for value in vars(module).values():
            if hasattr(value, "cache_clear"):
                value.cache_clear()


def some_plantings(groups: list[care.Group], climates: list[Climate]) -> list[Planting]:
    """Plantings in gardens of sixty, each garden in one climate.

    Half have a planting day of their own, a quarter only an age, a quarter neither.
    """
    chance = random.Random(SEED)  # noqa: S311 - the same garden every time
    found: list[Planting] = []
    for number in range(PLANTINGS):
        climate = climates[number // IN_A_GARDEN % len(climates)]
        planted_on, age_years = None, None
        known = chance.random()
        if known < 0.5:
            planted_on = START - timedelta(days=chance.randrange(4000))
        elif known < 0.75:
            age_years = chance.uniform(0, 15)
        found.append((chance.choice(groups), climate, planted_on, age_years))
    return found


def year_of(planting: Planting) -> int:
    """The number of tasks in a planting's year."""
    group, climate, planted_on, age_years = planting
    windows_of = care.care_year(
        group=group,
        climate=climate,
        start=START,
        planted_on=planted_on,
        age_years=age_years,
        irrigated=False,
        ph=6.3,
    )
    return len(windows_of)


def garden_in_rows(catalogue: Catalogue) -> factories.plants.Garden:
    """A garden of sixty plantings of as many plants, in three beds."""
    garden = factories.GardenFactory()
    beds = [factories.BedFactory(garden=garden) for _ in range(3)]
    chance = random.Random(SEED)  # noqa: S311 - the same garden every time
    keys = chance.sample(sorted(catalogue.plants), IN_A_GARDEN)
    plants = {plant.key: plant for plant in Plant.objects.filter(key__in=keys)}
    for number, key in enumerate(keys, start=1):
        factories.PlantingFactory(
            garden=garden, plant=plants[key], number=number, bed=beds[number % 3]
        )
    return garden


if __name__ == "__main__":
    sys.exit(main())
