"""Drawings of a care guide, made from its snapshot alone."""

from collections.abc import Mapping
from decimal import Decimal
from types import SimpleNamespace
from typing import Any, cast

from django import template
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from firm.units import Display
from jobs.templatetags.guides import day_of, guide_title, rule_of, shut_words
from plants import care, drawings
from plants.enums import BedShape, Facing
from plants.templatetags.pictures import NORTH, cut_picture, habit_picture

register = template.Library()

Line = Mapping[str, Any]


@register.simple_tag
def guide_habit(plant: Line, where: str = "list") -> SafeString:
    """A sketch of the plant's shape."""
    return habit_picture(
        {
            "habit": plant["habit"],
            "evergreen": plant["evergreen"],
            "bloom": {"colour": plant["bloom_colour"]},
        },
        title=plant["common"],
        prefix=f"habit-{where}-{plant['number']}",
    )


@register.simple_tag
def guide_strip(plant: Line, paper: Line, on_paper: Any = "") -> SafeString:
    """The plant's twelve months: in flower, windows with best days, closed seasons.

    A sheet of paper is wide enough for words beside the bars, a phone is not.
    """
    start, end = day_of(paper["start"]), day_of(paper["end"])
    lines = [
        line
        for part in ("pruning", "feeding", "soil", "water", "other")
        for line in plant[part]
    ]
    return SafeString(
        drawings.care_year(
            [
                drawings.Window(
                    label=guide_title(line),
                    earliest=day_of(run[0]),
                    best=day_of(run[1]),
                    latest=day_of(run[2]),
                )
                for line in lines
                for run in line["runs"]
            ],
            start=start,
            days=plant["days"],
            closed=[
                drawings.Span(
                    label=shut_words(season),
                    first=day_of(first or start),
                    last=day_of(last or end),
                )
                for season in plant["closed"]
                for first, last in season["spans"]
            ],
            bloom=[
                drawings.Span(
                    label=gettext("in flower"),
                    first=day_of(span[0]),
                    last=day_of(span[1]),
                )
                for span in plant["bloom"]
            ],
            title=gettext("The year of %(plant)s") % {"plant": plant["common"]},
            prefix=f"year-{plant['number']}",
            width=720 if on_paper else 340,
            beside=bool(on_paper),
            gettext=gettext,
        )
    )


@register.simple_tag
def guide_bloom(paper: Line, on_paper: Any = "") -> SafeString:
    """Which of the guide's plants flowers when; nothing where fewer than two do."""
    rows = [
        drawings.Bloom(
            label=f"{plant['number']} {plant['common']}",
            spans=tuple(
                (day_of(first), day_of(last)) for first, last in plant["bloom"]
            ),
            colour=drawings.one_colour_of(plant["bloom_colour"] or ""),
        )
        for plant in paper["plants"]
        if plant["bloom"]
    ]
    if len(rows) < 2:
        return SafeString("")
    start, end = day_of(paper["start"]), day_of(paper["end"])
    return SafeString(
        drawings.bloom_calendar(
            sorted(rows, key=lambda row: row.spans),
            start=start,
            days=(end - start).days + 1,
            title=gettext("In flower through the year"),
            prefix="bloom",
            width=720 if on_paper else 340,
            beside=bool(on_paper),
            # The garden may hold other plants, of which the guide knows nothing.
            with_gaps=False,
            # On paper each plant's own strip has its days.
            with_dates=not on_paper,
            gettext=gettext,
        )
    )


@register.simple_tag
def cut_lines(plant: Line, part: str, firm: Line) -> list[tuple[Line, SafeString]]:
    """The lines of a part, each with the drawing of its cut where it is a new one.

    Of the cuts of later years only one is drawn, and only where this year has none:
    the guide of their own year draws them.
    """
    shown: set[tuple[Any, ...]] = set()
    may_draw = part != "later" or not plant["pruning"]
    group = cast(care.Group, SimpleNamespace(buds=plant["buds"], wood=plant["wood"]))
    found = []
    for line in plant[part]:
        picture = SafeString("")
        if may_draw and _drawing_of(line) not in shown:
            shown.add(_drawing_of(line))
            picture = cut_picture(
                rule_of(line),
                group,
                firm["units"],
                prefix=f"cut-{part.replace('_', '-')}-{plant['number']}",
            )
            may_draw = part != "later" or not picture
        found.append((line, picture))
    return found


def _drawing_of(line: Line) -> tuple[Any, ...]:
    heights = line.get("heights")
    return (line["drawing"], tuple(heights) if heights else None)


@register.simple_tag
def guide_bed(bed: Line, firm: Line, on_paper: Any = "") -> SafeString:
    """The bed to scale with the guide's plants by number, wider on paper."""
    if bed["shape"] == BedShape.CIRCLE:
        shape: drawings.Shape = drawings.Circle(diameter_m=Decimal(bed["across_m"]))
    elif bed["shape"] == BedShape.RECTANGLE:
        shape = drawings.Rectangle(
            length_m=Decimal(bed["length_m"]), width_m=Decimal(bed["width_m"])
        )
    elif bed.get("corners"):
        shape = drawings.Outline(
            corners=tuple((Decimal(x), Decimal(y)) for x, y in bed["corners"])
        )
    else:
        shape = drawings.Pieces(
            pieces=tuple(
                (Decimal(str(piece["length_m"])), Decimal(str(piece["width_m"])))
                for piece in bed["pieces"]
            )
        )
    return SafeString(
        drawings.bed_plan(
            shape,
            [
                drawings.PlanPlanting(
                    number=plant["number"],
                    label=plant["common"],
                    quantity=plant["count"],
                    spread_m=None
                    if plant["spread_m"] is None
                    else Decimal(str(plant["spread_m"])),
                    hedge=bool(plant.get("is_hedge")),
                )
                for plant in bed["plants"]
            ],
            display=Display(firm["units"]),
            north=NORTH.get(Facing(bed["facing"])) if bed["facing"] else None,
            title=bed["name"],
            prefix=f"bed-{bed['pk']}",
            width=520 if on_paper else 340,
            key=False,
            gettext=gettext,
        )
    )
