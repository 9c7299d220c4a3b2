"""Readers of files from outside the database."""

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import yaml
from jsonschema import Draft202012Validator
from jsonschema.exceptions import best_match

from plants.care import RuleError, merge_layers, read_group

try:
    # Four times as fast; a PyYAML that was built without libyaml does not have it.
    from yaml import CSafeLoader as SafeLoader
except ImportError:  # pragma: no cover
    from yaml import SafeLoader  # type: ignore[assignment]

COMMON_PRACTICE = "common practice"
# How much a reading is worth, the best first.
READINGS = ("page read", "copy", "memory")
CREATURES = ("people", "dogs", "cats", "horses")
PLANT_NAMES = frozenset({"key", "botanical", "common", "synonyms", "rules"})
SCHEMA_FILE = Path(__file__).parent / "catalogue" / "schema.json"
TABLES_SCHEMA_FILE = SCHEMA_FILE.with_name("bloom-tables.schema.json")

Spot = tuple[str | int, ...]


class CatalogueError(ValueError):
    """Says, file by file and line by line, what is wrong with a catalogue."""

    def __init__(self, faults: list[str]) -> None:
        self.faults = faults
        super().__init__("\n".join(faults))


@dataclass(frozen=True)
class Catalogue:
    """What the catalogue files hold, by key, shared rules already put in place.

    A group is without its plants; a plant names its ``group`` and carries what
    differs from it under ``overrides``. BLOOM_TABLES are the regions' tables of bloom
    by degree days.
    """

    sources: Mapping[str, dict[str, Any]]
    groups: Mapping[str, dict[str, Any]]
    plants: Mapping[str, dict[str, Any]]
    bloom_tables: Mapping[str, dict[str, Any]] = field(default_factory=dict)


class PlainLoader(SafeLoader):
    """Loads YAML in which yes and no stay words and 13:00 stays a time of day."""


PlainLoader.yaml_implicit_resolvers = {
    first: [
        (tag, pattern)
        for tag, pattern in resolvers
        if tag.rpartition(":")[2] not in {"bool", "int", "float", "timestamp"}
    ]
    for first, resolvers in SafeLoader.yaml_implicit_resolvers.items()
}
for _name, _pattern, _firsts in (
    ("bool", r"^(?:true|false)$", "tf"),
    ("int", r"^-?(?:0|[1-9][0-9]*)$", "-0123456789"),
    ("float", r"^-?[0-9]+\.[0-9]+$", "-0123456789"),
):
    PlainLoader.add_implicit_resolver(
        f"tag:yaml.org,2002:{_name}", re.compile(_pattern), list(_firsts)
    )


@dataclass(frozen=True)
class Sheet:
    """One catalogue file: its name, its content, and the line of each entry."""

    name: str
    content: Any
    lines: Mapping[Spot, int]

    def fault(self, spot: Spot, reason: str) -> str:
        """Return the reason with the file and the nearest line above it."""
        while spot and spot not in self.lines:
            spot = spot[:-1]
        return f"{self.name}, line {self.lines.get(spot, 1)}: {reason}"


def read_catalogue(folder: Path) -> Catalogue:
    """Return the catalogue in a folder, or raise CatalogueError with every fault.

    The folder holds ``sources.yaml``, ``groups/*.yaml`` and, where groups share
    rules, ``shared.yaml``; ``bloom-tables.yaml`` holds the tables of regions with
    sources of their own.
    """
    faults: list[str] = []
    sources = read_sheet(folder, folder / "sources.yaml", "sources_file", faults)
    shared_file = folder / "shared.yaml"
    shared = (
        read_sheet(folder, shared_file, "shared_file", faults)
        if shared_file.exists()
        else Sheet("shared.yaml", {"rules": []}, {})
    )
    paths = sorted((folder / "groups").glob("*.yaml"))
    if not paths:
        faults.append("groups, line 1: there is no group file")
    groups = [read_sheet(folder, path, "group_file", faults) for path in paths]
    tables_file = folder / "bloom-tables.yaml"
    tables = (
        read_sheet(folder, tables_file, "", faults)
        if tables_file.exists()
        else Sheet("bloom-tables.yaml", {"sources": [], "tables": []}, {})
    )
    if faults:
        raise CatalogueError(faults)

    faults.extend(key_faults(sources, shared, groups))
    seen = {row["key"]: sources.name for row in sources.content["sources"]}
    faults.extend(repeated_keys(tables, "sources", "source", seen))
    faults.extend(repeated_keys(tables, "tables", "table", {}))
    if faults:
        raise CatalogueError(faults)
    by_source = {
        row["key"]: row
        for sheet in (sources, tables)
        for row in sheet.content["sources"]
    }
    for sheet in (shared, *groups, tables):
        faults.extend(source_faults(sheet, by_source))
    for sheet in groups:
        faults.extend(rule_faults(sheet, shared))
    if faults:
        raise CatalogueError(faults)
    by_table = {row["key"]: row for row in tables.content["tables"]}
    catalogue = assemble(by_source, shared, groups, by_table)
    faults.extend(table_faults(tables, catalogue))
    for sheet in groups:
        faults.extend(care_faults(sheet, catalogue))
    if faults:
        raise CatalogueError(faults)
    return catalogue


