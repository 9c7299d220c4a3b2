"""Words of care: tasks, rules, layers, limits, sources."""

import datetime as dt
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django import template
from django.utils.translation import gettext, ngettext

from firm.templatetags.notebook import day_month, day_words, days_between
from firm.units import Display, convert, plain, round_figure
from plants import care
from plants.care.vocabulary import COMMON_PRACTICE, CUTS
from plants.enums import BedShape, Kind, LineLayer, Purpose, Task, Wood
from plants.fit import AT_RISK
from plants.models import Bed, Planting, Source

register = template.Library()

SHARES = {
    Decimal("0.25"): "a quarter at most",
    Decimal("0.33"): "a third at most",
    Decimal("0.5"): "half at most",
    Decimal("0.66"): "two thirds at most",
}
BUD_WORDS = {
    "opposite": "in pairs, opposite each other",
    "alternate": "one by one, on alternate sides",
    "whorled": "in rings of three or more",
    "basal": "at the base",
}
# Plants without wood.
HERBACEOUS = frozenset(
    {Kind.PERENNIAL, Kind.GRASS, Kind.SEDGE, Kind.BULB, Kind.FERN, Kind.GROUNDCOVER}
)
PART_WORDS = {
    "cutting": "Cutting",
    "soil": "Feeding and soil",
    "water": "Water",
    "looking after": "Looking after it",
}
# How often deer eat it, and how well it bears salt and wind.
HOW_WORDS = {
    "seldom": "seldom",
    "sometimes": "sometimes",
    "often": "often",
    "well": "well",
    "somewhat": "somewhat",
    "badly": "badly",
}
VERDICT_WORDS = {
    "right": "right",
    "bearable": "bearable",
    "not recorded": "not known yet",
    "wrong": "Wrong here",
    "deadly": "Would not live",
}


def _display(firm: Any) -> Display:
    return Display(str(getattr(firm, "units", firm)))


# --- words -------------------------------------------------------------------------


@register.filter
def task_words(task: str) -> str:
    """A task as it is said: take out dead wood."""
    return str(Task(task).label) if task in Task.values else task


@register.filter
def tasks_words(tasks: Iterable[str]) -> str:
    """Several tasks in a line."""
    return ", ".join(task_words(task) for task in tasks)


@register.filter
def purpose_words(purpose: str) -> str:
    """What a cut is for: for its flowers."""
    return str(Purpose(purpose).label) if purpose in Purpose.values else purpose


@register.filter
def kind_words(kind: str) -> str:
    """What sort of plant it is."""
    return str(Kind(kind).label) if kind in Kind.values else kind


@register.filter
def leaf_words(facts: Mapping[str, Any]) -> str:
    """What becomes of its leaves in the cold months, or when it rests."""
    kind, evergreen = facts.get("kind"), facts.get("evergreen")
    if evergreen == "yes":
        return gettext("evergreen")
    if evergreen == "semi":
        return gettext("half-evergreen")
    if kind == Kind.BULB:
        return gettext("rests underground for part of the year")
    if kind in HERBACEOUS:
        return gettext("dies down in winter")
    return gettext("leafless in winter")


@register.filter
def flower_words(facts: Mapping[str, Any]) -> str:
    """On which wood it flowers, where that matters, and in which colour."""
    colour = (facts.get("bloom") or {}).get("colour", "")
    wood = facts.get("wood", "")
    if wood == Wood.NONE and colour:
        return str(colour)
    if facts.get("kind") == Kind.FERN:
        return gettext("none, as it is a fern")
    said = wood_words(wood)
    return f"{said}, {colour}" if colour else said


SEASON_WORDS = ("spring", "summer", "autumn", "winter")


@register.filter
def planting_words(planting: Mapping[str, Any]) -> str:
    """When and how it is planted; seasons the note names are not said twice."""
    note = str(planting.get("note", ""))
    seasons = planting.get("seasons", ())
    if not seasons or any(season in note.lower() for season in SEASON_WORDS):
        return note
    listed = ", ".join(gettext(season) for season in seasons)
    return f"{listed[0].upper()}{listed[1:]}. {note}".strip()


@register.filter
def part_words(part: str) -> str:
    """A sort of work as a heading."""
    return gettext(PART_WORDS.get(part, part))


@register.filter
def wood_words(wood: str) -> str:
    """On which wood it flowers."""
    return str(Wood(wood).label) if wood in Wood.values else wood


@register.filter
def bud_words(buds: str) -> str:
    """How the buds sit."""
    return gettext(BUD_WORDS.get(buds, buds))


@register.filter
def how_words(how: str | None) -> str:
    """How often or how well; what nobody wrote down is not known."""
    return gettext(HOW_WORDS.get(how, how)) if how else gettext("not known")


