"""Suppliers' lists, from the file to the price on a quote's line."""

import datetime as dt
from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from jobs.actions.suppliers import (
    ListMoved,
    order_taking,
    take_list,
)
from jobs.enums import PriceListState
from jobs.imports import work_on_next
from jobs.models import (
    ItemPrice,
    PriceList,
    Supplier,
    SupplierItem,
    SupplierName,
)
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW, TODAY

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
