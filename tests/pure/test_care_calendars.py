"""The engine's dates against the pruning calendars that Virginia prints.

Sources, by the mark at each row: VCE 430-462 is the Shrub Pruning Calendar of Virginia
Cooperative Extension (read; rows marked copy stand on the monthly reprint of the
Virginia horticulture association), VCE 430-460 its Deciduous Tree Pruning Calendar
(copy), Hunnings the extension agent's list of 1993 (read). Bloom months are for the
mid-Atlantic and from memory.
"""

from datetime import date, timedelta
from typing import NamedTuple

import pytest

from plants.care import care_year, read_group
from tests.pure.care_gardens import group, rule, virginia

AFTER_BLOOM = {"anchor": "bloom_end", "earliest": 0, "best": 14, "latest": 40}
"""Within two to six weeks after bloom (tree firm's leaflet and others, copy)."""

WELL_AFTER_BLOOM = {"anchor": "bloom_end", "earliest": 30, "best": 45, "latest": 75}
"""The calendar waits for these although their bloom is over: group's own window."""

LATE_WINTER = {"anchor": "late_winter", "earliest": -17, "best": 13, "latest": 40}
"""Late winter to early spring, March ideal in Maryland (University of Maryland)."""

MIDWINTER = {"anchor": "late_winter", "earliest": -40, "best": 0, "latest": 10}

LEAF_FALL = {"anchor": "leaf_fall", "earliest": 0, "best": 20, "latest": 40}

EARLY_SUMMER = {"anchor": "leaf_out", "earliest": 45, "best": 70, "latest": 110}

HIGH_SUMMER = {"anchor": "midsummer", "earliest": 12, "best": 30, "latest": 90}

AUGUST_TO_OCTOBER = frozenset({8, 9, 10})
OLD_WOOD_CLOSED = frozenset({8, 9, 10, 11, 12, 1, 2})


class Row(NamedTuple):
    """A printed line: what flowers when, best months, and months that harm."""

    plant: str
    wood: str
    bloom: tuple[int, int] | None
    best: frozenset[int]
    window: dict[str, object]
    source: str
    harms: frozenset[int] = AUGUST_TO_OCTOBER


def months(*numbers: int) -> frozenset[int]:
    return frozenset(numbers)


def old(plant, bloom, best, source, window=AFTER_BLOOM) -> Row:
    return Row(plant, "old", bloom, best, window, source, OLD_WOOD_CLOSED)


def new(plant, bloom, best, source, window=LATE_WINTER) -> Row:
    return Row(plant, "new", bloom, best, window, source)


MAY_JULY = months(5, 6, 7)
NOV_MARCH = months(11, 12, 1, 2, 3)
NOV_JULY = months(11, 12, 1, 2, 3, 4, 5, 6, 7)
R70, R70_COPY = "VCE 430-462", "VCE 430-462 (copy)"
TREES, AGENT = "VCE 430-460 (copy)", "Hunnings 1993"

