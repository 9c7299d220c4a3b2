"""Planting jobs: opened by an agreed quote."""

import datetime as dt
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.db import transaction

from firm.actions.record import next_number, record
from firm.models import Person
from firm.queries import firm_or_blank
from jobs.enums import JobKind, LineKind
from jobs.models import Job, JobPlant, Quote
from jobs.queries.quote_prices import agreed_to, lines_counted


@transaction.atomic
def open_planting_job(
    *, quote: Quote, now: dt.datetime, by: Person | None = None
) -> Job:
    """The new job, to book, with the plants, hours, cost and price of the quote."""
    year = now.astimezone(ZoneInfo(firm_or_blank().time_zone)).year
    lines = lines_counted(quote)
    agreed = agreed_to(quote)
    job = Job.objects.create(
        kind=JobKind.PLANTING,
        number=next_number(kind="job", prefix="J", year=year),
        garden=quote.garden,
        quote=quote,
        title=quote.title,
        planned_hours=sum(
            (line.hours for line in lines),
            Decimal(0),
        ),
        planned_cost=agreed.cost,
        price=agreed.amount.net,
        is_taxed=agreed.amount.tax > 0,
    )
    JobPlant.objects.bulk_create(
        JobPlant(
            job=job,
            quote_line=line,
            plant_id=line.plant_id,
            bed_id=line.bed_id,
            count=int(line.quantity),
        )
        for line in lines
        if line.kind == LineKind.PLANTS and line.plant_id
    )
    record(
        action="job opened",
        subject=job,
        summary=f"{job} from {quote}",
        now=now,
        by=by,
    )
    return job
