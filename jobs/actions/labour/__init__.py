"""Rates of labour and the labour of a quote: changed, reckoned, written, learned."""

from jobs.actions.labour.learning import SaysOtherwise, leave_learned, take_learned
from jobs.actions.labour.quotes import (
    FigureDetails,
    NoLabour,
    change_figure,
    keep_site,
    take_figure_back,
    write_labour,
)
from jobs.actions.labour.rates import (
    NameIsTaken,
    NoSuchRate,
    NothingShipped,
    RateDetails,
    RateRefused,
    add_rate,
    change_factor,
    change_rate,
    ship_rates,
    take_shipped_factor,
    take_shipped_rate,
)

__all__ = [
    "FigureDetails",
    "NameIsTaken",
    "NoLabour",
    "NoSuchRate",
    "NothingShipped",
    "RateDetails",
    "RateRefused",
    "SaysOtherwise",
    "add_rate",
    "change_factor",
    "change_figure",
    "change_rate",
    "keep_site",
    "leave_learned",
    "ship_rates",
    "take_figure_back",
    "take_learned",
    "take_shipped_factor",
    "take_shipped_rate",
    "write_labour",
]
