"""Hours against capacity and quoted against actual: bars and their words."""

from decimal import Decimal
from xml.etree import ElementTree

import pytest

from jobs.drawings import Compared, Load, hours_against_capacity, quoted_against_actual

SVG = "{http://www.w3.org/2000/svg}"
WARN = "#a04a2a"
LEAF = "#457338"


def parsed(text: str) -> ElementTree.Element:
    return ElementTree.fromstring(text)  # noqa: S314


def load(planned: str, capacity: str) -> Load:
    return Load(
        label="Monday", planned_h=Decimal(planned), capacity_h=Decimal(capacity)
    )


def compared(quoted: str, actual: str | None) -> Compared:
    return Compared(
        label="Labour",
        quoted=Decimal(quoted),
        actual=None if actual is None else Decimal(actual),
    )


@pytest.mark.parametrize(
    ("planned", "capacity", "said"),
    [
        ("21.5", "24", "21.5 of 24 h, 2.5 h free"),
        ("24", "24", "24 of 24 h, full"),
        ("28.5", "24", "28.5 of 24 h, over-full by 4.5 h"),
        ("3.25", "0", "3.25 of 0 h, nobody is there for it"),
        ("0", "0", "no hours planned, nobody there"),
        ("0", "24", "0 of 24 h, 24 h free"),
    ],
)
def test_a_load_is_said_in_words(planned: str, capacity: str, said: str) -> None:
    root = parsed(hours_against_capacity([load(planned, capacity)]))
    assert root[1].text == f"Monday: {said}."
    assert said in [each.text for each in root.iter(f"{SVG}text")]


def test_only_what_is_over_the_capacity_is_hatched() -> None:
    root = parsed(hours_against_capacity([load("30", "24")], width=320))
    (filled,) = (each for each in root.iter(f"{SVG}rect") if each.get("fill") == LEAF)
    (past,) = (each for each in root.iter(f"{SVG}rect") if each.get("stroke") == WARN)
    # 300 units for 30 h: 240 within, 60 over.
    assert (filled.get("x"), filled.get("width")) == ("10", "240")
    assert (past.get("x"), past.get("width")) == ("250", "60")
    within = parsed(hours_against_capacity([load("24", "24")]))
    assert all(each.get("stroke") != WARN for each in within.iter())


def test_rows_share_one_scale() -> None:
    root = parsed(
        hours_against_capacity([load("10", "20"), load("40", "20")], width=420)
    )
    widths = [
        each.get("width")
        for each in root.iter(f"{SVG}rect")
        if each.get("fill") == LEAF
    ]
    assert widths == ["100", "200"]


def test_hours_below_nothing_are_refused() -> None:
    with pytest.raises(ValueError, match="cannot be below nothing"):
        load("-1", "8")
    with pytest.raises(ValueError, match="cannot be below nothing"):
        compared("10", "-1")


@pytest.mark.parametrize(
    ("quoted", "actual", "said"),
    [
        ("2500", "3120", "$620 over the quote"),
        ("1200", "1110", "$90 under the quote"),
        ("300", "300", "as quoted"),
        ("120", None, "actual not known yet"),
    ],
)
def test_the_difference_is_said_in_words(
    quoted: str, actual: str | None, said: str
) -> None:
    root = parsed(
        quoted_against_actual([compared(quoted, actual)], figure=lambda d: f"${d}")
    )
    assert root[1].text == f"Labour: quoted ${quoted}, {said}."
    assert said in [each.text for each in root.iter(f"{SVG}text")]


def test_the_actual_is_drawn_to_the_scale_of_the_quoted() -> None:
    root = parsed(quoted_against_actual([compared("100", "150")], figure=lambda _: ""))
    outline, past = (
        float(each.get("width") or 0)
        for each in root.iter(f"{SVG}rect")
        if each.get("stroke")
    )
    (filled,) = (
        float(each.get("width") or 0)
        for each in root.iter(f"{SVG}rect")
        if each.get("fill") == LEAF
    )
    assert filled == pytest.approx(outline)
    assert past == pytest.approx(outline / 2, abs=0.02)


def test_an_empty_comparison_says_so() -> None:
    assert parsed(hours_against_capacity([]))[1].text == "No hours are planned."
    assert parsed(quoted_against_actual([]))[1].text == "Nothing to compare yet."


def test_nothing_quoted_and_nothing_spent_draws_without_dividing_by_nothing() -> None:
    root = parsed(quoted_against_actual([compared("0", "0")]))
    assert root[1].text == "Labour: quoted 0, as quoted."
