"""What the pages of suppliers show, and which prices of a quote want a look."""

import datetime as dt
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, Max, Q, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from firm.money import round_half_up
from firm.queries import firm_or_blank
from firm.units import convert
from jobs.enums import ItemKind, LineKind, SizeClass
from jobs.models import (
    ItemPrice,
    PriceList,
    QuoteLine,
    Supplier,
    SupplierItem,
    SupplierName,
)
from jobs.queries.price_lists.names import plain_name
from jobs.queries.price_lists.sizes import read_measure
from jobs.queries.quote_prices import money_places
from plants.models import Plant, PlantName

MOST_OFFERED = 60
# What a line of the ground is bought as.
MATERIALS = {LineKind.SOIL: ItemKind.SOIL, LineKind.MULCH: ItemKind.MULCH}
# Everything else that is bought: pieces, lengths of edging, bags by weight.
GOODS = (ItemKind.FERTILISER, ItemKind.STAKES, ItemKind.EDGING, ItemKind.OTHER)
# Lines whose cost somebody asks for it; labour and delivery are the firm's own.
BOUGHT = (LineKind.PLANTS, LineKind.SOIL, LineKind.MULCH, LineKind.OTHER)
VOLUMES = ("cu yd", "cu ft", "m³", "L")
MEASURED = ("ft", "m", "lb", "kg")
# Shorter words, such as “for” and “bed”, stand in everything.
LEAST_WORD = 4


# --- suppliers and their items -------------------------------------------------------


def suppliers() -> list[Supplier]:
    """Every supplier by name, with how many items it lists and how old they are."""
    return list(
        Supplier.objects.annotate(
            listed=Count("items", filter=Q(items__is_listed=True)),
            newest=Max("items__priced_on"),
        ).order_by("name", "id")
    )


def supplier_by_id(*, supplier_id: int) -> Supplier | None:
    """The supplier."""
    return Supplier.objects.filter(pk=supplier_id).first()


def items_of(
    *, supplier_id: int, words: str = "", is_listed: bool | None = None
) -> QuerySet[SupplierItem]:
    """The supplier's items whose name, number, size or plant has every word."""
    found = SupplierItem.objects.filter(supplier_id=supplier_id)
    for word in words.split()[:8]:
        found = found.filter(
            Q(name__icontains=word)
            | Q(item_number__icontains=word)
            | Q(size_text__icontains=word)
            | Q(plant__common__icontains=word)
            | Q(plant__botanical__icontains=word)
        )
    if is_listed is not None:
        found = found.filter(is_listed=is_listed)
    return found.select_related("plant").order_by("name", "size_text", "id")


def item_by_id(*, item_id: int) -> SupplierItem | None:
    """The item with its supplier and plant."""
    return (
        SupplierItem.objects.select_related("supplier", "plant")
        .filter(pk=item_id)
        .first()
    )


def prices_of(*, item_id: int) -> list[ItemPrice]:
    """Every price the item ever had, the newest first."""
    return list(
        ItemPrice.objects.filter(item_id=item_id)
        .select_related("price_list", "by")
        .order_by("-priced_on", "-id")[:200]
    )


# --- lists ---------------------------------------------------------------------------


def lists_of(*, supplier_id: int) -> list[PriceList]:
    """The supplier's latest lists without their rows, the newest first."""
    return list(
        PriceList.objects.filter(supplier_id=supplier_id)
        .select_related("uploaded_by")
        .defer("lines", "content", "refused")
        .order_by("-uploaded_at", "-id")[:20]
    )


def list_by_id(*, list_id: int) -> PriceList | None:
    """The list with its supplier, without its file."""
    return (
        PriceList.objects.select_related("supplier", "uploaded_by")
        .defer("content")
        .filter(pk=list_id)
        .first()
    )


def list_state(*, list_id: int) -> PriceList | None:
    """The list as far as it came, without rows and file."""
    return (
        PriceList.objects.select_related("supplier")
        .defer("content", "lines", "refused")
        .filter(pk=list_id)
        .first()
    )


