"""What was read of a list taken over into the supplier's items, as a whole."""

import datetime as dt
from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any

from django.db import transaction

from firm.actions.record import record
from jobs.actions.suppliers.items import priced
from jobs.actions.suppliers.refusals import ListMoved
from jobs.enums import ItemKind, PriceListState
from jobs.models import ItemPrice, PriceList, Supplier, SupplierItem
from plants.models import Plant

AT_ONCE = 500
MOST_REFUSED = 1000
TAKEN_OVER = (
    "kind",
    "plant",
    "name",
    "item_number",
    "size_text",
    "size_class",
    "volume_m3",
    "pack_quantity",
    "unit",
    "price",
    "is_per_pack",
    "breaks",
    "availability",
    "available",
    "priced_on",
    "weight_kg",
    "is_listed",
    "last_list",
)


@transaction.atomic
def take_list(*, list_id: int, now: dt.datetime) -> PriceList:
    """The list taken as a whole: items written, old prices kept, missing ones marked.

    Taken twice, nothing doubles: an item is found by its number, else name and size.
    """
    moved = PriceList.objects.filter(pk=list_id, state=PriceListState.TAKING).update(
        state=PriceListState.TAKEN, settled_at=now, content=None
    )
    if moved != 1:
        raise ListMoved
    kept = PriceList.objects.select_related("supplier").get(pk=list_id)
    supplier, lines = kept.supplier, kept.lines
    kept.rows_new, kept.rows_changed, kept.rows_same = compared(supplier, lines)
    before = known_items(supplier)
    gone = (
        []
        if kept.rows_refused > len(kept.refused)
        else missing(kept, lines=lines, refused=kept.refused)
    )
    alive = set(Plant.objects.values_list("pk", flat=True))
    for start in range(0, len(lines), AT_ONCE):
        rows = [_item(kept, line, alive) for line in lines[start : start + AT_ONCE]]
        # An older list never takes the place of newer prices.
        rows = [
            row
            for row in rows
            if row.key not in before or before[row.key][0] <= row.priced_on
        ]
        SupplierItem.objects.bulk_create(
            rows,
            update_conflicts=True,
            unique_fields=["supplier", "key"],
            update_fields=TAKEN_OVER,
        )
        changed = [
            row
            for row in rows
            if row.key not in before or priced(row) != before[row.key][1:]
        ]
        _keep_prices(kept, changed, now)
    kept.rows_unlisted = _mark(gone, supplier)
    kept.lines = []
    kept.save(
        update_fields=[
            "rows_new",
            "rows_changed",
            "rows_same",
            "rows_unlisted",
            "lines",
        ]
    )
    record(
        action="price list taken over",
        subject=kept,
        summary=(
            f"{supplier}: {kept.rows_new} new, {kept.rows_changed} changed, "
            f"{kept.rows_unlisted} no longer listed"
        ),
        now=now,
        by=None,
    )
    return kept


def known_items(supplier: Supplier) -> dict[str, tuple[Any, ...]]:
    """By the key of each item the day of its price, and what makes that price."""
    rows = SupplierItem.objects.filter(supplier=supplier).values_list(
        "key", "priced_on", "price", "is_per_pack", "pack_quantity", "breaks"
    )
    return {key: tuple(rest) for key, *rest in rows.iterator()}


def compared(
    supplier: Supplier, lines: Sequence[dict[str, Any]]
) -> tuple[int, int, int]:
    """How many lines are new, change a price, and leave it."""
    before = known_items(supplier)
    new = changed = 0
    for line in lines:
        known = before.get(line["key"])
        if known is None:
            new += 1
        elif known[1:] != _price_of(line):
            changed += 1
    return new, changed, len(lines) - new - changed


def _price_of(line: dict[str, Any]) -> tuple[Any, ...]:
    return Decimal(line["price"]), line["per_pack"], line["pack"], line["breaks"]


def _item(kept: PriceList, line: dict[str, Any], alive: set[int]) -> SupplierItem:
    price, is_per_pack, pack, breaks = _price_of(line)
    plant = line["plant"] if line["kind"] == ItemKind.PLANT else None
    return SupplierItem(
        supplier=kept.supplier,
        key=line["key"],
        kind=line["kind"],
        plant_id=plant if plant in alive else None,
        name=line["name"],
        item_number=line["number"],
        size_text=line["size"],
        size_class=line["class"],
        volume_m3=None if line["volume"] is None else Decimal(line["volume"]),
        pack_quantity=pack,
        unit=line["unit"],
        price=price,
        is_per_pack=is_per_pack,
        breaks=breaks,
        availability=line["availability"],
        available=line["available"],
        priced_on=kept.priced_on,
        weight_kg=None if line["weight"] is None else Decimal(line["weight"]),
        is_listed=True,
        last_list=kept,
    )


def _in_parts(keys: Sequence[str]) -> Iterator[Sequence[str]]:
    for start in range(0, len(keys), AT_ONCE):
        yield keys[start : start + AT_ONCE]


def _keep_prices(
    kept: PriceList, changed: Sequence[SupplierItem], now: dt.datetime
) -> None:
    """Each new price beside the earlier ones of its item."""
    ids = dict(
        SupplierItem.objects.filter(
            supplier=kept.supplier, key__in=[row.key for row in changed]
        ).values_list("key", "pk")
    )
    ItemPrice.objects.bulk_create(
        [
            ItemPrice(
                item_id=ids[row.key],
                priced_on=row.priced_on,
                price=row.price,
                is_per_pack=row.is_per_pack,
                pack_quantity=row.pack_quantity,
                breaks=row.breaks,
                price_list=kept,
                kept_at=now,
            )
            for row in changed
        ]
    )


def missing(
    kept: PriceList,
    *,
    lines: Sequence[dict[str, Any]],
    refused: Sequence[dict[str, Any]],
) -> list[str]:
    """The keys of listed items that a whole list no longer has; none of another kind.

    A row that could not be read is on the list all the same.
    """
    if not kept.is_whole or len(refused) > MOST_REFUSED:
        # Of so many bad rows not all are kept to tell which items they were.
        return []
    listed = SupplierItem.objects.filter(
        supplier=kept.supplier, is_listed=True, priced_on__lte=kept.priced_on
    )
    listed = (
        listed.filter(kind=ItemKind.PLANT)
        if kept.kind == ItemKind.PLANT
        else listed.exclude(kind=ItemKind.PLANT)
    )
    there = {row["key"] for row in (*lines, *refused)}
    return [key for key in listed.values_list("key", flat=True) if key not in there]


def _mark(gone: Sequence[str], supplier: Supplier) -> int:
    """How many items with these keys are on the list no more."""
    count = 0
    for keys in _in_parts(gone):
        count += SupplierItem.objects.filter(supplier=supplier, key__in=keys).update(
            is_listed=False
        )
    return count
