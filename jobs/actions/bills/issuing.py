"""Issuing a numbered bill or credit, whatever it is for."""

import datetime as dt
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Any

from firm.actions.record import next_number, record
from firm.models import Person
from firm.money import Taxed
from firm.queries import firm_or_blank
from jobs.actions.documents import issue
from jobs.enums import BillKind, BillState, DocumentKind
from jobs.models import Bill, Contract, Instalment, Job, Milestone, Quote
from jobs.pricing import TaxGroup
from jobs.queries.letterhead import letterhead
from plants.models import Garden


def line(words: str, net: Decimal, groups: Iterable[TaxGroup] = ()) -> dict[str, Any]:
    """One printed line; with its taxes it can be credited by itself."""
    taxes = [group.as_text() for group in groups]
    printed: dict[str, Any] = {"description": words, "net": str(net)}
    return printed | {"taxes": taxes} if taxes else printed


def issue_bill(
    *,
    kind: BillKind,
    garden: Garden,
    job: Job | None,
    contract: Contract | None,
    lines: list[dict[str, Any]],
    amount: Taxed,
    groups: Sequence[TaxGroup],
    tax_name: str,
    tax_percent: Decimal,
    day: dt.date,
    by: Person,
    now: dt.datetime,
    instalment: Instalment | None = None,
    milestone: Milestone | None = None,
    addition: Quote | None = None,
    credits: Bill | None = None,
    lowers_price: bool = False,
    is_part: bool = False,
) -> Bill:
    """The new bill with the next number and its fixed document.

    Call it inside the action's transaction.
    """
    client = garden.client
    number = next_number(kind="bill", prefix="B", year=day.year)
    taxes = [group.as_text() for group in groups]
    bill = Bill.objects.create(
        number=number,
        kind=kind,
        client=client,
        job=job,
        contract=contract,
        instalment=instalment,
        milestone=milestone,
        addition=addition,
        day=day,
        due_on=day + dt.timedelta(days=firm_or_blank().payment_days),
        lines=lines,
        net=amount.net,
        tax=amount.tax,
        gross=amount.gross,
        taxes=taxes,
        tax_name=tax_name,
        tax_percent=tax_percent,
        credits=credits,
        lowers_price=lowers_price,
        issued_by=by,
        state=BillState.PAID if amount.gross <= 0 else BillState.OPEN,
    )
    issue(
        kind=DocumentKind.BILL,
        number=number,
        garden=garden,
        bill=bill,
        job=job,
        language=client.language,
        snapshot={
            "firm": letterhead(),
            "client": {
                "name": client.name,
                "billing_address": client.billing_address,
            },
            "garden": {"name": garden.name, "address": garden.address},
            "kind": kind,
            "number": number,
            "day": day,
            "due_on": bill.due_on,
            "lines": lines,
            "net": amount.net,
            "tax": amount.tax,
            "gross": amount.gross,
            "taxes": taxes,
            "tax_name": tax_name,
            "tax_percent": tax_percent,
            "credits": credits.number if credits else "",
            "is_part": is_part,
        },
        now=now,
        by=by,
    )
    record(
        action="bill issued",
        subject=bill,
        summary=f"bill {number} of {amount.gross} to {client.name}",
        now=now,
        by=by,
    )
    return bill
