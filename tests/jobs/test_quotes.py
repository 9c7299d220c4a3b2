"""Drafting quotes on their pages: what is refused, asked, kept and never lost."""

import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

import pytest
import time_machine
from django.urls import reverse

from firm.models import Entry
from jobs.actions.quotes import AmountTooLarge, LineDetails, keep_lines
from jobs.models import Quote, QuoteLine
from jobs.queries.quotes import quote_page
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW

pytestmark = pytest.mark.django_db


@pytest.fixture
def quote(owner_client: StrictClient) -> Quote:
    factories.TaxRateFactory()
    garden = factories.GardenFactory()
    factories.BedFactory(garden=garden, name="Bed A")
    made: Quote = factories.QuoteFactory(garden=garden, margin_percent=40)
    return made


def add(browser: StrictClient, quote: Quote, kind: str, **typed: str) -> Any:
    quote.refresh_from_db()
    return browser.post(
        reverse("quote-line-new", args=[quote.pk, kind]),
        {"version": str(quote.version), **typed},
    )


def plants(quote: Quote, **typed: str) -> dict[str, str]:
    bed = quote.garden.beds.get()
    return {
        "bed": str(bed.pk),
        "rule": "square",
        "spacing": "24 in",
        "unit_cost": "10",
        "is_taxed": "on",
        **typed,
    }


LABOUR = {
    "description": "Planting",
    "quantity": "10",
    "unit_cost": "38",
    "unit_price": "60",
}


def test_a_quote_begun_twice_with_one_form_is_one_quote(
    owner_client: StrictClient,
) -> None:
    garden = factories.GardenFactory()
    data = {"key": str(uuid.uuid4()), "title": "Border", "margin_percent": "35"}
    url = reverse("quote-new", args=[garden.pk])
    first = owner_client.post(url, data)
    second = owner_client.post(url, data)
    quote = Quote.objects.get()
    assert first["Location"] == second["Location"] == f"/quotes/{quote.pk}/"
    third = owner_client.post(url, {**data, "key": str(uuid.uuid4())})
    assert third.status_code == 302
    numbers = list(Quote.objects.order_by("id").values_list("number", flat=True))
    assert [number[-4:] for number in numbers] == ["0001", "0002"]


def test_an_unknown_plant_is_refused_beside_its_field_and_what_was_typed_stays(
    owner_client: StrictClient, quote: Quote
) -> None:
    answer = add(
        owner_client, quote, "plants", **plants(quote, plant="Moon lily", count="12")
    )
    form = answer.context["form"]
    assert form.errors["plant"] == [
        "“Moon lily” is not in the catalogue. Choose a plant from the list."
    ]
    assert (form["plant"].value(), form["count"].value()) == ("Moon lily", "12")
    assert b'value="Moon lily"' in answer.content
    assert QuoteLine.objects.count() == 0


def test_a_plant_is_found_by_its_botanical_name_or_a_synonym(
    owner_client: StrictClient, quote: Quote
) -> None:
    plant = factories.PlantFactory(common="Oak hydrangea", botanical="Hydra quercus")
    plant.names.create(name="Grey oak", kind="common")
    for words in ("hydra QUERCUS", "grey oak", str(plant)):
        answer = add(owner_client, quote, "plants", **plants(quote, plant=words))
        assert answer.status_code == 302, words
    assert QuoteLine.objects.filter(plant=plant).count() == 3


def test_a_name_that_two_plants_have_is_asked_about(
    owner_client: StrictClient, quote: Quote
) -> None:
    factories.PlantFactory(common="Sage", botanical="Salvia una")
    factories.PlantFactory(common="Sage", botanical="Salvia altera")
    answer = add(owner_client, quote, "plants", **plants(quote, plant="sage"))
    assert answer.context["form"].errors["plant"] == [
        "Several plants are called so. Choose one: Sage (Salvia una);"
        " Sage (Salvia altera)"
    ]


