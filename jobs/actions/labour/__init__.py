"""Rates of labour and the labour of a quote: changed, reckoned, written, learned."""

from jobs.actions.labour.rates import (
    NoSuchRate,
    NothingShipped,
    RateDetails,
    RateRefused,
    change_factor,
    change_rate,
    ship_rates,
    take_shipped_factor,
    take_shipped_rate,
)

__all__ = [
    "NoSuchRate",
    "NothingShipped",
    "RateDetails",
    "RateRefused",
    "change_factor",
    "change_rate",
    "ship_rates",
    "take_shipped_factor",
    "take_shipped_rate",
]
