"""The computed sun of a bed, from what was measured around it."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import atan2, cos, degrees, hypot, radians, sin
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from firm.models import Firm
from plants import sun
from plants.climate import Climate, ClimateError
from plants.enums import BedShape, Facing, ShadeKind
from plants.models import Bed, Shade
from plants.queries.care.climates import climate_of
from plants.queries.outlines import outlined

BEARINGS = {
    Facing.N: 0,
    Facing.NE: 45,
    Facing.E: 90,
    Facing.SE: 135,
    Facing.S: 180,
    Facing.SW: 225,
    Facing.W: 270,
    Facing.NW: 315,
}
CROWNS = (ShadeKind.TREE, ShadeKind.SHRUB)

HOT_C = 25.0
"""A month with a mean daily high from here on is hot; common practice, no source."""

# What a crown nobody measured is taken to be, as shares of its height; common practice,
# no source.
SPREAD_SHARE = 0.6
TRUNK_SHARE = 0.2


@dataclass(frozen=True, kw_only=True)
class Scene:
    """A bed and what stands around it, on a plan; what had to be assumed is said."""

    ground: sun.Ground
    shades: tuple[sun.Shade, ...]
    rows: tuple[Shade, ...]
    assumed: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class BedLight:
    """A bed's computed sun beside what was typed.

    COUNTS says whether enough is known of what shades the bed for the computed word
    to stand where none was typed.
    """

    sun: sun.BedSun | None
    counts: bool
    refused: str
    assumed: tuple[str, ...]
    typed: str

    @property
    def latest(self) -> dt.time | None:
        """The latest direct sun by the clock in the growing months."""
        if self.sun is None:
            return None
        # Past midnight, in the far north, stands for the end of the day.
        ends = [
            dt.time(23, 59)
            if each.last.date() > each.day
            else each.last.time().replace(second=0, microsecond=0)
            for each in self.sun.months
            if each.last is not None and each.day.month in self.sun.growing
        ]
        return max(ends, default=None)

    @property
    def agrees(self) -> bool:
        """Whether the typed word is the computed one."""
        return self.sun is not None and self.typed == self.sun.light


def place_of(bed: Bed) -> sun.Place:
    """Where BED lies: its garden's position, else that of the climate."""
    garden = bed.garden
    if garden.latitude is not None and garden.longitude is not None:
        return sun.Place(
            latitude_deg=float(garden.latitude), longitude_deg=float(garden.longitude)
        )
    return sun.Place(
        latitude_deg=float(garden.station.latitude),
        longitude_deg=float(garden.station.longitude),
    )


def looks_to(bed: Bed) -> int | None:
    """The bearing BED looks to; None where nobody said."""
    if bed.bearing_deg is not None:
        return bed.bearing_deg
    return BEARINGS.get(Facing(bed.facing)) if bed.facing else None


def ground_of(bed: Bed) -> sun.Ground:
    """The bed's ground; its length runs square to the way it looks."""
    along = ((looks_to(bed) or 0) + 90) % 180
    if bed.shape == BedShape.CIRCLE and bed.across_m is not None:
        return (sun.circle(float(bed.across_m)),)
    if (
        bed.shape == BedShape.RECTANGLE
        and bed.length_m is not None
        and bed.width_m is not None
    ):
        size = float(bed.length_m), float(bed.width_m)
        return (sun.rectangle(*size, bearing_deg=along),)
    if bed.shape == BedShape.OUTLINE:
        return (outlined(bed, looks_to=looks_to(bed)),)
    return sun.row_of(
        [(float(each["length_m"]), float(each["width_m"])) for each in bed.pieces],
        bearing_deg=along,
    )


def bearing_of(shade: Shade) -> int:
    """The bearing from the bed's middle on which a shade stands."""
    if shade.bearing_deg is not None:
        return shade.bearing_deg
    return BEARINGS.get(Facing(shade.side), 0)


