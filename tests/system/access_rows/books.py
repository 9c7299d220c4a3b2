"""Addresses of receipts, bills, totals."""

import uuid
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

from jobs.actions.bills import bill_job
from jobs.actions.receipts import enter_receipt
from jobs.models import Instalment
from tests import factories
from tests.factories import NOW, TODAY
from tests.system.access_rows import Permission, Row

SEE = Permission.SEE_BOOKS
KEEP = Permission.KEEP_BOOKS

ROWS: dict[str, Row] = {
    "books": Row(SEE),
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
    "job-bill-new": Row(KEEP, post=200, sample="finished job"),
    "deposit-new": Row(KEEP, post=200, sample="finished job"),
    "instalment-bill-new": Row(KEEP, post=200, sample="instalment"),
}


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
    return {
        "receipt": {"pk": receipt.pk},
        "bill": {"pk": bill.pk},
        "finished job": {"pk": job.pk},
        "instalment": {"pk": instalment.pk},
    }
