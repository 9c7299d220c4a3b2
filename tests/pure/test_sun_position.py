"""The sun's place and day; its printed figures are in tests/pure/outside."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
import sunposition
from hypothesis import given
from hypothesis import strategies as st

from plants.sun import Place, SunError, sun_at, sun_days, sun_path
from tests.pure.outside.sun import GOLDEN, apart_deg, pointing

# What rise and set may be off below 60 degrees of latitude, 1950 to 2050.
EVENT_S = 15


@given(
    latitude=st.floats(-60, 60),
    longitude=st.floats(-180, 180),
    day=st.dates(date(1950, 1, 2), date(2050, 12, 30)),
)
def test_the_sun_of_the_full_algorithm_stands_on_the_horizon_at_our_rise_and_set(
    latitude, longitude, day
):
    place = Place(latitude_deg=latitude, longitude_deg=longitude)
    (found,) = sun_days(place, [day], UTC)
    for event, sign in ((found.rise, 1), (found.set, -1)):
        moments = [event + timedelta(seconds=s * sign) for s in (-EVENT_S, EVENT_S)]
        stamps = [int(moment.timestamp() * 1000) for moment in moments]
        _azimuth, zenith, *_more = sunposition.sunposition(
            np.array(stamps).astype("datetime64[ms]"),
            latitude,
            longitude,
            0,
            pressure=0,
            delta_t=55,
        )
        # Almanacs leave out that we do not stand in the middle of the earth.
        before, after = 90 - np.asarray(zenith) + 0.0024
        assert before < -0.8333 < after


def test_the_path_in_steps_is_the_sun_itself():
    place = Place(latitude_deg=47.5, longitude_deg=-122.3)
    path = sun_path(place, (date(2026, 3, 15), date(2026, 9, 15)), UTC)
    moments = [
        datetime.fromtimestamp(float(second), tz=UTC) for second in path.seconds.ravel()
    ]
    found = sun_at(place, moments)
    ours = np.array([part.ravel() for part in (path.east, path.north, path.up)])
    theirs = pointing(found.elevation_deg, found.azimuth_deg)
    assert apart_deg(ours, theirs).max() < 1e-4
    assert path.seconds.shape == (2, 289)
    assert np.abs(path.east[:, path.noon]).max() < 1e-9


def test_summer_time_moves_the_clock_and_not_the_sun():
    place = Place(latitude_deg=40.7, longitude_deg=-74.0)
    zone = ZoneInfo("America/New_York")
    # Clocks went forward on 8 March 2026 and back on 1 November 2026.
    for before, after, moved in (
        (date(2026, 3, 7), date(2026, 3, 8), timedelta(hours=1)),
        (date(2026, 10, 31), date(2026, 11, 1), -timedelta(hours=1)),
    ):
        first, second = sun_days(place, [before, after], zone)
        by_clock = second.noon.replace(tzinfo=None) - first.noon.replace(tzinfo=None)
        assert abs(by_clock - moved - timedelta(days=1)) < timedelta(seconds=30)
        by_sun = second.noon.astimezone(UTC) - first.noon.astimezone(UTC)
        assert abs(by_sun - timedelta(days=1)) < timedelta(seconds=30)
        assert (first.noon.date(), second.noon.date()) == (before, after)


@pytest.mark.parametrize(
    ("zone", "latitude", "longitude", "day", "noon"),
    [
        # 12:00 less 4 minutes for each degree east of the zone's meridian, less the
        # equation of time: -14.2 min on 11 February, +16.4 min on 3 November (Meeus,
        # chapter 28, extremes of the curve).
        ("Europe/Madrid", 42.2, -8.7, date(2026, 2, 11), "13:49"),
        ("Asia/Urumqi", 43.8, 87.6, date(2026, 11, 3), "11:53"),
        ("Asia/Shanghai", 43.8, 87.6, date(2026, 11, 3), "13:53"),
        ("Pacific/Kiritimati", 1.9, -157.4, date(2026, 2, 11), "12:44"),
        ("Australia/Adelaide", -34.9, 138.6, date(2026, 2, 11), "13:30"),
    ],
)
def test_noon_by_the_clock_follows_the_longitude_in_the_zone(
    zone, latitude, longitude, day, noon
):
    place = Place(latitude_deg=latitude, longitude_deg=longitude)
    (found,) = sun_days(place, [day], ZoneInfo(zone))
    wanted = datetime.fromisoformat(f"{day}T{noon}").replace(tzinfo=ZoneInfo(zone))
    assert abs((found.noon - wanted).total_seconds()) <= 60
    assert found.rise < found.noon < found.set


def test_the_sun_stays_up_in_the_polar_summer_and_down_in_its_winter():
    place = Place(latitude_deg=69.65, longitude_deg=18.96)
    zone = ZoneInfo("Europe/Oslo")
    summer, winter, spring = sun_days(
        place, [date(2026, 6, 21), date(2026, 12, 21), date(2026, 3, 20)], zone
    )
    assert (summer.rise, summer.set, summer.never_sets) == (None, None, True)
    assert (winter.rise, winter.set, winter.never_rises) == (None, None, True)
    assert not summer.never_rises
    assert not winter.never_sets
    assert not spring.never_sets
    assert not spring.never_rises
    assert spring.rise < spring.noon < spring.set


def test_a_northern_sun_that_sets_after_midnight_belongs_to_its_own_day():
    place = Place(latitude_deg=65.6, longitude_deg=-8.0)
    (found,) = sun_days(place, [date(2026, 6, 15)], ZoneInfo("Europe/Oslo"))
    assert found.noon.date() == date(2026, 6, 15)
    assert found.set.date() == date(2026, 6, 16)
    assert (found.set - found.rise) > timedelta(hours=22)


def test_at_the_equator_every_day_is_twelve_hours_and_seven_minutes_long():
    # Twelve hours and the time of 2 x 0.8333 degrees, a little more off the equinox.
    days = [date(2026, month, 21) for month in range(1, 13)]
    for found in sun_days(Place(latitude_deg=0, longitude_deg=0), days, UTC):
        length = (found.set - found.rise).total_seconds() / 60
        assert length == pytest.approx(727, abs=1)


def test_at_the_equator_the_june_sun_stands_in_the_north_and_december_in_the_south():
    place = Place(latitude_deg=0, longitude_deg=0)
    june, december = (
        sun_at(place, [datetime(2026, month, 21, 12, tzinfo=UTC)]) for month in (6, 12)
    )
    assert min(june.azimuth_deg[0], 360 - june.azimuth_deg[0]) < 3
    assert december.azimuth_deg[0] == pytest.approx(180, abs=3)


def test_south_of_the_equator_the_seasons_are_turned_round():
    days = [date(2026, 6, 21), date(2026, 12, 21)]
    north, south = (
        sun_days(Place(latitude_deg=latitude, longitude_deg=0), days, UTC)
        for latitude in (40, -40)
    )
    lengths = [
        [(day.set - day.rise).total_seconds() for day in place]
        for place in (north, south)
    ]
    assert lengths[0][0] > 14.9 * 3600 > 9.4 * 3600 > lengths[0][1]
    assert lengths[1][1] == pytest.approx(lengths[0][0], abs=60)
    assert lengths[1][0] == pytest.approx(lengths[0][1], abs=60)


@pytest.mark.parametrize("latitude", [91, -90.5, float("nan"), float("inf")])
def test_a_latitude_off_the_earth_is_refused(latitude):
    with pytest.raises(SunError, match="not between -90 and 90"):
        Place(latitude_deg=latitude, longitude_deg=0)


def test_a_longitude_off_the_earth_is_refused():
    assert Place(latitude_deg=0, longitude_deg=180).longitude_deg == 180
    with pytest.raises(SunError, match="not between -180 and 180"):
        Place(latitude_deg=0, longitude_deg=180.5)


def test_a_moment_without_its_zone_is_refused():
    with pytest.raises(SunError, match="needs its time zone"):
        sun_at(GOLDEN, [datetime(2026, 6, 21, 12)])  # noqa: DTZ001
