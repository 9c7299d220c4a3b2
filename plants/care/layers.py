"""Who wrote what: the shipped catalogue under the firm's, the plant's and so on."""

import json
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

from plants.care.group import Group, Rule, RuleError
from plants.care.read import Spec, read_group
from plants.care.vocabulary import LAYERS

TRAITS = ("name", "kind", "evergreen", "buds", "wood", "bloom")
"""What a nearer layer may say about the group itself."""

UNIDENTIFIED: dict[str, Any] = {
    "key": "unidentified",
    "name": "Unidentified plant",
    "kind": "shrub",
    "evergreen": "semi",
    "buds": "alternate",
    "wood": "none",
    "bloom": None,
    "rules": [
        {
            "key": "dead-wood-only",
            "task": "dead wood",
            "purpose": "dead wood",
            "window": {"always": True},
            "drawing": "dead-tips",
            "minutes": 5,
            "how": "Take out only what is surely dead, back to living wood.",
            "where": "Just above a living bud or at the branch collar.",
            "why": "Nobody knows yet on which wood this plant flowers.",
            "harm": "Any other cut may cost the flowers or the plant.",
            "source": "common practice",
        }
    ],
    "forbid": [
        {
            "key": "not-identified",
            "tasks": [
                "prune",
                "thin",
                "shear",
                "cut down",
                "renovate",
                "deadhead",
                "feed",
                "acidify",
                "lime",
                "divide",
            ],
            "why": "The plant is not identified: only dead wood may be cut.",
            "layer": "planting",
        }
    ],
}
"""What holds for a plant nobody could name."""


def merge_layers(
    shipped: Spec,
    *,
    firm: Spec | None = None,
    plant: Spec | None = None,
    garden: Spec | None = None,
    planting: Spec | None = None,
    local: Spec | None = None,
) -> Group:
    """One group of all layers, the nearest winning by rule key; or RuleError.

    A layer names `rules` and `closed` (a key already there is changed field by
    field, a field set to null falls away, `off: true` takes the line out and what
    followed it follows nothing), `forbid` (tasks forbidden all year, with the reason)
    and may change TRAITS. Equal layers give the very same group, so its windows are
    computed once. LOCAL are the degree days by which the group's bloom is known in
    one place.
    """
    return merged(written([local, shipped, firm, plant, garden, planting]))


def written(given: Sequence[Spec | None]) -> str:
    """The layers as one text, under which what becomes of them is kept."""
    try:
        return json.dumps(given, sort_keys=True)
    except (TypeError, ValueError) as error:
        key = next((spec["key"] for spec in given if spec and "key" in spec), "?")
        raise RuleError([f"{key}: {error}"]) from None


@lru_cache(maxsize=4096)
def merged(text: str) -> Group:
    """The group of layers that were written down; RuleError when they contradict."""
    local, shipped, *nearer = json.loads(text)
    whole = dict(shipped)
    rules: dict[str, dict[str, Any]] = {}
    closed: dict[str, dict[str, Any]] = {}
    forbid: list[dict[str, Any]] = []
    off: set[str] = set()
    for layer, given in zip(LAYERS, [shipped, *nearer], strict=True):
        if given is None:
            continue
        whole.update({name: given[name] for name in TRAITS if name in given})
        off |= _lay(rules, given.get("rules"), layer)
        _lay(closed, given.get("closed"), layer)
        forbid.extend(
            {"key": f"{layer}-{number}", "layer": layer, **line}
            for number, line in enumerate(given.get("forbid") or (), start=1)
        )
    for rule in rules.values():
        follow = rule.get("follow_up")
        if isinstance(follow, dict) and follow.get("rule") in off - rules.keys():
            del rule["follow_up"]
    whole["rules"] = list(rules.values())
    whole["closed"] = list(closed.values())
    whole["forbid"] = forbid
    if local is not None and whole.get("bloom") is not None:
        whole["local_bloom"] = local
    return read_group(whole)


def _lay(
    below: dict[str, dict[str, Any]],
    lines: Sequence[Mapping[str, Any]] | None,
    layer: str,
) -> set[str]:
    """The keys that a nearer layer took out; the lines below are changed by it."""
    off = set()
    for number, line in enumerate(lines or ()):
        key = str(line.get("key") or f"{layer}-line-{number + 1}")
        if line.get("off"):
            below.pop(key, None)
            off.add(key)
            continue
        whole = {**below.get(key, {}), **line, "layer": layer}
        whole.pop("off", None)
        below[key] = {name: value for name, value in whole.items() if value is not None}
    return off


def unidentified_group() -> Group:
    """The group of a plant nobody could name: dead wood only."""
    return merge_layers(UNIDENTIFIED)


def unidentified_rules() -> tuple[Rule, ...]:
    """Its rules: dead wood and nothing else."""
    return unidentified_group().rules
