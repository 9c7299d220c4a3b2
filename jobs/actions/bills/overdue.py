"""Asking for money that is overdue, one letter a bill and step at the most."""

import datetime as dt

from django.db import transaction
from django.utils.translation import gettext as _

from firm.actions.messages import queue
from firm.actions.record import record
from firm.models import Message, Person
from jobs.actions.bills.credits import hold
from jobs.actions.bills.refusals import NobodyToSendTo
from jobs.models import Bill
from jobs.queries.overdue import letter_key, reminder


class NotOverdue(Exception):
    """A letter about a bill that is paid, credited or not due yet."""

    def __init__(self) -> None:
        super().__init__(_("This bill is not overdue."))


class LetterWasSent(Exception):
    """A letter of a step that was written before, or whose turn has not come."""

    def __init__(self) -> None:
        super().__init__(
            _("This letter was written before. See above where it stands.")
        )


@transaction.atomic
def ask_for_overdue(
    *, bill: Bill, step: int, day: dt.date, by: Person, now: dt.datetime
) -> Message:
    """The waiting letter of that STEP about BILL; each step once, in their order."""
    bill = hold(bill)
    found = reminder(bill=bill, day=day)
    if not found.is_late:
        raise NotOverdue
    if step != found.step:
        raise LetterWasSent
    contact = bill.client.contacts.exclude(email="").order_by("-is_main", "id").first()
    if contact is None:
        raise NobodyToSendTo
    message = queue(
        key=letter_key(bill, step),
        kind="overdue letter",
        recipient=contact.email,
        payload={
            "bill": bill.pk,
            "name": contact.name,
            "step": step,
            "day": day.isoformat(),
        },
        due_at=now,
        language=bill.client.language,
        now=now,
    )
    record(
        action="overdue letter",
        subject=bill,
        summary=f"letter {step} about bill {bill.number} goes to {contact.email}",
        now=now,
        by=by,
    )
    return message
