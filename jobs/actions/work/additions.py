"""Work that was found while a job ran: agreed like any quote, done with the job."""

import datetime as dt
import uuid
from decimal import Decimal

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from firm.actions.record import record
from firm.models import Person
from jobs.actions.quotes import QuoteDetails, QuoteRefused, create_quote
from jobs.actions.work.booking import OPEN
from jobs.actions.work.refusals import NoSuchJob
from jobs.actions.work.visits import add_planting_tasks
from jobs.enums import JobKind, LineKind, VisitState
from jobs.models import Job, JobPlant, Quote, Visit
from jobs.queries.quote_prices import agreed_to, lines_counted


class JobIsOver(QuoteRefused):
    """The job that something was to be added to is finished or called off."""

    def __init__(self) -> None:
        super().__init__(
            _("The work that this belongs to is over. Ask for a quote of its own.")
        )


@transaction.atomic
def begin_addition(
    *,
    job_id: int,
    key: uuid.UUID,
    details: QuoteDetails,
    by: Person,
    now: dt.datetime,
) -> Quote:
    """The draft of what comes on top of a job that is not over."""
    job = Job.objects.filter(pk=job_id, kind=JobKind.PLANTING).first()
    if job is None:
        raise NoSuchJob
    if job.state not in OPEN:
        raise JobIsOver
    quote = create_quote(
        garden_id=job.garden_id, key=key, details=details, by=by, now=now
    )
    Quote.objects.filter(pk=quote.pk, addition_to__isnull=True).update(addition_to=job)
    quote.refresh_from_db()
    return quote


@transaction.atomic
def add_to_job(*, quote: Quote, now: dt.datetime, by: Person | None) -> Job:
    """The job with the plants, hours, cost and price of an agreed addition.

    Refused when the job was finished or called off before the client said yes.
    """
    job = quote.addition_to
    if job is None:
        raise NoSuchJob
    lines = lines_counted(quote)
    agreed = agreed_to(quote)
    hours = sum((line.hours for line in lines), Decimal(0))
    changed = Job.objects.filter(pk=job.pk, state__in=OPEN).update(
        planned_hours=F("planned_hours") + hours,
        planned_cost=F("planned_cost") + agreed.cost,
        price=F("price") + agreed.amount.net,
        version=F("version") + 1,
    )
    if changed != 1:
        raise JobIsOver
    job.refresh_from_db()
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
    for visit in Visit.objects.filter(
        job=job, state__in=[VisitState.PLANNED, VisitState.UNDER_WAY]
    ).order_by("id"):
        add_planting_tasks(visit=visit, job=job, more_hours=hours)
    record(
        action="job added to",
        subject=job,
        summary=f"{job}: {quote} comes on top",
        now=now,
        by=by,
    )
    return job
