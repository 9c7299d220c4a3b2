"""Drawings of the firm's work: hours, quoted against actual, planting plans."""

from jobs.drawings.hours import (
    Compared,
    Load,
    difference_words,
    hours,
    hours_against_capacity,
    load_words,
    quoted_against_actual,
)
from jobs.drawings.planting import plan_svg, plan_words

__all__ = [
    "Compared",
    "Load",
    "difference_words",
    "hours",
    "hours_against_capacity",
    "load_words",
    "plan_svg",
    "plan_words",
    "quoted_against_actual",
]
