"""Words and drawings of a care guide, made from its snapshot alone."""

import datetime as dt
from collections.abc import Mapping, Sequence
from decimal import Decimal
from types import SimpleNamespace
from typing import Any, cast

from django import template
from django.utils.formats import date_format
from django.utils.translation import gettext, ngettext

from firm.templatetags.notebook import day_month, days_between
from firm.units import convert, plain, round_figure
from jobs.actions.links import key_of
from jobs.models import PrivateLink
from jobs.queries.quote_paper import toxicity_words
from plants import care
from plants.care.group import Limits
from plants.care.vocabulary import CUTS
from plants.templatetags.care import (
    closed_words,
    limits_words,
    rule_title,
    task_words,
)

register = template.Library()

Line = Mapping[str, Any]

SHARED_PARTS = ("any_day", "feeding", "soil", "water", "other")


def day_of(value: Any) -> dt.date:
    """A day of the snapshot, which holds days as text."""
    return dt.date.fromisoformat(value) if isinstance(value, str) else value


def rule_of(line: Line) -> care.Rule:
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
    """What is to be done: Prune, for its flowers; Look for blight."""
    if line.get("what"):
        said = gettext(line["what"])
        return said[:1].upper() + said[1:]
    said = rule_title(cast(care.Rule, SimpleNamespace(**line)))
    return said[:1].upper() + said[1:]


@register.filter
def lower_first(words: str) -> str:
    """Words as they stand inside a sentence."""
    return words[:1].lower() + words[1:]


@register.filter
def guide_month(value: Any) -> str:
    """A month with its year: April 2026."""
    return date_format(day_of(value), "F Y")


@register.filter
def guide_day(value: Any) -> str:
    """A day in running text: 14 April 2026."""
    return date_format(day_of(value), "j F Y")


@register.filter
def runs_words(line: Line) -> str:
    """When: 28 Mar to 2 May 2026, best about 8 Apr; again about 3 Jun, 18 Jul."""
    runs = line["runs"]
    if len(runs) < 3:
        return "; ".join(run_words(run) for run in runs)
    return gettext("%(first)s; again about %(days)s") % {
        "first": run_words(runs[0]),
        "days": ", ".join(day_month(run[1]) for run in runs[1:]),
    }


@register.filter
def run_words(run: Sequence[Any]) -> str:
    """One window: 28 Mar to 2 May 2026, best about 8 Apr."""
    earliest, best, latest = run
    said = days_between(earliest, latest)
    if day_of(earliest) == day_of(latest):
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
        "Wait until it has stood for %(years)d year",
        "Wait until it has stood for %(years)d years",
        years,
    ) % {"years": years}


@register.filter
def shut_words(season: Line) -> str:
    """What a closed season forbids: cutting living wood, deadhead."""
    return closed_words(cast(care.ClosedSeason, SimpleNamespace(**season)))


@register.filter
def shut_asks(season: Line) -> str:
    """What a closed season asks for: do not cut living wood, do not feed."""
    left = list(season["tasks"])
    said = []
    if set(CUTS) <= set(left):
        said.append(gettext("do not cut living wood"))
        left = [task for task in left if task not in CUTS]
    if left:
        tasks = [task_words(task) for task in left]
        listed = tasks[-1]
        if len(tasks) > 1:
            listed = gettext(" or ").join([", ".join(tasks[:-1]), listed])
        said.append(gettext("do not %(tasks)s") % {"tasks": listed})
    return ", ".join(said)


@register.simple_tag
def shut_days(season: Line, start: Any) -> str:
    """The days of a closed season; what began before the guide is said from there."""
    said = []
    for first, last in season["spans"]:
        if first is None or last is None:
            return gettext("all year")
        if day_of(first) < day_of(start):
            said.append(
                gettext("until %(last)s")
                % {"last": f"{day_month(last)} {day_of(last).year}"}
            )
        else:
            said.append(days_between(first, last))
    return gettext(" and ").join(said)


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
    return limits_words(rule_of(line), firm["units"])


@register.simple_tag
def named_plants(numbers: Sequence[int], plants: Sequence[Line]) -> str:
    """Numbers with their plants: 1 Lilac, 2 Yew."""
    names = {plant["number"]: plant["common"] for plant in plants}
    return ", ".join(f"{number}\u00a0{names[number]}" for number in numbers)


@register.simple_tag
def ringed_plants(
    numbers: Sequence[int], plants: Sequence[Line]
) -> list[tuple[int, str]]:
    """Numbers, each with its plant's name."""
    names = {plant["number"]: plant["common"] for plant in plants}
    return [(number, names[number]) for number in numbers]


@register.filter
def toxicity_said(plant: Line) -> list[str]:
    """Whom a plant harms, whom not, and what nobody knows."""
    return toxicity_words({"toxicity": plant["toxicity"]})


@register.simple_tag
def poison_sources(plant: Line) -> str:
    """Where the words on poison come from: for dogs and cats, a list (memory)."""
    said = []
    for one in plant.get("toxicity_sources", ()):
        if one["whom"]:
            said.append(
                gettext("for %(whom)s: %(source)s")
                % {"whom": gettext(one["whom"]), "source": one["source"]}
            )
        else:
            said.append(one["source"])
    return "; ".join(said)


@register.filter
def poison_short(plant: Line) -> list[tuple[str, str]]:
    """Whom a plant harms as the plants' table says it: each word with its whom."""
    found = []
    for word in ("toxic", "unknown", "not toxic"):
        whom = [gettext(who) for who, said in plant["toxicity"].items() if said == word]
        if whom:
            found.append((word, ", ".join(whom)))
    return found


@register.filter
def link_key(link: PrivateLink) -> str:
    """The key in a private link's address."""
    return key_of(link)


@register.filter
def numbers_said(numbers: Sequence[int]) -> str:
    """Numbers in a row: 1, 2, 5."""
    return ", ".join(str(number) for number in numbers)


# --- told once for several plants ---------------------------------------------------


@register.simple_tag
def shared_lines(paper: Line) -> list[dict[str, Any]]:
    """What is done alike to several plants, each task once with their numbers."""
    found: dict[tuple[str, ...], dict[str, Any]] = {}
    for plant in paper["plants"]:
        for line in (line for part in SHARED_PARTS for line in plant[part]):
            row = found.setdefault(_told_alike(line), {"line": line, "numbers": []})
            if plant["number"] not in row["numbers"]:
                row["numbers"].append(plant["number"])
    several = [row for row in found.values() if len(row["numbers"]) > 1]
    return sorted(several, key=lambda row: guide_title(row["line"]))


@register.simple_tag
def own_lines(plant: Line, part: str, shared: Sequence[Line]) -> list[Line]:
    """The lines of a part that are told with the plant itself."""
    elsewhere = {_told_alike(row["line"]) for row in shared}
    return [line for line in plant[part] if _told_alike(line) not in elsewhere]


@register.simple_tag
def alike_lines(plant: Line, shared: Sequence[Line]) -> list[Line]:
    """A plant's lines that are told once for several plants."""
    elsewhere = {_told_alike(row["line"]) for row in shared}
    return [
        line
        for part in SHARED_PARTS
        for line in plant[part]
        if _told_alike(line) in elsewhere
    ]


def _told_alike(line: Line) -> tuple[str, ...]:
    return (line["key"], line["how"], line["where"], line["harm"])
