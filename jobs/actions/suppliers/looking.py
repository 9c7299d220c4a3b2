"""Suppliers' prices on a quote's lines: taken from an item, or looked at and kept."""

import datetime as dt
from collections.abc import Collection

from django.db import transaction
from django.utils.translation import gettext as _

from firm.actions.record import record
from firm.models import Person
from firm.queries import firm_or_blank
from jobs.actions.quotes.lines import local_day, settle, take_draft
from jobs.actions.quotes.refusals import (
    NoSuchQuote,
    NotDrafting,
    QuoteRefused,
)
from jobs.enums import LineKind, OfferState, SizeClass
from jobs.models import Quote, QuoteLine, SupplierItem
from jobs.queries.suppliers import each_of, may_be_bought_as

PRICE_OF_LINE = (
    "unit_cost",
    "size_text",
    "typed",
    "supplier_item",
    "priced_on",
    "price_looked_at",
    "price_looked_by",
    "price_look_note",
)
SOLD_BY_SIZE = (SizeClass.CONTAINER, SizeClass.BALLED, SizeClass.BARE_ROOT)


class NoPriceFits(QuoteRefused):
    """The item is not sold in what the line counts."""

    def __init__(self) -> None:
        super().__init__(
            _("This item is gone or is not sold in what the line counts; choose again.")
        )


@transaction.atomic
def take_price(
    *,
    quote_id: int,
    version: int,
    line_id: int,
    item_id: int,
    by: Person,
    now: dt.datetime,
) -> Quote:
    """The draft with the line bought as this item, at its price for the line's count.

    The line's form then begins with that cost and size; the line keeps item and day.
    """
    quote = take_draft(quote_id=quote_id, version=version)
    line = quote.lines.filter(pk=line_id).first()
    item = (
        SupplierItem.objects.select_related("supplier")
        .filter(pk=item_id, is_listed=True)
        .first()
    )
    if line is None or item is None or not may_be_bought_as(line=line, item=item):
        raise NoPriceFits
    each = each_of(item, line)
    if each is None:
        raise NoPriceFits
    part = line.typed.get("part", "")
    words = {f"{part}_cost" if part else "unit_cost": str(each)}
    size = line.size_text
    if line.kind == LineKind.PLANTS:
        # A flat or a tray is no size that a plant's form reads; then none is named.
        size = item.size_text if item.size_class in SOLD_BY_SIZE else ""
        words["size"] = size
    mix = line.typed.get("mix", "")
    together = (
        quote.lines.filter(typed__mix=mix) if mix else quote.lines.filter(pk=line.pk)
    )
    for row in together.order_by("id"):
        row.typed = {
            **row.typed,
            "form": {**row.typed.get("form", {}), **words},
        }
        if row.pk == line.pk:
            row.unit_cost, row.size_text = each, size
            row.supplier_item, row.priced_on = item, item.priced_on
            row.price_looked_at = row.price_looked_by = None
            row.price_look_note = ""
        row.save(update_fields=PRICE_OF_LINE)
    settle(quote=quote, day=local_day(now, firm_or_blank()))
    record(
        action="supplier's price taken",
        subject=quote,
        summary=f"{quote}: {line.description} from {item.supplier} at {each}",
        now=now,
        by=by,
    )
    return quote


@transaction.atomic
def look_at_prices(
    *,
    quote_id: int,
    lines: Collection[int],
    note: str,
    by: Person,
    now: dt.datetime,
) -> Quote:
    """The draft with the prices of these lines looked at, by whom and when."""
    quote = Quote.objects.select_for_update().filter(pk=quote_id).first()
    if quote is None:
        raise NoSuchQuote
    if quote.state != OfferState.DRAFTING:
        raise NotDrafting
    QuoteLine.objects.filter(quote=quote, pk__in=lines).update(
        price_looked_at=now, price_looked_by=by, price_look_note=note[:200]
    )
    record(
        action="prices looked at",
        subject=quote,
        summary=f"{quote}: {len(lines)} lines; {note}",
        now=now,
        by=by,
    )
    return quote
