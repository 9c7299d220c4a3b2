"""How a draft is priced: overhead, reserves, margin, discount, deposit."""

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from firm.actions.record import record
from firm.models import Person
from firm.queries import firm_or_blank
from jobs.actions.quotes.lines import local_day, settle, take_draft
from jobs.actions.quotes.refusals import DiscountTooLarge
from jobs.enums import LineKind
from jobs.models import Quote, QuoteLine


@dataclass(frozen=True, kw_only=True)
class PriceDetails:
    """What every line of a quote carries, and what holds for the whole."""

    overhead_way: str
    overhead_per_hour: Decimal
    overhead_materials_percent: Decimal
    overhead_labour_percent: Decimal
    contingency_percent: Decimal
    warranty_percent: Decimal
    minimum_job: Decimal
    deposit_percent: Decimal


@dataclass(frozen=True, kw_only=True)
class TriedOut:
    """What was tried out on a quote; no hour's cost leaves that of each line."""

    margin_percent: Decimal
    discount_percent: Decimal
    discount_amount: Decimal
    discount_words: str
    hour_cost: Decimal | None = None


@transaction.atomic
def change_prices(
    *, quote_id: int, version: int, details: PriceDetails, by: Person, now: dt.datetime
) -> Quote:
    """The draft priced anew with other overhead, reserves, least price or deposit."""
    quote = take_draft(quote_id=quote_id, version=version)
    _write(quote, vars(details), by=by, now=now)
    return quote


@transaction.atomic
def keep_tried_out(
    *, quote_id: int, version: int, tried: TriedOut, by: Person, now: dt.datetime
) -> Quote:
    """The draft with the margin, the discount and the crew's hour that were tried out.

    DiscountTooLarge where the discount is more than the lines come to.
    """
    quote = take_draft(quote_id=quote_id, version=version)
    values = dict(vars(tried))
    hour_cost: Decimal | None = values.pop("hour_cost")
    if hour_cost is not None:
        rows = list(quote.lines.filter(kind=LineKind.LABOUR, unit="h").order_by("id"))
        for row in rows:
            row.unit_cost = hour_cost
            form = row.typed.get("form")
            if isinstance(form, dict) and "unit_cost" in form:
                form["unit_cost"] = str(hour_cost)
        QuoteLine.objects.bulk_update(rows, ["unit_cost", "typed"])
    _write(quote, values, by=by, now=now)
    return quote


def _write(
    quote: Quote, values: dict[str, object], *, by: Person, now: dt.datetime
) -> None:
    for name, value in values.items():
        setattr(quote, name, value)
    quote.save(update_fields=list(values))
    totals = settle(quote=quote, day=local_day(now, firm_or_blank()))
    if quote.discount_amount > totals.lines_price:
        raise DiscountTooLarge(totals.lines_price)
    record(
        action="quote priced",
        subject=quote,
        summary=f"{quote} {quote.title}",
        details={name: str(value) for name, value in values.items()},
        now=now,
        by=by,
    )
