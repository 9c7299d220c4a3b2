"""The sun's place and its times: rows S1 to S8, and 10,000 instants of NREL's own.

What the method may be off: degrees between directions over 5 degrees of elevation, and
seconds of rise and set below 60 degrees of latitude, 1950 to 2050.
"""

from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from functools import cache

import numpy as np
import sunposition

from plants.sun import Place, sun_at, sun_days
from plants.sun.position import directions, equatorial, hour_angles
from tests.pure.outside.rows import Check

DIRECTION_DEG = "0.02"
EVENT = "15 s"
REPORT = "Reda and Andreas, Solar Position Algorithm, NREL TP-560-34302"
CALCULATOR = "NREL's web calculator, as pvlib's tests carry it (BSD-3)"
OBSERVATORY = "US Naval Observatory, as pvlib's tests carry it (BSD-3)"
NOAA = "NOAA's day sheet, as slott56/navtools codes it"
PACKAGE = "package sunposition (MIT): NREL's whole algorithm"

MOUNTAIN = timezone(timedelta(hours=-7))
GOLDEN = Place(latitude_deg=39.742476, longitude_deg=-105.1786)
NOAA_PLACE = Place(latitude_deg=40, longitude_deg=-105)
NREL_MOMENT = datetime(2003, 10, 17, 12, 30, 30, tzinfo=MOUNTAIN)


def pointing(elevation_deg, azimuth_deg):
    """A line of length 1 to the east, north and up."""
    elevation, azimuth = np.radians(elevation_deg), np.radians(azimuth_deg)
    return np.array(
        [
            np.cos(elevation) * np.sin(azimuth),
            np.cos(elevation) * np.cos(azimuth),
            np.sin(elevation),
        ]
    )


def apart_deg(one, other):
    """The angle between lines of length 1, exact for small ones too."""
    return np.degrees(2 * np.arcsin(np.linalg.norm(one - other, axis=0) / 2))


@cache
def golden():
    return sun_at(GOLDEN, [NREL_MOMENT])


def golden_apart() -> float:
    ours = pointing(golden().elevation_deg[0], golden().azimuth_deg[0])
    return float(apart_deg(ours, pointing(39.872046, 194.34024)))


def incidence() -> float:
    """On a slope of 30 degrees turned by -10 from the south.

    The example's zenith holds 0.0164 degrees of bent light, which ours leaves out.
    """
    sun = pointing(golden().elevation_deg[0] + 0.0164, golden().azimuth_deg[0])
    return float(np.degrees(np.arccos(sun @ pointing(90 - 30, 180 - 10))))


def event(place: Place, day: date, zone: tzinfo, which: str) -> datetime:
    (found,) = sun_days(place, [day], zone)
    moment = getattr(found, which)
    assert isinstance(moment, datetime)
    assert moment.date() == day
    return moment


def to_the_minute(day: date, which: str) -> str:
    return f"{event(GOLDEN, day, MOUNTAIN, which) + timedelta(seconds=30):%H:%M}"


@cache
def widest_of_ten_thousand() -> float:
    """The largest angle to NREL's algorithm of those over 5 degrees, in degrees."""
    random = np.random.default_rng(20261125)
    first, last = (datetime(year, 1, 1, tzinfo=UTC) for year in (1950, 2051))
    milliseconds = random.integers(
        int(first.timestamp()) * 1000, int(last.timestamp()) * 1000, 10_000
    )
    latitude = np.degrees(np.arcsin(random.uniform(-1, 1, 10_000)))
    longitude = random.uniform(-180, 180, 10_000)
    azimuth, zenith, *_more = sunposition.sunposition(
        milliseconds.astype("datetime64[ms]"),
        latitude,
        longitude,
        0,
        pressure=0,
        delta_t=55,
    )
    theirs = pointing(90 - np.asarray(zenith), np.asarray(azimuth))
    declination, equation = equatorial(milliseconds / 1000)
    hour_angle = hour_angles(milliseconds / 1000, longitude, equation)
    ours = np.array(directions(latitude, declination, hour_angle))
    is_high = theirs[2] > np.sin(np.radians(5))
    assert is_high.sum() > 4000
    return float(apart_deg(ours, theirs)[is_high].max())


