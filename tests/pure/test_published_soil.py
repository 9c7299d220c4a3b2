"""Every printed figure on soil, spacing, volumes, feeding, planting and first water.

`pytest tests/pure/test_published_soil.py -s -n0` prints the whole table.
"""

import sys

import pytest

from tests.pure import published_areas, published_growing, published_ph
from tests.pure.published import HEAD, Check

CHECKS = [*published_ph.CHECKS, *published_areas.CHECKS, *published_growing.CHECKS]


@pytest.mark.parametrize(
    "check", CHECKS, ids=[f"{each.section}: {each.what}" for each in CHECKS]
)
def test_a_printed_figure_is_computed(check: Check) -> None:
    assert check.holds(), check.line()


def test_the_table_of_printed_figures_is_whole() -> None:
    failing = [check.what for check in CHECKS if not check.holds()]
    lines = [HEAD, *(check.line() for check in CHECKS)]
    lines.append(f"{len(CHECKS)} figures, {len(failing)} out of tolerance")
    sys.stdout.write("\n" + "\n".join(lines) + "\n")
    sections = {check.section[0] for check in CHECKS if check.section[0].isdigit()}
    assert sections == {"1", "2", "3", "4", "5", "6"}
    assert not failing


def test_a_wrong_figure_does_not_pass() -> None:
    right = CHECKS[0]
    wrong = Check(right.section, right.what, right.source, right.computed, "4.1")
    assert right.holds() and not wrong.holds()
    assert "FAILS" in wrong.line()
