"""Sending a bill to its client."""

import datetime as dt

from django.db import transaction

from firm.actions.messages import queue
from firm.actions.record import record
from firm.models import Message, Person
from jobs.actions.bills.refusals import NobodyToSendTo
from jobs.models import Bill


@transaction.atomic
def send_bill(*, bill: Bill, by: Person, now: dt.datetime) -> Message:
    """The waiting message that carries BILL to its client, once a day at the most."""
    contact = bill.client.contacts.exclude(email="").order_by("-is_main", "id").first()
    if contact is None:
        raise NobodyToSendTo
    message = queue(
        key=f"bill:{bill.pk}:{now.date()}",
        kind="bill",
        recipient=contact.email,
        payload={"bill": bill.pk, "name": contact.name},
        due_at=now,
        language=bill.client.language,
        now=now,
    )
    record(
        action="bill sent",
        subject=bill,
        summary=f"bill {bill.number} goes to {contact.email}",
        now=now,
        by=by,
    )
    return message
