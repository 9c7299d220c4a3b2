"""How plants suit a bed."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from firm.models import Firm
from firm.queries import firm_or_blank
from firm.units import Display
from plants import care, fit
from plants.climate import Climate
from plants.enums import BedShape, Facing, ShadeKind
from plants.models import Bed, Plant, Planting, Shade
from plants.queries.care.climates import climate_of
from plants.queries.care.local_bloom import LocalBlooms
from plants.queries.outlines import corners_of
from plants.queries.sun import bed_light
from plants.sun.outline import outline_area_m2

US = Display("us")
MOST_SUN_H = 14.0
# What stands upright beside a bed and does not give way to a plant.
WALLS = (ShadeKind.HOUSE, ShadeKind.WALL, ShadeKind.FENCE)
# What may be noted of a bed or garden, and which field of a site it fills.
NOTED = (
    "light",
    "latest_sun",
    "ph",
    "texture",
    "moisture",
    "heat_zone",
    "deer",
    "place",
)


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
    if bed.corners:
        # As wide as a rectangle of its length and area.
        corners = corners_of(bed)
        longest = max(
            max(corner[axis] for corner in corners)
            - min(corner[axis] for corner in corners)
            for axis in (0, 1)
        )
        return outline_area_m2(corners) / longest
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


def area_m2(bed: Bed) -> Decimal | None:
    """The ground of BED; None where it was not measured."""
    if bed.shape == BedShape.CIRCLE:
        return None if bed.across_m is None else fit.spread_m2(bed.across_m)
    if bed.length_m is not None and bed.width_m is not None:
        return bed.length_m * bed.width_m
    if bed.corners:
        return outline_area_m2(corners_of(bed))
    pieces = [
        Decimal(piece["length_m"]) * Decimal(piece["width_m"]) for piece in bed.pieces
    ]
    return sum(pieces, Decimal(0)) or None


def taken_m2(grown: Iterable[Planting]) -> Decimal:
    """The ground under plantings when they are grown; plants come with their groups."""
    taken = Decimal(0)
    for planting in grown:
        if planting.plant is None:
            continue
        width = (facts_of(planting.plant).get("mature") or {}).get("width_m")
        if width is not None:
            taken += planting.count * fit.spread_m2(Decimal(str(width)))
    return taken


def walls_of(shades: Iterable[Shade]) -> tuple[fit.Wall, ...]:
    """The walls and fences among what shades a bed."""
    return tuple(
        fit.Wall(name=str(shade.get_kind_display()), distance_m=shade.distance_m)
        for shade in shades
        if shade.kind in WALLS
    )


def site_of(
    bed: Bed,
    *,
    climate: Climate | None = None,
    grown: Sequence[Planting] = (),
    shades: Iterable[Shade] = (),
    firm: Firm | None = None,
) -> fit.Site:
    """What is known of BED, its light as typed, else as computed.

    No query when garden, client, station and shades were selected and FIRM is passed.
    GROWN is what stands in it and SHADES what stands beside it, where the caller has
    them: without them no room to neighbours and walls is judged.
    """
    garden = bed.garden
    here = climate or climate_of(garden)
    client = garden.client
    sun_here = {
        "light": bed.light or None,
        "latest_sun": bed.latest_sun,
        **computed_sun(bed, firm=firm),
    }
    return fit.Site(
        **sun_here,
        ph=bed.ph if bed.ph_low is None else bed.ph_low,
        ph_high=bed.ph_high,
        has_free_lime=bed.has_free_lime if vinegar_was_tried(bed) else None,
        texture=bed.texture or None,
        moisture=bed.moisture or None,
        is_irrigated=bed.is_irrigated,
        hardiness_zone=here.hardiness_zone(),
        heat_zone=here.heat_zone(),
        width_m=narrowest_m(bed),
        area_m2=area_m2(bed),
        taken_m2=taken_m2(grown),
        walls=walls_of(shades),
        place=garden.region or None,
        children=client.has_children,
        dogs=client.has_dogs,
        cats=client.has_cats,
        horses=client.has_horses,
        deer=garden.has_deer,
        salt=bed.has_salt,
        wind=bed.is_windy,
    )


def vinegar_was_tried(bed: Bed) -> bool:
    """Whether anybody looked for free lime; a tick that it fizzes says so too."""
    return bed.is_lime_tested or bed.has_free_lime


def fit_of(
    bed: Bed, plant: Plant, *, site: fit.Site | None = None, display: Display = US
) -> fit.Fit:
    """Every criterion of PLANT in BED."""
    return fit.fit(site or site_of(bed), fit.needs_of(facts_of(plant)), display=display)


def fit_for(
    bed: Bed,
    plants: Iterable[Plant],
    *,
    site: fit.Site | None = None,
    display: Display = US,
) -> list[PlantFit]:
    """How each plant suits BED, the best first; no query when rows were selected.

    The plants come with their groups, the bed with garden, client and station.
    """
    place = site or site_of(bed)
    by_key: Mapping[str, Plant] = {plant.key: plant for plant in plants}
    fits: Sequence[tuple[str, fit.Fit]] = [
        (key, fit.fit(place, fit.needs_of(facts_of(plant)), display=display))
        for key, plant in by_key.items()
    ]
    return [
        PlantFit(plant=by_key[ranked.key], fit=ranked.fit, reason=ranked.reason)
        for ranked in fit.rank(fits)
    ]


def not_noted(site: fit.Site) -> list[str]:
    """The fields of NOTED of which nothing is known in a place."""
    return [name for name in NOTED if getattr(site, name) is None]


def bloom_months(
    plant: Plant,
    *,
    climate: Climate,
    year: int,
    local: LocalBlooms | None = None,
    station: int | None = None,
) -> frozenset[int]:
    """The months in which PLANT flowers in a climate, computed for a year."""
    known = None
    if local is not None and station is not None:
        known = local.of(station, plant)
    facts = {**facts_of(plant), "local_bloom": known}
    turns = care.year_anchors(climate, care.read_timing(facts), year, ())
    first, last = turns["bloom_start"], turns["bloom_end"]
    if first is None or last is None:
        return frozenset()
    months = (last.year - first.year) * 12 + last.month - first.month
    return frozenset((first.month - 1 + n) % 12 + 1 for n in range(min(months, 11) + 1))
