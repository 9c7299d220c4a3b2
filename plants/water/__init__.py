"""Water for plants: the printed schedule of the first year, and the reckoned balance.

`schedule` says how often new plants are watered as printed; `rootzone`, `topsoil`,
`plant_factors` and `soils` are the balance of FAO-56; `seasons` reckons a new plant's
first two seasons by it, to be shown beside the schedule.
"""

from plants.water.dry import LOOK_BACK_DAYS, Thirst, Young, thirst_on
from plants.water.new_plants import Assumed, new_plant, size_or_usual
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
from plants.water.seasons import (
    BALL_DAYS,
    EASY_SHARE,
    NewPlant,
    WaterWeek,
    leaves_on,
    room_on,
    two_seasons,
    typical_days,
)
from plants.water.soils import SoilWater, soil_of

__all__ = [
    "ALWAYS_DAYS",
    "BALL_DAYS",
    "COLD_MEAN_C",
    "CONTAINER_GALLONS",
    "EASY_SHARE",
    "LITRES_OF_A_GALLON",
    "LOOK_BACK_DAYS",
    "SHRUB_SHARES",
    "TREE_GALLONS_PER_INCH",
    "WOODY",
    "Assumed",
    "Balance",
    "BedsWater",
    "Every",
    "NewPlant",
    "Phase",
    "SoilWater",
    "Thirst",
    "WaterWeek",
    "Young",
    "first_year",
    "is_cold",
    "is_woody",
    "leaves_on",
    "new_plant",
    "rhythm_after",
    "room_on",
    "shrub_litres",
    "size_or_usual",
    "soil_of",
    "thirst_on",
    "two_seasons",
    "typical_days",
    "water_balance",
]
