"""The water of plantings: two seasons week by week, and what is dry now."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

import numpy as np
from django.utils.translation import gettext as _

from plants import water
from plants.climate import Climate
from plants.climate.evapotranspiration import K_RS_INLAND, reduced_set_mm
from plants.climate.records import DailyRecords
from plants.climate.records.days import MISSING
from plants.models import Planting, Station
from plants.queries.care.climates import climate_of_station
from plants.queries.fit import facts_of
from plants.queries.gardens import planting as find_planting
from plants.queries.records import daily_records
from plants.water.rootzone import Real

TWO_SEASONS_DAYS = 728
# What stands in a bed without a soil type is reckoned with this one.
USUAL_SOIL = "loam"


@dataclass(frozen=True, kw_only=True)
class Weather:
    """ETo and rain in mm a day from FIRST on, and the last day that was recorded."""

    first: dt.date
    et0_mm: Real
    rain_mm: Real
    recorded_until: dt.date | None


@dataclass(frozen=True, kw_only=True)
class WeekShown:
    """One week, with whether its weather was recorded."""

    week: water.WaterWeek
    is_recorded: bool

    @property
    def litres(self) -> float:
        """What one plant is given in the week."""
        return self.week.times * self.week.litres_each

    @property
    def last(self) -> dt.date:
        """Its last day."""
        return self.week.first + dt.timedelta(days=6)


@dataclass(frozen=True, kw_only=True)
class WaterPage:
    """A planting's water: the weeks of its first two seasons, and what was assumed.

    NOW is the week that holds the day of the page, None before or after the seasons.
    """

    planting: Planting
    weeks: Sequence[WeekShown]
    now: WeekShown | None
    recorded_until: dt.date | None
    assumed: Sequence[str]
    is_irrigated: bool
    dry_month: dt.date
    holds_days: int
    then_litres: float

    @property
    def coming(self) -> Sequence[WeekShown]:
        """This week and the seven after it; the first eight where none is now."""
        start = self.weeks.index(self.now) if self.now else 0
        return self.weeks[start : start + 8]


def weather_from(
    *, station: Station, climate: Climate, first: dt.date, days: int
) -> Weather:
    """So many days from FIRST on: recorded where they are, else typical."""
    last = first + dt.timedelta(days=days - 1)
    records = daily_records(station=station, years=range(first.year, last.year + 1))
    et0, rain = water.typical_days(climate, first, days)
    until = _lay_over(records, climate, first, et0, rain)
    return Weather(first=first, et0_mm=et0, rain_mm=rain, recorded_until=until)


def _lay_over(
    records: DailyRecords | None,
    climate: Climate,
    first: dt.date,
    et0: Real,
    rain: Real,
) -> dt.date | None:
    """Put recorded days into ET0 and RAIN; the last day of which rain is recorded.

    Before the last recorded day a missing rain counts as none: a typical shower there
    would hide a dry spell that the days around it show.
    """
    if records is None:
        return None
    begins = (first - records.start).days
    ends = begins + len(et0)
    low, high = max(begins, 0), min(ends, len(records.rain))
    if low >= high:
        return None
    here = slice(low - begins, high - begins)
    fell = records.rain[low:high]
    known = np.flatnonzero(fell != MISSING)
    until = None
    if len(known):
        until = first + dt.timedelta(days=low - begins + int(known[-1]))
        head = slice(here.start + int(known[0]), here.start + int(known[-1]) + 1)
        kept = fell[int(known[0]) : int(known[-1]) + 1]
        rain[head] = np.where(kept == MISSING, 0, kept) / 10
    tmax, tmin = records.tmax[low:high], records.tmin[low:high]
    warm = np.flatnonzero((tmax != MISSING) & (tmin != MISSING))
    if len(warm):
        days = [first + dt.timedelta(days=here.start + int(at)) for at in warm]
        et0[here.start + warm] = reduced_set_mm(
            tmax_c=tmax[warm] / 10,
            tmin_c=tmin[warm] / 10,
            lat=climate.lat,
            day_of_year=np.array(
                [day.timetuple().tm_yday for day in days], dtype=float
            ),
            k_rs=K_RS_INLAND,
        )
    return until


def new_plant_of(
    planting: Planting,
) -> tuple[water.NewPlant, tuple[water.Assumed, ...]]:
    """One plant of PLANTING for the balance, and what of it was not known."""
    facts = facts_of(planting.plant) if planting.plant else {}
    kind = planting.plant.group.kind if planting.plant else "shrub"
    return water.new_plant(
        kind=str(facts.get("kind") or kind),
        size_text=planting.size_text,
        width_m=(facts.get("mature") or {}).get("width_m"),
        texture=planting.bed.texture if planting.bed else "",
        likes_dry=list(facts.get("moisture") or []) == ["dry"],
    )


def water_page(*, pk: int, day: dt.date) -> WaterPage | None:
    """The water of a planting on DAY; None when it is not there."""
    found = find_planting(pk=pk)
    if found is None:
        return None
    station = found.garden.station
    climate = climate_of_station(station)
    plant, assumed = new_plant_of(found)
    weeks: list[WeekShown] = []
    recorded = None
    if found.planted_on is not None:
        first = found.planted_on + dt.timedelta(days=1)
        weather = weather_from(
            station=station, climate=climate, first=first, days=TWO_SEASONS_DAYS
        )
        recorded = weather.recorded_until
        weeks = [
            WeekShown(
                week=week,
                is_recorded=recorded is not None
                and week.first + dt.timedelta(days=6) <= recorded,
            )
            for week in water.two_seasons(
                plant,
                planted_on=found.planted_on,
                et0_mm=weather.et0_mm,
                rain_mm=weather.rain_mm,
            )
        ]
    month, holds, litres = _once_established(plant, climate, day.year)
    return WaterPage(
        planting=found,
        weeks=weeks,
        now=next((each for each in weeks if each.week.first <= day <= each.last), None),
        recorded_until=recorded,
        assumed=assumed_words(assumed, plant),
        is_irrigated=bool(found.bed and found.bed.is_irrigated),
        dry_month=month,
        holds_days=holds,
        then_litres=litres,
    )


def _once_established(
    plant: water.NewPlant, climate: Climate, year: int
) -> tuple[dt.date, int, float]:
    """In the thirstiest month: its first day, how long the easy water lasts without
    rain once the plant is grown in, and the litres it then lacks.
    """
    et0, _rain = water.typical_days(climate, dt.date(year, 1, 1), 365)
    by_month = [
        float(
            np.mean(
                [
                    et0[number]
                    for number in range(365)
                    if (dt.date(year, 1, 1) + dt.timedelta(days=number)).month == month
                ]
            )
        )
        for month in range(1, 13)
    ]
    month = int(np.argmax(by_month)) + 1
    litres, _ground = water.room_on(plant, np.array([36500.0]))
    easy = water.EASY_SHARE * float(litres[0])
    leaves = float(water.leaves_on(plant, np.array([36500.0]))[0])
    use = plant.factor * leaves * by_month[month - 1]
    return dt.date(year, month, 1), max(int(easy / use), 1) if use else 0, easy


def assumed_words(assumed: Sequence[water.Assumed], plant: water.NewPlant) -> list[str]:
    """What was taken as usual because nobody wrote it down, in sentences."""
    size, _guess = water.size_or_usual("", kind=plant.kind)
    said = {
        "size": _("How it came is not written down: reckoned as %(size)s.")
        % {"size": size.text},
        "soil": _("The bed's soil is not known: reckoned as loam."),
        "width": _("Its grown width is not known: reckoned as 1.2 m (4 ft)."),
    }
    return [said[each] for each in assumed]


# --- what is dry now ---------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class DryPlanting:
    """A young planting that is dry, and for how long."""

    planting: Planting
    thirst: water.Thirst
    is_new: bool

    @property
    def litres(self) -> Decimal:
        """What all of its plants together lack."""
        each = Decimal(f"{self.thirst.lacking_litres:.2f}")
        return each * self.planting.count


def thirsty(
    *,
    plantings: Sequence[Planting],
    soaked_on: dict[int, dt.date],
    day: dt.date,
) -> tuple[list[DryPlanting], dict[int, dt.date | None]]:
    """Which of the young PLANTINGS want water in the evening of DAY, driest first,
    and the last recorded day of each climate.

    SOAKED_ON is the day each garden was last watered; else a planting counts from the
    day it was planted. Plantings come with plant__group, bed and garden__station.
    """
    days = water.LOOK_BACK_DAYS
    first = day - dt.timedelta(days=days - 1)
    weathers: dict[int, Weather] = {}
    for planting in plantings:
        station = planting.garden.station
        if station.pk not in weathers:
            weathers[station.pk] = weather_from(
                station=station,
                climate=climate_of_station(station),
                first=first,
                days=days,
            )
    young = []
    for planting in plantings:
        planted = planting.planted_on or day
        soaked = max(soaked_on.get(planting.garden_id, planted), planted)
        young.append(
            water.Young(
                plant=new_plant_of(planting)[0], planted_on=planted, soaked_on=soaked
            )
        )
    if not young:
        return [], {}
    columns = [weathers[planting.garden.station_id] for planting in plantings]
    thirsts = water.thirst_on(
        young,
        day=day,
        et0_mm=np.stack([each.et0_mm for each in columns], axis=1),
        rain_mm=np.stack([each.rain_mm for each in columns], axis=1),
    )
    found = [
        DryPlanting(
            planting=planting,
            thirst=thirst,
            is_new=(day - (planting.planted_on or day)).days <= water.BALL_DAYS,
        )
        for planting, thirst in zip(plantings, thirsts, strict=True)
        if thirst.wants_water
    ]
    found.sort(key=lambda each: (each.thirst.share_left, each.planting.pk))
    return found, {key: each.recorded_until for key, each in weathers.items()}