ROWS = [
    old("flowering almond", (4, 4), MAY_JULY, R70),
    old("aucuba", (3, 4), months(6, 7), R70, WELL_AFTER_BLOOM),
    old("deciduous azalea", (4, 5), MAY_JULY, R70),
    old("evergreen azalea", (4, 5), MAY_JULY, R70),
    old("Japanese barberry", (4, 5), MAY_JULY, R70),
    old("wintergreen barberry", (4, 5), MAY_JULY, R70),
    old("broom", (5, 5), months(6, 7), R70),
    old("Japanese camellia", (2, 4), months(4, 5, 6), R70),
    old("winter daphne", (2, 4), months(4, 5, 6, 7), R70),
    old("forsythia", (3, 3), months(4, 5, 6, 7), R70_COPY),
    old("shrub honeysuckle", (4, 5), months(4, 5, 6), R70_COPY),
    old("Indian hawthorn", (4, 5), MAY_JULY, R70_COPY),
    old("Oregon grapeholly", (3, 3), MAY_JULY, R70_COPY, WELL_AFTER_BLOOM),
    old("pittosporum", (4, 5), months(2, 3, 4, 5), R70_COPY),
    old("serviceberry", (4, 4), months(4, 5, 6), R70_COPY),
    old("bridalwreath spirea", (4, 5), months(5, 6), R70_COPY),
    old("deciduous viburnum", (4, 5), MAY_JULY, R70_COPY),
    old("evergreen viburnum", (4, 5), months(5, 6), R70_COPY),
    old("red buckeye", (4, 5), MAY_JULY, TREES),
    old("flowering cherry", (3, 4), months(6, 7), TREES, WELL_AFTER_BLOOM),
    old("crabapple", (4, 4), MAY_JULY, TREES),
    old("flowering dogwood", (4, 5), months(6, 7), TREES),
    new("glossy abelia", (6, 10), months(11, 12, 1, 2), R70, MIDWINTER),
    new("beautyberry", (6, 7), NOV_MARCH, R70),
    new("butterfly bush", (7, 11), NOV_MARCH, R70),
    new("summersweet", (7, 8), NOV_MARCH, R70),
    new("crape myrtle", (7, 9), months(1, 2, 3), R70),
    new("summer spirea", (6, 8), months(2, 3), AGENT),
    new("smooth hydrangea", (6, 8), months(2, 3), AGENT),
    new("panicle hydrangea", (7, 9), months(2, 3), AGENT),
    new("rose of Sharon", (7, 9), months(2, 3), AGENT),
    new("falsespirea", (6, 7), months(3), AGENT),
    new("tamarisk", (7, 8), months(3), AGENT),
    Row("boxwood", "none", None, NOV_JULY, EARLY_SUMMER, R70),
    Row("bayberry", "none", None, months(3, 4, 5, 6), EARLY_SUMMER, R70),
    Row("privet", "none", None, NOV_JULY, EARLY_SUMMER, R70_COPY),
    Row("juniper", "none", None, NOV_JULY, EARLY_SUMMER, R70_COPY),
    Row("maple", "none", None, months(5, 6, 7, 11, 12), EARLY_SUMMER, TREES, months()),
    Row("beech", "none", None, months(7, 8, 9), HIGH_SUMMER, TREES, months()),
    Row(
        "birch",
        "none",
        None,
        months(1, 11, 12),
        LEAF_FALL,
        TREES,
        months(2, 3, 4, 5, 6, 7),
    ),
    Row(
        "elm",
        "none",
        None,
        months(10, 11, 12),
        LEAF_FALL,
        TREES,
        months(1, 2, 3, 4, 5, 6),
    ),
    Row(
        "oak",
        "none",
        None,
        months(11, 12),
        LEAF_FALL,
        TREES,
        months(3, 4, 5, 6, 7, 8),
    ),
]

DISAGREES = {
    "pittosporum": "the calendar prunes before and in bloom, our old-wood rule after",
}


def planned(row: Row, year: int = 2026):
    """The one cut of a year that the row's rule gives in Virginia."""
    purpose = "flower" if row.bloom else "structure"
    spec = group(row.wood, rules=[rule("cut", purpose=purpose, window=row.window)])
    spec["bloom"] = row.bloom and {
        "months": [*row.bloom],
        "region": "mid-atlantic",
        "source": "bloom-memory",
    }
    (window,) = care_year(
        group=read_group(spec), climate=virginia(), start=date(year, 1, 1)
    )
    return window


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.plant)
def test_the_best_day_falls_in_a_printed_best_month(row):
    agrees = planned(row).best.month in row.best
    assert agrees == (row.plant not in DISAGREES), DISAGREES.get(row.plant)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.plant)
def test_no_day_of_the_window_falls_in_a_month_that_harms(row):
    window = planned(row)
    span = (window.latest - window.earliest).days + 1
    touched = {
        (window.earliest + timedelta(days=number)).month for number in range(span)
    }
    assert touched & row.harms == set()


def test_at_least_ninety_five_rows_of_a_hundred_agree():
    agree = sum(planned(row).best.month in row.best for row in ROWS)
    assert (agree, len(ROWS)) == (41, 42)
    assert agree / len(ROWS) >= 0.95


# Right after bloom, by about 1 August in Virginia (bigleaf, memory); oak-leaved types
# are pruned as the flowers brown, in a warm zone 7 about the end of July (common
# practice).
@pytest.mark.parametrize("plant", ["oakleaf hydrangea", "bigleaf hydrangea"])
def test_summer_bloom_on_old_wood_is_cut_as_the_flowers_brown(plant):
    browning = {
        "from": {"anchor": "bloom_end", "days": -21},
        "best": {"anchor": "bloom_end", "days": -7},
        "to": {"anchor": "bud_set", "days": 0},
    }
    row = old(plant, (6, 7), months(7), "common practice", browning)
    window = planned(row)
    assert (window.earliest, window.best, window.latest) == (
        date(2026, 7, 10),
        date(2026, 7, 24),
        date(2026, 7, 31),
    )


# Lilac: right after bloom, by mid June (University of Maryland, read, gives the rule;
# the almanac's list the date, copy).
def test_lilac_is_cut_after_bloom_by_the_middle_of_june():
    window = planned(old("lilac", (4, 5), months(5, 6), "University of Maryland"))
    assert window.best == date(2026, 6, 14)
