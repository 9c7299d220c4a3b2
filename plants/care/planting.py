"""When a plant may go into the ground: right, bearable and wrong weeks of a year.

The year falls into periods at these turns, each with its source:

soil warms     bud swell (common practice, no source)
heat           mean high of 27 °C (80 F) (common practice, no source)
drought        a month of under 40 mm with a mean of 12 °C or more (common practice, no
               source)
too late       six weeks before the ground freezes: trade advice for evergreens, which
               the Chicago Botanic Garden would rather have planted in spring than in
               late autumn
ground freezes daily mean of 0 °C; soil is cold for roots at a mean of 4.5 °C (40 F),
               both common practice, no source
root depth     the year's warmth goes down as a wave that comes later with depth: its
               damping depth is the root of twice the soil's diffusivity by the year's
               frequency (heat conduction, Campbell and Norman, An Introduction to
               Environmental Biophysics, from memory); with 0.5 mm² a second 2.2 m, or
               26 days a metre. What is rooted shallower than a hand's breadth is lifted
               out by frost (common practice, no source)
balls          digging leaves most of the roots behind, so that a balled plant does not
               stand heat even where it is watered (common practice, no source)
"""

from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from math import pi, sqrt
from typing import Literal, NamedTuple

from plants.care.group import Group
from plants.climate import Climate

PlantingWord = Literal["right", "bearable", "wrong"]

HEAT_HIGH_C = 27.0
FREEZE_MEAN_C = 0.0
COLD_SOIL_C = 4.5
BEFORE_FREEZE_DAYS = 42
DRY_MONTH_MM = 40.0
THIRSTY_MEAN_C = 12.0
AUTUMN_DAYS = 70
"""Where no heat ends, autumn begins so long after midsummer."""

SHALLOW_M = 0.12
"""Roots no deeper than this are lifted by frost."""

DIFFUSIVITY_M2_PER_S = 0.5e-6
YEAR_S = 365.25 * 86400
DAMPING_DEPTH_M = sqrt(2 * DIFFUSIVITY_M2_PER_S / (2 * pi / YEAR_S))

ONE_DAY = timedelta(days=1)
MONTHS = range(1, 13)


class Stock(NamedTuple):
    """What is planted, and whether it will be watered."""

    irrigated: bool
    evergreen: bool
    container: bool
    tender: bool
    balled: bool = False
    root_depth_m: float | None = None

    @property
    def is_shallow(self) -> bool:
        """Whether its roots lie so high that frost lifts them."""
        return self.root_depth_m is not None and self.root_depth_m <= SHALLOW_M


class Ruling(NamedTuple):
    """A verdict with a key to tell it by and its reason."""

    verdict: PlantingWord
    key: str
    reason: str


FROZEN = Ruling("wrong", "frozen", "The ground is frozen.")
NO_SEASONS = Ruling(
    "bearable", "no-seasons", "There are no seasons here: plant in the rains."
)
BARE_IN_LEAF = Ruling(
    "wrong", "bare-in-leaf", "Bare roots cannot feed leaves: plant leafless."
)
HEAT_DRY = Ruling(
    "wrong", "heat-dry", "It is hot or dry and nothing waters the new roots."
)
HEAT_WATERED = Ruling(
    "bearable",
    "heat-watered",
    "It is hot or dry: only with irrigation that surely runs.",
)
BALLED_HEAT = Ruling(
    "wrong",
    "balled-heat",
    "It is hot or dry, and digging left most of its roots behind.",
)
FROST_HEAVE = Ruling(
    "wrong",
    "frost-heave",
    "So shallow a root ball is lifted by frost before it has held on.",
)
EVERGREEN_WINTER = Ruling(
    "wrong",
    "evergreen-winter",
    "Leaves that stay on lose water all winter; cold soil grows no root.",
)
LATE_AUTUMN = Ruling(
    "bearable", "late-autumn", "Under six weeks remain before the ground freezes."
)
MILD_WINTER = Ruling(
    "bearable", "mild-winter", "The ground is open but cold: roots start in spring."
)
AUTUMN = Ruling("right", "autumn", "Warm soil and cool air: roots grow before winter.")
COOL_SUMMER = Ruling(
    "right", "cool-summer", "No great heat comes here: water in the first weeks."
)
SPRING = Ruling(
    "right", "spring", "The soil is warming and summer's heat is still ahead."
)
TENDER_FROST = Ruling("wrong", "tender-frost", "Frost may still come and kills it.")
TENDER_LATE = Ruling(
    "wrong", "tender-late", "Too few weeks remain before the first frost."
)
TENDER_WARM = Ruling(
    "right", "tender-warm", "The last frost is past and the season is long."
)


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
    balled: bool = False,
    root_depth_m: float | None = None,
) -> list[PlantingPeriod]:
    """The growing year cut into periods that leave no day out, in date order.

    EVERGREEN is taken from the group when it is not given. A plant without its pot
    (bare roots) wants to be planted leafless; a BALLED one out of the heat; a TENDER
    one after the late date of the last frost. Soil is cold so many days later as the
    roots lie deep.
    """
    if evergreen is None:
        evergreen = group is not None and group.evergreen != "no"
    stock = Stock(
        irrigated,
        evergreen,
        container,
        tender,
        balled,
        None if root_depth_m is None else round(root_depth_m, 2),
    )
    return list(_periods(climate, year, stock))


def planting_verdict(
    day: date,
    *,
    climate: Climate,
    group: Group | None = None,
    irrigated: bool = False,
    evergreen: bool | None = None,
    container: bool = True,
    tender: bool = False,
    balled: bool = False,
    root_depth_m: float | None = None,
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
        balled=balled,
        root_depth_m=root_depth_m,
    )
    return next(period for period in periods if period.first <= day <= period.last)


