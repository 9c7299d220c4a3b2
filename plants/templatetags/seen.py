"""Words and a drawing of what was seen in flower."""

from collections.abc import Mapping
from typing import Any

from django import template
from django.utils.safestring import SafeString
from django.utils.translation import gettext, ngettext

from firm.templatetags.notebook import day_words
from plants import care, drawings
from plants.enums import BloomStage
from plants.queries.seen import SeenGroup

register = template.Library()

STAGE_OF = {
    "leaf_out": BloomStage.LEAF_OUT,
    "bloom_start": BloomStage.FIRST_BLOOM,
    "bloom_end": BloomStage.BLOOM_OVER,
}


@register.filter
def days_off(days: float | None) -> str:
    """How far a day lies from the computed one: 3 days later, as computed."""
    if days is None:
        return "–"
    whole = round(abs(days))
    if whole == 0:
        return gettext("as computed")
    if days > 0:
        return ngettext("%(n)d day later", "%(n)d days later", whole) % {"n": whole}
    return ngettext("%(n)d day earlier", "%(n)d days earlier", whole) % {"n": whole}


@register.filter
def stage_words(stage: str) -> str:
    """A stage as it is said: first flowers."""
    return str(BloomStage(stage).label)


@register.filter
def of_planting(found: Mapping[int, Any], pk: int) -> Any:
    """What is kept for one planting, such as what was seen on it."""
    return found.get(pk, ())


@register.filter
def total_words(total: Any) -> str:
    """Degree days with their unit: 86 °F days."""
    return "–" if total is None else f"{float(total):g} °F days"


@register.simple_tag
def bloom_by(known: care.DegreeDays | None) -> str:
    """What bloom is computed from at a place."""
    if known is None:
        return gettext("bloom from the months of its group, moved by how spring comes")
    if known.layer == "firm":
        if not known.seen:
            return gettext("bloom from degree days of this climate, put down by hand")
        return ngettext(
            "bloom from degree days of this climate, %(n)d observation",
            "bloom from degree days of this climate, %(n)d observations",
            known.seen,
        ) % {"n": known.seen}
    return gettext("bloom from the degree days of %(place)s") % {"place": known.place}


@register.filter
def move_words(move: care.Move) -> str:
    """How far something seen moved the windows that hang on it."""
    said = {
        "what": stage_words(STAGE_OF[move.anchor]),
        "day": day_words(move.seen),
        "computed": day_words(move.computed),
    }
    if not move.days:
        return gettext("%(what)s seen on %(day)s, as computed") % said
    said["moved"] = days_off(move.days)
    return (
        gettext("%(what)s seen on %(day)s, %(moved)s than computed (%(computed)s)")
        % said
    )


@register.simple_tag
def flowers_picture(seen: SeenGroup, width: int = 340) -> SafeString:
    """First flowers by year, computed and seen; nothing where none were seen."""
    years = seen.years
    if not years:
        return SafeString("")
    return SafeString(
        drawings.first_flowers(
            [
                drawings.FlowerYear(
                    year=each.year, computed=each.computed, seen=tuple(each.seen)
                )
                for each in years
            ],
            prefix=f"first-flowers-{seen.station.pk}-{seen.group.pk}",
            width=width,
            gettext=gettext,
        )
    )
