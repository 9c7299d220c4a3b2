"""The dates that windows hang on, computed for a place, a group and a year.

The year of a southern garden runs from 1 July, so that spring, bloom and autumn come
in the same order everywhere. An anchor that a place does not have is None.

last_spring_frost        day after which frost comes in 50 of 100 years (NCEI normals)
last_spring_frost_early  the same for 90 of 100 years: frost is still likely after it
first_autumn_frost       day by which frost has come in 50 of 100 years (NCEI normals)
bud_swell                daily mean rises through 5.5 °C, at least 30 days after the
                         coldest day (common practice, no source)
late_winter              three weeks before bud swell (common practice, no source)
leaf_out                 daily mean rises through 10 °C, at least 45 days after the
                         coldest day (common practice, no source)
bloom_start, bloom_end   the place's own degree days where they are known (what was
                         seen there, else the table of its region), else those of the
                         group where the garden lies in its region, else the region's
                         months shifted by the difference of leaf-out
bud_set                  next year's flower buds are laid: 40 days after midsummer (the
                         shrubs of Virginia Cooperative Extension 430-462 are closed
                         from August), not before the end of bloom; old wood only
leaf_fall                daily mean falls through 10 °C (common practice, no source)
dormancy                 daily mean falls through 5.5 °C (common practice, no source)
midsummer                21 June, in the south 21 December
planting_day             the day of planting
year_start               1 January, in the south 1 July
"""

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from functools import lru_cache
from typing import NamedTuple

from plants.care.group import Bloom, DegreeDays, Group, Timing
from plants.care.regions import REGIONS
from plants.climate import Climate

Observed = Mapping[str, date | Iterable[date]]
"""Days on which an anchor was seen, by its name: one or one a year."""

Seen = tuple[tuple[str, date], ...]

OBSERVABLE = ("leaf_out", "bloom_start", "bloom_end")

LATE_WINTER_DAYS = 21
BUD_SET_DAYS = 40
MOST_SHIFT_DAYS = 60

_MIDSUMMER = 171
_SPRING_ENDS = 151
_AUTUMN_STARTS = 243
_AUTUMN_ENDS = 273
_MONTH_STARTS = (0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365)


def anchors(
    *,
    climate: Climate,
    group: Group,
    year: int,
    planted_on: date | None = None,
    observed: Observed | None = None,
) -> dict[str, date | None]:
    """Every anchor of the year by name; None where the place or group has none.

    A bloom start seen this year moves bloom end and bud set with it.
    """
    found = dict(year_anchors(climate, group.timing, year, seen(observed)))
    found["planting_day"] = planted_on
    return found


def seen(observed: Observed | None) -> Seen:
    """Observations in one order, so that equal ones share a cache line.

    ValueError for an anchor that nobody can see in a garden.
    """
    if not observed:
        return ()
    days: list[tuple[str, date]] = []
    for name, value in observed.items():
        if name not in OBSERVABLE:
            raise ValueError(f"{name} cannot be observed: {', '.join(OBSERVABLE)} can")
        days.extend(
            (name, day) for day in ([value] if isinstance(value, date) else value)
        )
    return tuple(sorted(days))


@lru_cache(maxsize=32768)
def year_anchors(
    climate: Climate, timing: Timing, year: int, observations: Seen
) -> Mapping[str, date | None]:
    """The anchors of a year, computed once; callers must not change them."""
    start, end, buds = _bloom(climate, timing, year)
    found: dict[str, date | None] = {
        **_place_anchors(climate, year),
        "bloom_start": start,
        "bloom_end": end,
        "bud_set": buds,
    }
    for name in OBSERVABLE if observations else ():
        moved = _moved(found[name], name, observations)
        if moved is None:
            continue
        later = {"bloom_start": ("bloom_end", "bud_set"), "bloom_end": ("bud_set",)}
        for follower in (name, *later.get(name, ())):
            day = found[follower]
            found[follower] = day and day + moved
    return found


@lru_cache(maxsize=4096)
def _place_anchors(climate: Climate, year: int) -> Mapping[str, date | None]:
    """The anchors that are the same for every group."""
    swell = climate.bud_swell(year)
    return {
        "last_spring_frost": climate.last_spring(year, 50),
        "last_spring_frost_early": climate.last_spring(year, 90),
        "first_autumn_frost": climate.first_autumn(year, 50),
        "leaf_out": climate.leaf_out(year),
        "bud_swell": swell,
        "leaf_fall": climate.leaf_fall(year),
        "dormancy": climate.dormancy(year),
        "late_winter": swell and swell - timedelta(days=LATE_WINTER_DAYS),
        "midsummer": climate.midsummer(year),
        "planting_day": None,
        "year_start": climate.date_of(0, year),
    }


