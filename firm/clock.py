"""The one place that asks for the time; only views, tasks and commands come here."""

import datetime as dt
from zoneinfo import ZoneInfo


def now() -> dt.datetime:
    """This instant in UTC."""
    return dt.datetime.now(tz=dt.UTC)


def today(*, time_zone: str) -> dt.date:
    """The day it is in the zone TIME_ZONE."""
    return now().astimezone(ZoneInfo(time_zone)).date()
