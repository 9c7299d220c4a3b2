"""Taking the shipped catalogue over into the rows."""

import datetime as dt
import hashlib
import json
from collections.abc import Mapping, Sequence
from typing import Any, Protocol

from django.db import transaction
from django.db.models import Model

from firm.actions.record import record
from firm.models import Person
from plants import care
from plants.actions.bloom_tables import LoadReport, load_bloom_tables
from plants.enums import Layer
from plants.models import (
    CatalogueLoad,
    ClosedSeason,
    Group,
    Plant,
    PlantName,
    Rule,
    Source,
)
from plants.queries.own import misfits
from plants.queries.own.words import reason


class CatalogueRefused(Exception):
    """The catalogue contradicts itself; nothing of it was taken over."""

    def __init__(self, faults: Sequence[str]) -> None:
        self.faults = list(faults)
        super().__init__("\n".join(faults))


class CatalogueContent(Protocol):
    """What plants.imports.read_catalogue returns."""

    @property
    def sources(self) -> Mapping[str, dict[str, Any]]: ...

    @property
    def groups(self) -> Mapping[str, dict[str, Any]]: ...

    @property
    def plants(self) -> Mapping[str, dict[str, Any]]: ...

    @property
    def bloom_tables(self) -> Mapping[str, dict[str, Any]]: ...


@transaction.atomic
def load_catalogue(
    *, catalogue: CatalogueContent, now: dt.datetime, by: Person | None = None
) -> LoadReport:
    """What changed when the rows were made to say what CATALOGUE says.

    Rows that the firm wrote are never touched; what the catalogue no longer holds is
    retired, so that plantings of it keep their plant. A second load changes nothing.
    """
    refuse_contradictions(catalogue)
    report = LoadReport()
    sources = _load_sources(catalogue, report)
    groups = _load_groups(catalogue, now, report)
    plants = _load_plants(catalogue, groups, now, report)
    for model, part in ((Rule, "rules"), (ClosedSeason, "closed")):
        _load_lines(model, part, "group", groups, catalogue.groups, sources, report)
    _load_lines(Rule, "rules", "plant", plants, catalogue.plants, sources, report)
    load_bloom_tables(
        tables=catalogue.bloom_tables, sources=sources, now=now, report=report
    )
    report.unfit.extend(
        f"{misfit.name}: {misfit.left.key}: {reason(misfit.left.reasons[0])}"
        for misfit in misfits()
    )
    if report.changes:
        load = CatalogueLoad.objects.create(
            at=now,
            digest=digest_of(catalogue),
            report={
                "added": report.added,
                "changed": report.changed,
                "retired": report.retired,
                "kept": report.kept,
                "unfit": report.unfit,
            },
        )
        record(
            action="catalogue loaded",
            subject=load,
            summary=(
                f"Catalogue loaded: {len(report.added)} added, "
                f"{len(report.changed)} changed, {len(report.retired)} retired"
            ),
            now=now,
            by=by,
        )
    return report


def refuse_contradictions(catalogue: CatalogueContent) -> None:
    """Raise CatalogueRefused with every fault that the engine finds in a group.

    A plant is read as its group with what differs, as it will be used.
    """
    faults: list[str] = []
    for spec in catalogue.groups.values():
        faults.extend(_faults_of(spec))
    if not faults:
        for plant in catalogue.plants.values():
            own = plant.get("rules")
            if plant["overrides"] or own:
                spec = {**catalogue.groups[plant["group"]], **plant["overrides"]}
                faults.extend(
                    f"{plant['key']}: {fault}" for fault in _faults_of(spec, own)
                )
    if faults:
        raise CatalogueRefused(faults)


