"""What a quote would come to at another margin, discount, crew or choice of options."""

import datetime as dt
from collections.abc import Collection
from copy import copy
from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext as _

from firm.models import Crew
from firm.money import to_cents
from firm.queries import crews_on, people_in
from jobs.enums import LineKind, OptionKind
from jobs.models import Quote
from jobs.pricing import (
    Line,
    Totals,
    Way,
    line_from,
    price_line,
    total_quote,
)
from jobs.queries.quote_prices import (
    Priced,
    choice_of,
    priced_quote,
    pricing_of,
    way_of,
)


@dataclass(frozen=True, kw_only=True)
class Tried:
    """What is tried out; None leaves what the quote has."""

    margin_percent: Decimal | None = None
    discount_percent: Decimal | None = None
    discount_amount: Decimal | None = None
    hour_cost: Decimal | None = None
    taken: Collection[int] = ()


@dataclass(frozen=True, kw_only=True)
class Column:
    """One column of the comparison: its head and the totals below it."""

    head: str
    totals: Totals


def crew_hour_costs(*, day: dt.date) -> list[tuple[Crew, Decimal]]:
    """The crews of DAY with what an hour of one of their people costs on the mean."""
    found = []
    for crew in crews_on(day=day):
        costs = [person.hour_cost for person in people_in(crew=crew, day=day)]
        known = [cost for cost in costs if cost]
        if known:
            found.append((crew, to_cents(sum(known, Decimal(0)) / len(known))))
    return found


def compared(quote: Quote, *, tried: Tried) -> list[Column]:
    """The quote as it stands, as tried out, and as tried out with every extra.

    PricingError where nothing comes of it. Nothing is stored.
    """
    priced = priced_quote(quote)
    columns = [
        Column(head=_("As it stands"), totals=priced.totals_with()),
        Column(head=_("What if"), totals=_totals(priced, tried, tried.taken)),
    ]
    extras = {
        option.pk for option in priced.options if option.kind == OptionKind.EXTRA
    } | set(tried.taken)
    if extras != set(tried.taken):
        columns.append(
            Column(
                head=_("What if, with every extra"),
                totals=_totals(priced, tried, extras),
            )
        )
    return columns


def _totals(priced: Priced, tried: Tried, taken: Collection[int]) -> Totals:
    quote = copy(priced.quote)
    if tried.margin_percent is not None:
        quote.margin_percent = tried.margin_percent
    if tried.discount_percent is not None:
        quote.discount_percent = tried.discount_percent
    if tried.discount_amount is not None:
        quote.discount_amount = tried.discount_amount
    return total_quote(
        _lines(priced, way=way_of(quote), hour_cost=tried.hour_cost),
        pricing=pricing_of(quote, places=priced.places),
        options=[choice_of(option) for option in priced.options],
        taken=taken,
    )


def _lines(priced: Priced, *, way: Way, hour_cost: Decimal | None) -> list[Line]:
    """The lines priced anew as tried out."""
    found = []
    for row in priced.rows:
        by_the_hour = row.kind == LineKind.LABOUR and row.unit == "h"
        figures = price_line(
            kind=row.kind,
            quantity=row.quantity,
            unit_cost=hour_cost
            if hour_cost is not None and by_the_hour
            else row.unit_cost,
            way=way,
            hours=row.hours,
            unit_price=row.unit_price if row.price_is_typed else None,
            places=priced.places,
        )
        found.append(
            line_from(
                figures,
                key=row.pk,
                kind=row.kind,
                category=row.tax_category,
                tax_name=row.tax_name,
                percent=row.tax_percent,
                option=row.option_id,
            )
        )
    return found
