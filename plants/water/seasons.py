"""The first two seasons of a new plant, week by week: how often and how much.

The balance of the roots' water is kept in litres of one plant. In the first twelve
weeks only the root ball counts: it dries alone, because its roots have not left it.
After that the rooted ground widens by 18 in a year (a nursery's page, copy, after the
University of Minnesota) and deepens until the plant is established. Beside it stands
the published schedule, which is far more frequent at first: both are shown.
"""

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from plants.climate import Climate
from plants.climate.evapotranspiration import K_RS_INLAND, reduced_set_mm
from plants.climate.lines import MONTH_DAYS, year_line
from plants.climate.place import year_day
from plants.water.rootzone import LIGHT_RAIN, BedsWater, Real, water_balance
from plants.water.schedule import Every, rhythm_after
from plants.water.soils import SoilWater

BALL_DAYS = 84
SPREAD_M_A_YEAR = 0.4572
CROWN_M_A_YEAR = 0.3
"""How much wider the leaves reach after a year; common practice, no source."""

EASY_SHARE = 0.35
"""Young roots suffer early: the lower end of table 22 for shrubs and trees."""

RAIN_EVERY_DAYS = 3
"""Typical rain falls on every third day (common practice, no source), so that it knows
no dry spells; recorded rain shows them."""

WEEKS = 104


@dataclass(frozen=True, kw_only=True)
class NewPlant:
    """A plant with its root ball and the soil around it.

    FACTOR is its use of water against short grass; on the day it is planted the leaves
    shade LEAVES_M2, and they grow until they reach as wide as the roots.
    """

    kind: str
    ball_depth_m: float
    ball_across_m: float
    leaves_m2: float
    roots_depth_m: float
    roots_across_m: float
    factor: float
    soil: SoilWater
    established_after_days: int = 547


@dataclass(frozen=True, kw_only=True)
class WaterWeek:
    """One week of a new plant: water to give, and what it lacks if none is given.

    EVERY is the published rhythm; None once it says no more.
    """

    first: dt.date
    times: int
    litres_each: float
    lacking_litres: float
    every: Every | None


def typical_days(climate: Climate, first: dt.date, days: int) -> tuple[Real, Real]:
    """ETo and rain in mm of typical days from FIRST on."""
    dates = [first + dt.timedelta(days=number) for number in range(days)]
    low = np.array([climate.low_c(day) for day in dates])
    high = np.array([climate.high_c(day) for day in dates])
    number = np.array([day.timetuple().tm_yday for day in dates], dtype=np.float64)
    if climate.eto_mm is None:
        et0 = reduced_set_mm(
            tmax_c=high, tmin_c=low, lat=climate.lat, day_of_year=number,
            k_rs=K_RS_INLAND,
        )  # fmt: skip
    else:
        # The line through the months may dip under nought between two winters.
        means = zip(climate.eto_mm, MONTH_DAYS, strict=True)
        line = year_line(tuple(total / length for total, length in means))
        et0 = np.array([max(line[year_day(day)], 0.0) for day in dates])
    rain = np.zeros(days)
    for place, day in enumerate(dates):
        if day.toordinal() % RAIN_EVERY_DAYS == 0:
            length = (day.replace(day=28) + dt.timedelta(days=4)).replace(day=1)
            month_days = (length - day.replace(day=1)).days
            rain[place] = climate.rain_mm[day.month - 1] / month_days * RAIN_EVERY_DAYS
    return np.asarray(et0), rain


def two_seasons(
    plant: NewPlant,
    *,
    planted_on: dt.date,
    et0_mm: Sequence[float] | Real,
    rain_mm: Sequence[float] | Real,
) -> list[WaterWeek]:
    """The weeks from planting on, as far as days are given, at most 104."""
    et0 = np.asarray(et0_mm, dtype=np.float64)
    rain = np.asarray(rain_mm, dtype=np.float64)
    days = min(len(et0) // 7 * 7, WEEKS * 7)
    et0, rain = et0[:days], rain[:days]
    litres, ground = room_on(plant, np.arange(1, days + 1, dtype=np.float64))
    use = plant.factor * leaves_on(plant, np.arange(1, days + 1, dtype=np.float64))
    fell = np.where(rain < LIGHT_RAIN * et0, 0.0, rain) * ground
    beds = BedsWater(
        total_mm=np.stack([litres, litres], axis=1),
        share=np.full(2, EASY_SHARE),
        coefficient=np.stack([use, use], axis=1),
    )
    balance = water_balance(
        beds,
        et0_mm=et0,
        rain_mm=fell[:, np.newaxis],
        start_mm=np.zeros(2),
        waters=np.array([True, False]),
        adjusts_share=False,
        ignores_light_rain=False,
    )
    need = use * et0
    found = []
    for start in range(0, days, 7):
        week = slice(start, start + 7)
        given = balance.irrigated[week, 0]
        poured = given[given > 0]
        first = planted_on + dt.timedelta(days=start + 1)
        found.append(
            WaterWeek(
                first=first,
                times=len(poured),
                litres_each=float(poured.mean()) if len(poured) else 0.0,
                lacking_litres=float((need - balance.used[:, 1])[week].sum()),
                every=rhythm_after(start + 7, kind=plant.kind),
            )
        )
    return found


def room_on(plant: NewPlant, after_days: Real) -> tuple[Real, Real]:
    """What the roots can hold in litres, and the ground they catch rain on, so many
    days after planting.
    """
    after = np.maximum(after_days - BALL_DAYS, 0)
    across = np.minimum(
        plant.ball_across_m + 2 * SPREAD_M_A_YEAR * after / 365,
        max(plant.roots_across_m, plant.ball_across_m),
    )
    grown = np.minimum(after / max(plant.established_after_days - BALL_DAYS, 1), 1.0)
    deeper = max(plant.roots_depth_m - plant.ball_depth_m, 0.0)
    depth = plant.ball_depth_m + deeper * grown
    ground = math.pi / 4 * across**2
    return plant.soil.available_mm_per_m * depth * ground, ground


def leaves_on(plant: NewPlant, after_days: Real) -> Real:
    """The ground in m² that the leaves shade so many days after planting."""
    first = math.sqrt(4 * plant.leaves_m2 / math.pi)
    across = np.minimum(
        first + CROWN_M_A_YEAR * np.maximum(after_days, 0) / 365,
        max(plant.roots_across_m, first),
    )
    out: Real = math.pi / 4 * across**2
    return out
