"""Addresses of receipts, bills, totals."""

import uuid
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

from jobs.actions.bills import bill_job, credit_bill
from jobs.actions.receipts import enter_receipt
from jobs.models import Instalment, Job, Milestone, Quote
from tests import factories
from tests.factories import NOW, TODAY
from tests.jobs.bill_samples import pay
from tests.system.access_rows import Permission, Row

SEE = Permission.SEE_BOOKS
KEEP = Permission.KEEP_BOOKS

ROWS: dict[str, Row] = {
    "books": Row(SEE),
    "open-bills": Row(SEE),
    "client-statement": Row(SEE, sample="client"),
    "statement-pdf": Row(SEE, get=404, sample="client"),
    "overdue-letter": Row(KEEP, post=200, sample="bill"),
    "tax-totals": Row(SEE),
    "tax-totals-csv": Row(KEEP, get=404),
    "totals-csv": Row(KEEP, get=404),
    "totals-xlsx": Row(KEEP, get=404),
    "receipts": Row(SEE),
    "receipt": Row(SEE, sample="receipt"),
    "receipt-new": Row(KEEP, post=200, data={"shares-TOTAL_FORMS": "0"}),
    "receipt-strike-out": Row(KEEP, get=None, post=302, sample="receipt"),
    "bills": Row(SEE),
    "bill": Row(SEE, sample="bill"),
    "bill-pdf": Row(SEE, sample="bill"),
    "bill-send": Row(KEEP, get=None, post=302, sample="bill"),
    "payment-new": Row(KEEP, post=200, sample="bill"),
    "credit-new": Row(KEEP, post=200, sample="bill"),
    "credit-part-new": Row(KEEP, post=200, sample="bill"),
    "pay-back": Row(KEEP, post=200, sample="owed bill"),
    "set-against": Row(KEEP, post=200, sample="owed bill"),
    "payment-strike-out": Row(KEEP, post=200, sample="payment"),
    "job-bills": Row(SEE, sample="finished job"),
    "part-bill-new": Row(KEEP, post=200, sample="part of a price"),
    "addition-bill-new": Row(KEEP, post=200, sample="agreed addition"),
    "job-bill-new": Row(KEEP, post=200, sample="finished job"),
    "deposit-new": Row(KEEP, post=200, sample="finished job"),
    "instalment-bill-new": Row(KEEP, post=200, sample="instalment"),
}


def agreed_quote(garden: Any, **facts: Any) -> Quote:
    """An agreed quote of 100.00 that is not taxed."""
    amounts = {"net": Decimal("100.00"), "gross": Decimal("100.00")}
    taxes = [
        {
            "category": "not taxed",
            "name": "",
            "percent": "0",
            "net": "100.00",
            "tax": "0.00",
        }
    ]
    quote: Quote = factories.QuoteFactory(
        garden=garden,
        state="agreed",
        offered_at=NOW,
        valid_until=TODAY,
        taxes=taxes,
        **amounts,
        **facts,
    )
    return quote


def in_parts(garden: Any) -> tuple[Quote, Job, Quote]:
    """A quote that is paid in two parts, its job, and what was agreed on top."""
    quote = agreed_quote(garden)
    for place, when in enumerate(("agreed", "finished"), start=1):
        Milestone.objects.create(
            quote=quote,
            position=place,
            title=f"Part {place}",
            when=when,
            percent=Decimal(50),
        )
    job: Job = factories.JobFactory(
        kind="planting", quote=quote, garden=garden, price=quote.net
    )
    return quote, job, agreed_quote(garden, addition_to=job)


def samples(base: SimpleNamespace) -> dict[str, dict[str, Any]]:
    """A receipt, a bill, a finished job and an instalment."""
    owner = base.people["owner"]
    job = factories.JobFactory(garden=base.garden, state="finished", finished_at=NOW)
    billed = factories.JobFactory(garden=base.garden, state="finished", finished_at=NOW)
    bill = bill_job(job=billed, deposit_percent=None, day=TODAY, by=owner, now=NOW)
    receipt = enter_receipt(
        supplier="Hill Nursery",
        number="1",
        day=TODAY,
        net=Decimal("1.00"),
        tax=Decimal("0.00"),
        gross=Decimal("1.00"),
        shares=[],
        note="",
        scan="",
        key=uuid.uuid4(),
        by=owner,
        now=NOW,
    )
    instalment = Instalment.objects.create(
        contract=factories.ContractFactory(garden=base.garden),
        position=1,
        due_on=TODAY,
        net=Decimal("1.00"),
        tax=Decimal("0.00"),
        gross=Decimal("1.00"),
    )
    credited = factories.JobFactory(
        garden=base.garden, state="finished", finished_at=NOW
    )
    owed = bill_job(job=credited, deposit_percent=None, day=TODAY, by=owner, now=NOW)
    payment = pay(owed, "200.00", owner)
    credit_bill(bill=owed, reason="twice", day=TODAY, by=owner, now=NOW)
    _quote, job_in_parts, extra = in_parts(base.garden)
    return {
        "owed bill": {"pk": owed.pk},
        "payment": {"pk": payment.pk},
        "part of a price": {"pk": job_in_parts.pk, "place": 1},
        "agreed addition": {"pk": extra.pk},
        "receipt": {"pk": receipt.pk},
        "bill": {"pk": bill.pk},
        "finished job": {"pk": job.pk},
        "instalment": {"pk": instalment.pk},
    }
