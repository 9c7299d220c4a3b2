"""Planting plans and quantities of a quote."""

from jobs.queries.takeoff.amounts import Amount
from jobs.queries.takeoff.figures import TakeoffPage, amounts_of, takeoff_page
from jobs.queries.takeoff.plans import (
    PlanPage,
    PlanShown,
    layout_for,
    plan_page,
    plans_of,
)

__all__ = [
    "Amount",
    "PlanPage",
    "PlanShown",
    "TakeoffPage",
    "amounts_of",
    "layout_for",
    "plan_page",
    "plans_of",
    "takeoff_page",
]