@register.filter
def verdict_words(verdict: str) -> str:
    """How a place suits a plant."""
    return gettext(VERDICT_WORDS.get(str(verdict), str(verdict)))


@register.simple_tag
def toxic_to(poison: Mapping[str, str]) -> str:
    """Whom a plant is toxic to, as a list in words."""
    return _whom(poison, "toxic")


@register.simple_tag
def not_toxic_to(poison: Mapping[str, str]) -> str:
    """Whom a read page lists it as not toxic to."""
    return _whom(poison, "not toxic")


@register.simple_tag
def unknown_to(poison: Mapping[str, str]) -> str:
    """Whom nobody knows it to be toxic or harmless to."""
    return _whom(poison, "unknown")


def _whom(poison: Mapping[str, str], word: str) -> str:
    found = [
        gettext(who) for who in AT_RISK if (poison or {}).get(who, "unknown") == word
    ]
    if len(found) < 2:
        return "".join(found)
    return f"{', '.join(found[:-1])} {gettext('and')} {found[-1]}"


@register.filter
def rule_title(rule: Any) -> str:
    """A task with its purpose where there are several: prune, for its flowers."""
    said = task_words(rule.task)
    if rule.purpose in ("none", rule.task, "hygiene"):
        return said
    if rule.task == "renovate" or rule.purpose == "dead wood":
        return said
    return f"{said}, {purpose_words(rule.purpose)}"


@register.filter
def layer_words(layer: str) -> str:
    """Who wrote a line: the firm's own rule."""
    return str(LineLayer(layer).label) if layer in LineLayer.values else layer


@register.filter
def closed_words(season: care.ClosedSeason) -> str:
    """What a closed season forbids: no cutting of living wood."""
    left = list(season.tasks)
    said = []
    if set(CUTS) <= set(left):
        said.append(gettext("cutting living wood"))
        left = [task for task in left if task not in CUTS]
    said.extend(task_words(task) for task in left)
    return ", ".join(said)


@register.filter
def answer_reason(answer: care.Answer) -> str:
    """Why a task is best now, allowed or closed, in one sentence or two."""
    if answer.closed is not None:
        return answer.closed.why
    if answer.ground == "too young" and answer.rule and answer.until:
        years = round(answer.rule.conditions.age_years_min or 0)
        return ngettext(
            "It is too young for this, which waits until it has stood %(years)d year.",
            "It is too young for this, which waits until it has stood %(years)d years.",
            years,
        ) % {"years": years}
    if answer.ground == "in its window" and answer.window:
        return gettext("Its time is %(days)s, best about %(best)s.") % {
            "days": days_between(answer.window.earliest, answer.window.latest),
            "best": day_month(answer.window.best),
        }
    return {
        "on any day": gettext("It may be done on any day."),
        "dead wood": gettext(
            "Dead, damaged and diseased wood may come off on any day."
        ),
        "out of its window": gettext("It does no harm now, but it is not its time."),
    }.get(
        answer.ground, gettext("It does no harm now; this planting does not need it.")
    )


@register.filter
def answer_next(answer: care.Answer) -> str:
    """What to wait for, or until when there is time; empty where nothing is due."""
    if answer.verdict == "best now":
        if answer.until is None:
            return ""
        return gettext("There is time until %s.") % day_words(answer.until)
    if answer.ahead is not None:
        return gettext("Wait until %(first)s; best about %(best)s.") % {
            "first": day_words(answer.ahead.earliest),
            "best": day_words(answer.ahead.best),
        }
    if answer.ground == "too young" and answer.until:
        return gettext("It is old enough from %s.") % day_words(
            answer.until + dt.timedelta(days=1)
        )
    if answer.ground == "closed season" and answer.until:
        return gettext("It is open again from %s.") % day_words(
            answer.until + dt.timedelta(days=1)
        )
    return ""


@register.filter
def source_words(source: Source | str | None) -> str:
    """Where a line comes from, and how it was read."""
    if isinstance(source, Source):
        return f"{source.publisher}: {source.title} ({source.how_read})"
    if not source or source == COMMON_PRACTICE:
        return gettext("common practice, no source")
    return source


@register.simple_tag
def source_of(key: str, sources: Mapping[str, Source]) -> str:
    """Where the line with the source KEY comes from."""
    return source_words(sources.get(key, key))


@register.simple_tag
def limits_words(rule: care.Rule, firm: Any) -> str:
    """How much may come off and what stays, in the firm's units."""
    limits = rule.limits
    said = []
    if limits.share_removed_max is not None:
        said.append(share_words(limits.share_removed_max))
    if limits.height_left_m is not None:
        said.append(gettext("leave %s") % heights_words(limits.height_left_m, firm))
    if limits.cut:
        said.append(limits.cut)
    return "; ".join(said)


