"""What the engine takes about plantings, and their care years."""

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from plants import care
from plants.care.anchors import seen
from plants.care.windows import closures_about
from plants.climate import Climate
from plants.enums import BloomStage, PlantingState
from plants.models import Garden, ObservedBloom, Plant, Planting, StandingInstruction
from plants.queries.care.climates import climate_of, climate_of_station
from plants.queries.care.layers import engine_groups, forbid_lines, layered_specs
from plants.queries.care.local_bloom import local_blooms

DAYS_OF_A_YEAR = 365
IN_THE_GROUND = (PlantingState.GROWING, PlantingState.STRUGGLING)
# What is seen in a garden moves the anchor of the same name. Full bloom moves none: no
# window hangs on it, and when it comes between first and last flowers differs too much
# from kind to kind to guess either of them from it.
ANCHOR_OF = {
    BloomStage.LEAF_OUT: "leaf_out",
    BloomStage.FIRST_BLOOM: "bloom_start",
    BloomStage.BLOOM_OVER: "bloom_end",
}


@dataclass(frozen=True, kw_only=True)
class PlantYear:
    """A plant's care in one climate from START on, for so many days.

    CLOSED are the days on which tasks do harm; ANCHORS are those of the growing year
    that START lies in; BLOOM are the times in flower that touch the days.
    """

    plant: Plant | None
    group: care.Group
    climate: Climate
    start: dt.date
    days: int
    windows: Sequence[care.Window]
    closed: Sequence[care.ClosedPeriod]
    anchors: Mapping[str, dt.date | None]
    bloom: Sequence[tuple[dt.date, dt.date]]

    @property
    def bloom_by(self) -> care.DegreeDays | None:
        """The degree days that bloom is computed from; None where it goes by months."""
        if self.group.bloom is None:
            return None
        return care.degree_days_here(self.climate, self.group.bloom)


@dataclass(frozen=True, kw_only=True)
class PlantingYear(PlantYear):
    """The care of one planting, with all that is known of it."""

    planting: Planting
    planted_on: dt.date | None
    age_years: float | None
    irrigated: bool | None
    ph: float | None
    observed: Mapping[str, Sequence[dt.date]]
    instructions: Sequence[StandingInstruction]

    @property
    def moves(self) -> list[care.Move]:
        """How far what was seen lies from what was computed, for the days shown."""
        years = range(
            self.climate.year_of(self.start),
            self.climate.year_of(self.start + dt.timedelta(days=self.days - 1)) + 1,
        )
        return [
            move
            for year in years
            for move in care.moves(
                climate=self.climate,
                group=self.group,
                year=year,
                observed=self.observed,
            )
        ]


@dataclass(frozen=True, kw_only=True)
class PlantingFacts:
    """What the engine takes about one planting on a day."""

    planting: Planting
    group: care.Group
    climate: Climate
    planted_on: dt.date | None
    age_years: float | None
    irrigated: bool | None
    ph: float | None
    observed: Mapping[str, Sequence[dt.date]]
    instructions: Sequence[StandingInstruction]


def plantings_in(garden: Garden) -> list[Planting]:
    """What grows in GARDEN by number, with plant, group and bed, in three queries.

    Plantings of one plant share its row, so that its facts are read only once.
    """
    found = list(
        Planting.objects.filter(garden=garden, state__in=IN_THE_GROUND)
        .select_related("bed")
        .prefetch_related("plant__group")
        .order_by("number", "id")
    )
    for planting in found:
        planting.garden = garden
    return found


def facts_about(
    plantings: Sequence[Planting],
    *,
    day: dt.date,
    also: Sequence[StandingInstruction] = (),
) -> list[PlantingFacts]:
    """What the engine takes about each planting on DAY, in six queries.

    The plantings come from plantings_in, or with plant__group, bed and
    garden__station selected. ALSO are instructions that are not given yet.
    """
    specs = layered_specs(one.plant for one in plantings if one.plant is not None)
    for_garden: dict[int, list[StandingInstruction]] = defaultdict(list)
    for_planting: dict[int, list[StandingInstruction]] = defaultdict(list)
    gardens = {one.garden_id for one in plantings}
    standing = (
        StandingInstruction.objects.filter(garden__in=gardens, given_on__lte=day)
        .exclude(ended_on__lte=day)
        .order_by("given_on", "id")
    )
    for instruction in [*standing, *also]:
        if instruction.planting_id:
            for_planting[instruction.planting_id].append(instruction)
        else:
            for_garden[instruction.garden_id].append(instruction)
    blooms: dict[int, dict[str, list[dt.date]]] = defaultdict(lambda: defaultdict(list))
    for row in ObservedBloom.objects.filter(
        planting__in=[one.pk for one in plantings], stage__in=ANCHOR_OF
    ).order_by("day", "id"):
        blooms[row.planting_id][ANCHOR_OF[BloomStage(row.stage)]].append(row.day)

    local = local_blooms(one.garden.station_id for one in plantings)
    merged: dict[Any, care.Group] = {}
    climates: dict[int, Climate] = {}
    found = []
    for one in plantings:
        whole, own = for_garden[one.garden_id], for_planting[one.pk]
        forbidden = tuple(
            (line.pk, line.text, tuple(line.forbids))
            for line in (*whole, *own)
            if line.forbids
        )
        station = one.garden.station
        spot = (one.plant_id, station.pk, forbidden)
        if spot not in merged:
            layers = specs[one.plant_id] if one.plant_id else _unidentified()
            merged[spot] = care.fit_layers(
                **layers,
                garden={"forbid": forbid_lines(whole)} if forbid_lines(whole) else None,
                planting={"forbid": forbid_lines(own)} if forbid_lines(own) else None,
                local=local.of(station.pk, one.plant) if one.plant else None,
            )
        if station.pk not in climates:
            climates[station.pk] = climate_of_station(station)
        found.append(
            PlantingFacts(
                planting=one,
                group=merged[spot],
                climate=climates[station.pk],
                planted_on=one.planted_on,
                age_years=age_of(one, day=day),
                irrigated=one.bed.is_irrigated if one.bed else None,
                ph=float(one.bed.ph) if one.bed and one.bed.ph is not None else None,
                observed={name: tuple(days) for name, days in blooms[one.pk].items()},
                instructions=(*whole, *own),
            )
        )
    return found


