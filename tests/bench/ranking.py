"""How long it takes to rank the whole shipped catalogue for a bed.

`.venv/bin/python -m tests.bench.ranking` prints the figures beside their bounds and
ends with 1 where a bound is missed. It is no test: a busy machine would fail it. Times
are those of the processor, on one core; the database is SQLite in memory.
"""

import sys
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path
from time import process_time

from django.db import connection

from firm.units import Display
from plants.actions.catalogue import load_catalogue
from plants.fit import ground
from plants.imports import read_catalogue
from plants.models import Bed, Plant
from plants.queries.fit import fit_for
from plants.queries.fit_search import Wanted, rank_for, site_with_neighbours
from plants.queries.gardens import bed as find_bed
from tests import factories

SHIPPED = Path(__file__).resolve().parents[2] / "plants" / "catalogue"
DAY = date(2026, 4, 14)
US = Display("us")
MOST_MS = 100.0
FEWEST = 350


def main() -> int:
    """Print every figure; 1 when one of them is over its bound."""
    connection.creation.create_test_db(verbosity=0)
    load_catalogue(catalogue=read_catalogue(SHIPPED), now=factories.NOW)
    bed = measured_bed()
    plants = list(Plant.objects.select_related("group").order_by("id"))
    site = site_with_neighbours(bed)
    autumn = Wanted(months=frozenset({9, 10}))
    found = {
        f"{len(plants)} plants ranked for a bed": best_ms(
            lambda: fit_for(bed, plants, site=site, display=US)
        ),
        "the same with its questions to the database": best_ms(
            lambda: rank_for(bed=bed, wanted=Wanted(), day=DAY, display=US)
        ),
        "only what flowers there in September and October": best_ms(
            lambda: rank_for(bed=bed, wanted=autumn, day=DAY, display=US)
        ),
    }
    for words, milliseconds in found.items():
        kept = "kept" if milliseconds <= MOST_MS else "MISSED"
        sys.stdout.write(
            f"{words:<52}{milliseconds:7.1f} ms   bound {MOST_MS:.0f} ms {kept}\n"
        )
    if len(plants) < FEWEST:
        sys.stdout.write(f"only {len(plants)} plants; {FEWEST} are meant\n")
        return 1
    return int(max(found.values()) > MOST_MS)


def measured_bed() -> Bed:
    """A bed of which everything is known and in which something grows."""
    row = factories.BedFactory(
        light="part sun",
        ph=Decimal("7.2"),
        ph_low=Decimal("7.0"),
        ph_high=Decimal("7.4"),
        texture="loam",
        moisture="average",
        has_salt=True,
        is_windy=True,
    )
    grown = Plant.objects.order_by("id").first()
    factories.PlantingFactory(garden=row.garden, bed=row, plant=grown, count=3)
    bed = find_bed(pk=row.pk)
    if bed is None:
        raise LookupError("the bed is gone")
    return bed


def best_ms(work: Callable[[], object], *, times: int = 5) -> float:
    """The shortest of several runs, each as if it were the first."""
    found = []
    for _ in range(times):
        ground._change.cache_clear()
        began = process_time()
        work()
        found.append((process_time() - began) * 1000)
    return min(found)


if __name__ == "__main__":
    sys.exit(main())
