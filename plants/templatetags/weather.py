"""A climate's figures in the firm's units, and its two pictures."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import template
from django.utils.dateformat import format as date_format
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from firm.units import Display, fahrenheit
from plants import drawings
from plants.climate import Climate
from plants.climate.evapotranspiration import K_RS_INLAND
from plants.climate.monthly import month_evaporation_mm, month_hargreaves_mm
from plants.climate.records import (
    MEASURED,
    METHOD_WORDS,
    THRESHOLDS_F,
    RecordMethod,
    autumn_risk,
    month_day_of,
    spring_risk,
)
from plants.templatetags.care import day_of_year

register = template.Library()

MM_OF_INCH = Decimal("25.4")
# Days on either side of the first and the last frost that a curve shows.
AIR_DAYS = 4
METHOD_NAMES = {
    "average": "average",
    "modified": "modified",
    "capped": "50 to 86",
    "sine": "sine",
}
ELEMENT_NAMES = {
    "tmax": "highest",
    "tmin": "lowest",
    "rain": "rain",
    "wind": "wind",
    "humidity": "mean humidity",
    "humidity_max": "highest humidity",
    "humidity_min": "lowest humidity",
    "sunshine": "sunshine",
    "sun_share": "share of sunshine",
}

AIR_NAMES = {"wind": "wind", "humidity": "humidity", "sunshine": "sunshine"}


def _display(firm: Any) -> Display:
    return Display(str(getattr(firm, "units", firm)))


def _held(text: str) -> str:
    """A figure and its unit that stay on one line."""
    return text.replace(" ", "\u00a0")


def _warmth(degrees: float, display: Display) -> float:
    exact = Decimal(str(degrees))
    return float(fahrenheit(exact) if display.system == "us" else exact)


def _rain(millimetres: float, display: Display) -> float:
    exact = Decimal(str(millimetres))
    return float(exact / MM_OF_INCH if display.system == "us" else exact)


@register.filter
def warmth_fine(degrees: Any, firm: Any) -> str:
    """A temperature to a tenth: 27.4 °F."""
    if degrees is None:
        return "–"
    return _held(_display(firm).temperature(Decimal(str(degrees)), places=1))


@register.filter
def rain_mm(millimetres: Any, firm: Any) -> str:
    """An amount of water: 3.62 in, 92 mm."""
    if millimetres is None:
        return "–"
    display = _display(firm)
    exact = Decimal(str(millimetres))
    if display.system == "us":
        return _held(display.measure(exact / MM_OF_INCH, "in", places=2))
    return _held(display.measure(exact, "mm", places=0))


@register.filter
def degree_days(total: Any, firm: Any) -> str:
    """A total of degree days in the firm's degrees, the base of 50 °F kept."""
    exact = Decimal(str(total))
    display = _display(firm)
    if display.system == "us":
        return display.figure(exact, places=0)
    return display.figure(exact * 5 / 9, places=0)


@register.filter
def threshold(warmth_f: Any, firm: Any) -> str:
    """The warmth a frost date is read at: 32 °F, 0.0 °C."""
    if _display(firm).system == "us":
        return f"{warmth_f}\u00a0°F"
    return f"{(int(warmth_f) - 32) * 5 / 9:.1f}\u00a0°C"


@register.filter
def method_name(method: str) -> str:
    """How degree days were counted, in two words."""
    return gettext(METHOD_NAMES[method])


@register.filter
def method_words(method: RecordMethod) -> str:
    """How degree days were counted, in a sentence."""
    return gettext(METHOD_WORDS[method])


@register.filter
def short_day(pair: list[int] | None) -> str:
    """The [month, day] of a frost date, short: 22 Apr."""
    if not pair:
        return gettext("no frost")
    return _held(date_format(dt.date(2001, pair[0], pair[1]), "j M"))


@register.filter
def element_name(element: str) -> str:
    """A sort of reading: highest, lowest, rain."""
    return gettext(ELEMENT_NAMES[element])


@register.filter
def day_of_record(text: str) -> str:
    """A day that was kept as text: 17 January 1982."""
    return date_format(dt.date.fromisoformat(text), "j F Y")


@register.filter
def year_sum(values: Sequence[float]) -> float:
    """The sum of twelve months."""
    return sum(values)


@register.simple_tag
def month_rows(climate: Climate) -> list[Any]:
    """Twelve rows: month, mean low, mean high, rain."""
    return [
        (
            dt.date(2001, month + 1, 1),
            climate.tmin_c[month],
            climate.tmax_c[month],
            climate.rain_mm[month],
        )
        for month in range(12)
    ]


@dataclass(frozen=True, kw_only=True)
class EvaporationTable:
    """Reference evapotranspiration by month, in three ways, and what they rest on.

    MEASURED names what of wind, humidity and sunshine is known; without any its column
    is left out. LACKS names what of them is taken as in the reduced set.
    """

    rows: list[tuple[dt.date, float | None, float, float]]
    sums: tuple[float | None, float, float]
    measured: list[str]
    lacks: list[str]
    k_rs: float
    is_high: bool


