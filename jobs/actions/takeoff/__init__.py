"""Laying out beds and taking quantities into a quote."""

from jobs.actions.takeoff.plans import (
    PlanDetails,
    lay_out_bed,
    remove_plan,
)

__all__ = ["PlanDetails", "lay_out_bed", "remove_plan"]
