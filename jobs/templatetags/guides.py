"""Words and drawings of a care guide, made from its snapshot alone."""

import datetime as dt
from collections.abc import Mapping, Sequence
from decimal import Decimal
from types import SimpleNamespace
from typing import Any, cast

from django import template
from django.utils.formats import date_format
from django.utils.safestring import SafeString
from django.utils.translation import gettext, ngettext

from firm.templatetags.notebook import day_month, days_between
from firm.units import Display, convert, plain, round_figure
from jobs.actions.links import key_of
from jobs.models import PrivateLink
from jobs.queries.quote_paper import toxicity_words
from plants import care, drawings, water
from plants.care.group import Limits
from plants.enums import BedShape, Facing
from plants.templatetags.care import closed_words, limits_words, rule_title
from plants.templatetags.pictures import NORTH, cut_picture, habit_picture

register = template.Library()

Line = Mapping[str, Any]

EVERY = {
    "day": "every day",
    "2-3 days": "every two to three days",
    "week": "once a week",
}


def _day(value: Any) -> dt.date:
    return dt.date.fromisoformat(value) if isinstance(value, str) else value


def _rule(line: Line) -> care.Rule:
    """A line of the snapshot as far as the words and drawings of care read a rule."""
    heights = line.get("heights")
    return cast(
        care.Rule,
        SimpleNamespace(
            key=line["key"],
            task=line["task"],
            purpose=line["purpose"],
            drawing=line.get("drawing", "none"),
            limits=Limits(
                share_removed_max=line.get("share"),
                height_left_m=(heights[0], heights[1]) if heights else None,
                cut=line.get("cut", ""),
            ),
        ),
    )


# --- words ---------------------------------------------------------------------------


@register.filter
def guide_title(line: Line) -> str:
    """A task with its purpose: Prune, for its flowers."""
    said = rule_title(cast(care.Rule, SimpleNamespace(**line)))
    return said[:1].upper() + said[1:]


@register.filter
def guide_month(value: Any) -> str:
    """A month with its year: April 2026."""
    return date_format(_day(value), "F Y")


@register.filter
def guide_day(value: Any) -> str:
    """A day in running text: 14 April 2026."""
    return date_format(_day(value), "j F Y")


@register.filter
def runs_words(line: Line) -> str:
    """When: 28 Mar to 2 May 2026, best about 8 Apr; and again ..."""
    return "; ".join(run_words(run) for run in line["runs"])


@register.filter
def run_words(run: Sequence[Any]) -> str:
    """One window: 28 Mar to 2 May 2026, best about 8 Apr."""
    earliest, best, latest = run
    said = days_between(earliest, latest)
    if _day(earliest) == _day(latest):
        return said
    return gettext("%(days)s, best about %(best)s") % {
        "days": said,
        "best": day_month(best),
    }


@register.filter
def usual_days(line: Line) -> str:
    """The days of any year on which a later cut falls: 20 Jun to 5 Jul."""
    earliest, _best, latest = line["runs"][0]
    return f"{day_month(earliest)} {gettext('to')} {day_month(latest)}"


@register.filter
def years_waited(line: Line) -> str:
    """How old a plant must be for a cut."""
    years = round(line["from_years"])
    return ngettext(
        "not before it has stood for %(years)d year",
        "not before it has stood for %(years)d years",
        years,
    ) % {"years": years}


@register.filter
def shut_words(season: Line) -> str:
    """What a closed season forbids: cutting living wood, deadhead."""
    return closed_words(cast(care.ClosedSeason, SimpleNamespace(**season)))


@register.simple_tag
def shut_days(season: Line, start: Any) -> str:
    """The days of a closed season; what began before the guide is said from there."""
    said = []
    for first, last in season["spans"]:
        if first is None or last is None:
            return gettext("all year")
        if _day(first) < _day(start):
            said.append(
                gettext("to %(last)s")
                % {"last": f"{day_month(last)} {_day(last).year}"}
            )
        else:
            said.append(days_between(first, last))
    return gettext(" and ").join(said)


@register.filter
def shut_in_month(row: Line) -> str:
    """The plants that are closed in a month: 1, 2; 4 from 22 Apr; 5 to 4 Apr."""
    said = []
    for part in row["parts"]:
        numbers = numbers_said(part["numbers"])
        first, last = _day(part["first"]), _day(part["last"])
        if part["is_whole_month"]:
            said.append(numbers)
        elif first.day == 1:
            said.append(
                gettext("%(numbers)s to %(last)s")
                % {"numbers": numbers, "last": day_month(last)}
            )
        else:
            said.append(
                gettext("%(numbers)s from %(first)s")
                % {"numbers": numbers, "first": day_month(first)}
            )
    return "; ".join(said)


@register.simple_tag
def about_m(metres: Any, firm: Line) -> str:
    """A plant's size as people say it: 5 ft, 18 in, 1.5 m, 45 cm."""
    exact = Decimal(str(metres))
    if firm["units"] == "us":
        feet = convert(exact, unit="m", to="ft")
        if feet < 2:
            inches = convert(exact, unit="m", to="in")
            return f"{plain(inches, places=0)}\u00a0in"
        halves = round_figure(feet * 2, 0) / 2
        return f"{plain(halves, places=1)}\u00a0ft"
    if exact < 1:
        fives = round_figure(exact * 20, 0) * 5
        return f"{plain(fives, places=0)}\u00a0cm"
    return f"{plain(exact, places=1)}\u00a0m"


@register.simple_tag
def line_limits(line: Line, firm: Line) -> str:
    """How far a cut may go, in the firm's units."""
    return limits_words(_rule(line), firm["units"])


