"""Suppliers' prices on a quote's lines, and prices that want a look."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from firm.models import Person
from jobs.actions.quotes import LineDetails, keep_lines, offer
from jobs.actions.quotes.refusals import PricesToLookAt
from jobs.actions.suppliers import (
    NoPriceFits,
    look_at_prices,
    take_price,
)
from jobs.models import (
    Quote,
    QuoteLine,
    SupplierItem,
)
from jobs.queries.suppliers import choices_for, prices_open, prices_seen
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW, TODAY
from tests.jobs.offer_samples import LAST, ready

pytestmark = pytest.mark.django_db


def bought(quote: Quote, **changes: object) -> QuoteLine:
    """The line of plants, with these columns."""
    QuoteLine.objects.filter(quote=quote, kind="plants").update(**changes)
    line: QuoteLine = quote.lines.get(kind="plants")
    return line


def offer_now(quote: Quote, person: Person) -> object:
    quote.refresh_from_db()
    return offer(
        quote_id=quote.pk,
        version=quote.version,
        contact_id=None,
        valid_until=LAST,
        by=person,
        now=NOW,
    )


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"unit_cost": 0}, "no cost yet"),
        (
            {"priced_on": TODAY - dt.timedelta(days=61)},
            "the cost was typed 61 days ago",
        ),
    ],
)
def test_a_missing_or_old_price_holds_an_offer_back_until_somebody_says_it_stands(
    owner: Person, owner_client: StrictClient, changes: dict[str, object], words: str
) -> None:
    quote = ready()
    line = bought(quote, **changes)
    (seen,) = prices_open(quote_id=quote.pk, day=TODAY)
    assert (seen.line, seen.words) == (line, words)
    with pytest.raises(PricesToLookAt, match="price of 1 line is old"):
        offer_now(quote, owner)
    page = owner_client.get(reverse("quote", args=[quote.pk])).content.decode()
    assert "1 price wants a look" in page
    page = owner_client.get(reverse("quote-offer", args=[quote.pk])).content.decode()
    assert "1 price wants a look" in page
    address = reverse("quote-bought", args=[quote.pk])
    without = owner_client.post(address, {"line": line.pk})
    assert without.context["form"].errors["note"] == ["This field is required."]
    look_at_prices(quote_id=quote.pk, lines=[line.pk], note="asked", by=owner, now=NOW)
    line.refresh_from_db()
    assert (line.price_looked_by, line.price_looked_at) == (owner, NOW)
    assert line.price_look_note == "asked"
    late = TODAY + dt.timedelta(days=61)
    # What was let stand is looked at anew when that is as old.
    assert len(prices_open(quote_id=quote.pk, day=late)) == 1
    assert offer_now(quote, owner)


def test_a_typed_cost_was_looked_at_by_whoever_typed_it(owner: Person) -> None:
    quote = ready()
    line = bought(quote, priced_on=TODAY - dt.timedelta(days=400))
    details = LineDetails(
        kind="plants",
        bed=line.bed,
        plant=line.plant,
        count_rule="typed",
        description="Wood aster",
        quantity=Decimal(69),
        unit="plants",
        unit_cost=Decimal("12.34"),
    )
    assert prices_open(quote_id=quote.pk, day=TODAY)
    keep_lines(
        quote_id=quote.pk,
        version=quote.version,
        details=[details],
        instead_of=[line.pk],
        by=owner,
        now=NOW,
    )
    line.refresh_from_db()
    assert (line.priced_on, line.supplier_item) == (TODAY, None)
    assert prices_open(quote_id=quote.pk, day=TODAY + dt.timedelta(days=60)) == []
    assert offer_now(quote, owner)


def test_a_suppliers_price_is_taken_with_its_break_and_flagged_when_it_is_old(
    owner: Person, owner_client: StrictClient
) -> None:
    quote = ready()
    line = bought(quote)
    item = factories.SupplierItemFactory(plant=line.plant)
    other = factories.SupplierItemFactory(plant=factories.PlantFactory(key="other"))
    assert [choice.item for choice in choices_for(line=line, day=TODAY)] == [item]
    address = reverse("quote-line-price", args=[quote.pk, line.pk])
    assert "21.50" in owner_client.get(address).content.decode()
    with pytest.raises(NoPriceFits):
        take_price(
            quote_id=quote.pk,
            version=quote.version,
            line_id=line.pk,
            item_id=other.pk,
            by=owner,
            now=NOW,
        )
    quote.refresh_from_db()
    answer = owner_client.post(address, {"version": quote.version, "item": item.pk})
    assert answer.status_code == 302
    line.refresh_from_db()
    assert (line.unit_cost, line.supplier_item, line.priced_on) == (
        Decimal("21.50"),
        item,
        TODAY,
    )
    assert not prices_open(quote_id=quote.pk, day=TODAY + dt.timedelta(days=60))
    old = prices_open(quote_id=quote.pk, day=TODAY + dt.timedelta(days=61))
    assert [seen.words for seen in old] == [f"{item.supplier}'s price is 61 days old"]
    SupplierItem.objects.filter(pk=item.pk).update(breaks=[])
    (dearer,) = prices_open(quote_id=quote.pk, day=TODAY)
    assert "asks 24.00 for this number" in dearer.words
    SupplierItem.objects.filter(pk=item.pk).update(is_listed=False)
    (gone,) = prices_open(quote_id=quote.pk, day=TODAY)
    assert "no longer lists it" in gone.words


def test_mulch_by_the_bag_is_priced_by_the_yard(owner: Person) -> None:
    quote = ready()
    line = factories.QuoteLineFactory(
        quote=quote, kind="mulch", unit="cu yd", quantity=Decimal("2.000")
    )
    bag = factories.SupplierItemFactory(
        kind="mulch",
        name="Bark mulch",
        size_text="2 cu ft bag",
        volume_m3=Decimal("0.056633693"),
        price=Decimal("4.00"),
        breaks=[],
    )
    factories.SupplierItemFactory(kind="mulch", name="Bark mulch, loose", size_text="?")
    (choice,) = choices_for(line=line, day=TODAY)
    # 27 cubic feet are a cubic yard: 13.5 bags.
    assert (choice.item, choice.each, choice.packs) == (bag, Decimal("54.00"), 27)
    assert [seen.words for seen in prices_seen(quote_id=quote.pk, day=TODAY)][-1] == ""


@pytest.mark.parametrize(
    ("line", "item", "ordered", "each"),
    [
        # Two flats for 33 plants: 2 × 57.60 / 33.
        (
            {"kind": "plants", "unit": "plants", "quantity": 33},
            {"size_text": "flat of 32", "pack_quantity": 32, "is_per_pack": True,
             "price": "57.60"},
            64, "3.49",
        ),
        # One flat holds exactly 32 and is not rounded up to two: 57.60 / 32.
        (
            {"kind": "plants", "unit": "plants", "quantity": 32},
            {"size_text": "flat of 32", "pack_quantity": 32, "is_per_pack": True,
             "price": "57.60"},
            32, "1.80",
        ),
        # 1.5 cubic yards are 20.25 bags of 2 cubic feet: 21 × 4.00 / 1.5.
        (
            {"kind": "mulch", "unit": "cu yd", "quantity": "1.5"},
            {"kind": "mulch", "size_text": "2 cu ft bag", "price": "4.00",
             "volume_m3": "0.056633693"},
            21, "56.00",
        ),
        # Loose goods are bought as they are needed.
        (
            {"kind": "mulch", "unit": "cu yd", "quantity": "1.5"},
            {"kind": "mulch", "size_text": "cu yd, loose", "size_class": "bulk",
             "price": "34.00", "volume_m3": "0.764554858"},
            Decimal("1.500"), "34.00",
        ),
        # 50 ft of edging are four lengths of 16 ft: 4 × 31 / 50.
        (
            {"kind": "other", "unit": "ft", "quantity": 50,
             "description": "Edging of Bed A"},
            {"kind": "edging", "name": "Steel edging", "size_text": "16 ft",
             "price": "31.00"},
            4, "2.48",
        ),
        # 12 lb come in one bag of 25 lb: 22.50 / 12, half up.
        (
            {"kind": "other", "unit": "lb", "quantity": 12,
             "description": "Fertilizer for Bed A"},
            {"kind": "fertiliser", "name": "Starter fertilizer",
             "size_text": "25 lb bag", "price": "22.50"},
            1, "1.88",
        ),
        # Twelve stakes reach the price from ten on.
        (
            {"kind": "other", "unit": "pieces", "quantity": 12,
             "description": "Stakes for Bed A"},
            {"kind": "stakes", "name": "Oak stake", "size_text": "6 ft",
             "price": "3.60", "breaks": [{"from": 10, "price": "3.20"}]},
            12, "3.20",
        ),
    ],
)  # fmt: skip
def test_whole_packs_bags_and_lengths_are_paid_and_breaks_are_reached(
    line: dict[str, Any], item: dict[str, Any], ordered: Decimal, each: str
) -> None:
    factories.FirmFactory()
    plants: dict[str, Any] = {}
    if line["kind"] == "plants":
        plants = {"plant": factories.PlantFactory()}
        line = {**line, "count_rule": "typed"}
    quote = factories.QuoteFactory()
    row = factories.QuoteLineFactory(quote=quote, **line, **plants)
    row.refresh_from_db()
    factories.SupplierItemFactory(**{"breaks": [], "key": "one", **item, **plants})
    # Another thing is not offered for it.
    factories.SupplierItemFactory(kind="other", name="Wheelbarrow", size_text="")
    (choice,) = choices_for(line=row, day=TODAY)
    assert (choice.ordered, choice.each) == (ordered, Decimal(each))
