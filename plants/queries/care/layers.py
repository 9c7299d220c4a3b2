"""The rules of each plant, the firm's laid over the shipped ones."""

import json
from collections import defaultdict
from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from django.db.models import Q, TextField
from django.db.models.functions import Cast

from plants import care
from plants.enums import Layer
from plants.models import (
    ClosedSeason,
    Group,
    Plant,
    Rule,
    Source,
    StandingInstruction,
    Station,
)
from plants.queries.care.local_bloom import local_blooms


def engine_groups(
    plants: Iterable[Plant], *, station: Station | None = None
) -> dict[int, care.Group]:
    """The merged group of each plant by its id, in two queries (groups selected).

    With STATION also with how bloom is known there, in four.
    """
    unique = {plant.pk: plant for plant in plants}
    specs = layered_specs(unique.values())
    if station is None:
        return {pk: care.fit_layers(**layers) for pk, layers in specs.items()}
    local = local_blooms([station])
    return {
        pk: care.fit_layers(**layers, local=local.of(station.pk, unique[pk]))
        for pk, layers in specs.items()
    }


def engine_group(plant: Plant, *, station: Station | None = None) -> care.Group:
    """The merged group of one plant."""
    return engine_groups([plant], station=station)[plant.pk]


def engine_group_of(group: Group, *, station: Station | None = None) -> care.Group:
    """The merged group of a group itself, without any plant's own lines."""
    local = (
        local_blooms([station]).of_whole_group(station.pk, group.pk)
        if station is not None
        else None
    )
    return care.fit_layers(**layers_of(group), local=local)


def layered_specs(plants: Iterable[Plant]) -> dict[int, dict[str, Any]]:
    """What each layer says about each plant, by the plant's id: shipped, firm, plant.

    A plant's own facts (overrides) replace those of its group in the lowest layer, as
    they are the same hand's; its own rules are a layer above the firm's of the group.
    """
    unique = {plant.pk: plant for plant in plants}
    groups = {plant.group_id for plant in unique.values()}
    of_group, of_plant = _lines_of(Q(group__in=groups) | Q(plant__in=unique))
    found: dict[int, dict[str, Any]] = {}
    for pk, plant in unique.items():
        layers = _group_layers(plant.group, of_group[plant.group_id])
        if plant.overrides:
            layers["overrides"] = plant.overrides
        if pk in of_plant:
            layers["plant"] = of_plant[pk].both()
        found[pk] = layers
    return found


def _lines_of(wanted: Q) -> tuple[dict[int, "_Lines"], dict[int, "_Lines"]]:
    """The lines that are wanted, by group and by plant.

    A garden of sixty asks for nearly a thousand lines, which are read as text and each
    taken apart once in the life of the process; nobody may change them.
    """
    of_group: dict[int, _Lines] = defaultdict(_Lines)
    of_plant: dict[int, _Lines] = defaultdict(_Lines)
    text = Cast("spec", TextField())
    for model in (Rule, ClosedSeason):
        rows = (
            model._default_manager.filter(wanted)
            .order_by("id")
            .values_list("group_id", "plant_id", "layer", text)
        )
        for group_id, plant_id, layer, spec in rows:
            lines = of_plant[plant_id] if plant_id else of_group[group_id or 0]
            part = lines.rules if model is Rule else lines.closed
            part[Layer(layer)].append(_line(spec))
    return of_group, of_plant


@lru_cache(maxsize=16384)
def _line(text: str) -> dict[str, Any]:
    line: dict[str, Any] = json.loads(text)
    return line


def layers_of(group: Group) -> dict[str, Any]:
    """What each layer says about the group itself: shipped, firm."""
    return layers_of_groups([group])[group.pk]


def layers_of_groups(groups: Iterable[Group]) -> dict[int, dict[str, Any]]:
    """What each layer says about each group itself, by its id, in two queries."""
    found = list(groups)
    lines = _lines_of(Q(group__in=[group.pk for group in found]))[0]
    return {group.pk: _group_layers(group, lines[group.pk]) for group in found}


def _group_layers(group: Group, lines: "_Lines") -> dict[str, Any]:
    """What the shipped catalogue and the firm say of a group."""
    layers: dict[str, Any] = {
        "shipped": {
            "kind": group.kind,
            **group.facts,
            "key": group.key,
            "name": group.name,
            **lines.spec(Layer.SHIPPED),
        }
    }
    if lines.has(Layer.FIRM):
        layers["firm"] = lines.spec(Layer.FIRM)
    return layers


class _Lines:
    """The rules and closed seasons of one group or plant by who wrote them."""

    def __init__(self) -> None:
        self.rules: dict[Layer, list[dict[str, Any]]] = defaultdict(list)
        self.closed: dict[Layer, list[dict[str, Any]]] = defaultdict(list)

    def has(self, layer: Layer) -> bool:
        """Whether LAYER says anything."""
        return bool(self.rules[layer] or self.closed[layer])

    def spec(self, layer: Layer) -> dict[str, Any]:
        """What LAYER says."""
        return {"rules": self.rules[layer], "closed": self.closed[layer]}

    def both(self) -> dict[str, Any]:
        """Both layers as one, the firm's lines over the shipped, field by field."""
        return {
            part: _both(lines[Layer.SHIPPED], lines[Layer.FIRM])
            for part, lines in (("rules", self.rules), ("closed", self.closed))
        }


def _both(
    shipped: Iterable[dict[str, Any]], firm: Iterable[dict[str, Any]]
) -> list[dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for line in (*shipped, *firm):
        key = str(line.get("key"))
        found[key] = {**found.get(key, {}), **line}
    return list(found.values())


def forbid_lines(instructions: Iterable[StandingInstruction]) -> list[dict[str, Any]]:
    """The tasks that instructions forbid, as lines of a layer."""
    return [
        {"tasks": list(one.forbids), "why": one.text}
        for one in instructions
        if one.forbids
    ]


def sources_by_key() -> dict[str, Source]:
    """Every source by its key, in one query; "common practice" is none of them."""
    return {source.key: source for source in Source.objects.order_by("key")}
