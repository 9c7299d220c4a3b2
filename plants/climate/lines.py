"""Closed lines through twelve monthly figures, and what is read off them.

A season day runs from 0 to 364 from the hemisphere's own new year, so day 0 is
1 January in the north and 1 July in the south.

Daily weather scatters about its mean, and degree days over a base depend on that
scatter: a March whose mean lies below the base still has warm days. The totals are
therefore expected values for a normal scatter (the method of H. C. S. Thom, 1954,
named from memory); the scatter is `SPREAD_SHARE` of the yearly range unless the
station brings its own.
"""

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import accumulate
from typing import NamedTuple

MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
MONTH_STARTS = tuple(accumulate(MONTH_DAYS, initial=0))[:12]
SOUTH_SHIFT = MONTH_STARTS[6]

BASE_F = 50.0
"""Base of the degree days of the bloom tables (Ohio State and Maryland extension)."""

LEAF_OUT_C = 10.0
"""Daily mean at which leaves unfold; common practice, no source."""

BUD_SWELL_C = 5.5
"""Daily mean at which buds swell and growth starts; common practice, no source."""

MILD_SWELL_DAYS = 30
MILD_LEAF_DAYS = 45
"""Buds swell and leaves unfold no sooner than so many days after the coldest day,
however mild the winter; common practice, no source."""

LEAST_RANGE_K = 5.0
"""A year whose days differ by less has no seasons to hang anything on."""

SPREAD_SHARE = (0.22, 0.20, 0.19, 0.16, 0.16, 0.14, 0.12, 0.11, 0.13, 0.15, 0.175, 0.2)
"""Standard deviation of the daily mean as a share of the yearly range, by month from
the hemisphere's new year: worked out from daily records of Milwaukee airport
1991-2020, Central Park 1991-2019 (NOAA GHCN-Daily) and Seattle 2012-2015
(vega-datasets)."""

HIGH_SPREAD = 1.15
"""The daily maximum scatters so much more than the daily mean (same records)."""

_MIDDLES = tuple(
    start + (length - 1) / 2
    for start, length in zip(MONTH_STARTS, MONTH_DAYS, strict=True)
)


class Turns(NamedTuple):
    """Season days on which the year turns; None where it does not."""

    coldest: int
    warmest: int
    bud_swell: int | None
    leaf_out: int | None
    leaf_fall: int | None
    dormancy: int | None


def straight_line(nodes: Sequence[float]) -> tuple[float, ...]:
    """365 daily values on straight lines between the middles of the months."""
    line = []
    month = 11
    for day in range(365):
        if month == 11 and _MIDDLES[0] <= day < _MIDDLES[11]:
            month = 0
        if month < 11 and day >= _MIDDLES[month + 1]:
            month += 1
        after = (month + 1) % 12
        gap = (_MIDDLES[after] - _MIDDLES[month]) % 365
        share = ((day - _MIDDLES[month]) % 365) / gap
        line.append(nodes[month] + (nodes[after] - nodes[month]) * share)
    return tuple(line)


@lru_cache(maxsize=512)
def year_line(months: tuple[float, ...]) -> tuple[float, ...]:
    """365 daily values, 1 January first, whose monthly means are those given."""
    nodes = list(months)
    line = straight_line(nodes)
    # A line through the means themselves cuts the tops off; the nodes are lifted
    # until the months come out as they were given.
    for _pass in range(12):
        for month in range(12):
            start, length = MONTH_STARTS[month], MONTH_DAYS[month]
            made = sum(line[start : start + length]) / length
            nodes[month] += months[month] - made
        line = straight_line(nodes)
    return line


def season_line(line: tuple[float, ...], *, southern: bool) -> tuple[float, ...]:
    """The same values from the hemisphere's own new year."""
    return line[SOUTH_SHIFT:] + line[:SOUTH_SHIFT] if southern else line


def extremes(season: Sequence[float]) -> tuple[int, int]:
    """Season days of the coldest day, perhaps before day 0, and of the warmest."""
    coldest = season.index(min(season))
    return coldest - 365 * (coldest > 182), season.index(max(season))


def rises_to(season: Sequence[float], value: float) -> int | None:
    """First day after the coldest on which the value is reached."""
    coldest, warmest = extremes(season)
    if season[coldest % 365] >= value:
        return None
    days = range(coldest, warmest + 1)
    return next((day for day in days if season[day % 365] >= value), None)


def falls_to(season: Sequence[float], value: float) -> int | None:
    """First day after the warmest on which the value is not exceeded."""
    coldest, warmest = extremes(season)
    if season[warmest] <= value:
        return None
    days = range(warmest, coldest + 366)
    return next((day for day in days if season[day % 365] <= value), None)


def turns(season: Sequence[float]) -> Turns:
    """The turns of a year whose daily means these are."""
    coldest, warmest = extremes(season)
    lowest = min(season)
    if max(season) - lowest < LEAST_RANGE_K:
        return Turns(coldest, warmest, None, None, None, None)
    swell = rises_to(season, BUD_SWELL_C)
    leaves = rises_to(season, LEAF_OUT_C)
    if swell is not None or lowest >= BUD_SWELL_C:
        swell = max(swell or coldest, coldest + MILD_SWELL_DAYS)
    if leaves is not None or lowest >= LEAF_OUT_C:
        leaves = max(leaves or coldest, coldest + MILD_LEAF_DAYS)
    return Turns(
        coldest=coldest,
        warmest=warmest,
        bud_swell=swell,
        leaf_out=leaves,
        leaf_fall=falls_to(season, LEAF_OUT_C),
        dormancy=falls_to(season, BUD_SWELL_C),
    )


def expected_over(mean: float, spread: float, base: float) -> float:
    """Expected excess over the base of a normal variate."""
    if spread <= 0:
        return max(0.0, mean - base)
    reach = (mean - base) / spread
    density = math.exp(-reach * reach / 2) / math.sqrt(2 * math.pi)
    return spread * density + (mean - base) * math.erfc(-reach / math.sqrt(2)) / 2


def running_degree_days(
    season: Sequence[float], spreads: Sequence[float]
) -> tuple[float, ...]:
    """Running totals in F over the base from daily means in °C (average method)."""
    base = (BASE_F - 32) * 5 / 9
    return tuple(
        accumulate(
            expected_over(mean, spread, base) * 9 / 5
            for mean, spread in zip(season, spreads, strict=True)
        )
    )


def running_lifted_degree_days(
    lows: Sequence[float], highs: Sequence[float], spreads: Sequence[float]
) -> tuple[float, ...]:
    """Running totals in F with low and high lifted to the base (modified method)."""
    base = (BASE_F - 32) * 5 / 9
    return tuple(
        accumulate(
            (
                expected_over(low, spread, base)
                + expected_over(high, spread * HIGH_SPREAD, base)
            )
            * 9
            / 10
            for low, high, spread in zip(lows, highs, spreads, strict=True)
        )
    )
