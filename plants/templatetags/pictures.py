"""Drawings in pages: a plant's year, its shape, where the cut goes, a bed."""

import datetime as dt
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django import template
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from firm.units import Display
from plants import care, drawings
from plants.enums import BedShape, Facing, Kind
from plants.models import Bed, Planting
from plants.queries.bloom import BloomPage
from plants.queries.bloom import drawn as drawn_blooms
from plants.queries.care import PlantYear
from plants.queries.garden_year import GardenYear, WorkLine
from plants.templatetags.care import (
    HERBACEOUS,
    closed_words,
    cut_distance,
    heights_words,
    planting_name,
    rule_title,
    share_words,
)

register = template.Library()

# Plants that are all blades or fronds, whatever their outline.
BLADED = frozenset({Kind.GRASS, Kind.SEDGE, Kind.FERN})

# Where north lies on a plan whose lower side is the one the bed looks to.
# The bed looks down the drawing, so north is clockwise from the top by half a turn less
# the way it looks: of a bed that looks east it lies on the right.
NORTH = {
    Facing.N: 180.0,
    Facing.NE: 135.0,
    Facing.E: 90.0,
    Facing.SE: 45.0,
    Facing.S: 0.0,
    Facing.SW: 315.0,
    Facing.W: 270.0,
    Facing.NW: 225.0,
}

# What a drawing measures; beside a bud a height would be read as the distance to it.
HEIGHT_SHOWN = ("cut-down", "grass")
SHARE_SHOWN = ("take-a-third", "at-collar", "thin-base", "shear")


def _drawn(svg: str) -> SafeString:
    """A drawing of ours; whatever words it holds were escaped when it was drawn."""
    return SafeString(svg)


@register.simple_tag
def care_strip(
    year: PlantYear, today: dt.date | None = None, title: str = "", width: int = 340
) -> SafeString:
    """The year of a plant: time in flower, windows with best days, closed seasons."""
    prefix = f"year-{getattr(getattr(year, 'planting', None), 'pk', year.group.key)}"
    return _drawn(
        drawings.care_year(
            [
                drawings.Window(
                    label=rule_title(window.rule),
                    earliest=window.earliest,
                    best=window.best,
                    latest=window.latest,
                )
                for window in year.windows
                if not window.rule.always
            ],
            start=year.start,
            days=year.days,
            today=today,
            closed=_closed(year),
            bloom=_bloom(year),
            title=title,
            prefix=prefix,
            width=width,
            gettext=gettext,
        )
    )


@register.simple_tag
def bloom_picture(page: BloomPage, today: dt.date | None = None) -> SafeString:
    """The weeks in flower of a garden, plant by plant, and its gaps."""
    return _drawn(
        drawings.bloom_calendar(
            drawn_blooms(page.rows),
            start=page.start,
            days=page.days,
            today=today,
            season=page.season,
            title=gettext("In flower through the year"),
            prefix=f"bloom-{page.garden.pk}",
            width=720,
            gettext=gettext,
        )
    )


@register.simple_tag
def garden_strip(page: GardenYear, today: dt.date | None = None) -> SafeString:
    """The year of each planting on a page, by number."""
    return _drawn(
        drawings.garden_year(
            [
                drawings.YearRow(
                    label=f"{line.planting.number}  {planting_name(line.planting)}",
                    windows=_windows(work for work in line.work if work.is_cut),
                    other=_windows(work for work in line.work if not work.is_cut),
                    closed=_closed(line.year),
                    bloom=_bloom(line.year),
                )
                for line in page.lines
            ],
            start=page.start,
            days=page.days,
            today=today,
            title=gettext("The garden's year, planting by planting"),
            prefix=f"garden-year-{page.garden.pk}",
            gettext=gettext,
        )
    )


@register.simple_tag
def garden_tasks_strip(page: GardenYear, today: dt.date | None = None) -> SafeString:
    """The year of a garden, task by task, with the numbers of the plantings."""
    numbers: dict[str, list[int]] = {}
    runs: dict[str, set[tuple[dt.date, dt.date, dt.date]]] = {}
    for line in page.lines:
        for work in line.work:
            title = rule_title(work.rule)
            of_task = numbers.setdefault(title, [])
            if line.planting.number not in of_task:
                of_task.append(line.planting.number)
            # Days that plantings share are drawn once.
            runs.setdefault(title, set()).update(
                (window.best, window.earliest, window.latest) for window in work.windows
            )
    windows = [
        drawings.Window(label=label, earliest=earliest, best=best, latest=latest)
        for title, of_title in runs.items()
        for label in [f"{title}: {numbers_words(numbers[title])}"]
        for best, earliest, latest in of_title
    ]
    return _drawn(
        drawings.care_year(
            sorted(windows, key=lambda each: (each.best, each.label, each.earliest)),
            start=page.start,
            days=page.days,
            today=today,
            title=gettext("The garden's year, task by task"),
            prefix=f"garden-tasks-{page.garden.pk}",
            width=720,
            gettext=gettext,
        )
    )