def read_sheet(folder: Path, path: Path, shape: str, faults: list[str]) -> Sheet:
    """Return a file as a sheet; what is wrong with its form is added to faults."""
    name = path.relative_to(folder).as_posix()
    lines: dict[Spot, int] = {}
    try:
        loader = PlainLoader(path.read_text(encoding="utf-8"))
        node = loader.get_single_node()
        if node is None:
            faults.append(f"{name}, line 1: the file is empty")
            return Sheet(name, None, lines)
        repeated = list(note_lines(node, (), lines))
        content = loader.construct_document(node)
    except FileNotFoundError:
        faults.append(f"{name}, line 1: the file is missing")
        return Sheet(name, None, lines)
    except UnicodeDecodeError:
        faults.append(f"{name}, line 1: the file is not UTF-8 text")
        return Sheet(name, None, lines)
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        reason = getattr(error, "problem", None) or "not readable as YAML"
        faults.append(f"{name}, line {mark.line + 1 if mark else 1}: {reason}")
        return Sheet(name, None, lines)
    sheet = Sheet(name, content, lines)
    faults.extend(
        f"{name}, line {line}: {key} stands twice in one entry"
        for key, line in repeated
    )
    faults.extend(shape_faults(sheet, shape))
    return sheet


def note_lines(
    node: yaml.Node, spot: Spot, lines: dict[Spot, int]
) -> Iterator[tuple[str, int]]:
    """Fill in the line of every entry and yield the keys that stand twice."""
    lines.setdefault(spot, node.start_mark.line + 1)
    if isinstance(node, yaml.MappingNode):
        seen: set[str] = set()
        for key, value in node.value:
            line = key.start_mark.line + 1
            if key.value in seen:
                yield str(key.value), line
            seen.add(key.value)
            lines[(*spot, key.value)] = line
            yield from note_lines(value, (*spot, key.value), lines)
    elif isinstance(node, yaml.SequenceNode):
        for place, value in enumerate(node.value):
            yield from note_lines(value, (*spot, place), lines)


@cache
def validator_of(shape: str) -> Draft202012Validator:
    """The schema's check of one shape of file; tables of regions have their own."""
    file = SCHEMA_FILE if shape else TABLES_SCHEMA_FILE
    schema = json.loads(file.read_text(encoding="utf-8"))
    if shape:
        schema["$ref"] = f"#/$defs/{shape}"
    return Draft202012Validator(schema)


def shape_faults(sheet: Sheet, shape: str) -> Iterator[str]:
    """Yield where a sheet departs from the schema."""
    for error in validator_of(shape).iter_errors(sheet.content):
        deepest = best_match([error]) or error
        spot = tuple(deepest.absolute_path)
        where = " > ".join(str(step) for step in spot) or "the file"
        yield sheet.fault(spot, f"{where}: {deepest.message[:200]}")


def key_faults(sources: Sheet, shared: Sheet, groups: list[Sheet]) -> Iterator[str]:
    """Yield the keys that two entries claim."""
    yield from repeated_keys(sources, "sources", "source", {})
    yield from repeated_keys(shared, "rules", "shared rule", {})
    groups_seen: dict[str, str] = {}
    plants_seen: dict[str, str] = {}
    for sheet in groups:
        key = sheet.content["key"]
        if key in groups_seen:
            yield sheet.fault(("key",), f"group {key} is already in {groups_seen[key]}")
        groups_seen.setdefault(key, sheet.name)
        yield from repeated_keys(sheet, "plants", "plant", plants_seen)
        taken = {rule: "its shared rules" for rule in sheet.content.get("shared", ())}
        yield from repeated_keys(sheet, "rules", "rule", taken)
        yield from repeated_keys(sheet, "closed", "closed season", {})


def repeated_keys(
    sheet: Sheet, part: str, word: str, seen: dict[str, str]
) -> Iterator[str]:
    """Yield the keys of a list that were seen before, and note the others."""
    for place, entry in enumerate(sheet.content[part]):
        key = entry["key"]
        if key in seen:
            yield sheet.fault(
                (part, place, "key"), f"{word} {key} is already in {seen[key]}"
            )
        seen.setdefault(key, sheet.name)


def source_faults(
    sheet: Sheet, by_source: Mapping[str, dict[str, Any]]
) -> Iterator[str]:
    """Yield where a sheet leans on a source that is not there or was not read so."""
    for spot, entry in entries(sheet.content, ()):
        instead = entry.get("source_instead")
        if isinstance(instead, str) and instead not in {*by_source, COMMON_PRACTICE}:
            yield sheet.fault(
                (*spot, "source_instead"), f"source {instead} is not in sources.yaml"
            )
        source = entry.get("source")
        if not isinstance(source, str):
            continue
        here = (*spot, "source")
        if source != COMMON_PRACTICE and source not in by_source:
            yield sheet.fault(here, f"source {source} is not in sources.yaml")
            continue
        read = by_source[source]["read"] if source in by_source else "memory"
        if "read" in entry and READINGS.index(entry["read"]) < READINGS.index(read):
            yield sheet.fault(
                here, f"source {source} is marked {read}, not {entry['read']}"
            )
        safe = [one for one in CREATURES if entry.get(one) == "not toxic"]
        if safe and read != "page read":
            yield sheet.fault(
                here,
                f"not toxic to {' and '.join(safe)} needs a page that was read; "
                f"{source} is marked {read}",
            )


