"""What a quote costs and sells at: lines, totals, tax and instalments."""

import calendar
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from firm.money import (
    MoneyError,
    Taxed,
    margin_of,
    markup_from,
    price_at_margin,
    round_half_up,
    spread_evenly,
    tax_on,
    to_cents,
)

# The seller chooses once; a document keeps the mode it was issued with.
DOCUMENT, LINE = "document", "line"
KINDS = ("plants", "soil mix", "mulch", "labour", "delivery", "other")
MOST_INSTALMENTS = 120


class PricingError(ValueError):
    """A quote, rate or plan of payment that does not add up; says why."""


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of a quote in whole cents: what it costs and what it sells at."""

    kind: str
    cost: Decimal
    price: Decimal
    taxable: bool = True
    words: str = ""


@dataclass(frozen=True, kw_only=True)
class KindTotal:
    """Cost and price of all lines of one kind."""

    cost: Decimal
    price: Decimal


@dataclass(frozen=True, kw_only=True)
class Totals:
    """The foot of a quote; per cents are rounded to two decimals for the eye.

    `tax` holds net, tax and gross of the whole quote; `taxable` is the part of the
    net that bears tax; `line_tax` is the tax of each line where it is reckoned so.
    """

    cost: Decimal
    net: Decimal
    taxable: Decimal
    tax: Taxed
    tax_percent: Decimal
    tax_rounding: str
    line_tax: tuple[Decimal, ...]
    margin_percent: Decimal | None
    markup_percent: Decimal | None
    by_kind: dict[str, KindTotal]

    @property
    def earned(self) -> Decimal:
        """What is left of the net price once the cost is paid."""
        return self.net - self.cost

    @property
    def warning(self) -> str:
        """A sentence for the owner when the price does not carry the cost."""
        if self.net > self.cost or not (self.net or self.cost):
            return ""
        if self.net == self.cost:
            return "This quote only breaks even: the price is the cost."
        short = self.cost - self.net
        return f"This quote loses money: the price is {short:,} below the cost."


@dataclass(frozen=True, kw_only=True)
class Instalment:
    """One dated part of a total."""

    number: int
    due_on: date
    amount: Decimal


def price_line(
    *,
    kind: str,
    quantity: Decimal,
    unit_cost: Decimal,
    margin_percent: Decimal,
    unit_price: Decimal | None = None,
    taxable: bool = True,
    words: str = "",
    places: int = 2,
) -> Line:
    """A line priced from its whole cost at a margin, or at a typed unit price.

    The margin is put on the cost of the line, not on a rounded unit, so that a
    hundred small plants keep the margin that was asked for.
    """
    if quantity < 0:
        raise PricingError("A quantity cannot be negative.")
    if unit_cost < 0 or (unit_price is not None and unit_price < 0):
        raise PricingError("A cost or price cannot be negative.")
    cost = to_cents(quantity * unit_cost, places=places)
    if unit_price is None:
        try:
            price = price_at_margin(
                cost=cost, margin_percent=margin_percent, places=places
            )
        except MoneyError as error:
            raise PricingError(str(error)) from error
    else:
        price = to_cents(quantity * unit_price, places=places)
    return Line(kind=kind, cost=cost, price=price, taxable=taxable, words=words)


def total_quote(
    lines: Sequence[Line],
    *,
    tax_percent: Decimal,
    tax_rounding: str = DOCUMENT,
    places: int = 2,
) -> Totals:
    """The foot of a quote with one tax rate, rounded by document or by line."""
    if tax_rounding not in {DOCUMENT, LINE}:
        raise PricingError(
            f"Tax is rounded by document or by line, not {tax_rounding}."
        )
    nought = to_cents(0, places=places)
    for line in lines:
        for amount in (line.cost, line.price):
            if amount != to_cents(amount, places=places):
                raise PricingError(f"{amount} has more than {places} decimals.")
    cost = sum((line.cost for line in lines), nought)
    net = sum((line.price for line in lines), nought)
    taxable = sum((line.price for line in lines if line.taxable), nought)
    by_document = tax_on(net=taxable, percent=tax_percent, places=places).tax
    line_tax: tuple[Decimal, ...] = ()
    tax = by_document
    if tax_rounding == LINE:
        line_tax = tuple(
            tax_on(net=line.price, percent=tax_percent, places=places).tax
            if line.taxable
            else nought
            for line in lines
        )
        tax = sum(line_tax, nought)
    by_kind: dict[str, KindTotal] = {}
    for line in lines:
        before = by_kind.get(line.kind, KindTotal(cost=nought, price=nought))
        by_kind[line.kind] = KindTotal(
            cost=before.cost + line.cost, price=before.price + line.price
        )
    return Totals(
        cost=cost,
        net=net,
        taxable=taxable,
        tax=Taxed(net=net, tax=tax, gross=net + tax),
        tax_percent=tax_percent,
        tax_rounding=tax_rounding,
        line_tax=line_tax,
        margin_percent=_shown(margin_of(cost=cost, price=net)),
        markup_percent=_shown(markup_from(cost=cost, price=net)),
        by_kind=by_kind,
    )


def _shown(percent: Decimal | None) -> Decimal | None:
    return None if percent is None else round_half_up(percent, 2)


def break_even_rate(
    *, wage: Decimal, burden_percent: Decimal, overhead_per_hour: Decimal
) -> Decimal:
    """The price of an hour that pays wage, its burden and overhead, and no more."""
    return to_cents(wage * (100 + burden_percent) / 100 + overhead_per_hour)


def overhead_per_hour(*, overhead: Decimal, billable_h: Decimal) -> Decimal:
    """What every billable hour must carry of the year's overhead."""
    if billable_h <= 0:
        raise PricingError("Overhead is spread over at least some billable hours.")
    return to_cents(overhead / billable_h)


def months_after(first_on: date, months: int) -> date:
    """The same day so many months on, or the last day of a shorter month."""
    year, month = divmod(first_on.year * 12 + first_on.month - 1 + months, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(first_on.day, last))


def instalments(
    total: Decimal,
    *,
    count: int,
    first_on: date,
    months_apart: int = 1,
    places: int = 2,
) -> tuple[Instalment, ...]:
    """Dated equal parts that add up to the total; the first take the odd cents.

    Each date is reckoned from the first, so the 31st comes back after a February.
    """
    if not 1 <= count <= MOST_INSTALMENTS:
        raise PricingError(f"There are 1 to {MOST_INSTALMENTS} instalments.")
    if not 1 <= months_apart <= 12:
        raise PricingError("Instalments lie 1 to 12 months apart.")
    if total < 0:
        raise PricingError("A total below zero is not paid in instalments.")
    if first_on.year + (count * months_apart) // 12 >= date.max.year:
        raise PricingError("The instalments run past the end of the calendar.")
    parts = spread_evenly(total, parts=count, places=places)
    return tuple(
        Instalment(
            number=number + 1,
            due_on=months_after(first_on, number * months_apart),
            amount=amount,
        )
        for number, amount in enumerate(parts)
    )


def spread_taxed(whole: Taxed, *, parts: int, places: int = 2) -> tuple[Taxed, ...]:
    """A taxed total in parts of which net, tax and gross each add up."""
    gross = spread_evenly(whole.gross, parts=parts, places=places)
    tax = spread_evenly(whole.tax, parts=parts, places=places)
    return tuple(
        Taxed(net=all_in - of_it, tax=of_it, gross=all_in)
        for all_in, of_it in zip(gross, tax, strict=True)
    )