def catalogue_names() -> list[tuple[int, tuple[str, ...]]]:
    """Every plant that can be chosen, with all of its names; two queries."""
    names: dict[int, list[str]] = defaultdict(list)
    for plant, name in PlantName.objects.values_list("plant_id", "name"):
        names[plant].append(name)
    return [
        (pk, (botanical, common, *names[pk]))
        for pk, botanical, common in Plant.objects.filter(retired_at__isnull=True)
        .order_by("id")
        .values_list("pk", "botanical", "common")
    ]


def answers_of(*, supplier_id: int) -> dict[str, int | None]:
    """Which plant the supplier means by a name, as it was answered."""
    return dict(
        SupplierName.objects.filter(supplier_id=supplier_id).values_list(
            "name", "plant_id"
        )
    )


def plants_by_id(ids: Sequence[int]) -> dict[int, str]:
    """The labels of these plants."""
    return {plant.pk: str(plant) for plant in Plant.objects.filter(pk__in=ids)}


# --- what a line may be bought as ----------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Choice:
    """An item a line may be bought as, with what one of the line's unit costs."""

    item: SupplierItem
    price: Decimal
    # What is bought for the line: whole packs and bags, loose goods as they are needed.
    ordered: Decimal
    packs: int
    each: Decimal
    is_old: bool
    is_short: bool

    @property
    def is_broken(self) -> bool:
        """Whether the count reaches a price for more."""
        return self.price != self.item.price


def each_of(item: SupplierItem, line: QuoteLine) -> Decimal | None:
    """What one of the line's unit costs as this item; None where units do not meet.

    Whole packs and bags are paid, so what is left over of the last one is in it.
    """
    pieces = pieces_for(item, line)
    if not pieces:
        return None
    ordered = ordered_for(item, pieces)
    return round_half_up(
        item.price_each(ordered) * ordered / line.quantity, money_places()
    )


def ordered_for(item: SupplierItem, pieces: Decimal) -> Decimal:
    """What is bought where PIECES are needed: whole ones, unless it is sold loose."""
    if item.size_class == SizeClass.BULK and item.pack_quantity == 1:
        return pieces
    return Decimal(item.packs_for(pieces) * item.pack_quantity)


def pieces_for(item: SupplierItem, line: QuoteLine) -> Decimal | None:
    """How many pieces of the item a line comes to, by number or by what one holds."""
    if line.kind == LineKind.PLANTS:
        return line.quantity
    if line.unit in MEASURED:
        holds = read_measure(item.size_text, of=line.unit)
        return round_half_up(line.quantity / holds, 3) if holds else None
    if line.kind == LineKind.OTHER and line.unit not in VOLUMES:
        return line.quantity
    if item.volume_m3 is None or line.unit not in VOLUMES:
        return None
    volume = convert(line.quantity, unit=line.unit, to="m³")
    # A bag's volume is kept to nine places: 27.0000001 bags are 27.
    return round_half_up(volume / item.volume_m3, 3)


def may_be_bought_as(*, line: QuoteLine, item: SupplierItem) -> bool:
    """Whether the item is what the line is for: its plant, or its kind of material."""
    if line.kind == LineKind.PLANTS:
        return item.plant_id is not None and item.plant_id == line.plant_id
    if line.kind == LineKind.OTHER:
        return item.kind in GOODS
    return line.kind in MATERIALS and item.kind == MATERIALS[LineKind(line.kind)]


def _named_alike(line: QuoteLine) -> Q:
    """Items with a word of the line's in their name: stakes for “Stakes for Bed A”."""
    alike = Q(pk__in=())
    for word in plain_name(line.description).split()[:12]:
        if len(word) >= LEAST_WORD:
            alike |= Q(name__icontains=word.removesuffix("s"))
    return alike


