"""Typed climates."""

import datetime as dt
from decimal import Decimal
from typing import Any

from django.db import IntegrityError, transaction

from firm.actions.record import record
from firm.models import Person
from plants.climate import Climate, ClimateError
from plants.models import Station


class StationRefused(Exception):
    """A climate that cannot be; says why."""


@transaction.atomic
def write_station(
    *,
    name: str,
    latitude: Decimal,
    longitude: Decimal,
    elevation_m: Decimal | None,
    figures: dict[str, Any],
    now: dt.datetime,
    by: Person,
    station: Station | None = None,
) -> Station:
    """The new station, or STATION with its new figures."""
    try:
        Climate.from_figures(figures, lat=float(latitude))
    except ClimateError as error:
        raise StationRefused(str(error)) from error
    row = station or Station()
    row.name = name
    row.latitude = latitude
    row.longitude = longitude
    row.elevation_m = elevation_m
    row.figures = figures
    row.is_typed = True
    try:
        with transaction.atomic():
            row.save()
    except IntegrityError as error:
        raise StationRefused(f"There is already a climate named {name}.") from error
    record(
        action="station changed" if station else "station written",
        subject=row,
        summary=f"Climate {name} {'changed' if station else 'written'}",
        now=now,
        by=by,
    )
    return row
