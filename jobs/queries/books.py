"""What the books show: job totals of a period, receipts, bills and what is open."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import (
    Case,
    DecimalField,
    F,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
    Sum,
    Value,
    When,
)
from django.db.models.functions import Coalesce
from django.utils.translation import gettext as _

from firm.money import Taxed, to_cents
from firm.queries import firm_or_blank
from jobs.costing import HourCost, JobFigures, JobTotal, foot, job_total
from jobs.enums import BillState, ContractState, JobKind, JobState, VisitState
from jobs.models import (
    Bill,
    Contract,
    HourEntry,
    Job,
    Payment,
    Receipt,
    ReceiptShare,
    Visit,
)
from jobs.models.bills import MONEY_OUT

# ("job", 7), ("contract", 3), or ("", 0) for what belongs to no job.
Owner = tuple[str, int]
NO_JOB: Owner = ("", 0)


@dataclass(frozen=True, kw_only=True)
class TotalRow:
    """One line of the job totals, with what names it."""

    kind: str
    number: str
    title: str
    garden: str
    client: str
    state: str
    owner: Owner
    figures: JobTotal


@dataclass(frozen=True, kw_only=True)
class Totals:
    """The job totals of a period and their foot."""

    first: dt.date
    last: dt.date
    rows: tuple[TotalRow, ...]
    foot: JobTotal


def _owner(job_id: int | None, contract_id: int | None) -> Owner:
    if job_id:
        return ("job", job_id)
    return ("contract", contract_id) if contract_id else NO_JOB


def _hours(first: dt.date, last: dt.date) -> dict[Owner, list[HourCost]]:
    found: dict[Owner, list[HourCost]] = defaultdict(list)
    rows = (
        HourEntry.objects.filter(day__range=(first, last))
        .order_by()
        .values_list("visit__job_id", "visit__contract_id", "hours", "hour_cost")
    )
    for job_id, contract_id, hours, rate in rows:
        found[_owner(job_id, contract_id)].append(HourCost(hours=hours, rate=rate))
    return found


def _receipts(first: dt.date, last: dt.date) -> dict[Owner, list[Decimal]]:
    found: dict[Owner, list[Decimal]] = defaultdict(list)
    rows = (
        ReceiptShare.objects.filter(
            receipt__day__range=(first, last), receipt__struck_out_at__isnull=True
        )
        .order_by()
        .values_list("job_id", "contract_id", "net")
    )
    for job_id, contract_id, net in rows:
        found[_owner(job_id, contract_id)].append(net)
    return found


def _billed(first: dt.date, last: dt.date) -> dict[Owner, list[Taxed]]:
    found: dict[Owner, list[Taxed]] = defaultdict(list)
    rows = (
        Bill.objects.filter(day__range=(first, last))
        .order_by()
        .values_list("job_id", "contract_id", "net", "tax", "gross")
    )
    for job_id, contract_id, net, tax, gross in rows:
        found[_owner(job_id, contract_id)].append(Taxed(net=net, tax=tax, gross=gross))
    return found


def _contract_hours(first: dt.date, last: dt.date) -> dict[int, Decimal]:
    """The hours of visits that lie in the period, by contract."""
    found: dict[int, Decimal] = defaultdict(Decimal)
    for contract_id, hours in (
        Visit.objects.filter(contract__isnull=False, day__range=(first, last))
        .exclude(state__in=[VisitState.RAINED_OFF, VisitState.CALLED_OFF])
        .order_by()
        .values_list("contract_id", "planned_hours")
    ):
        found[contract_id] += hours
    return found


def _worth(contract: Contract, hours: Decimal) -> Decimal:
    """What HOURS of a contract's care are worth at its yearly price."""
    if not contract.hours:
        return Decimal("0.00")
    return to_cents(contract.net * hours / contract.hours)


