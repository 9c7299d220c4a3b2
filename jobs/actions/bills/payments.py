"""Money received for bills, given back, set against others, and struck out."""

import datetime as dt
import uuid
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from firm.actions.record import record
from firm.models import Person
from jobs.actions.bills.credits import hold, settle
from jobs.actions.bills.refusals import (
    AlreadyStruckOut,
    BillIsClosed,
    MoneyMovedOn,
    NothingOwed,
    NotSetAgainst,
    PaymentTooLarge,
)
from jobs.enums import BillState, PaymentKind
from jobs.models import Bill, Payment
from jobs.queries.standing import standing_of

WAITING = (BillState.OPEN, BillState.PART_PAID)


@transaction.atomic
def take_payment(
    *,
    bill: Bill,
    amount: Decimal,
    day: dt.date,
    how: str,
    key: uuid.UUID,
    by: Person,
    now: dt.datetime,
) -> Payment:
    """The payment; the same KEY twice gives the first one back."""
    bill = hold(bill)
    if there := Payment.objects.filter(key=key).first():
        return there
    if bill.state not in WAITING:
        raise BillIsClosed
    left = standing_of(bill).open_amount
    if amount > left:
        raise PaymentTooLarge(
            _("Only %(left)s of this bill is still open.") % {"left": left}
        )
    payment = Payment.objects.create(
        bill=bill, day=day, amount=amount, how=how, recorded_by=by, key=key
    )
    settle(bill)
    record(
        action="payment taken",
        subject=bill,
        summary=f"{amount} received for bill {bill.number}",
        now=now,
        by=by,
    )
    return payment


def _owed_at_most(bill: Bill, amount: Decimal) -> None:
    """Refuse more than the client has to come for BILL."""
    owed = standing_of(bill).owed
    if not owed:
        raise NothingOwed
    if amount > owed:
        raise PaymentTooLarge(
            _("Only %(owed)s of this bill is owed to the client.") % {"owed": owed}
        )


@transaction.atomic
def pay_back(
    *,
    bill: Bill,
    amount: Decimal,
    day: dt.date,
    how: str,
    key: uuid.UUID,
    by: Person,
    now: dt.datetime,
) -> Payment:
    """The payment to the client of what was paid beyond what BILL is due."""
    bill = hold(bill)
    if there := Payment.objects.filter(key=key).first():
        return there
    _owed_at_most(bill, amount)
    payment = Payment.objects.create(
        bill=bill,
        kind=PaymentKind.PAID_BACK,
        day=day,
        amount=amount,
        how=how,
        recorded_by=by,
        key=key,
    )
    settle(bill)
    record(
        action="payment paid back",
        subject=bill,
        summary=f"{amount} of bill {bill.number} paid back",
        now=now,
        by=by,
    )
    return payment


@transaction.atomic
def set_against(
    *,
    bill: Bill,
    other: Bill,
    amount: Decimal,
    day: dt.date,
    key: uuid.UUID,
    by: Person,
    now: dt.datetime,
) -> Payment:
    """What is owed for BILL counts as paid on OTHER, an open bill of that client."""
    # Locked in the order of their ids, so that two who set one against the other
    # at once do not wait for each other.
    first, second = (hold(each) for each in sorted((bill, other), key=lambda b: b.pk))
    bill, other = (first, second) if first.pk == bill.pk else (second, first)
    if there := Payment.objects.filter(key=key).first():
        return there
    if other.client_id != bill.client_id:
        raise NotSetAgainst(_("This is another client's bill."))
    if other.state not in WAITING:
        raise NotSetAgainst(_("This bill is paid or credited already."))
    _owed_at_most(bill, amount)
    left = standing_of(other).open_amount
    if amount > left:
        raise PaymentTooLarge(
            _("Only %(left)s of bill %(number)s is still open.")
            % {"left": left, "number": other.number}
        )
    taken = Payment.objects.create(
        bill=other,
        kind=PaymentKind.SET_OVER,
        day=day,
        amount=amount,
        how=_("from bill %(number)s") % {"number": bill.number},
        recorded_by=by,
    )
    given = Payment.objects.create(
        bill=bill,
        kind=PaymentKind.SET_AGAINST,
        moved_to=taken,
        day=day,
        amount=amount,
        how=_("to bill %(number)s") % {"number": other.number},
        recorded_by=by,
        key=key,
    )
    settle(bill)
    settle(other)
    record(
        action="payment set against",
        subject=bill,
        summary=f"{amount} of bill {bill.number} set against bill {other.number}",
        now=now,
        by=by,
    )
    return given


@transaction.atomic
def strike_out_payment(
    *, payment: Payment, reason: str, by: Person, now: dt.datetime
) -> Payment:
    """The payment, which counts no longer but stays readable with who, when and why.

    Of money set against another bill both rows are struck out.
    """
    payment = Payment.objects.select_related("bill").get(pk=payment.pk)
    pair = {payment.pk: payment}
    for other in Payment.objects.filter(
        pk__in=[payment.moved_to_id or 0]
    ) | Payment.objects.filter(moved_to=payment):
        pair[other.pk] = other
    bills = [hold(each.bill) for each in sorted(pair.values(), key=_bill_id)]
    struck = Payment.objects.filter(pk__in=pair, struck_out_at__isnull=True).update(
        struck_out_at=now, struck_out_by=by, struck_out_reason=reason
    )
    if struck != len(pair):
        raise AlreadyStruckOut
    for bill in bills:
        if standing_of(bill).paid < 0:
            raise MoneyMovedOn
        settle(bill)
    record(
        action="payment struck out",
        subject=payment.bill,
        summary=f"{payment.amount} of bill {payment.bill.number} struck out: {reason}",
        now=now,
        by=by,
    )
    payment.refresh_from_db()
    return payment


def _bill_id(payment: Payment) -> int:
    return payment.bill_id
