"""What the care engine is asked about: merged rules, climates, years, single days.

Every function takes as many plants or plantings as there are and asks the database
the same few questions for one as for a thousand.
"""

from plants.queries.care.climates import (
    climate_of,
    climate_of_station,
    firm_climate,
)
from plants.queries.care.days import (
    DayAnswers,
    PlantingTime,
    ask_the_day,
    ask_the_day_of,
    ask_the_day_of_plant,
    closed_for,
    planting_time,
    planting_windows_for,
    size_sold,
)
from plants.queries.care.layers import (
    engine_group,
    engine_group_of,
    engine_groups,
    layered_specs,
    layers_of,
    layers_of_groups,
    sources_by_key,
)
from plants.queries.care.local_bloom import LocalBlooms, local_blooms
from plants.queries.care.plantings import (
    ANCHOR_OF,
    DAYS_OF_A_YEAR,
    IN_THE_GROUND,
    PlantingFacts,
    PlantingYear,
    PlantYear,
    age_of,
    care_years,
    care_years_of,
    facts_about,
    plant_year,
    plant_years,
    planting_year,
    plantings_in,
)

__all__ = [
    "ANCHOR_OF",
    "DAYS_OF_A_YEAR",
    "IN_THE_GROUND",
    "DayAnswers",
    "LocalBlooms",
    "PlantYear",
    "PlantingFacts",
    "PlantingTime",
    "PlantingYear",
    "age_of",
    "ask_the_day",
    "ask_the_day_of",
    "ask_the_day_of_plant",
    "care_years",
    "care_years_of",
    "climate_of",
    "climate_of_station",
    "closed_for",
    "engine_group",
    "engine_group_of",
    "engine_groups",
    "facts_about",
    "firm_climate",
    "layered_specs",
    "layers_of",
    "layers_of_groups",
    "local_blooms",
    "plant_year",
    "plant_years",
    "planting_time",
    "planting_windows_for",
    "planting_year",
    "plantings_in",
    "size_sold",
    "sources_by_key",
]
