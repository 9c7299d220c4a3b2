"""How plants suit a bed."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from firm.units import Display
from plants import fit
from plants.climate import Climate
from plants.models import Bed, Plant
from plants.queries.care.climates import climate_of

US = Display("us")


@dataclass(frozen=True, kw_only=True)
class PlantFit:
    """One plant against one bed, with the reason for its place in the ranking."""

    plant: Plant
    fit: fit.Fit
    reason: str


def facts_of(plant: Plant) -> dict[str, Any]:
    """The group's facts with what differs for PLANT; no query when it was selected."""
    return {**plant.group.facts, **plant.overrides}


def narrowest_m(bed: Bed) -> Decimal | None:
    """The least width of BED, into which a plant has to grow."""
    if bed.across_m is not None:
        return bed.across_m
    if bed.length_m is not None and bed.width_m is not None:
        return min(bed.length_m, bed.width_m)
    sides = [
        min(Decimal(piece["length_m"]), Decimal(piece["width_m"]))
        for piece in bed.pieces
    ]
    return max(sides, default=None)


def site_of(bed: Bed, *, climate: Climate | None = None) -> fit.Site:
    """What is known of BED; no query when garden, client and station were selected."""
    here = climate or climate_of(bed.garden)
    client = bed.garden.client
    return fit.Site(
        light=bed.light or None,
        latest_sun=bed.latest_sun,
        ph=bed.ph,
        # An empty box is no test with vinegar.
        has_free_lime=True if bed.has_free_lime else None,
        moisture=bed.moisture or None,
        is_irrigated=bed.is_irrigated,
        hardiness_zone=here.hardiness_zone(),
        heat_zone=here.heat_zone(),
        width_m=narrowest_m(bed),
        children=client.has_children,
        dogs=client.has_dogs,
        cats=client.has_cats,
        horses=client.has_horses,
    )


def fit_of(bed: Bed, plant: Plant, *, display: Display = US) -> fit.Fit:
    """Every criterion of PLANT in BED."""
    return fit.fit(site_of(bed), fit.needs_of(facts_of(plant)), display=display)


def fit_for(
    bed: Bed, plants: Iterable[Plant], *, display: Display = US
) -> list[PlantFit]:
    """How each plant suits BED, the best first; no query when rows were selected.

    The plants come with their groups, the bed with garden, client and station.
    """
    site = site_of(bed)
    by_key: Mapping[str, Plant] = {plant.key: plant for plant in plants}
    fits: Sequence[tuple[str, fit.Fit]] = [
        (key, fit.fit(site, fit.needs_of(facts_of(plant)), display=display))
        for key, plant in by_key.items()
    ]
    return [
        PlantFit(plant=by_key[ranked.key], fit=ranked.fit, reason=ranked.reason)
        for ranked in fit.rank(fits)
    ]
