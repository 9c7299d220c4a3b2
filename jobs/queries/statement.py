"""One client's account over a period: bills, credits, payments, the balance."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from firm.models import Client
from jobs.enums import BillKind, PaymentKind
from jobs.models import Bill, Payment
from jobs.queries.ageing import OpenBill, open_on
from jobs.queries.letterhead import letterhead

NOUGHT = Decimal("0.00")


@dataclass(frozen=True, kw_only=True)
class StatementLine:
    """One bill, credit or payment and the balance after it."""

    day: dt.date
    words: str
    bill: Bill
    charged: Decimal
    taken_off: Decimal
    balance: Decimal


@dataclass(frozen=True, kw_only=True)
class Statement:
    """What a client owed before the period, what moved in it, what is owed after."""

    client: Client
    first: dt.date
    last: dt.date
    opening: Decimal
    lines: Sequence[StatementLine]
    closing: Decimal
    open_bills: Sequence[OpenBill]

    @property
    def charged(self) -> Decimal:
        """All that was billed or paid back in the period."""
        return sum((line.charged for line in self.lines), NOUGHT)

    @property
    def taken_off(self) -> Decimal:
        """All that was credited or paid in the period."""
        return sum((line.taken_off for line in self.lines), NOUGHT)

    @property
    def waiting(self) -> Sequence[OpenBill]:
        """The bills that are open at the end of it."""
        return [each for each in self.open_bills if each.open_amount]

    @property
    def to_client(self) -> Decimal:
        """What the balance below zero leaves to the client."""
        return max(NOUGHT, -self.closing)


def _bill_words(bill: Bill) -> str:
    names = {
        "number": bill.number,
        "other": bill.credits.number if bill.credits else "",
    }
    if bill.kind == BillKind.CREDIT:
        return _("Credit %(number)s of bill %(other)s") % names
    return _("Bill %(number)s") % names


def _payment_words(payment: Payment) -> str:
    names = {"number": payment.bill.number, "how": payment.how}
    if payment.kind == PaymentKind.PAID_BACK:
        words = _("Paid back, of bill %(number)s") % names
    else:
        words = _("Payment for bill %(number)s") % names
    return f"{words} ({payment.how})" if payment.how else words


def statement(*, client_id: int, first: dt.date, last: dt.date) -> Statement | None:
    """The account of one client from FIRST to LAST; None when there is none.

    What was set from one bill against another moves no balance and stands in no line;
    a payment that was struck out never was.
    """
    client = Client.objects.filter(pk=client_id).first()
    if client is None:
        return None
    moves: list[tuple[dt.date, int, int, str, Bill, Decimal]] = [
        (bill.day, 0, bill.pk, _bill_words(bill), bill, bill.gross)
        for bill in Bill.objects.filter(client=client, day__lte=last)
        .select_related("credits")
        .order_by("day", "id")
    ]
    moves += [
        (
            payment.day,
            1,
            payment.pk,
            _payment_words(payment),
            payment.bill,
            -payment.counts,
        )
        for payment in Payment.objects.filter(
            bill__client=client, day__lte=last, struck_out_at__isnull=True
        )
        .exclude(kind__in=[PaymentKind.SET_AGAINST, PaymentKind.SET_OVER])
        .select_related("bill")
        .order_by("day", "id")
    ]
    moves.sort(key=lambda move: move[:3])
    opening = balance = sum((each[5] for each in moves if each[0] < first), NOUGHT)
    lines = []
    for day, _order, _pk, words, bill, amount in moves:
        if day < first:
            continue
        balance += amount
        lines.append(
            StatementLine(
                day=day,
                words=words,
                bill=bill,
                charged=max(NOUGHT, amount),
                taken_off=max(NOUGHT, -amount),
                balance=balance,
            )
        )
    return Statement(
        client=client,
        first=first,
        last=last,
        opening=opening,
        lines=lines,
        closing=balance,
        open_bills=open_on(day=last, client_id=client.pk),
    )


def statement_paper(found: Statement) -> dict[str, Any]:
    """The statement as its paper is drawn: the firm's head and the client's address."""
    return {
        "firm": letterhead(),
        "client": {
            "name": found.client.name,
            "billing_address": found.client.billing_address,
        },
        "statement": found,
    }
