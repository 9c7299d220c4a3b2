"""What an hour of labour must carry, and how many hours pay for the year."""

from decimal import Decimal

from firm.money import HUNDRED, price_at_margin, round_half_up, to_cents
from jobs.pricing.lines import PricingError


def break_even_rate(
    *, wage: Decimal, burden_percent: Decimal, overhead_per_hour: Decimal
) -> Decimal:
    """The price of an hour that pays wage, its burden and overhead, and no more."""
    return to_cents(wage * (HUNDRED + burden_percent) / HUNDRED + overhead_per_hour)


def rate_at_margin(*, break_even: Decimal, margin_percent: Decimal) -> Decimal:
    """The price of an hour of which the margin is left once it has broken even."""
    return price_at_margin(cost=break_even, margin_percent=margin_percent)


def overhead_per_hour(*, overhead: Decimal, billable_h: Decimal) -> Decimal:
    """What every billable hour must carry of the year's overhead."""
    if billable_h <= 0:
        raise PricingError("Overhead is spread over at least some billable hours.")
    if overhead < 0:
        raise PricingError("A year's overhead cannot be negative.")
    return to_cents(overhead / billable_h)


def break_even_h(
    *, overhead: Decimal, hour_price: Decimal, hour_cost: Decimal
) -> Decimal | None:
    """The hours sold in a year from which the overhead is paid; None: none suffice."""
    left = hour_price - hour_cost
    if left <= 0:
        return None
    return round_half_up(overhead / left, 1)
