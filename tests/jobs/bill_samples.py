"""A planting job whose agreed price is paid in three parts, and an open bill."""

import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

from firm.models import Person
from jobs.actions.agreements import agree_by_link
from jobs.actions.bills import bill_job, take_payment
from jobs.models import Bill, Job, Milestone, Payment, Quote
from tests import factories
from tests.factories import NOW, TODAY
from tests.jobs.offer_samples import offered, ready

PARTS = (
    ("Deposit", "agreed", None, "30", True),
    ("When we begin", "started", None, "33.33", False),
    ("Last part", "finished", None, "36.67", False),
)


def agreed_in_parts(
    number: str = "Q-2026-8101", parts: tuple[tuple[Any, ...], ...] = PARTS
) -> Job:
    """600.00 of labour that is not taxed and 1,419.10 of plants at 6 %, agreed."""
    quote = ready(number)
    for place, (title, when, due_on, percent, is_deposit) in enumerate(parts, start=1):
        Milestone.objects.create(
            quote=quote,
            position=place,
            title=title,
            when=when,
            due_on=due_on,
            percent=Decimal(percent),
            is_deposit=is_deposit,
        )
    return agree(quote).job


def agree(quote: Quote) -> Quote:
    """The quote, offered and agreed to on its private page."""
    link = offered(quote).link
    assert link is not None
    agree_by_link(link_id=link.pk, name="Dana Quill", now=NOW)
    quote.refresh_from_db()
    return quote


def finish(job: Job) -> Job:
    """The job as if its work were done."""
    Job.objects.filter(pk=job.pk).update(state="finished", finished_at=NOW, day=TODAY)
    job.refresh_from_db()
    return job


def mixed_bill(by: Person, number: str = "Q-2026-8102", day: dt.date = TODAY) -> Bill:
    """A final bill of 600.00 not taxed and 1,419.10 at 6 % (85.15): 2,104.25."""
    quote = agree(ready(number))
    return bill_job(
        job=finish(quote.job), deposit_percent=None, day=day, by=by, now=NOW
    )


def single_bill(by: Person, *, price: str = "200.00", **changes: Any) -> Bill:
    """The bill of a single visit, not taxed unless a rate is kept."""
    day = changes.pop("day", TODAY)
    job = factories.JobFactory(
        state="finished", finished_at=NOW, price=Decimal(price), **changes
    )
    return bill_job(job=job, deposit_percent=None, day=day, by=by, now=NOW)


def pay(bill: Bill, amount: str, by: Person, day: dt.date = TODAY) -> Payment:
    """Money received for the bill."""
    return take_payment(
        bill=bill,
        amount=Decimal(amount),
        day=day,
        how="transfer",
        key=uuid.uuid4(),
        by=by,
        now=NOW,
    )
