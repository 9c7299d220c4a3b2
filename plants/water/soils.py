"""How much water a soil holds for roots: FAO-56, tables 19 and 22, equations 82 and 83.

R. G. Allen and others, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56,
1998 (page read).
"""

from typing import NamedTuple

Range = tuple[float, float]


class SoilWater(NamedTuple):
    """What a soil holds, each as the lowest and the highest figure of table 19.

    Field capacity, wilting point and the water between them are m³ a m³; what
    evaporates easily and in all from the top 0.10 m is mm.
    """

    capacity: Range
    wilting: Range
    available: Range
    easy_mm: Range
    total_mm: Range

    @property
    def available_mm_per_m(self) -> float:
        """The middle of the water between capacity and wilting, mm a metre of depth."""
        return 500 * (self.available[0] + self.available[1])

    @property
    def easy_middle_mm(self) -> float:
        """The middle of what evaporates easily from the top."""
        return (self.easy_mm[0] + self.easy_mm[1]) / 2

    @property
    def total_middle_mm(self) -> float:
        """The middle of what evaporates in all from the top."""
        return (self.total_mm[0] + self.total_mm[1]) / 2


TABLE_19: dict[str, SoilWater] = {
    "sand": SoilWater((0.07, 0.17), (0.02, 0.07), (0.05, 0.11), (2, 7), (6, 12)),
    "loamy sand": SoilWater((0.11, 0.19), (0.03, 0.10), (0.06, 0.12), (4, 8), (9, 14)),
    "sandy loam": SoilWater(
        (0.18, 0.28), (0.06, 0.16), (0.11, 0.15), (6, 10), (15, 20)
    ),
    "loam": SoilWater((0.20, 0.30), (0.07, 0.17), (0.13, 0.18), (8, 10), (16, 22)),
    "silt loam": SoilWater((0.22, 0.36), (0.09, 0.21), (0.13, 0.19), (8, 11), (18, 25)),
    "silt": SoilWater((0.28, 0.36), (0.12, 0.22), (0.16, 0.20), (8, 11), (22, 26)),
    "silty clay loam": SoilWater(
        (0.30, 0.37), (0.17, 0.24), (0.13, 0.18), (8, 11), (22, 27)
    ),
    "silty clay": SoilWater(
        (0.30, 0.42), (0.17, 0.29), (0.13, 0.19), (8, 12), (22, 28)
    ),
    "clay": SoilWater((0.32, 0.40), (0.20, 0.24), (0.12, 0.20), (8, 12), (22, 29)),
}

NEAREST = {"clay loam": "silty clay loam"}
"""Textures that table 19 does not name, by the row taken for them; common practice, no
source."""


def soil_of(texture: str) -> SoilWater:
    """What a soil of that texture holds; KeyError for one that is not known."""
    return TABLE_19[NEAREST.get(texture, texture)]


def total_available_mm(*, capacity: float, wilting: float, roots_m: float) -> float:
    """Water between capacity and wilting in the roots' depth (equation 82)."""
    return 1000 * (capacity - wilting) * roots_m


def readily_available_mm(total_mm: float, share: float) -> float:
    """The part that roots take up before they begin to suffer (equation 83)."""
    return total_mm * share