def standing(shade: Shade, ground: sun.Ground) -> sun.Shade:
    """A shade as the computation takes it; SunError for one that cannot be."""
    bearing = bearing_of(shade)
    way = (sin(radians(bearing)), cos(radians(bearing)))
    passing = _passing(shade)
    height = float(shade.height_m)
    if shade.kind in CROWNS:
        if shade.at_east_m is not None and shade.at_north_m is not None:
            at = (float(shade.at_east_m), float(shade.at_north_m))
        else:
            far = sun.edge(ground, bearing) + float(shade.distance_m)
            at = (far * way[0], far * way[1])
        return sun.Crown(
            at=at,
            height_m=height,
            spread_m=spread_of(shade),
            trunk_gap_m=trunk_of(shade),
            passing=passing,
        )
    if (
        shade.at_east_m is not None
        and shade.at_north_m is not None
        and shade.to_east_m is not None
        and shade.to_north_m is not None
    ):
        start = (float(shade.at_east_m), float(shade.at_north_m))
        end = (float(shade.to_east_m), float(shade.to_north_m))
        return sun.Wall(start=start, end=end, height_m=height, passing=passing)
    far = sun.reach(ground, bearing) + float(shade.distance_m)
    # To the right of somebody in the bed who looks at the wall.
    right = (way[1], -way[0])
    shift = float(shade.offset_m or 0)
    half = sun.ENDLESS_M if shade.length_m is None else float(shade.length_m) / 2
    foot = (far * way[0] + shift * right[0], far * way[1] + shift * right[1])
    return sun.Wall(
        start=(foot[0] - half * right[0], foot[1] - half * right[1]),
        end=(foot[0] + half * right[0], foot[1] + half * right[1]),
        height_m=height,
        passing=passing,
    )


def spread_of(shade: Shade) -> float:
    """The spread of a crown, or what it is taken to be."""
    if shade.spread_m is not None:
        return float(shade.spread_m)
    share = 1.0 if shade.kind == ShadeKind.SHRUB else SPREAD_SHARE
    return share * float(shade.height_m)


def trunk_of(shade: Shade) -> float:
    """The clear trunk under a crown, or what it is taken to be."""
    if shade.kind == ShadeKind.SHRUB:
        return 0.0
    if shade.trunk_m is not None:
        return float(shade.trunk_m)
    return TRUNK_SHARE * float(shade.height_m)


def _passing(shade: Shade) -> sun.Passing:
    """Which share of sun comes through, typed or usual."""
    usual = sun.SOLID
    if shade.kind in CROWNS:
        usual = sun.EVERGREEN if shade.is_evergreen else sun.DECIDUOUS
    elif shade.kind == ShadeKind.HEDGE and not shade.is_evergreen:
        usual = sun.Passing(in_leaf=0.0, bare=sun.DECIDUOUS.bare)
    if shade.in_leaf_percent is None and shade.bare_percent is None:
        return usual
    in_leaf = (
        usual.in_leaf if shade.in_leaf_percent is None else shade.in_leaf_percent / 100
    )
    bare = usual.bare if shade.bare_percent is None else shade.bare_percent / 100
    return sun.Passing(in_leaf=in_leaf, bare=in_leaf if shade.is_evergreen else bare)


def scene_of(bed: Bed, shades: Sequence[Shade] | None = None) -> Scene:
    """BED on its plan with what shades it; SunError for a bed that cannot be."""
    rows = tuple(
        sorted(bed.shades.all(), key=lambda each: each.pk) if shades is None else shades
    )
    ground = ground_of(bed)
    sun.check_ground(ground)
    standing_now = tuple(standing(each, ground) for each in rows)
    sun.check_shades(ground, standing_now)
    return Scene(
        ground=ground,
        shades=standing_now,
        rows=rows,
        assumed=tuple(_assumed(bed, rows)),
    )


def _assumed(bed: Bed, rows: Sequence[Shade]) -> list[str]:
    """What the computation had to take for granted, in words."""
    said = []
    if bed.garden.latitude is None:
        said.append(
            _("The garden's position is not known: that of its climate is taken.")
        )
    if looks_to(bed) is None and bed.shape != BedShape.CIRCLE:
        said.append(
            _("Which way the bed looks is not known: its length is taken to run east.")
        )
    if bed.shape == BedShape.PIECES:
        said.append(_("The pieces are taken to lie end to end."))
    for number, row in enumerate(rows):
        letter = letter_of(number)
        what = f"{letter}, {row.get_kind_display()}"
        if row.kind in CROWNS:
            if row.spread_m is None:
                share = 100 if row.kind == ShadeKind.SHRUB else int(SPREAD_SHARE * 100)
                said.append(
                    _(
                        "%(what)s: the spread is taken as %(share)d %% of the height "
                        "(common practice, no source)."
                    )
                    % {"what": what, "share": share}
                )
            if row.kind == ShadeKind.TREE and row.trunk_m is None:
                said.append(
                    _(
                        "%(what)s: the clear trunk is taken as %(share)d %% of the "
                        "height (common practice, no source)."
                    )
                    % {"what": what, "share": int(TRUNK_SHARE * 100)}
                )
        elif row.length_m is None and row.to_east_m is None:
            said.append(
                _("%(what)s: it is taken to run on past both ends of the bed.")
                % {"what": what}
            )
    return said


