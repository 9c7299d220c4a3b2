"""Planting plans and quantities of a quote."""

from jobs.queries.takeoff.plans import (
    PlanPage,
    PlanShown,
    layout_for,
    plan_page,
    plans_of,
)

__all__ = ["PlanPage", "PlanShown", "layout_for", "plan_page", "plans_of"]
