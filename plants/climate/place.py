"""The mean weather of one place, and the dates on which its year turns."""

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import lru_cache
from typing import Any, Literal, NamedTuple

from plants.climate.checks import (
    Chance,
    ClimateError,
    FrostDates,
    check_frost_order,
    read_frost_dates,
    read_months,
)
from plants.climate.lines import (
    MILD_LEAF_DAYS,
    MILD_SWELL_DAYS,
    MONTH_DAYS,
    MONTH_STARTS,
    SOUTH_SHIFT,
    SPREAD_SHARE,
    Turns,
    falls_to,
    rises_to,
    running_degree_days,
    running_lifted_degree_days,
    season_line,
    straight_line,
    turns,
    year_line,
)
from plants.climate.zones import GddMethod, hardiness_zone, heat_zone

Of = Literal["mean", "low", "high"]


class Season(NamedTuple):
    """First and last day of a stretch of the year, both in it."""

    first: date
    last: date

    @property
    def days(self) -> int:
        """Number of days from the first to the last, both counted."""
        return (self.last - self.first).days + 1


@dataclass(frozen=True, eq=False)
class Climate:
    """The mean weather of one place; equal figures make equal climates.

    ETO_MM is reference evapotranspiration by month where more than temperatures was
    measured: ETO_MEASURED names what of wind, humidity and sunshine.
    """

    tmin_c: tuple[float, ...]
    tmax_c: tuple[float, ...]
    rain_mm: tuple[float, ...]
    lat: float
    last_spring_frost: FrostDates
    first_autumn_frost: FrostDates
    lowest_c: float | None = None
    method: str = "typed"
    region: str | None = None
    spread_c: tuple[float, ...] | None = None
    heat_days: float | None = None
    eto_mm: tuple[float, ...] | None = None
    eto_measured: tuple[str, ...] = ()
    _key: tuple[object, ...] = field(init=False, repr=False)
    _hash: int = field(init=False, repr=False)

    def __post_init__(self) -> None:
        key = (
            self.tmin_c,
            self.tmax_c,
            self.rain_mm,
            self.lat,
            self.last_spring_frost,
            self.first_autumn_frost,
            self.lowest_c,
            self.method,
            self.region,
            self.spread_c,
            self.heat_days,
            self.eto_mm,
            self.eto_measured,
        )
        # Caches ask for the hash thousands of times a second.
        object.__setattr__(self, "_key", key)
        object.__setattr__(self, "_hash", hash(key))

    def __hash__(self) -> int:
        return self._hash

    def __eq__(self, other: object) -> bool:
        return self is other or (isinstance(other, Climate) and self._key == other._key)

    @classmethod
    def from_months(
        cls,
        *,
        tmin_c: Sequence[float],
        tmax_c: Sequence[float],
        rain_mm: Sequence[float],
        lat: float,
        last_spring_frost: Mapping[int, Sequence[int] | None],
        first_autumn_frost: Mapping[int, Sequence[int] | None],
        lowest_c: float | None = None,
        method: str = "typed",
        region: str | None = None,
        spread_c: Sequence[float] | None = None,
        heat_days: float | None = None,
        eto_mm: Sequence[float] | None = None,
        eto_measured: Sequence[str] = (),
    ) -> "Climate":
        """A climate from monthly means, January first, or ClimateError.

        Frost dates are (month, day) by chance in per cent, or None where frost
        stays away in so many years. In spring the chance is that of a later frost,
        so the 10 % date is the late one; in autumn that of an earlier one.
        """
        tmin = read_months(tmin_c, "mean lows", -70, 45)
        tmax = read_months(tmax_c, "mean highs", -60, 55)
        rain = read_months(rain_mm, "rain", 0, 3000)
        for number, (low, high) in enumerate(zip(tmin, tmax, strict=True), start=1):
            if low > high:
                raise ClimateError(
                    f"month {number}: the mean low {low} °C is over the mean high "
                    f"{high} °C"
                )
        if not -66.5 <= lat <= 66.5:
            raise ClimateError(
                f"latitude {lat}: gardens between the polar circles only (66.5)"
            )
        if lowest_c is not None and not -60 <= lowest_c <= 30:
            raise ClimateError(f"mean yearly lowest {lowest_c} °C is out of the world")
        if heat_days is not None and not 0 <= heat_days <= 366:
            raise ClimateError(f"heat days {heat_days}: a year has 0 to 366")
        spring = read_frost_dates(last_spring_frost, "last spring frost")
        autumn = read_frost_dates(first_autumn_frost, "first autumn frost")
        check_frost_order(spring, autumn, southern=lat < 0)
        if min(tmin) < -1 and dict(spring)[50] is None:
            raise ClimateError(
                f"a month with a mean low of {min(tmin)} °C has frost: give the 50 % "
                "last spring frost"
            )
        if min(tmin) < -1 and dict(autumn)[50] is None:
            raise ClimateError(
                f"a month with a mean low of {min(tmin)} °C has frost: give the 50 % "
                "first autumn frost"
            )
        return cls(
            tmin_c=tmin,
            tmax_c=tmax,
            rain_mm=rain,
            lat=float(lat),
            last_spring_frost=spring,
            first_autumn_frost=autumn,
            lowest_c=lowest_c,
            method=method,
            region=region,
            spread_c=None
            if spread_c is None
            else read_months(spread_c, "spread", 0, 20),
            heat_days=heat_days,
            eto_mm=None
            if eto_mm is None
            else read_months(eto_mm, "evapotranspiration", 0, 600),
            eto_measured=tuple(eto_measured) if eto_mm is not None else (),
        )

    @classmethod
    def from_figures(cls, figures: Mapping[str, Any], *, lat: float) -> "Climate":
        """A climate from figures kept as JSON, whose chances are strings.

        What "air" holds is kept for the form that evapotranspiration was typed on.
        """
        try:
            given = {key: value for key, value in figures.items() if key != "air"}
            for frost in ("last_spring_frost", "first_autumn_frost"):
                given[frost] = {int(key): day for key, day in given[frost].items()}
            return cls.from_months(lat=lat, **given)
        except (AttributeError, KeyError, TypeError) as error:
            raise ClimateError(f"climate figures: {error}") from None

    @property
    def southern(self) -> bool:
        """Whether the place lies south of the equator."""
        return self.lat < 0

    def mean_c(self, day: date) -> float:
        """Mean temperature of the day in the mean of years."""
        return _line(self, "mean")[year_day(day)]

    def low_c(self, day: date) -> float:
        """Mean low of the day in the mean of years."""
        return _line(self, "low")[year_day(day)]

    def high_c(self, day: date) -> float:
        """Mean high of the day in the mean of years."""
        return _line(self, "high")[year_day(day)]

    def date_of(self, season_day: int, year: int) -> date:
        """The date of a season day of the year; day 0 is 1 January or 1 July.

        Days before 0 and after 364 fall in the years beside it.
        """
        turns, rest = divmod(season_day, 365)
        calendar = rest + (SOUTH_SHIFT if self.southern else 0)
        year += turns
        if calendar >= 365:
            calendar -= 365
            year += 1
        month = bisect_right(MONTH_STARTS, calendar) - 1
        return date(year, month + 1, calendar - MONTH_STARTS[month] + 1)

    def season_day(self, month: int, day: int) -> int:
        """The season day (0 to 364) of a month and day; 29 February counts as 28."""
        calendar = MONTH_STARTS[month - 1] + min(day, MONTH_DAYS[month - 1]) - 1
        return (calendar - (SOUTH_SHIFT if self.southern else 0)) % 365

    def year_of(self, day: date) -> int:
        """The growing year a day belongs to; in the south it starts on 1 July."""
        return day.year - 1 if self.southern and day.month < 7 else day.year

    def last_spring(self, year: int, chance: Chance = 50) -> date | None:
        """Day after which frost comes in so many of 100 years; None without frost."""
        found = dict(self.last_spring_frost)[chance]
        if found is None:
            return None
        season_day = self.season_day(*found)
        # A "last spring" frost before New Year is a mild place's winter.
        return self.date_of(season_day - 365 * (season_day > 182), year)

    def first_autumn(self, year: int, chance: Chance = 50) -> date | None:
        """Day by which frost has come in so many of 100 years; None without frost."""
        found = dict(self.first_autumn_frost)[chance]
        if found is None:
            return None
        season_day = self.season_day(*found)
        return self.date_of(season_day + 365 * (season_day <= 182), year)

    def midsummer(self, year: int) -> date:
        """The longest day, taken as 21 June or 21 December."""
        return date(year, 12, 21) if self.southern else date(year, 6, 21)

    def coldest(self, year: int) -> date:
        """The coldest day of the winter that leads into the year's spring."""
        return self._turn(year, _turns(self).coldest)

    def bud_swell(self, year: int) -> date | None:
        """Day the mean rises through 5.5 °C; None where there are no seasons."""
        return self._turn_or_none(year, _turns(self).bud_swell)

    def leaf_out(self, year: int) -> date | None:
        """Day the mean rises through 10 °C; None where there are no seasons."""
        return self._turn_or_none(year, _turns(self).leaf_out)

    def leaf_fall(self, year: int) -> date | None:
        """Day the mean falls through 10 °C; None where winter stays warmer."""
        return self._turn_or_none(year, _turns(self).leaf_fall)

    def dormancy(self, year: int) -> date | None:
        """Day the mean falls through 5.5 °C; None where winter stays warmer."""
        return self._turn_or_none(year, _turns(self).dormancy)

    def warms_to(self, mean_c: float, year: int, *, of: Of = "mean") -> date | None:
        """First day after the coldest on which the mean, low or high is reached."""
        return self._turn_or_none(year, rises_to(_season(self, of), mean_c))

    def cools_to(self, mean_c: float, year: int, *, of: Of = "mean") -> date | None:
        """First day after the warmest on which it is no warmer; None if never."""
        return self._turn_or_none(year, falls_to(_season(self, of), mean_c))

    def growing_season(self, year: int) -> Season | None:
        """Frost-free stretch between the 50 % dates; None where frost is no rule."""
        spring, autumn = self.last_spring(year), self.first_autumn(year)
        if spring is None or autumn is None:
            return None
        return Season(spring + timedelta(days=1), autumn - timedelta(days=1))

    def degree_days(self, day: date, *, method: GddMethod = "average") -> float:
        """Degree days (F, base 50) from the hemisphere's new year to the day, in it."""
        return _gdd(self, method)[self.season_day(day.month, day.day)]

    def degree_days_reached(
        self, total: float, year: int, *, method: GddMethod = "average"
    ) -> date | None:
        """First day of the growing year whose total reaches the figure, or None."""
        sums = _gdd(self, method)
        found = bisect_left(sums, total)
        return self.date_of(found, year) if found < 365 else None

    def hardiness_zone(self) -> str | None:
        """Half-zone of the mean yearly lowest temperature; None when not known."""
        if self.lowest_c is None:
            return None
        return hardiness_zone(self.lowest_c * 9 / 5 + 32)

    def heat_zone(self) -> int | None:
        """Heat zone from the recorded days over 30 °C; None when not known."""
        return None if self.heat_days is None else heat_zone(self.heat_days)

    def says(self) -> tuple[str, ...]:
        """What this climate lacks and what is therefore left out, in words."""
        words = []
        if dict(self.first_autumn_frost)[50] is None:
            words.append(
                "No autumn frost in most years: nothing is hung on a first frost."
            )
        if dict(self.last_spring_frost)[50] is None:
            words.append(
                "No spring frost in most years: nothing is hung on a last frost."
            )
        turns = _turns(self)
        if turns.leaf_out is None:
            words.append("The months are too alike to tell spring from autumn.")
        else:
            if turns.dormancy is None:
                words.append(
                    "Winter stays warmer than 5.5 °C in the mean: no dormant season; "
                    f"bud swell is taken {MILD_SWELL_DAYS} days after the coldest day."
                )
            if turns.leaf_fall is None:
                words.append(
                    "Winter stays warmer than 10 °C in the mean: no leaf fall is "
                    f"given; leaf-out is taken {MILD_LEAF_DAYS} days after the "
                    "coldest day."
                )
        if self.lowest_c is None:
            words.append("No yearly lowest temperature: no hardiness zone.")
        return tuple(words)

    def _turn(self, year: int, season_day: int) -> date:
        return self.date_of(season_day, year)

    def _turn_or_none(self, year: int, season_day: int | None) -> date | None:
        return None if season_day is None else self.date_of(season_day, year)