def job_totals(*, first: dt.date, last: dt.date) -> Totals:
    """Every job and contract with hours, receipts or bills in the period, and the rest.

    A job stands with its whole price and planned cost; a contract with the share of its
    yearly price that the visits of the period are by their hours, so that a month shows
    what it earned however the client pays. Hours, receipts and bills are those of the
    period. What belongs to no job stands in a line of its own, so the foot is all.
    """
    hours = _hours(first, last)
    receipts = _receipts(first, last)
    billed = _billed(first, last)
    planned_hours = _contract_hours(first, last)
    touched = {*hours, *receipts, *billed}
    finished = Q(finished_at__date__range=(first, last))
    jobs = (
        Job.objects.filter(
            Q(pk__in=[number for kind, number in touched if kind == "job"]) | finished
        )
        .select_related("garden__client")
        .order_by("number", "id")
    )
    contracts = (
        Contract.objects.filter(
            pk__in=[
                *(number for kind, number in touched if kind == "contract"),
                *planned_hours,
            ]
        )
        .select_related("garden__client")
        .order_by("number", "revision", "id")
    )
    hour_cost = firm_or_blank().hour_cost

    def figures(owner: Owner, *, quoted: Decimal | None, planned: Decimal) -> JobTotal:
        return job_total(
            JobFigures(
                quoted=quoted,
                planned_cost=planned,
                hour_costs=tuple(hours.get(owner, ())),
                receipts=tuple(receipts.get(owner, ())),
                billed=tuple(billed.get(owner, ())),
            )
        )

    rows = [
        TotalRow(
            kind=str(JobKind(job.kind).label)
            if job.price is not None
            else _("single visit by the hour"),
            number=job.number,
            title=job.title,
            garden=job.garden.name,
            client=job.garden.client.name,
            state=str(JobState(job.state).label),
            owner=("job", job.pk),
            figures=figures(
                ("job", job.pk), quoted=job.price, planned=job.planned_cost
            ),
        )
        for job in jobs
    ]
    rows += [
        TotalRow(
            kind=_("care contract"),
            number=str(contract),
            title=contract.title,
            garden=contract.garden.name,
            client=contract.garden.client.name,
            state=str(ContractState(contract.state).label),
            owner=("contract", contract.pk),
            figures=figures(
                ("contract", contract.pk),
                quoted=_worth(contract, planned_hours.get(contract.pk, Decimal(0))),
                planned=to_cents(
                    planned_hours.get(contract.pk, Decimal(0)) * hour_cost
                ),
            ),
        )
        for contract in contracts
    ]
    if NO_JOB in touched:
        rows.append(
            TotalRow(
                kind=_("no job"),
                number="",
                title=_("Hours and receipts that belong to no job"),
                garden="",
                client="",
                state="",
                owner=NO_JOB,
                figures=figures(
                    NO_JOB, quoted=Decimal("0.00"), planned=Decimal("0.00")
                ),
            )
        )
    return Totals(
        first=first,
        last=last,
        rows=tuple(rows),
        foot=foot([row.figures for row in rows]),
    )


def receipts_in(*, first: dt.date, last: dt.date) -> QuerySet[Receipt]:
    """Receipts dated in the period with their shares, the newest first."""
    return (
        Receipt.objects.filter(day__range=(first, last))
        .select_related("entered_by")
        .prefetch_related("shares__job", "shares__contract")
        .order_by("-day", "-id")
    )


def receipt_by_id(*, receipt_id: int) -> Receipt | None:
    """One receipt with its shares."""
    return (
        Receipt.objects.filter(pk=receipt_id)
        .select_related("entered_by")
        .prefetch_related("shares__job__garden", "shares__contract__garden")
        .first()
    )


