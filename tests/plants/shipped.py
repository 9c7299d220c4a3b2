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
