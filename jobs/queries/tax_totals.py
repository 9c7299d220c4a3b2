"""The tax of a period: bills less credits, by category, name and rate."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from firm.enums import TaxCategory
from jobs.models import Bill
from jobs.queries.standing import groups_of, key_of_group

NOUGHT = Decimal("0.00")


@dataclass(frozen=True, kw_only=True)
class TaxRow:
    """What was taxed alike in a period: billed, credited, and what is left."""

    category: str
    name: str
    percent: Decimal
    billed_net: Decimal = NOUGHT
    billed_tax: Decimal = NOUGHT
    credited_net: Decimal = NOUGHT
    credited_tax: Decimal = NOUGHT

    @property
    def category_words(self) -> str:
        """What the category is called."""
        return str(TaxCategory(self.category).label)

    @property
    def net(self) -> Decimal:
        """Before tax, bills less credits."""
        return self.billed_net + self.credited_net

    @property
    def tax(self) -> Decimal:
        """The tax, bills less credits."""
        return self.billed_tax + self.credited_tax


@dataclass(frozen=True, kw_only=True)
class TaxTotals:
    """The rows of a period and how many bills and credits they were read from."""

    first: dt.date
    last: dt.date
    rows: Sequence[TaxRow]
    bills: int
    credits: int

    def _sum(self, name: str) -> Decimal:
        return sum((getattr(row, name) for row in self.rows), NOUGHT)

    @property
    def billed_net(self) -> Decimal:
        """All bills before tax."""
        return self._sum("billed_net")

    @property
    def billed_tax(self) -> Decimal:
        """The tax of all bills."""
        return self._sum("billed_tax")

    @property
    def credited_net(self) -> Decimal:
        """All credits before tax, below zero."""
        return self._sum("credited_net")

    @property
    def credited_tax(self) -> Decimal:
        """The tax of all credits, below zero."""
        return self._sum("credited_tax")

    @property
    def net(self) -> Decimal:
        """Bills less credits before tax."""
        return self.billed_net + self.credited_net

    @property
    def tax(self) -> Decimal:
        """The tax of bills less that of credits."""
        return self.billed_tax + self.credited_tax


def tax_totals(*, first: dt.date, last: dt.date) -> TaxTotals:
    """The tax of the bills and credits dated in the period; one query."""
    found: dict[tuple[str, str, Decimal], dict[str, Decimal]] = {}
    rows = list(Bill.objects.filter(day__range=(first, last)).order_by("day", "id"))
    for bill in rows:
        side = "billed" if bill.credits_id is None else "credited"
        for group in groups_of(bill):
            sums = found.setdefault(key_of_group(group), {})
            for name, amount in (("net", group.net), ("tax", group.tax)):
                sums[f"{side}_{name}"] = sums.get(f"{side}_{name}", NOUGHT) + amount
    return TaxTotals(
        first=first,
        last=last,
        rows=[
            TaxRow(category=category, name=name, percent=percent, **sums)
            for (category, name, percent), sums in sorted(found.items())
        ],
        bills=sum(bill.credits_id is None for bill in rows),
        credits=sum(bill.credits_id is not None for bill in rows),
    )
