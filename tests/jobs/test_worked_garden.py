"""The worked garden, typed into the pages and read from them.

Bed A 30 ft x 8 ft, 8 in deep, 60/25/15; bed B a circle of 12 ft. The figures are
arithmetic; 27 cu ft are 1 cu yd, and a triangular grid holds 2 / sqrt(3) times the
plants of a square one (Ohio State University, spacing table).
"""

import html
import re
from decimal import Decimal

import pytest
from django.urls import reverse

from jobs.models import Quote, QuoteLine
from plants.models import Bed
from tests import factories
from tests.conftest import StrictClient

pytestmark = pytest.mark.django_db


def words(response: object) -> str:
    """What a reader sees of a page, blanks made plain."""
    text = re.sub(r"<[^>]+>", " ", response.content.decode())  # type: ignore[attr-defined]
    return re.sub(r"\s+", " ", html.unescape(text))


def bed_by_page(browser: StrictClient, garden_id: int, **typed: str) -> Bed:
    """The bed that was typed into the page of a new bed."""
    page = browser.get(reverse("bed-new", args=[garden_id]))
    data = {
        name: value
        for name, value in page.context["form"].initial.items()
        if value is not None
    }
    data |= {
        "shades-TOTAL_FORMS": "0",
        "shades-INITIAL_FORMS": "0",
        "shades-MIN_NUM_FORMS": "0",
        "shades-MAX_NUM_FORMS": "8",
    }
    answer = browser.post(reverse("bed-new", args=[garden_id]), data | typed)
    assert answer.status_code == 302, words(answer)
    bed: Bed = Bed.objects.get(garden_id=garden_id, name=typed["name"])
    return bed


class Garden:
    """The owner's browser at a new quote of the worked garden."""

    def __init__(self, browser: StrictClient) -> None:
        self.browser = browser
        garden = factories.GardenFactory(name="Long border")
        self.bed_a = bed_by_page(
            browser,
            garden.pk,
            name="Bed A",
            shape="rectangle",
            length="30 ft",
            width="8",
            depth="8",
            ph="6.0",
        )
        self.bed_b = bed_by_page(
            browser, garden.pk, name="Bed B", shape="circle", across="12 ft"
        )
        self.plant = factories.PlantFactory(common="Wood aster")
        answer = browser.post(
            reverse("quote-new", args=[garden.pk]),
            {
                "key": "7d9f6a9e-8a38-4b0a-a2a3-6c3f3f3c1a11",
                "title": "Two beds",
                "margin_percent": "40",
            },
        )
        self.quote = Quote.objects.get()
        assert answer.status_code == 302

    def post(self, kind: str, **typed: str) -> object:
        """What the page answers to a new line."""
        self.quote.refresh_from_db()
        return self.browser.post(
            reverse("quote-line-new", args=[self.quote.pk, kind]),
            {"version": str(self.quote.version), **typed},
        )

    def page(self) -> str:
        """The words of the quote's page."""
        return words(self.browser.get(reverse("quote", args=[self.quote.pk])))


@pytest.fixture
def garden(owner_client: StrictClient) -> Garden:
    return Garden(owner_client)


SOIL = {
    "depth": "8",
    "native_percent": "60",
    "compost_percent": "25",
    "sand_percent": "15",
    "settling_percent": "15",
    "compost_cost": "40",
    "sand_cost": "30",
    "is_taxed": "on",
}


def test_the_soil_of_bed_a_is_shown_part_by_part(garden: Garden) -> None:
    shown = words(garden.post("soil", look="1", bed=str(garden.bed_a.pk), **SOIL))
    for figure in (
        "30 ft × 8 ft × 8 in deep = 160.00 cu ft",
        "160.00 cu ft × 60 % = 96.00 cu ft; ÷ 27 = 3.556 cu yd",
        "160.00 cu ft × 25 % = 40.00 cu ft; ÷ 27 = 1.481 cu yd",
        "160.00 cu ft × 15 % = 24.00 cu ft; ÷ 27 = 0.889 cu yd",
        "40.00 cu ft + 15 % for settling = 46.00 cu ft; ÷ 27 = 1.704 cu yd",
        "not bought",
    ):
        assert figure in shown
    assert QuoteLine.objects.count() == 0


def test_the_soil_of_bed_a_is_ordered_with_its_settling(garden: Garden) -> None:
    assert garden.post("soil", bed=str(garden.bed_a.pk), **SOIL).status_code == 302  # type: ignore[attr-defined]
    compost, sand = QuoteLine.objects.order_by("position")
    assert (compost.quantity, compost.unit) == (Decimal("1.704"), "cu yd")
    assert (sand.quantity, sand.unit) == (Decimal("1.022"), "cu yd")
    assert (compost.cost, compost.price) == (Decimal("68.16"), Decimal("113.60"))
    page = garden.page()
    assert "Compost for Bed A" in page
    assert "46.00 cu ft; ÷ 27 = 1.704 cu yd" in page
    assert "native soil: 160.00 cu ft × 60 % = 96.00 cu ft; ÷ 27 = 3.556 cu yd" in page
    assert "24.00 cu ft; ÷ 27 = 0.889 cu yd" in page


