"""The nine traps of the published figures: what the modules do where sources differ.

Their rows in the table of outside checks are in `outside/traps.py`, `outside/heat.py`,
`outside/soil_ph.py`, `outside/soil_growing.py` and `outside/climate.py`; that forms
show the unit at every field is held by `tests/system/test_look.py`, that a region's
bloom serves no other by `tests/plants/test_bloom_tables.py`.
"""

from decimal import Decimal
from itertools import pairwise, product

import numpy as np
import pytest

from plants.climate.records import METHODS, degree_days_of_year
from plants.climate.work_heat import SCALES, danger, heat_index_f, regression_f
from plants.soil import lime, sulfur
from plants.soil.feeding import crown_m2, root_zone_m2
from plants.soil.rooting import florida_months, minnesota_years
from plants.soil.tables import (
    BED_CEILING,
    LIME_TO_6_5,
    PLANTED_CEILING,
    SULFUR_ON_LOAM,
    SULFUR_PER_UNIT,
    SULFUR_TO_4_5,
)
from tests.pure.outside.heat import CELLS
from tests.pure.outside.stations import seattle
from tests.pure.outside.traps import bloom_tables

D = Decimal
AREA = D(100)


def dose(start: str, target: str, texture: str, *, planted: bool = True):
    return sulfur(
        start_ph=D(start), target_ph=D(target), texture=texture, area_m2=AREA,
        planted=planted, has_free_lime=False,
    )  # fmt: skip


def test_trap_1_the_lime_table_is_nowhere_loaded_as_sulfur() -> None:
    # 8, 10 and 15 lb per 100 sq ft at pH 5.0 raise the pH: R11 heads them sulfur.
    printed = {D(80), D(100), D(105), D(150), D(60), D(40), D(30)}
    per_acre = {D(f) for row in SULFUR_TO_4_5.values() for f in row.values()}
    loam = {D(f) for row in SULFUR_ON_LOAM.values() for f in row.values()}
    assert not printed & {round(f / D("43.56")) for f in per_acre if f}
    assert max(loam) <= 1
    assert max(SULFUR_PER_UNIT.values()) <= 20
    assert LIME_TO_6_5["clay loam"][D("5.0")] == 150
    more = lime(start_ph=D("5.0"), texture="clay", area_m2=AREA, cce_percent=D(100))
    assert dose("5.0", "4.5", "clay").kg < more.kg / 5


def test_trap_2_no_visit_takes_more_sulfur_than_the_lower_ceiling() -> None:
    # The newspaper's 10 lb per 100 sq ft are 100 per 1,000: ten times as much.
    assert (PLANTED_CEILING, BED_CEILING) == (10, 20)
    starts = ["7.5", "7.0", "6.5", "6.0", "5.5"]
    for (start, target), texture, planted in product(
        [*pairwise(starts), ("7.5", "5.5"), ("7.0", "4.5")],
        ("sand", "loam", "clay"),
        (True, False),
    ):
        found = dose(start, target, texture, planted=planted)
        ceiling = PLANTED_CEILING if planted else BED_CEILING
        assert found.lb_per_1000_sq_ft / found.visits <= ceiling
        assert found.months_between >= 3 or found.visits == 1


def test_trap_3_sand_has_the_factor_of_its_own_table() -> None:
    # Michigan: sand is a third of loam at pH 7.0; Clemson: two thirds, at every pH.
    michigan = [dose("7.0", "4.5", one).lb_per_1000_sq_ft for one in ("sand", "loam")]
    assert michigan[0] / michigan[1] == pytest.approx(D("0.33"), abs=D("0.005"))
    assert michigan[0] / michigan[1] < D("0.5") < D(2) / 3


def test_trap_4_bloom_by_degree_days_belongs_to_a_region() -> None:
    # Red maple 44, 34 and 12 F, forsythia 86 and 35 F, all from 1 January over 50 F.
    tables = bloom_tables()
    assert set(tables) >= {"ohio", "maryland"}
    for table in tables.values():
        assert (table["base_f"], table["starts"]) == (50, [1, 1])
        assert table["method"] == "average"
        assert table["south"] < table["north"]
        assert table["west"] < table["east"]
    ohio, maryland = (
        {row["named"].lower(): row["first"] for row in tables[key]["rows"]}
        for key in ("ohio", "maryland")
    )
    both = set(ohio) & set(maryland)
    assert both
    assert all(ohio[name] != maryland[name] for name in both)


def test_trap_5_a_total_of_degree_days_keeps_its_method() -> None:
    totals = {one: degree_days_of_year(seattle(), 2013, one) for one in METHODS}
    assert {one: found.method for one, found in totals.items()} == {
        one: one for one in METHODS
    }
    march = {one: found.totals[89] for one, found in totals.items()}
    assert march["modified"] > 2 * march["average"]


def test_trap_6_the_printed_chart_leaves_out_the_humid_term() -> None:
    plain = [(t, r) for t, r, printed in CELLS if round(regression_f(t, r)) != printed]
    humid = [(t, r) for t, r, printed in CELLS if round(heat_index_f(t, r)) != printed]
    # 92.49, printed 93; the other eight are hot and damp: over 85 % and under 87 F.
    assert plain == [(90, 45)]
    assert sorted(set(humid) - {(90, 45)}) == [
        (80, 95), (80, 100), (82, 90), (82, 95), (82, 100), (84, 95), (84, 100),
        (86, 95),
    ]  # fmt: skip
    assert np.max([abs(heat_index_f(t, r) - p) for t, r, p in CELLS]) <= 2.3


def test_trap_7_the_ground_to_feed_is_twice_the_area_of_the_crown() -> None:
    for radius in (D(1), D("4.572"), D(9)):
        assert root_zone_m2(radius) == 2 * crown_m2(radius)
        assert root_zone_m2(radius) * 2 == crown_m2(2 * radius)


def test_trap_8_both_times_of_establishment_are_kept_apart() -> None:
    assert florida_months(caliper_in=D(2), zone=6) == 24
    assert minnesota_years(D(2)) * 12 == 36


def test_trap_9_a_danger_of_heat_names_its_scale() -> None:
    assert set(SCALES) == {"103/125", "105/130"}
    assert danger(104, scale="103/125") == "danger"
    assert danger(104, scale="105/130") == "extreme caution"
    with pytest.raises(KeyError):
        danger(104, scale="")
    with pytest.raises(TypeError, match="scale"):
        danger(104)  # type: ignore[call-arg]
