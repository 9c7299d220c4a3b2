"""The water in the roots' depth, a day at a time, of any number of beds at once.

FAO-56, chapter 8 (page read), with one coefficient for soil and plants. Two things that
the paper leaves open are options: when in the day water is given, and whether the share
of easy water is adjusted to the day's use.

EARLY water is taken before the day's use (as in example 38): what is more than the
roots' depth lacks in the morning drains. LATE water is taken after it (equation 88 as
it is written), so that less drains.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

Real = npt.NDArray[np.float64]
Truth = npt.NDArray[np.bool_]
When = Literal["early", "late"]

LIGHT_RAIN = 0.2
"""Rain under so much of the day's ETo evaporates from leaves at once (chapter 8)."""

LEAST_SHARE, MOST_SHARE = 0.1, 0.8
SHARE_OF_USE = 0.04
USUAL_USE_MM = 5.0


@dataclass(frozen=True, kw_only=True)
class BedsWater:
    """What the beds' roots can hold, and what grows there: (days, beds) or (beds,)."""

    total_mm: Real
    share: Real
    coefficient: Real


@dataclass(frozen=True, kw_only=True)
class Balance:
    """The year of each bed, (days, beds), all mm; STRESS is 1 where nothing lacks.

    LOST is rain too light to reach the roots.
    """

    depletion: Real
    used: Real
    drained: Real
    irrigated: Real
    lost: Real
    stress: Real
    start: Real

    def unclosed_mm(self, rain_mm: Real) -> float:
        """What of the water of any bed is not accounted for, at most."""
        came = rain_mm.sum(axis=0) + self.irrigated.sum(axis=0)
        went = (self.used + self.drained + self.lost).sum(axis=0)
        stored = self.start - self.depletion[-1]
        return float(np.abs(came - went - stored).max())


def stress_share(depletion: Real, total_mm: Real, share: Real) -> Real:
    """How far roots can still meet the need, from 1 down to 0 (equation 84)."""
    with np.errstate(divide="ignore", invalid="ignore"):
        left = (total_mm - depletion) / ((1 - share) * total_mm)
    out: Real = np.clip(np.where(depletion <= share * total_mm, 1.0, left), 0.0, 1.0)
    return out


def adjusted_share(share: Real, need_mm: Real) -> Real:
    """The share of easy water on a day of that need (chapter 8, table 22)."""
    out: Real = np.clip(
        share + SHARE_OF_USE * (USUAL_USE_MM - need_mm), LEAST_SHARE, MOST_SHARE
    )
    return out


def water_balance(
    beds: BedsWater,
    *,
    et0_mm: Real,
    rain_mm: Real,
    start_mm: Real,
    given_mm: Real | None = None,
    waters: Truth | None = None,
    when: When = "early",
    adjusts_share: bool = True,
    ignores_light_rain: bool = True,
) -> Balance:
    """The balance of every bed over the days of ET0_MM.

    RAIN_MM and GIVEN_MM are (days, beds) or (days, 1). A bed that WATERS is filled up
    on the morning of each day on which its easy water is used up.
    """
    days, count = len(et0_mm), len(start_mm)
    shape = (days, count)
    total = np.broadcast_to(beds.total_mm, shape)
    factor = np.broadcast_to(beds.coefficient, shape)
    rain = np.broadcast_to(rain_mm, shape)
    given = np.zeros(shape) if given_mm is None else np.broadcast_to(given_mm, shape)
    out = {
        key: np.zeros(shape)
        for key in ("depletion", "used", "drained", "irrigated", "lost", "stress")
    }
    depletion = np.minimum(np.asarray(start_mm, dtype=np.float64), total[0])
    start = depletion.copy()
    for day in range(days):
        need = factor[day] * et0_mm[day]
        share = adjusted_share(beds.share, need) if adjusts_share else beds.share
        fell = rain[day]
        if ignores_light_rain:
            lost = np.where(fell < LIGHT_RAIN * et0_mm[day], fell, 0.0)
        else:
            lost = np.zeros(count)
        came = fell - lost
        poured = given[day]
        if waters is not None:
            lacking = np.maximum(depletion - came, 0.0)
            dry = waters & (lacking >= share * total[day]) & (lacking > 0)
            poured = poured + np.where(dry, lacking, 0.0)
        if when == "early":
            morning = depletion - came - poured
            drained = np.maximum(-morning, 0.0)
            morning = np.maximum(morning, 0.0)
            stress = stress_share(morning, total[day], share)
            # Roots take no more than is there.
            used = np.minimum(stress * need, np.maximum(total[day] - morning, 0.0))
            depletion = morning + used
        else:
            stress = stress_share(depletion, total[day], share)
            room = np.maximum(total[day] - depletion, 0.0) + came + poured
            used = np.minimum(stress * need, room)
            evening = depletion + used - came - poured
            drained = np.maximum(-evening, 0.0)
            depletion = np.maximum(evening, 0.0)
        out["depletion"][day] = depletion
        out["used"][day] = used
        out["drained"][day] = drained
        out["irrigated"][day] = poured
        out["lost"][day] = lost
        out["stress"][day] = stress
    return Balance(**out, start=start)
