"""Which young plants want water now, by the balance of their roots' water.

Every plant is taken to be soaked on a day of its own - the day it was planted or last
watered - and to live on rain since. Rain that is typical falls on every third day, so
that only recorded rain shows a dry spell.
"""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from plants.water.rootzone import LIGHT_RAIN, BedsWater, Real, water_balance
from plants.water.seasons import EASY_SHARE, NewPlant, leaves_on, room_on

DRY_SHARE = 0.5
"""A plant is called dry when half of the water in its roots' reach is gone, which is
later than the best time to water it; common practice, no source."""

LOOK_BACK_DAYS = 60
"""Longer ago nothing is known of the water; a plant soaked before counts from there."""


@dataclass(frozen=True, kw_only=True)
class Young:
    """A young plant: the day it was planted, and the day it was last soaked."""

    plant: NewPlant
    planted_on: dt.date
    soaked_on: dt.date


@dataclass(frozen=True, kw_only=True)
class Thirst:
    """How dry a plant's roots are in the evening of a day, in litres of one plant.

    DRY_DAYS counts the evenings in a row on which half of its water was gone;
    SHARE_LEFT is what is left of all that its roots can hold.
    """

    lacking_litres: float
    share_left: float
    dry_days: int

    @property
    def wants_water(self) -> bool:
        """Whether half of its water is gone."""
        return self.dry_days > 0


def thirst_on(
    young: Sequence[Young], *, day: dt.date, et0_mm: Real, rain_mm: Real
) -> list[Thirst]:
    """How dry each plant is in the evening of DAY.

    ET0_MM and RAIN_MM are (days, plants), their last row being DAY.
    """
    if not young:
        return []
    days = len(et0_mm)
    first = day - dt.timedelta(days=days - 1)
    total = np.zeros((days, len(young)))
    ground = np.zeros((days, len(young)))
    use = np.zeros((days, len(young)))
    lives = np.zeros((days, len(young)))
    for place, each in enumerate(young):
        after = np.arange(days, dtype=np.float64) + (first - each.planted_on).days
        total[:, place], ground[:, place] = room_on(each.plant, np.maximum(after, 0))
        use[:, place] = each.plant.factor * leaves_on(each.plant, after)
        # Up to the evening on which it was soaked nothing is used and nothing falls.
        start = (each.soaked_on - first).days + 1
        lives[max(start, 0) :, place] = 1
    rain = np.where(rain_mm < LIGHT_RAIN * et0_mm, 0.0, rain_mm) * ground
    balance = water_balance(
        BedsWater(
            total_mm=total,
            share=np.full(len(young), EASY_SHARE),
            coefficient=use,
        ),
        et0_mm=et0_mm * lives,
        rain_mm=rain * lives,
        start_mm=np.zeros(len(young)),
        adjusts_share=False,
        ignores_light_rain=False,
    )
    is_dry = balance.depletion >= DRY_SHARE * total
    found = []
    for place in range(len(young)):
        wet = np.flatnonzero(~is_dry[:, place])
        lacking = float(balance.depletion[-1, place])
        found.append(
            Thirst(
                lacking_litres=lacking,
                share_left=1 - lacking / float(total[-1, place]),
                dry_days=days - 1 - int(wet[-1]) if len(wet) else days,
            )
        )
    return found
