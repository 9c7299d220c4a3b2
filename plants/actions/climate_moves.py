"""Planned work follows the figures of a climate."""

import datetime as dt

from firm.models import Person
from firm.registry import registry
from plants.climate import Climate, ClimateError
from plants.models import Planting, Station
from plants.queries.care import IN_THE_GROUND, climate_of_station


def climate_before(station: Station) -> Climate | None:
    """The climate that planned work was reckoned by; None where it never could be."""
    try:
        return climate_of_station(station)
    except ClimateError:
        return None


def tell_of_new_figures(
    *,
    station: Station,
    before: Climate | None,
    has_other_blooms: bool = False,
    today: dt.date,
    now: dt.datetime,
    by: Person,
) -> tuple[str, ...]:
    """What moved in planned work since STATION had the climate BEFORE, in sentences.

    HAS_OTHER_BLOOMS says that another table of bloom holds there from now on.
    """
    plantings = list(
        Planting.objects.filter(garden__station=station, state__in=IN_THE_GROUND)
        .order_by("id")
        .values_list("pk", flat=True)
    )
    said: list[str] = []
    if before is not None and climate_of_station(station) != before:
        said += registry.tell(
            "windows moved",
            plantings=plantings,
            before={station.pk: before},
            day=today,
            now=now,
            by=by,
        )
    if has_other_blooms:
        said += registry.tell(
            "windows moved", plantings=plantings, day=today, now=now, by=by
        )
    return tuple(said)