def _events(row, source, place, zone, times) -> list[Check]:
    return [
        Check(
            row,
            f"{which} on {day} at {place.latitude_deg:g}, {place.longitude_deg:g}",
            source,
            lambda d=day, w=which: event(place, d, zone, w),
            printed,
            EVENT,
        )
        for day, which, printed in times
    ]


CHECKS: list[Check] = [
    *(
        Check(
            "S1", f"Golden, 17 October 2003: {what}, degrees", REPORT + ", app. A.5",
            computed, printed, DIRECTION_DEG,
        )
        for what, computed, printed in (
            ("elevation", lambda: golden().elevation_deg[0], "39.872046"),
            ("azimuth", lambda: golden().azimuth_deg[0], "194.34024"),
            ("declination", lambda: golden().declination_deg[0], "-9.316179"),
            ("hour angle", lambda: golden().hour_angle_deg[0], "11.10627"),
            ("between the directions", golden_apart, "0"),
        )
    ),
    Check(
        "S2", "the same on a slope of 30, turned -10: incidence", REPORT + ", app. A.5",
        incidence, "25.187", DIRECTION_DEG,
    ),
    *(
        check
        for row, latitude, day, rise, set_ in (
            ("S3", 35, date(1994, 1, 2), "07:08:12.8", "16:59:55.9"),
            ("S4", -35, date(1996, 7, 5), "07:08:15.4", "17:01:04.5"),
            ("S5", -35, date(2004, 12, 4), "04:38:57.1", "19:02:02.5"),
        )
        for check in _events(
            row,
            REPORT + ", table A2.1",
            Place(latitude_deg=latitude, longitude_deg=0),
            UTC,
            ((day, "rise", rise), (day, "set", set_)),
        )
    ),
    *_events(
        "S6", CALCULATOR, GOLDEN, MOUNTAIN,
        (
            (date(2015, 1, 2), "rise", "07:21:55"),
            (date(2015, 1, 2), "noon", "12:04:45"),
            (date(2015, 1, 2), "set", "16:47:43"),
        ),
    ),
    # The reference prints the sets of S7 and S8 under 2 August and 23 June, which are
    # dates of UTC: by the clock of the place they are the evenings before.
    *_events(
        "S7", CALCULATOR, GOLDEN, MOUNTAIN,
        (
            (date(2015, 8, 2), "rise", "05:00:27"),
            (date(2015, 8, 2), "noon", "12:06:58"),
            (date(2015, 8, 1), "set", "19:13:58"),
        ),
    ),
    *(
        Check(
            row, f"Golden, {which} on {day} to the minute", OBSERVATORY,
            lambda d=day, w=which: to_the_minute(d, w), printed,
        )
        for row, day, times in (
            ("S6", date(2015, 1, 2), ("07:22", "12:05", "16:48")),
            # This set of 2 August tells the evening of the place from that of UTC.
            ("S7", date(2015, 8, 2), ("05:00", "12:07", "19:13")),
        )
        for which, printed in zip(("rise", "noon", "set"), times, strict=True)
    ),
    *_events(
        "S8", NOAA, NOAA_PLACE, timezone(timedelta(hours=-6)),
        (
            (date(2021, 6, 23), "rise", "05:31:53"),
            (date(2021, 6, 23), "noon", "13:02:15"),
            (date(2021, 6, 23), "set", "20:32:37"),
        ),
    ),
    *_events(
        "S8", "NREL's algorithm on the same day", NOAA_PLACE,
        timezone(timedelta(hours=-6)),
        (
            (date(2021, 6, 23), "rise", "05:31:55"),
            (date(2021, 6, 23), "noon", "13:02:21"),
            (date(2021, 6, 22), "set", "20:32:35"),
        ),
    ),
    Check(
        "10,000", "widest angle at random instants, 1950 to 2050, degrees", PACKAGE,
        widest_of_ten_thousand, "0", DIRECTION_DEG,
    ),
]  # fmt: skip
