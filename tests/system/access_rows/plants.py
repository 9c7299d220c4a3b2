"""Addresses of plants."""

import datetime as dt
from types import SimpleNamespace
from typing import Any

from plants.models import ObservedBloom, StandingInstruction
from tests.factories import BedFactory, ShadeFactory
from tests.system.access_rows import Permission, Row

SEE = Permission.SEE_GARDENS
EDIT = Permission.EDIT_GARDENS

ROWS: dict[str, Row] = {
    "plants": Row(Permission.SEE_PLANTS),
    "plant-group": Row(Permission.SEE_PLANTS, sample="group"),
    "plant": Row(Permission.SEE_PLANTS, sample="plant"),
    "seen": Row(Permission.SEE_PLANTS),
    "seen-group": Row(Permission.SEE_PLANTS, sample="group in a climate"),
    "seen-correct": Row(
        Permission.EDIT_PLANTS, get=None, post=200, sample="group in a climate"
    ),
    "seen-take-back": Row(
        Permission.EDIT_PLANTS, get=None, post=302, sample="group in a climate"
    ),
    "stations": Row(SEE),
    "station-new": Row(EDIT, post=200),
    "station-change": Row(EDIT, post=200, sample="station"),
    "gardens": Row(SEE),
    "garden-new": Row(EDIT, post=200),
    "garden-bloom": Row(SEE, sample="garden"),
    "garden-year": Row(SEE, sample="garden"),
    "garden-change": Row(EDIT, post=200, sample="garden"),
    "instruction-new": Row(EDIT, post=200, sample="garden"),
    "instruction-end": Row(EDIT, get=None, post=302, sample="instruction"),
    "bed-new": Row(EDIT, post=200, sample="garden"),
    "bed-change": Row(EDIT, post=200, sample="bed"),
    "bed-sketch": Row(EDIT, post=200, sample="sketch"),
    "bed-sketch-undo": Row(EDIT, get=None, post=302, sample="sketch"),
    "bed-turn": Row(EDIT, get=None, post=200, sample="sketch"),
    "shade-remove": Row(
        EDIT, get=None, post=302, sample="shade", data={"version": "1"}
    ),
    "bed-fit": Row(SEE, sample="bed"),
    "bed-fit-plant": Row(SEE, sample="bed and plant"),
    "planting-new": Row(EDIT, post=200, sample="garden"),
    "planting": Row(SEE, sample="planting"),
    "planting-water": Row(SEE, sample="planting"),
    "planting-change": Row(EDIT, post=200, sample="planting"),
    "planting-state": Row(
        EDIT,
        get=None,
        post=302,
        sample="planting",
        data={"state": "struggling"},
    ),
    "planting-bloom": Row(EDIT, get=None, post=200, sample="planting"),
    "observation-forget": Row(EDIT, get=None, post=302, sample="observation"),
}


def samples(base: SimpleNamespace) -> dict[str, dict[str, Any]]:
    """An instruction, something seen, and a plant held against a bed."""
    instruction = StandingInstruction.objects.create(
        garden=base.garden, text="Never cut", given_on=dt.date(2020, 1, 1)
    )
    observed = ObservedBloom.objects.create(
        planting=base.planting, stage="first bloom", day=dt.date(2026, 6, 1)
    )
    shade = ShadeFactory(bed=BedFactory(garden=base.garden))
    return {
        "sketch": {"pk": shade.bed_id},
        "shade": {"pk": shade.bed_id, "row": shade.pk},
        "instruction": {"pk": instruction.pk},
        "observation": {"pk": observed.pk},
        "group in a climate": {
            "pk": base.garden.station_id,
            "key": base.plant.group.key,
        },
        "bed and plant": {"pk": base.bed.pk, "key": base.plant.key},
    }
