"""Work in heat: the heat index, its dangers, and minutes of work and rest in an hour.

Heat index: NOAA Weather Prediction Center, Heat Index Equation (Rothfusz, SR 90-23,
page read). Its cooler formula is already a mean with the temperature and is taken once;
the regression follows where it comes to 80 F or more. Work and rest: NIOSH, Heat
stress: work/rest schedules (page read), for people who are fit, rested, used to heat,
under 40, in normal clothing; what sun and damp add to the air: NIOSH 2017-127 (from
memory). Local law and a physician's word come before all of it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from math import log10, sqrt

HOTTEST_F = 130.0
REGRESSION_FROM_F = 80.0


class HeatError(ValueError):
    """A reading that no thermometer or hygrometer gives."""


class Load(StrEnum):
    """How hard the work is."""

    LIGHT = "light"
    MODERATE = "moderate"
    HEAVY = "heavy"


class Sky(StrEnum):
    """How much sun reaches who works."""

    SUN = "full sun"
    CLOUD = "partly cloudy"
    SHADE = "shade"


@dataclass(frozen=True, kw_only=True)
class Hour:
    """An hour of work: its minutes of work and of rest.

    IS_CAUTION says that the table gives no minutes any more: the work is put off.
    """

    work_min: int
    rest_min: int
    is_caution: bool = False

    @property
    def is_normal(self) -> bool:
        """Whether no more rest is needed than on any day."""
        return not self.is_caution and self.rest_min == 0


NORMAL = Hour(work_min=60, rest_min=0)
CAUTION = Hour(work_min=0, rest_min=60, is_caution=True)

# Minutes of work by adjusted temperature; the first F printed with less than an hour,
# and the first that says caution (NIOSH, page read).
_WORK: Mapping[Load, tuple[int, tuple[int, ...]]] = {
    Load.LIGHT: (106, (45, 40, 35, 30, 15)),
    Load.MODERATE: (100, (45, 40, 35, 30, 30, 25, 20, 15)),
    Load.HEAVY: (95, (45, 45, 40, 35, 35, 30, 30, 25, 20, 20, 15)),
}
SUN_F = {Sky.SUN: 13.0, Sky.CLOUD: 7.0, Sky.SHADE: 0.0}
# Added by relative humidity in per cent; past 60 it goes on by its last step (ours).
_DAMP = ((10.0, -8.0), (20.0, -4.0), (30.0, 0.0), (40.0, 3.0), (50.0, 6.0), (60.0, 9.0))

# Two scales are published; a danger is named with the scale it is from.
SCALES: Mapping[str, tuple[tuple[float, str], ...]] = {
    # National Weather Service as its offices print it (copy and memory).
    "103/125": (
        (125.0, "extreme danger"),
        (103.0, "danger"),
        (90.0, "extreme caution"),
        (80.0, "caution"),
    ),
    # National Weather Service Tulsa (page read).
    "105/130": (
        (130.0, "extreme danger"),
        (105.0, "danger"),
        (90.0, "extreme caution"),
        (80.0, "caution"),
    ),
}
# Proposed federal rule of 2024, not final in what was read (copies).
FIRST_TRIGGER_F, HIGH_TRIGGER_F = 80.0, 90.0
QUARTS_AN_HOUR = 1.0
REST_EVERY_H, REST_MIN = 2, 15


def check_reading(temperature_f: float, humidity: float) -> None:
    """Refuse what cannot be."""
    if not -60 <= temperature_f <= HOTTEST_F:
        raise HeatError(f"{temperature_f:g} F is no temperature to work in.")
    if not 0 <= humidity <= 100:
        raise HeatError("Humidity lies between 0 and 100 %.")


def regression_f(temperature_f: float, humidity: float) -> float:
    """The regression alone, as the Weather Service's printed chart has it."""
    t, r = temperature_f, humidity
    return (
        -42.379
        + 2.04901523 * t
        + 10.14333127 * r
        - 0.22475541 * t * r
        - 0.00683783 * t * t
        - 0.05481717 * r * r
        + 0.00122874 * t * t * r
        + 0.00085282 * t * r * r
        - 0.00000199 * t * t * r * r
    )


def heat_index_f(temperature_f: float, humidity: float) -> float:
    """What the heat is like to a body in the shade, in F; full sun adds up to 15."""
    check_reading(temperature_f, humidity)
    t, r = temperature_f, humidity
    simple = 0.5 * (t + 61.0 + (t - 68.0) * 1.2 + r * 0.094)
    if simple < REGRESSION_FROM_F:
        return simple
    found = regression_f(t, r)
    if r < 13 and 80 <= t <= 112:
        found -= (13 - r) / 4 * sqrt((17 - abs(t - 95)) / 17)
    elif r > 85 and 80 <= t <= 87:
        found += (r - 85) / 10 * ((87 - t) / 5)
    return found


def danger(index_f: float, *, scale: str) -> str:
    """The word of a scale for a heat index; empty below its first step."""
    for least, word in SCALES[scale]:
        if index_f >= least:
            return word
    return ""


def adjusted_f(temperature_f: float, humidity: float, sky: Sky) -> float:
    """The air's temperature with what sun and damp add to it."""
    check_reading(temperature_f, humidity)
    return temperature_f + SUN_F[sky] + _damp(humidity)


def _damp(humidity: float) -> float:
    if humidity <= _DAMP[0][0]:
        return _DAMP[0][1]
    for (low, least), (high, most) in pairwise(_DAMP):
        if humidity <= high:
            return least + (most - least) * (humidity - low) / (high - low)
    return _DAMP[-1][1] + (humidity - _DAMP[-1][0]) * 0.3


def work_and_rest(adjusted: float, load: Load) -> Hour:
    """The minutes of work in an hour; between two printed degrees the hotter one's."""
    degree = int(-(-round(adjusted, 6) // 1))
    first, minutes = _WORK[load]
    if degree < first:
        return NORMAL
    if degree >= first + len(minutes):
        return CAUTION
    work = minutes[degree - first]
    return Hour(work_min=work, rest_min=60 - work)


def exposure_limit_c(watts: float) -> float:
    """The NIOSH exposure limit for people used to heat, as WBGT (2016-106, memory)."""
    return 56.7 - 11.5 * log10(watts)


def alert_limit_c(watts: float) -> float:
    """The NIOSH alert limit for people not used to heat, as WBGT (memory)."""
    return 59.9 - 14.1 * log10(watts)


def water_quarts(people: int, hours: float) -> float:
    """What a crew drinks: a quart each an hour (proposed federal rule, copies)."""
    return people * hours * QUARTS_AN_HOUR
