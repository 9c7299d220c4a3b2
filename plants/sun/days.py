"""The sun's day at a place: rise, noon and set, and its path in small steps.

A day runs from twelve hours before to twelve hours after solar noon, so that it is
cut in two by the sun and never by the clock: summer time, a place far from the middle
of its zone and a sun that sets after midnight need no special case.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, tzinfo
from functools import lru_cache

import numpy as np

from plants.sun.position import (
    SECONDS_PER_DEGREE,
    Figures,
    Place,
    SunError,
    directions,
    equatorial,
    hour_angles,
    position,
)

HORIZON_DEG = -0.8333
"""Elevation of the sun's middle as its upper edge meets the horizon: 34 minutes of
arc of bent light and 16 of half the sun's width, as almanacs and NREL's report use."""

STEP_S = 300
HALF_DAY_S = 43200
_HALVINGS = 26
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, kw_only=True)
class SunDay:
    """Rise, noon and set of one date; instants carry the zone that was passed in.

    Without a rise or a set the sun stays up or down, as the noon's elevation tells.
    """

    day: date
    noon: datetime
    rise: datetime | None
    set: datetime | None
    noon_elevation_deg: float
    horizon_deg: float

    @property
    def never_sets(self) -> bool:
        """Whether the sun stays up through at least half of the day."""
        return self.noon_elevation_deg > self.horizon_deg and (
            self.rise is None or self.set is None
        )

    @property
    def never_rises(self) -> bool:
        """Whether the sun stays under the horizon all day."""
        return self.noon_elevation_deg <= self.horizon_deg


def moment_of(seconds: float, zone: tzinfo) -> datetime:
    """The instant of so many seconds since 1970, by the clock of ZONE."""
    return (_EPOCH + timedelta(seconds=float(seconds))).astimezone(zone)


def solar_noons(place: Place, days: Sequence[date], zone: tzinfo) -> Figures:
    """The solar noon nearest to each date's noon by the clock of ZONE, in seconds."""
    seconds = np.array(
        [
            datetime(day.year, day.month, day.day, 12, tzinfo=zone).timestamp()
            for day in days
        ]
    )
    for _again in range(3):
        _declination, equation = equatorial(seconds)
        seconds = seconds - SECONDS_PER_DEGREE * hour_angles(
            seconds, place.longitude_deg, equation
        )
    return seconds


def sun_days(
    place: Place,
    days: Sequence[date],
    zone: tzinfo,
    *,
    horizon_deg: float = HORIZON_DEG,
) -> tuple[SunDay, ...]:
    """Rise, noon and set of dates at PLACE, by the clock of ZONE."""
    noons = solar_noons(place, days, zone)
    at_noon = position(place, noons).elevation_deg
    # Rises first, then sets: a low end and a high end each, then halved.
    low = np.concatenate([noons - HALF_DAY_S, noons + HALF_DAY_S])
    high = np.concatenate([noons, noons])
    crosses = (position(place, low).elevation_deg <= horizon_deg) & np.concatenate(
        [at_noon > horizon_deg] * 2
    )
    for _again in range(_HALVINGS):
        middle = (low + high) / 2
        is_up = position(place, middle).elevation_deg > horizon_deg
        low, high = np.where(is_up, low, middle), np.where(is_up, middle, high)
    found = [
        moment_of(seconds, zone) if is_there else None
        for seconds, is_there in zip(high, crosses, strict=True)
    ]
    return tuple(
        SunDay(
            day=day,
            noon=moment_of(noon, zone),
            rise=rise,
            set=set_,
            noon_elevation_deg=float(elevation),
            horizon_deg=horizon_deg,
        )
        for day, noon, rise, set_, elevation in zip(
            days,
            noons,
            found[: len(days)],
            found[len(days) :],
            at_noon,
            strict=True,
        )
    )


@dataclass(frozen=True, kw_only=True, eq=False)
class SunPath:
    """The sun's way over a place on some days: arrays of days by moments.

    The moment in the middle is solar noon. EAST, NORTH and UP are the parts of a line
    of length 1 that points at the sun.
    """

    seconds: Figures
    east: Figures
    north: Figures
    up: Figures
    step_s: float

    @property
    def noon(self) -> int:
        """Which moment of a day is solar noon."""
        return int(self.seconds.shape[1]) // 2


def _moments(noons: Figures, step_s: int) -> Figures:
    if HALF_DAY_S % step_s:
        raise SunError(f"A step of {step_s} s does not divide twelve hours.")
    count = HALF_DAY_S // step_s
    moments: Figures = noons[:, None] + np.arange(-count, count + 1) * float(step_s)
    return moments


def path_of_declinations(
    latitude_deg: float, declinations_deg: Sequence[float], *, step_s: int = STEP_S
) -> SunPath:
    """The path of a sun whose declination stays fixed, by solar time at longitude 0.

    The closed formulas of shade hold for it exactly.
    """
    Place(latitude_deg=latitude_deg, longitude_deg=0)
    seconds = _moments(np.full(len(declinations_deg), float(HALF_DAY_S)), step_s)
    hour_angle = seconds / SECONDS_PER_DEGREE - 180.0
    declination = np.array(declinations_deg, dtype=float)[:, None]
    east, north, up = directions(latitude_deg, declination, hour_angle)
    return SunPath(seconds=seconds, east=east, north=north, up=up, step_s=step_s)


@lru_cache(maxsize=128)
def sun_path(
    place: Place, days: tuple[date, ...], zone: tzinfo, *, step_s: int = STEP_S
) -> SunPath:
    """The sun's way over PLACE on dates of ZONE, in steps; kept for the next asker."""
    noons = solar_noons(place, days, zone)
    seconds = _moments(noons, step_s)
    # Declination and equation of time change so little in a day that a parabola
    # through its ends and its noon holds them to a millionth of a degree.
    ends = np.stack([noons - HALF_DAY_S, noons, noons + HALF_DAY_S])
    x = (seconds - noons[:, None]) / HALF_DAY_S

    def through(values: Figures) -> Figures:
        before, at, after = values[:, :, None]
        bent: Figures = (
            at + x * (after - before) / 2 + x * x * ((after + before) / 2 - at)
        )
        return bent

    declination, equation = equatorial(ends)
    mean = x * 180.0
    hour_angle = mean + through(equation) - equation[1][:, None]
    east, north, up = directions(place.latitude_deg, through(declination), hour_angle)
    return SunPath(seconds=seconds, east=east, north=north, up=up, step_s=step_s)
