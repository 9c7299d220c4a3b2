"""A plant against a place, criterion by criterion, in words and never a bare score.

The steps between right, bearable, wrong and deadly are common practice, no source;
what a plant needs comes from the catalogue with its own sources.
"""

from plants.fit.mending import Means, Mending, Remedy, mend
from plants.fit.place import AT_RISK, LIGHTS, MOISTURES, Needs, Site, Wall, needs_of
from plants.fit.space import spread_m2
from plants.fit.verdicts import NOT_RECORDED, SEVERITY, Criterion, Verdict
from plants.fit.whole import Fit, Ranked, fit, rank

__all__ = [
    "AT_RISK",
    "LIGHTS",
    "MOISTURES",
    "NOT_RECORDED",
    "SEVERITY",
    "Criterion",
    "Fit",
    "Means",
    "Mending",
    "Needs",
    "Ranked",
    "Remedy",
    "Site",
    "Verdict",
    "Wall",
    "fit",
    "mend",
    "needs_of",
    "rank",
    "spread_m2",
]