def letter_of(number: int) -> str:
    """The letter of a shade on the plan, A for the first."""
    return chr(ord("A") + number % 26)


@lru_cache(maxsize=512)
def seasons_of(climate: Climate | None, *, year: int) -> sun.Seasons:
    """The dates and months of CLIMATE that a bed's sun hangs on."""
    if climate is None:
        return sun.Seasons()
    growing: frozenset[int] = frozenset()
    season = climate.growing_season(year)
    if season is not None:
        growing = frozenset(
            day.month
            for each in (year, year + 1)
            for day in sun.month_days(each)
            if season.first <= day <= season.last
        )
    return sun.Seasons(
        leaf_out=climate.leaf_out(year),
        leaf_fall=climate.leaf_fall(year),
        growing=growing,
        hot=frozenset(
            month for month, high in enumerate(climate.tmax_c, start=1) if high >= HOT_C
        ),
    )


def thresholds_of(firm: Firm) -> sun.Thresholds:
    """From how many hours on the firm uses which word."""
    return sun.Thresholds(
        full_sun_h=float(firm.full_sun_h),
        part_h=float(firm.part_sun_h),
        afternoon_h=float(firm.afternoon_sun_h),
    )


@lru_cache(maxsize=2048)
def _computed(
    place: sun.Place,
    ground: sun.Ground,
    shades: tuple[sun.Shade, ...],
    year: int,
    zone: str,
    seasons: sun.Seasons,
    thresholds: sun.Thresholds,
) -> sun.BedSun:
    """The same bed is asked for by several pages in a row."""
    return sun.bed_sun(
        place=place,
        ground=ground,
        shades=shades,
        year=year,
        zone=ZoneInfo(zone),
        seasons=seasons,
        thresholds=thresholds,
    )


SUN_YEAR = 2026
"""The year whose days stand for every year: the sun's path differs by minutes at most,
and figures that are kept side by side must not change at New Year."""


def bed_light(
    bed: Bed, *, firm: Firm, climate: Climate | None = None, year: int = SUN_YEAR
) -> BedLight:
    """The computed sun of BED beside what was typed.

    No query when garden, station and shades came with the bed.
    """
    said: tuple[str, ...] = ()
    try:
        here = climate or climate_of(bed.garden)
    except ClimateError:
        here = None
        said = (_("The climate gives no seasons: the whole year counts."),)
    try:
        scene = scene_of(bed)
        found = _computed(
            place_of(bed),
            scene.ground,
            scene.shades,
            year,
            firm.time_zone,
            seasons_of(here, year=year),
            thresholds_of(firm),
        )
    except sun.SunError as refused:
        return BedLight(
            sun=None, counts=False, refused=str(refused), assumed=(), typed=bed.light
        )
    return BedLight(
        sun=found,
        counts=bool(scene.rows) or bed.facing == Facing.OPEN,
        refused="",
        assumed=(*scene.assumed, *said),
        typed=bed.light,
    )


def side_of(point: sun.Point) -> tuple[str, int]:
    """The side of the bed a point on the plan lies on, and its bearing in degrees."""
    bearing = round(degrees(atan2(point[0], point[1]))) % 360
    sides = [side for side, _bearing in sorted(BEARINGS.items(), key=lambda x: x[1])]
    return str(sides[round(bearing / 45) % 8].value), bearing


def off_the_bed(
    ground: sun.Ground, start: sun.Point, end: sun.Point | None = None
) -> tuple[str, int, float]:
    """Side, bearing and distance from the bed's edge of what was drawn on its plan."""
    end = end or start
    run = (end[0] - start[0], end[1] - start[1])
    length = hypot(*run)
    share = 0.5
    if length > 0:
        # The nearest point of the line to the bed's middle.
        share = -(start[0] * run[0] + start[1] * run[1]) / length**2
        share = min(max(share, 0.0), 1.0)
    near = (start[0] + share * run[0], start[1] + share * run[1])
    side, bearing = side_of(near)
    if sun.holds(ground, near):
        return side, bearing, 0.0
    apart = min(
        sun.distance_to(corner, start, end) for ring in ground for corner in ring
    )
    for ring in ground:
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
            apart = min(apart, sun.distance_to(start, a, b), sun.distance_to(end, a, b))
    return side, bearing, apart
