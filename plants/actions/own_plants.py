"""The firm's own groups, plants and sources: added, changed, retired, brought back."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeVar

from django.db import transaction
from django.db.models import F, Model
from django.utils.text import slugify

from firm.actions.record import SomebodyElseChangedIt, record
from firm.models import Person
from plants.enums import Layer
from plants.models import Group, Plant, PlantName, Source
from plants.queries.own import (
    MODELS,
    RULES,
    faults_of_group,
    faults_of_new_group,
    faults_of_plant,
    whole_lines,
)

Turned = TypeVar("Turned", Group, Plant)

SLUG_LENGTH = 60


class FactsRefused(Exception):
    """Facts that contradict the rules; MESSAGES are the engine's."""

    def __init__(self, messages: Sequence[str]) -> None:
        self.messages = list(messages)
        super().__init__("\n".join(messages))


class NotOurs(Exception):
    """What the shipped catalogue holds, or is already so, cannot be done to."""


@dataclass(frozen=True, kw_only=True)
class PlantDetails:
    """All that is written down about a plant; OVERRIDES differ from its group."""

    botanical: str
    common: str
    other_names: Sequence[str] = ()
    overrides: Mapping[str, Any] = field(default_factory=dict)


@transaction.atomic
def add_group(
    *,
    facts: Mapping[str, Any],
    like: Group | None = None,
    with_lines: bool = False,
    now: dt.datetime,
    by: Person,
) -> Group:
    """The new group of the firm, its key made from its name.

    WITH_LINES takes the rules and closed seasons of the group it is LIKE as they hold
    now; they keep their sources and are the firm's from then on.
    """
    key = _free_key(Group, facts["name"])
    said = {**facts, "key": key}
    lines = whole_lines(like) if like and with_lines else {}
    faults = faults_of_new_group(facts=said, lines=lines)
    if faults:
        raise FactsRefused(faults)
    group = Group.objects.create(
        key=key,
        name=said["name"],
        kind=said["kind"],
        layer=Layer.FIRM,
        facts=said,
    )
    sources = {source.key: source for source in Source.objects.all()}
    for part, specs in lines.items():
        for spec in specs:
            task = {"task": spec["task"]} if part == RULES else {}
            MODELS[part]._default_manager.create(
                group=group,
                layer=Layer.FIRM,
                key=spec["key"],
                spec=spec,
                source=sources.get(spec.get("source", "")),
                **task,
            )
    record(
        action="own group added",
        subject=group,
        summary=f"Group {group.name} added to the catalogue",
        now=now,
        by=by,
        details={"like": like.key if like else "", "facts": said},
    )
    return group


@transaction.atomic
def change_group(
    *,
    group: Group,
    version: int,
    facts: Mapping[str, Any],
    now: dt.datetime,
    by: Person,
) -> Group:
    """The firm's group with other FACTS, its rules and plants proved against them."""
    if group.layer != Layer.FIRM:
        raise NotOurs("The facts of a shipped group are not changed; add your own.")
    said = {**facts, "key": group.key}
    faults = faults_of_group(group=group, facts=said)
    if faults:
        raise FactsRefused(faults)
    changed = Group.objects.filter(
        pk=group.pk, version=version, layer=Layer.FIRM
    ).update(name=said["name"], kind=said["kind"], facts=said, version=F("version") + 1)
    if changed != 1:
        raise SomebodyElseChangedIt
    group.refresh_from_db()
    record(
        action="own group changed",
        subject=group,
        summary=f"Group {group.name} changed",
        now=now,
        by=by,
        details={"facts": said},
    )
    return group


@transaction.atomic
def add_plant(
    *, group: Group, details: PlantDetails, now: dt.datetime, by: Person
) -> Plant:
    """The new plant of the firm in a group, shipped or its own."""
    if not Group.objects.filter(pk=group.pk, retired_at=None).exists():
        raise NotOurs("This group is retired; bring it back or choose another.")
    _prove_plant(group, None, details)
    plant = Plant.objects.create(
        key=_free_key(Plant, details.botanical),
        group=group,
        botanical=details.botanical,
        common=details.common,
        layer=Layer.FIRM,
        overrides=dict(details.overrides),
    )
    _name(plant, details.other_names)
    record(
        action="own plant added",
        subject=plant,
        summary=f"{plant.common} added to {group.name}",
        now=now,
        by=by,
        details={"overrides": plant.overrides},
    )
    return plant