def _unidentified() -> dict[str, Any]:
    return {"shipped": care.UNIDENTIFIED}


def age_of(planting: Planting, *, day: dt.date) -> float | None:
    """The age in years on DAY; None when nobody knows it."""
    if planting.planted_on is not None:
        return (day - planting.planted_on).days / 365.25
    if planting.age_years is not None and planting.age_on is not None:
        return planting.age_years + (day - planting.age_on).days / 365.25
    return None


def care_years_of(
    plantings: Sequence[Planting],
    *,
    start: dt.date,
    days: int = DAYS_OF_A_YEAR,
) -> list[PlantingYear]:
    """The care of each planting for so many days from START, in their order."""
    return [
        planting_year(facts, start=start, days=days)
        for facts in facts_about(plantings, day=start)
    ]


def care_years(
    garden: Garden, *, start: dt.date, days: int = DAYS_OF_A_YEAR
) -> list[PlantingYear]:
    """The care of all that grows in GARDEN for so many days from START, by number."""
    return care_years_of(plantings_in(garden), start=start, days=days)


def planting_year(
    facts: PlantingFacts, *, start: dt.date, days: int = DAYS_OF_A_YEAR
) -> PlantingYear:
    """The care of one planting whose facts are already there; no query."""
    return PlantingYear(
        planting=facts.planting,
        plant=facts.planting.plant,
        group=facts.group,
        climate=facts.climate,
        start=start,
        days=days,
        windows=care.care_year(
            group=facts.group,
            climate=facts.climate,
            start=start,
            days=days,
            planted_on=facts.planted_on,
            age_years=facts.age_years,
            irrigated=facts.irrigated,
            ph=facts.ph,
            observed=facts.observed,
        ),
        closed=_closed(facts.group, facts.climate, start, days, facts.observed),
        anchors=care.anchors(
            climate=facts.climate,
            group=facts.group,
            year=facts.climate.year_of(start),
            planted_on=facts.planted_on,
            observed=facts.observed,
        ),
        bloom=_bloom(facts.group, facts.climate, start, days, facts.observed),
        planted_on=facts.planted_on,
        age_years=facts.age_years,
        irrigated=facts.irrigated,
        ph=facts.ph,
        observed=facts.observed,
        instructions=facts.instructions,
    )


def plant_year(
    plant: Plant | None,
    group: care.Group,
    *,
    climate: Climate,
    start: dt.date,
    days: int = DAYS_OF_A_YEAR,
    planted_on: dt.date | None = None,
    irrigated: bool | None = None,
    ph: float | None = None,
) -> PlantYear:
    """The care of a plant that stands nowhere yet; no query.

    Without PLANTED_ON it is that of a grown plant.
    """
    return PlantYear(
        plant=plant,
        group=group,
        climate=climate,
        start=start,
        days=days,
        windows=care.care_year(
            group=group,
            climate=climate,
            start=start,
            days=days,
            planted_on=planted_on,
            irrigated=irrigated,
            ph=ph,
        ),
        closed=_closed(group, climate, start, days, {}),
        anchors=care.anchors(
            climate=climate,
            group=group,
            year=climate.year_of(start),
            planted_on=planted_on,
        ),
        bloom=_bloom(group, climate, start, days, {}),
    )


def plant_years(
    plants: Sequence[Plant],
    *,
    garden: Garden,
    start: dt.date,
    days: int = DAYS_OF_A_YEAR,
    planted_on: dt.date | None = None,
) -> list[PlantYear]:
    """The care in GARDEN of plants that are only offered, in their order."""
    groups = engine_groups(plants, station=garden.station)
    climate = climate_of(garden)
    return [
        plant_year(
            plant,
            groups[plant.pk],
            climate=climate,
            start=start,
            days=days,
            planted_on=planted_on,
        )
        for plant in plants
    ]


def _closed(
    group: care.Group,
    climate: Climate,
    start: dt.date,
    days: int,
    observed: Mapping[str, Sequence[dt.date]],
) -> list[care.ClosedPeriod]:
    """The closed seasons that touch the days from START on, those without end first."""
    end = start + dt.timedelta(days=days)
    periods = closures_about(group, climate, climate.year_of(start), seen(observed))
    found = [
        period
        for period in periods
        if (period.first is None or period.first < end)
        and (period.last is None or period.last >= start)
    ]
    return sorted(found, key=lambda period: (period.first or dt.date.min, period.key))


def _bloom(
    group: care.Group,
    climate: Climate,
    start: dt.date,
    days: int,
    observed: Mapping[str, Sequence[dt.date]],
) -> list[tuple[dt.date, dt.date]]:
    """First and last day in flower, for each time that touches the days from START."""
    end = start + dt.timedelta(days=days)
    found = []
    for year in range(climate.year_of(start) - 1, climate.year_of(end) + 1):
        turns = care.anchors(climate=climate, group=group, year=year, observed=observed)
        first, last = turns["bloom_start"], turns["bloom_end"]
        if first is not None and last is not None and first < end and last >= start:
            found.append((first, last))
    return found
