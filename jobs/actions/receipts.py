"""Entering what suppliers charged."""

import datetime as dt
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from firm.actions.record import record
from firm.models import Person
from jobs.models import Contract, Job, Receipt, ReceiptShare


class ReceiptDoesNotAdd(Exception):
    """Amounts of a receipt that disagree."""


class ReceiptIsThere(Exception):
    """A receipt of that supplier and number was entered before."""

    def __init__(self) -> None:
        super().__init__(
            _("A receipt of this supplier with this number is already entered.")
        )


class NoSuchJob(Exception):
    """A share for a job or contract that does not exist."""


@dataclass(frozen=True, kw_only=True)
class Share:
    """A part of a receipt: OWNER is "job-7", "contract-3" or "" for the firm."""

    owner: str
    net: Decimal
    tax: Decimal


def _filed(owner: str) -> tuple[Job | None, Contract | None]:
    kind, _dash, number = owner.partition("-")
    if not owner:
        return None, None
    if kind == "job" and number.isdigit():
        if job := Job.objects.filter(pk=int(number)).first():
            return job, None
    elif kind == "contract" and number.isdigit():
        if contract := Contract.objects.filter(pk=int(number)).first():
            return None, contract
    raise NoSuchJob(_("There is no such job."))


@transaction.atomic
def enter_receipt(
    *,
    supplier: str,
    number: str,
    day: dt.date,
    net: Decimal,
    tax: Decimal,
    gross: Decimal,
    shares: Sequence[Share],
    note: str,
    scan: str,
    key: uuid.UUID,
    by: Person,
    now: dt.datetime,
) -> Receipt:
    """The receipt with its shares; what no share takes stays with the firm.

    The same KEY twice gives the first receipt back: a form that was sent twice.
    """
    if there := Receipt.objects.filter(key=key).first():
        return there
    if net + tax != gross:
        raise ReceiptDoesNotAdd(
            _("%(net)s before tax and %(tax)s tax are not %(gross)s in total.")
            % {"net": net, "tax": tax, "gross": gross}
        )
    left_net = net - sum((share.net for share in shares), Decimal(0))
    left_tax = tax - sum((share.tax for share in shares), Decimal(0))
    # A supplier's credit is negative; then the shares are, too.
    if left_net * net < 0 or left_tax * tax < 0 or (net == 0 and left_net != 0):
        raise ReceiptDoesNotAdd(_("The parts are more than the receipt."))
    if tax == 0 and left_tax != 0:
        raise ReceiptDoesNotAdd(_("The parts carry more tax than the receipt."))
    try:
        with transaction.atomic():
            receipt = Receipt.objects.create(
                supplier=supplier,
                number=number,
                day=day,
                net=net,
                tax=tax,
                gross=gross,
                note=note,
                scan=scan,
                entered_by=by,
                entered_at=now,
                key=key,
            )
    except IntegrityError as error:
        raise ReceiptIsThere from error
    rows = list(shares)
    if left_net or left_tax:
        rows.append(Share(owner="", net=left_net, tax=left_tax))
    for share in rows:
        job, contract = _filed(share.owner)
        ReceiptShare.objects.create(
            receipt=receipt, job=job, contract=contract, net=share.net, tax=share.tax
        )
    record(
        action="receipt entered",
        subject=receipt,
        summary=f"receipt of {supplier} {number}, {gross}",
        now=now,
        by=by,
    )
    return receipt


class AlreadyStruckOut(Exception):
    """A receipt that was struck out before."""

    def __init__(self) -> None:
        super().__init__(_("This receipt was struck out before."))


@transaction.atomic
def strike_out_receipt(*, receipt: Receipt, by: Person, now: dt.datetime) -> Receipt:
    """The receipt, which counts no longer but stays readable."""
    if (
        Receipt.objects.filter(pk=receipt.pk, struck_out_at__isnull=True).update(
            struck_out_at=now
        )
        != 1
    ):
        raise AlreadyStruckOut
    record(
        action="receipt struck out",
        subject=receipt,
        summary=f"receipt of {receipt.supplier} {receipt.number} struck out",
        now=now,
        by=by,
    )
    receipt.refresh_from_db()
    return receipt
