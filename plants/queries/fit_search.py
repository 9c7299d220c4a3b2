"""The catalogue searched for one bed: filters, ranking, and what would make it fit."""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from firm.units import Display
from plants import fit
from plants.models import Bed, Group, Plant, Planting
from plants.queries.care import IN_THE_GROUND, climate_of
from plants.queries.care.local_bloom import local_blooms
from plants.queries.catalogue import plants_matching
from plants.queries.fit import (
    PlantFit,
    bloom_months,
    facts_of,
    fit_for,
    fit_of,
    not_noted,
    site_of,
)

# A colour that is asked for, and the words of the catalogue that are meant.
COLOURS: Mapping[str, tuple[str, ...]] = {
    "white": ("white", "cream", "ivory"),
    "yellow": ("yellow", "gold", "lemon"),
    "orange": ("orange", "apricot", "terracotta"),
    "red": ("red", "carmine", "crimson", "scarlet"),
    "pink": ("pink", "rose"),
    "purple": ("purple", "violet", "lilac", "lavender", "plum", "mauve"),
    "blue": ("blue",),
    "green": ("green", "lime"),
}


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """What a plant must have to be listed; empty is anything."""

    words: str = ""
    kind: str = ""
    wood: str = ""
    light: str = ""
    months: frozenset[int] = frozenset()
    height_from_m: Decimal | None = None
    height_to_m: Decimal | None = None
    colour: str = ""
    evergreen: str = ""
    native: str = ""
    only_fitting: bool = False


@dataclass(frozen=True, kw_only=True)
class Ranking:
    """Plants for a bed, the best first, and what is not known of the bed."""

    found: Sequence[PlantFit]
    not_noted: Sequence[str]


def rank_for(*, bed: Bed, wanted: Wanted, day: dt.date, display: Display) -> Ranking:
    """The plants of the catalogue that are WANTED, the best suited to BED first.

    The bed comes with garden, client, station and shades. Months are those in which a
    plant flowers in this garden's climate in the year of DAY.
    """
    plants = plants_matching(
        words=wanted.words, kind=wanted.kind, wood=wanted.wood, light=wanted.light
    )
    site = site_with_neighbours(bed)
    chosen = _in_flower(
        [plant for plant in plants if _is(plant, wanted)], bed, wanted.months, day
    )
    ranked = fit_for(bed, chosen, site=site, display=display)
    if wanted.only_fitting:
        fitting = (fit.Verdict.RIGHT, fit.Verdict.BEARABLE, fit.Verdict.UNKNOWN)
        ranked = [line for line in ranked if line.fit.verdict in fitting]
    return Ranking(found=ranked, not_noted=not_noted(site))


def natives() -> list[str]:
    """The regions that groups of the catalogue are native to, by name."""
    lists = Group.objects.filter(retired_at=None).values_list(
        "facts__native", flat=True
    )
    return sorted({place for places in lists for place in places or ()})


def site_with_neighbours(bed: Bed) -> fit.Site:
    """What is known of BED with what grows in it, in one query when it was fetched."""
    return site_of(bed, grown=_grown([bed])[bed.pk], shades=bed.shades.all())


def _grown(beds: Iterable[Bed]) -> dict[int, list[Planting]]:
    found: dict[int, list[Planting]] = {bed.pk: [] for bed in beds}
    rows = (
        Planting.objects.filter(bed__in=found, state__in=IN_THE_GROUND)
        .select_related("plant__group")
        .order_by("id")
    )
    for row in rows:
        if row.bed_id is not None:
            found[row.bed_id].append(row)
    return found


def _is(plant: Plant, wanted: Wanted) -> bool:
    """Whether the plant's own facts are as wanted; what is not known is not so."""
    facts = facts_of(plant)
    height = (facts.get("mature") or {}).get("height_m")
    if wanted.height_from_m is not None or wanted.height_to_m is not None:
        if height is None:
            return False
        tall = Decimal(str(height))
        if wanted.height_from_m is not None and tall < wanted.height_from_m:
            return False
        if wanted.height_to_m is not None and tall > wanted.height_to_m:
            return False
    if wanted.evergreen and facts.get("evergreen") != wanted.evergreen:
        return False
    if wanted.native and wanted.native not in (facts.get("native") or ()):
        return False
    if wanted.colour:
        said = str((facts.get("bloom") or {}).get("colour", "")).lower()
        # Berries and leaves have colours of their own behind the semicolon.
        flowers = said.partition(";")[0]
        return any(word in flowers for word in COLOURS.get(wanted.colour, ()))
    return True


def _in_flower(
    plants: Sequence[Plant], bed: Bed, months: frozenset[int], day: dt.date
) -> Sequence[Plant]:
    """Those of PLANTS that flower in one of the MONTHS in this garden."""
    if not months:
        return plants
    climate = climate_of(bed.garden)
    year = climate.year_of(day)
    station = bed.garden.station_id
    local = local_blooms([station])
    return [
        plant
        for plant in plants
        if months
        & bloom_months(plant, climate=climate, year=year, local=local, station=station)
    ]


@dataclass(frozen=True, kw_only=True)
class OtherBed:
    """Another bed of the garden in which the plant would do better."""

    bed: Bed
    fit: fit.Fit


def better_beds(
    bed: Bed, plant: Plant, *, than: fit.Fit, display: Display
) -> list[OtherBed]:
    """The other beds of the garden that suit PLANT better, the best first."""
    others = list(
        bed.garden.beds.exclude(pk=bed.pk).prefetch_related("shades").order_by("id")
    )
    grown = _grown(others)
    found = []
    for other in others:
        other.garden = bed.garden
        site = site_of(other, grown=grown[other.pk], shades=other.shades.all())
        judged = fit_of(other, plant, site=site, display=display)
        if fit.SEVERITY[judged.verdict] < fit.SEVERITY[than.verdict]:
            found.append(OtherBed(bed=other, fit=judged))
    return sorted(
        found, key=lambda each: (fit.SEVERITY[each.fit.verdict], each.bed.name)
    )
