"""What was seen in flower against what was computed, by climate and group."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from django.db.models import Count, Max, QuerySet

from plants import care
from plants.care.phenology import Sighting, Suggestion, suggestion
from plants.climate import Climate
from plants.enums import BloomStage
from plants.models import (
    Garden,
    Group,
    ObservedBloom,
    Plant,
    Source,
    Station,
    StationBloom,
)
from plants.queries.care import (
    ANCHOR_OF,
    climate_of_station,
    engine_group_of,
    layered_specs,
    local_blooms,
    sources_by_key,
)
from plants.queries.records import RecordedWarmth, recorded_warmths

HALF_A_YEAR = dt.timedelta(days=183)
COMPARED = (BloomStage.FIRST_BLOOM, BloomStage.BLOOM_OVER)


@dataclass(frozen=True, kw_only=True)
class SeenRow:
    """One thing seen, and the day that was computed for it.

    COUNTS is False for a plant that flowers at a time of its own: it says nothing
    about its group.
    """

    observed: ObservedBloom
    year: int
    computed: dt.date | None
    counts: bool

    @property
    def days(self) -> int | None:
        """Days later than computed; earlier when negative, None where none was."""
        return (
            None if self.computed is None else (self.observed.day - self.computed).days
        )


@dataclass(frozen=True, kw_only=True)
class Mean:
    """The mean difference of one stage in days, over so many observations."""

    stage: BloomStage
    days: float
    count: int


@dataclass(frozen=True, kw_only=True)
class YearSeen:
    """The first flowers of a year: computed, and the days they were seen on."""

    year: int
    computed: dt.date | None
    seen: Sequence[dt.date]


@dataclass(frozen=True, kw_only=True)
class SeenGroup:
    """All that was seen of a group in one climate, the newest first."""

    station: Station
    group: Group
    rows: Sequence[SeenRow]
    known: care.DegreeDays | None

    @property
    def means(self) -> list[Mean]:
        """The mean difference of first flowers and of bloom over, where seen."""
        found = []
        for stage in COMPARED:
            days = [
                row.days
                for row in self.rows
                if row.counts and row.days is not None and row.observed.stage == stage
            ]
            if days:
                found.append(Mean(stage=stage, days=fmean(days), count=len(days)))
        return found

    @property
    def years(self) -> list[YearSeen]:
        """The years in which first flowers were seen, the oldest first."""
        seen: dict[int, list[SeenRow]] = defaultdict(list)
        for row in self.rows:
            if row.counts and row.observed.stage == BloomStage.FIRST_BLOOM:
                seen[row.year].append(row)
        return [
            YearSeen(
                year=year,
                computed=rows[0].computed,
                seen=sorted(row.observed.day for row in rows),
            )
            for year, rows in sorted(seen.items())
        ]


@dataclass(frozen=True, kw_only=True)
class SeenPage:
    """One group in one climate, with what the log suggests for it.

    RECORDED_YEARS are those whose warmth is that of their own daily records.
    """

    seen: SeenGroup
    recorded_years: Sequence[int]
    suggestion: Suggestion | None
    correction: StationBloom | None
    sources: Mapping[str, Source]

    @property
    def is_taken(self) -> bool:
        """Whether the degree days in force are those that the log suggests."""
        if self.correction is None or self.suggestion is None:
            return False
        last = self.suggestion.last
        return float(self.correction.gdd50_first) == self.suggestion.first.middle and (
            (None if last is None else last.middle)
            == (
                None
                if self.correction.gdd50_last is None
                else float(self.correction.gdd50_last)
            )
        )


def seen_pairs(
    *, station_id: int | None = None, year: int | None = None
) -> QuerySet[ObservedBloom, tuple[int, int]]:
    """Climate and group of all that was seen, by name; for leafing through."""
    rows = _identified()
    if station_id is not None:
        rows = rows.filter(planting__garden__station=station_id)
    if year is not None:
        rows = rows.filter(day__year=year)
    return (
        rows.values_list("planting__garden__station", "planting__plant__group")
        .annotate(last=Max("day"), count=Count("pk"))
        .order_by(
            "planting__garden__station__name",
            "planting__plant__group__name",
            "planting__garden__station",
            "planting__plant__group",
        )
        .values_list("planting__garden__station", "planting__plant__group")
    )


def seen_years() -> list[int]:
    """The years in which anything was seen, the newest first."""
    return [day.year for day in _identified().dates("day", "year", order="DESC")]


def seen_groups(
    *, pairs: Sequence[tuple[int, int]], year: int | None = None
) -> list[SeenGroup]:
    """What was seen of each (climate, group), in their order, all of it or of YEAR.

    It asks a fixed number of questions for any number of pairs.
    """
    wanted = set(pairs)
    rows = (
        _identified()
        .filter(
            planting__garden__station__in={station for station, _group in wanted},
            planting__plant__group__in={group for _station, group in wanted},
        )
        .select_related(
            "planting__garden__station", "planting__plant__group", "seen_by"
        )
        .order_by("-day", "-id")
    )
    if year is not None:
        rows = rows.filter(day__year=year)
    by_pair: dict[tuple[int, int], list[ObservedBloom]] = defaultdict(list)
    for row in rows:
        spot = _spot(row)
        if spot in wanted:
            by_pair[spot].append(row)
    found = _held_against(by_pair)
    return [found[pair] for pair in pairs if pair in found]


def seen_page(*, station_id: int, key: str) -> SeenPage | None:
    """One group in one climate; None when either is not there."""
    station = Station.objects.filter(pk=station_id).first()
    group = Group.objects.filter(key=key).first()
    if station is None or group is None:
        return None
    found = seen_groups(pairs=[(station.pk, group.pk)])
    if found:
        seen = found[0]
    else:
        engine = engine_group_of(group, station=station)
        seen = SeenGroup(
            station=station,
            group=group,
            rows=[],
            known=engine.bloom
            and care.degree_days_here(climate_of_station(station), engine.bloom),
        )
    warmths = _warmths(seen)
    return SeenPage(
        seen=seen,
        recorded_years=sorted(warmths),
        suggestion=suggestion_of(seen, warmths=warmths),
        correction=StationBloom.objects.filter(station=station, group=group)
        .select_related("made_by")
        .first(),
        sources=sources_by_key(),
    )


def _warmths(seen: SeenGroup) -> dict[int, RecordedWarmth]:
    """The recorded warmth of the years in which something was seen."""
    return recorded_warmths(
        station=seen.station,
        climate=climate_of_station(seen.station),
        years={row.year for row in seen.rows},
    )


def suggestion_of(
    seen: SeenGroup, *, warmths: Mapping[int, RecordedWarmth] | None = None
) -> Suggestion | None:
    """The degree days that the log of a group in a climate speaks for.

    A year goes by its own daily records where they are kept, else by the mean of years.
    Of one planting the first day of its first flowers counts in a year, and the last
    day on which its bloom was over.
    """
    climate = climate_of_station(seen.station)
    recorded = _warmths(seen) if warmths is None else warmths
    days: dict[tuple[str, int, int], list[dt.date]] = defaultdict(list)
    for row in seen.rows:
        if row.counts:
            observed = row.observed
            days[observed.stage, observed.planting_id, row.year].append(observed.day)

    def sightings(stage: BloomStage) -> list[Sighting]:
        pick = max if stage == BloomStage.BLOOM_OVER else min
        return [
            Sighting(pick(found), recorded.get(year, climate))
            for (of, _planting, year), found in sorted(days.items())
            if of == stage
        ]

    return suggestion(
        climate=climate,
        first=sightings(BloomStage.FIRST_BLOOM),
        full=sightings(BloomStage.FULL_BLOOM),
        last=sightings(BloomStage.BLOOM_OVER),
    )


def seen_lately(*, garden: Garden, day: dt.date) -> dict[int, list[ObservedBloom]]:
    """What was seen in GARDEN in the half year to DAY, by planting, oldest first."""
    found: dict[int, list[ObservedBloom]] = defaultdict(list)
    for row in ObservedBloom.objects.filter(
        planting__garden=garden, day__gt=day - HALF_A_YEAR, day__lte=day
    ).order_by("day", "id"):
        found[row.planting_id].append(row)
    return dict(found)


def _identified() -> QuerySet[ObservedBloom]:
    return ObservedBloom.objects.filter(planting__plant__isnull=False)


def _spot(row: ObservedBloom) -> tuple[int, int]:
    plant = row.planting.plant
    return row.planting.garden.station_id, plant.group_id if plant else 0


def _held_against(
    by_pair: Mapping[tuple[int, int], Sequence[ObservedBloom]],
) -> dict[tuple[int, int], SeenGroup]:
    """The rows of each pair with the days that were computed for them."""
    plants: dict[int, Plant] = {}
    stations: dict[int, Station] = {}
    for rows in by_pair.values():
        for row in rows:
            if row.planting.plant is not None:
                plants[row.planting.plant.pk] = row.planting.plant
            stations[row.planting.garden.station_id] = row.planting.garden.station
    specs = layered_specs(plants.values())
    local = local_blooms(stations.values())
    climates = {pk: climate_of_station(row) for pk, row in stations.items()}
    found = {}
    for (station, group), rows in by_pair.items():
        engines = {
            plant.pk: care.fit_layers(**specs[plant.pk], local=local.of(station, plant))
            for plant in plants.values()
            if plant.group_id == group
        }
        usual = _usual(engines, plants)
        held = [_row(row, engines, climates[station]) for row in rows]
        found[station, group] = SeenGroup(
            station=stations[station],
            group=next(row.group for row in plants.values() if row.group_id == group),
            rows=held,
            known=usual.bloom and care.degree_days_here(climates[station], usual.bloom),
        )
    return found


def _usual(
    engines: Mapping[int, care.Group], plants: Mapping[int, Plant]
) -> care.Group:
    """The group as most of its plants flower, not one with a bloom of its own."""
    return min(
        engines.items(),
        key=lambda each: ("bloom" in plants[each[0]].overrides, each[0]),
    )[1]


def _row(
    observed: ObservedBloom, engines: Mapping[int, care.Group], climate: Climate
) -> SeenRow:
    plant = observed.planting.plant
    if plant is None:
        raise LookupError("only what is identified is held against its bloom")
    anchor = ANCHOR_OF.get(BloomStage(observed.stage))
    year = climate.year_of(observed.day)
    computed = None
    if anchor is not None:
        computed, year = _nearest(
            observed.day, engines[plant.pk], climate, anchor, around=year
        )
    return SeenRow(
        observed=observed,
        year=year,
        computed=computed,
        counts="bloom" not in plant.overrides,
    )


def _nearest(
    day: dt.date, group: care.Group, climate: Climate, anchor: str, *, around: int
) -> tuple[dt.date | None, int]:
    """The computed day nearest to DAY and its growing year: bloom may cross years."""
    days: Iterable[tuple[dt.date, int]] = (
        (found, year)
        for year in (around - 1, around, around + 1)
        if (found := care.anchors(climate=climate, group=group, year=year)[anchor])
    )
    return min(days, key=lambda each: abs((each[0] - day).days), default=(None, around))
