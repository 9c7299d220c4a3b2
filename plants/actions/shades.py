"""What shades a bed, placed on its sketch one thing at a time."""

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from firm.actions.record import SomebodyElseChangedIt, record
from firm.models import Person
from plants import sun
from plants.models import Bed, Shade
from plants.queries.sun import scene_of

MOST_SHADES = 26
"""As many as there are letters for them on the plan."""


class ShadeRefused(Exception):
    """This shade cannot stand there; the message says why."""


class ShadeGone(Exception):
    """The shade is not there any more."""

    def __init__(self) -> None:
        super().__init__(_("This is not there any more."))


@dataclass(frozen=True, kw_only=True)
class PlacedShade:
    """All that a shade's row holds but its bed."""

    kind: str
    side: str
    height_text: str
    height_m: Decimal
    distance_text: str
    distance_m: Decimal
    bearing_deg: int | None = None
    is_evergreen: bool = False
    length_text: str = ""
    length_m: Decimal | None = None
    offset_text: str = ""
    offset_m: Decimal | None = None
    spread_text: str = ""
    spread_m: Decimal | None = None
    trunk_text: str = ""
    trunk_m: Decimal | None = None
    in_leaf_percent: int | None = None
    bare_percent: int | None = None
    at_east_m: Decimal | None = None
    at_north_m: Decimal | None = None
    to_east_m: Decimal | None = None
    to_north_m: Decimal | None = None


@dataclass(frozen=True, kw_only=True)
class Placed:
    """The row of a shade that was placed, and what it held before, if anything."""

    row: int
    before: PlacedShade | None


@transaction.atomic
def place_shade(
    *,
    bed: Bed,
    version: int,
    details: PlacedShade,
    row: int | None,
    now: dt.datetime,
    by: Person,
) -> Placed:
    """The shade that stands now: a new one, or ROW changed.

    Refused where it cannot stand and when VERSION of the bed is no longer the last.
    """
    _take_turn(bed, version)
    shade = Shade(bed=bed, **vars(details))
    stood = bed.shades.filter(pk=row or 0).first()
    if row is not None and stood is None:
        raise ShadeGone
    before = details_of(stood) if stood else None
    others = bed.shades.exclude(pk=row or 0)
    if others.count() >= MOST_SHADES:
        raise ShadeRefused(_("A bed has at most %d shades.") % MOST_SHADES)
    try:
        scene_of(bed, [*others.order_by("id"), shade])
    except sun.SunError as error:
        raise ShadeRefused(str(error)) from None
    shade.pk = row
    shade.save(force_insert=row is None, force_update=row is not None)
    record(
        action="shade placed",
        subject=bed,
        summary=f"{shade.get_kind_display()} placed beside bed {bed.name}",
        now=now,
        by=by,
    )
    return Placed(row=shade.pk, before=before)


@transaction.atomic
def remove_shade(
    *, bed: Bed, version: int, row: int, now: dt.datetime, by: Person
) -> PlacedShade:
    """The details of the shade ROW, which is there no longer."""
    _take_turn(bed, version)
    shade = bed.shades.filter(pk=row).first()
    if shade is None:
        raise ShadeGone
    details = details_of(shade)
    shade.delete()
    record(
        action="shade removed",
        subject=bed,
        summary=f"{shade.get_kind_display()} beside bed {bed.name} removed",
        now=now,
        by=by,
    )
    return details


@transaction.atomic
def turn_bed(
    *,
    bed: Bed,
    version: int,
    facing: str,
    bearing_deg: int | None,
    now: dt.datetime,
    by: Person,
) -> Bed:
    """The bed that now looks another way; refused where a drawn wall would cut it."""
    _take_turn(bed, version)
    bed.facing, bed.bearing_deg = facing, bearing_deg
    try:
        scene_of(bed, list(bed.shades.order_by("id")))
    except sun.SunError as error:
        raise ShadeRefused(str(error)) from None
    bed.save(update_fields=["facing", "bearing_deg"])
    record(
        action="bed turned",
        subject=bed,
        summary=f"Bed {bed.name} turned on its sketch",
        now=now,
        by=by,
    )
    return bed


def _take_turn(bed: Bed, version: int) -> None:
    """Count the bed's version on, or refuse as somebody else did."""
    changed = Bed.objects.filter(pk=bed.pk, version=version).update(
        version=F("version") + 1
    )
    if changed != 1:
        raise SomebodyElseChangedIt


def details_of(shade: Shade) -> PlacedShade:
    """What the row of SHADE holds."""
    return PlacedShade(
        **{name: getattr(shade, name) for name in PlacedShade.__dataclass_fields__}
    )


def kept_words(details: PlacedShade) -> dict[str, Any]:
    """The details as they are kept in a session: decimals as text."""
    return {
        name: f"{value:f}" if isinstance(value, Decimal) else value
        for name, value in vars(details).items()
    }


def from_kept(words: dict[str, Any]) -> PlacedShade:
    """The details that KEPT_WORDS wrote."""
    values: dict[str, Any] = {
        name: Decimal(value) if name.endswith("_m") and value is not None else value
        for name, value in words.items()
    }
    return PlacedShade(**values)