class Move(NamedTuple):
    """How far something seen lies from the computed day of its anchor."""

    anchor: str
    computed: date
    seen: date

    @property
    def days(self) -> int:
        """Days later than computed; earlier when negative."""
        return (self.seen - self.computed).days

    @property
    def away(self) -> int:
        """So many days either way."""
        return abs(self.days)


def moves(
    *, climate: Climate, group: Group, year: int, observed: Observed | None
) -> list[Move]:
    """What was seen in the year against what was computed without it.

    So far the windows moved that hang on the anchor itself.
    """
    found = []
    plain = year_anchors(climate, group.timing, year, ())
    for name in OBSERVABLE:
        computed = plain[name]
        moved = _moved(computed, name, seen(observed))
        if computed is not None and moved is not None:
            found.append(Move(name, computed, computed + moved))
    return found


def _moved(computed: date | None, name: str, observations: Seen) -> timedelta | None:
    """How far this year's observation lies from the computed day."""
    if computed is None:
        return None
    gaps = [day - computed for seen_name, day in observations if seen_name == name]
    near = [gap for gap in gaps if abs(gap.days) <= 182]
    return min(near, key=abs) if near else None


def _bloom(
    climate: Climate, timing: Timing, year: int
) -> tuple[date | None, date | None, date | None]:
    """Bloom start, bloom end and bud set of the year."""
    bloom = timing.bloom
    if bloom is None:
        return None, None, None
    shift = spring_shift(climate, bloom.region)
    if shift is None:
        return None, None, None
    start = _MONTH_STARTS[bloom.first_month - 1]
    end = _MONTH_STARTS[bloom.last_month] - 1
    if bloom.last_month < bloom.first_month:
        end += 365
    first, last = _shifted(start, shift), _shifted(end, shift)
    start_day = climate.date_of(first, year)
    end_day = climate.date_of(last, year)
    start_day, end_day = _by_degree_days(climate, bloom, year, start_day, end_day)
    if timing.wood not in ("old", "both"):
        return start_day, end_day, None
    buds = _shifted(_MIDSUMMER + BUD_SET_DAYS, shift)
    if start >= _AUTUMN_STARTS:
        # What flowers in autumn and winter lays its buds in the summer after.
        return start_day, end_day, climate.date_of(buds, year + 1)
    return start_day, end_day, max(climate.date_of(buds, year), end_day)


def _by_degree_days(
    climate: Climate, bloom: Bloom, year: int, start: date, end: date
) -> tuple[date, date]:
    """Bloom by degree days where they are known for the place; else as it came."""
    known = degree_days_here(climate, bloom)
    if known is None:
        return start, end
    first = climate.degree_days_reached(known.first, year, method=known.method)
    if first is None:
        return start, end
    if known.last is not None:
        last = climate.degree_days_reached(known.last, year, method=known.method)
        if last is not None and last > first:
            return first, last
    return first, first + (end - start)


def degree_days_here(climate: Climate, bloom: Bloom) -> DegreeDays | None:
    """The degree days that bloom goes by in a climate; None where months are taken."""
    if bloom.local is not None:
        return bloom.local
    if climate.region != bloom.region or bloom.gdd50_first is None:
        return None
    return DegreeDays(
        first=bloom.gdd50_first,
        last=bloom.gdd50_last,
        method="average",
        layer="shipped",
        place=bloom.region,
        source=bloom.source,
    )


@lru_cache(maxsize=512)
def spring_shift(climate: Climate, region: str) -> int | None:
    """Days by which leaf-out comes later here than in the region.

    None where the place has no spring.
    """
    home = REGIONS[region]()
    there, here = home.leaf_out(2025), climate.leaf_out(2025)
    if there is None or here is None:
        return None
    days = (here - climate.date_of(0, 2025)).days
    days -= (there - home.date_of(0, 2025)).days
    return max(-MOST_SHIFT_DAYS, min(MOST_SHIFT_DAYS, days))


def _shifted(season_day: int, shift: int) -> int:
    """A season day moved by the whole shift in spring and by none in September.

    What flowers late goes by the length of the day more than by the warmth of
    spring, so the shift fades over summer and comes back over autumn (common
    practice, no source).
    """
    place = season_day % 365
    if place < _SPRING_ENDS:
        share = 1.0
    elif place < _AUTUMN_STARTS:
        share = (_AUTUMN_STARTS - place) / (_AUTUMN_STARTS - _SPRING_ENDS)
    elif place < _AUTUMN_ENDS:
        share = 0.0
    else:
        share = (place - _AUTUMN_ENDS) / (365 - _AUTUMN_ENDS)
    return season_day + round(shift * share)
