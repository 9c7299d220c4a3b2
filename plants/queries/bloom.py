"""What flowers in a garden week by week, the gaps, and plants that would fill them."""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import prefetch_related_objects

from firm.queries import firm_or_blank
from firm.units import Display
from plants import care, drawings, fit
from plants.care.anchors import year_anchors
from plants.care.group import Timing
from plants.climate import Climate
from plants.models import Bed, Garden, Plant, Planting
from plants.queries import gardens as places
from plants.queries.care import PlantingYear, care_years, climate_of
from plants.queries.care.local_bloom import local_blooms
from plants.queries.fit import facts_of, site_of

# As many plants as somebody reads before choosing one.
MOST_FILLERS = 5
SEEN = ("bloom_start", "bloom_end")
ONE_DAY = dt.timedelta(days=1)

Run = tuple[dt.date, dt.date]


@dataclass(frozen=True, kw_only=True)
class BloomRow:
    """Plantings of one plant that flower at the same time; COLOUR is in words.

    IS_SEEN says that the days rest on what was seen in the garden.
    """

    plantings: Sequence[Planting]
    spans: tuple[Run, ...]
    colour: str
    is_seen: bool

    @property
    def plant(self) -> Plant | None:
        """What flowers."""
        return self.plantings[0].plant

    @property
    def numbers(self) -> list[int]:
        """The numbers on the sketch."""
        return [planting.number for planting in self.plantings]


@dataclass(frozen=True, kw_only=True)
class Filler:
    """A plant of the catalogue that suits BED and flowers in a gap, in SPAN."""

    plant: Plant
    bed: Bed
    fit: fit.Fit
    colour: str
    span: Run


@dataclass(frozen=True, kw_only=True)
class GapLine:
    """Weeks of the growing season without a flower, and what would fill them."""

    gap: drawings.Gap
    fillers: Sequence[Filler]


@dataclass(frozen=True, kw_only=True)
class BloomPage:
    """A garden's year in flower from START on, for so many days."""

    garden: Garden
    year: int
    start: dt.date
    days: int
    season: Run
    rows: Sequence[BloomRow]
    never: Sequence[Planting]
    gaps: Sequence[GapLine]
    has_beds: bool

    @property
    def end(self) -> dt.date:
        """The last day shown."""
        return self.start + dt.timedelta(days=self.days - 1)


def year_from(climate: Climate, year: int) -> tuple[dt.date, int]:
    """First day and length of a garden's YEAR: from January, in the south from July."""
    start = climate.date_of(0, year)
    return start, (climate.date_of(0, year + 1) - start).days


def growing_season(climate: Climate, year: int) -> Run:
    """From bud swell to leaf fall; the whole year where a place lacks one of them.

    Common practice, no source: the weeks in which somebody looks for flowers.
    """
    start, days = year_from(climate, year)
    first, last = climate.bud_swell(year), climate.leaf_fall(year)
    if first is None or last is None:
        return start, start + dt.timedelta(days=days - 1)
    return first, last


def bloom_page(
    *, pk: int, year: int | None, day: dt.date, display: Display
) -> BloomPage | None:
    """What flowers in a garden in YEAR, else in that of DAY; None when not there.

    The number of queries is fixed.
    """
    garden = places.garden(pk=pk)
    if garden is None:
        return None
    climate = climate_of(garden)
    year = climate.year_of(day) if year is None else year
    start, days = year_from(climate, year)
    season = growing_season(climate, year)
    years = care_years(garden, start=start, days=days)
    rows = bloom_rows(years)
    gaps = drawings.bloom_gaps(drawn(rows), start=start, days=days, season=season)
    beds = places.beds_of(garden=garden)
    for bed in beds:
        bed.garden = garden
    fillers = _fillers(
        gaps,
        beds=beds,
        climate=climate,
        start=start,
        days=days,
        grown={one.plant.pk for one in years if one.plant is not None},
        display=display,
    )
    return BloomPage(
        garden=garden,
        year=year,
        start=start,
        days=days,
        season=season,
        rows=rows,
        never=[one.planting for one in years if not _spans(one)],
        gaps=[
            GapLine(gap=gap, fillers=found)
            for gap, found in zip(gaps, fillers, strict=True)
        ],
        has_beds=bool(beds),
    )


def drawn(rows: Iterable[BloomRow]) -> list[drawings.Bloom]:
    """The rows as the drawing takes them; one colour in words is drawn as it is."""
    return [
        drawings.Bloom(
            label="{} {}".format(
                ", ".join(map(str, row.numbers)), row.plant.common if row.plant else ""
            ),
            spans=row.spans,
            colour=drawings.one_colour_of(row.colour),
        )
        for row in rows
    ]


def bloom_rows(years: Iterable[PlantingYear]) -> list[BloomRow]:
    """Plantings with their times in flower, the earliest first; like ones together."""
    found: dict[tuple[Any, ...], list[PlantingYear]] = {}
    for one in years:
        spans = _spans(one)
        if spans:
            found.setdefault((one.plant and one.plant.pk, spans), []).append(one)
    rows = [
        BloomRow(
            plantings=[one.planting for one in alike],
            spans=spans,
            colour=_colour(facts_of(alike[0].plant)) if alike[0].plant else "",
            is_seen=any(_is_seen(one, spans) for one in alike),
        )
        for (_plant, spans), alike in found.items()
    ]
    return sorted(rows, key=lambda row: (row.spans[0], row.numbers))