def test_10000_plants_are_asked_about_and_not_refused(
    owner_client: StrictClient, quote: Quote
) -> None:
    plant = factories.PlantFactory()
    typed = plants(quote, plant=str(plant), count="10000")
    answer = add(owner_client, quote, "plants", **typed)
    assert answer.context["form"].errors["is_sure"] == [
        "10,000 plants are very many. Tick this if they are meant."
    ]
    assert QuoteLine.objects.count() == 0
    assert add(owner_client, quote, "plants", **typed, is_sure="on").status_code == 302
    assert QuoteLine.objects.get().quantity == 10_000


def test_a_deadly_place_is_confirmed_after_reading_why(
    owner_client: StrictClient, quote: Quote
) -> None:
    bed = quote.garden.beds.get()
    # The group wants pH 5.0 to 6.5; 9.5 is three too limy.
    type(bed).objects.filter(pk=bed.pk).update(ph=Decimal("9.5"))
    plant = factories.PlantFactory()
    typed = plants(quote, plant=str(plant))
    answer = add(owner_client, quote, "plants", **typed)
    assert "is_meant" in answer.context["form"].errors
    assert "9.5" in answer.content.decode()
    assert QuoteLine.objects.count() == 0
    assert add(owner_client, quote, "plants", **typed, is_meant="on").status_code == 302


@pytest.mark.parametrize(
    ("kind", "typed", "field"),
    [
        ("labour", {**LABOUR, "quantity": "-1"}, "quantity"),
        ("labour", {**LABOUR, "quantity": "0"}, "quantity"),
        ("labour", {**LABOUR, "unit_cost": "-38"}, "unit_cost"),
        ("labour", {**LABOUR, "unit_cost": "dear"}, "unit_cost"),
        ("labour", {**LABOUR, "quantity": "1e9"}, "quantity"),
        ("other", {**LABOUR, "unit": ""}, "unit"),
    ],
)
def test_absurd_figures_are_refused_beside_their_field(
    owner_client: StrictClient,
    quote: Quote,
    kind: str,
    typed: dict[str, str],
    field: str,
) -> None:
    answer = add(owner_client, quote, kind, **typed)
    assert list(answer.context["form"].errors) == [field]
    assert QuoteLine.objects.count() == 0


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"spacing": "-2 ft"}, "spacing"),
        ({"spacing": "2 lb"}, "spacing"),
        ({"spacing": "0"}, "spacing"),
        ({"rule": "typed"}, "count"),
        ({"bed": ""}, "count"),
        ({"count": "0"}, "count"),
        ({"unit_cost": ""}, "unit_cost"),
    ],
)
def test_plants_that_cannot_be_counted_are_refused_beside_the_field(
    owner_client: StrictClient, quote: Quote, typed: dict[str, str], field: str
) -> None:
    plant = factories.PlantFactory()
    answer = add(
        owner_client, quote, "plants", **plants(quote, plant=str(plant), **typed)
    )
    assert list(answer.context["form"].errors) == [field]
    assert QuoteLine.objects.count() == 0


def test_a_mix_that_is_not_a_hundred_per_cent_is_refused(
    owner_client: StrictClient, quote: Quote
) -> None:
    bed = quote.garden.beds.get()
    answer = add(
        owner_client,
        quote,
        "soil",
        bed=str(bed.pk),
        depth="8",
        native_percent="60",
        compost_percent="25",
        sand_percent="10",
        settling_percent="15",
        compost_cost="40",
        sand_cost="40",
    )
    assert answer.context["form"].errors["native_percent"] == [
        "The parts of a blend make 95 %, not 100 %."
    ]


def test_changing_one_part_of_a_mix_works_the_whole_mix_out_again(
    owner_client: StrictClient, quote: Quote
) -> None:
    bed = quote.garden.beds.get()
    typed = {
        "bed": str(bed.pk),
        "depth": "8",
        "native_percent": "60",
        "compost_percent": "25",
        "sand_percent": "15",
        "settling_percent": "15",
        "compost_cost": "40",
        "sand_cost": "30",
    }
    add(owner_client, quote, "soil", **typed)
    compost, sand = QuoteLine.objects.order_by("position")
    url = reverse("quote-line", args=[quote.pk, sand.pk])
    page = owner_client.get(url)
    assert page.context["form"]["compost_cost"].value() == "40"
    quote.refresh_from_db()
    answer = owner_client.post(
        url,
        {
            **typed,
            "version": str(quote.version),
            "compost_percent": "40",
            "sand_percent": "0",
        },
    )
    assert answer.status_code == 302
    line = QuoteLine.objects.get()
    # 64.00 cu ft + 15 % = 73.60 cu ft.
    assert (line.pk, line.quantity) == (compost.pk, Decimal("2.726"))


