"""Works the figures of a station out of its daily records."""

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from plants.climate import evapotranspiration as eto
from plants.climate.lines import MONTH_DAYS, MONTH_STARTS, year_line
from plants.climate.records.days import (
    MISSING,
    Calendar,
    DailyRecords,
    Element,
    Real,
    Truth,
    calendar_of,
    reals,
)
from plants.climate.records.degrees import METHODS, record_totals
from plants.climate.records.evaporating import MeanByDay, measured_evaporation
from plants.climate.records.figures import (
    NORMALS,
    PERIOD_YEARS,
    WHOLE_YEARS,
    Extreme,
    Period,
    RecordFrost,
    StationFigures,
)
from plants.climate.records.frosts import THRESHOLDS_F, FrostYear, frosts_at
from plants.climate.records.sifting import RecordError

GOOD_SHARE = 0.9
HEAT_TENTHS = 300
WET_TENTHS = 10
"""A wet day has 1 mm or more (WMO)."""


def good_years(records: DailyRecords) -> list[int]:
    """Years of which nine tenths of the days have both temperatures."""
    calendar = calendar_of(records)
    both = (records.tmax != MISSING) & (records.tmin != MISSING)
    place = calendar.year - records.first_year
    share = np.bincount(place, weights=both) / np.bincount(place)
    return [
        int(number) + records.first_year
        for number in np.flatnonzero(share >= GOOD_SHARE)
    ]


def period_of(records: DailyRecords, *, newest: bool = False) -> Period:
    """The years that figures are computed from.

    These are the normals, 1991 to 2020, where the record has 25 good years of them,
    unless the NEWEST thirty are asked for: they end with the last good year.
    """
    good = good_years(records)
    if not good:
        raise RecordError(
            "No year of this record has readings on nine days of ten, so no figures "
            "can be computed from it yet."
        )
    first, last = NORMALS
    if not newest and sum(first <= year <= last for year in good) >= WHOLE_YEARS:
        return Period(first, last)
    return Period(max(good[-1] - PERIOD_YEARS + 1, good[0]), good[-1])


def station_figures(
    records: DailyRecords,
    *,
    lat: float,
    elevation_m: float | None = None,
    k_rs: float = eto.K_RS_INLAND,
    period: Period | None = None,
) -> StationFigures:
    """All figures of a record over a period, or RecordError when there are no days.

    Means are taken by the day of the year over all years that have it, so that a gap
    in one summer does not pull the summer down.
    """
    period = period or period_of(records)
    southern = lat < 0
    calendar = calendar_of(records)
    inside = (calendar.year >= period.first) & (calendar.year <= period.last)
    low, high, rain = reals(records.tmin), reals(records.tmax), reals(records.rain)
    by_day = MeanByDay(calendar.day, inside)
    low_days, high_days = by_day.mean(low), by_day.mean(high)
    if np.isnan(low_days).any() or np.isnan(high_days).any():
        raise RecordError(
            f"Some days of the year have no reading in any year of {period.first} to "
            f"{period.last}, so no figures can be computed."
        )
    tmin, tmax = _months(low_days), _months(high_days)
    has_rain = bool((records.rain[inside] != MISSING).mean() >= GOOD_SHARE / 2)
    rain_days = by_day.mean(rain)
    rain_months = (
        tuple(sum(_month(np.nan_to_num(rain_days), month)) for month in range(12))
        if has_rain
        else (0.0,) * 12
    )
    frosts = {
        threshold: frosts_at(
            records,
            threshold_f=threshold,
            southern=southern,
            first_year=period.first,
            last_year=period.last,
        )
        for threshold in THRESHOLDS_F
    }
    year_good = [
        year for year in good_years(records) if period.first <= year <= period.last
    ]
    counted = inside & np.isin(calendar.year, year_good)
    latest, earliest = _record_frosts(records, southern)
    height = 0.0 if elevation_m is None else elevation_m
    day_number = np.arange(1.0, 366.0)[calendar.day]
    reduced = eto.reduced_set_mm(
        tmax_c=high, tmin_c=low, lat=lat, day_of_year=day_number,
        elevation_m=height, k_rs=k_rs,
    )  # fmt: skip
    hargreaves = eto.hargreaves_mm(
        tmax_c=high, tmin_c=low, lat=lat, day_of_year=day_number
    )
    measured = measured_evaporation(
        records, days=inside, day_of_year=day_number, lat=lat, elevation_m=height,
        k_rs=k_rs, by_day=by_day,
    )  # fmt: skip
    span = records.span()
    assert span is not None  # noqa: S101
    return StationFigures(
        period=period,
        good_years=len(year_good),
        span=span,
        southern=southern,
        tmin_c=tmin,
        tmax_c=tmax,
        rain_mm=tuple(float(one) for one in rain_months),
        has_rain=has_rain,
        spread_c=_spread(calendar, inside, low, high, tmin, tmax),
        frosts=frosts,
        lowest_c=_mean_of_years(calendar, counted, low, np.nanmin),
        heat_days=_mean_of_years(
            calendar, counted, (records.tmax > HEAT_TENTHS).astype(np.float64), np.sum
        ),
        degree_days={
            method: _running(
                by_day.mean(record_totals(records, method=method)), southern
            )
            for method in METHODS
        },
        eto_reduced_mm=_sums(by_day.mean(np.asarray(reduced))),
        eto_hargreaves_mm=_sums(by_day.mean(np.asarray(hargreaves))),
        eto_measured_mm=() if measured is None else _sums(measured.days),
        eto_measured=() if measured is None else measured.measured,
        k_rs=k_rs,
        elevation_m=elevation_m,
        hottest=_extreme(records, "tmax", highest=True),
        coldest=_extreme(records, "tmin", highest=False),
        wettest=_extreme(records, "rain", highest=True) if has_rain else None,
        latest_spring=latest,
        earliest_autumn=earliest,
        wet_days=_mean_of_years(
            calendar, counted, (records.rain >= WET_TENTHS).astype(np.float64), np.sum
        )
        if has_rain
        else None,
    )