def share_words(share: float) -> str:
    exact = round_figure(Decimal(str(share)), 2)
    for known, words in SHARES.items():
        if abs(exact - known) <= Decimal("0.01"):
            return gettext(words)
    return gettext("%d %% at most") % round(share * 100)


def heights_words(heights: tuple[float, float], firm: Any) -> str:
    shown = [_display(firm).depth(Decimal(str(height)), places=0) for height in heights]
    if heights[0] == heights[1]:
        return shown[0]
    return gettext("%(low)s to %(high)s") % {"low": shown[0], "high": shown[1]}


def cut_distance(firm: Any) -> str:
    """How far above a bud a cut goes, in the firm's units.

    A quarter inch, Kansas State horticulture (W. Upham, pruning hybrid tea roses).
    """
    if _display(firm).system == "metric":
        return gettext("about 6\u00a0mm")
    return gettext("about 1/4\u00a0in")


@register.filter
def conditions_words(needs: care.Conditions) -> str:
    """What must be true of a planting for a rule to hold; empty for every planting."""
    said = []
    if needs.age_years_min is not None:
        years = round(needs.age_years_min)
        said.append(
            ngettext("from %(years)d year of age", "from %(years)d years of age", years)
            % {"years": years}
        )
    if needs.age_years_max is not None:
        years = round(needs.age_years_max)
        said.append(
            ngettext("in its first year", "in its first %(years)d years", years)
            % {"years": years}
        )
    if needs.irrigated is not None:
        said.append(
            gettext("where it is irrigated")
            if needs.irrigated
            else gettext("where nothing irrigates it")
        )
    if needs.ph_above is not None:
        said.append(gettext("where the pH is over %s") % needs.ph_above)
    if needs.ph_below is not None:
        said.append(gettext("where the pH is under %s") % needs.ph_below)
    if needs.frost is not None:
        said.append(
            gettext("where winters bring frost")
            if needs.frost == "needed"
            else gettext("where winters bring no frost")
        )
    return "; ".join(said)


@register.filter
def planting_name(planting: Planting) -> str:
    """What stands there: the plant's common name, or what an unknown one looks like."""
    if planting.plant is not None:
        return planting.plant.common
    return gettext("unidentified: %s") % planting.what_it_looks_like


@register.filter
def measures(bed: Bed) -> str:
    """The measures of a bed as they were typed: 30 ft × 8 ft, 8 in deep."""
    if bed.shape == BedShape.RECTANGLE:
        said = f"{bed.length_text} × {bed.width_text}"
    elif bed.shape == BedShape.CIRCLE:
        said = gettext("%s across") % bed.across_text
    elif bed.shape == BedShape.OUTLINE:
        said = gettext("an outline of %d corners") % len(bed.corners)
    else:
        said = "; ".join(
            f"{piece['length_text']} × {piece['width_text']}" for piece in bed.pieces
        )
    if bed.depth_text:
        said = gettext("%(size)s, %(depth)s deep") % {
            "size": said,
            "depth": bed.depth_text,
        }
    return said


@register.filter
def sun_words(facts: Mapping[str, Any]) -> str:
    """The hours of direct sun that a plant wants, and until when of the day."""
    hours = facts["sun_hours"]
    said = gettext("%(least)s to %(most)s h") % {
        "least": plain(Decimal(str(hours["min"])), places=1),
        "most": plain(Decimal(str(hours["max"])), places=1),
    }
    if facts.get("latest_sun"):
        said = gettext("%(hours)s, not after %(time)s") % {
            "hours": said,
            "time": facts["latest_sun"],
        }
    return said


@register.filter
def grown_size(metres: Any, firm: Any) -> str:
    """The size of a plant as roughly as it is known: 5 ft, 18 in, 1.5 m, 45 cm."""
    exact = Decimal(str(metres))
    if _display(firm).system == "metric":
        if exact >= 1:
            return f"{plain(exact, places=1)}\u00a0m"
        return f"{plain(exact * 100, places=0)}\u00a0cm"
    feet = convert(exact, unit="m", to="ft")
    if feet >= 3:
        return f"{plain(round_figure(feet * 2, 0) / 2, places=1)}\u00a0ft"
    return f"{plain(feet * 12, places=0)}\u00a0in"


@register.filter
def day_of_year(pair: list[int] | None) -> str:
    """The [month, day] of a frost date: 22 April."""
    if not pair:
        return gettext("no frost")
    return f"{pair[1]} {gettext(f'{dt.date(2001, pair[0], 1):%B}')}"


@register.filter
def lookup(mapping: Mapping[str, Any], key: str) -> Any:
    """The entry of a mapping whose key is no name; None where there is none."""
    return mapping.get(key)
