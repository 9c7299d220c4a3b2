"""How a bill stands: what was credited, what was paid, what is open or owed back."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from firm.enums import TaxCategory
from jobs.enums import BillKind, BillState
from jobs.models import Bill, Payment
from jobs.pricing import TaxGroup
from jobs.queries.quote_prices import groups_kept

NOUGHT = Decimal("0.00")


@dataclass(frozen=True, kw_only=True)
class Standing:
    """One bill's total with what credits took off it and what was paid, all told."""

    gross: Decimal
    credited: Decimal
    paid: Decimal

    @property
    def due(self) -> Decimal:
        """What the client owes for it without regard to payments."""
        return self.gross - self.credited

    @property
    def open_amount(self) -> Decimal:
        """What is still to be paid."""
        return max(NOUGHT, self.due - self.paid)

    @property
    def owed(self) -> Decimal:
        """What was paid beyond what is due, which is the client's."""
        return max(NOUGHT, self.paid - self.due)

    @property
    def state(self) -> BillState:
        """The state that follows from the amounts."""
        if self.credited and self.due <= 0:
            return BillState.CREDITED
        if self.paid >= self.due:
            return BillState.PAID
        return BillState.PART_PAID if self.paid else BillState.OPEN


def standings(
    bills: Iterable[Bill], *, upto: dt.date | None = None
) -> dict[int, Standing]:
    """How each of BILLS stands by its id, at the end of the day UPTO; two queries.

    A credit has no standing of its own: it shows in that of the bill it takes back.
    """
    rows = [bill for bill in bills if bill.kind != BillKind.CREDIT]
    keys = [bill.pk for bill in rows]
    credits = Bill.objects.filter(credits__in=keys)
    payments = Payment.objects.filter(bill__in=keys, struck_out_at__isnull=True)
    if upto is not None:
        credits = credits.filter(day__lte=upto)
        payments = payments.filter(day__lte=upto)
    credited: dict[int, Decimal] = defaultdict(lambda: NOUGHT)
    for bill_id, gross in credits.order_by().values_list("credits_id", "gross"):
        credited[bill_id] -= gross
    paid: dict[int, Decimal] = defaultdict(lambda: NOUGHT)
    for payment in payments.order_by():
        paid[payment.bill_id] += payment.counts
    return {
        bill.pk: Standing(
            gross=bill.gross, credited=credited[bill.pk], paid=paid[bill.pk]
        )
        for bill in rows
    }


def standing_of(bill: Bill) -> Standing:
    """How one bill stands now."""
    return standings([bill])[bill.pk]


def groups_of(bill: Bill) -> list[TaxGroup]:
    """What is taxed alike on a bill; of one that kept no groups, all of it."""
    if bill.taxes:
        return groups_kept(bill.taxes)
    return [
        TaxGroup(
            category=TaxCategory.STANDARD if bill.tax else TaxCategory.NOT_TAXED,
            name=bill.tax_name if bill.tax else "",
            percent=bill.tax_percent if bill.tax else Decimal(0),
            net=bill.net,
            tax=bill.tax,
        )
    ]


def left_to_credit(bill: Bill) -> list[TaxGroup]:
    """The bill's groups less what credits took off each, in the bill's order."""
    taken: dict[tuple[str, str, Decimal], list[TaxGroup]] = defaultdict(list)
    for credit in Bill.objects.filter(credits=bill).order_by("id"):
        for group in groups_of(credit):
            taken[key_of_group(group)].append(group)
    return [
        replace(
            group,
            net=group.net
            + sum((each.net for each in taken[key_of_group(group)]), NOUGHT),
            tax=group.tax
            + sum((each.tax for each in taken[key_of_group(group)]), NOUGHT),
        )
        for group in groups_of(bill)
    ]


def key_of_group(group: TaxGroup) -> tuple[str, str, Decimal]:
    """What makes two groups the same: category, name and rate of the tax."""
    return group.category, group.name, group.percent.normalize()
