"""Suppliers' lists, from the file to the price on a quote's line."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from firm.models import Person
from jobs.actions.quotes import LineDetails, keep_lines, offer
from jobs.actions.quotes.refusals import PricesToLookAt
from jobs.actions.suppliers import (
    ListMoved,
    NoPriceFits,
    look_at_prices,
    order_taking,
    take_list,
    take_price,
)
from jobs.enums import PriceListState
from jobs.imports import work_on_next
from jobs.models import (
    ItemPrice,
    PriceList,
    Quote,
    QuoteLine,
    Supplier,
    SupplierItem,
    SupplierName,
)
from jobs.queries.suppliers import choices_for, prices_open, prices_seen
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW, TODAY
from tests.jobs.offer_samples import LAST, ready

pytestmark = pytest.mark.django_db

HEADS = "Item #,Botanical name,Size,Unit price,10+,Avail\n"
LIST = (
    "Alder Bank spring prices,,,,,\n"
    + HEADS
    + "A1,Hydrangea arborescens ‘Anabelle’,#3,$24.00,21.50,120\n"
    "A2,Hydrangea arborescens 'Incrediball',#3,26.00,,sold out\n"
    "A3,Hydrangea arborescens 'Annabelle',#5,call,,\n"
)


@pytest.fixture
def supplier() -> Supplier:
    made: Supplier = factories.SupplierFactory(name="Alder Bank Nursery")
    return made


def upload(
    client: StrictClient, supplier: Supplier, text: str, *, day: dt.date = TODAY
) -> PriceList:
    """The list, uploaded and read by the columns that were guessed."""
    answer = client.post(
        reverse("price-list-new", args=[supplier.pk]),
        {
            "file": SimpleUploadedFile("spring.csv", text.encode()),
            "priced_on": day.isoformat(),
            "kind": "plant",
            "is_whole": "on",
        },
    )
    assert answer.status_code == 302, answer.context["form"].errors
    kept = PriceList.objects.get(state=PriceListState.COLUMNS)
    chosen = {
        f"column_{place}": name for place, name in enumerate(kept.columns["chosen"])
    }
    answer = client.post(reverse("price-list-columns", args=[kept.pk]), chosen)
    assert answer.status_code == 302, answer.context["form"].errors
    kept.refresh_from_db()
    return kept


def test_a_list_goes_from_file_to_items_and_a_second_one_changes_only_prices(
    owner_client: StrictClient, supplier: Supplier
) -> None:
    factories.FirmFactory()
    annabelle = factories.PlantFactory(
        common="Annabelle hydrangea", botanical="Hydrangea arborescens 'Annabelle'"
    )
    kept = upload(owner_client, supplier, LIST)
    assert kept.state == PriceListState.PREVIEW
    assert (kept.rows_read, kept.rows_new, kept.rows_refused) == (3, 2, 1)
    assert kept.refused[0]["row"] == 5 and kept.refused[0]["column"] == "Unit price"
    assert not SupplierItem.objects.exists()
    page = owner_client.get(reverse("price-list", args=[kept.pk]))
    assert "row 5" in page.content.decode()
    names = reverse("price-list-names", args=[kept.pk])
    assert "Incrediball" in owner_client.get(names).content.decode()
    assert owner_client.post(names, {"plant_0": "none"}).status_code == 302
    assert SupplierName.objects.get().plant is None
    owner_client.post(reverse("price-list-take", args=[kept.pk]))
    first = SupplierItem.objects.get(item_number="A1")
    assert (first.plant, first.price, first.available) == (annabelle, 24, 120)
    assert first.breaks == [{"from": 10, "price": "21.5000"}]
    assert SupplierItem.objects.get(item_number="A2").plant is None
    with pytest.raises(ListMoved):
        order_taking(list_id=kept.pk, by=kept.uploaded_by, now=NOW)

    again = upload(owner_client, supplier, LIST, day=TODAY)
    assert (again.rows_new, again.rows_changed, again.rows_same) == (0, 0, 2)
    assert all(not line["asked"] for line in again.lines)
    owner_client.post(reverse("price-list-take", args=[again.pk]))
    assert SupplierItem.objects.count() == 2 and ItemPrice.objects.count() == 2

    day = TODAY + dt.timedelta(days=3)
    later = upload(
        owner_client,
        supplier,
        HEADS + "A1,Hydrangea arborescens 'Annabelle',#3,25.00,22.00,9\n",
        day=day,
    )
    assert (later.rows_changed, later.rows_unlisted) == (1, 1)
    owner_client.post(reverse("price-list-take", args=[later.pk]))
    first.refresh_from_db()
    assert (first.price, first.priced_on) == (25, day)
    assert [price.price for price in first.prices.order_by("id")] == [24, 25]
    assert not SupplierItem.objects.get(item_number="A2").is_listed
    later.refresh_from_db()
    assert (later.rows_changed, later.rows_unlisted) == (1, 1)


def test_what_the_columns_are_is_asked_once_and_remembered_for_that_supplier(
    owner_client: StrictClient, supplier: Supplier
) -> None:
    factories.FirmFactory()
    sheet = b'Was,Wieviel,10 Stk\nAcer rubrum,"8,50","7,25"\n'
    sent = {"priced_on": "2026-01-05", "kind": "plant"}

    def uploaded(whose: Supplier) -> PriceList:
        owner_client.post(
            reverse("price-list-new", args=[whose.pk]),
            {**sent, "file": SimpleUploadedFile("liste.csv", sheet)},
        )
        return PriceList.objects.order_by("id").last()  # type: ignore[return-value]

    first = uploaded(supplier)
    assert first.columns["chosen"] == ["", "", ""]
    address = reverse("price-list-columns", args=[first.pk])
    without = owner_client.post(address, {"column_0": "name"})
    assert "Say which column holds the price." in without.content.decode()
    owner_client.post(
        address, {"column_0": "name", "column_1": "price", "column_2": ""}
    )
    first.refresh_from_db()
    assert [line["price"] for line in first.lines] == ["8.5000"]
    assert uploaded(supplier).columns["chosen"] == ["name", "price", ""]
    other = factories.SupplierFactory(name="Another yard")
    assert uploaded(other).columns["chosen"] == ["", "", ""]


def test_a_row_that_cannot_be_read_does_not_strike_its_item_off(
    owner_client: StrictClient, supplier: Supplier
) -> None:
    factories.FirmFactory()
    factories.SupplierItemFactory(supplier=supplier, key="n:a3", item_number="A3")
    kept = upload(owner_client, supplier, LIST)
    owner_client.post(reverse("price-list-take", args=[kept.pk]))
    assert SupplierItem.objects.get(key="n:a3").is_listed


def test_an_older_list_leaves_newer_prices_alone(
    owner_client: StrictClient, supplier: Supplier
) -> None:
    factories.FirmFactory()
    item = factories.SupplierItemFactory(supplier=supplier, key="n:a1", price=30)
    kept = upload(owner_client, supplier, LIST, day=TODAY - dt.timedelta(days=9))
    owner_client.post(reverse("price-list-take", args=[kept.pk]))
    item.refresh_from_db()
    assert (item.price, item.priced_on, item.is_listed) == (30, TODAY, True)


def test_a_long_list_is_read_and_taken_off_the_request(
    owner_client: StrictClient, supplier: Supplier, monkeypatch: pytest.MonkeyPatch
) -> None:
    factories.FirmFactory()
    monkeypatch.setattr("jobs.imports.SMALL_BYTES", 0)
    kept = upload(owner_client, supplier, LIST)
    assert kept.state == PriceListState.TO_READ
    page = owner_client.get(reverse("price-list", args=[kept.pk])).content.decode()
    assert "You may leave this page" in page
    assert work_on_next(now=NOW)
    owner_client.post(reverse("price-list-take", args=[kept.pk]))
    assert not SupplierItem.objects.exists()
    assert work_on_next(now=NOW)
    assert SupplierItem.objects.count() == 2
    assert not work_on_next(now=NOW)
    with pytest.raises(ListMoved):
        take_list(list_id=kept.pk, now=NOW)


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("list.pdf", b"%PDF-1.7 nothing", "not a list"),
        ("empty.csv", b"  \n", "empty"),
        ("heads.csv", b"Name,Price\n", "no rows"),
        ("bad.xlsx", b"PK\x03\x04broken", "not a workbook"),
        ("nul.csv", b"Name,Price\nAster\0,4.00\n", "not a list"),
    ],
)
def test_a_file_that_is_no_list_is_refused_beside_its_field(
    owner_client: StrictClient,
    supplier: Supplier,
    name: str,
    content: bytes,
    words: str,
) -> None:
    factories.FirmFactory()
    answer = owner_client.post(
        reverse("price-list-new", args=[supplier.pk]),
        {
            "file": SimpleUploadedFile(name, content),
            "priced_on": "2026-01-05",
            "kind": "plant",
        },
    )
    assert words in str(answer.context["form"].errors["file"])
    assert not PriceList.objects.exists()


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


def test_a_supplier_and_an_item_are_written_by_hand(
    owner_client: StrictClient, supplier: Supplier
) -> None:
    factories.FirmFactory()
    taken = owner_client.post(
        reverse("supplier-new"), {"name": supplier.name, "version": 1}
    )
    assert "already a supplier" in str(taken.context["form"].errors)
    typed = {
        "version": 1,
        "name": "Oak stake",
        "kind": "stakes",
        "pack_quantity": 1,
        "price": "$3.25",
        "breaks": "10+ 3.00",
        "priced_on": "2026-01-05",
        "weight": "4 lb",
        "is_listed": "on",
    }
    new = reverse("supplier-item-new", args=[supplier.pk])
    assert owner_client.post(new, typed).status_code == 302
    item = SupplierItem.objects.get()
    assert (item.price, item.weight_kg) == (Decimal("3.25"), Decimal("1.814"))
    assert "of that number" in str(owner_client.post(new, typed).content)
    change = reverse("supplier-item", args=[item.pk])
    dearer = {**typed, "price": "3.50"}
    assert owner_client.post(change, dearer).status_code == 302
    stale = owner_client.post(change, typed)
    assert "Somebody else changed this" in stale.content.decode()
    assert [row.price for row in item.prices.order_by("id")] == [
        Decimal("3.25"),
        Decimal("3.50"),
    ]
    found = owner_client.get(reverse("supplier", args=[supplier.pk]), {"q": "oak"})
    assert "Oak stake" in found.content.decode()
    none = owner_client.get(reverse("supplier", args=[supplier.pk]), {"q": "elm"})
    assert "No item is found so" in none.content.decode()


def test_the_list_of_suppliers_asks_the_same_for_one_and_three(
    owner_client: StrictClient,
) -> None:
    factories.FirmFactory()
    counts = []
    for _turn in range(2):
        supplier = factories.SupplierFactory()
        for number in range(1 if not counts else 3):
            factories.SupplierItemFactory(
                supplier=supplier,
                plant=factories.PlantFactory(key=f"p-{len(counts)}-{number}"),
            )
        with CaptureQueriesContext(connection) as asked:
            owner_client.get(reverse("suppliers"))
            owner_client.get(reverse("supplier", args=[supplier.pk]))
        counts.append(len(asked))
    assert counts[0] == counts[1]
