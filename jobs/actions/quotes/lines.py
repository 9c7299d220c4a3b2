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
from firm.enums import TaxCategory
from firm.models import Firm, Person, TaxRegion
from firm.models.tax import CHARGED
from firm.queries import (
    NoTaxRate,
    Tax,
    category_for,
    firm_or_blank,
    is_exempt,
    tax_rate_on,
)
from jobs.actions.quotes.refusals import (
    AmountTooLarge,
    LineIsReplaced,
    NoPriceComes,
    NoSuchQuote,
    NotDrafting,
    TaxRateMissing,
    TooManyLines,
)
from jobs.enums import LineKind, OfferState
from jobs.models import Quote, QuoteLine
from jobs.pricing import Figures, PricingError, Totals, Way, price_line, total_quote
from jobs.queries.quote_prices import (
    choice_of,
    money_places,
    priced,
    pricing_of,
    way_of,
)
from plants.models import Bed, Garden, Plant

# The columns keep ten digits before the point; sums of lines must stay in them, too.
LARGEST = Decimal(1_000_000_000)
MOST_LINES = 400
WORKED_OUT = (
    "unit_price",
    "cost",
    "overhead",
    "reserve",
    "price",
    "is_taxed",
    "tax_category",
    "tax_name",
    "tax_percent",
)
TOTALS = (
    "tax_name",
    "tax_percent",
    "tax_rounding",
    "cost",
    "overhead",
    "reserve",
    "discount",
    "top_up",
    "taxes",
    "net",
    "tax",
    "gross",
)


@dataclass(frozen=True, kw_only=True)
class LineDetails:
    """One line as it was typed and worked out.

    No unit price: the quote's margin. No category and no tick: what the garden's place
    does with such a line. No hours: those of a line of labour are its quantity.
    """

    kind: str
    description: str
    quantity: Decimal
    unit: str
    unit_cost: Decimal
    unit_price: Decimal | None = None
    tax_category: str = ""
    is_taxed: bool | None = None
    hours: Decimal | None = None
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
        del values["is_taxed"]
        category = self.tax_category
        if not category and self.is_taxed is not None:
            category = TaxCategory.STANDARD if self.is_taxed else TaxCategory.NOT_TAXED
        values["tax_is_typed"] = bool(category)
        values["tax_category"] = category or TaxCategory.STANDARD
        if self.hours is None:
            is_labour = self.kind == LineKind.LABOUR
            values["hours"] = self.quantity if is_labour else Decimal(0)
        return values


def local_day(now: dt.datetime, firm: Firm) -> dt.date:
    """The firm's day at the instant NOW."""
    return now.astimezone(ZoneInfo(firm.time_zone)).date()


def take_draft(*, quote_id: int, version: int) -> Quote:
    """The draft, now the caller's at the next version; call it inside a transaction."""
    taken = Quote.objects.filter(
        pk=quote_id, version=version, state=OfferState.DRAFTING
    ).update(version=F("version") + 1)
    quote = (
        Quote.objects.select_related("garden__client", "garden__tax_region")
        .filter(pk=quote_id)
        .first()
    )
    if quote is None:
        raise NoSuchQuote
    if taken != 1:
        raise (
            NotDrafting
            if quote.state != OfferState.DRAFTING
            else (SomebodyElseChangedIt)
        )
    return quote


def tax_for(
    *, garden: Garden, day: dt.date, category: TaxCategory = TaxCategory.STANDARD
) -> Tax:
    """The tax on CATEGORY that the garden's client pays on DAY; NoTaxRate in a gap."""
    if is_exempt(client=garden.client, day=day):
        return Tax()
    return tax_rate_on(day=day, region=garden.tax_region, category=category)


class TaxesOfDay:
    """The tax of each line of one quote on one day; a rate is looked up once."""

    def __init__(self, *, quote: Quote, day: dt.date, firm: Firm) -> None:
        self.garden, self.day, self.firm = quote.garden, day, firm
        self.region: TaxRegion | None = quote.garden.tax_region
        self.found: dict[str, Tax] = {}

    def of(self, category: str) -> Tax:
        """The tax on what is of CATEGORY."""
        if category not in self.found:
            try:
                self.found[category] = tax_for(
                    garden=self.garden, day=self.day, category=TaxCategory(category)
                )
            except NoTaxRate as gap:
                raise TaxRateMissing(str(gap)) from gap
        return self.found[category]

    def put_on(self, row: QuoteLine) -> None:
        """The line's category, where nobody chose it, and its tax."""
        if not row.tax_is_typed:
            row.tax_category = category_for(
                kind=row.kind, region=self.region, firm=self.firm
            )
        row.is_taxed = row.tax_category in CHARGED
        tax = self.of(row.tax_category)
        row.tax_name, row.tax_percent = tax.name, tax.percent

    def main(self) -> Tax:
        """The tax that the quote names: that of its lines, the standard one first."""
        for category in CHARGED:
            if category in self.found:
                return self.found[category]
        try:
            return self.of(TaxCategory.STANDARD)
        except TaxRateMissing:
            return Tax()


