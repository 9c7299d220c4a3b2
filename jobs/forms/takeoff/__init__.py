"""Forms for planting plans and quantities of a quote."""

from jobs.forms.takeoff.plans import PlanForm

__all__ = ["PlanForm"]