def digest_of(catalogue: CatalogueContent) -> str:
    """The SHA-256 of all that the catalogue says."""
    said = [
        catalogue.sources,
        catalogue.groups,
        catalogue.plants,
        catalogue.bloom_tables,
    ]
    text = json.dumps([dict(part) for part in said], sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()


def _faults_of(
    spec: Mapping[str, Any], own_rules: Sequence[Mapping[str, Any]] | None = None
) -> list[str]:
    try:
        if own_rules:
            care.merge_layers(spec, plant={"rules": own_rules})
        else:
            care.read_group(spec)
    except care.RuleError as error:
        return error.messages
    return []


def _differs(row: Model, values: Mapping[str, Any]) -> bool:
    """Set VALUES on ROW; True if any of them was different."""
    found = False
    for name, value in values.items():
        if getattr(row, name) != value:
            setattr(row, name, value)
            found = True
    return found


def _load_sources(catalogue: CatalogueContent, report: LoadReport) -> dict[str, Source]:
    rows = {row.key: row for row in Source.objects.all()}
    fields = ("publisher", "title", "address", "how_read")
    new, changed = [], []
    for key, source in catalogue.sources.items():
        values = {
            "publisher": source["publisher"],
            "title": source["title"],
            "address": source["address"],
            "how_read": source["read"],
        }
        if key not in rows:
            rows[key] = Source(key=key, **values)
            new.append(rows[key])
            report.added.append(f"source {key}")
        elif _differs(rows[key], values):
            changed.append(rows[key])
            report.changed.append(f"source {key}")
    Source.objects.bulk_create(new)
    Source.objects.bulk_update(changed, fields)
    return {row.key: row for row in Source.objects.all()}


def facts_of(spec: Mapping[str, Any]) -> dict[str, Any]:
    """A group's specification without its rules and closed seasons."""
    return {key: value for key, value in spec.items() if key not in {"rules", "closed"}}


def _load_groups(
    catalogue: CatalogueContent, now: dt.datetime, report: LoadReport
) -> dict[str, Group]:
    """The shipped groups by key; those of the firm are left out."""
    rows = {row.key: row for row in Group.objects.all()}
    new, changed = [], []
    for key, spec in catalogue.groups.items():
        values = {
            "name": spec["name"],
            "kind": spec["kind"],
            "facts": facts_of(spec),
            "retired_at": None,
        }
        row = rows.get(key)
        if row is None:
            new.append(Group(key=key, layer=Layer.SHIPPED, **values))
            report.added.append(f"group {key}")
        elif row.layer != Layer.SHIPPED:
            report.kept.append(f"group {key}")
        elif _differs(row, values):
            changed.append(row)
            report.changed.append(f"group {key}")
    for key, row in rows.items():
        if (
            key not in catalogue.groups
            and row.layer == Layer.SHIPPED
            and row.retired_at is None
        ):
            row.retired_at = now
            changed.append(row)
            report.retired.append(f"group {key}")
    Group.objects.bulk_create(new)
    Group.objects.bulk_update(changed, ["name", "kind", "facts", "retired_at"])
    return {
        row.key: row
        for row in Group.objects.filter(layer=Layer.SHIPPED, key__in=catalogue.groups)
    }


def _load_plants(
    catalogue: CatalogueContent,
    groups: Mapping[str, Group],
    now: dt.datetime,
    report: LoadReport,
) -> dict[str, Plant]:
    """The shipped plants by key; those of the firm are left out."""
    rows = {row.key: row for row in Plant.objects.all()}
    new, changed = [], []
    mine: set[str] = set()
    for key, plant in catalogue.plants.items():
        row = rows.get(key)
        if plant["group"] not in groups or (row and row.layer != Layer.SHIPPED):
            report.kept.append(f"plant {key}")
            continue
        mine.add(key)
        values = {
            "group_id": groups[plant["group"]].pk,
            "botanical": plant["botanical"],
            "common": plant["common"],
            "overrides": plant["overrides"],
            "retired_at": None,
        }
        if row is None:
            new.append(Plant(key=key, layer=Layer.SHIPPED, **values))
            report.added.append(f"plant {key}")
        elif _differs(row, values):
            changed.append(row)
            report.changed.append(f"plant {key}")
    for key, row in rows.items():
        if (
            key not in catalogue.plants
            and row.layer == Layer.SHIPPED
            and row.retired_at is None
        ):
            row.retired_at = now
            changed.append(row)
            report.retired.append(f"plant {key}")
    Plant.objects.bulk_create(new)
    Plant.objects.bulk_update(
        changed, ["group", "botanical", "common", "overrides", "retired_at"]
    )
    _load_names(catalogue, mine, report)
    return {row.key: row for row in Plant.objects.filter(key__in=mine)}


def _load_names(
    catalogue: CatalogueContent, mine: set[str], report: LoadReport
) -> None:
    plants = {row.key: row for row in Plant.objects.filter(key__in=mine)}
    rows = {
        (row.plant_id, row.name): row
        for row in PlantName.objects.filter(plant__in=plants.values(), kind="synonym")
    }
    wanted = {
        (plants[key].pk, name): key
        for key in sorted(mine)
        for name in catalogue.plants[key]["synonyms"]
    }
    new = [
        PlantName(plant_id=plant_pk, name=name, kind="synonym")
        for plant_pk, name in wanted
        if (plant_pk, name) not in rows
    ]
    old = [row for spot, row in rows.items() if spot not in wanted]
    PlantName.objects.bulk_create(new)
    PlantName.objects.filter(pk__in=[row.pk for row in old]).delete()
    report.added.extend(f"name {row.name}" for row in new)
    report.retired.extend(f"name {row.name}" for row in old)


def _load_lines(
    model: type[Rule] | type[ClosedSeason],
    part: str,
    owner: str,
    owners: Mapping[str, Group] | Mapping[str, Plant],
    said: Mapping[str, dict[str, Any]],
    sources: Mapping[str, Source],
    report: LoadReport,
) -> None:
    """Make the shipped rules or closed seasons say what the catalogue says.

    OWNER is whose they are, a "group" or a "plant"; SAID is what the catalogue holds
    of each. A line that is no longer there is deleted: nothing refers to it, as tasks
    copy their words when they are planned.
    """
    word = "rule" if model is Rule else "closed season"
    rows = {
        (getattr(row, f"{owner}_id"), row.key): row
        for row in model._default_manager.filter(
            **{"layer": Layer.SHIPPED, f"{owner}__isnull": False}
        )
    }
    new: list[Any] = []
    changed: list[Any] = []
    wanted: set[tuple[int, str]] = set()
    fields = ["spec", "source"]
    if model is Rule:
        fields.append("task")
    for key, whose in owners.items():
        for spec in said[key].get(part, ()):
            spot = (whose.pk, spec["key"])
            wanted.add(spot)
            source = sources.get(spec["source"])
            values: dict[str, Any] = {
                "spec": spec,
                "source_id": source.pk if source else None,
            }
            if model is Rule:
                values["task"] = spec["task"]
            row = rows.get(spot)
            if row is None:
                named = {owner: whose, "layer": Layer.SHIPPED, "key": spec["key"]}
                new.append(model(**named, **values))
                report.added.append(f"{word} {key}/{spec['key']}")
            elif _differs(row, values):
                changed.append(row)
                report.changed.append(f"{word} {key}/{spec['key']}")
    # What is retired keeps its lines for the plantings that are still there.
    loaded = {whose.pk for whose in owners.values()}
    gone = [
        row for spot, row in rows.items() if spot not in wanted and spot[0] in loaded
    ]
    model._default_manager.bulk_create(new)
    model._default_manager.bulk_update(changed, fields)
    model._default_manager.filter(pk__in=[row.pk for row in gone]).delete()
    report.retired.extend(f"{word} {row.key}" for row in gone)
