"""Soil: its pH and what moves it, blends, fertiliser, and what plants are sold in.

Each figure names its source; how it was read stands beside it (page read, copy, memory
or common practice). A dose is always split under the ceiling of its source, and a soil
with free lime is refused, because acidifying it does not last.
"""

from plants.soil.acidity import Ph, read_ph, times_as_acid
from plants.soil.blends import Blend, BlendPart, blend
from plants.soil.change import Change, Direction, change_ph, iron_words
from plants.soil.doses import (
    Dose,
    aluminium_sulfate,
    by_loam_table,
    check_ph,
    ferrous_sulfate_kg,
    lime,
    lime_by_acidity,
    sulfur,
)
from plants.soil.feeding import (
    LOCAL_LAW,
    Analysis,
    Feeding,
    feed,
    nutrients_in,
    product_rate,
    read_analysis,
    root_zone_m2,
)
from plants.soil.stock import (
    CONTAINERS,
    Size,
    Sold,
    ball_weight_kg,
    read_size,
    size_words,
)
from plants.soil.tables import PARTS, SOURCES, TEXTURES, SoilError
from plants.soil.words import ph_words

__all__ = [
    "CONTAINERS",
    "LOCAL_LAW",
    "PARTS",
    "SOURCES",
    "TEXTURES",
    "Analysis",
    "Blend",
    "BlendPart",
    "Change",
    "Direction",
    "Dose",
    "Feeding",
    "Ph",
    "Size",
    "SoilError",
    "Sold",
    "aluminium_sulfate",
    "ball_weight_kg",
    "blend",
    "by_loam_table",
    "change_ph",
    "check_ph",
    "feed",
    "ferrous_sulfate_kg",
    "iron_words",
    "lime",
    "lime_by_acidity",
    "nutrients_in",
    "ph_words",
    "product_rate",
    "read_analysis",
    "read_ph",
    "read_size",
    "root_zone_m2",
    "size_words",
    "sulfur",
    "times_as_acid",
]
