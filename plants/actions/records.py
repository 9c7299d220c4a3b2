"""Daily weather records: taken from a file, laid over those kept, and worked out."""

import datetime as dt
import zlib
from dataclasses import asdict, dataclass
from decimal import Decimal
from typing import Any

from django.db import IntegrityError, transaction

from firm.actions.record import record
from firm.models import Person
from plants.actions.climate_moves import climate_before, tell_of_new_figures
from plants.climate import Climate, ClimateError
from plants.climate.evapotranspiration import K_RS_COAST, K_RS_INLAND
from plants.climate.records import (
    Columns,
    ColumnsNeeded,
    DailyRecords,
    RecordError,
    Report,
    laid_over,
    period_of,
    read_records,
    records_of_years,
    station_figures,
)
from plants.enums import RecordFileState
from plants.models import RecordFile, RecordYear, Station, StationRecords

# A file whose mean over the year lies further from the typed climate's is doubted.
MOST_APART_C = 6.0


class RecordsRefused(Exception):
    """A file that no records are taken from; says why."""


class UnlikeTyped(RecordsRefused):
    """A file so unlike the typed climate that somebody has to be sure of it."""


class FileSettled(RecordsRefused):
    """The file was read or dropped already."""

    def __init__(self) -> None:
        super().__init__("This file was read or dropped already.")


@dataclass(frozen=True, kw_only=True)
class Place:
    """Name and position of a climate that records are to open."""

    name: str
    latitude: Decimal
    longitude: Decimal
    elevation_m: Decimal | None
    is_coastal: bool = False

    def as_json(self) -> dict[str, Any]:
        """The same as plain values."""
        kept = asdict(self)
        for key in ("latitude", "longitude", "elevation_m"):
            kept[key] = None if kept[key] is None else str(kept[key])
        return kept

    @classmethod
    def from_json(cls, kept: dict[str, Any]) -> "Place":
        """The place that was kept."""
        height = kept["elevation_m"]
        return cls(
            name=kept["name"],
            latitude=Decimal(kept["latitude"]),
            longitude=Decimal(kept["longitude"]),
            elevation_m=None if height is None else Decimal(height),
            is_coastal=kept["is_coastal"],
        )


@transaction.atomic
def upload_records(
    *,
    station: Station | None,
    file_name: str,
    content: bytes,
    by: Person,
    today: dt.date,
    now: dt.datetime,
    place: Place | None = None,
    is_sure: bool = False,
) -> RecordFile:
    """The file, read into STATION or into a new climate at PLACE.

    A table that does not name its columns and units is kept until somebody does; what
    is no weather file is refused and nothing of it is kept.
    """
    if place is not None and Station.objects.filter(name=place.name).exists():
        raise RecordsRefused(f"There is already a climate named {place.name}.")
    file = RecordFile(
        station=station,
        place=place.as_json() if place else None,
        file_name=file_name[:200],
        uploaded_by=by,
        uploaded_at=now,
    )
    try:
        records, report = read_records(content)
    except RecordError as error:
        raise RecordsRefused(str(error)) from error
    except ColumnsNeeded:
        file.content = zlib.compress(content, 1)
        file.save()
        record(
            action="records uploaded",
            subject=file,
            summary=f"{file.file_name} waits for its columns",
            now=now,
            by=by,
        )
        return file
    return _take(file, records, report, is_sure=is_sure, by=by, today=today, now=now)


@transaction.atomic
def name_columns(
    *,
    file_id: int,
    columns: Columns,
    is_sure: bool,
    by: Person,
    today: dt.date,
    now: dt.datetime,
) -> RecordFile:
    """The waiting file, read by the columns that somebody named."""
    file = (
        RecordFile.objects.select_for_update(of=("self",))
        .select_related("station")
        .get(pk=file_id)
    )
    if file.state != RecordFileState.WAITING or file.content is None:
        raise FileSettled
    try:
        records, report = read_records(zlib.decompress(file.content), columns=columns)
    except RecordError as error:
        raise RecordsRefused(str(error)) from error
    return _take(file, records, report, is_sure=is_sure, by=by, today=today, now=now)


