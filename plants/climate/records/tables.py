"""Plain csv with a heading: which column is what, in which unit, and its readings."""

import csv
import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from plants.climate.evapotranspiration import wind_at_2_m
from plants.climate.records.columns import (
    DATE,
    HUMIDITIES,
    RAIN_UNITS,
    Columns,
    Unit,
    columns_of,
)
from plants.climate.records.days import ELEMENTS, DailyRecords, Element
from plants.climate.records.sifting import Readings, RecordError, Report, sift

FORM = "csv with named columns"
# What turns a figure into tenths: factor, and what is taken off first.
_TENTHS: dict[Unit, tuple[float, float]] = {
    "°C": (10.0, 0.0),
    "°F": (50 / 9, 32.0),
    "tenths of °C": (1.0, 0.0),
    "mm": (10.0, 0.0),
    "in": (254.0, 0.0),
    "cm": (100.0, 0.0),
    "tenths of mm": (1.0, 0.0),
}
# What turns a figure into hundredths of m/s, minutes or tenths of a per cent.
_WIND = {"m/s": 100.0, "km/h": 100 / 3.6, "mph": 44.704, "knots": 185_200 / 3600}
_SUN = {"h": 60.0, "min": 1.0, "% of what is possible": 10.0}
_NOTHING = frozenset({"", "na", "n/a", "nan", "null", "none", "m", "-", "--", "."})
_MISSING_MARKS = frozenset({999.0, 999.9, 9999.0, 9999.9, 99999.0})
_OWN_UNIT = re.compile(r"(-?[0-9.,]+)\s*(°?\s*[CFcf]|mm|cm|in)\.?")
_SAMPLE_ROWS = 400
_SHOWN_ROWS = 5


class ColumnsNeeded(Exception):
    """A table of days whose columns or units somebody has to name.

    GUESS holds what the heading told, and units that would suit the figures.
    """

    def __init__(
        self, *, heads: Sequence[str], rows: Sequence[Sequence[str]], guess: Columns
    ) -> None:
        super().__init__("Say which column is what, and in which unit.")
        self.heads = tuple(heads)
        self.rows = tuple(tuple(row) for row in rows)
        self.guess = guess


def read_table(
    content: bytes, *, columns: Columns | None = None
) -> tuple[DailyRecords, Report]:
    """The record of a csv with a heading; ColumnsNeeded where it does not say all."""
    mark = _delimiter(content)
    rows = _rows(content, mark)
    heads = next(rows, [])
    sample = [row for _place, row in zip(range(_SAMPLE_ROWS), rows, strict=False)]
    if columns is None:
        columns = columns_of(heads, sample)
        if not columns.is_complete:
            _refuse_what_has_no_days(heads, sample)
            raise ColumnsNeeded(
                heads=heads,
                rows=sample[:_SHOWN_ROWS],
                guess=_with_likely_units(columns, sample, decimal_comma=mark != ","),
            )
    rows = _rows(content, mark)
    next(rows, None)
    readings = _read(rows, columns, decimal_comma=mark != ",")
    units: dict[Element, str] = {
        element: str(unit)
        for element in ELEMENTS
        if (unit := getattr(columns, f"{element}_unit")) is not None
    }
    for element, _place, _factor, words in _beside(columns):
        units[element] = words
    return sift(readings, form=FORM, station_id="", units=units)


def _rows(content: bytes, mark: str) -> Iterator[list[str]]:
    encoding = "utf-8-sig"
    try:
        content[:65536].decode(encoding, errors="strict")
    except UnicodeDecodeError as error:
        # The cut may fall inside a letter; only what lies before it tells.
        if error.start < min(len(content), 65536) - 4:
            encoding = "cp1252"
    text = io.TextIOWrapper(
        io.BytesIO(content), encoding=encoding, errors="replace", newline=""
    )
    try:
        yield from csv.reader(text, delimiter=mark)
    except csv.Error as error:
        raise RecordError(f"The file cannot be read as csv: {error}.") from None


def _delimiter(content: bytes) -> str:
    head = content[:4096].splitlines()[0].decode("utf-8", errors="replace")
    return max(",;\t", key=head.count)


def _refuse_what_has_no_days(
    heads: Sequence[str], sample: Sequence[Sequence[str]]
) -> None:
    """RecordError where nothing in the table could be days with two temperatures."""
    if not sample or len(heads) < 3:
        raise RecordError(
            "This is no file of daily weather: each line should hold a day, its "
            "highest and its lowest temperature."
        )
    dated = numbers = 0
    for place in range(len(heads)):
        cells = [row[place].strip() for row in sample if place < len(row)]
        cells = [cell for cell in cells if cell.lower() not in _NOTHING]
        if not cells:
            continue
        if sum(_looks_dated(cell) for cell in cells) > len(cells) / 2:
            dated += 1
        elif sum(_number(cell) is not None for cell in cells) > len(cells) / 2:
            numbers += 1
    if numbers < (2 if dated else 5):
        raise RecordError(
            "This is no file of daily weather: no columns with a day and two "
            "temperatures were found."
        )


def _looks_dated(cell: str) -> bool:
    return bool(DATE.match(cell) or re.fullmatch(r"[12]\d{7}", cell))