@register.simple_tag
def evaporation_table(
    climate: Climate, figures: Mapping[str, Any] | None, elevation_m: Any
) -> EvaporationTable:
    """Evapotranspiration of the records, or of the typed months."""
    eto = (figures or {}).get("eto")
    months: tuple[Sequence[float] | None, Sequence[float], Sequence[float]]
    if eto:
        months = (eto.get("measured_mm"), eto["reduced_mm"], eto["hargreaves_mm"])
        known = eto.get("measured") or []
    else:
        given = {"tmin_c": climate.tmin_c, "tmax_c": climate.tmax_c}
        months = (
            climate.eto_mm,
            month_evaporation_mm(
                **given, lat=climate.lat, elevation_m=float(elevation_m or 0)
            ),
            month_hargreaves_mm(**given, lat=climate.lat),
        )
        known = climate.eto_measured
    measured, reduced, hargreaves = months
    return EvaporationTable(
        rows=[
            (
                dt.date(2001, month + 1, 1),
                measured[month] if measured else None,
                reduced[month],
                hargreaves[month],
            )
            for month in range(12)
        ],
        sums=(sum(measured) if measured else None, sum(reduced), sum(hargreaves)),
        measured=[gettext(AIR_NAMES[one]) for one in MEASURED if one in known],
        lacks=[gettext(AIR_NAMES[one]) for one in MEASURED if one not in known],
        k_rs=eto["k_rs"] if eto else K_RS_INLAND,
        is_high=elevation_m is not None,
    )


@register.simple_tag
def weather_picture(climate: Climate, firm: Any, prefix: str = "weather") -> SafeString:
    """The year's warmth and rain, from the hemisphere's new year."""
    display = _display(firm)
    first = 7 if climate.southern else 1

    def turned(values: Sequence[float]) -> list[float]:
        return [*values[first - 1 :], *values[: first - 1]]

    return SafeString(
        drawings.weather_year(
            drawings.WeatherMonths(
                first_month=first,
                low=tuple(_warmth(one, display) for one in turned(climate.tmin_c)),
                high=tuple(_warmth(one, display) for one in turned(climate.tmax_c)),
                rain=tuple(_rain(one, display) for one in turned(climate.rain_mm)),
                warmth_unit=display.temperature_unit,
                rain_unit="in" if display.system == "us" else "mm",
            ),
            prefix=prefix,
            gettext=gettext,
        )
    )


@register.simple_tag
def frost_picture(
    figures: Mapping[str, Any], climate: Climate, firm: Any, prefix: str = "frost"
) -> SafeString:
    """The chance of a frost still to come in spring, and come already in autumn."""
    return SafeString(
        drawings.frost_risk(
            [
                drawings.RiskPart(
                    label=gettext("Spring: a frost is still to come"),
                    curves=_curves(figures, climate, firm, "spring"),
                ),
                drawings.RiskPart(
                    label=gettext("Autumn: a frost has come"),
                    curves=_curves(figures, climate, firm, "autumn"),
                ),
            ],
            prefix=prefix,
            gettext=gettext,
        )
    )


def _curves(
    figures: Mapping[str, Any], climate: Climate, firm: Any, turn: str
) -> tuple[drawings.RiskCurve, ...]:
    risk = spring_risk if turn == "spring" else autumn_risk
    every = [
        place
        for warmth in THRESHOLDS_F
        for place in figures["frost"][str(warmth)][f"{turn}s"]
        if place is not None
    ]
    if not every:
        return ()
    first = max(min(every) - AIR_DAYS, 0)
    last = min(max(every) + AIR_DAYS, 364)
    curves = []
    for warmth in THRESHOLDS_F:
        frost = figures["frost"][str(warmth)]
        places = frost[f"{turn}s"]
        if not places:
            continue
        curves.append(
            drawings.RiskCurve(
                label=threshold(warmth, firm),
                days=tuple(
                    (_day(place, climate), risk(places, place))
                    for place in range(first, last + 1)
                ),
                told=", ".join(
                    gettext("{chance} % {day}").format(
                        chance=chance, day=day_of_year(day)
                    )
                    for chance, day in frost[turn].items()
                ),
            )
        )
    return tuple(curves)


def _day(place: int, climate: Climate) -> dt.date:
    """A day to draw a place of the cold season at; its year means nothing."""
    month, day = month_day_of(place, southern=climate.southern)
    starts = 2 if climate.southern else 8
    return dt.date(2001 if month >= starts else 2002, month, day)


@register.simple_tag
def degree_rows(climate: Climate, figures: Mapping[str, Any]) -> list[Any]:
    """A row by month from the hemisphere's new year: its first day, the totals."""
    firsts = [dt.date(2001, month, 1) for month in range(1, 13)]
    order = [*firsts[6:], *firsts[:6]] if climate.southern else firsts
    totals = zip(*figures["degree_days"].values(), strict=True)
    return list(zip(order, totals, strict=True))


@register.filter
def warmth_unit(firm: Any) -> str:
    """The unit of the firm's temperatures."""
    return _display(firm).temperature_unit


@register.filter
def rain_unit(firm: Any) -> str:
    """The unit of the firm's rain."""
    return "in" if _display(firm).system == "us" else "mm"


@register.filter
def warmth_figure(degrees: Any, firm: Any) -> str:
    """A temperature to a tenth, under a head that names its unit."""
    display = _display(firm)
    return display.figure(Decimal(str(_warmth(degrees, display))), places=1)


@register.filter
def rain_figure(millimetres: Any, firm: Any) -> str:
    """An amount of water under a head that names its unit."""
    display = _display(firm)
    places = 2 if display.system == "us" else 0
    return display.figure(Decimal(str(_rain(millimetres, display))), places=places)
