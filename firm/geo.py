"""Places on the globe, the distance between them and their local time."""

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal
from math import asin, cos, radians, sin, sqrt
from zoneinfo import ZoneInfo

# Mean radius of the earth in km: IUGG, GRS 80 (2a + b) / 3.
EARTH_RADIUS_KM = 6371.0088


class GeoError(ValueError):
    """A position that is not on the globe; says why."""


@dataclass(frozen=True, kw_only=True)
class Position:
    """Degrees north and degrees east; south and west are negative."""

    lat: Decimal
    lon: Decimal

    def __post_init__(self) -> None:
        for name, value, bound in (
            ("latitude", self.lat, 90),
            ("longitude", self.lon, 180),
        ):
            if not isinstance(value, Decimal) or not value.is_finite():
                raise GeoError(f"The {name} must be a decimal number.")
            if abs(value) > bound:
                raise GeoError(f"The {name} lies between -{bound} and {bound} degrees.")


def great_circle_km(start: Position, end: Position) -> Decimal:
    """Kilometres over the sphere, to the metre; roads are longer."""
    lat_1, lat_2 = radians(start.lat), radians(end.lat)
    half_lat = (lat_2 - lat_1) / 2
    half_lon = radians(end.lon - start.lon) / 2
    chord = sin(half_lat) ** 2 + cos(lat_1) * cos(lat_2) * sin(half_lon) ** 2
    # Rounding may lift the square of the half chord a hair above one.
    km = 2 * EARTH_RADIUS_KM * asin(sqrt(min(1.0, chord)))
    return Decimal(f"{km:.3f}")


def local_moment(day: dt.date, wall_time: dt.time, zone: str) -> dt.datetime:
    """The instant in UTC at which clocks in ZONE show WALL_TIME on DAY.

    A time that the clocks jump over moves forward by the jump; one that they show
    twice is the first. So every local day has exactly one such instant.
    """
    # fold=0 asks for the offset before a change: PEP 495 gives exactly both rules.
    local = dt.datetime.combine(day, wall_time.replace(fold=0), tzinfo=ZoneInfo(zone))
    return local.astimezone(dt.UTC)
