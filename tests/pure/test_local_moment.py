"""Wall times and instants: the days on which clocks change.

The instants of the days with a change were confirmed by a search along the UTC axis
with the IANA data; the second test repeats that search without the function's rule.
"""

import datetime as dt
from zoneinfo import ZoneInfo

import pytest

from firm.geo import local_moment

NEW_YORK = "America/New_York"
LONDON = "Europe/London"
LORD_HOWE = "Australia/Lord_Howe"
HAVANA = "America/Havana"
APIA = "Pacific/Apia"


def utc(text: str) -> dt.datetime:
    return dt.datetime.fromisoformat(text).replace(tzinfo=dt.UTC)


def wall(text: str) -> tuple[dt.date, dt.time]:
    moment = dt.datetime.fromisoformat(text)
    return moment.date(), moment.time()


@pytest.mark.parametrize(
    ("zone", "local", "instant"),
    [
        (NEW_YORK, "2026-03-07 06:00", "2026-03-07 11:00"),
        (NEW_YORK, "2026-03-08 06:00", "2026-03-08 10:00"),
        (NEW_YORK, "2026-11-01 06:00", "2026-11-01 11:00"),
        (LONDON, "2026-03-28 06:00", "2026-03-28 06:00"),
        (LONDON, "2026-03-29 06:00", "2026-03-29 05:00"),
        (LONDON, "2026-10-25 06:00", "2026-10-25 06:00"),
        (LORD_HOWE, "2026-04-05 06:00", "2026-04-04 19:30"),
        (LORD_HOWE, "2026-10-04 06:00", "2026-10-03 19:00"),
    ],
)
def test_six_in_the_morning_is_six_by_the_local_clock(zone, local, instant):
    assert local_moment(*wall(local), zone) == utc(instant)


@pytest.mark.parametrize(
    ("zone", "local", "instant", "shown"),
    [
        (NEW_YORK, "2026-03-08 02:30", "2026-03-08 07:30", "2026-03-08 03:30"),
        (LONDON, "2026-03-29 01:30", "2026-03-29 01:30", "2026-03-29 02:30"),
        (HAVANA, "2026-03-08 00:00", "2026-03-08 05:00", "2026-03-08 01:00"),
        # The whole day was left out when the date line was moved: a jump of 24 h.
        (APIA, "2011-12-30 00:00", "2011-12-30 10:00", "2011-12-31 00:00"),
        (APIA, "2011-12-30 06:00", "2011-12-30 16:00", "2011-12-31 06:00"),
    ],
)
def test_a_time_that_is_jumped_over_moves_forward_by_the_jump(
    zone, local, instant, shown
):
    moment = local_moment(*wall(local), zone)

    assert moment == utc(instant)
    assert moment.astimezone(ZoneInfo(zone)).strftime("%Y-%m-%d %H:%M") == shown


def test_a_time_that_comes_twice_is_the_first():
    assert local_moment(*wall("2026-11-01 01:30"), NEW_YORK) == utc("2026-11-01 05:30")
    asked_for_second = dt.time(1, 30, fold=1)
    assert local_moment(dt.date(2026, 11, 1), asked_for_second, NEW_YORK) == utc(
        "2026-11-01 05:30"
    )


@pytest.mark.parametrize("zone", [NEW_YORK, LONDON, LORD_HOWE, HAVANA, APIA, "UTC"])
def test_six_in_the_morning_comes_once_each_day_of_three_years(zone):
    """Against the clock itself: every instant of 10 minutes at which it shows 06:00."""
    first = utc("2025-12-31 00:00")
    steps = range(3 * 366 * 24 * 6)
    there = ZoneInfo(zone)
    shown = {}
    for step in steps:
        moment = first + dt.timedelta(minutes=10 * step)
        local = moment.astimezone(there)
        if (local.hour, local.minute) == (6, 0):
            shown.setdefault(local.date(), moment)
    days = [dt.date(2026, 1, 1) + dt.timedelta(days=n) for n in range(3 * 365)]

    computed = {day: local_moment(day, dt.time(6), zone) for day in days}

    assert computed == {day: shown[day] for day in days}