@register.simple_tag
def named_plants(numbers: Sequence[int], plants: Sequence[Line]) -> str:
    """Numbers with their plants: 1 Lilac, 2 Yew."""
    names = {plant["number"]: plant["common"] for plant in plants}
    return ", ".join(f"{number}\u00a0{names[number]}" for number in numbers)


@register.filter
def toxicity_said(plant: Line) -> list[str]:
    """Whom a plant harms, whom not, and what nobody knows."""
    return toxicity_words({"toxicity": plant["toxicity"]})


@register.filter
def link_key(link: PrivateLink) -> str:
    """The key in a private link's address."""
    return key_of(link)


@register.filter
def numbers_said(numbers: Sequence[int]) -> str:
    """Numbers in a row: 1, 2, 5."""
    return ", ".join(str(number) for number in numbers)


# --- water ---------------------------------------------------------------------------


@register.simple_tag
def every_words(phase: Line, how: str = "") -> str:
    """How often: every two to three days."""
    if how == "soft" and phase["every"] == "2-3 days":
        return gettext("every two to three days, daily in heat")
    return gettext(EVERY[phase["every"]])


@register.filter
def every_said(every: str) -> str:
    """A rhythm in running text."""
    return gettext(EVERY[every])


@register.filter
def water_in_month(row: Line) -> str:
    """The rhythms of a month: every day to 14 Apr, then every two to three days."""
    phases = row["phases"]
    said = [
        gettext("%(every)s to %(day)s")
        % {
            "every": gettext(EVERY[phase["every"]]),
            "day": day_month(phase["last"]),
        }
        for phase in phases[:-1]
    ]
    said.append(gettext(EVERY[phases[-1]["every"]]))
    return gettext(", then ").join(said)


@register.simple_tag
def water_amount(row: Line, firm: Line) -> str:
    """How much each time, by the rule for that sort of plant."""
    us = firm["units"] == "us"
    if row["how"] == "tree":
        return (
            gettext("1 to 1.5 gal for every inch of trunk thickness")
            if us
            else gettext("1.5 to 2.2 L for every centimetre of trunk thickness")
        )
    if row["how"] == "shrub":
        return gettext("a quarter to a third of the pot it came in")
    return (
        gettext("about 1 in a week, rain and hose together")
        if us
        else gettext("about 25 mm (25 L on a square metre) a week, rain and hose")
    )


@register.simple_tag
def pot_amounts(firm: Line) -> list[tuple[str, str]]:
    """What a quarter to a third of a pot comes to, by its class."""
    us = firm["units"] == "us"
    shown = []
    for container in ("#1", "#3", "#5", "#7", "#15"):
        low, high = water.shrub_litres(container)
        if us:
            low, high = (convert(each, unit="L", to="gal") for each in (low, high))
        display = Display(firm["units"])
        figures = [
            display.figure(each, places=2 if us else 1, trim=us) for each in (low, high)
        ]
        joined = gettext("%(low)s to %(high)s") % {
            "low": figures[0],
            "high": figures[1],
        }
        shown.append((container, f"{joined} {'gal' if us else 'L'}"))
    return shown


# --- drawings ------------------------------------------------------------------------


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
def guide_strip(plant: Line, paper: Line, width: int = 720) -> SafeString:
    """The plant's twelve months: in flower, windows with best days, closed seasons."""
    start, end = _day(paper["start"]), _day(paper["end"])
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
                    earliest=_day(run[0]),
                    best=_day(run[1]),
                    latest=_day(run[2]),
                )
                for line in lines
                for run in line["runs"]
            ],
            start=start,
            days=plant["days"],
            closed=[
                drawings.Span(
                    label=shut_words(season),
                    first=_day(first or start),
                    last=_day(last or end),
                )
                for season in plant["closed"]
                for first, last in season["spans"]
            ],
            bloom=[
                drawings.Span(
                    label=gettext("in flower"), first=_day(span[0]), last=_day(span[1])
                )
                for span in plant["bloom"]
            ],
            title=gettext("The year of %(plant)s") % {"plant": plant["common"]},
            prefix=f"year-{plant['number']}",
            width=width,
            gettext=gettext,
        )
    )


@register.simple_tag
def cut_lines(plant: Line, part: str, firm: Line) -> list[tuple[Line, SafeString]]:
    """The lines of a part, each with the drawing of its cut where it is a new one."""
    shown: set[tuple[Any, ...]] = set()
    if part == "later":
        shown = {_drawing_of(line) for line in plant["pruning"]}
    group = cast(care.Group, SimpleNamespace(buds=plant["buds"]))
    found = []
    for line in plant[part]:
        picture = SafeString("")
        if _drawing_of(line) not in shown:
            shown.add(_drawing_of(line))
            picture = cut_picture(
                _rule(line),
                group,
                firm["units"],
                prefix=f"cut-{part.replace('_', '-')}-{plant['number']}",
            )
        found.append((line, picture))
    return found


def _drawing_of(line: Line) -> tuple[Any, ...]:
    heights = line.get("heights")
    return (line["drawing"], tuple(heights) if heights else None)


@register.simple_tag
def guide_bed(bed: Line, firm: Line) -> SafeString:
    """The bed to scale with the guide's plants by number."""
    if bed["shape"] == BedShape.CIRCLE:
        shape: drawings.Shape = drawings.Circle(diameter_m=Decimal(bed["across_m"]))
    elif bed["shape"] == BedShape.RECTANGLE:
        shape = drawings.Rectangle(
            length_m=Decimal(bed["length_m"]), width_m=Decimal(bed["width_m"])
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
                )
                for plant in bed["plants"]
            ],
            display=Display(firm["units"]),
            north=NORTH.get(Facing(bed["facing"])) if bed["facing"] else None,
            title=bed["name"],
            prefix=f"bed-{bed['pk']}",
            width=520,
            key=False,
            gettext=gettext,
        )
    )
