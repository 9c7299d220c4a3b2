"""Addresses of the firm's own groups, plants and lines."""

from types import SimpleNamespace
from typing import Any

from plants.models import Rule
from tests.system.access_rows import Permission, Row

EDIT = Permission.EDIT_PLANTS

ROWS: dict[str, Row] = {
    "own": Row(EDIT),
    "own-source-new": Row(EDIT, post=200),
    "own-group-new": Row(EDIT, post=200),
    "own-plant-new": Row(EDIT, post=200),
    "own-group": Row(EDIT, post=200, sample="group"),
    "own-group-turn": Row(EDIT, get=None, post=302, sample="group turned"),
    "own-plant": Row(EDIT, post=200, sample="plant"),
    "own-plant-turn": Row(EDIT, get=None, post=302, sample="plant turned"),
    "own-line-new": Row(EDIT, post=200, sample="new line"),
    "own-line": Row(EDIT, post=200, sample="line"),
    "own-line-turn": Row(EDIT, get=None, post=302, sample="line turned"),
}


def samples(base: SimpleNamespace) -> dict[str, dict[str, Any]]:
    """A rule of a group, the same group and plant with what is done to them."""
    rule = Rule.objects.filter(group=base.plant.group, layer="firm").earliest("pk")
    line = {
        "of": "groups",
        "key": base.plant.group.key,
        "part": "rules",
        "line": rule.key,
    }
    return {
        "line": line,
        "line turned": {**line, "turn": "off"},
        "new line": {name: line[name] for name in ("of", "key", "part")},
        "group turned": {"key": base.plant.group.key, "turn": "retire"},
        "plant turned": {"key": base.plant.key, "turn": "retire"},
    }
