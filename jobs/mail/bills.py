"""The letters that carry a bill and that ask for it when it is overdue."""

import datetime as dt

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from firm.mail import compose
from firm.models import Message
from firm.registry import Letter, MessageKind, registry
from jobs.documents import pdf_of
from jobs.enums import BillState
from jobs.queries.books import bill_by_id
from jobs.queries.overdue import reminder


class BillIsGone(Exception):
    """A message about a bill that does not exist."""


def write_bill(message: Message) -> Letter:
    """The letter with the bill as PDF."""
    bill = bill_by_id(bill_id=message.payload["bill"])
    if bill is None:
        raise BillIsGone
    return compose(
        subject=_("Bill %(number)s") % {"number": bill.number},
        template="bill",
        context={"name": message.payload["name"], "bill": bill},
        files=(
            (
                f"{bill.number}.pdf",
                pdf_of(document=bill.document, now=message.due_at),
                "application/pdf",
            ),
        ),
    )


def write_overdue(message: Message) -> Letter:
    """The polite letter about an overdue bill, with all that is open and the bill."""
    bill = bill_by_id(bill_id=message.payload["bill"])
    if bill is None:
        raise BillIsGone
    step = message.payload["step"]
    found = reminder(bill=bill, day=dt.date.fromisoformat(message.payload["day"]))
    return compose(
        subject=_("Bill %(number)s: still open") % {"number": bill.number},
        template="overdue_letter",
        context={
            "name": message.payload["name"],
            "bill": bill,
            "reminder": found,
            "step": step,
        },
        files=(
            (
                f"{bill.number}.pdf",
                pdf_of(document=bill.document, now=message.due_at),
                "application/pdf",
            ),
        ),
    )


def still_open(message: Message, now: dt.datetime) -> bool:
    """True unless the bill was paid or taken back before the letter went out."""
    bill = bill_by_id(bill_id=message.payload["bill"])
    return bill is not None and bill.state in (BillState.OPEN, BillState.PART_PAID)


def still_wanted(message: Message, now: dt.datetime) -> bool:
    """True unless the bill was taken back before the letter went out."""
    bill = bill_by_id(bill_id=message.payload["bill"])
    return bill is not None and bill.state != BillState.CREDITED


def register() -> None:
    """Make the kind known; a crash while sending holds it, a bill twice confuses."""
    registry.add_message_kind(
        MessageKind(
            name="bill",
            words=gettext_lazy("a bill"),
            write=write_bill,
            still_wanted=still_wanted,
            after_crash="hold",
        )
    )
    registry.add_message_kind(
        MessageKind(
            name="overdue letter",
            words=gettext_lazy("a letter about an overdue bill"),
            write=write_overdue,
            still_wanted=still_open,
            after_crash="hold",
        )
    )
    for action, words in {
        "bill issued": "wrote a bill",
        "bill sent": "sent a bill",
        "overdue letter": "sent a letter about an overdue bill",
        "payment taken": "entered a payment",
        "payment paid back": "entered money paid back",
        "payment set against": "set money against another bill",
        "payment struck out": "struck out a payment",
        "receipt entered": "entered a receipt",
        "receipt struck out": "struck out a receipt",
        "document issued": "issued a document",
        "private link made": "made a private link",
        "private link withdrawn": "withdrew a private link",
    }.items():
        registry.add_audit_label(action, words)