def entries(value: object, spot: Spot) -> Iterator[tuple[Spot, dict[str, Any]]]:
    """Yield every mapping inside a value with its place."""
    if isinstance(value, dict):
        yield spot, value
        for key, inner in value.items():
            yield from entries(inner, (*spot, key))
    elif isinstance(value, list):
        for place, inner in enumerate(value):
            yield from entries(inner, (*spot, place))


def rule_faults(sheet: Sheet, shared: Sheet) -> Iterator[str]:
    """Yield the rules a group names and nobody wrote."""
    written = {rule["key"] for rule in shared.content["rules"]}
    named = sheet.content.get("shared", ())
    for place, key in enumerate(named):
        if key not in written:
            yield sheet.fault(("shared", place), f"there is no shared rule {key}")
    known = {rule["key"] for rule in sheet.content["rules"]} | set(named)
    for place, rule in enumerate(sheet.content["rules"]):
        follower = rule.get("follow_up", {}).get("rule")
        if follower is not None and follower not in known:
            yield sheet.fault(
                ("rules", place, "follow_up", "rule"),
                f"rule {rule['key']} is followed by {follower}, which is not here",
            )


def table_faults(sheet: Sheet, catalogue: Catalogue) -> Iterator[str]:
    """Yield where a region's table names what is not there, or contradicts itself."""
    for place, table in enumerate(sheet.content["tables"]):
        here: Spot = ("tables", place)
        if table["south"] >= table["north"] or table["west"] >= table["east"]:
            yield sheet.fault(here, f"the sides of {table['key']} are not in order")
        seen: set[str] = set()
        for number, row in enumerate(table["rows"]):
            spot = (*here, "rows", number)
            for word, known, keys in (
                ("group", catalogue.groups, [row["group"]] if "group" in row else []),
                ("plant", catalogue.plants, row.get("plants", [])),
            ):
                for key in keys:
                    if key not in known:
                        yield sheet.fault(spot, f"there is no {word} {key}")
                    elif f"{word} {key}" in seen:
                        yield sheet.fault(spot, f"{word} {key} stands twice")
                    seen.add(f"{word} {key}")
            if row.get("full", row["first"] + 1) <= row["first"]:
                yield sheet.fault(spot, "full bloom comes after the first flowers")


def care_faults(sheet: Sheet, catalogue: Catalogue) -> Iterator[str]:
    """Yield where the care of a group, or of one of its plants, contradicts itself."""
    group = catalogue.groups[sheet.content["key"]]
    try:
        read_group(group)
    except RuleError as error:
        for message in error.messages:
            yield sheet.fault(care_spot(sheet, message), message)
        return
    for place, plant in enumerate(sheet.content["plants"]):
        whole = catalogue.plants[plant["key"]]
        spec = {**group, **whole["overrides"]}
        try:
            if whole["rules"]:
                merge_layers(spec, plant={"rules": whole["rules"]})
            else:
                read_group(spec)
        except RuleError as error:
            for message in error.messages:
                yield sheet.fault(("plants", place), f"{plant['key']}: {message}")


def care_spot(sheet: Sheet, message: str) -> Spot:
    """Return the place of the rule or closed season that a message is about."""
    named = message.split(" / ")[1:2]
    for part in ("rules", "closed"):
        for place, entry in enumerate(sheet.content[part]):
            if [entry["key"]] == named:
                return (part, place)
    return ()


def assemble(
    by_source: Mapping[str, dict[str, Any]],
    shared: Sheet,
    sheets: list[Sheet],
    by_table: Mapping[str, dict[str, Any]],
) -> Catalogue:
    """Return the catalogue of sheets that have been found sound."""
    shared_rules = {rule["key"]: rule for rule in shared.content["rules"]}
    groups: dict[str, dict[str, Any]] = {}
    plants: dict[str, dict[str, Any]] = {}
    for sheet in sheets:
        group = {
            field: value
            for field, value in sheet.content.items()
            if field not in {"plants", "shared"}
        }
        group["rules"] = [
            *group["rules"],
            *(shared_rules[key] for key in sheet.content.get("shared", ())),
        ]
        groups[group["key"]] = group
        for plant in sheet.content["plants"]:
            plants[plant["key"]] = {
                "key": plant["key"],
                "group": group["key"],
                "botanical": plant["botanical"],
                "common": plant["common"],
                "synonyms": plant.get("synonyms", []),
                "overrides": {
                    field: value
                    for field, value in plant.items()
                    if field not in PLANT_NAMES
                },
                "rules": plant.get("rules", []),
            }
    return Catalogue(
        sources=by_source, groups=groups, plants=plants, bloom_tables=by_table
    )