def _month(days: Real, month: int) -> Real:
    first = MONTH_STARTS[month]
    return days[first : first + MONTH_DAYS[month]]


def _months(days: Real) -> tuple[float, ...]:
    return tuple(float(_month(days, month).mean()) for month in range(12))


def _sums(days: Real) -> tuple[float, ...]:
    return tuple(float(np.nansum(_month(days, month))) for month in range(12))


def _running(days: Real, southern: bool) -> tuple[float, ...]:
    """Running totals at the ends of the months from the hemisphere's new year."""
    by_month = _sums(days)
    order = (*by_month[6:], *by_month[:6]) if southern else by_month
    return tuple(float(total) for total in np.cumsum(order))


def _spread(
    calendar: Calendar,
    inside: Truth,
    low: Real,
    high: Real,
    tmin: Sequence[float],
    tmax: Sequence[float],
) -> tuple[float, ...]:
    """How far the daily mean scatters about the year's line, by month."""
    means = tuple((one + two) / 2 for one, two in zip(tmin, tmax, strict=True))
    line = np.array(year_line(means))
    away = (low + high) / 2 - line[calendar.day]
    good = inside & ~np.isnan(away)
    return tuple(
        float(np.std(away[good & (calendar.month == month)])) for month in range(12)
    )


def _mean_of_years(
    calendar: Calendar, counted: Truth, values: Real, fold: Callable[[Real], Any]
) -> float | None:
    """The mean over the counted years of one figure a year."""
    years = np.unique(calendar.year[counted])
    if not len(years):
        return None
    figures = [float(fold(values[counted & (calendar.year == year)])) for year in years]
    return float(np.mean(figures))


def _extreme(records: DailyRecords, element: Element, *, highest: bool) -> Extreme:
    """The record of the whole file; of equal days the first."""
    values = reals(records.of(element))
    place = int(np.nanargmax(values) if highest else np.nanargmin(values))
    return Extreme(value=float(values[place]), day=records.day_at(place))


def _record_frosts(
    records: DailyRecords, southern: bool
) -> tuple[RecordFrost | None, RecordFrost | None]:
    """Latest spring and earliest autumn frost (32 F) of the whole record."""
    found = frosts_at(
        records,
        threshold_f=32,
        southern=southern,
        first_year=records.first_year,
        last_year=records.last_year,
    )
    springs = [one for one in found.spring if one.has_frost]
    autumns = [one for one in found.autumn if one.has_frost]
    latest = max(springs, key=lambda one: one.place, default=None)
    earliest = min(autumns, key=lambda one: one.place, default=None)

    def told(one: FrostYear | None) -> RecordFrost | None:
        return None if one is None else (one.year, found.month_day(one.place))

    return told(latest), told(earliest)
