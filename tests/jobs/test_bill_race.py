"""Of many who pay and credit one bill at once no more than it holds is taken."""

import os
import threading
from decimal import Decimal

import pytest
from django.db import connections

from jobs.actions.bills import (
    BillIsClosed,
    CreditTooLarge,
    Off,
    PaymentTooLarge,
    credit_part,
)
from jobs.models import Bill
from jobs.queries.standing import standing_of
from tests import factories
from tests.factories import NOW, TODAY
from tests.jobs.bill_samples import pay, single_bill

THREADS = 12


@pytest.mark.django_db(transaction=True)
@pytest.mark.skipif(
    "postgresql" not in os.environ.get("DATABASE_URL", ""),
    reason="threads cannot share a database in memory; there one writes at a time",
)
def test_twelve_who_pay_and_credit_at_once_take_no_more_than_there_is() -> None:
    owner = factories.PersonFactory()
    bill = single_bill(owner, price="100.00")
    ready_to_go = threading.Barrier(THREADS)
    answers: list[str] = []

    def act(number: int) -> None:
        ready_to_go.wait()
        try:
            if number % 2:
                pay(bill, "30.00", owner)
                answers.append("paid")
            else:
                credit_part(
                    bill=bill,
                    off=Off(amount=Decimal("40.00")),
                    reason="goodwill",
                    day=TODAY,
                    by=owner,
                    now=NOW,
                )
                answers.append("credited")
        except (BillIsClosed, CreditTooLarge, PaymentTooLarge):
            answers.append("refused")
        finally:
            connections.close_all()

    people = [threading.Thread(target=act, args=(at,)) for at in range(THREADS)]
    for person in people:
        person.start()
    for person in people:
        person.join()
    found = standing_of(bill)
    assert found.paid == 30 * answers.count("paid")
    assert found.credited == 40 * answers.count("credited")
    # Two credits of 40.00 are the most of 100.00, whatever else was paid.
    assert answers.count("credited") == 2
    # The first payment may meet a bill of any state but a closed one; never a fourth.
    assert answers.count("paid") in (0, 1, 2, 3)
    assert len(answers) == THREADS
    kept = Bill.objects.get(pk=bill.pk)
    assert kept.state == found.state
    assert kept.version == 1 + len(answers) - answers.count("refused")
