"""What the columns of a table are, as its heading tells it or as somebody names it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, get_args

Unit = Literal["°C", "°F", "tenths of °C", "mm", "in", "cm", "tenths of mm"]
WindUnit = Literal["m/s", "km/h", "mph", "knots"]
SunUnit = Literal["h", "min", "% of what is possible"]
DateOrder = Literal["year first", "day first", "month first"]
UNITS: tuple[Unit, ...] = get_args(Unit)
WARMTH_UNITS: tuple[Unit, ...] = ("°C", "°F", "tenths of °C")
RAIN_UNITS: tuple[Unit, ...] = ("mm", "in", "cm", "tenths of mm")
DATE_ORDERS: tuple[DateOrder, ...] = get_args(DateOrder)
WIND_UNITS: tuple[WindUnit, ...] = get_args(WindUnit)
SUN_UNITS: tuple[SunUnit, ...] = get_args(SunUnit)
Humidity = Literal["humidity", "humidity_max", "humidity_min"]
HUMIDITIES: tuple[Humidity, ...] = get_args(Humidity)
WIND_HEIGHTS_M = (10.0, 2.0)
"""Where wind is measured: 10 m is the rule of weather services (from memory), 2 m that
of stations on farms."""

_NAMES = {
    "date": "date day time datum",
    "year": "year yr yyyy",
    "month": "month mon mm mo",
    "day": "day dd dy",
    "tmax": "tmax tx maxtemp maxt tempmax maximumtemperature maxtemperature temphigh "
    "hightemp temperaturemax temperaturemaximum highest high",
    "tmin": "tmin tn mintemp mint tempmin minimumtemperature mintemperature templow "
    "lowtemp temperaturemin temperatureminimum lowest low",
    "rain": "rain rainfall prcp precip precipitation ppt pr rainsum precipitationsum",
    "wind": "wind windspeed avgwind meanwind awnd wspd windavg windmean windspeedmean "
    "averagewind averagewindspeed meanwindspeed windspeedavg",
    "humidity": "humidity rh rhmean rhav rhavg meanrh avgrh humiditymean meanhumidity "
    "averagehumidity relativehumidity meanrelativehumidity relativehumiditymean",
    "humidity_max": "rhmax rhmx maxrh humiditymax maxhumidity maximumhumidity "
    "maximumrelativehumidity relativehumiditymax relativehumiditymaximum",
    "humidity_min": "rhmin rhmn minrh humiditymin minhumidity minimumhumidity "
    "minimumrelativehumidity relativehumiditymin relativehumidityminimum",
    "sunshine": "sunshine sunshineduration sunhours sunshinetotal tsun psun "
    "possiblesunshine sunshineshare",
}
_AIR = ("wind", *HUMIDITIES, "sunshine")
_HEADS = {name: key for key, names in _NAMES.items() for name in names.split()}
_UNIT_WORDS: tuple[tuple[str, Unit], ...] = (
    (r"°\s*f\b|\bdeg\w*\s*f\b|\bfahrenheit\b|\bf$", "°F"),
    (r"°\s*c\b|\bdeg\w*\s*c\b|\bcelsius\b|\bc$", "°C"),
    (r"\bmm\b|\bmillimet", "mm"),
    (r"\bcm\b|\bcentimet", "cm"),
    (r"\bin\b|\binch(es)?\b", "in"),
)
_AIR_WORDS: tuple[tuple[str, WindUnit | SunUnit], ...] = (
    (r"\bkm\s*/?\s*h\b|\bkmh\b|\bkph\b", "km/h"),
    (r"\bm\s*/\s*s\b|\bm\s*s-1\b|\bmps\b", "m/s"),
    (r"\bmph\b|\bmi\s*/\s*h\b", "mph"),
    (r"\bknots?\b|\bkn\b|\bkts?\b", "knots"),
    (r"%|\bper\s?cent\b|\bpct\b", "% of what is possible"),
    (r"\bminutes\b", "min"),
    (r"\bh\b|\bhours?\b|\bhrs?\b", "h"),
)
DATE = re.compile(r"(\d{1,4})[-/. ](\d{1,2})[-/. ](\d{1,4})")


@dataclass(frozen=True, kw_only=True)
class Columns:
    """Where the figures of a table stand, and in which units they are written.

    The date is in one column, or in three: year, month, day. Humidities are per cent;
    wind is measured WIND_HEIGHT_M over the ground.
    """

    date: tuple[int, ...] = ()
    tmax: int | None = None
    tmin: int | None = None
    rain: int | None = None
    tmax_unit: Unit | None = None
    tmin_unit: Unit | None = None
    rain_unit: Unit | None = None
    date_order: DateOrder | None = None
    wind: int | None = None
    wind_unit: WindUnit | None = None
    wind_height_m: float = WIND_HEIGHTS_M[0]
    humidity: int | None = None
    humidity_max: int | None = None
    humidity_min: int | None = None
    sunshine: int | None = None
    sunshine_unit: SunUnit | None = None

    @property
    def is_complete(self) -> bool:
        """Whether a table can be read by these."""
        return (
            bool(self.date)
            and self.tmax is not None
            and self.tmin is not None
            and self.tmax_unit is not None
            and self.tmin_unit is not None
            and (self.rain is None or self.rain_unit is not None)
            and (self.wind is None or self.wind_unit is not None)
            and (self.sunshine is None or self.sunshine_unit is not None)
            and (len(self.date) == 3 or self.date_order is not None)
        )


def columns_of(heads: Sequence[str], sample: Sequence[Sequence[str]]) -> Columns:
    """What the heading says by itself."""
    found: dict[str, int] = {}
    units: dict[str, Unit] = {}
    air: dict[str, WindUnit | SunUnit] = {}
    for place, head in enumerate(heads):
        bare, unit = _head_and_unit(head)
        key = _HEADS.get(bare)
        if key is None or key in _AIR:
            bare, air_unit = _air_head(head)
            key = _HEADS.get(bare)
            if key is not None and air_unit is not None and key not in found:
                air[key] = air_unit
        if key is None or key in found:
            continue
        found[key] = place
        if unit is not None:
            units[key] = unit
    if "date" in found:
        days: tuple[int, ...] = (found["date"],)
    elif {"year", "month", "day"} <= found.keys():
        days = (found["year"], found["month"], found["day"])
    elif "day" in found and not {"year", "month"} & found.keys():
        days = (found["day"],)
    else:
        days = ()
    warmth = {key: units.get(key) for key in ("tmax", "tmin")}
    return Columns(
        date=days,
        tmax=found.get("tmax"),
        tmin=found.get("tmin"),
        rain=found.get("rain"),
        tmax_unit=warmth["tmax"] if warmth["tmax"] in WARMTH_UNITS else None,
        tmin_unit=warmth["tmin"] if warmth["tmin"] in WARMTH_UNITS else None,
        rain_unit=units["rain"] if units.get("rain") in RAIN_UNITS else None,
        date_order=_order_of(sample, days[0]) if len(days) == 1 else None,
        wind=found.get("wind"),
        wind_unit=next((one for one in WIND_UNITS if one == air.get("wind")), None),
        humidity=found.get("humidity"),
        humidity_max=found.get("humidity_max"),
        humidity_min=found.get("humidity_min"),
        sunshine=found.get("sunshine"),
        sunshine_unit=next(
            (one for one in SUN_UNITS if one == air.get("sunshine")), None
        ),
    )


def _air_head(head: str) -> tuple[str, WindUnit | SunUnit | None]:
    """The bare name in a heading of wind, humidity or sunshine, and its unit."""
    words = re.sub(r"[\[\](){}_,:]+", " ", head.strip().lower()).strip()
    for pattern, unit in _AIR_WORDS:
        stripped = re.sub(pattern, " ", words).strip()
        if stripped and stripped != words:
            return re.sub(r"[^a-z]+", "", stripped), unit
    return re.sub(r"[^a-z]+", "", words), None


def _head_and_unit(head: str) -> tuple[str, Unit | None]:
    """The bare name in a heading, and the unit it carries."""
    words = re.sub(r"[\[\](){}_/,:]+", " ", head.strip().lower())
    for pattern, unit in _UNIT_WORDS:
        stripped = re.sub(pattern, " ", words.strip())
        if stripped.strip() and stripped.strip() != words.strip():
            return re.sub(r"[^a-z]+", "", stripped), unit
    return re.sub(r"[^a-z]+", "", words), None


def _order_of(sample: Sequence[Sequence[str]], place: int) -> DateOrder | None:
    """In which order dates are written; None where the sample leaves it open."""
    firsts, seconds = [], []
    for row in sample:
        cell = row[place].strip() if place < len(row) else ""
        if re.fullmatch(r"\d{8}", cell):
            return "year first"
        match = DATE.match(cell)
        if match is None:
            continue
        if len(match[1]) == 4:
            return "year first"
        if "." in cell:
            # Points between the parts are written where the day comes first.
            return "day first"
        firsts.append(int(match[1]))
        seconds.append(int(match[2]))
    if firsts and max(firsts) > 12:
        return "day first"
    if seconds and max(seconds) > 12:
        return "month first"
    return None
