"""The twelve invented gardens, as a survey would write them down."""

from jobs.actions.demo.garden_list.far import FAR
from jobs.actions.demo.garden_list.near import NEAR
from jobs.actions.demo.garden_list.words import BedOf, GardenOf, GrowsOf

GARDENS = (*NEAR, *FAR)

__all__ = ["GARDENS", "BedOf", "GardenOf", "GrowsOf"]
