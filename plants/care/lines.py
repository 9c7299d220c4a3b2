"""Rules and closed seasons in one plain form, so that two layers can be compared."""

from collections.abc import Mapping
from typing import Any

from plants.care.vocabulary import COMMON_PRACTICE

RULE_PARTS = (
    "task",
    "purpose",
    "window",
    "limits",
    "conditions",
    "repeat",
    "follow_up",
    "drawing",
    "minutes",
    "how",
    "where",
    "why",
    "harm",
    "source",
)
SEASON_PARTS = ("tasks", "from", "to", "except_purposes", "why", "source")

Line = dict[str, Any]


def plain_rule(spec: Mapping[str, Any]) -> Line:
    """The rule with every part written out, an absent one as its empty value."""
    return {
        "task": spec.get("task", ""),
        "purpose": spec.get("purpose", "none"),
        "window": _window(spec.get("window") or {}),
        "limits": _limits(spec.get("limits") or {}),
        "conditions": _said(spec.get("conditions") or {}),
        "repeat": _said(spec.get("repeat") or {}),
        "follow_up": _said(spec.get("follow_up") or {}),
        "drawing": spec.get("drawing", "none"),
        "minutes": spec.get("minutes", 0),
        **{name: str(spec.get(name, "")).strip() for name in RULE_PARTS[9:13]},
        "source": spec.get("source", COMMON_PRACTICE),
    }


def plain_season(spec: Mapping[str, Any]) -> Line:
    """The closed season with every part written out."""
    return {
        "tasks": list(spec.get("tasks", ())),
        "from": dict(spec.get("from") or {}),
        "to": dict(spec.get("to") or {}),
        "except_purposes": list(spec.get("except_purposes") or ()),
        "why": str(spec.get("why", "")).strip(),
        "source": spec.get("source", COMMON_PRACTICE),
    }


def plain_line(part: str, spec: Mapping[str, Any]) -> Line:
    """A rule or a closed season, after the part of the group it stands in."""
    return plain_rule(spec) if part == "rules" else plain_season(spec)


def change_of(part: str, below: Mapping[str, Any] | None, wanted: Line) -> Line:
    """What a nearer layer has to say so that WANTED holds over the line below.

    Only parts that differ are said, one that is no longer wanted as null; without a
    line below all that is not empty.
    """
    if below is None:
        return {name: value for name, value in wanted.items() if _is_said(value)}
    stands = plain_line(part, below)
    return {
        name: value if _is_said(value) else None
        for name, value in wanted.items()
        if not _same(name, value, stands[name])
    }


def over(below: Mapping[str, Any] | None, line: Mapping[str, Any]) -> Line:
    """The line laid over the one below, as the layers lay it."""
    whole = {**(below or {}), **line}
    whole.pop("off", None)
    return {name: value for name, value in whole.items() if value is not None}


def _is_said(value: Any) -> bool:
    return value not in (None, "", [], {})


def _same(name: str, one: Any, other: Any) -> bool:
    if name in ("tasks", "except_purposes"):
        return set(one) == set(other)
    return bool(one == other)


def _said(given: Mapping[str, Any]) -> Line:
    return {name: value for name, value in given.items() if value is not None}


def _window(given: Mapping[str, Any]) -> Line:
    """Always, or three moments each with its own anchor."""
    if "anchor" in given:
        return {
            end: {"anchor": given["anchor"], "days": given.get(name)}
            for end, name in (("from", "earliest"), ("best", "best"), ("to", "latest"))
        }
    return dict(given)


def _limits(given: Mapping[str, Any]) -> Line:
    found = {name: value for name, value in given.items() if _is_said(value)}
    height = found.get("height_left_m")
    if height is not None and not isinstance(height, list):
        found["height_left_m"] = [height, height]
    elif height is not None and len(height) == 1:
        found["height_left_m"] = [height[0], height[0]]
    return found
