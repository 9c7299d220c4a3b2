"""Whether the layers still agree when the firm changes a line or a fact."""

from collections.abc import Mapping, Sequence
from typing import Any

from plants import care
from plants.fit import AT_RISK
from plants.models import Group, Plant, Source
from plants.queries.care import layered_specs, layers_of
from plants.queries.own.lines import Target, as_laid, target_layers

READ = "page read"

Layers = dict[str, Any]


def with_line(
    layers: Mapping[str, Any],
    *,
    layer: str,
    part: str,
    key: str,
    line: Mapping[str, Any] | None,
) -> Layers:
    """The layers with the line KEY of a layer replaced, or taken out."""
    said = dict(layers.get(layer) or {})
    lines = [one for one in said.get(part, ()) if one.get("key") != key]
    if line is not None:
        lines.append({**line, "key": key})
    said[part] = lines
    return {**layers, layer: said}


def with_facts(layers: Mapping[str, Any], facts: Mapping[str, Any]) -> Layers:
    """The layers of a group with other facts."""
    kept = {part: layers["shipped"].get(part, []) for part in ("rules", "closed")}
    return {**layers, "shipped": {**facts, **kept}}


def faults_of_line(
    *, target: Target, part: str, key: str, line: Mapping[str, Any] | None
) -> list[str]:
    """What contradicts itself once the target says LINE instead, or no longer.

    A line of a group holds for all its plants: those that differ are proved too.
    """
    change: dict[str, Any] = {
        "layer": target.layer,
        "part": part,
        "key": key,
        "line": as_laid(target, part, key, line),
    }
    before = target_layers(target)
    found = new_faults(before, with_line(before, **change), spared=key)
    if found or target.plant is not None:
        return found
    for plant, layers in _that_differ(target.group):
        faults = new_faults(layers, with_line(layers, **change), spared=key)
        found.extend(f"{plant.common}: {fault}" for fault in faults)
    return found


def faults_of_new_group(
    *, facts: Mapping[str, Any], lines: Mapping[str, Any]
) -> list[str]:
    """What contradicts itself in a group of these FACTS and LINES."""
    found = harmless_faults(facts)
    try:
        care.merge_layers(facts, firm=lines)
    except care.RuleError as error:
        found.extend(error.messages)
    return found


def harmless_faults(facts: Mapping[str, Any]) -> list[str]:
    """*Not toxic* needs a page that is named and was itself read."""
    poison = facts.get("toxicity") or {}
    safe = [who for who in AT_RISK if poison.get(who) == "not toxic"]
    if not safe:
        return []
    source = Source.objects.filter(key=poison.get("source") or "").first()
    if source is not None and source.how_read == READ:
        return []
    return [
        f"{facts.get('key', '?')} / toxicity.source: not toxic to "
        f"{' and '.join(safe)} is said only with a page that is named and was read"
    ]


def faults_of_group(*, group: Group, facts: Mapping[str, Any]) -> list[str]:
    """What contradicts itself once the group has other FACTS; its plants are proved."""
    before = layers_of(group)
    found = harmless_faults(facts)
    found.extend(new_faults(before, with_facts(before, facts)))
    if found:
        return found
    for plant, layers in _that_differ(group):
        faults = new_faults(layers, with_facts(layers, facts))
        found.extend(f"{plant.common}: {fault}" for fault in faults)
    return found


def faults_of_plant(
    *, group: Group, plant: Plant | None, overrides: Mapping[str, Any]
) -> list[str]:
    """What contradicts itself once a plant of the group differs by OVERRIDES."""
    if plant is None:
        before = layers_of(group)
    else:
        before = layered_specs([plant])[plant.pk]
    found = harmless_faults({**group.facts, **overrides})
    found.extend(new_faults(before, {**before, "overrides": dict(overrides)}))
    return found


def new_faults(
    before: Mapping[str, Any], after: Mapping[str, Any], *, spared: str = ""
) -> list[str]:
    """The faults of AFTER, lines set apart that did not fit before either."""
    layers = dict(after)
    for left in care.fit_layers(**before).left_out:
        if left.part == "facts":
            overrides = layers.get("overrides") or {}
            if overrides.get(left.key) == (before.get("overrides") or {}).get(left.key):
                layers["overrides"] = {
                    name: value for name, value in overrides.items() if name != left.key
                }
        elif left.key != spared:
            layers = with_line(
                layers, layer=left.layer, part=left.part, key=left.key, line=None
            )
    overrides = layers.pop("overrides", None) or {}
    layers["shipped"] = {**layers["shipped"], **overrides}
    try:
        care.merge_layers(**layers)
    except care.RuleError as error:
        return error.messages
    return []


def _that_differ(group: Group) -> Sequence[tuple[Plant, Layers]]:
    """The plants of a group with facts or lines of their own, and their layers."""
    plants = list(group.plants.order_by("id"))
    for plant in plants:
        plant.group = group
    specs = layered_specs(plants)
    return [
        (plant, specs[plant.pk])
        for plant in plants
        if "overrides" in specs[plant.pk] or "plant" in specs[plant.pk]
    ]
