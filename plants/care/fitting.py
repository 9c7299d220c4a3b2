"""Layers that were sound when they were written, over a catalogue that has moved on.

A line of the firm is proved when it is written. A later catalogue may change the rule
under it; then the line is left out, and the group says which and why, so that no page
goes down and nothing is done that contradicts itself.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any, NamedTuple

from plants.care.group import Group, LeftOut, RuleError
from plants.care.layers import merge_layers, merged, written
from plants.care.read import Spec
from plants.care.vocabulary import CUTS

PARTS = ("rules", "closed")
FACTS = "facts"
WHOLE = "group"
UNREADABLE = (
    "Its rules contradict one another: only dead wood may be cut until they are put "
    "right."
)
GONE = "the shipped line that it changes is no longer there"


class _Line(NamedTuple):
    """A line that may be left out: a fact of a plant, or a line of firm or plant."""

    layer: str
    part: str
    key: str
    text: str


def fit_layers(
    shipped: Spec,
    *,
    overrides: Spec | None = None,
    firm: Spec | None = None,
    plant: Spec | None = None,
    garden: Spec | None = None,
    planting: Spec | None = None,
    local: Spec | None = None,
) -> Group:
    """The group of all layers without the stored lines that no longer fit.

    OVERRIDES are the facts in which a plant differs from its group. What is left out
    stands in the group's `left_out`; layers that fit give what merge_layers gives.
    """
    given = [local, shipped, overrides, firm, plant, garden, planting]
    return _fitted(written(given))


@lru_cache(maxsize=4096)
def _fitted(text: str) -> Group:
    local, shipped, overrides, firm, plant, garden, planting = json.loads(text)
    own = {"firm": firm, "plant": plant}
    lines = [
        _Line("plant", FACTS, name, json.dumps(value))
        for name, value in (overrides or {}).items()
    ]
    lines.extend(
        _Line(layer, part, str(line.get("key")), json.dumps(line))
        for layer, spec in own.items()
        for part in PARTS
        for line in (spec or {}).get(part) or ()
    )
    layers = _Layers(local, shipped, own, garden, planting)
    left: dict[_Line, list[str]] = {}
    try:
        return layers.merge(lines)
    except RuleError as error:
        kept = _without_named(layers, lines, error, left)
    if kept is None:
        left.clear()
        kept = _built_up(layers, lines, left)
    if kept is None:
        whole = _Line("shipped", WHOLE, str(shipped.get("key")), "{}")
        left = {line: [UNREADABLE] for line in (whole, *lines)}
        group = _dead_wood_only(shipped)
    else:
        group = layers.merge(kept)
    known = {(part, line["key"]) for part in PARTS for line in shipped.get(part) or ()}
    return replace(
        group,
        left_out=tuple(
            LeftOut(line.layer, line.part, line.key, _reasons(line, said, known))
            for line, said in left.items()
        ),
    )


class _Layers:
    """Puts chosen lines back into their layers."""

    def __init__(
        self,
        local: Spec | None,
        shipped: Mapping[str, Any],
        own: Mapping[str, Mapping[str, Any] | None],
        garden: Spec | None,
        planting: Spec | None,
    ) -> None:
        self._local, self._shipped, self._own = local, shipped, own
        self._nearest = [garden, planting]

    def merge(self, lines: Sequence[_Line]) -> Group:
        """The group of the lines, or RuleError."""
        facts = {
            line.key: json.loads(line.text) for line in lines if line.part == FACTS
        }
        given: list[Spec | None] = [self._local, {**self._shipped, **facts}]
        for layer, spec in self._own.items():
            chosen: dict[str, Any] = dict(spec or {})
            for part in chosen.keys() & set(PARTS):
                chosen[part] = [
                    json.loads(line.text)
                    for line in lines
                    if (line.layer, line.part) == (layer, part)
                ]
            given.append(None if spec is None else chosen)
        return merged(written([*given, *self._nearest]))


def _without_named(
    layers: _Layers,
    lines: Sequence[_Line],
    error: RuleError,
    left: dict[_Line, list[str]],
) -> list[_Line] | None:
    """The lines without those that the faults name; None where that does not help."""
    kept = list(lines)
    while True:
        named = _named(kept, error.messages)
        if not named:
            return None
        left.update(named)
        kept = [line for line in kept if line not in named]
        try:
            layers.merge(kept)
        except RuleError as more:
            error = more
        else:
            return kept


def _named(lines: Sequence[_Line], messages: Sequence[str]) -> dict[_Line, list[str]]:
    """The nearest line of each key that a fault is about, with its faults."""
    found: dict[_Line, list[str]] = {}
    for message in messages:
        where = message.split(": ", 1)[0].split(" / ")
        if len(where) < 3:
            continue
        about = [line for line in lines if line.key == where[1] and line.part != FACTS]
        if about:
            found.setdefault(about[-1], []).append(message)
    return found


def _built_up(
    layers: _Layers, lines: Sequence[_Line], left: dict[_Line, list[str]]
) -> list[_Line] | None:
    """The lines that fit, tried one after the other; None if not even none fit."""
    kept: list[_Line] = []
    try:
        layers.merge(kept)
    except RuleError:
        return None
    waiting = list(lines)
    while waiting:
        refused = []
        for line in waiting:
            try:
                layers.merge([*kept, line])
            except RuleError as error:
                left[line] = error.messages
                refused.append(line)
            else:
                kept.append(line)
                left.pop(line, None)
        # A line may need another that stands after it.
        if len(refused) == len(waiting):
            break
        waiting = refused
    return kept


def _reasons(
    line: _Line, said: Sequence[str], known: set[tuple[str, str]]
) -> tuple[str, ...]:
    """Why a line was left out, without the keys in front."""
    partial = line.part in PARTS and line.layer != "shipped"
    if partial and (line.part, line.key) not in known:
        needed = "task" if line.part == "rules" else "tasks"
        if needed not in json.loads(line.text):
            return (GONE,)
    return tuple(dict.fromkeys(said))


def _dead_wood_only(shipped: Mapping[str, Any]) -> Group:
    """A group whose own facts and rules cannot be read: nothing living is cut."""
    told = {
        "key": shipped.get("key"),
        "name": shipped.get("name"),
        "kind": "shrub",
        "evergreen": "semi",
        "buds": "alternate",
        "wood": "none",
        "bloom": None,
        "forbid": [{"key": "unreadable", "tasks": list(CUTS), "why": UNREADABLE}],
    }
    try:
        return merge_layers(told)
    except RuleError:
        bare = {**told, "key": "unreadable", "name": "Plant without readable rules"}
        return merge_layers(bare)