def _spans(one: PlantingYear) -> tuple[Run, ...]:
    """Times in flower of a planting's year, none of them before it was planted."""
    since = one.planted_on
    return tuple(
        (first if since is None else max(first, since), last)
        for first, last in one.bloom
        if since is None or last >= since
    )


def _is_seen(one: PlantingYear, spans: Iterable[Run]) -> bool:
    """Whether a day that was seen is an end of a time in flower."""
    ends = {day for span in spans for day in span}
    return any(day in ends for name in SEEN for day in one.observed.get(name, ()))


def _colour(facts: Mapping[str, Any]) -> str:
    return str((facts.get("bloom") or {}).get("colour") or "")


# --- what would fill a gap ---------------------------------------------------------


def _fillers(
    gaps: Sequence[drawings.Gap],
    *,
    beds: Sequence[Bed],
    climate: Climate,
    start: dt.date,
    days: int,
    grown: set[int],
    display: Display,
) -> list[list[Filler]]:
    """For each gap the plants that flower in it and suit a bed, the best suited first.

    Plants that grow in the garden already are left out; of a group one is named.
    """
    if not gaps or not beds:
        return [[] for _gap in gaps]
    plants = (
        Plant.objects.filter(retired_at=None)
        .exclude(pk__in=grown)
        .select_related("group")
        .order_by("botanical", "id")
    )
    known = local_blooms([beds[0].garden.station_id])
    prefetch_related_objects(beds, "shades")
    firm = firm_or_blank()
    sites = {bed.pk: site_of(bed, climate=climate, firm=firm) for bed in beds}
    by_pk = {bed.pk: bed for bed in beds}
    judged: dict[int, tuple[Bed, fit.Fit] | None] = {}
    found: list[list[Filler]] = [[] for _gap in gaps]
    for plant in plants:
        facts = facts_of(plant)
        spans = bloom_times(
            facts,
            known=known.of(beds[0].garden.station_id, plant),
            climate=climate,
            start=start,
            days=days,
        )
        for number, gap in enumerate(gaps):
            span = max(spans, key=lambda run: _shared(run, gap), default=None)
            if span is None or _shared(span, gap) < 7:
                continue
            if plant.pk not in judged:
                judged[plant.pk] = _best_bed(facts, sites, by_pk, display)
            best = judged[plant.pk]
            if best is not None:
                found[number].append(
                    Filler(
                        plant=plant,
                        bed=best[0],
                        fit=best[1],
                        colour=_colour(facts),
                        span=span,
                    )
                )
    return [_chosen(fillers, gap) for fillers, gap in zip(found, gaps, strict=True)]


def bloom_times(
    facts: Mapping[str, Any],
    *,
    known: Mapping[str, Any] | None = None,
    climate: Climate,
    start: dt.date,
    days: int,
) -> list[Run]:
    """When a plant of the catalogue flowers here, for so many days from START.

    KNOWN are the degree days by which its bloom is known in this climate. Rules have
    no say in it, so the whole catalogue is looked through without merging any.
    """
    bloom = facts.get("bloom")
    if not bloom:
        return []
    timing = Timing(
        care.Bloom(
            first_month=bloom["months"][0],
            last_month=bloom["months"][1],
            region=bloom["region"],
            gdd50_first=bloom.get("gdd50_first"),
            gdd50_last=bloom.get("gdd50_last"),
            local=care.DegreeDays(**known) if known else None,
        ),
        facts["wood"],
    )
    end = start + dt.timedelta(days=days)
    found = []
    for year in range(climate.year_of(start) - 1, climate.year_of(end) + 1):
        turns = year_anchors(climate, timing, year, ())
        first, last = turns["bloom_start"], turns["bloom_end"]
        if first is not None and last is not None and first < end and last >= start:
            found.append((first, last))
    return found


def _shared(run: Run, gap: drawings.Gap) -> int:
    """The days that a time in flower has in common with a gap."""
    return (min(run[1], gap.last) - max(run[0], gap.first)).days + 1


def _best_bed(
    facts: Mapping[str, Any],
    sites: Mapping[int, fit.Site],
    beds: Mapping[int, Bed],
    display: Display,
) -> tuple[Bed, fit.Fit] | None:
    """The bed that a plant suits best; None where it would suffer in all of them."""
    needs = fit.needs_of(facts)
    ranked = fit.rank(
        (str(pk), fit.fit(site, needs, display=display)) for pk, site in sites.items()
    )
    best = ranked[0]
    if best.fit.verdict in (fit.Verdict.WRONG, fit.Verdict.DEADLY):
        return None
    return beds[int(best.key)], best.fit


def _chosen(fillers: Sequence[Filler], gap: drawings.Gap) -> list[Filler]:
    """The first few by fit; among equals those that flower longest in the gap."""
    longest = sorted(
        fillers, key=lambda one: (-_shared(one.span, gap), one.plant.botanical)
    )
    # Those longest in flower stand first among those that suit equally well.
    ranked = fit.rank((f"{at:04d}", one.fit) for at, one in enumerate(longest))
    of_group: dict[int, Filler] = {}
    for each in ranked:
        one = longest[int(each.key)]
        of_group.setdefault(one.plant.group_id, one)
    return list(of_group.values())[:MOST_FILLERS]
