"""What a job was to cost, did cost and brought in."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from firm.money import NOTHING, Taxed, margin_of, round_half_up, to_cents


class CostingError(ValueError):
    """Hours, rates or receipts that no job can have; says which."""


@dataclass(frozen=True, kw_only=True)
class HourCost:
    """Hours somebody logged and what one of them costs the firm."""

    hours: Decimal
    rate: Decimal

    def __post_init__(self) -> None:
        if self.hours < 0:
            raise CostingError("Hours cannot be negative.")
        if self.rate < 0:
            raise CostingError("An hourly cost cannot be negative.")

    @property
    def cost(self) -> Decimal:
        return to_cents(self.hours * self.rate)


@dataclass(frozen=True, kw_only=True)
class JobFigures:
    """What the books hold on one job; `quoted` is None for work by the hour.

    `receipts` are the net amounts laid to the job, credits negative.
    """

    quoted: Decimal | None
    planned_cost: Decimal
    hour_costs: tuple[HourCost, ...] = ()
    receipts: tuple[Decimal, ...] = ()
    billed: tuple[Taxed, ...] = ()


@dataclass(frozen=True, kw_only=True)
class JobTotal:
    """One row of the job totals; `billed` is net, `tax` is what was billed with it."""

    quoted: Decimal
    planned_cost: Decimal
    actual_cost: Decimal
    hours: Decimal
    billed: Decimal
    tax: Decimal
    margin: Decimal
    margin_percent: Decimal | None


def job_total(job: JobFigures) -> JobTotal:
    """The row of one job; the margin is on the quoted price, else on what is billed."""
    labour = sum((hour.cost for hour in job.hour_costs), Decimal("0.00"))
    actual = to_cents(labour + sum(job.receipts, Decimal("0.00")))
    billed = sum(job.billed, NOTHING)
    price = billed.net if job.quoted is None else to_cents(job.quoted)
    return JobTotal(
        quoted=to_cents(job.quoted or Decimal(0)),
        planned_cost=to_cents(job.planned_cost),
        actual_cost=actual,
        hours=sum((hour.hours for hour in job.hour_costs), Decimal(0)),
        billed=billed.net,
        tax=billed.tax,
        margin=price - actual,
        margin_percent=_percent(cost=actual, price=price),
    )


def foot(totals: Sequence[JobTotal]) -> JobTotal:
    """The sums of the rows, column by column, and the margin on all of them."""

    def column(name: str) -> Decimal:
        return sum((getattr(row, name) for row in totals), Decimal("0.00"))

    actual, margin = column("actual_cost"), column("margin")
    return JobTotal(
        quoted=column("quoted"),
        planned_cost=column("planned_cost"),
        actual_cost=actual,
        hours=column("hours"),
        billed=column("billed"),
        tax=column("tax"),
        margin=margin,
        margin_percent=_percent(cost=actual, price=margin + actual),
    )


def _percent(*, cost: Decimal, price: Decimal) -> Decimal | None:
    percent = margin_of(cost=cost, price=price)
    return None if percent is None else round_half_up(percent, 2)