def numbers_words(numbers: list[int]) -> str:
    """Numbers on the sketch, a run of three or more as one: 1 to 4, 7, 9."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    said: list[str] = []
    for run in runs:
        if len(run) > 2:
            said.append(
                gettext("%(first)d to %(last)d") % {"first": run[0], "last": run[-1]}
            )
        else:
            said.extend(map(str, run))
    return ", ".join(said)


def _windows(work: Iterable[WorkLine]) -> list[drawings.Window]:
    return [
        drawings.Window(
            label=rule_title(each.rule),
            earliest=window.earliest,
            best=window.best,
            latest=window.latest,
        )
        for each in work
        for window in each.windows
    ]


def _closed(year: PlantYear) -> list[drawings.Span]:
    """The closed seasons of a year; those without an end fill it."""
    end = year.start + dt.timedelta(days=year.days - 1)
    return [
        drawings.Span(
            label=closed_words(period.season),
            first=period.first or year.start,
            last=period.last or end,
        )
        for period in year.closed
    ]


def _bloom(year: PlantYear) -> list[drawings.Span]:
    return [
        drawings.Span(label=gettext("in flower"), first=first, last=last)
        for first, last in year.bloom
    ]


@register.simple_tag
def planting_strip(
    periods: Iterable[care.PlantingPeriod], today: dt.date, title: str = ""
) -> SafeString:
    """The days a plant may go into the ground in, a year from this month on."""
    start = today.replace(day=1)
    return _drawn(
        drawings.planting_year(
            [
                drawings.Opening(
                    verdict=period.verdict, first=period.first, last=period.last
                )
                for period in periods
            ],
            start=start,
            today=today,
            title=title,
            prefix="planting-year",
            gettext=gettext,
        )
    )


@register.simple_tag
def cut_picture(
    rule: care.Rule, group: care.Group, firm: Any, prefix: str = "cut"
) -> SafeString:
    """Where the cut goes; nothing for a rule without a drawing."""
    if rule.drawing not in drawings.CUTS:
        return SafeString("")
    limits, measure = rule.limits, ""
    if rule.drawing in HEIGHT_SHOWN and limits.height_left_m is not None:
        measure = heights_words(limits.height_left_m, firm)
    elif rule.drawing == "shear" and limits.height_left_m is not None:
        measure = gettext("leave %s") % heights_words(limits.height_left_m, firm)
    elif rule.drawing in SHARE_SHOWN and limits.share_removed_max is not None:
        measure = share_words(limits.share_removed_max)
    return _drawn(
        drawings.cut_drawing(
            rule.drawing,
            buds=group.buds,
            measure_words=measure,
            distance_words=cut_distance(firm),
            in_flower_bud=group.wood in ("old", "both"),
            prefix=f"{prefix}-{rule.key}",
            gettext=gettext,
        )
    )


@register.simple_tag
def habit_picture(
    facts: Mapping[str, Any], title: str = "", prefix: str = "habit"
) -> SafeString:
    """A sketch of the plant's shape; nothing where its habit is not known."""
    if facts.get("habit") not in drawings.HABITS:
        return SafeString("")
    kind = facts.get("kind")
    is_bulb = kind == Kind.BULB
    blades = kind in BLADED or (is_bulb and facts.get("buds") == "basal")
    return _drawn(
        drawings.habit_drawing(
            "tuft" if blades else facts["habit"],
            woody=kind not in HERBACEOUS,
            # A bulb rests in summer as often as in winter.
            evergreen=None if is_bulb else facts.get("evergreen"),
            bloom_colour=(facts.get("bloom") or {}).get("colour"),
            title=title,
            prefix=prefix,
            gettext=gettext,
        )
    )


@register.simple_tag
def bed_picture(bed: Bed, plantings: Iterable[Planting], firm: Any) -> SafeString:
    """The bed to scale with what grows in it, by number."""
    return _drawn(
        drawings.bed_plan(
            shape_drawn(bed),
            [
                drawings.PlanPlanting(
                    number=planting.number,
                    label=planting.plant.common
                    if planting.plant
                    else planting.what_it_looks_like,
                    quantity=planting.count,
                    spread_m=spread_m(planting),
                )
                for planting in plantings
            ],
            display=Display(str(getattr(firm, "units", firm))),
            north=NORTH.get(Facing(bed.facing)) if bed.facing else None,
            title=bed.name,
            prefix=f"bed-{bed.pk}",
            width=340,
            gettext=gettext,
        )
    )


def shape_drawn(bed: Bed) -> drawings.Shape:
    """The bed's shape as the drawing takes it."""
    if bed.shape == BedShape.CIRCLE and bed.across_m is not None:
        return drawings.Circle(diameter_m=bed.across_m)
    if (
        bed.shape == BedShape.RECTANGLE
        and bed.length_m is not None
        and bed.width_m is not None
    ):
        return drawings.Rectangle(length_m=bed.length_m, width_m=bed.width_m)
    if bed.corners:
        return drawings.Outline(
            corners=tuple((Decimal(x), Decimal(y)) for x, y in bed.corners)
        )
    return drawings.Pieces(
        pieces=tuple(
            (Decimal(piece["length_m"]), Decimal(piece["width_m"]))
            for piece in bed.pieces
        )
    )


def spread_m(planting: Planting) -> Decimal | None:
    """The mature width of a planting's plant."""
    if planting.plant is None:
        return None
    facts = {**planting.plant.group.facts, **planting.plant.overrides}
    width = (facts.get("mature") or {}).get("width_m")
    return None if width is None else Decimal(str(width))
