"""Rows about plants and the places they grow in."""

from plants.models.blooms import BloomTable, BloomTableRow, StationBloom
from plants.models.catalogue import (
    CatalogueLoad,
    ClosedSeason,
    Group,
    Plant,
    PlantName,
    Rule,
    Source,
)
from plants.models.climate import RecordFile, RecordYear, Station, StationRecords
from plants.models.gardens import Bed, Garden, Shade, StandingInstruction
from plants.models.plantings import ObservedBloom, Planting

__all__ = [
    "Bed",
    "BloomTable",
    "BloomTableRow",
    "CatalogueLoad",
    "ClosedSeason",
    "Garden",
    "Group",
    "ObservedBloom",
    "Plant",
    "PlantName",
    "Planting",
    "RecordFile",
    "RecordYear",
    "Rule",
    "Shade",
    "Source",
    "StandingInstruction",
    "Station",
    "StationBloom",
    "StationRecords",
]
