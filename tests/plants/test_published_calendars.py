"""The shipped catalogue against the pruning calendars that were read or copied.

Rows, sources and the rule by which a row is judged stand in published_calendars.py.
"""

import pytest

from tests.plants.published_calendars import (
    REASONS,
    ROWS,
    Row,
    agrees,
    cuts_outside,
    main_cut,
    months_in,
    table,
    touched,
    written,
)
from tests.plants.shipped import catalogue, groups

COUNTED = [row for row in ROWS if row.is_counted]


def row_of(plant: str) -> Row:
    return next(row for row in ROWS if row.plant == plant)


def test_at_least_ninety_five_of_a_hundred_counted_rows_agree() -> None:
    print(f"\n{table()}")  # noqa: T201 - the table that the issue asks for
    assert len(COUNTED) == 58
    assert sum(map(agrees, COUNTED)) / len(COUNTED) >= 0.95


@pytest.mark.parametrize("row", COUNTED, ids=lambda row: row.plant)
def test_a_counted_row_agrees_or_says_why_not(row: Row) -> None:
    assert agrees(row) != (row.plant in REASONS)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.plant)
def test_no_cut_touches_a_month_in_which_it_does_harm(row: Row) -> None:
    assert touched(row) == []


def test_every_row_has_a_group_and_every_group_stands_once_or_says_why() -> None:
    keys = [key for row in ROWS for key in row.groups]
    assert set(keys) <= set(groups())
    # Deciduous and evergreen azaleas are two rows and one group.
    assert sorted({key for key in keys if keys.count(key) > 1}) == ["azalea"]


def test_the_developers_notes_hold_exactly_what_is_printed() -> None:
    # `.venv/bin/python -m tests.plants.published_calendars --write` renews them.
    assert written() == table()


def test_sources_that_contradict_each_other_are_both_shown() -> None:
    # Crape myrtle in May, sweetshrub, cinquefoil, weigela and serviceberry: the lists
    # that were read say one thing and another.
    for key in (
        "crape-myrtle",
        "sweetshrub",
        "shrubby-cinquefoil",
        "weigela",
        "serviceberry",
    ):
        (first, *_) = catalogue().groups[key]["disagreements"]
        assert first["source"] != first["source_instead"]


# -- the judge itself


def test_the_judge_finds_a_best_day_in_no_printed_month() -> None:
    azalea = row_of("Azalea, evergreen")
    assert agrees(azalea)
    assert not agrees(azalea._replace(printed="Mar-May"))
    assert cuts_outside(azalea._replace(printed="Mar-May")) == [
        "azalea / shape-after-bloom (Jun)"
    ]


def test_the_judge_finds_a_day_in_a_month_that_harms() -> None:
    oak = row_of("Oak")
    # Its window opens on 8 November.
    assert touched(oak._replace(printed="Dec", never=months_in("Nov"))) == [
        ("oak", "lift-low-branches", 11)
    ]
    # A fruit tree is pruned in late winter although it flowers on old wood.
    assert touched(row_of("Apple, pear")) == []
    assert touched(
        row_of("Apple, pear")._replace(printed="Apr", never=months_in("Feb"))
    )


def test_the_cut_that_counts_is_the_foremost_and_takes_most() -> None:
    # Flower before shape; of two shape cuts the one that takes 0.2, not 0.15.
    assert main_cut("forsythia")[0].rule.key == "remove-oldest-canes"
    assert main_cut("arborvitae")[0].rule.key == "shape-before-growth"
    # No renovation and no deadheading.
    assert main_cut("lilac")[0].rule.key == "shape-after-bloom"
    # Herbs and grasses have only the yearly clearing.
    assert main_cut("liriope")[0].rule.purpose == "hygiene"
    # Three years, one cut in each.
    assert [window.best.year for window in main_cut("oak")] == [2026, 2027, 2028]


@pytest.mark.parametrize(
    ("printed", "months"),
    [
        ("Nov-Feb", {11, 12, 1, 2}),
        ("Jun", {6}),
        ("May-Jul, Nov-Dec", {5, 6, 7, 11, 12}),
        ("Apr-Jun, Dec-Jan", {4, 5, 6, 12, 1}),
        ("right after bloom", set()),
    ],
)
def test_printed_months_are_read(printed: str, months: set[int]) -> None:
    assert months_in(printed) == months
