"""Suppliers and single items, written by hand."""

import datetime as dt
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import F

from firm.actions.record import SomebodyElseChangedIt, record
from firm.models import Person
from jobs.actions.suppliers.refusals import ItemTaken, NameTaken, NoSuchItem
from jobs.models import ItemPrice, Supplier, SupplierItem
from plants.models import Plant


@dataclass(frozen=True, kw_only=True)
class SupplierDetails:
    """What is kept of a supplier beside its items."""

    name: str
    contact: str = ""
    phone: str = ""
    email: str = ""
    note: str = ""
    delivery_cost: Decimal | None = None


@dataclass(frozen=True, kw_only=True)
class ItemDetails:
    """An item as it was typed; KEY is what later lists find it by."""

    key: str
    kind: str
    plant: Plant | None
    name: str
    price: Decimal
    priced_on: dt.date
    item_number: str = ""
    size_text: str = ""
    size_class: str = "unknown"
    volume_m3: Decimal | None = None
    pack_quantity: int = 1
    unit: str = ""
    is_per_pack: bool = False
    breaks: list[dict[str, Any]] = field(default_factory=list)
    availability: str = ""
    available: int | None = None
    weight_kg: Decimal | None = None
    is_listed: bool = True


@transaction.atomic
def create_supplier(
    *, details: SupplierDetails, by: Person, now: dt.datetime
) -> Supplier:
    """The new supplier; a name that is taken is refused."""
    try:
        with transaction.atomic():
            made = Supplier.objects.create(**vars(details))
    except IntegrityError as error:
        raise NameTaken from error
    record(action="supplier added", subject=made, summary=made.name, now=now, by=by)
    return made


@transaction.atomic
def change_supplier(
    *,
    supplier_id: int,
    version: int,
    details: SupplierDetails,
    by: Person,
    now: dt.datetime,
) -> Supplier:
    """The supplier as it was typed; of two people the second is told."""
    try:
        with transaction.atomic():
            changed = Supplier.objects.filter(pk=supplier_id, version=version).update(
                **vars(details), version=F("version") + 1
            )
    except IntegrityError as error:
        raise NameTaken from error
    if changed != 1:
        raise SomebodyElseChangedIt
    supplier = Supplier.objects.get(pk=supplier_id)
    record(
        action="supplier changed",
        subject=supplier,
        summary=supplier.name,
        now=now,
        by=by,
    )
    return supplier


@transaction.atomic
def create_item(
    *, supplier_id: int, details: ItemDetails, by: Person, now: dt.datetime
) -> SupplierItem:
    """The new item with its first price."""
    supplier = Supplier.objects.filter(pk=supplier_id).first()
    if supplier is None:
        raise NoSuchItem
    try:
        with transaction.atomic():
            item = SupplierItem.objects.create(supplier=supplier, **vars(details))
    except IntegrityError as error:
        raise ItemTaken from error
    _keep_price(item, by=by, now=now)
    record(
        action="item added",
        subject=item,
        summary=f"{supplier}: {item}",
        now=now,
        by=by,
    )
    return item


@transaction.atomic
def change_item(
    *,
    item_id: int,
    version: int,
    details: ItemDetails,
    by: Person,
    now: dt.datetime,
) -> SupplierItem:
    """The item as it was typed; a price that changed joins its earlier ones."""
    before = SupplierItem.objects.filter(pk=item_id).first()
    if before is None:
        raise NoSuchItem
    try:
        with transaction.atomic():
            changed = SupplierItem.objects.filter(pk=item_id, version=version).update(
                **vars(details), version=F("version") + 1
            )
    except IntegrityError as error:
        raise ItemTaken from error
    if changed != 1:
        raise SomebodyElseChangedIt
    item = SupplierItem.objects.select_related("supplier").get(pk=item_id)
    if priced(before) != priced(item):
        _keep_price(item, by=by, now=now)
    record(
        action="item changed",
        subject=item,
        summary=f"{item.supplier}: {item}",
        now=now,
        by=by,
    )
    return item


def priced(item: SupplierItem) -> tuple[Any, ...]:
    """What makes a price another one."""
    return item.price, item.is_per_pack, item.pack_quantity, item.breaks


def _keep_price(item: SupplierItem, *, by: Person, now: dt.datetime) -> None:
    ItemPrice.objects.create(
        item=item,
        priced_on=item.priced_on,
        price=item.price,
        is_per_pack=item.is_per_pack,
        pack_quantity=item.pack_quantity,
        breaks=item.breaks,
        by=by,
        kept_at=now,
    )
