"""The parts of a job's agreed price: which are due, which are billed, what is left."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from firm.money import NOTHING, Taxed
from jobs.enums import BillKind, BillState, JobState, MilestoneWhen, OfferState
from jobs.models import Bill, Job, Quote
from jobs.pricing import TaxGroup
from jobs.queries.billed import (
    additions_of,
    amount_of,
    bills_against,
    left_by_tax,
    less,
    price_by_tax,
)
from jobs.queries.books import with_paid
from jobs.queries.quote_prices import Paid, agreed_to, plan_or_why
from jobs.queries.standing import groups_of


@dataclass(frozen=True, kw_only=True)
class PartToBill:
    """One part of the price: its amount now, whether it is due, and its bill."""

    plan: Paid
    groups: tuple[TaxGroup, ...]
    is_due: bool
    is_last: bool
    bill: Bill | None
    may_be_billed: bool

    @property
    def amount(self) -> Taxed:
        """Net, tax and gross of it."""
        return amount_of(self.groups)

    @property
    def differs(self) -> Taxed:
        """What it is beside the plan, because the price changed since."""
        plan = self.plan.amount
        return Taxed(
            net=self.amount.net - plan.net,
            tax=self.amount.tax - plan.tax,
            gross=self.amount.gross - plan.gross,
        )


@dataclass(frozen=True, kw_only=True)
class AdditionToBill:
    """Something agreed on top and its bill, if it got one of its own."""

    quote: Quote
    groups: tuple[TaxGroup, ...]
    bill: Bill | None
    may_be_billed: bool

    @property
    def amount(self) -> Taxed:
        """Net, tax and gross of it."""
        return amount_of(self.groups)


@dataclass(frozen=True, kw_only=True)
class JobParts:
    """A job's agreed price in parts; WHY: why no parts come of it."""

    job: Job
    parts: Sequence[PartToBill]
    additions: Sequence[AdditionToBill]
    whole: Taxed
    left: Taxed
    why: str = ""

    @property
    def is_over(self) -> bool:
        """Whether more was billed than is agreed now, so that a credit is due."""
        return self.left.gross < 0


def _is_due(part: Paid, job: Job, day: dt.date) -> bool:
    if part.when == MilestoneWhen.AGREED:
        return True
    if part.when == MilestoneWhen.STARTED:
        return job.state in (JobState.UNDER_WAY, JobState.FINISHED)
    if part.when == MilestoneWhen.FINISHED:
        return job.state == JobState.FINISHED
    return part.due_on is not None and part.due_on <= day


def _bill_of(part: Paid, bills: Sequence[Bill]) -> Bill | None:
    """The bill of a part; of parts that nobody typed, by its kind."""
    for bill in bills:
        if part.milestone is None:
            if bill.kind == (BillKind.DEPOSIT if part.is_deposit else BillKind.FINAL):
                return bill
        elif bill.milestone_id == part.milestone.pk:
            return bill
    return None


def job_parts(*, job: Job, day: dt.date) -> JobParts:
    """The parts of JOB's price on DAY; none without an agreed quote that has a plan.

    The last part takes what additions, other plants and other bills leave, so that
    all bills add up to what is agreed.
    """
    nothing = JobParts(job=job, parts=(), additions=(), whole=NOTHING, left=NOTHING)
    if job.quote is None or job.quote.state != OfferState.AGREED:
        return nothing
    whole = price_by_tax(job)
    if not whole:
        return nothing
    # A credited bill that is written again gave its part back; one that was credited
    # for good keeps it, and nothing is billed for that part any more.
    bills = [
        bill
        for bill in bills_against(job)
        if bill.state != BillState.CREDITED or bill.milestone_id or bill.addition_id
    ]
    left = left_by_tax(job, whole)
    is_open = job.state != JobState.CALLED_OFF and amount_of(left).gross > 0
    plan, why = plan_or_why(quote=job.quote, groups=agreed_to(job.quote).groups)
    waiting = left
    billed = [_bill_of(part, bills) for part in plan]
    for part, bill in zip(plan[:-1], billed, strict=False):
        if bill is None:
            waiting = less(waiting, part.groups)
    parts = []
    for place, (part, bill) in enumerate(zip(plan, billed, strict=True), start=1):
        is_last = place == len(plan)
        groups = tuple(waiting) if is_last else part.groups
        if bill is not None:
            groups = tuple(groups_of(bill))
        gross = amount_of(groups).gross
        parts.append(
            PartToBill(
                plan=part,
                groups=groups,
                is_due=_is_due(part, job, day),
                is_last=is_last,
                bill=bill,
                may_be_billed=bill is None
                and is_open
                and 0 < gross <= amount_of(left).gross,
            )
        )
    by_itself = {bill.addition_id: bill for bill in bills if bill.addition_id}
    additions = []
    for quote in additions_of(job):
        own = agreed_to(quote).groups
        bill = by_itself.get(quote.pk)
        gross = amount_of(own).gross
        additions.append(
            AdditionToBill(
                quote=quote,
                groups=own,
                bill=bill,
                may_be_billed=bill is None
                and is_open
                and 0 < gross <= amount_of(left).gross,
            )
        )
    return JobParts(
        job=job,
        parts=parts,
        additions=additions,
        whole=amount_of(whole),
        left=amount_of(left),
        why=why,
    )


@dataclass(frozen=True, kw_only=True)
class JobBills:
    """A job's parts and all bills and credits of it."""

    parts: JobParts
    bills: Sequence[Bill]


def job_bills(*, job_id: int, day: dt.date) -> JobBills | None:
    """What of a job is billed on DAY; None when there is no such job."""
    job = (
        Job.objects.filter(pk=job_id)
        .select_related("quote__garden__tax_region", "garden__client")
        .first()
    )
    if job is None:
        return None
    return JobBills(
        parts=job_parts(job=job, day=day),
        bills=list(with_paid(job.bills.all()).order_by("day", "id")),
    )


def addition_to_bill(*, quote_id: int) -> Quote | None:
    """One quote on top of a job, with that job."""
    return (
        Quote.objects.filter(pk=quote_id, addition_to__isnull=False)
        .select_related("addition_to__garden__client", "addition_to__quote")
        .first()
    )
