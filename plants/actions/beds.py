"""Beds: their measures and what shades them."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import F

from firm.actions.record import SomebodyElseChangedIt, record
from firm.models import Person
from plants.models import Bed, Garden, Shade

# What is forgotten of a shade whose place is given in numbers again.
NOWHERE_DRAWN: dict[str, None] = {
    "bearing_deg": None,
    "at_east_m": None,
    "at_north_m": None,
    "to_east_m": None,
    "to_north_m": None,
}


class BedNameTaken(Exception):
    """Another bed of the garden has this name."""

    def __init__(self) -> None:
        super().__init__("This garden already has a bed of that name.")


@dataclass(frozen=True, kw_only=True)
class Piece:
    """One rectangle of a bed that was measured as several."""

    length_text: str
    width_text: str
    length_m: Decimal
    width_m: Decimal

    def row(self) -> dict[str, str]:
        """The piece as it is kept: decimals as text, so that they stay exact."""
        return {
            "length_text": self.length_text,
            "width_text": self.width_text,
            "length_m": f"{self.length_m:f}",
            "width_m": f"{self.width_m:f}",
        }


@dataclass(frozen=True, kw_only=True)
class BedDetails:
    """All that is measured and seen at a bed."""

    name: str
    shape: str
    length_text: str = ""
    length_m: Decimal | None = None
    width_text: str = ""
    width_m: Decimal | None = None
    across_text: str = ""
    across_m: Decimal | None = None
    pieces: tuple[Piece, ...] = ()
    outline_text: str = ""
    corners: tuple[tuple[Decimal, Decimal], ...] = ()
    depth_text: str = ""
    depth_m: Decimal | None = None
    facing: str = ""
    light: str = ""
    latest_sun: dt.time | None = None
    texture: str = ""
    ph: Decimal | None = None
    ph_text: str = ""
    ph_low: Decimal | None = None
    ph_high: Decimal | None = None
    has_free_lime: bool = False
    is_lime_tested: bool = False
    moisture: str = ""
    is_irrigated: bool = False
    has_salt: bool | None = None
    is_windy: bool | None = None
    notes: str = ""

    def values(self) -> dict[str, Any]:
        """The details as columns of the row."""
        return {
            **vars(self),
            "pieces": [piece.row() for piece in self.pieces],
            "corners": [[f"{x:f}", f"{y:f}"] for x, y in self.corners],
        }


@dataclass(frozen=True, kw_only=True)
class ShadeDetails:
    """Something that keeps sun off a bed; ROW is the row it changes, if any."""

    kind: str
    side: str
    height_text: str
    height_m: Decimal
    distance_text: str
    distance_m: Decimal
    is_evergreen: bool = False
    row: int | None = None

    def values(self) -> dict[str, Any]:
        """The details as columns of the row."""
        return {name: value for name, value in vars(self).items() if name != "row"}


@transaction.atomic
def add_bed(
    *,
    garden: Garden,
    details: BedDetails,
    shades: Sequence[ShadeDetails] = (),
    now: dt.datetime,
    by: Person,
) -> Bed:
    """The new bed of GARDEN with its shades."""
    try:
        with transaction.atomic():
            bed = Bed.objects.create(garden=garden, **details.values())
    except IntegrityError as error:
        raise _named_or(error, garden=garden, name=details.name) from error
    Shade.objects.bulk_create(Shade(bed=bed, **shade.values()) for shade in shades)
    record(
        action="bed added",
        subject=bed,
        summary=f"Bed {bed.name} in {garden.name} added",
        now=now,
        by=by,
    )
    return bed


@transaction.atomic
def change_bed(
    *,
    bed: Bed,
    version: int,
    details: BedDetails,
    shades: Sequence[ShadeDetails],
    now: dt.datetime,
    by: Person,
) -> Bed:
    """The bed with its new DETAILS and exactly these SHADES.

    Refused when VERSION is no longer the last.
    """
    try:
        with transaction.atomic():
            changed = Bed.objects.filter(pk=bed.pk, version=version).update(
                version=F("version") + 1, **details.values()
            )
    except IntegrityError as error:
        raise _named_or(
            error, garden=bed.garden, name=details.name, pk=bed.pk
        ) from error
    if changed != 1:
        raise SomebodyElseChangedIt
    _write_shades(bed, shades)
    bed.refresh_from_db()
    record(
        action="bed changed",
        subject=bed,
        summary=f"Bed {bed.name} changed",
        now=now,
        by=by,
    )
    return bed


def _write_shades(bed: Bed, shades: Sequence[ShadeDetails]) -> None:
    """Let BED have exactly these shades; what the sketch knows of a row stays.

    A row whose side or distance was typed anew loses the place that was drawn for it.
    """
    kept = [shade.row for shade in shades if shade.row is not None]
    bed.shades.exclude(pk__in=kept).delete()
    for shade in shades:
        row = bed.shades.filter(pk=shade.row or 0)
        row.exclude(
            kind=shade.kind, side=shade.side, distance_m=shade.distance_m
        ).update(**NOWHERE_DRAWN)
        # A tree that was made lower than its clear trunk is measured again.
        row.filter(trunk_m__gte=shade.height_m).update(trunk_text="", trunk_m=None)
        if not row.update(**shade.values()):
            Shade.objects.create(bed=bed, **shade.values())


def _named_or(
    error: IntegrityError, *, garden: Garden, name: str, pk: int | None = None
) -> Exception:
    """BedNameTaken when that is what went wrong, else the database's own words."""
    if Bed.objects.filter(garden=garden, name=name).exclude(pk=pk or 0).exists():
        return BedNameTaken()
    return error