@lru_cache(maxsize=4096)
def _periods(climate: Climate, year: int, stock: Stock) -> tuple[PlantingPeriod, ...]:
    """The periods, from the rulings on the few days at which the year turns."""
    first, end = climate.date_of(0, year), climate.date_of(0, year + 1)
    starts = sorted(
        {first, *(day for day in _turns(climate, year, stock) if first < day < end)}
    )
    found: list[PlantingPeriod] = []
    for start, after in zip(starts, [*starts[1:], end], strict=True):
        ruling = rule_on(start, climate, stock)
        if found and found[-1].key == ruling.key:
            start = found.pop().first
        found.append(PlantingPeriod(start, after - ONE_DAY, *ruling))
    return tuple(found)


def _turns(climate: Climate, year: int, stock: Stock) -> list[date]:
    """Days of the growing year from which a ruling may differ."""
    midsummer = climate.midsummer(year)
    found = [
        climate.bud_swell(year),
        climate.leaf_out(year),
        climate.warms_to(HEAT_HIGH_C, year, of="high"),
        climate.cools_to(HEAT_HIGH_C, year, of="high"),
        midsummer + ONE_DAY,
        midsummer + AUTUMN_DAYS * ONE_DAY,
        climate.leaf_fall(year),
        _too_late(climate, year, stock),
        climate.cools_to(FREEZE_MEAN_C, year),
        climate.warms_to(FREEZE_MEAN_C, year),
        _tender_to(climate, year),
    ]
    late = _tender_from(climate, year)
    found.append(late and late + ONE_DAY)
    found.extend(date(near, month, 1) for near in (year, year + 1) for month in MONTHS)
    return [day for day in found if day is not None]


def rule_on(day: date, climate: Climate, stock: Stock) -> Ruling:
    """The verdict on planting on the day."""
    year = climate.year_of(day)
    swell, leaves = climate.bud_swell(year), climate.leaf_out(year)
    if swell is None or leaves is None:
        return NO_SEASONS
    before_spring = day < swell
    past_midsummer = day > climate.midsummer(year)
    thaw = climate.warms_to(FREEZE_MEAN_C, year)
    freeze = climate.cools_to(FREEZE_MEAN_C, year)
    if thaw is not None and before_spring and day < thaw:
        return FROZEN
    if freeze is not None and day >= freeze:
        return FROZEN
    thirsty = _hot(day, climate, year) or _dry(day, climate)
    if stock.tender:
        return _rule_on_tender(day, climate, year, thirsty, stock)
    fall = climate.leaf_fall(year)
    leafless = day < leaves or (fall is not None and day >= fall)
    if not stock.container and not stock.balled and not leafless:
        return BARE_IN_LEAF
    if thirsty and stock.balled:
        return BALLED_HEAT
    if thirsty:
        return HEAT_WATERED if stock.irrigated else HEAT_DRY
    late = _too_late(climate, year, stock)
    if before_spring:
        return EVERGREEN_WINTER if stock.evergreen else MILD_WINTER
    if past_midsummer and late is not None and day >= late:
        if stock.evergreen:
            return EVERGREEN_WINTER
        return FROST_HEAVE if stock.is_shallow else LATE_AUTUMN
    if not past_midsummer:
        return SPRING
    heat = climate.warms_to(HEAT_HIGH_C, year, of="high")
    if heat is None and day < climate.midsummer(year) + AUTUMN_DAYS * ONE_DAY:
        return COOL_SUMMER
    return AUTUMN


def _rule_on_tender(
    day: date, climate: Climate, year: int, thirsty: bool, stock: Stock
) -> Ruling:
    """A tender plant goes in after the last frost and well before the first."""
    late, early = _tender_from(climate, year), _tender_to(climate, year)
    if late is not None and day <= late:
        return TENDER_FROST
    if early is not None and day >= early:
        return TENDER_LATE
    if thirsty:
        return HEAT_WATERED if stock.irrigated else HEAT_DRY
    return TENDER_WARM


def _hot(day: date, climate: Climate, year: int) -> bool:
    heat = climate.warms_to(HEAT_HIGH_C, year, of="high")
    cooler = climate.cools_to(HEAT_HIGH_C, year, of="high")
    return heat is not None and cooler is not None and heat <= day < cooler


def _dry(day: date, climate: Climate) -> bool:
    month = day.month - 1
    mean_c = (climate.tmin_c[month] + climate.tmax_c[month]) / 2
    return climate.rain_mm[month] < DRY_MONTH_MM and mean_c >= THIRSTY_MEAN_C


def _too_late(climate: Climate, year: int, stock: Stock) -> date | None:
    """First day from which too few weeks of warm soil remain; None if never."""
    cold = climate.cools_to(COLD_SOIL_C if stock.evergreen else FREEZE_MEAN_C, year)
    if cold is None:
        return None
    return cold + timedelta(days=lag_days(stock.root_depth_m) - BEFORE_FREEZE_DAYS)


def lag_days(root_depth_m: float | None) -> int:
    """Days by which the soil at the foot of the roots follows the air."""
    if root_depth_m is None:
        return 0
    return round(root_depth_m / DAMPING_DEPTH_M * 365.25 / (2 * pi))


def _tender_from(climate: Climate, year: int) -> date | None:
    """The late date of the last frost, or the median where only that is known."""
    return climate.last_spring(year, 10) or climate.last_spring(year, 50)


def _tender_to(climate: Climate, year: int) -> date | None:
    """First day from which too few weeks remain to the first frost."""
    frost = climate.first_autumn(year)
    return None if frost is None else frost - BEFORE_FREEZE_DAYS * ONE_DAY