def test_the_mulch_of_both_beds(garden: Garden) -> None:
    mulch = {"description": "Bark", "depth": "3 in", "unit_cost": "30"}
    garden.post("mulch", bed=str(garden.bed_a.pk), **mulch)
    garden.post("mulch", bed=str(garden.bed_b.pk), **mulch)
    in_a, in_b = QuoteLine.objects.order_by("position")
    assert (in_a.quantity, in_b.quantity) == (Decimal("2.222"), Decimal("1.047"))
    page = garden.page()
    assert "30 ft × 8 ft × 3 in deep = 60.00 cu ft; ÷ 27 = 2.222 cu yd" in page
    assert "π × (12 ft ÷ 2)² = 113.10 sq ft" in page
    assert "÷ 27 = 1.047 cu yd" in page


def test_mulch_deeper_than_four_inches_is_refused_beside_its_depth(
    garden: Garden,
) -> None:
    answer = garden.post(
        "mulch",
        bed=str(garden.bed_a.pk),
        description="Bark",
        depth="4.01 in",
        unit_cost="30",
    )
    assert answer.context["form"].errors["depth"] == [  # type: ignore[attr-defined]
        "Mulch deeper than 4 in smothers the roots."
    ]
    assert QuoteLine.objects.count() == 0


def plants(garden: Garden, **typed: str) -> dict[str, str]:
    return {
        "bed": str(garden.bed_a.pk),
        "plant": str(garden.plant),
        "rule": "triangular",
        "spacing": "24",
        "unit_cost": "12.00",
        "is_taxed": "on",
        **typed,
    }


def test_the_plants_of_bed_a_by_area_and_in_rows_and_why_they_differ(
    garden: Garden,
) -> None:
    shown = words(garden.post("plants", look="1", **plants(garden)))
    for figure in (
        "square 60.00 60 60",
        "triangular 69.28 69 58",
        "240.00 sq ft ÷ (24 in)² = 60.00, so 60 plants",
        "69.28, so 69 plants",
        "By area 69, in rows 58: only whole rows fit, and they keep 12 in to the edge.",
        "Ordered: 69 plants",
    ):
        assert figure in shown
    garden.post("plants", **plants(garden))
    line = QuoteLine.objects.get()
    assert (line.quantity, line.computed_quantity) == (69, 69)
    assert line.count_rule == "triangular"
    assert "69 plants" in garden.page()


def test_a_drawn_plan_orders_what_stands_in_its_rows(garden: Garden) -> None:
    garden.post("plants", **plants(garden, is_laid_out="on"))
    line = QuoteLine.objects.get()
    assert (line.quantity, line.computed_quantity) == (58, 69)
    page = garden.page()
    assert "computed 69, ordered 58" in page
    assert "By area 69, in rows 58" in page


def test_the_rounding_of_counts_is_a_setting(garden: Garden) -> None:
    firm = factories.FirmFactory()
    type(firm).objects.filter(pk=1).update(count_rounding="up")
    garden.post("plants", **plants(garden))
    assert QuoteLine.objects.get().quantity == 70


def test_a_typed_number_beats_the_computed_and_both_are_shown(garden: Garden) -> None:
    garden.post("plants", **plants(garden, count="75"))
    line = QuoteLine.objects.get()
    assert (line.quantity, line.computed_quantity) == (75, 69)
    assert line.count_rule == "typed"
    assert "computed 69, ordered 75" in garden.page()


def test_a_round_bed_is_counted_by_area_or_by_what_was_set_out(garden: Garden) -> None:
    """113.097 / 4 = 28.274; x 2 / sqrt(3) = 32.648, half up 33 (arithmetic).

    Of circles of 2 ft at most 27 fit into one of 12 ft (packings of circles, memory); a
    triangular grid sets out 23.
    """
    typed = plants(garden, bed=str(garden.bed_b.pk))
    shown = words(garden.post("plants", look="1", **typed))
    assert "triangular 32.65 33 " in shown
    assert "set out inside the bed at 24 in, 12 in to the edge: " in shown
    garden.post("plants", **typed, is_laid_out="on")
    line = QuoteLine.objects.get()
    assert line.computed_quantity == 33
    assert line.quantity == 23


def test_a_hedge_line_is_planted_at_both_ends_with_spares(garden: Garden) -> None:
    """30 ft at 36 in are 11 plants (arithmetic); a tenth more, whole plants: 13."""
    typed = plants(garden, rule="hedge", spacing="36 in")
    garden.post("plants", **typed, hedge_length="30 ft", spare_percent="10")
    line = QuoteLine.objects.get()
    assert (line.quantity, line.computed_quantity, line.count_rule) == (13, 11, "hedge")
    assert "30 ft ÷ 36 in = 10, rounded up, + 1 = 11 plants" in line.formula
    refused = garden.post(
        "plants", **{**typed, "bed": str(garden.bed_b.pk), "hedge_length": ""}
    )
    told = refused.context["form"].errors["count"]  # type: ignore[attr-defined]
    assert "how long the hedge line is" in told[0]


def test_a_cost_of_1000_at_a_margin_of_40_sells_at_1666_67(garden: Garden) -> None:
    garden.post(
        "other",
        description="Everything",
        quantity="1",
        unit="lot",
        unit_cost="1,000.00",
    )
    line = QuoteLine.objects.get()
    assert (line.cost, line.price) == (Decimal("1000.00"), Decimal("1666.67"))
    page = garden.page()
    assert "$1,666.67" in page
    assert "$1,400.00" not in page
    assert "Left over the cost $666.67 margin 40 %, markup 66.67 %" in page
