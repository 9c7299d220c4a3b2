"""Lines of a quote being drafted, and the totals under them."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import F, Max

from firm.actions.record import SomebodyElseChangedIt, record
from firm.models import Client, Firm, Person
from firm.money import price_at_margin
from firm.queries import firm_or_blank, tax_on
from jobs.actions.quotes.refusals import (
    AmountTooLarge,
    NoSuchQuote,
    NotDrafting,
    TooManyLines,
)
from jobs.enums import OfferState
from jobs.models import Quote, QuoteLine
from jobs.pricing import Line, Totals, price_line, total_quote
from jobs.queries.quotes import money_places
from plants.models import Bed, Plant

# The columns keep ten digits before the point; sums of lines must stay in them, too.
LARGEST = Decimal(1_000_000_000)
MOST_LINES = 400
PRICED = ("unit_price", "cost", "price")


@dataclass(frozen=True, kw_only=True)
class LineDetails:
    """One line as it was typed and worked out; no unit price: the quote's margin."""

    kind: str
    description: str
    quantity: Decimal
    unit: str
    unit_cost: Decimal
    unit_price: Decimal | None = None
    is_taxed: bool = True
    bed: Bed | None = None
    plant: Plant | None = None
    count_rule: str = ""
    size_text: str = ""
    spacing_text: str = ""
    spacing_m: Decimal | None = None
    computed_quantity: Decimal | None = None
    formula: str = ""
    typed: dict[str, Any] = field(default_factory=dict)

    def columns(self) -> dict[str, Any]:
        """The columns of the row that do not depend on the quote."""
        values = dict(vars(self))
        values["price_is_typed"] = self.unit_price is not None
        values["unit_price"] = self.unit_price or Decimal(0)
        return values


def local_day(now: dt.datetime, firm: Firm) -> dt.date:
    """The firm's day at the instant NOW."""
    return now.astimezone(ZoneInfo(firm.time_zone)).date()


def take_draft(*, quote_id: int, version: int) -> Quote:
    """The draft, now the caller's at the next version; call it inside a transaction."""
    taken = Quote.objects.filter(
        pk=quote_id, version=version, state=OfferState.DRAFTING
    ).update(version=F("version") + 1)
    quote = Quote.objects.select_related("garden__client").filter(pk=quote_id).first()
    if quote is None:
        raise NoSuchQuote
    if taken != 1:
        raise (
            NotDrafting
            if quote.state != OfferState.DRAFTING
            else (SomebodyElseChangedIt)
        )
    return quote


def tax_for(*, client: Client, day: dt.date) -> tuple[str, Decimal]:
    """Name and percent of the tax that CLIENT pays on DAY."""
    if client.tax_exempt_certificate:
        return "", Decimal(0)
    return tax_on(day=day)


def price_row(row: QuoteLine, *, quote: Quote, places: int) -> Line:
    """The line of ROW priced from its cost at the quote's margin or as typed."""
    if row.quantity * max(row.unit_cost, row.unit_price) >= LARGEST:
        raise AmountTooLarge
    line = price_line(
        kind=row.kind,
        quantity=row.quantity,
        unit_cost=row.unit_cost,
        margin_percent=quote.margin_percent,
        unit_price=row.unit_price if row.price_is_typed else None,
        taxable=row.is_taxed,
        places=places,
    )
    if line.price >= LARGEST:
        raise AmountTooLarge
    row.cost, row.price = line.cost, line.price
    if not row.price_is_typed:
        row.unit_price = price_at_margin(
            cost=row.unit_cost, margin_percent=quote.margin_percent, places=places
        )
    return line


def settle(*, quote: Quote, day: dt.date) -> Totals:
    """The draft's lines priced anew and its totals with the tax of DAY, all stored."""
    firm = firm_or_blank()
    places = money_places()
    rows = list(quote.lines.order_by("position", "id"))
    lines = [price_row(row, quote=quote, places=places) for row in rows]
    QuoteLine.objects.bulk_update(rows, PRICED)
    quote.tax_name, quote.tax_percent = tax_for(client=quote.garden.client, day=day)
    quote.tax_rounding = firm.tax_rounding
    totals = total_quote(
        lines,
        tax_percent=quote.tax_percent,
        tax_rounding=quote.tax_rounding,
        places=places,
    )
    if max(totals.cost, totals.tax.gross) >= LARGEST:
        raise AmountTooLarge
    quote.cost = totals.cost
    quote.net, quote.tax, quote.gross = (
        totals.tax.net,
        totals.tax.tax,
        totals.tax.gross,
    )
    quote.save(
        update_fields=[
            "tax_name",
            "tax_percent",
            "tax_rounding",
            "cost",
            "net",
            "tax",
            "gross",
        ]
    )
    return totals


@transaction.atomic
def keep_lines(
    *,
    quote_id: int,
    version: int,
    details: Sequence[LineDetails],
    instead_of: Sequence[int] = (),
    by: Person,
    now: dt.datetime,
) -> Quote:
    """The draft with these lines, which take the place of those in INSTEAD_OF."""
    quote = take_draft(quote_id=quote_id, version=version)
    old = list(quote.lines.filter(pk__in=instead_of).order_by("position", "id"))
    if len(old) != len(instead_of):
        raise SomebodyElseChangedIt
    last = quote.lines.aggregate(last=Max("position"))["last"] or 0
    if quote.lines.count() - len(old) + len(details) > MOST_LINES:
        raise TooManyLines(MOST_LINES)
    for index, detail in enumerate(details):
        if index < len(old):
            row = old[index]
            for name, value in detail.columns().items():
                setattr(row, name, value)
        else:
            last += 1
            row = QuoteLine(quote=quote, position=last, **detail.columns())
        price_row(row, quote=quote, places=money_places())
        row.save()
    for row in old[len(details) :]:
        row.delete()
    settle(quote=quote, day=local_day(now, firm_or_blank()))
    record(
        action="quote line kept",
        subject=quote,
        summary=f"{quote}: {'; '.join(detail.description for detail in details)}",
        now=now,
        by=by,
    )
    return quote


@transaction.atomic
def remove_lines(
    *,
    quote_id: int,
    version: int,
    lines: Sequence[int],
    by: Person,
    now: dt.datetime,
) -> Quote:
    """The draft without these lines."""
    quote = take_draft(quote_id=quote_id, version=version)
    rows = list(quote.lines.filter(pk__in=lines).order_by("position", "id"))
    if not rows:
        raise SomebodyElseChangedIt
    words = "; ".join(row.description for row in rows)
    for row in rows:
        row.delete()
    settle(quote=quote, day=local_day(now, firm_or_blank()))
    record(
        action="quote line removed",
        subject=quote,
        summary=f"{quote}: {words}",
        now=now,
        by=by,
    )
    return quote
