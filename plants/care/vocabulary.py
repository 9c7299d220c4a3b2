"""The words that rules of care are written in."""

KINDS = (
    "shrub",
    "tree",
    "climber",
    "rose",
    "perennial",
    "grass",
    "conifer",
    "hedge",
    "bulb",
    "fern",
    "groundcover",
    "fruit",
    "sedge",
)
EVERGREEN = ("yes", "no", "semi")
BUDS = ("opposite", "alternate", "whorled", "basal")
WOODS = ("old", "new", "both", "none")

TASKS = (
    "prune",
    "thin",
    "deadhead",
    "cut down",
    "shear",
    "dead wood",
    "renovate",
    "feed",
    "acidify",
    "lime",
    "mulch",
    "stake",
    "unstake",
    "tie in",
    "divide",
    "protect",
    "unprotect",
    "water check",
    "inspect",
    "clear up",
)
CUTS = ("prune", "thin", "shear", "cut down", "renovate")
"""Tasks that take living wood; deadheading and dead wood stand apart."""

PURPOSES = (
    "shape",
    "flower",
    "structure",
    "renovation",
    "dead wood",
    "deadhead",
    "hygiene",
    "none",
)
SHAPING = ("shape", "flower")
"""Purposes whose cut may cost a year's flowers."""

DRAWINGS = (
    "above-pair",
    "above-bud",
    "take-a-third",
    "at-collar",
    "thin-base",
    "cut-down",
    "dead-tips",
    "shear",
    "grass",
    "none",
)

ANCHORS = (
    "last_spring_frost",
    "last_spring_frost_early",
    "first_autumn_frost",
    "leaf_out",
    "bud_swell",
    "bloom_start",
    "bloom_end",
    "bud_set",
    "leaf_fall",
    "dormancy",
    "late_winter",
    "midsummer",
    "planting_day",
    "year_start",
)

FROST = ("needed", "free")

GDD_METHODS = ("average", "modified")
"""How degree days are counted; the words of plants.climate.GddMethod."""

LAYERS = ("shipped", "firm", "plant", "garden", "planting")
"""Who wrote a line, from the farthest to the nearest; the nearest wins."""

COMMON_PRACTICE = "common practice"

SHARE_LIMITS = {
    "tree": 0.25,
    "shrub": 1 / 3,
    "climber": 1 / 3,
    "conifer": 1 / 3,
    "hedge": 1 / 3,
    "groundcover": 1 / 3,
    "rose": 0.75,
}
"""Greatest share of a living crown that one shaping or structure cut may take: trees
after ANSI A300 Part 1 (from memory), woody plants after the rule of thirds (common
practice), roses after the hard cut of Kansas State. Kinds not named have none."""

RENOVATION_AGE_YEARS = 3
"""Younger plants are not renovated unless a rule says so; common practice."""
