"""Where the sun stands: the method of NOAA's solar calculator after Meeus.

Source: Jean Meeus, Astronomical Algorithms, 2nd edition, chapter 25 (the sun's
apparent longitude, low accuracy), chapter 28 (equation of time, formula 28.1) and
chapter 13 (hour angle to the horizon), which NOAA's solar calculation sheets follow.
Between 1950 and 2050 directions lie within 0.02 degrees of the full algorithm of
NREL (Reda and Andreas, TP-560-34302).

Angles are degrees, positive to the north and to the east, azimuths run from the north
by the east, hour angles are negative before solar noon. Moments are seconds since
1970 in UTC. Elevations are geometric: the bending of light is left out unless named.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

Figures = NDArray[np.float64]

SECONDS_PER_DEGREE = 240.0
J2000_S = 946_728_000.0
"""1 January 2000, 12:00, in seconds since 1970."""
CENTURY_S = 36525 * 86400.0


class SunError(ValueError):
    """A place, a bed or a shade that cannot be; the message says why."""


@dataclass(frozen=True, kw_only=True)
class Place:
    """A point on earth in degrees, or SunError."""

    latitude_deg: float
    longitude_deg: float

    def __post_init__(self) -> None:
        # Written so that a figure that is none fails too.
        if not -90 <= self.latitude_deg <= 90:
            raise SunError(
                f"Latitude {self.latitude_deg:g} is not between -90 and 90 degrees."
            )
        if not -180 <= self.longitude_deg <= 180:
            raise SunError(
                f"Longitude {self.longitude_deg:g} is not between -180 and 180 degrees."
            )


@dataclass(frozen=True, kw_only=True, eq=False)
class Position:
    """Where the sun stands at each of some moments."""

    elevation_deg: Figures
    azimuth_deg: Figures
    hour_angle_deg: Figures
    declination_deg: Figures


def equatorial(seconds: Figures) -> tuple[Figures, Figures]:
    """Declination, and the equation of time as degrees of hour angle."""
    t = (seconds - J2000_S) / CENTURY_S
    mean_longitude = 280.46646 + t * (36000.76983 + t * 0.0003032)
    anomaly = np.radians(357.52911 + t * (35999.05029 - t * 0.0001537))
    centre = (
        np.sin(anomaly) * (1.914602 - t * (0.004817 + t * 0.000014))
        + np.sin(2 * anomaly) * (0.019993 - t * 0.000101)
        + np.sin(3 * anomaly) * 0.000289
    )
    node = np.radians(125.04 - t * 1934.136)
    nutation = -0.00478 * np.sin(node)
    longitude = np.radians(mean_longitude + centre - 0.00569 + nutation)
    obliquity = np.radians(
        23.4392911
        - t * (0.0130041667 + t * (0.000000164 - t * 0.000000504))
        + 0.00256 * np.cos(node)
    )
    ascension = np.degrees(
        np.arctan2(np.cos(obliquity) * np.sin(longitude), np.cos(longitude))
    )
    declination = np.degrees(np.arcsin(np.sin(obliquity) * np.sin(longitude)))
    equation = turned(
        mean_longitude - 0.0057183 - ascension + nutation * np.cos(obliquity)
    )
    return declination, equation


def turned(degrees: Figures) -> Figures:
    """Angles brought between -180 and 180 degrees."""
    brought: Figures = (degrees + 180.0) % 360.0 - 180.0
    return brought


def hour_angles(seconds: Figures, longitude_deg: float, equation: Figures) -> Figures:
    """Hour angles of moments, from the longitude and the equation of time."""
    mean = (seconds % 86400.0) / SECONDS_PER_DEGREE - 180.0
    return turned(mean + longitude_deg + equation)


def directions(
    latitude_deg: float, declination_deg: Figures, hour_angle_deg: Figures
) -> tuple[Figures, Figures, Figures]:
    """Parts to the east, north and up of a line of length 1 that points at the sun."""
    latitude = np.radians(latitude_deg)
    declination = np.radians(declination_deg)
    hour_angle = np.radians(hour_angle_deg)
    sine, cosine = np.sin(declination), np.cos(declination)
    towards = cosine * np.cos(hour_angle)
    east = -cosine * np.sin(hour_angle)
    north = np.cos(latitude) * sine - np.sin(latitude) * towards
    up = np.sin(latitude) * sine + np.cos(latitude) * towards
    return east, north, up


def position(place: Place, seconds: Figures) -> Position:
    """Where the sun stands over PLACE at moments in seconds since 1970."""
    declination, equation = equatorial(seconds)
    hour_angle = hour_angles(seconds, place.longitude_deg, equation)
    east, north, up = directions(place.latitude_deg, declination, hour_angle)
    return Position(
        elevation_deg=np.degrees(np.arcsin(np.clip(up, -1.0, 1.0))),
        azimuth_deg=np.degrees(np.arctan2(east, north)) % 360.0,
        hour_angle_deg=hour_angle,
        declination_deg=declination,
    )


def sun_at(place: Place, moments: Sequence[datetime]) -> Position:
    """Where the sun stands over PLACE at moments that know their zone."""
    if any(moment.tzinfo is None for moment in moments):
        raise SunError("A moment needs its time zone.")
    return position(place, np.array([moment.timestamp() for moment in moments]))
