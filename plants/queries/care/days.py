"""Single days: what may be done to a planting, and what may be planted."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from plants import care
from plants.climate import Climate
from plants.models import Garden, Plant, Planting
from plants.queries.care.climates import climate_of
from plants.queries.care.layers import engine_groups
from plants.queries.care.plantings import PlantingFacts, facts_about
from plants.soil import Size, SoilError, Sold, read_size


@dataclass(frozen=True, kw_only=True)
class DayAnswers:
    """What may be done to a planting on a day: best now, allowed, then closed."""

    facts: PlantingFacts
    day: dt.date
    answers: Sequence[care.Answer]

    def said(self, verdict: str) -> list[care.Answer]:
        """The answers with one verdict."""
        return [answer for answer in self.answers if answer.verdict == verdict]


@dataclass(frozen=True, kw_only=True)
class PlantingTime:
    """When a plant may go into the ground, and what is said of one day.

    VERDICT.verdict is "right", "bearable" or "wrong"; NEXT is the first later period
    that is not wrong, None when the day itself is not wrong.
    """

    plant: Plant
    day: dt.date
    verdict: care.PlantingPeriod
    periods: Sequence[care.PlantingPeriod]
    next: care.PlantingPeriod | None

    @property
    def is_outside(self) -> bool:
        """Whether the day lies outside the planting window."""
        return self.verdict.verdict == "wrong"


def ask_the_day(planting: Planting, *, day: dt.date) -> DayAnswers:
    """What may be done to PLANTING on DAY."""
    return ask_the_day_of([planting], day=day)[0]


def ask_the_day_of(plantings: Sequence[Planting], *, day: dt.date) -> list[DayAnswers]:
    """What may be done to each planting on DAY, in their order."""
    return [
        DayAnswers(
            facts=facts,
            day=day,
            answers=care.ask(
                day,
                group=facts.group,
                climate=facts.climate,
                planted_on=facts.planted_on,
                age_years=facts.age_years,
                irrigated=facts.irrigated,
                ph=facts.ph,
                observed=facts.observed,
            ),
        )
        for facts in facts_about(plantings, day=day)
    ]


def ask_the_day_of_plant(plant: Plant, *, garden: Garden, day: dt.date) -> DayAnswers:
    """What may be done to a grown PLANT in GARDEN, where it need not stand yet.

    What is insisted on in the whole garden holds for it too.
    """
    return ask_the_day(Planting(garden=garden, plant=plant), day=day)


def closed_for(
    facts: PlantingFacts, *, task: str, purpose: str, day: dt.date
) -> care.ClosedPeriod | None:
    """The closed season that forbids a task on a planting on DAY; no query."""
    return care.closed_on(
        day,
        task,
        purpose,
        group=facts.group,
        climate=facts.climate,
        observed=facts.observed,
    )


def planting_windows_for(
    plants: Sequence[Plant],
    *,
    garden: Garden,
    day: dt.date,
    irrigated: bool | Mapping[int, bool] = False,
    sizes: Mapping[int, Size] | None = None,
) -> list[PlantingTime]:
    """What is said of planting each plant in GARDEN on DAY, in their order.

    IRRIGATED holds for all, or by plant id where beds differ; SIZES say by plant id
    how a plant is sold.
    """
    groups = engine_groups(plants)
    climate = climate_of(garden)
    return [
        planting_time(
            plant,
            groups[plant.pk],
            climate=climate,
            day=day,
            irrigated=irrigated
            if isinstance(irrigated, bool)
            else irrigated.get(plant.pk, False),
            size=(sizes or {}).get(plant.pk),
        )
        for plant in plants
    ]


def planting_time(
    plant: Plant,
    group: care.Group,
    *,
    climate: Climate,
    day: dt.date,
    irrigated: bool = False,
    size: Size | None = None,
) -> PlantingTime:
    """When PLANT may go into the ground in a climate, around DAY; no query.

    SIZE is how it is sold; without it, in a container of common depth.
    """
    sold = size.sold if size else Sold.CONTAINER
    year = climate.year_of(day)
    periods = [
        period
        for near in (year, year + 1)
        for period in care.planting_window(
            climate=climate,
            year=near,
            group=group,
            irrigated=irrigated,
            container=sold == Sold.CONTAINER,
            balled=sold == Sold.BALLED,
            root_depth_m=float(size.depth_m) if size and size.depth_m else None,
        )
    ]
    verdict = next(each for each in periods if each.first <= day <= each.last)
    later = (each for each in periods if each.first > day and each.verdict != "wrong")
    return PlantingTime(
        plant=plant,
        day=day,
        verdict=verdict,
        periods=periods,
        next=next(later, None) if verdict.verdict == "wrong" else None,
    )


def size_sold(text: str) -> Size | None:
    """How a plant is sold, from the words of a quote's line; None where they do not
    say it.
    """
    try:
        return read_size(text) if text.strip() else None
    except SoilError:
        return None
