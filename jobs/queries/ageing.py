"""What is open as of a day, by client and by how long it is overdue."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from firm.models import Client
from jobs.enums import BillKind
from jobs.models import Bill
from jobs.queries.standing import standings

NOUGHT = Decimal("0.00")
# The last day of each column, counted from the day a bill was due.
LIMITS = (0, 30, 60, 90)


@dataclass(frozen=True, kw_only=True)
class OpenBill:
    """One bill that waits for money, or of which money is owed to the client."""

    bill: Bill
    open_amount: Decimal
    owed: Decimal
    days_late: int

    @property
    def column(self) -> int:
        """Which column it stands in: 0 is not due, 4 is over 90 days."""
        return sum(self.days_late > limit for limit in LIMITS)


@dataclass(frozen=True, kw_only=True)
class AgeRow:
    """One client's open amounts, or those of all of them."""

    client: Client | None
    columns: tuple[Decimal, ...]
    owed: Decimal

    @property
    def open_amount(self) -> Decimal:
        """All that is open."""
        return sum(self.columns, NOUGHT)

    @property
    def late(self) -> Decimal:
        """What of it is overdue."""
        return sum(self.columns[1:], NOUGHT)


@dataclass(frozen=True, kw_only=True)
class Ageing:
    """The open bills of a day, by client, with their foot."""

    day: dt.date
    rows: Sequence[AgeRow]
    foot: AgeRow
    bills: Sequence[OpenBill]


def open_on(*, day: dt.date, client_id: int | None = None) -> list[OpenBill]:
    """The bills that are not settled at the end of DAY, the oldest due day first."""
    bills = Bill.objects.filter(day__lte=day).exclude(kind=BillKind.CREDIT)
    if client_id is not None:
        bills = bills.filter(client=client_id)
    rows = list(
        bills.select_related("client", "job", "contract").order_by("due_on", "id")
    )
    found = standings(rows, upto=day)
    return [
        OpenBill(
            bill=bill,
            open_amount=found[bill.pk].open_amount,
            owed=found[bill.pk].owed,
            days_late=max(0, (day - bill.due_on).days),
        )
        for bill in rows
        if found[bill.pk].open_amount or found[bill.pk].owed
    ]


def _row(client: Client | None, bills: Iterable[OpenBill]) -> AgeRow:
    columns = [NOUGHT] * (len(LIMITS) + 1)
    owed = NOUGHT
    for each in bills:
        columns[each.column] += each.open_amount
        owed += each.owed
    return AgeRow(client=client, columns=tuple(columns), owed=owed)


def ageing(*, day: dt.date) -> Ageing:
    """What each client has open at the end of DAY; three queries."""
    bills = open_on(day=day)
    by_client: dict[int, list[OpenBill]] = {}
    for each in bills:
        by_client.setdefault(each.bill.client_id, []).append(each)
    rows = [_row(own[0].bill.client, own) for own in by_client.values()]
    rows.sort(
        key=lambda row: (row.client.name, row.client.pk) if row.client else ("", 0)
    )
    return Ageing(day=day, rows=rows, foot=_row(None, bills), bills=bills)
