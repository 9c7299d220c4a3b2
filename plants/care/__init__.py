"""Care as rules: what is done to a group of plants, when, how far, and why.

Rules are data. `read_group` reads and proves them, `merge_layers` lays the firm's, a
plant's and a garden's own lines over the shipped ones, `anchors` and `windows` turn
them into dates for a climate and a year, `care_year` into one planting's year, and
`ask` says what may be done on a day.
"""

from plants.care.anchors import (
    Move,
    Observed,
    anchors,
    degree_days_here,
    moves,
    spring_shift,
    year_anchors,
)
from plants.care.ask import Answer, ask, closed_on
from plants.care.fitting import fit_layers
from plants.care.group import (
    Bloom,
    ClosedSeason,
    Conditions,
    DegreeDays,
    FollowUp,
    Group,
    LeftOut,
    Limits,
    Moment,
    Repeat,
    Rule,
    RuleError,
)
from plants.care.layers import (
    UNIDENTIFIED,
    merge_layers,
    unidentified_group,
    unidentified_rules,
)
from plants.care.planting import PlantingPeriod, planting_verdict, planting_window
from plants.care.read import read_group, read_timing
from plants.care.vocabulary import (
    ANCHORS,
    BUDS,
    CUTS,
    DRAWINGS,
    EVERGREEN,
    KINDS,
    LAYERS,
    PURPOSES,
    TASKS,
    WOODS,
)
from plants.care.windows import ClosedPeriod, Window, unhung, windows
from plants.care.year import age_on, care_year

__all__ = [
    "ANCHORS",
    "BUDS",
    "CUTS",
    "DRAWINGS",
    "EVERGREEN",
    "KINDS",
    "LAYERS",
    "PURPOSES",
    "TASKS",
    "UNIDENTIFIED",
    "WOODS",
    "Answer",
    "Bloom",
    "ClosedPeriod",
    "ClosedSeason",
    "Conditions",
    "DegreeDays",
    "FollowUp",
    "Group",
    "LeftOut",
    "Limits",
    "Moment",
    "Move",
    "Observed",
    "PlantingPeriod",
    "Repeat",
    "Rule",
    "RuleError",
    "Window",
    "age_on",
    "anchors",
    "ask",
    "care_year",
    "closed_on",
    "degree_days_here",
    "fit_layers",
    "merge_layers",
    "moves",
    "planting_verdict",
    "planting_window",
    "read_group",
    "read_timing",
    "spring_shift",
    "unhung",
    "unidentified_group",
    "unidentified_rules",
    "windows",
    "year_anchors",
]