def test_two_people_at_one_quote_the_second_is_told_and_overwrites_nothing(
    owner_client: StrictClient, quote: Quote
) -> None:
    seen = quote.version
    add(owner_client, quote, "labour", **LABOUR)
    url = reverse("quote-line-new", args=[quote.pk, "other"])
    typed = {
        "version": str(seen),
        "description": "Boulder",
        "quantity": "1",
        "unit": "piece",
        "unit_cost": "250",
    }
    answer = owner_client.post(url, typed)
    assert answer.status_code == 200
    assert "Somebody else changed this" in answer.context["refused"]
    assert b'value="Boulder"' in answer.content
    assert b"Planting: 10 h, $600.00" in answer.content
    assert QuoteLine.objects.count() == 1
    # The version in the form is now the present one: sent again it is a decision.
    form = answer.context["form"]
    again = owner_client.post(url, {**typed, "version": form["version"].value()})
    assert again.status_code == 302
    assert QuoteLine.objects.count() == 2


def test_two_people_at_the_words_of_a_quote_see_both_versions(
    owner_client: StrictClient, quote: Quote
) -> None:
    url = reverse("quote-change", args=[quote.pk])
    data = {"version": str(quote.version), "title": "Hers", "margin_percent": "40"}
    assert owner_client.post(url, data).status_code == 302
    answer = owner_client.post(url, {**data, "title": "His", "margin_percent": "30"})
    quote.refresh_from_db()
    assert (quote.title, quote.margin_percent) == ("Hers", 40)
    stands = {
        line.label: (line.stands, line.typed) for line in answer.context["differences"]
    }
    assert stands["title"] == ("Hers", "His")
    assert b'value="His"' in answer.content


def test_a_line_that_somebody_took_off_can_be_put_back_as_typed(
    owner_client: StrictClient, quote: Quote
) -> None:
    add(owner_client, quote, "labour", **LABOUR)
    line = QuoteLine.objects.get()
    quote.refresh_from_db()
    owner_client.post(
        reverse("quote-line-remove", args=[quote.pk, line.pk]),
        {"version": str(quote.version)},
    )
    assert QuoteLine.objects.count() == 0
    answer = owner_client.post(
        reverse("quote-line", args=[quote.pk, line.pk]),
        {**LABOUR, "kind": "labour", "version": "2", "description": "Mine"},
    )
    assert b'value="Mine"' in answer.content
    assert b"took this line off" in answer.content
    assert QuoteLine.objects.count() == 0


def test_another_margin_prices_computed_lines_anew_and_leaves_typed_prices(
    owner_client: StrictClient, quote: Quote
) -> None:
    add(owner_client, quote, "labour", **LABOUR)
    add(
        owner_client,
        quote,
        "other",
        description="Stone",
        quantity="1",
        unit="lot",
        unit_cost="100",
        is_taxed="on",
    )
    quote.refresh_from_db()
    assert (quote.cost, quote.net) == (Decimal("480.00"), Decimal("766.67"))
    # 6 % on the stone alone; labour is not taxed here.
    assert (quote.tax, quote.gross) == (Decimal("10.00"), Decimal("776.67"))
    owner_client.post(
        reverse("quote-change", args=[quote.pk]),
        {"version": str(quote.version), "title": "Border", "margin_percent": "50"},
    )
    quote.refresh_from_db()
    assert quote.net == Decimal("800.00")


