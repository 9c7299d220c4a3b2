"""Laying out beds and taking quantities into a quote."""

from jobs.actions.takeoff.figures import (
    NoSuchFigure,
    NothingToTake,
    keep_settings,
    overrule,
    take_back,
    take_into_quote,
)
from jobs.actions.takeoff.plans import PlanDetails, lay_out_bed, remove_plan

__all__ = [
    "NoSuchFigure",
    "NothingToTake",
    "PlanDetails",
    "keep_settings",
    "lay_out_bed",
    "overrule",
    "remove_plan",
    "take_back",
    "take_into_quote",
]
