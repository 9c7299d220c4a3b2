"""Direct sun on a bed, hour by hour, by testing lines to the sun.

Moments lie five minutes apart; between two of them the edge of a shadow is taken to
move evenly. An hour under a crown counts for the share of sun that comes through.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import radians, sin

import numpy as np

from plants.sun.days import HORIZON_DEG, SunPath
from plants.sun.ground import Point
from plants.sun.position import Figures, SunError
from plants.sun.shades import SOLID, Shade, Wall

# The sun moves by 0.022 of its distance in five minutes: twice that leaves no moment
# out whose neighbour has sun.
_NEAR = 0.05
_HALF = 0.5
HOUR_S = 3600.0


@dataclass(frozen=True, kw_only=True, eq=False)
class DirectSun:
    """Hours of direct sun of spots by days, and when the first and the last comes.

    FIRST_S and LAST_S are seconds since 1970 at which some spot begins and ceases to
    have more than half of the sun; nan on a day without.
    """

    before_noon_h: Figures
    after_noon_h: Figures
    late_h: Figures
    up_h: Figures
    first_s: Figures
    last_s: Figures

    @property
    def total_h(self) -> Figures:
        """Hours before and after solar noon together."""
        return self.before_noon_h + self.after_noon_h


def direct_sun(
    path: SunPath,
    at: Sequence[Point],
    shades: Sequence[Shade],
    *,
    leaves: Sequence[bool] | None = None,
    late_from_h: float = 2.0,
    horizon_deg: float = HORIZON_DEG,
) -> DirectSun:
    """The direct sun of spots AT a bed on each day of PATH.

    LEAVES says for each day whether trees are in leaf. LATE_H are the hours from
    LATE_FROM_H after solar noon on.
    """
    days, moments = path.up.shape
    in_leaf = [True] * days if leaves is None else leaves
    if len(in_leaf) != days:
        raise SunError("Say of each day whether trees are in leaf.")
    over = path.up - sin(radians(horizon_deg))
    near = over > -_NEAR
    # Whole days that nobody shades need only one spot.
    spots_at = list(at) if shades else list(at)[:1]
    sun = np.stack([path.east[near], path.north[near], path.up[near]])
    which_day = np.nonzero(near)[0]
    open_sky = np.repeat(over[near][None], len(spots_at), axis=0)
    half_open = open_sky
    screens: list[tuple[Figures, Figures]] = []
    for shade in shades:
        margins = shade.margins(spots_at, sun)
        # Screens stay screens however little they let through, so that a crown with
        # fewer leaves never has less sun under it.
        if isinstance(shade, Wall) and shade.passing == SOLID:
            open_sky = np.minimum(open_sky, -margins)
            half_open = np.minimum(half_open, -margins)
            continue
        share = shade.passing.on(in_leaf)
        screens.append((margins, share))
        if (share <= _HALF).any():
            hides = np.where(share[which_day] <= _HALF, -margins, np.inf)
            half_open = np.minimum(half_open, hides)

    def whole(values: Figures, elsewhere: float) -> Figures:
        full = np.full((len(spots_at), days, moments), elsewhere)
        full[:, near] = values
        return full

    lit = _share_over(whole(open_sky, -1.0))
    for margins, share in screens:
        covered = _share_over(whole(margins, -1.0))
        lit = lit * (1.0 - covered * (1.0 - share[None, :, None]))
    step_h = path.step_s / HOUR_S
    noon = path.noon
    starts_h = np.arange(moments - 1 - noon) * step_h
    late = np.clip((starts_h + step_h - late_from_h) / step_h, 0.0, 1.0)
    first_s, last_s = _ends(path, whole(half_open, -1.0).max(axis=0))
    spread = (len(at), days)
    return DirectSun(
        before_noon_h=np.broadcast_to(lit[..., :noon].sum(-1) * step_h, spread),
        after_noon_h=np.broadcast_to(lit[..., noon:].sum(-1) * step_h, spread),
        late_h=np.broadcast_to((lit[..., noon:] * late).sum(-1) * step_h, spread),
        up_h=_share_over(over).sum(-1) * step_h,
        first_s=first_s,
        last_s=last_s,
    )


def _share_over(margins: Figures) -> Figures:
    """Which part of each step between two moments lies over nothing."""
    one, other = margins[..., :-1], margins[..., 1:]
    high = np.maximum(one, other)
    low = np.minimum(one, other)
    share: Figures = np.clip(high / np.maximum(high - low, 1e-30), 0.0, 1.0)
    return share


def _ends(path: SunPath, margins: Figures) -> tuple[Figures, Figures]:
    """When each day's margin first rises over nothing and last falls under it."""
    is_over = margins > 0
    rows = np.arange(len(margins))
    last_moment = margins.shape[1] - 1
    first = is_over.argmax(axis=1)
    last = last_moment - is_over[:, ::-1].argmax(axis=1)
    before = np.maximum(first - 1, 0)
    after = np.minimum(last + 1, last_moment)
    first_s = path.seconds[rows, first] - path.step_s * _way(
        margins[rows, first], margins[rows, before], first - before
    )
    last_s = path.seconds[rows, last] + path.step_s * _way(
        margins[rows, last], margins[rows, after], after - last
    )
    nothing = ~is_over.any(axis=1)
    return np.where(nothing, np.nan, first_s), np.where(nothing, np.nan, last_s)


def _way(over: Figures, under: Figures, steps: Figures) -> Figures:
    """How far from a moment over nothing the margin meets it, in steps."""
    found: Figures = np.where(steps > 0, over / np.maximum(over - under, 1e-30), 0.0)
    return found
