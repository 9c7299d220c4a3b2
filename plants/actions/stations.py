"""Typed climates."""

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import IntegrityError, transaction

from firm.actions.record import record
from firm.models import Person
from plants.actions.climate_moves import climate_before, tell_of_new_figures
from plants.actions.records import work_out
from plants.climate import Climate, ClimateError
from plants.models import BloomTable, Station, StationRecords


class StationRefused(Exception):
    """A climate that cannot be; says why. FIELD is where it was typed."""

    def __init__(self, message: str, *, field: str | None = None) -> None:
        self.field = field
        super().__init__(message)


@dataclass(frozen=True, kw_only=True)
class Written:
    """The climate that was written, and what moved in planned work, in words."""

    station: Station
    said: tuple[str, ...] = ()


@transaction.atomic
def write_station(
    *,
    name: str,
    latitude: Decimal,
    longitude: Decimal,
    elevation_m: Decimal | None,
    figures: dict[str, Any],
    today: dt.date,
    now: dt.datetime,
    by: Person,
    station: Station | None = None,
    bloom_table: BloomTable | None = None,
) -> Written:
    """The new station, or STATION with its new figures.

    Planned work follows new figures. While those of daily records are in use, the typed
    ones are kept beside them. BLOOM_TABLE is the region's table of bloom by degree
    days; a place outside of the region does not take it.
    """
    try:
        Climate.from_figures(figures, lat=float(latitude))
    except ClimateError as error:
        raise StationRefused(str(error)) from error
    if bloom_table is not None and not bloom_table.holds(
        latitude=latitude, longitude=longitude
    ):
        raise StationRefused(
            f"This place does not lie in {bloom_table.name}: its table holds between "
            f"{bloom_table.south:.1f} and {bloom_table.north:.1f} degrees north and "
            f"{bloom_table.west:.1f} and {bloom_table.east:.1f} degrees east.",
            field="bloom_table",
        )
    row = station or Station()
    before = climate_before(row) if station else None
    old_table = row.bloom_table_id
    row.name = name
    row.latitude = latitude
    row.longitude = longitude
    row.elevation_m = elevation_m
    kept = StationRecords.objects.filter(station=station).first() if station else None
    if kept is not None and not row.is_typed:
        kept.typed = figures
    else:
        row.figures = figures
        row.is_typed = True
    row.bloom_table = bloom_table
    try:
        with transaction.atomic():
            row.save()
    except IntegrityError as error:
        raise StationRefused(
            f"There is already a climate named {name}.", field="name"
        ) from error
    if kept is not None:
        # Frost and evapotranspiration hang on the position, which may have moved.
        kept.station = row
        work_out(kept)
    record(
        action="station changed" if station else "station written",
        subject=row,
        summary=f"Climate {name} {'changed' if station else 'written'}",
        now=now,
        by=by,
    )
    if before is None:
        return Written(station=row)
    said = tell_of_new_figures(
        station=row,
        before=before,
        has_other_blooms=old_table != row.bloom_table_id,
        today=today,
        now=now,
        by=by,
    )
    return Written(station=row, said=said)