def price_row(row: QuoteLine, *, way: Way, places: int) -> Figures:
    """The row priced from its cost in this way or as typed."""
    if row.quantity * max(row.unit_cost, row.unit_price) >= LARGEST:
        raise AmountTooLarge
    try:
        figures = price_line(
            kind=row.kind,
            quantity=row.quantity,
            unit_cost=row.unit_cost,
            way=way,
            hours=row.hours,
            unit_price=row.unit_price if row.price_is_typed else None,
            places=places,
        )
    except PricingError as error:
        raise NoPriceComes(str(error)) from error
    if max(figures.price, figures.unit_price, figures.overhead) >= LARGEST:
        raise AmountTooLarge
    row.cost, row.price = figures.cost, figures.price
    row.overhead, row.reserve = figures.overhead, figures.reserve
    if not row.price_is_typed:
        row.unit_price = figures.unit_price
    return figures


def settle(*, quote: Quote, day: dt.date) -> Totals:
    """The draft's lines priced anew and its totals with the tax of DAY, all stored."""
    firm = firm_or_blank()
    places, way = money_places(), way_of(quote)
    taxes = TaxesOfDay(quote=quote, day=day, firm=firm)
    rows = list(quote.lines.order_by("position", "id"))
    changed = []
    for row in rows:
        before = [getattr(row, name) for name in WORKED_OUT]
        taxes.put_on(row)
        price_row(row, way=way, places=places)
        if before != [getattr(row, name) for name in WORKED_OUT]:
            changed.append(row)
    if changed:
        # Every row is there already and is written over; a fifth of the time that an
        # update with a case for each row takes.
        QuoteLine.objects.bulk_create(
            changed,
            update_conflicts=True,
            unique_fields=["id"],
            update_fields=WORKED_OUT,
        )
    tax = taxes.main()
    quote.tax_name, quote.tax_percent = tax.name, tax.percent
    quote.tax_rounding = firm.tax_rounding
    totals = total_quote(
        [priced(row) for row in rows],
        pricing=pricing_of(quote, places=places),
        options=[choice_of(option) for option in quote.options.all()],
    )
    everything = sum((row.cost + row.overhead + row.price for row in rows), Decimal(0))
    if max(everything, totals.tax.gross) >= LARGEST:
        raise AmountTooLarge
    put_totals(quote, totals)
    quote.save(update_fields=TOTALS)
    return totals


def put_totals(quote: Quote, totals: Totals) -> None:
    """The quote's columns, not stored, with what the totals say."""
    quote.cost, quote.overhead = totals.cost, totals.overhead
    quote.reserve, quote.discount = totals.reserve, totals.discount
    quote.top_up = totals.top_up
    quote.taxes = [group.as_text() for group in totals.groups]
    quote.net, quote.tax, quote.gross = (
        totals.tax.net,
        totals.tax.tax,
        totals.tax.gross,
    )


def _typed_on(row: QuoteLine, day: dt.date) -> None:
    """The row with a cost that was typed on DAY, no longer a supplier's price."""
    row.supplier_item, row.priced_on = None, day
    row.price_looked_at = row.price_looked_by = None
    row.price_look_note = ""


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
    day = local_day(now, firm_or_blank())
    for index, detail in enumerate(details):
        if index < len(old):
            row = old[index]
            # A line of the take-off or of the labour that was changed by hand is her
            # own from then on.
            taken = {
                name: row.typed[name]
                for name in ("takeoff", "labour")
                if name in row.typed
            }
            before = row.unit_cost, row.plant_id, row.size_text, row.unit
            for name, value in detail.columns().items():
                setattr(row, name, value)
            if taken:
                row.typed = {**row.typed, **taken, "is_own": True}
            now_is = row.unit_cost, row.plant_id, row.size_text, row.unit
            if row.supplier_item_id is None or before != now_is:
                _typed_on(row, day)
        else:
            last += 1
            # What is worked out together stands together in one option.
            row = QuoteLine(
                quote=quote,
                position=last,
                option_id=old[0].option_id if old else None,
                priced_on=day,
                **detail.columns(),
            )
        price_row(row, way=way_of(quote), places=money_places())
        row.save()
    _take_off(old[len(details) :])
    settle(quote=quote, day=day)
    record(
        action="quote line kept",
        subject=quote,
        summary=f"{quote}: {'; '.join(detail.description for detail in details)}",
        now=now,
        by=by,
    )
    return quote


def _take_off(rows: Sequence[QuoteLine]) -> None:
    """The rows are gone; none of them is one that an option takes the place of."""
    gone = QuoteLine.objects.filter(pk__in=[row.pk for row in rows])
    if gone.filter(alternates__isnull=False).exists():
        raise LineIsReplaced
    gone.delete()


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
    _take_off(rows)
    settle(quote=quote, day=local_day(now, firm_or_blank()))
    record(
        action="quote line removed",
        subject=quote,
        summary=f"{quote}: {words}",
        now=now,
        by=by,
    )
    return quote
