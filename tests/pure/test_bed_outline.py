"""Outlines of beds read from corners or from sides and turns; areas are arithmetic."""

from decimal import Decimal

import pytest

from plants.sun import area_m2
from plants.sun.outline import OutlineError, outline_area_m2, read_outline, with_units

FOOT = Decimal("0.3048")
# An L of 6 by 4 less 3 by 2.
ELL = [(0, 0), (6, 0), (6, 2), (3, 2), (3, 4), (0, 4)]


def read(text: str, unit: str = "m") -> tuple[tuple[Decimal, Decimal], ...]:
    return read_outline(text, unit=unit, longest_m=Decimal(500))


@pytest.mark.parametrize(
    "text",
    [
        "0; 0\n6; 0\n6 m; 2 m\n3; 2\n3; 400 cm\n0; 4",
        "0, 0\n6, 0\n6, 2\n3, 2\n3, 4\n0, 4",
        "\n6 left 90\n2 m, left\n3 right 90°\n2 left\n3 left 90 degrees\n4 left\n",
        "6 left\n2 left\n3 right\n2 left\n3 left",
        "6 left\n2 left\n3 right\n2 left\n3,02 left\n4",
    ],
)
def test_an_l_is_read_from_its_corners_or_from_its_sides_and_turns(text: str) -> None:
    corners = read(text)
    assert [(x, y) for x, y in corners][:5] == ELL[:5]
    assert len(corners) == 6
    assert abs(outline_area_m2(corners) - 18) <= Decimal("0.05")


def test_areas_are_those_of_the_shoelace_formula() -> None:
    """A triangle of sides 3, 4, 5 has 6; one of three sides of 10 ft 43.301 sq ft."""
    triangle = read("0; 0\n4; 0\n0; 3")
    assert outline_area_m2(triangle) == 6
    even = read("10 left 120\n10 left 120\n10", unit="ft")
    assert len(even) == 3
    assert round(outline_area_m2(even) / FOOT**2, 3) == Decimal("43.301")
    lengths = read("0; 0\n12 ft 6 in; 0\n12.5; -4\n0; -4 ft", unit="ft")
    assert outline_area_m2(lengths) == Decimal("12.5") * 4 * FOOT**2
    ring = tuple((float(x), float(y)) for x, y in lengths)
    assert area_m2((ring,)) == pytest.approx(float(outline_area_m2(lengths)))


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("0; 0\n2; 0\n0; 2\n2; 2", "Side 2 crosses or touches side 4"),
        ("0; 0\n4; 0\n4; 4\n2; 0\n0; 4", "crosses or touches"),
        ("0; 0\n1; 1", "at least three corners"),
        ("0; 0\n1; 0\n2; 0\n3; 0", "crosses or touches|on one line"),
        ("0; 0\n0; 0\n2; 2", "Corner 1 and the next"),
        ("0; 0\nfour; 0\n2; 2", "Line 2: “four” is not read"),
        ("0; 0\n4\n2; 2", "Line 2: write two lengths with a semicolon"),
        ("0; 0\n600; 0\n2; 2", "Line 2: .* at most 500"),
        ("6 left\n2\n3 left\n4", "Line 2: say which way it turns"),
        ("6 left 200\n2 left\n3 left\n4", "Line 1: a turn lies between"),
        ("0 left\n2 left\n3 left\n4", "Line 1: a side is longer"),
        ("10 left\n4 left\n6 left\n9 left\n3", "crosses or touches"),
        ("1; 1\n" * 61, "At most 60"),
    ],
)
def test_what_is_no_outline_is_refused_with_its_line(text: str, why: str) -> None:
    with pytest.raises(OutlineError, match=why):
        read(text)


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("0; 0\n 6, 2 m\n-3.5;4", "0 ft; 0 ft\n6 ft; 2 m\n-3.5 ft; 4 ft"),
        ("6 left 90\n2 m, left\n3", "6 ft left 90\n2 m, left\n3 ft"),
    ],
)
def test_bare_numbers_are_kept_with_their_unit(text: str, kept: str) -> None:
    """So that they mean the same when the firm changes its units."""
    assert with_units(text, unit="ft") == kept
    assert read(kept, unit="m") == read(text, unit="ft")
