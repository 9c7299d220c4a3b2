"""All rows in the order of the references, and the table that is printed of them."""

from collections import Counter
from collections.abc import Sequence

from tests.pure.outside import (
    balance,
    climate,
    evaporation,
    heat,
    set_out,
    shade,
    soil_areas,
    soil_growing,
    soil_ph,
    stations,
    sun,
    traps,
)
from tests.pure.outside.rows import HEAD, NEEDS, Check

PARTS: dict[str, Sequence[Check]] = {
    "Sun": sun.CHECKS,
    "Shade": shade.CHECKS,
    "Evapotranspiration": evaporation.CHECKS,
    "Water": balance.CHECKS,
    "Climate": climate.CHECKS,
    "Stations": stations.CHECKS,
    "Soil pH": soil_ph.CHECKS,
    "Spacing and volumes": soil_areas.CHECKS,
    "Plants set out, holes, outlines": set_out.CHECKS,
    "Feeding, planting, first water": soil_growing.CHECKS,
    "Heat": heat.CHECKS,
    "Traps": traps.CHECKS,
}
ALL = [check for checks in PARTS.values() for check in checks]


def lines_of(checks: Sequence[Check]) -> list[str]:
    """The rows with a heading for each part."""
    wanted = set(map(id, checks))
    out = []
    for part, rows in PARTS.items():
        printed = [row.line() for row in rows if id(row) in wanted]
        if printed:
            out += ["", part, HEAD, *printed]
    return [*out, "", summary(checks)]


def wanting(need: str) -> list[Check]:
    """The rows that want something of the environment."""
    return [check for check in ALL if check.needs == need]


def summary(checks: Sequence[Check]) -> str:
    """How many rows hold, fail and are skipped."""
    results = Counter(check.result().split(":")[0] for check in checks)
    told = (
        f"{len(checks)} rows: {results['holds']} hold, {results['FAILS']} out of "
        f"tolerance, {results['skipped']} skipped"
    )
    reasons = [NEEDS[need] for need in {c.needs for c in checks if c.is_skipped}]
    return told + (f" ({'; '.join(reasons)})" if reasons else "")
