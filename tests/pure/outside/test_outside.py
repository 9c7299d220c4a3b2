"""Every printed figure on sun, water, climate, soil and heat, beside the computed one.

`pytest tests/pure/outside -s -n0` prints the whole table with source, tolerance and
result, and asserts every row of it.
"""

import sys
from datetime import UTC, datetime

import pytest

from tests.pure.outside.rows import NEEDS, Check
from tests.pure.outside.traps import TRAPS
from tests.pure.outside.whole import ALL, PARTS, lines_of, summary, wanting


@pytest.mark.parametrize("part", PARTS)
def test_every_printed_figure_of_a_part_is_computed(part: str) -> None:
    ran = [check for check in PARTS[part] if not check.is_skipped]
    assert ran
    assert [check.line() for check in ran if not check.holds()] == []


def test_the_table_of_printed_figures_is_whole() -> None:
    sys.stdout.write("\n".join(lines_of(ALL)) + "\n")
    sections = {check.section for check in ALL}
    numbers = {section[0] for section in sections if section[0].isdigit()}
    assert numbers == set("1234569")
    assert {f"S{number}" for number in range(1, 9)} <= sections
    assert {f"W{number}" for number in range(1, 7)} <= sections
    assert {f"trap {number}" for number in TRAPS} <= sections
    assert list(TRAPS) == list(range(1, 10))
    names = [(check.section, check.what, check.source) for check in ALL]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("need", NEEDS)
def test_rows_that_want_the_environment_say_so(
    need: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    wanted = wanting(need)
    assert len(wanted) > 30
    monkeypatch.delenv(need, raising=False)
    assert all(check.is_skipped for check in wanted)
    assert f"skipped: {NEEDS[need]}" in wanted[0].line()
    assert summary(wanted) == (
        f"{len(wanted)} rows: 0 hold, 0 out of tolerance, {len(wanted)} skipped "
        f"({NEEDS[need]})"
    )


@pytest.mark.parametrize(
    ("found", "right", "wrong", "within"),
    [
        (4.04, "4.0", "4.1", ""),
        (4.04, "4.1", "4.2", "0.1"),
        (102.0, "100", "99", "2 %"),
        ((4, 10), "04-12", "04-13", "2 d"),
        (None, "never", "04-12", ""),
        ("6a", "6a", "6b", ""),
        (datetime(2026, 6, 21, 5, 0, 14, tzinfo=UTC), "05:00:00", "04:59:58", "15 s"),
    ],
)
def test_a_wrong_figure_does_not_pass(found, right, wrong, within) -> None:
    def row(printed: str) -> Check:
        return Check("1", "what", "nobody", lambda: found, printed, within)

    assert row(right).holds()
    assert not row(wrong).holds()
    assert "FAILS" in row(wrong).line()
