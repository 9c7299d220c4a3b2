"""Words of the firm's own lines: what differs, from what, and why one is left out."""

from collections.abc import Callable, Mapping
from types import SimpleNamespace
from typing import Any

from django import template
from django.utils.translation import gettext, ngettext

from plants import care
from plants.care.lines import Line
from plants.enums import Anchor, Drawing
from plants.models import Source
from plants.queries.own import OwnLine
from plants.queries.own.words import reason
from plants.templatetags.care import (
    conditions_words,
    heights_words,
    purpose_words,
    rule_title,
    share_words,
    source_words,
    task_words,
    tasks_words,
)

register = template.Library()

CHANGES = {
    "new": "new",
    "moved": "moved",
    "rewritten": "changed, same days",
    "same": "as before",
    "gone": "no longer",
}
LABELS = {
    "task": "Task",
    "purpose": "Purpose",
    "window": "Window",
    "limits": "How far",
    "conditions": "Only",
    "repeat": "Again",
    "follow_up": "What follows",
    "drawing": "Drawing",
    "minutes": "Work for each plant",
    "how": "How",
    "where": "Where",
    "why": "Why",
    "harm": "Done wrong",
    "source": "Source",
    "tasks": "Closes",
    "from": "First closed day",
    "to": "Last closed day",
    "except_purposes": "But not",
}
FACT_LABELS = {
    "kind": "kind",
    "habit": "shape",
    "evergreen": "leaves in winter",
    "buds": "buds",
    "wood": "the wood it flowers on",
    "bloom": "time in flower",
    "light": "light",
    "sun_hours": "hours of sun",
    "latest_sun": "latest sun",
    "ph": "soil pH",
    "moisture": "moisture",
    "hardiness": "hardiness zones",
    "heat": "heat zones",
    "mature": "grown size",
    "spacing_m": "spacing",
    "growth": "growth",
    "toxicity": "poison",
    "invasive": "where it spreads wild",
    "deer_eat": "deer",
    "planting": "planting",
    "sources": "sources",
}


@register.filter
def change_words(change: str) -> str:
    """How a window differs from the year before: moved."""
    return gettext(CHANGES.get(change, change))


@register.filter
def line_title(line: Line) -> str:
    """A written rule's task with its purpose: prune, for its flowers."""
    told = SimpleNamespace(task=line["task"], purpose=line["purpose"])
    return rule_title(told)


@register.filter
def reason_words(message: str) -> str:
    """Why a line is left out."""
    return reason(message)


@register.filter
def part_label(part: str) -> str:
    """A part of a line as a heading."""
    return gettext(LABELS.get(part, part))


@register.filter
def fact_label(name: str) -> str:
    """A fact of a plant in words."""
    return gettext(FACT_LABELS.get(name, name))


@register.filter
def key_words(key: str) -> str:
    """A line's key as words, where nothing better is known."""
    return key.replace("-", " ")


@register.filter
def by_key(lines: Any, key: str) -> Any:
    """The first of some lines with this key; None when there is none."""
    return next((line for line in lines if line.key == key), None)


@register.filter
def moment_words(moment: Mapping[str, Any]) -> str:
    """A moment as it is said: 7 days before its bloom ends."""
    if not moment or moment.get("anchor") not in Anchor.values:
        return ""
    what = str(Anchor(moment["anchor"]).label)
    days = moment.get("days") or 0
    if days == 0:
        return gettext("the day: %s") % what
    count = abs(days)
    if days < 0:
        words = ngettext("%(days)d day before", "%(days)d days before", count)
    else:
        words = ngettext("%(days)d day after", "%(days)d days after", count)
    return f"{words % {'days': count}}: {what}"


@register.simple_tag
def line_differences(
    line: OwnLine, firm: Any, sources: Mapping[str, Source]
) -> list[tuple[str, str, str]]:
    """For each part in which the firm differs: its name, what stands below, ours."""
    below = line.stands
    if below is None:
        return []
    return [
        (
            part_label(part),
            part_words(line.part, part, below, firm, sources),
            part_words(line.part, part, line.holds, firm, sources),
        )
        for part in line.changed
    ]


@register.simple_tag
def line_parts(
    line: OwnLine, firm: Any, sources: Mapping[str, Source]
) -> list[tuple[str, str]]:
    """All that the line below says, part by part."""
    below = line.stands or {}
    shown = (
        (part_label(part), part_words(line.part, part, below, firm, sources))
        for part in below
    )
    return [(label, words) for label, words in shown if words]


def part_words(
    kind: str, part: str, line: Line, firm: Any, sources: Mapping[str, Source]
) -> str:
    """One part of a line in words; empty where it says nothing."""
    value = line[part]
    if part == "window":
        return _window_words(value)
    if part in ("from", "to"):
        return moment_words(value)
    if part == "limits":
        return _limits_words(value, firm)
    if part == "conditions":
        return conditions_words(care.Conditions(**value))
    if part == "tasks":
        return tasks_words(value)
    if part == "except_purposes":
        return ", ".join(purpose_words(purpose) for purpose in value)
    if part == "minutes":
        return gettext("%s min") % f"{float(value):g}"
    plain: dict[str, Callable[[Any], str]] = {
        "task": task_words,
        "purpose": purpose_words,
        "repeat": _repeat_words,
        "follow_up": _follow_words,
        "drawing": _drawing_words,
        "source": lambda key: source_words(sources.get(key, key)),
    }
    return plain.get(part, str)(value)


def _window_words(window: Line) -> str:
    if window.get("always"):
        return gettext("on any day of the year")
    return gettext("earliest %(first)s; best %(best)s; latest %(last)s") % {
        "first": moment_words(window.get("from") or {}),
        "best": moment_words(window.get("best") or {}),
        "last": moment_words(window.get("to") or {}),
    }


def _limits_words(limits: Line, firm: Any) -> str:
    found = []
    if "share_removed_max" in limits:
        found.append(share_words(limits["share_removed_max"]))
    if "height_left_m" in limits:
        low, high = limits["height_left_m"]
        found.append(gettext("leave %s") % heights_words((low, high), firm))
    if "cut" in limits:
        found.append(limits["cut"])
    return "; ".join(found)


def _repeat_words(repeat: Line) -> str:
    found = []
    if repeat.get("every_years"):
        found.append(gettext("every %d years") % repeat["every_years"])
    if repeat.get("for_years"):
        found.append(gettext("spread over %d years") % repeat["for_years"])
    if repeat.get("every_days"):
        found.append(gettext("every %d days inside its window") % repeat["every_days"])
    return "; ".join(found)


def _follow_words(follow: Line) -> str:
    if not follow:
        return ""
    return gettext("%(what)s within %(days)s days") % {
        "what": key_words(str(follow.get("rule"))),
        "days": follow.get("within_days"),
    }


def _drawing_words(drawing: str) -> str:
    return str(Drawing(drawing).label) if drawing in Drawing.values else drawing
