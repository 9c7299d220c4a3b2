"""Files of the Global Historical Climatology Network, daily (GHCN-Daily, NOAA).

Fixed columns (.dly): station 1-11, year 12-15, month 16-17, element 18-21, then 31
times a value of five places and three flags, of which the second tells that a check of
quality failed. By-station csv: station, day, element, value, measurement flag, quality
flag, source flag, time of observation, without a heading. Temperatures are tenths of a
degree Celsius, rain is tenths of a millimetre, wind is tenths of m/s, humidity and the
share of possible sunshine are per cent, sunshine is minutes, -9999 is missing.
"""

import re
from datetime import date

from plants.climate.evapotranspiration import wind_at_2_m
from plants.climate.records.days import DailyRecords, Element
from plants.climate.records.sifting import Readings, RecordError, Report, sift

FORM_FIXED = "GHCN-Daily, fixed columns (.dly)"
FORM_CSV = "GHCN-Daily, csv by station"
UNITS: dict[Element, str] = {
    "tmax": "tenths of °C",
    "tmin": "tenths of °C",
    "rain": "tenths of mm",
    "wind": "tenths of m/s, taken as measured at 10 m",
    "humidity": "%",
    "humidity_max": "%",
    "humidity_min": "%",
    "sunshine": "min",
    "sun_share": "% of what is possible",
}
FLAGS = {
    "D": "the same as another day",
    "G": "a gap in the readings",
    "I": "at odds with the day's other readings",
    "K": "the same value too many days running",
    "L": "a sum of several days",
    "M": "far too large",
    "N": "a naught that should be missing",
    "O": "far from the usual",
    "R": "at odds with the hours before",
    "S": "at odds with the neighbouring stations",
    "T": "at odds with the days before and after",
    "W": "too warm for snow",
    "X": "out of bounds",
    "Z": "found wrong when it was looked through",
}
"""Quality flags of GHCN-Daily, in our own words."""

_ELEMENTS: dict[bytes, Element] = {
    b"TMAX": "tmax",
    b"TMIN": "tmin",
    b"PRCP": "rain",
    b"AWND": "wind",
    b"RHAV": "humidity",
    b"RHMX": "humidity_max",
    b"RHMN": "humidity_min",
    b"TSUN": "sunshine",
    b"PSUN": "sun_share",
}
WIND_HEIGHT_M = 10.0
"""Where wind is measured by the rule of the World Meteorological Organization (from
memory); the files do not say."""

# What turns a figure into the unit that is kept; others are kept as they are written.
_FACTORS: dict[Element, float] = {
    "wind": float(10 * wind_at_2_m(1.0, WIND_HEIGHT_M)),
    "humidity": 10,
    "humidity_max": 10,
    "humidity_min": 10,
    "sun_share": 10,
}
_MISSING = -9999
_FIXED = re.compile(rb"[A-Za-z0-9_-]{11}\d{6}[A-Z0-9]{4}[ \d-]{5}")
_CSV = re.compile(rb'"?[A-Za-z0-9_-]{11}"?,"?\d{8}"?,"?[A-Z0-9]{4}"?,"?\s*-?\d+"?(,|$)')


def is_fixed(line: bytes) -> bool:
    """Whether a line is one of the fixed columns."""
    return _FIXED.match(line) is not None


def is_csv(line: bytes) -> bool:
    """Whether a line is one of the csv by station."""
    return _CSV.match(line.strip()) is not None


def read_fixed(content: bytes) -> tuple[DailyRecords, Report]:
    """The record of a .dly file."""
    readings = Readings()
    stations: set[bytes] = set()
    for line in content.splitlines():
        element = _ELEMENTS.get(line[17:21])
        if element is None:
            readings.unread_lines += bool(line.strip()) and not is_fixed(line)
            continue
        readings.lines += 1
        stations.add(line[:11])
        if not _read_month(readings, element, line):
            readings.unread_lines += 1
    return sift(
        readings, form=FORM_FIXED, station_id=_one_station(stations), units=UNITS
    )


def _read_month(readings: Readings, element: Element, line: bytes) -> bool:
    """Whether the line could be read; its days are noted."""
    try:
        year, month = int(line[11:15]), int(line[15:17])
        first = date(year, month, 1).toordinal()
        length = date(year + month // 12, month % 12 + 1, 1).toordinal() - first
        values = [int(line[at : at + 5]) for at in range(21, 21 + 8 * length, 8)]
    except ValueError:
        return False
    factor = _FACTORS.get(element)
    for day, value in enumerate(values):
        if value == _MISSING:
            readings.marked_missing[element] += 1
            continue
        flag = line[27 + 8 * day : 28 + 8 * day].strip()
        if flag:
            readings.flagged[element][flag.decode("latin-1")] += 1
            continue
        kept = value if factor is None else round(value * factor)
        readings.add(element, first + day, kept)
    return True


def read_csv(content: bytes) -> tuple[DailyRecords, Report]:
    """The record of a by-station csv."""
    readings = Readings()
    stations: set[bytes] = set()
    ordinals: dict[bytes, int] = {}
    if b'"' in content[:200]:
        content = content.replace(b'"', b"")
    for line in content.splitlines():
        cells = line.split(b",")
        if len(cells) < 4:
            readings.unread_lines += bool(line.strip())
            continue
        readings.lines += 1
        element = _ELEMENTS.get(cells[2])
        if element is None:
            continue
        stations.add(cells[0])
        try:
            value = int(cells[3])
            day = ordinals.get(cells[1])
            if day is None:
                day = ordinals[cells[1]] = _ordinal(cells[1])
        except ValueError:
            readings.unread_lines += 1
            continue
        if value == _MISSING:
            readings.marked_missing[element] += 1
            continue
        flag = cells[5].strip() if len(cells) > 5 else b""
        if flag:
            readings.flagged[element][flag.decode("latin-1")] += 1
            continue
        factor = _FACTORS.get(element)
        readings.add(element, day, value if factor is None else round(value * factor))
    return sift(readings, form=FORM_CSV, station_id=_one_station(stations), units=UNITS)


def _ordinal(written: bytes) -> int:
    return date(int(written[:4]), int(written[4:6]), int(written[6:])).toordinal()


def _one_station(stations: set[bytes]) -> str:
    """The station's name in the network; a file of several is refused."""
    if len(stations) > 1:
        raise RecordError(
            f"This file holds the records of {len(stations)} stations. Give the file "
            "of one."
        )
    return next(iter(stations)).decode("latin-1") if stations else ""
