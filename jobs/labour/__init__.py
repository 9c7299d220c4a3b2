"""Labour: rates, what slows work, hours of a job by crew, and what logs teach."""

from jobs.labour.estimate import (
    DAY_H,
    LARGEST_CREW,
    Around,
    Crewed,
    Estimate,
    Part,
    by_crew,
    drive_h,
    estimate,
    part_of,
)
from jobs.labour.learning import FEWEST_JOBS, Learned, learn
from jobs.labour.rates import (
    UNITS,
    Factor,
    LabourError,
    Mark,
    Rate,
    Reckoned,
    Touch,
    Work,
    hours_of,
    task_for_size,
)
from jobs.labour.table import FACTORS, RATES

__all__ = [
    "DAY_H",
    "FACTORS",
    "FEWEST_JOBS",
    "LARGEST_CREW",
    "RATES",
    "UNITS",
    "Around",
    "Crewed",
    "Estimate",
    "Factor",
    "LabourError",
    "Learned",
    "Mark",
    "Part",
    "Rate",
    "Reckoned",
    "Touch",
    "Work",
    "by_crew",
    "drive_h",
    "estimate",
    "hours_of",
    "learn",
    "part_of",
    "task_for_size",
]