def choices_for(*, line: QuoteLine, day: dt.date) -> list[Choice]:
    """Listed items of every supplier for a line, by size and then by price."""
    found = SupplierItem.objects.filter(
        is_listed=True, supplier__retired_at__isnull=True
    ).select_related("supplier")
    if line.kind == LineKind.PLANTS:
        found = found.filter(plant=line.plant, plant__isnull=False)
    elif line.kind in MATERIALS:
        found = found.filter(kind=MATERIALS[LineKind(line.kind)])
    elif line.kind == LineKind.OTHER:
        found = found.filter(_named_alike(line), kind__in=GOODS)
    else:
        return []
    oldest = day - dt.timedelta(days=firm_or_blank().price_age_days)
    rows = []
    for item in found.order_by("size_text", "price", "id")[:MOST_OFFERED]:
        pieces, each = pieces_for(item, line), each_of(item, line)
        if pieces is None or each is None:
            continue
        ordered = ordered_for(item, pieces)
        rows.append(
            Choice(
                item=item,
                price=item.price_for(ordered),
                ordered=ordered,
                packs=item.packs_for(ordered),
                each=each,
                is_old=item.priced_on < oldest,
                is_short=item.available is not None and item.available < ordered,
            )
        )
    return sorted(rows, key=lambda row: (row.item.size_text, row.each, row.item.pk))


# --- prices that want a look ---------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class PriceSeen:
    """A line that is bought: whose price it has, and why that wants a look, if so."""

    line: QuoteLine
    words: str
    is_looked_at: bool

    @property
    def is_open(self) -> bool:
        """Whether somebody has to look at it before the quote goes out."""
        return bool(self.words) and not self.is_looked_at


def prices_seen(*, quote_id: int, day: dt.date) -> list[PriceSeen]:
    """The lines of a quote that are bought, each with its price's standing."""
    oldest = day - dt.timedelta(days=firm_or_blank().price_age_days)
    rows = (
        QuoteLine.objects.filter(quote_id=quote_id)
        .filter(Q(kind__in=BOUGHT) | Q(supplier_item__isnull=False))
        .select_related("quote", "supplier_item__supplier", "price_looked_by")
        .order_by("position", "id")
    )
    return [
        PriceSeen(
            line=row,
            words=_doubt(row, day=day, oldest=oldest),
            is_looked_at=_is_looked_at(row, oldest=oldest),
        )
        for row in rows
    ]


def _is_looked_at(row: QuoteLine, *, oldest: dt.date) -> bool:
    """Whether somebody let the price stand, not too long ago and since it was asked."""
    if row.price_looked_at is None:
        return False
    looked_on = row.price_looked_at.date()
    item = row.supplier_item
    return looked_on >= oldest and (item is None or item.priced_on <= looked_on)


def _doubt(row: QuoteLine, *, day: dt.date, oldest: dt.date) -> str:
    item = row.supplier_item
    if not row.unit_cost:
        return _("no cost yet")
    # Whoever typed a cost looked at it that day.
    priced_on = row.priced_on or row.quote.created_at.date()
    days = (day - priced_on).days
    if item is None:
        if priced_on >= oldest:
            return ""
        return ngettext(
            "the cost was typed %(days)d day ago",
            "the cost was typed %(days)d days ago",
            days,
        ) % {"days": days}
    if not item.is_listed:
        return _("%(supplier)s no longer lists it") % {"supplier": item.supplier}
    each = each_of(item, row)
    if each is not None and each != row.unit_cost:
        return _("%(supplier)s asks %(each)s for this number, by %(day)s") % {
            "supplier": item.supplier,
            "each": each,
            "day": item.priced_on.isoformat(),
        }
    if max(item.priced_on, priced_on) < oldest:
        days = (day - max(item.priced_on, priced_on)).days
        return ngettext(
            "%(supplier)s's price is %(days)d day old",
            "%(supplier)s's price is %(days)d days old",
            days,
        ) % {"supplier": item.supplier, "days": days}
    return ""


def prices_open(*, quote_id: int, day: dt.date) -> list[PriceSeen]:
    """The lines of a quote whose price wants a look before it goes out."""
    return [seen for seen in prices_seen(quote_id=quote_id, day=day) if seen.is_open]
