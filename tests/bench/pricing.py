"""How long it takes to price a quote of 200 lines anew.

`.venv/bin/python -m tests.bench.pricing` prints figures beside their bounds and ends
with 1 where a bound is missed. It is no test: a busy machine would fail it. Times are
those of the processor, on one core; the database is SQLite in memory.
"""

import statistics
import sys
from collections.abc import Callable
from decimal import Decimal
from time import process_time

from django.db import connection, transaction

from jobs.actions.quotes.lines import settle
from jobs.models import Quote
from jobs.pricing import (
    Line,
    Option,
    Pricing,
    Share,
    Way,
    line_from,
    payments,
    price_line,
    total_quote,
)
from jobs.queries.what_if import Tried, compared
from tests import factories

LINES = 200
BOUND_MS = 50
RUNS = 20
WAY = Way(
    margin_percent=Decimal(35),
    overhead="by hour",
    overhead_per_hour=Decimal(15),
    contingency_percent=Decimal(5),
    warranty_percent=Decimal(4),
)
PRICING = Pricing(
    discount_percent=Decimal("7.5"), minimum_job=Decimal(500), tax_rounding="line"
)


def lines() -> list[Line]:
    """Two hundred lines of plants and labour, a tenth of them in options."""
    found = []
    for at in range(LINES):
        kind = ("plants", "labour")[at % 2]
        figures = price_line(
            kind=kind,
            quantity=Decimal(at + 1),
            unit_cost=Decimal("12.37") + at,
            hours=Decimal(at + 1) if kind == "labour" else Decimal(0),
            way=WAY,
        )
        found.append(
            line_from(
                figures,
                key=at,
                kind=kind,
                tax_name="Sales tax",
                percent=Decimal("8.875"),
                option=at % 10 if at % 10 == 3 else None,
            )
        )
    return found


def reckoned() -> None:
    """Lines, foot and payments worked out, without a row."""
    totals = total_quote(lines(), pricing=PRICING, options=[Option(key=3)], taken=[3])
    payments(totals.groups, [Share(percent=Decimal(20))] * 5)


def a_quote() -> Quote:
    """A quote of 200 stored lines."""
    factories.TaxRateFactory()
    quote: Quote = factories.QuoteFactory(
        overhead_way="by hour",
        overhead_per_hour=Decimal(15),
        contingency_percent=Decimal(5),
    )
    for at in range(LINES):
        factories.QuoteLineFactory(
            quote=quote, position=at + 1, unit_cost=Decimal("12.37") + at
        )
    return quote


def main() -> int:
    """Print every figure; 1 when one of them is over its bound."""
    missed = told("worked out, no rows", reckoned)
    connection.creation.create_test_db(verbosity=0)
    quote = a_quote()
    settle(quote=quote, day=factories.NOW.date())
    margins = iter(Decimal(20) + step for step in range(10 * RUNS))

    def another_margin() -> None:
        quote.margin_percent = next(margins) % 90
        with transaction.atomic():
            settle(quote=quote, day=factories.NOW.date())

    def nothing_new() -> None:
        with transaction.atomic():
            settle(quote=quote, day=factories.NOW.date())

    def tried() -> None:
        compared(quote, tried=Tried(margin_percent=Decimal(44)))

    missed |= told("what if, read from the rows", tried)
    missed |= told("stored, no line changed", nothing_new)
    missed |= told("stored, every line at another margin", another_margin)
    return missed


def told(what: str, act: Callable[[], None]) -> bool:
    """Print the median of the runs; True where it is over its bound."""
    times = []
    for _ in range(RUNS):
        began = process_time()
        act()
        times.append((process_time() - began) * 1000)
    spent = statistics.median(times)
    over = spent > BOUND_MS
    limit = f"   bound {BOUND_MS} ms"
    print(f"{spent:>7.1f} ms  {what}{limit}" + ("   MISSED" if over else ""))  # noqa: T201
    return over


if __name__ == "__main__":
    sys.exit(main())
