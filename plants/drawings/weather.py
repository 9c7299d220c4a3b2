"""A year's weather in pictures: the risk of frost day by day, warmth and rain."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from plants.drawings.curves import polyline
from plants.drawings.strip import MONTHS, day_words
from plants.drawings.svg import (
    Gettext,
    Point,
    as_written,
    box,
    drawing,
    line,
    path,
    width_of,
    words,
)

LEFT, RIGHT = 44.0, 14.0
# Each threshold has a stroke of its own, so that colour never has to tell them apart.
STROKES: tuple[tuple[str, float, str | None], ...] = (
    ("leaf", 1.6, "2 3"),
    ("ink", 2.4, None),
    ("warn", 1.8, "7 3"),
)


@dataclass(frozen=True, kw_only=True)
class RiskCurve:
    """The share of years with frost, from 0 to 1, on a run of days.

    DATES are the days of the 10, 50 and 90 % chance in words, for the text beside it.
    """

    label: str
    days: tuple[tuple[date, float], ...]
    told: str


@dataclass(frozen=True, kw_only=True)
class RiskPart:
    """The curves of one turn of the year: spring or autumn."""

    label: str
    curves: tuple[RiskCurve, ...]


@dataclass(frozen=True)
class _Field:
    """A field of axes: where a share or a figure stands."""

    top: float
    height: float
    low: float
    high: float

    def y(self, value: float) -> float:
        return self.top + self.height * (self.high - value) / (self.high - self.low)


def frost_risk(
    parts: Sequence[RiskPart],
    *,
    title: str = "",
    prefix: str = "frost-risk",
    width: float = 340,
    gettext: Gettext = as_written,
) -> str:
    """How the chance of a frost still to come, or already come, runs by the day."""
    drawn: list[str] = []
    told: list[str] = []
    top = 12.0
    for part in parts:
        days = [day for curve in part.curves for day, _share in curve.days]
        if not days:
            continue
        drawn.append(words((4, top + 4), part.label, size=13, weight="bold"))
        field = _Field(top + 20, 150, 0, 1)
        drawn.append(
            _risk_field(
                part, field, (min(days), max(days)), width=width, gettext=gettext
            )
        )
        top += 20 + 150 + 34
        legend, used = _legend(part.curves, top, width=width)
        drawn.append(legend)
        top += used + 16
        told.append(
            f"{part.label}: "
            + "; ".join(f"{curve.label}: {curve.told}" for curve in part.curves)
            + "."
        )
    if not told:
        nothing = gettext("No frost was recorded.")
        drawn.append(words((4, top + 4), nothing, size=13))
        told.append(nothing)
        top += 20
    return drawing(
        *drawn,
        width=width,
        height=top,
        title=title or gettext("The risk of frost"),
        description=" ".join(told),
        prefix=prefix,
        kind="frost-risk",
    )


def _risk_field(
    part: RiskPart,
    field: _Field,
    ends: tuple[date, date],
    *,
    width: float,
    gettext: Gettext,
) -> str:
    first, last = ends
    span = max((last - first).days, 1)
    room = width - LEFT - RIGHT

    def x(day: date) -> float:
        return LEFT + room * (day - first).days / span

    drawn = []
    for share in (0.0, 0.1, 0.5, 0.9, 1.0):
        y = field.y(share)
        is_edge = share in {0.0, 1.0}
        drawn.append(
            line(
                (LEFT, y),
                (width - RIGHT, y),
                width=1 if is_edge else 0.8,
                dash=None if is_edge else "1 3",
                opacity=0.7 if is_edge else 0.6,
            )
        )
        drawn.append(
            words((LEFT - 5, y + 4), f"{share * 100:.0f} %", size=12, anchor="end")
        )
    drawn.append(_dates(first, last, x, field.top + field.height, gettext))
    for curve, (paint, stroke, dash) in zip(part.curves, STROKES, strict=False):
        points = [(x(day), field.y(share)) for day, share in curve.days]
        if len(points) > 1:
            drawn.append(path(polyline(points), paint=paint, width=stroke, dash=dash))
    return "".join(drawn)


def _dates(first: date, last: date, x: object, y: float, gettext: Gettext) -> str:
    """Firsts and fifteenths of months under a field, as far as their words fit."""
    assert callable(x)  # noqa: S101
    drawn = []
    day = first
    free_from = 0.0
    while day <= last:
        if day.day in {1, 15}:
            at = float(x(day))
            label = day_words(day, gettext)
            half = width_of(label, size=12) / 2
            drawn.append(line((at, y), (at, y + 4), width=1))
            if at - half >= free_from:
                drawn.append(words((at, y + 17), label, size=12, anchor="middle"))
                free_from = at + half + 4
        day += timedelta(days=1)
    return "".join(drawn)


def _legend(
    curves: Sequence[RiskCurve], top: float, *, width: float
) -> tuple[str, float]:
    drawn = []
    x, y = LEFT, top
    for curve, (paint, stroke, dash) in zip(curves, STROKES, strict=False):
        wide = 30 + width_of(curve.label, size=12) + 14
        if x + wide > width and x > LEFT:
            x, y = LEFT, y + 18
        drawn.append(
            line((x, y - 4), (x + 24, y - 4), paint=paint, width=stroke, dash=dash)
        )
        drawn.append(words((x + 30, y), curve.label, size=12))
        x += wide
    return "".join(drawn), y - top + 4


@dataclass(frozen=True, kw_only=True)
class WeatherMonths:
    """Twelve months in the units they are shown in, January first or July first."""

    first_month: int
    low: tuple[float, ...]
    high: tuple[float, ...]
    rain: tuple[float, ...]
    warmth_unit: str
    rain_unit: str


def weather_year(
    months: WeatherMonths,
    *,
    title: str = "",
    prefix: str = "weather-year",
    width: float = 340,
    gettext: Gettext = as_written,
) -> str:
    """The year's mean highs and lows as a band, and its rain as bars below."""
    names = [gettext(MONTHS[(months.first_month - 1 + at) % 12]) for at in range(12)]
    room = width - LEFT - RIGHT
    step = room / 12
    middles = [LEFT + step * (at + 0.5) for at in range(12)]
    warm_step = 20.0 if months.warmth_unit == "°F" else 10.0
    low = (min(months.low) // warm_step) * warm_step
    # The word over the crest needs some room.
    high = -(-(max(months.high) + warm_step / 5) // warm_step) * warm_step
    warmth = _Field(34, 170, low, max(high, low + warm_step))
    most = max(*months.rain, 1e-9)
    rain_step = next(
        (
            each
            for each in (0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500)
            if most / each <= 4
        ),
        1000.0,
    )
    rain = _Field(34 + 170 + 50, 90, 0, -(-most // rain_step) * rain_step)
    drawn = [
        words(
            (4, 16), f"{gettext('Mean high and low')}, {months.warmth_unit}", size=13
        ),
        _ticks(warmth, warm_step, width=width, places=0),
        words((4, rain.top - 14), f"{gettext('Rain')}, {months.rain_unit}", size=13),
        _ticks(rain, rain_step, width=width, places=1 if rain_step < 1 else 0),
        *(
            box(
                (x - step * 0.34, rain.y(amount)),
                step * 0.68,
                rain.y(0) - rain.y(amount),
                inside="leaf",
                opacity=0.75,
            )
            for x, amount in zip(middles, months.rain, strict=True)
        ),
        *(
            words((x, rain.y(0) + 16), name[:1], size=12, anchor="middle")
            for x, name in zip(middles, names, strict=True)
        ),
        *(
            words((x, warmth.y(low) + 16), name[:1], size=12, anchor="middle")
            for x, name in zip(middles, names, strict=True)
        ),
        _band(months, middles, warmth, gettext),
    ]
    told = ", ".join(
        gettext("{month} {low} to {high} {unit} and {rain} {rain_unit} of rain").format(
            month=name,
            low=f"{one:.0f}",
            high=f"{two:.0f}",
            unit=months.warmth_unit,
            rain=f"{amount:.1f}" if months.rain_unit == "in" else f"{amount:.0f}",
            rain_unit=months.rain_unit,
        )
        for name, one, two, amount in zip(
            names, months.low, months.high, months.rain, strict=True
        )
    )
    return drawing(
        *drawn,
        width=width,
        height=rain.y(0) + 24,
        title=title or gettext("Warmth and rain of the year"),
        description=told + ".",
        prefix=prefix,
        kind="weather-year",
    )


def _ticks(field: _Field, step: float, *, width: float, places: int) -> str:
    drawn = []
    value = field.low
    while value <= field.high + 1e-9:
        y = field.y(value)
        drawn.append(line((LEFT, y), (width - RIGHT, y), width=0.7, opacity=0.35))
        drawn.append(
            words((LEFT - 5, y + 4), f"{value:.{places}f}", size=12, anchor="end")
        )
        value += step
    return "".join(drawn)


def _band(
    months: WeatherMonths, middles: Sequence[float], field: _Field, gettext: Gettext
) -> str:
    """The band between low and high with its two edges."""

    def edge(values: Sequence[float]) -> list[Point]:
        return [(x, field.y(value)) for x, value in zip(middles, values, strict=True)]

    highs, lows = edge(months.high), edge(months.low)
    crest = max(range(12), key=lambda at: months.high[at])
    return (
        path(
            polyline([*highs, *reversed(lows)], closed=True),
            paint=None,
            inside="leaf",
            inside_opacity=0.16,
        )
        + path(polyline(highs), paint="warn", width=2)
        + path(polyline(lows), paint="ink", width=2, dash="7 3")
        + words(
            (highs[crest][0], highs[crest][1] - 8),
            gettext("high"),
            size=12,
            anchor="middle",
        )
        + words(
            (lows[crest][0], lows[crest][1] + 18),
            gettext("low"),
            size=12,
            anchor="middle",
        )
    )
