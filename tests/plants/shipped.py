"""The shipped catalogue, read once for every test that asks it."""

from functools import cache
from pathlib import Path

from plants import care
from plants.imports import Catalogue, read_catalogue

SHIPPED = Path(__file__).resolve().parents[2] / "plants" / "catalogue"


@cache
def catalogue() -> Catalogue:
    """What the shipped files say."""
    return read_catalogue(SHIPPED)


@cache
def groups() -> dict[str, care.Group]:
    """The shipped groups as the engine reads them, by key."""
    return {key: care.read_group(spec) for key, spec in catalogue().groups.items()}


@cache
def variants() -> dict[str, care.Group]:
    """The group as each plant has it that says something of its own, by plant."""
    found = {}
    for key, plant in catalogue().plants.items():
        if not plant["overrides"] and not plant.get("rules"):
            continue
        spec = {**catalogue().groups[plant["group"]], **plant["overrides"]}
        own = {"rules": plant.get("rules", [])}
        found[key] = care.merge_layers(spec, plant=own)
    return found
