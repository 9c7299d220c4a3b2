"""How long it takes to draw a quote of six pages and more as PDF, once warm.

`.venv/bin/python -m tests.bench.quote_paper` prints pages and time beside the bound
and ends with 1 where it is missed. It is no test: a busy machine would fail it. Times
are those of the processor, on one core; the database is SQLite in memory.
"""

import datetime as dt
import io
import statistics
import sys
from decimal import Decimal
from time import process_time

from django.db import connection
from pypdf import PdfReader

from firm.models import Firm
from jobs.actions.quotes.lines import settle
from jobs.actions.takeoff import PlanDetails, lay_out_bed
from jobs.documents import TEMPLATES, draw_pdf
from jobs.enums import DocumentKind
from jobs.models import Quote
from jobs.models.documents import plain
from jobs.queries.proposed_words import proposed_words
from jobs.queries.quote_paper import quote_paper
from tests import factories

BEDS = 4
KINDS = 4
BOUND_S = 1.0
RUNS = 5


def a_quote() -> Quote:
    """A quote of four beds with sixteen plants, plans, labour and materials."""
    factories.FirmFactory()
    Firm.objects.update(**proposed_words())
    factories.TaxRateFactory()
    quote: Quote = factories.QuoteFactory()
    person = factories.PersonFactory()
    for number in range(BEDS):
        bed = factories.BedFactory(garden=quote.garden, name=f"Bed {number + 1}")
        for kind in range(KINDS):
            factories.plants_line(
                quote=quote,
                bed=bed,
                plant=factories.PlantFactory(common=f"Plant {number}{kind}"),
                quantity=8,
                spacing_m=Decimal("0.45"),
            )
        for what in ("soil", "mulch", "other"):
            factories.QuoteLineFactory(
                quote=quote, kind=what, description=f"{what} for {bed.name}"
            )
        quote.refresh_from_db()
        lay_out_bed(
            quote_id=quote.pk,
            version=quote.version,
            bed_id=bed.pk,
            details=PlanDetails(pattern="triangular", seen_from="front"),
            by=person,
            now=factories.NOW,
        )
    quote.refresh_from_db()
    settle(quote=quote, day=factories.NOW.date())
    quote.valid_until = factories.NOW.date() + dt.timedelta(days=30)
    return quote


def main() -> int:
    """Print pages and time; 1 when it is over its bound."""
    connection.creation.create_test_db(verbosity=0)
    paper = quote_paper(quote=a_quote(), day=factories.NOW.date(), language="en")
    # As it is stored: amounts and days as text.
    snapshot = plain(paper)
    template = TEMPLATES[DocumentKind.QUOTE]
    times = []
    drawn = b""
    for _run in range(RUNS + 1):
        began = process_time()
        drawn = draw_pdf(template=template, context={"paper": snapshot})
        times.append(process_time() - began)
    pages = len(PdfReader(io.BytesIO(drawn)).pages)
    spent = statistics.median(times[1:])
    over = spent > BOUND_S
    print(  # noqa: T201
        f"{spent:.2f} s  a quote of {pages} pages, {len(drawn) // 1024} KB   bound"
        f" {BOUND_S} s" + ("   MISSED" if over else "")
    )
    return int(over or pages < 6)


if __name__ == "__main__":
    sys.exit(main())
