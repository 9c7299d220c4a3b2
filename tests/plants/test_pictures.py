"""Pictures as pages show them: measures of a rule in the firm's units."""

from dataclasses import replace
from typing import Any
from xml.etree import ElementTree

import pytest

from plants import care
from plants.care.vocabulary import DRAWINGS
from plants.drawings import CUTS
from plants.enums import Facing
from plants.queries.sun import BEARINGS
from plants.templatetags.care import cut_distance
from plants.templatetags.pictures import NORTH, cut_picture, numbers_words
from tests.pure.care_gardens import group, rule


def described(drawing: str, firm: str, buds: str = "opposite", **limits: Any) -> str:
    spec = {**group("none", rules=[rule("cut", drawing=drawing)]), "buds": buds}
    read = care.read_group(spec)
    drawn = cut_picture(
        # Limits are proved elsewhere; here only what is drawn of them counts.
        _with_limits(read.rules[0], **limits),
        read,
        firm,
    )
    root = ElementTree.fromstring(drawn)  # noqa: S314
    return (root[1].text or "").replace("\u00a0", " ")


def _with_limits(line: care.Rule, **limits: Any) -> care.Rule:
    return replace(line, limits=care.Limits(**limits))


def test_every_drawing_of_the_vocabulary_can_be_drawn() -> None:
    assert {*DRAWINGS} == {*CUTS, "none"}


@pytest.mark.parametrize(
    ("firm", "distance"), [("us", "about 1/4 in"), ("metric", "about 6 mm")]
)
def test_the_distance_above_a_bud_stands_in_the_firms_units(
    firm: str, distance: str
) -> None:
    assert cut_distance(firm).replace("\u00a0", " ") == distance
    for drawing in ("above-pair", "above-bud", "dead-tips", "take-a-third"):
        assert distance in described(drawing, firm)


def test_the_drawing_follows_the_buds_of_the_group() -> None:
    for drawing in ("above-pair", "above-bud"):
        ring = described(drawing, "us", buds="whorled")
        assert "three buds in a ring. Cut straight across" in ring
        assert "slant of about 45 degrees" in described(drawing, "us", "alternate")


def test_a_height_left_is_never_read_as_the_distance_to_a_bud() -> None:
    heights = {"height_left_m": (0.3, 0.45)}
    close = described("above-bud", "us", buds="alternate", **heights)
    assert "12" not in close
    assert "about 1/4 in above the bud" in close
    assert "all cut to one height: 12 in to 18 in" in described(
        "cut-down", "us", **heights
    )
    assert "one height: 30 cm to 45 cm" in described("grass", "metric", **heights)
    assert "outline: leave 30 cm to 45 cm" in described("shear", "metric", **heights)


def test_a_share_is_said_where_a_share_is_taken() -> None:
    share = {"share_removed_max": 0.33}
    for drawing in ("take-a-third", "thin-base", "shear"):
        assert "a third at most" in described(drawing, "us", **share)
    assert "third" not in described("above-pair", "us", **share)


@pytest.mark.parametrize(
    ("numbers", "said"),
    [([3], "3"), ([1, 2], "1, 2"), ([5, 1, 2, 3], "1 to 3, 5"), ([], "")],
)
def test_numbers_that_follow_each_other_are_said_as_one_run(
    numbers: list[int], said: str
) -> None:
    assert numbers_words(numbers) == said


def test_north_on_a_bed_is_drawn_from_the_way_it_looks() -> None:
    """A bed that looks down the page to the east has the north on its right."""
    assert {facing: (180 - bearing) % 360 for facing, bearing in BEARINGS.items()} == {
        facing: north for facing, north in NORTH.items()
    }
    assert NORTH[Facing.E] == 90
