"""Soil: blends by volume, and what sulfur or lime it takes to move the pH.

Each figure names its source; how it was read stands beside it (page read, copy, or
common practice). A dose is always split under the ceiling of its source, and a soil
with free lime is refused, because acidifying it does not last.
"""

from plants.soil.blends import Blend, BlendPart, blend
from plants.soil.doses import Dose, check_ph, ferrous_sulfate_kg, lime, sulfur
from plants.soil.tables import PARTS, SOURCES, TEXTURES, SoilError
from plants.soil.words import ph_words

__all__ = [
    "PARTS",
    "SOURCES",
    "TEXTURES",
    "Blend",
    "BlendPart",
    "Dose",
    "SoilError",
    "blend",
    "check_ph",
    "ferrous_sulfate_kg",
    "lime",
    "ph_words",
    "sulfur",
]
