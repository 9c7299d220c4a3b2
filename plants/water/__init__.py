"""Water for plants: the printed schedule of the first year, and the reckoned balance.

`schedule` says how often new plants are watered as printed; `rootzone`, `topsoil`,
`plant_factors` and `soils` are the balance of FAO-56; `seasons` reckons a new plant's
first two seasons by it, to be shown beside the schedule.
"""

from plants.water.rootzone import Balance, BedsWater, water_balance
from plants.water.schedule import (
    ALWAYS_DAYS,
    COLD_MEAN_C,
    CONTAINER_GALLONS,
    LITRES_OF_A_GALLON,
    SHRUB_SHARES,
    TREE_GALLONS_PER_INCH,
    WOODY,
    Every,
    Phase,
    first_year,
    is_cold,
    is_woody,
    rhythm_after,
    shrub_litres,
)
from plants.water.seasons import NewPlant, WaterWeek, two_seasons, typical_days
from plants.water.soils import SoilWater, soil_of

__all__ = [
    "ALWAYS_DAYS",
    "COLD_MEAN_C",
    "CONTAINER_GALLONS",
    "LITRES_OF_A_GALLON",
    "SHRUB_SHARES",
    "TREE_GALLONS_PER_INCH",
    "WOODY",
    "Balance",
    "BedsWater",
    "Every",
    "NewPlant",
    "Phase",
    "SoilWater",
    "WaterWeek",
    "first_year",
    "is_cold",
    "is_woody",
    "rhythm_after",
    "shrub_litres",
    "soil_of",
    "two_seasons",
    "typical_days",
    "water_balance",
]
