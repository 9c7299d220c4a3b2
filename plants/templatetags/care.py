"""Drawings of care and the words of its rules."""

import datetime as dt
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django import template
from django.utils.safestring import SafeString
from django.utils.translation import gettext, ngettext

from firm.units import Display, convert, plain, round_figure
from plants import care, drawings
from plants.care.vocabulary import COMMON_PRACTICE, CUTS
from plants.enums import BedShape, Facing, Kind, LineLayer, Purpose, Task, Wood
from plants.fit import AT_RISK
from plants.models import Bed, Planting, Source
from plants.queries.care import PlantYear

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
PART_WORDS = {
    "cutting": "Cutting",
    "soil": "Feeding and soil",
    "water": "Water",
    "looking after": "Looking after it",
}
VERDICT_WORDS = {
    "right": "right",
    "bearable": "bearable",
    "not recorded": "not known yet",
    "wrong": "Wrong here",
    "deadly": "Would not live",
}
# Where north lies on a plan whose lower side is the one the bed looks to.
NORTH = {
    Facing.N: 180.0,
    Facing.NE: 225.0,
    Facing.E: 270.0,
    Facing.SE: 315.0,
    Facing.S: 0.0,
    Facing.SW: 45.0,
    Facing.W: 90.0,
    Facing.NW: 135.0,
}


def _drawn(svg: str) -> SafeString:
    """A drawing of ours; whatever words it holds were escaped when it was drawn."""
    return SafeString(svg)


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
def rule_title(rule: care.Rule | care.Answer) -> str:
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
        said.append(_share(limits.share_removed_max))
    if limits.height_left_m is not None:
        said.append(gettext("leave %s") % _heights(limits.height_left_m, firm))
    if limits.cut:
        said.append(limits.cut)
    return "; ".join(said)


def _share(share: float) -> str:
    exact = Decimal(str(share)).quantize(Decimal("0.01"))
    for known, words in SHARES.items():
        if abs(exact - known) <= Decimal("0.01"):
            return gettext(words)
    return gettext("%d %% at most") % round(share * 100)


def _heights(heights: tuple[float, float], firm: Any) -> str:
    shown = [_display(firm).depth(Decimal(str(height)), places=0) for height in heights]
    if heights[0] == heights[1]:
        return shown[0]
    return gettext("%(low)s to %(high)s") % {"low": shown[0], "high": shown[1]}


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
            ngettext(
                "in its first %(years)d year", "in its first %(years)d years", years
            )
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


# --- drawings ----------------------------------------------------------------------


@register.simple_tag
def care_strip(
    year: PlantYear, today: dt.date | None = None, title: str = "", width: int = 340
) -> SafeString:
    """The year of a plant: time in flower, windows with best days, closed seasons."""
    end = year.start + dt.timedelta(days=year.days - 1)
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
            closed=[
                drawings.Span(
                    label=closed_words(period.season),
                    first=period.first or year.start,
                    last=period.last or end,
                )
                for period in year.closed
            ],
            bloom=[
                drawings.Span(label=gettext("in flower"), first=first, last=last)
                for first, last in year.bloom
            ],
            title=title,
            prefix=prefix,
            width=width,
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
    measure = ""
    if rule.limits.height_left_m is not None:
        measure = _heights(rule.limits.height_left_m, firm)
    elif rule.drawing == "thin-base" and rule.limits.share_removed_max is not None:
        measure = _share(rule.limits.share_removed_max)
    return _drawn(
        drawings.cut_drawing(
            rule.drawing,
            buds=group.buds,
            measure_words=measure,
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
    return _drawn(
        drawings.habit_drawing(
            facts["habit"],
            evergreen=facts.get("evergreen"),
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
            display=_display(firm),
            north=NORTH.get(Facing(bed.facing)) if bed.facing else None,
            title=bed.name,
            prefix=f"bed-{bed.pk}",
            width=480,
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
