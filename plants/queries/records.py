"""Daily records of climates, the figures they give, and the files they came from."""

import datetime as dt
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from plants.climate import Climate
from plants.climate.records import (
    FLAGS,
    ColumnsNeeded,
    DailyRecords,
    RecordError,
    RecordMethod,
    YearTotals,
    degree_days_of_year,
    read_records,
    records_of_years,
)
from plants.enums import RecordFileState
from plants.models import RecordFile, RecordYear, Station, StationRecords
from plants.queries.care.climates import climate_of_station


def daily_records(
    *, station: Station, years: Iterable[int] | None = None
) -> DailyRecords | None:
    """The days recorded for STATION, of all years or of YEARS; None without any."""
    rows = RecordYear.objects.filter(station=station)
    if years is not None:
        rows = rows.filter(year__in=list(years))
    return records_of_years(dict(rows.order_by("year").values_list("year", "days")))


def year_totals(
    *, station: Station, year: int, method: RecordMethod = "average"
) -> YearTotals | None:
    """The running degree days of a growing year as recorded; None without records."""
    records = daily_records(station=station, years=(year, year + 1))
    if records is None:
        return None
    return degree_days_of_year(records, year, method, southern=station.latitude < 0)


@dataclass(frozen=True)
class RecordedWarmth:
    """The degree days of one year as recorded, and the mean of years after that."""

    totals: YearTotals
    climate: Climate

    def degree_days(self, day: dt.date) -> float:
        """Degree days (F, base 50) from the hemisphere's new year to the day, in it."""
        found = self.totals.on(day)
        return self.climate.degree_days(day) if found is None else found


def recorded_warmths(
    *, station: Station, climate: Climate, years: Iterable[int]
) -> dict[int, RecordedWarmth]:
    """The warmth of each growing year of which days are recorded, in one query."""
    wanted = set(years)
    # A southern growing year ends in the calendar year after.
    records = daily_records(
        station=station, years=wanted | {year + 1 for year in wanted}
    )
    if records is None:
        return {}
    found = {
        year: degree_days_of_year(records, year, southern=climate.southern)
        for year in sorted(wanted)
    }
    return {
        year: RecordedWarmth(totals, climate)
        for year, totals in found.items()
        if totals.totals
    }


def typed_figures(station: Station) -> dict[str, Any]:
    """The figures somebody typed, though those of the records may be in use."""
    kept = StationRecords.objects.filter(station=station).first()
    figures = kept.typed if kept and kept.typed else station.figures
    return dict(figures)


def records_of(*, station: Station) -> StationRecords | None:
    """What the records of STATION give; None before a file was read."""
    return StationRecords.objects.filter(station=station).first()


@dataclass(frozen=True, kw_only=True)
class StationPage:
    """One climate: the figures in use, and what its records give."""

    station: Station
    climate: Climate
    kept: StationRecords | None
    files: list[RecordFile]

    @property
    def figures(self) -> dict[str, Any] | None:
        """What the records give; None without records or with too few of them."""
        return self.kept.figures if self.kept else None


def station_page(*, pk: int) -> StationPage | None:
    """The page of a climate; None when it is not there."""
    station = (
        Station.objects.select_related("records", "bloom_table").filter(pk=pk).first()
    )
    if station is None:
        return None
    return StationPage(
        station=station,
        climate=climate_of_station(station),
        kept=getattr(station, "records", None),
        files=list(
            station.record_files.defer("content")
            .exclude(state=RecordFileState.DROPPED)
            .select_related("uploaded_by")
            .order_by("-uploaded_at", "-id")[:50]
        ),
    )


def record_file(*, pk: int) -> RecordFile | None:
    """One uploaded file with its climate."""
    return (
        RecordFile.objects.select_related("station", "uploaded_by")
        .filter(pk=pk)
        .first()
    )


def place_name(file: RecordFile) -> str:
    """The name of the climate that a file belongs to or is to open."""
    return file.station.name if file.station else str((file.place or {})["name"])


def waiting_files() -> list[RecordFile]:
    """Files that are to open a climate and still wait for their columns."""
    return list(
        RecordFile.objects.defer("content")
        .filter(station=None, state=RecordFileState.WAITING)
        .order_by("-uploaded_at", "-id")
    )


def columns_asked(file: RecordFile) -> ColumnsNeeded | None:
    """What a waiting file asks for; None when it does not wait."""
    if file.state != RecordFileState.WAITING or file.content is None:
        return None
    try:
        read_records(zlib.decompress(file.content))
    except ColumnsNeeded as asked:
        return asked
    except RecordError:
        return None
    return None


@dataclass(frozen=True, kw_only=True)
class ElementLine:
    """What became of one sort of reading of a file."""

    element: str
    kept: int
    missing: int
    impossible: int
    contradicting: int
    flagged: list[tuple[str, str, int]]


def report_lines(report: Mapping[str, Any]) -> list[ElementLine]:
    """The account of a file by sort of reading; a sort the file lacks is left out."""
    return [
        ElementLine(
            element=element,
            kept=report["kept"][element],
            missing=report["missing"][element],
            impossible=report["impossible"][element],
            contradicting=report["contradicting"][element],
            flagged=[
                (flag, FLAGS.get(flag, flag), count)
                for flag, count in report["flagged"].get(element, {}).items()
            ],
        )
        for element in report["kept"]
        if report["kept"][element] or element in {"tmax", "tmin"}
    ]