def year_day(day: date) -> int:
    """Day of the year from 0 to 364; 29 February counts as the 28th."""
    return MONTH_STARTS[day.month - 1] + min(day.day, MONTH_DAYS[day.month - 1]) - 1


def _mean_months(climate: Climate) -> tuple[float, ...]:
    pairs = zip(climate.tmin_c, climate.tmax_c, strict=True)
    return tuple((low + high) / 2 for low, high in pairs)


def _line(climate: Climate, of: Of) -> tuple[float, ...]:
    if of == "low":
        return year_line(climate.tmin_c)
    return year_line(climate.tmax_c if of == "high" else _mean_months(climate))


def _season(climate: Climate, of: Of) -> tuple[float, ...]:
    return season_line(_line(climate, of), southern=climate.southern)


@lru_cache(maxsize=512)
def _turns(climate: Climate) -> Turns:
    return turns(_season(climate, "mean"))


@lru_cache(maxsize=512)
def _gdd(climate: Climate, method: GddMethod) -> tuple[float, ...]:
    if climate.spread_c is None:
        means = _mean_months(climate)
        reach = max(means) - min(means)
        spreads = straight_line([share * reach for share in SPREAD_SHARE])
    else:
        spreads = season_line(
            straight_line(climate.spread_c), southern=climate.southern
        )
    if method == "average":
        return running_degree_days(_season(climate, "mean"), spreads)
    return running_lifted_degree_days(
        _season(climate, "low"), _season(climate, "high"), spreads
    )
