"""The nine traps of the published figures, and what holds each.

Rows of other parts that belong to a trap carry its number as their section; the tests
of the same numbers are in `test_traps.py`.
"""

from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import yaml

import plants
from plants.climate.work_heat import heat_index_f, regression_f
from plants.soil.tables import BED_CEILING, PLANTED_CEILING
from tests.pure.outside.heat import CELLS, TULSA
from tests.pure.outside.rows import Check
from tests.pure.outside.soil_ph import CLEMSON, low

TRAPS = {
    1: "a copy prints the lime table under a sulfur heading",
    2: "ceilings of sulfur per 100 and per 1,000 sq ft differ tenfold",
    3: "the factor for sand is not the same in every table",
    4: "the same bloom has very different totals in two regions",
    5: "average and lifted degree days differ by a factor of two",
    6: "the printed heat chart is the plain regression",
    7: "twice the area of the crown is not twice its radius",
    8: "two extensions mean different times by established",
    9: "two scales of danger are published for the heat index",
}
BLOOM = {
    "ohio": ("Ohio State University Extension, page read", "86"),
    "maryland": ("University of Maryland Extension, page read", "35"),
}


@cache
def bloom_tables() -> dict[str, Any]:
    """The shipped tables of bloom by region."""
    path = Path(plants.__file__).parent / "catalogue" / "bloom-tables.yaml"
    read = yaml.safe_load(path.read_text("utf-8"))
    return {table["key"]: table for table in read["tables"]}


def forsythia(region: str) -> float:
    """First bloom of forsythia in F over 50 from 1 January."""
    (row,) = (
        row for row in bloom_tables()[region]["rows"] if row.get("group") == "forsythia"
    )
    return float(row["first"])


def cells_unlike(formula: Any) -> int:
    """Cells of the printed chart that a formula does not round to."""
    return sum(round(formula(t, r)) != printed for t, r, printed in CELLS)


def per_visit(start: str, target: str, texture: str) -> Decimal:
    dose = low(start, target, texture)
    return dose.lb_per_1000_sq_ft / dose.visits


CHECKS: list[Check] = [
    Check("trap 1", "sulfur 5.0 to 4.5 on clay, lb per 100 sq ft, never 15",
          "Michigan State University by a supplier, copy",
          lambda: low("5.0", "4.5", "clay").lb_per_1000_sq_ft / 10, "1.84"),
    Check("trap 2", "most sulfur on plants at once, lb per 1,000 sq ft", CLEMSON,
          lambda: PLANTED_CEILING, "10"),
    Check("trap 2", "most sulfur on bare ground at once, lb per 1,000 sq ft",
          "Midwestern extension article, copy: 2 per 100", lambda: BED_CEILING, "20"),
    Check("trap 2", "30 lb per 1,000 sq ft on plants: lb at each visit", CLEMSON,
          lambda: per_visit("7.5", "5.5", "loam"), "10"),
    *(
        Check("trap 4", f"first bloom of forsythia in {region.title()}, F over 50",
              source, lambda r=region: forsythia(r), printed)
        for region, (source, printed) in BLOOM.items()
    ),
    Check("trap 6", "cells of the chart unlike the plain regression, of 135", TULSA,
          lambda: cells_unlike(regression_f), "1"),
    Check("trap 6", "cells unlike it with the humid term", TULSA,
          lambda: cells_unlike(heat_index_f), "9"),
    Check("trap 6", "farthest of those from the print, F", TULSA,
          lambda: max(abs(heat_index_f(t, r) - printed) for t, r, printed in CELLS),
          "2.3"),
]  # fmt: skip