@transaction.atomic
def drop_record_file(*, file_id: int, by: Person, now: dt.datetime) -> RecordFile:
    """The waiting file, dropped with its content."""
    dropped = RecordFile.objects.filter(
        pk=file_id, state=RecordFileState.WAITING
    ).update(state=RecordFileState.DROPPED, content=None)
    if dropped != 1:
        raise FileSettled
    file = RecordFile.objects.get(pk=file_id)
    record(
        action="records dropped",
        subject=file,
        summary=f"{file.file_name} was dropped",
        now=now,
        by=by,
    )
    return file


@dataclass(frozen=True, kw_only=True)
class Chosen:
    """What the records give, and what moved in planned work, in words."""

    kept: StationRecords
    said: tuple[str, ...]


@transaction.atomic
def choose_figures(
    *,
    station: Station,
    keeps_typed: bool,
    is_newest: bool,
    is_coastal: bool,
    by: Person,
    today: dt.date,
    now: dt.datetime,
) -> Chosen:
    """Which figures STATION works with, and how those of its records are computed."""
    kept = (
        StationRecords.objects.select_for_update(of=("self",))
        .select_related("station")
        .get(station=station)
    )
    before = climate_before(kept.station)
    kept.keeps_typed = keeps_typed
    kept.is_newest = is_newest
    kept.is_coastal = is_coastal
    work_out(kept, wants_records=not keeps_typed)
    in_use = "typed" if kept.station.is_typed else "recorded"
    if kept.station.is_typed != keeps_typed:
        raise RecordsRefused(
            "No figures were ever typed for this place."
            if keeps_typed
            else kept.why_not or "The records do not suffice for a climate yet."
        )
    record(
        action="figures chosen",
        subject=kept.station,
        summary=f"{kept.station.name}: the {in_use} figures are in use",
        now=now,
        by=by,
    )
    said = tell_of_new_figures(
        station=kept.station, before=before, today=today, now=now, by=by
    )
    return Chosen(kept=kept, said=said)


def _take(
    file: RecordFile,
    records: DailyRecords,
    report: Report,
    *,
    is_sure: bool,
    by: Person,
    today: dt.date,
    now: dt.datetime,
) -> RecordFile:
    """The file, its days laid over those kept, and the figures worked out anew.

    Planned work follows the figures; what moved stands in the report.
    """
    before = None
    if file.station is not None:
        before = climate_before(file.station)
        Station.objects.select_for_update().get(pk=file.station.pk)
        _doubt(file.station, records, is_sure=is_sure)
        station = file.station
    else:
        station = _open_climate(Place.from_json(file.place or {}), records)
    rows = dict(station.record_years.values_list("year", "days"))
    joined, change = laid_over(records_of_years(rows), records)
    years = joined.years()
    RecordYear.objects.bulk_create(
        [
            RecordYear(station=station, year=year, days=days)
            for year, days in years.items()
            if rows.get(year) != days
        ],
        update_conflicts=True,
        unique_fields=["station", "year"],
        update_fields=["days"],
    )
    kept, _is_new = StationRecords.objects.get_or_create(
        station=station,
        defaults={"is_coastal": (file.place or {}).get("is_coastal", False)},
    )
    kept.station = station
    work_out(kept, records=joined)
    file.station = station
    file.state = RecordFileState.READ
    file.content = None
    file.report = {**report.as_json(), "change": change._asdict()}
    if before is not None:
        file.report["moved"] = tell_of_new_figures(
            station=station, before=before, today=today, now=now, by=by
        )
    file.save()
    record(
        action="records read",
        subject=station,
        summary=(
            f"{station.name}: {file.file_name}, {change.new} new days, "
            f"{change.changed} changed"
        ),
        now=now,
        by=by,
    )
    return file


