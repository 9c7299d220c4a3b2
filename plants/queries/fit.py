"""How plants suit a bed."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from firm.models import Firm
from firm.queries import firm_or_blank
from firm.units import Display
from plants import fit
from plants.climate import Climate
from plants.enums import Facing
from plants.models import Bed, Plant
from plants.queries.care.climates import climate_of
from plants.queries.sun import bed_light

US = Display("us")
MOST_SUN_H = 14.0


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


def computed_sun(bed: Bed, *, firm: Firm | None = None) -> dict[str, Any]:
    """What is computed of BED's sun for what nobody typed; empty when all was typed.

    Shades that came with the bed and a FIRM that is passed in save two queries.
    """
    if bed.light and bed.latest_sun is not None:
        return {}
    if not bed.shades.all() and bed.facing != Facing.OPEN:
        return {}
    found = bed_light(bed, firm=firm or firm_or_blank())
    if found.sun is None or not found.counts:
        return {}
    told: dict[str, Any] = {}
    if not bed.light:
        told["light"] = found.sun.light
        # The catalogue writes 14 for as much sun as there is; the far north has more.
        told["sun_hours"] = Decimal(f"{min(found.sun.season_h, MOST_SUN_H):.1f}")
    if bed.latest_sun is None and found.latest is not None:
        told["latest_sun"] = found.latest
    return {**told, "computed": frozenset(told)}


def site_of(
    bed: Bed, *, climate: Climate | None = None, firm: Firm | None = None
) -> fit.Site:
    """What is known of BED, its light as typed, else as computed.

    No query when garden, client, station and shades were selected and FIRM is passed.
    """
    here = climate or climate_of(bed.garden)
    client = bed.garden.client
    sun_here = {
        "light": bed.light or None,
        "latest_sun": bed.latest_sun,
        **computed_sun(bed, firm=firm),
    }
    return fit.Site(
        **sun_here,
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
