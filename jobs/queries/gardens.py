"""The garden page and the bed page, which show work beside what grows."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from firm.models import Contact, Firm
from firm.units import Display
from jobs import takeoff
from jobs.enums import VisitState
from jobs.models import Contract, Job, Problem, Quote, Visit
from jobs.queries.quantities import area_of, shape_of
from plants.enums import PlantingState
from plants.models import Bed, Garden, Planting, StandingInstruction
from plants.queries import gardens as places
from plants.queries.sun import BedLight, bed_light

# The garden page shows the latest of each; older papers are met from these.
SHOWN = 20


@dataclass(frozen=True, kw_only=True)
class GardenPage:
    """A garden with all that is known and planned for it."""

    garden: Garden
    contacts: Sequence[Contact]
    instructions: Sequence[StandingInstruction]
    beds: Sequence[Bed]
    growing: Sequence[Planting]
    gone: Sequence[Planting]
    visits: Sequence[Visit]
    quotes: Sequence[Quote]
    jobs: Sequence[Job]
    contracts: Sequence[Contract]
    problems: Sequence[Problem]


def garden_page(*, pk: int, day: dt.date) -> GardenPage | None:
    """The page of a garden on DAY, in a fixed number of queries; None if not there."""
    garden = places.garden(pk=pk)
    if garden is None:
        return None
    plantings = places.plantings_of(garden=garden)
    over = (PlantingState.LOST, PlantingState.REMOVED)
    return GardenPage(
        garden=garden,
        contacts=list(garden.client.contacts.order_by("-is_main", "name", "id")),
        instructions=places.instructions_on(garden=garden, day=day),
        beds=places.beds_of(garden=garden),
        growing=[one for one in plantings if one.state not in over],
        gone=[one for one in plantings if one.state in over],
        visits=list(
            garden.visits.filter(state__in=[VisitState.PLANNED, VisitState.UNDER_WAY])
            .exclude(day__lt=day)
            .select_related("crew")
            .order_by("day", "best_on", "id")[:SHOWN]
        ),
        quotes=list(garden.quotes.order_by("-created_at", "-id")[:SHOWN]),
        jobs=list(
            garden.jobs.select_related("crew").order_by("-created_at", "-id")[:SHOWN]
        ),
        contracts=list(garden.contracts.order_by("-created_at", "-id")[:SHOWN]),
        problems=list(
            garden.problems.filter(settled_at=None)
            .select_related("planting__plant", "raised_by")
            .order_by("-raised_at", "-id")[:SHOWN]
        ),
    )


@dataclass(frozen=True, kw_only=True)
class BedPage:
    """A bed with its quantities and what grows in it."""

    bed: Bed
    plantings: Sequence[Planting]
    area: takeoff.Figure | None
    soil: takeoff.Figure | None
    # Cubic metres, for the small unit beside the one that is ordered in.
    soil_m3: Decimal | None
    refused: str
    light: BedLight


def bed_page(*, pk: int, firm: Firm) -> BedPage | None:
    """The page of a bed with its take-off and its sun; None when there is none."""
    display = Display(firm.units)
    bed = places.bed(pk=pk)
    if bed is None:
        return None
    area: takeoff.Figure | None = None
    soil: takeoff.Figure | None = None
    soil_m3: Decimal | None = None
    refused = ""
    try:
        shape = shape_of(bed)
        area = area_of(bed, display=display)
        if bed.depth_m is not None:
            soil = takeoff.soil_volume(shape, depth_m=bed.depth_m, display=display)
            soil_m3 = shape.area_m2 * bed.depth_m
    except takeoff.TakeoffError as error:
        refused = str(error)
    return BedPage(
        bed=bed,
        plantings=places.plantings_in_bed(bed=bed),
        area=area,
        soil=soil,
        soil_m3=soil_m3,
        refused=refused,
        light=bed_light(bed, firm=firm),
    )