def with_paid(bills: QuerySet[Bill]) -> QuerySet[Bill]:
    """BILLS with `paid`, `credited` and `open_amount`, that which is still to come.

    Where more was paid than is due, the open amount is below zero.
    """
    money = DecimalField(max_digits=12, decimal_places=2)
    nothing = Value(Decimal("0.00"), output_field=money)
    paid = (
        Payment.objects.filter(bill=OuterRef("pk"), struck_out_at__isnull=True)
        .order_by()
        .values("bill")
        .annotate(
            sum=Sum(
                Case(
                    When(kind__in=MONEY_OUT, then=F("amount") * -1),
                    default=F("amount"),
                    output_field=money,
                )
            )
        )
        .values("sum")
    )
    credited = (
        Bill.objects.filter(credits=OuterRef("pk"))
        .order_by()
        .values("credits")
        .annotate(sum=Sum(F("gross") * -1, output_field=money))
        .values("sum")
    )
    return bills.annotate(
        paid=Coalesce(Subquery(paid, output_field=money), nothing),
        credited=Coalesce(Subquery(credited, output_field=money), nothing),
    ).annotate(open_amount=F("gross") - F("paid") - F("credited"))


def bills_in(*, first: dt.date, last: dt.date) -> QuerySet[Bill]:
    """Bills dated in the period, the newest first."""
    return (
        with_paid(Bill.objects.filter(day__range=(first, last)))
        .select_related("client", "job", "contract")
        .order_by("-day", "-id")
    )


def open_bills() -> QuerySet[Bill]:
    """Bills that wait for money, the oldest due day first."""
    return (
        with_paid(Bill.objects.filter(state__in=[BillState.OPEN, BillState.PART_PAID]))
        .select_related("client", "job", "contract")
        .order_by("due_on", "id")
    )


@dataclass(frozen=True, kw_only=True)
class Sums:
    """The foot of a list of bills or receipts."""

    net: Decimal
    tax: Decimal
    gross: Decimal
    open_amount: Decimal = Decimal("0.00")


def sums_of_bills(bills: Iterable[Bill]) -> Sums:
    """What BILLS come to, and how much of it waits for money."""
    rows = list(bills)
    waiting = (BillState.OPEN, BillState.PART_PAID)
    return Sums(
        net=sum((bill.net for bill in rows), Decimal("0.00")),
        tax=sum((bill.tax for bill in rows), Decimal("0.00")),
        gross=sum((bill.gross for bill in rows), Decimal("0.00")),
        open_amount=to_cents(
            sum(
                (
                    bill.open_amount  # type: ignore[attr-defined]
                    for bill in rows
                    if bill.state in waiting
                ),
                Decimal("0.00"),
            )
        ),
    )


def sums_of_receipts(receipts: Iterable[Receipt]) -> Sums:
    """What RECEIPTS come to; those struck out count no longer."""
    rows = [receipt for receipt in receipts if receipt.struck_out_at is None]
    return Sums(
        net=sum((receipt.net for receipt in rows), Decimal("0.00")),
        tax=sum((receipt.tax for receipt in rows), Decimal("0.00")),
        gross=sum((receipt.gross for receipt in rows), Decimal("0.00")),
    )


def bill_by_id(*, bill_id: int) -> Bill | None:
    """One bill with its payments, document and credit."""
    return (
        with_paid(Bill.objects.filter(pk=bill_id))
        .select_related(
            "client", "job__garden", "contract__garden", "document", "credits"
        )
        .prefetch_related("credited_by")
        .first()
    )


def owners_of_costs() -> list[tuple[str, str]]:
    """Choices for a receipt's share: jobs and contracts that are not long over."""
    jobs = (
        Job.objects.exclude(state=JobState.CALLED_OFF)
        .select_related("garden")
        .order_by("-number", "-id")[:300]
    )
    contracts = (
        Contract.objects.filter(
            state__in=[
                ContractState.RUNNING,
                ContractState.PAUSED,
                ContractState.ENDED,
            ]
        )
        .select_related("garden")
        .order_by("-number", "-id")[:300]
    )
    return [
        *(
            (f"job-{job.pk}", f"{job.number} {job.title} – {job.garden.name}")
            for job in jobs
        ),
        *(
            (f"contract-{row.pk}", f"{row} {row.title} – {row.garden.name}")
            for row in contracts
        ),
    ]