def _doubt(station: Station, records: DailyRecords, *, is_sure: bool) -> None:
    """Refuses a file far from the typed climate, unless somebody is sure of it."""
    if is_sure:
        return
    kept = StationRecords.objects.filter(station=station).first()
    typed = kept.typed if kept and kept.typed else station.figures
    try:
        found = station_figures(
            records, lat=float(station.latitude), period=period_of(records)
        )
    except RecordError:
        return
    here = (sum(found.tmin_c) + sum(found.tmax_c)) / 24
    there = (sum(typed["tmin_c"]) + sum(typed["tmax_c"])) / 24
    if abs(here - there) > MOST_APART_C:
        raise UnlikeTyped(
            f"The mean of the year is {here:.1f} °C in this file and {there:.1f} °C in "
            f"the climate of {station.name}. Is the unit right, and is it the file of "
            "this place? If it is, say so below and send the form again."
        )


def _open_climate(place: Place, records: DailyRecords) -> Station:
    """The new climate of a place, with the figures of its records."""
    try:
        found = station_figures(
            records,
            lat=float(place.latitude),
            elevation_m=None if place.elevation_m is None else float(place.elevation_m),
            k_rs=K_RS_COAST if place.is_coastal else K_RS_INLAND,
        )
        figures = found.climate_figures()
        Climate.from_figures(figures, lat=float(place.latitude))
    except (RecordError, ClimateError) as error:
        raise RecordsRefused(
            f"{error} Write the climate down by hand first, then add this file to it."
        ) from error
    if not found.is_enough or not found.has_rain:
        lack = (
            "holds no rain"
            if found.is_enough
            else f"has {found.good_years} good years, and ten are needed"
        )
        raise RecordsRefused(
            f"The record {lack}: too little for a climate of its own. Write the "
            "climate down by hand first, then add this file to it."
        )
    try:
        with transaction.atomic():
            return Station.objects.create(
                name=place.name,
                latitude=place.latitude,
                longitude=place.longitude,
                elevation_m=place.elevation_m,
                figures=figures,
                is_typed=False,
            )
    except IntegrityError as error:
        raise RecordsRefused(
            f"There is already a climate named {place.name}."
        ) from error


def work_out(
    kept: StationRecords,
    *,
    records: DailyRecords | None = None,
    wants_records: bool = False,
) -> None:
    """The figures of the records worked out anew, and put into use where they suffice.

    A full record comes into use by itself, unless the owner keeps the typed figures; a
    short one only where WANTS_RECORDS says so or nothing was typed.
    """
    station = kept.station
    if records is None:
        rows = dict(station.record_years.values_list("year", "days"))
        records = records_of_years(rows)
    figures: dict[str, Any] | None = None
    kept.why_not = ""
    try:
        if records is None:
            raise RecordError("There are no records.")
        height = station.elevation_m
        found = station_figures(
            records,
            lat=float(station.latitude),
            elevation_m=None if height is None else float(height),
            k_rs=K_RS_COAST if kept.is_coastal else K_RS_INLAND,
            period=period_of(records, newest=kept.is_newest),
        )
        figures = {**found.as_json(), "climate": found.climate_figures()}
        if not found.has_rain:
            # Rain of the typed climate stands in where the file has none.
            typed = kept.typed or station.figures
            figures["climate"]["rain_mm"] = typed["rain_mm"]
        Climate.from_figures(figures["climate"], lat=float(station.latitude))
        if not found.is_enough:
            kept.why_not = (
                f"The record has {found.good_years} good years; a climate to work with "
                "needs ten."
            )
    except (RecordError, ClimateError) as error:
        kept.why_not = str(error)
    kept.figures = figures
    _put_to_use(kept, wants_records=wants_records)
    kept.save()


def _put_to_use(kept: StationRecords, *, wants_records: bool) -> None:
    """The station with the figures it is to work with."""
    station, figures = kept.station, kept.figures
    suffices = figures is not None and not kept.why_not
    has_typed = station.is_typed or kept.typed is not None
    may = (
        suffices
        and figures is not None
        and (wants_records or not figures["is_short"] or not station.is_typed)
    )
    if figures is not None and may and not (kept.keeps_typed and has_typed):
        if station.is_typed:
            kept.typed = station.figures
        station.figures = figures["climate"]
        station.is_typed = False
    elif not station.is_typed and kept.typed is not None:
        station.figures = kept.typed
        station.is_typed = True
        kept.typed = None
    station.save(update_fields=["figures", "is_typed"])
