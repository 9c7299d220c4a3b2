"""A bed's sketch: what stands where, and the shadows of a moment."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from firm.models import Firm
from firm.units import Display
from plants import sun
from plants.models import Bed, Shade
from plants.queries.gardens import bed as bed_by_pk
from plants.queries.sun import (
    BedLight,
    Scene,
    bed_light,
    letter_of,
    place_of,
    scene_of,
)

LEAST_REACH_M = 4.0
MOST_REACH_M = 60.0
COMPASS = (
    gettext_lazy("north"),
    gettext_lazy("north-east"),
    gettext_lazy("east"),
    gettext_lazy("south-east"),
    gettext_lazy("south"),
    gettext_lazy("south-west"),
    gettext_lazy("west"),
    gettext_lazy("north-west"),
)


@dataclass(frozen=True, kw_only=True)
class Standing:
    """One shade with its letter on the plan."""

    letter: str
    shade: Shade
    drawn: sun.Shade | None


@dataclass(frozen=True, kw_only=True)
class Sketch:
    """All that the sketch of a bed shows at a moment."""

    bed: Bed
    light: BedLight
    standing: Sequence[Standing]
    ground: sun.Ground
    reach_m: float
    bar_m: float
    bar_words: str
    refused: str
    shadows: tuple[sun.Ring, ...] = ()
    spots: tuple[tuple[sun.Point, bool], ...] = ()
    sun_from_deg: float | None = None
    said: str = ""


def sketch_of(
    *, pk: int, firm: Firm, day: dt.date, hour: dt.time, display: Display
) -> Sketch | None:
    """The sketch of a bed with the shadows of a day and hour; None when not there."""
    bed = bed_by_pk(pk=pk)
    if bed is None:
        return None
    light = bed_light(bed, firm=firm)
    try:
        scene = scene_of(bed)
    except sun.SunError as refused:
        return Sketch(
            bed=bed,
            light=light,
            standing=[
                Standing(letter=letter_of(number), shade=row, drawn=None)
                for number, row in enumerate(bed.shades.order_by("id"))
            ],
            ground=(),
            reach_m=LEAST_REACH_M,
            bar_m=1,
            bar_words="",
            refused=str(refused),
        )
    reach = _reach(scene)
    bar_m, bar_words = _bar(reach, display)
    at = dt.datetime.combine(day, hour, tzinfo=ZoneInfo(firm.time_zone))
    spots = sun.spots(scene.ground)
    moment = sun.moment(place_of(bed), at, spots, scene.shades)
    return Sketch(
        bed=bed,
        light=light,
        standing=[
            Standing(letter=letter_of(number), shade=row, drawn=drawn)
            for number, (row, drawn) in enumerate(
                zip(scene.rows, scene.shades, strict=True)
            )
        ],
        ground=scene.ground,
        reach_m=reach,
        bar_m=bar_m,
        bar_words=bar_words,
        refused="",
        shadows=tuple(sun.shadow(each, moment) for each in scene.shades),
        spots=tuple(zip(spots, moment.reached, strict=True)),
        sun_from_deg=moment.azimuth_deg if moment.elevation_deg > 0 else None,
        said=_moment_words(moment),
    )


def _moment_words(moment: sun.Moment) -> str:
    """Where the sun stands and how much of the bed it reaches."""
    if moment.elevation_deg <= 0:
        return _("The sun is under the horizon.")
    compass = COMPASS[round(moment.azimuth_deg / 45) % 8]
    said = _("The sun stands %(height)d° high in the %(compass)s.") % {
        "height": round(moment.elevation_deg),
        "compass": compass,
    }
    reached = _("It reaches %(lit)d of the %(all)d spots of the bed.") % {
        "lit": sum(moment.reached),
        "all": len(moment.reached),
    }
    return f"{said} {reached}"


def _reach(scene: Scene) -> float:
    """How far the plan shows to each side of the bed's middle."""
    far = [hypot(*corner) * 1.6 for ring in scene.ground for corner in ring]
    for shade in scene.shades:
        if isinstance(shade, sun.Crown):
            far.append(hypot(*shade.at) + shade.spread_m / 2 + 1)
            continue
        apart = sun.distance_to((0, 0), shade.start, shade.end)
        ends = [
            hypot(*each) for each in (shade.start, shade.end) if hypot(*each) < 1000
        ]
        far.append(max([apart, *ends]) + 1)
    return min(max([LEAST_REACH_M, *far]), MOST_REACH_M)


def _bar(reach_m: float, display: Display) -> tuple[float, str]:
    """A bar of a round length, about a third of the plan."""
    unit = 0.3048 if display.system == "us" else 1.0
    fitting = [
        step for step in (1, 2, 5, 10, 20, 50, 100) if step * unit <= reach_m * 0.7
    ]
    step = (fitting or [1])[-1]
    return step * unit, f"{step} {display.length_unit}"


def shade_in(sketch: Sketch, *, row: int | None) -> Shade | None:
    """The shade ROW of a sketch; None when it is not there."""
    return next((each.shade for each in sketch.standing if each.shade.pk == row), None)
