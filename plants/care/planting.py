"""When a plant may go into the ground: right, bearable and wrong weeks of a year.

The year falls into periods at these turns, each with its source:

soil warms     bud swell (common practice, no source)
heat           mean high of 27 °C (80 F), the top of the range in which roots take
               (common practice, no source)
too late       six weeks before the ground freezes: trade advice for evergreens, which
               the Chicago Botanic Garden would rather have planted in spring than in
               late autumn
ground freezes daily mean of 0 °C; soil is cold for roots at a mean of 4.5 °C (40 F),
               both common practice, no source
"""

from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from typing import Literal

from plants.care.group import Group
from plants.climate import Climate

PlantingWord = Literal["right", "bearable", "wrong"]

HEAT_HIGH_C = 27.0
FREEZE_MEAN_C = 0.0
COLD_SOIL_C = 4.5
BEFORE_FREEZE_DAYS = 42

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class PlantingPeriod:
    """Days of one verdict on planting, both ends in it, with the reason."""

    first: date
    last: date
    verdict: PlantingWord
    key: str
    reason: str


def planting_window(
    *,
    climate: Climate,
    year: int,
    group: Group | None = None,
    irrigated: bool = False,
    evergreen: bool | None = None,
    container: bool = True,
    tender: bool = False,
) -> list[PlantingPeriod]:
    """The growing year cut into periods that leave no day out, in date order.

    EVERGREEN is taken from the group when it is not given. A plant without its pot
    (bare roots) wants to be planted leafless; a TENDER one after the late date of the
    last frost.
    """
    if evergreen is None:
        evergreen = group is not None and group.evergreen != "no"
    return list(_periods(climate, year, irrigated, evergreen, container, tender))


def planting_verdict(
    day: date,
    *,
    climate: Climate,
    group: Group | None = None,
    irrigated: bool = False,
    evergreen: bool | None = None,
    container: bool = True,
    tender: bool = False,
) -> PlantingPeriod:
    """The period the day lies in, with its verdict and reason."""
    periods = planting_window(
        climate=climate,
        year=climate.year_of(day),
        group=group,
        irrigated=irrigated,
        evergreen=evergreen,
        container=container,
        tender=tender,
    )
    return next(period for period in periods if period.first <= day <= period.last)


@lru_cache(maxsize=4096)
def _periods(
    climate: Climate,
    year: int,
    irrigated: bool,
    evergreen: bool,
    container: bool,
    tender: bool,
) -> tuple[PlantingPeriod, ...]:
    """The periods, from the day-by-day verdicts at their few turns."""
    first = climate.date_of(0, year)
    end = climate.date_of(0, year + 1)
    turns = {first}
    for near in (year - 1, year, year + 1):
        turns.update(day for day in _turns(climate, near) if first < day < end)
    found: list[PlantingPeriod] = []
    starts = sorted(turns)
    for start, after in zip(starts, [*starts[1:], end], strict=True):
        verdict, key, reason = _verdict(
            start, climate, irrigated, evergreen, container, tender
        )
        last = after - ONE_DAY
        if found and found[-1].key == key:
            start = found.pop().first
        found.append(PlantingPeriod(start, last, verdict, key, reason))
    return tuple(found)


def _turns(climate: Climate, year: int) -> list[date]:
    """First days of a changed verdict in the growing year."""
    found = [
        climate.bud_swell(year),
        climate.leaf_out(year),
        climate.warms_to(HEAT_HIGH_C, year, of="high"),
        climate.cools_to(HEAT_HIGH_C, year, of="high"),
        climate.leaf_fall(year),
        _too_late(climate, year, evergreen=True),
        _too_late(climate, year, evergreen=False),
        climate.cools_to(FREEZE_MEAN_C, year),
        climate.warms_to(FREEZE_MEAN_C, year),
    ]
    late = climate.last_spring(year, 10) or climate.last_spring(year, 50)
    if late is not None:
        found.append(late + ONE_DAY)
    frost = climate.first_autumn(year)
    if frost is not None:
        found.append(frost - BEFORE_FREEZE_DAYS * ONE_DAY)
    return [day for day in found if day is not None]


def _too_late(climate: Climate, year: int, *, evergreen: bool) -> date | None:
    """First day from which too few weeks of warm soil remain; None if never."""
    limit = COLD_SOIL_C if evergreen else FREEZE_MEAN_C
    cold = climate.cools_to(limit, year)
    return None if cold is None else cold - BEFORE_FREEZE_DAYS * ONE_DAY


def _verdict(
    day: date,
    climate: Climate,
    irrigated: bool,
    evergreen: bool,
    container: bool,
    tender: bool,
) -> tuple[PlantingWord, str, str]:
    year = climate.year_of(day)
    swell, leaves = climate.bud_swell(year), climate.leaf_out(year)
    if swell is None or leaves is None:
        return (
            "bearable",
            "no-seasons",
            "There are no seasons here: plant in the rains.",
        )
    heat = climate.warms_to(HEAT_HIGH_C, year, of="high")
    cooler = climate.cools_to(HEAT_HIGH_C, year, of="high")
    hot = heat is not None and cooler is not None and heat <= day < cooler
    before_spring = day < swell
    autumn = climate.midsummer(year) < day and not hot
    thaw = climate.warms_to(FREEZE_MEAN_C, year)
    freeze = climate.cools_to(FREEZE_MEAN_C, year)
    if (thaw is not None and before_spring and day < thaw) or (
        freeze is not None and autumn and day >= freeze
    ):
        return "wrong", "frozen", "The ground is frozen."
    if tender:
        return _tender(day, climate, hot, irrigated)
    fall = climate.leaf_fall(year)
    leafless = before_spring or day < leaves or (fall is not None and day >= fall)
    if not container and not leafless:
        return "wrong", "bare-in-leaf", "Bare roots cannot feed leaves: plant leafless."
    if hot:
        if irrigated:
            return (
                "bearable",
                "heat-watered",
                "It is hot: only with irrigation that surely runs.",
            )
        return "wrong", "heat-dry", "It is hot and nothing waters the new roots."
    late = _too_late(climate, year, evergreen=evergreen)
    if before_spring or (autumn and late is not None and day >= late):
        if evergreen:
            return (
                "wrong",
                "evergreen-winter",
                "Evergreens lose water all winter and cannot root in cold soil.",
            )
        if freeze is not None and not before_spring:
            return (
                "bearable",
                "late-autumn",
                "Under six weeks remain before the ground freezes.",
            )
        return (
            "bearable",
            "mild-winter",
            "The ground is open but cold: roots start in spring.",
        )
    if autumn:
        return "right", "autumn", "Warm soil and cool air: roots grow before winter."
    return "right", "spring", "The soil is warming and summer's heat is still ahead."


def _tender(
    day: date, climate: Climate, hot: bool, irrigated: bool
) -> tuple[PlantingWord, str, str]:
    """A tender plant's verdict: after the last frost, well before the first."""
    year = climate.year_of(day)
    late = climate.last_spring(year, 10) or climate.last_spring(year, 50)
    if late is not None and day <= late:
        return "wrong", "tender-frost", "Frost may still come and kills it."
    frost = climate.first_autumn(year)
    if frost is not None and day >= frost - BEFORE_FREEZE_DAYS * ONE_DAY:
        return "wrong", "tender-late", "Too few weeks remain before the first frost."
    if hot and not irrigated:
        return "wrong", "heat-dry", "It is hot and nothing waters the new roots."
    if hot:
        return (
            "bearable",
            "heat-watered",
            "It is hot: only with irrigation that surely runs.",
        )
    return "right", "tender-warm", "The last frost is past and the season is long."