@transaction.atomic
def change_plant(
    *,
    plant: Plant,
    version: int,
    details: PlantDetails,
    now: dt.datetime,
    by: Person,
) -> Plant:
    """The firm's plant with other names and overrides."""
    if plant.layer != Layer.FIRM:
        raise NotOurs("A shipped plant is not changed; add your own beside it.")
    _prove_plant(plant.group, plant, details)
    changed = Plant.objects.filter(
        pk=plant.pk, version=version, layer=Layer.FIRM
    ).update(
        botanical=details.botanical,
        common=details.common,
        overrides=dict(details.overrides),
        version=F("version") + 1,
    )
    if changed != 1:
        raise SomebodyElseChangedIt
    PlantName.objects.filter(plant=plant).delete()
    _name(plant, details.other_names)
    plant.refresh_from_db()
    record(
        action="own plant changed",
        subject=plant,
        summary=f"{plant.common} changed",
        now=now,
        by=by,
        details={"overrides": plant.overrides},
    )
    return plant


@transaction.atomic
def retire_group(*, group: Group, now: dt.datetime, by: Person) -> Group:
    """The firm's group, no longer offered, and its plants with it."""
    if not Group.objects.filter(pk=group.pk, layer=Layer.FIRM, retired_at=None).update(
        retired_at=now, version=F("version") + 1
    ):
        raise NotOurs("Only a group of your own that is not retired can be retired.")
    Plant.objects.filter(group=group, layer=Layer.FIRM, retired_at=None).update(
        retired_at=now, version=F("version") + 1
    )
    return _turned(group, "group", "retired", now, by)


@transaction.atomic
def bring_group_back(*, group: Group, now: dt.datetime, by: Person) -> Group:
    """The firm's group, offered again, with the plants that were retired with it."""
    since = group.retired_at
    if not Group.objects.filter(
        pk=group.pk, layer=Layer.FIRM, retired_at__isnull=False
    ).update(retired_at=None, version=F("version") + 1):
        raise NotOurs("Only a group of your own that is retired can be brought back.")
    Plant.objects.filter(group=group, layer=Layer.FIRM, retired_at=since).update(
        retired_at=None, version=F("version") + 1
    )
    return _turned(group, "group", "brought back", now, by)


@transaction.atomic
def retire_plant(*, plant: Plant, now: dt.datetime, by: Person) -> Plant:
    """The firm's plant, no longer offered; plantings of it keep it."""
    if not Plant.objects.filter(pk=plant.pk, layer=Layer.FIRM, retired_at=None).update(
        retired_at=now, version=F("version") + 1
    ):
        raise NotOurs("Only a plant of your own that is not retired can be retired.")
    return _turned(plant, "plant", "retired", now, by)


@transaction.atomic
def bring_plant_back(*, plant: Plant, now: dt.datetime, by: Person) -> Plant:
    """The firm's plant, offered again."""
    if not Plant.objects.filter(
        pk=plant.pk,
        layer=Layer.FIRM,
        retired_at__isnull=False,
        group__retired_at=None,
    ).update(retired_at=None, version=F("version") + 1):
        raise NotOurs(
            "Only a retired plant of your own can be brought back, and its group first."
        )
    return _turned(plant, "plant", "brought back", now, by)


@transaction.atomic
def add_source(
    *,
    publisher: str,
    title: str,
    address: str,
    how_read: str,
    now: dt.datetime,
    by: Person,
) -> Source:
    """The new source that the firm names, found by the same words the second time."""
    source, made = Source.objects.get_or_create(
        publisher=publisher,
        title=title,
        address=address,
        how_read=how_read,
        defaults={"key": _free_key(Source, publisher, length=30)},
    )
    if made:
        record(
            action="own source added",
            subject=source,
            summary=f"Source {source} added ({how_read})"[:300],
            now=now,
            by=by,
        )
    return source


def _turned(row: Turned, word: str, what: str, now: dt.datetime, by: Person) -> Turned:
    row.refresh_from_db()
    record(
        action=f"own {word} {what}",
        subject=row,
        summary=f"{row} {what}",
        now=now,
        by=by,
    )
    return row


def _free_key(model: type[Model], words: str, *, length: int = SLUG_LENGTH) -> str:
    """A key made from WORDS that nothing has; none of the catalogue's begin so."""
    start = f"own-{slugify(words)[:length].strip('-') or 'unnamed'}"
    taken = set(
        model._default_manager.filter(key__startswith=start).values_list(
            "key", flat=True
        )
    )
    key, number = start, 2
    while key in taken:
        key, number = f"{start}-{number}", number + 1
    return key


def _prove_plant(group: Group, plant: Plant | None, details: PlantDetails) -> None:
    faults = faults_of_plant(group=group, plant=plant, overrides=details.overrides)
    if faults:
        raise FactsRefused(faults)


def _name(plant: Plant, names: Sequence[str]) -> None:
    PlantName.objects.bulk_create(
        PlantName(plant=plant, name=name, kind="common")
        for name in dict.fromkeys(names)
    )
