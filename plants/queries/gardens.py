"""Gardens, beds and plantings as their pages need them."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.db.models import Count, IntegerField, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce

from firm.units import Display
from plants.fit import Fit, Mending, mend, needs_of
from plants.models import (
    Bed,
    Garden,
    ObservedBloom,
    Plant,
    Planting,
    Source,
    StandingInstruction,
)
from plants.queries.care import (
    IN_THE_GROUND,
    DayAnswers,
    PlantingTime,
    PlantingYear,
    ask_the_day,
    planting_windows_for,
    planting_year,
    sources_by_key,
)
from plants.queries.fit import facts_of, fit_of
from plants.queries.fit_search import OtherBed, better_beds, site_with_neighbours
from plants.soil import Size


def gardens_matching(
    *, words: str = "", client_id: int | None = None
) -> QuerySet[Garden]:
    """Gardens the firm looks after, by name, with client and how much grows there."""
    found = Garden.objects.filter(left_at=None).select_related("client", "station")
    for word in words.split():
        found = found.filter(
            Q(name__icontains=word)
            | Q(address__icontains=word)
            | Q(client__name__icontains=word)
        )
    if client_id is not None:
        found = found.filter(client=client_id)
    return found.annotate(
        bed_count=_count(Bed.objects.all()),
        planting_count=_count(Planting.objects.filter(state__in=IN_THE_GROUND)),
    ).order_by("name", "id")


def _count(rows: QuerySet[Bed] | QuerySet[Planting]) -> Coalesce:
    """How many of ROWS a garden has, counted only for the gardens that are shown."""
    counted = (
        rows.filter(garden=OuterRef("pk"))
        .order_by()
        .values("garden")
        .annotate(n=Count("pk"))
        .values("n")
    )
    return Coalesce(Subquery(counted, output_field=IntegerField()), 0)


def garden(*, pk: int) -> Garden | None:
    """One garden with its client and climate."""
    return Garden.objects.select_related("client", "station").filter(pk=pk).first()


def instructions_on(*, garden: Garden, day: dt.date) -> list[StandingInstruction]:
    """What is insisted on in GARDEN on DAY, the whole garden's first."""
    return list(
        garden.instructions.filter(given_on__lte=day)
        .exclude(ended_on__lte=day)
        .select_related("planting__plant")
        .order_by("planting__number", "given_on", "id")
    )


def instruction(*, pk: int) -> StandingInstruction | None:
    """One instruction with its garden."""
    return StandingInstruction.objects.select_related("garden").filter(pk=pk).first()


def bed(*, pk: int) -> Bed | None:
    """One bed with garden, client, climate and shades."""
    return (
        Bed.objects.select_related("garden__client", "garden__station")
        .prefetch_related("shades")
        .filter(pk=pk)
        .first()
    )


def beds_of(*, garden: Garden) -> list[Bed]:
    """The beds of GARDEN by name."""
    return list(garden.beds.order_by("name", "id"))


def plantings_of(*, garden: Garden) -> list[Planting]:
    """All that stands or stood in GARDEN, by number, with plant and bed."""
    return list(
        garden.plantings.select_related("plant__group", "bed").order_by("number", "id")
    )


def plantings_in_bed(*, bed: Bed) -> list[Planting]:
    """What grows in BED, by number, with its plants."""
    return list(
        bed.plantings.filter(state__in=IN_THE_GROUND)
        .select_related("plant__group")
        .order_by("number", "id")
    )


def planting(*, pk: int) -> Planting | None:
    """One planting with plant, group, bed, garden, client and climate."""
    return (
        Planting.objects.select_related(
            "plant__group", "bed", "garden__client", "garden__station"
        )
        .filter(pk=pk)
        .first()
    )


@dataclass(frozen=True, kw_only=True)
class PlantingPage:
    """One planting: its year, what may be done today, what was seen."""

    planting: Planting
    year: PlantingYear
    today: DayAnswers
    observed: Sequence[ObservedBloom]
    sources: Mapping[str, Source]


def planting_page(*, pk: int, day: dt.date, start: dt.date) -> PlantingPage | None:
    """The page of a planting on DAY with a year from START; None when not there."""
    found = planting(pk=pk)
    if found is None:
        return None
    answers = ask_the_day(found, day=day)
    return PlantingPage(
        planting=found,
        year=planting_year(answers.facts, start=start),
        today=answers,
        observed=list(
            found.observations.select_related("seen_by").order_by("-day", "-id")[:30]
        ),
        sources=sources_by_key(),
    )


def observation(*, pk: int) -> ObservedBloom | None:
    """One thing that was seen, with its planting."""
    return ObservedBloom.objects.select_related("planting").filter(pk=pk).first()


@dataclass(frozen=True, kw_only=True)
class VerdictPage:
    """One plant against one bed: why, what would make it fit, and when to plant it.

    SIZE is how it is sold, where that was said.
    """

    bed: Bed
    plant: Plant
    fit: Fit
    mending: Mending
    better: Sequence[OtherBed]
    time: PlantingTime
    size: Size | None


def verdict_page(
    *, bed_pk: int, key: str, day: dt.date, size: Size | None, display: Display
) -> VerdictPage | None:
    """How the plant KEY suits a bed, looked at on DAY; None when one is not there."""
    place = bed(pk=bed_pk)
    plant = Plant.objects.select_related("group").filter(key=key).first()
    if place is None or plant is None:
        return None
    site = site_with_neighbours(place)
    judged = fit_of(place, plant, site=site, display=display)
    return VerdictPage(
        bed=place,
        plant=plant,
        fit=judged,
        mending=mend(site, needs_of(facts_of(plant)), found=judged, display=display),
        better=better_beds(place, plant, than=judged, display=display),
        time=planting_windows_for(
            [plant],
            garden=place.garden,
            day=day,
            irrigated=place.is_irrigated,
            sizes={plant.pk: size} if size else None,
        )[0],
        size=size,
    )