def test_a_client_with_a_certificate_pays_no_tax(
    owner_client: StrictClient, quote: Quote
) -> None:
    client = quote.garden.client
    type(client).objects.filter(pk=client.pk).update(tax_exempt_certificate="E-77")
    add(owner_client, quote, "labour", **LABOUR, is_taxed="on")
    quote.refresh_from_db()
    assert (quote.tax, quote.tax_name) == (Decimal("0.00"), "")
    assert b"certificate E-77" in owner_client.get(f"/quotes/{quote.pk}/").content


def test_a_price_below_cost_and_a_bed_without_plants_are_warned_of(
    owner_client: StrictClient, quote: Quote
) -> None:
    bed = quote.garden.beds.get()
    add(
        owner_client,
        quote,
        "mulch",
        bed=str(bed.pk),
        description="Bark",
        depth="3",
        unit_cost="30",
        unit_price="20",
    )
    page = quote_page(quote_id=quote.pk)
    assert page is not None
    # 2.222 cu yd: 66.66 against 44.44.
    assert page.warnings == (
        "This quote loses money: the price is 22.22 below the cost.",
        "Bed A gets soil or mulch but no plants in this quote.",
    )
    add(
        owner_client,
        quote,
        "plants",
        **plants(quote, plant=str(factories.PlantFactory())),
    )
    page = quote_page(quote_id=quote.pk)
    assert page is not None
    assert page.warnings == ()


def test_a_last_day_in_the_past_is_refused(
    owner_client: StrictClient, quote: Quote
) -> None:
    data = {"version": "1", "title": "Border", "margin_percent": "35"}
    url = reverse("quote-change", args=[quote.pk])
    with time_machine.travel(NOW, tick=False):
        answer = owner_client.post(url, {**data, "valid_until": "2026-03-01"})
        assert answer.context["form"].errors["valid_until"] == [
            "This day lies in the past."
        ]
        answer = owner_client.post(url, {**data, "valid_until": "2026-03-02"})
    assert answer.status_code == 302
    quote.refresh_from_db()
    assert quote.valid_until == dt.date(2026, 3, 2)


def test_an_amount_past_what_is_kept_is_refused_and_nothing_is_written(
    owner_client: StrictClient, quote: Quote
) -> None:
    with pytest.raises(AmountTooLarge):
        keep_lines(
            quote_id=quote.pk,
            version=1,
            details=[
                LineDetails(
                    kind="other",
                    description="Gold",
                    quantity=Decimal(1_000_000),
                    unit="bar",
                    unit_cost=Decimal("9999.99"),
                )
            ],
            by=factories.PersonFactory(),
            now=NOW,
        )
    quote.refresh_from_db()
    assert (quote.version, QuoteLine.objects.count()) == (1, 0)


def test_each_change_writes_one_line_of_the_record(
    owner_client: StrictClient, quote: Quote
) -> None:
    add(owner_client, quote, "labour", **LABOUR)
    entry = Entry.objects.get()
    assert (entry.action, entry.subject_id) == ("quote line kept", quote.pk)


@pytest.mark.parametrize("count", [1, 12])
def test_the_page_asks_as_often_for_twelve_lines_as_for_one(
    owner_client: StrictClient,
    quote: Quote,
    count: int,
    django_assert_num_queries: Any,
) -> None:
    bed = quote.garden.beds.get()
    for _number in range(count):
        factories.QuoteLineFactory(
            quote=quote,
            kind="plants",
            bed=bed,
            plant=factories.PlantFactory(),
            count_rule="typed",
        )
    owner_client.get(f"/quotes/{quote.pk}/")
    with django_assert_num_queries(22):
        owner_client.get(f"/quotes/{quote.pk}/")


def test_the_bookkeeper_reads_a_quote_but_changes_nothing(
    bookkeeper_client: StrictClient,
) -> None:
    quote = factories.QuoteFactory()
    factories.QuoteLineFactory(quote=quote)
    page = bookkeeper_client.get(f"/quotes/{quote.pk}/")
    assert page.status_code == 200
    assert b"$600.00" in page.content
    assert b"Take off" not in page.content
    url = reverse("quote-line-new", args=[quote.pk, "labour"])
    assert bookkeeper_client.get(url).status_code == 403
