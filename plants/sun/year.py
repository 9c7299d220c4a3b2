"""A bed's sun through the year, month by month, and the word a gardener has for it."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from typing import Literal

import numpy as np

from plants.sun.days import HORIZON_DEG, STEP_S, moment_of, sun_path
from plants.sun.ground import Ground, spots
from plants.sun.hours import direct_sun
from plants.sun.position import Place, SunError
from plants.sun.shades import Shade, check_shades, in_leaf

Light = Literal["full sun", "part sun", "part shade", "shade"]

MONTH_DAY = 15
"""The day that stands for its month."""


@dataclass(frozen=True, kw_only=True)
class Thresholds:
    """From how many hours a day on which word is used.

    6 and 4 hours are the common reading of nursery labels; Oregon State University
    extension has full sun over 6, part 3 to 6 and shade under 3. Between the two
    figures the bed is in part sun when so much of it comes after solar noon, else in
    part shade; that figure is common practice, no source.
    """

    full_sun_h: float = 6.0
    part_h: float = 4.0
    afternoon_h: float = 2.0

    def __post_init__(self) -> None:
        if not 0 < self.part_h < self.full_sun_h <= 24:
            raise SunError("Full sun must begin at more hours than part sun, over 0.")
        if not 0 <= self.afternoon_h <= 12:
            raise SunError("The afternoon has 0 to 12 hours.")

    def word(self, *, total_h: float, after_noon_h: float) -> Light:
        """The word for so many hours of direct sun a day."""
        # A float's last digit must not cost a bed its word.
        if total_h >= self.full_sun_h - 1e-6:
            return "full sun"
        if total_h < self.part_h - 1e-6:
            return "shade"
        return "part sun" if after_noon_h >= self.afternoon_h - 1e-6 else "part shade"


@dataclass(frozen=True, kw_only=True)
class Seasons:
    """The climate's dates and months that a bed's sun hangs on, in any year.

    GROWING and HOT are months as numbers; no growing months stands for all twelve.
    """

    leaf_out: date | None = None
    leaf_fall: date | None = None
    growing: frozenset[int] = frozenset()
    hot: frozenset[int] = frozenset()


@dataclass(frozen=True, kw_only=True)
class MonthSun:
    """Direct sun on a bed on the day that stands for a month.

    The hours are the mean of the bed's spots with the least and the most of one. The
    shares are of the time the sun is up. FIRST and LAST are when some spot begins and
    ceases to have more than half of the sun, by the clock; None without any.
    """

    day: date
    before_noon_h: float
    after_noon_h: float
    least_h: float
    most_h: float
    up_h: float
    lit_share: float
    least_share: float
    most_share: float
    first: datetime | None
    last: datetime | None
    late_h: float

    @property
    def total_h(self) -> float:
        """Hours before and after solar noon together."""
        return self.before_noon_h + self.after_noon_h


@dataclass(frozen=True, kw_only=True)
class BedSun:
    """A bed's sun through the year: twelve months and what they come to.

    SEASON_H is the mean of the growing months, SCORCH_H the mean of the hot months'
    hours late in the day.
    """

    months: tuple[MonthSun, ...]
    growing: frozenset[int]
    light: Light
    season_h: float
    season_before_noon_h: float
    season_after_noon_h: float
    least_season_h: float
    most_season_h: float
    scorch_h: float | None
    hot: frozenset[int]
    late_from_h: float


SCORCH_FROM_H = 2.0
"""Sun from so long after solar noon on scorches leaves in hot months, when the air is
warmest; common practice, no source."""


def month_days(year: int) -> tuple[date, ...]:
    """The day that stands for each month of a year."""
    return tuple(date(year, month, MONTH_DAY) for month in range(1, 13))


def bed_sun(
    *,
    place: Place,
    ground: Ground,
    shades: Sequence[Shade],
    year: int,
    zone: tzinfo,
    seasons: Seasons,
    thresholds: Thresholds,
    late_from_h: float = SCORCH_FROM_H,
    step_s: int = STEP_S,
    horizon_deg: float = HORIZON_DEG,
) -> BedSun:
    """The sun of a bed in a year; SunError for a bed or shades that cannot be."""
    at = spots(ground)
    check_shades(ground, shades)
    days = month_days(year)
    path = sun_path(place, days, zone, step_s=step_s)
    sun = direct_sun(
        path,
        at,
        shades,
        leaves=[
            in_leaf(day, leaf_out=seasons.leaf_out, leaf_fall=seasons.leaf_fall)
            for day in days
        ],
        late_from_h=late_from_h,
        horizon_deg=horizon_deg,
    )
    total = sun.total_h
    shares = np.clip(total / np.maximum(sun.up_h, 1e-9), 0.0, 1.0)

    def clock(seconds: float) -> datetime | None:
        return None if np.isnan(seconds) else moment_of(seconds, zone)

    months = tuple(
        MonthSun(
            day=day,
            before_noon_h=float(sun.before_noon_h[:, i].mean()),
            after_noon_h=float(sun.after_noon_h[:, i].mean()),
            least_h=float(total[:, i].min()),
            most_h=float(total[:, i].max()),
            up_h=float(sun.up_h[i]),
            lit_share=float(shares[:, i].mean()),
            least_share=float(shares[:, i].min()),
            most_share=float(shares[:, i].max()),
            first=clock(sun.first_s[i]),
            last=clock(sun.last_s[i]),
            late_h=float(sun.late_h[:, i].mean()),
        )
        for i, day in enumerate(days)
    )
    growing = seasons.growing or frozenset(range(1, 13))
    before = _mean([months[month - 1].before_noon_h for month in growing])
    after = _mean([months[month - 1].after_noon_h for month in growing])
    in_season = total[:, [month - 1 for month in sorted(growing)]].mean(axis=1)
    return BedSun(
        months=months,
        growing=growing,
        light=thresholds.word(total_h=before + after, after_noon_h=after),
        season_h=before + after,
        season_before_noon_h=before,
        season_after_noon_h=after,
        least_season_h=float(in_season.min()),
        most_season_h=float(in_season.max()),
        scorch_h=(
            _mean([months[month - 1].late_h for month in seasons.hot])
            if seasons.hot
            else None
        ),
        hot=seasons.hot,
        late_from_h=late_from_h,
    )


def _mean(figures: Collection[float]) -> float:
    return sum(figures) / len(figures)
