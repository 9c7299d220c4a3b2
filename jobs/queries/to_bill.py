"""What waits for a bill: finished jobs, due instalments, jobs before a deposit."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import (
    DecimalField,
    Exists,
    F,
    OuterRef,
    Q,
    QuerySet,
    Sum,
    Value,
)
from django.db.models.functions import Coalesce

from jobs.enums import ContractState, JobKind, JobState, MilestoneWhen
from jobs.models import Instalment, Job, Milestone
from jobs.queries.parts import job_parts

# Sums of amounts are binary floating point on SQLite.
HALF_A_CENT = Decimal("0.005")


@dataclass(frozen=True, kw_only=True)
class ToBill:
    """A finished job or a due instalment that no bill was written for."""

    owner: tuple[str, int]
    number: str
    title: str
    client: str
    due_on: dt.date | None
    net: Decimal | None
    instalment_id: int | None = None
    # Of a part of a job's price: its place among the parts.
    place: int | None = None
    # A finished job whose price was agreed in parts.
    has_parts: bool = False


def parts_due(*, day: dt.date) -> list[ToBill]:
    """The agreed parts of prices that are due by DAY, of jobs that are not finished."""
    due = Milestone.objects.filter(
        Q(when=MilestoneWhen.AGREED)
        | Q(when=MilestoneWhen.STARTED, quote__job__state=JobState.UNDER_WAY)
        | Q(when=MilestoneWhen.DAY, due_on__lte=day),
        bill__isnull=True,
        quote=OuterRef("quote"),
    )
    jobs = (
        Job.objects.filter(
            Exists(due),
            state__in=[JobState.TO_BOOK, JobState.BOOKED, JobState.UNDER_WAY],
        )
        .select_related("quote__garden__tax_region", "garden__client")
        .order_by("day", "id")
    )
    return [
        ToBill(
            owner=("job", job.pk),
            number=job.number,
            title=f"{job.title}: {part.plan.title}",
            client=job.garden.client.name,
            due_on=part.plan.due_on,
            net=part.amount.net,
            place=place,
        )
        for job in jobs
        for place, part in enumerate(job_parts(job=job, day=day).parts, start=1)
        if part.is_due and part.may_be_billed
    ]


def to_bill(*, day: dt.date) -> list[ToBill]:
    """Finished jobs not yet billed in full, parts and instalments due by DAY."""
    money = DecimalField(max_digits=12, decimal_places=2)
    jobs: Iterable[Job] = (
        Job.objects.filter(state=JobState.FINISHED)
        .annotate(
            billed=Coalesce(
                # A credit that lowers the price leaves what it took off as billed.
                Sum("bills__net", filter=Q(bills__lowers_price=False)),
                Value(Decimal("0.00")),
                output_field=money,
            ),
            has_parts=Exists(Milestone.objects.filter(quote=OuterRef("quote"))),
        )
        .filter(
            Q(price__isnull=True, billed=0)
            | Q(price__isnull=False, billed__lt=F("price") - HALF_A_CENT)
        )
        .select_related("garden__client")
        .order_by("finished_at", "id")
    )
    found = parts_due(day=day)
    found += [
        ToBill(
            owner=("job", job.pk),
            number=job.number,
            title=job.title,
            client=job.garden.client.name,
            due_on=None,
            net=None if job.price is None else job.price - job.billed,  # type: ignore[attr-defined]
            has_parts=job.has_parts,  # type: ignore[attr-defined]
        )
        for job in jobs
    ]
    instalments = (
        Instalment.objects.filter(
            due_on__lte=day,
            bill__isnull=True,
            # An ended contract keeps just the instalments that are owed all the same.
            contract__state__in=[
                ContractState.RUNNING,
                ContractState.PAUSED,
                ContractState.ENDED,
            ],
        )
        .select_related("contract__garden__client")
        .order_by("due_on", "id")
    )
    found += [
        ToBill(
            owner=("contract", part.contract_id),
            number=str(part.contract),
            title=part.contract.title,
            client=part.contract.garden.client.name,
            due_on=part.due_on,
            net=part.net,
            instalment_id=part.pk,
        )
        for part in instalments
    ]
    return found


def deposits_to_bill() -> QuerySet[Job]:
    """Planting jobs to come without a bill or agreed parts: a deposit may be asked."""
    return (
        Job.objects.filter(
            kind=JobKind.PLANTING,
            state__in=[JobState.TO_BOOK, JobState.BOOKED, JobState.UNDER_WAY],
            bills__isnull=True,
            quote__milestones__isnull=True,
        )
        .select_related("garden__client")
        .order_by("day", "id")
    )


def job_to_bill(*, job_id: int) -> Job | None:
    """One job with its quote, garden and client."""
    return (
        Job.objects.filter(pk=job_id).select_related("quote", "garden__client").first()
    )


def instalment_to_bill(*, instalment_id: int) -> Instalment | None:
    """One instalment with its contract, garden and client."""
    return (
        Instalment.objects.filter(pk=instalment_id)
        .select_related("contract__garden__client")
        .first()
    )