def _with_likely_units(
    columns: Columns, sample: Sequence[Sequence[str]], *, decimal_comma: bool
) -> Columns:
    """The columns with units that would suit the figures: something to start from."""

    def most(place: int | None) -> float | None:
        if place is None:
            return None
        cells = [row[place] for row in sample if place < len(row)]
        numbers = [
            abs(found)
            for cell in cells
            if (found := _number(cell)) is not None and abs(found) not in _MISSING_MARKS
        ]
        return max(numbers, default=None)

    def warmth(given: Unit | None, place: int | None) -> Unit | None:
        top = most(place)
        if given is not None or top is None:
            return given
        return "°C" if top < 48 else "°F" if top < 135 else "tenths of °C"

    return replace(
        columns,
        tmax_unit=warmth(columns.tmax_unit, columns.tmax),
        tmin_unit=warmth(columns.tmin_unit, columns.tmin)
        and warmth(columns.tmax_unit, columns.tmax),
    )


def _number(cell: str) -> float | None:
    try:
        return float(cell.replace(",", "."))
    except ValueError:
        return None


def _beside(columns: Columns) -> list[tuple[Element, int, float, str]]:
    """The columns of wind, humidity and sunshine: place, factor and unit in words."""
    found: list[tuple[Element, int, float, str]] = []
    if columns.wind is not None and columns.wind_unit is not None:
        factor = _WIND[columns.wind_unit] * float(
            wind_at_2_m(1.0, columns.wind_height_m)
        )
        words = f"{columns.wind_unit} at {columns.wind_height_m:g} m"
        found.append(("wind", columns.wind, factor, words))
    for key in HUMIDITIES:
        place = getattr(columns, key)
        if place is not None:
            found.append((key, place, 10.0, "%"))
    if columns.sunshine is not None and columns.sunshine_unit is not None:
        unit = columns.sunshine_unit
        element: Element = "sunshine" if unit in {"h", "min"} else "sun_share"
        found.append((element, columns.sunshine, _SUN[unit], unit))
    return found


def _read(
    rows: Iterator[list[str]], columns: Columns, *, decimal_comma: bool
) -> Readings:
    readings = Readings()
    places: list[tuple[Element, int, Unit]] = []
    for element in ELEMENTS:
        place = getattr(columns, element)
        if place is not None:
            places.append((element, place, getattr(columns, f"{element}_unit")))
    beside = _beside(columns)
    width = max([*columns.date, *(place for _element, place, _unit in places)])
    for row in rows:
        if not row or not any(row):
            continue
        readings.lines += 1
        day = _day(row, columns) if len(row) > width else None
        if day is None:
            readings.unread_lines += 1
            continue
        for element, place, unit in places:
            _read_cell(readings, element, day, row[place].strip(), unit, decimal_comma)
        for element, place, factor, _words in beside:
            cell = row[place].strip() if place < len(row) else ""
            _read_beside(readings, element, day, cell, factor)
    return readings


def _read_beside(
    readings: Readings, element: Element, day: int, cell: str, factor: float
) -> None:
    if cell.lower() in _NOTHING:
        readings.marked_missing[element] += 1
        return
    value = _number(cell.removesuffix("%"))
    if value is None or value != value or abs(value) > 1e6:
        readings.flagged[element]["unreadable"] += 1
    elif abs(value) in _MISSING_MARKS:
        readings.marked_missing[element] += 1
    else:
        readings.add(element, day, round(value * factor))


def _day(row: Sequence[str], columns: Columns) -> int | None:
    """The ordinal of a row's day; None where there is none."""
    try:
        if len(columns.date) == 3:
            year, month, day = (int(float(row[place])) for place in columns.date)
            return date(year, month, day).toordinal()
        cell = row[columns.date[0]].strip()
        if columns.date_order == "year first":
            try:
                return date.fromisoformat(cell[:10]).toordinal()
            except ValueError:
                pass
            if len(cell) == 8 and cell.isdigit():
                return date(int(cell[:4]), int(cell[4:6]), int(cell[6:])).toordinal()
        match = DATE.match(cell)
        if match is None:
            return None
        first, second, third = (int(part) for part in match.groups())
        if columns.date_order == "year first":
            return date(first, second, third).toordinal()
        # A year of two figures could be of either century.
        if len(match[3]) != 4:
            return None
        if columns.date_order == "day first":
            return date(third, second, first).toordinal()
        return date(third, first, second).toordinal()
    except (ValueError, OverflowError):
        return None


def _read_cell(
    readings: Readings,
    element: Element,
    day: int,
    cell: str,
    unit: Unit,
    decimal_comma: bool,
) -> None:
    if cell.lower() in _NOTHING:
        readings.marked_missing[element] += 1
        return
    try:
        value = float(cell)
    except ValueError:
        if element == "rain" and cell.lower() in {"t", "tr", "trace"}:
            # A trace is rain too little to be measured.
            readings.add(element, day, 0)
            return
        own = _OWN_UNIT.fullmatch(cell)
        written = own[1] if own else cell
        found = _number(written)
        if found is None:
            readings.flagged[element]["unreadable"] += 1
            return
        value = found
        if own is not None:
            unit = _unit_of(own[2])
            if (unit in RAIN_UNITS) != (element == "rain"):
                readings.flagged[element]["unreadable"] += 1
                return
            readings.own_units += 1
    if abs(value) in _MISSING_MARKS:
        readings.marked_missing[element] += 1
        return
    if value != value or abs(value) > 1e6:
        readings.flagged[element]["unreadable"] += 1
        return
    factor, offset = _TENTHS[unit]
    tenths = (value - offset) * factor
    readings.add(element, day, round(tenths))


def _unit_of(written: str) -> Unit:
    letters = written.lower().replace("°", "").strip()
    return {"c": "°C", "f": "°F", "mm": "mm", "cm": "cm", "in": "in"}[letters]  # type: ignore[return-value]
