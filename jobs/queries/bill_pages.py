"""One bill with its credits and payments, and what may be done with it."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext as _

from firm.enums import TaxCategory
from firm.money import format_amount
from firm.queries import firm_or_blank
from jobs.enums import BillKind, BillState
from jobs.models import Bill, Payment
from jobs.pricing import TaxGroup
from jobs.queries.books import bill_by_id, with_paid
from jobs.queries.overdue import LetterSent, letters_of
from jobs.queries.standing import Standing, groups_of, left_to_credit, standing_of


@dataclass(frozen=True, kw_only=True)
class BillPage:
    """A bill, how it stands, its taxes, credits and payments."""

    bill: Bill
    standing: Standing | None
    groups: Sequence[TaxGroup]
    credits: Sequence[Bill]
    payments: Sequence[Payment]
    letters: Sequence[LetterSent]

    @property
    def is_open(self) -> bool:
        """Whether it waits for money."""
        return self.bill.state in (BillState.OPEN, BillState.PART_PAID)

    @property
    def may_be_credited(self) -> bool:
        """Whether anything of it is left to be taken back."""
        return self.standing is not None and self.standing.due > 0


def bill_page(*, bill_id: int) -> BillPage | None:
    """The page of a bill or a credit; None when there is none."""
    bill = bill_by_id(bill_id=bill_id)
    if bill is None:
        return None
    return BillPage(
        bill=bill,
        standing=None if bill.kind == BillKind.CREDIT else standing_of(bill),
        groups=groups_of(bill),
        credits=list(bill.credited_by.order_by("id")),
        payments=list(
            bill.payments.select_related(
                "recorded_by", "struck_out_by", "moved_to__bill", "moved_from__bill"
            ).order_by("day", "id")
        ),
        letters=letters_of(bill),
    )


def payment_by_id(*, payment_id: int) -> Payment | None:
    """One payment with its bill."""
    return (
        Payment.objects.filter(pk=payment_id)
        .select_related("bill__client", "recorded_by")
        .first()
    )


def other_open_bills(*, bill: Bill) -> list[tuple[int, str]]:
    """The open bills of the bill's client, to be chosen: id and words."""
    currency = firm_or_blank().currency
    rows = (
        with_paid(
            Bill.objects.filter(
                client=bill.client_id,
                state__in=[BillState.OPEN, BillState.PART_PAID],
            )
        )
        .exclude(pk=bill.pk)
        .order_by("due_on", "id")
    )
    return [
        (
            row.pk,
            _("%(number)s, %(amount)s open")
            % {
                "number": row.number,
                "amount": format_amount(row.open_amount, currency),  # type: ignore[attr-defined]
            },
        )
        for row in rows
    ]


def open_bill_of(*, bill: Bill, other_id: int) -> Bill | None:
    """That other bill of the same client."""
    return Bill.objects.filter(pk=other_id, client=bill.client_id).first()


def group_words(group: TaxGroup) -> str:
    """A group's tax as it is called: Sales tax 6 %; what it is where none is due."""
    if group.name:
        return f"{group.name} {group.percent.normalize():f}\N{NO-BREAK SPACE}%"
    return str(TaxCategory(group.category).label)


@dataclass(frozen=True, kw_only=True)
class Creditable:
    """What of a bill may be credited: its lines and its taxes, to be chosen."""

    lines: Sequence[tuple[int, str]]
    groups: Sequence[tuple[int, str]]
    left: Decimal


def creditable(*, bill: Bill) -> Creditable:
    """The lines that can be credited by themselves, and what is left in each tax."""
    currency = firm_or_blank().currency
    left = left_to_credit(bill)
    return Creditable(
        lines=[
            (
                place,
                f"{line['description']}: "
                + format_amount(Decimal(line["net"]), currency),
            )
            for place, line in enumerate(bill.lines)
            if line.get("taxes") and Decimal(line["net"]) > 0
        ],
        groups=[
            (
                place,
                _("%(tax)s, of which %(left)s is left")
                % {
                    "tax": group_words(group),
                    "left": format_amount(group.amount.gross, currency),
                },
            )
            for place, group in enumerate(left)
            if group.amount.gross > 0
        ],
        left=sum((group.amount.gross for group in left), Decimal("0.00")),
    )
