"""The water of a new plant, week by week, as bars under the months."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from plants.drawings.strip import MONTHS
from plants.drawings.svg import (
    Gettext,
    as_written,
    drawing,
    line,
    path,
    width_of,
    words,
)

LEFT, RIGHT, TOP, HIGH = 44.0, 10.0, 30.0, 150.0
STEPS = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500)


@dataclass(frozen=True, kw_only=True)
class WaterBar:
    """A week from its first day: the water of one plant, in the unit that is shown."""

    first: date
    amount: float
    is_recorded: bool = False


def water_weeks(
    bars: Sequence[WaterBar],
    *,
    unit: str,
    today: date | None = None,
    title: str = "",
    prefix: str = "water-weeks",
    width: float = 720,
    gettext: Gettext = as_written,
) -> str:
    """A bar for each week: filled where its weather was recorded, else open."""
    if not bars:
        return ""
    first, last = bars[0].first, bars[-1].first + timedelta(days=7)
    room = width - LEFT - RIGHT
    most = max((bar.amount for bar in bars), default=0.0) or 1.0
    step = next((each for each in STEPS if most / each <= 4), 1000.0)
    upper = -(-most // step) * step

    def x(day: date) -> float:
        return LEFT + room * (day - first).days / (last - first).days

    def y(amount: float) -> float:
        return TOP + HIGH * (1 - amount / upper)

    drawn = [words((4, 16), f"{gettext('Water of one plant in a week')}, {unit}")]
    level = 0.0
    while level <= upper + step / 2:
        drawn.append(
            line(
                (LEFT, y(level)),
                (width - RIGHT, y(level)),
                width=1 if not level else 0.8,
                dash=None if not level else "1 3",
                opacity=0.7,
            )
        )
        drawn.append(
            words((LEFT - 5, y(level) + 4), f"{level:g}", size=12, anchor="end")
        )
        level += step
    for bar in bars:
        if bar.amount <= 0:
            continue
        at, end = x(bar.first), x(bar.first + timedelta(days=7))
        drawn.append(
            path(
                f"M {at + 0.6:.1f} {y(0):.1f} V {y(bar.amount):.1f}"
                f" H {max(end - 0.6, at + 1.4):.1f} V {y(0):.1f} Z",
                paint="leaf",
                width=1,
                inside="leaf" if bar.is_recorded else None,
                inside_opacity=0.55 if bar.is_recorded else None,
            )
        )
    drawn.append(_months(first, last, x, gettext))
    if today is not None and first <= today < last:
        drawn.append(
            path(
                f"M {x(today):.1f} {TOP - 6:g} V {TOP + HIGH:g}", paint="ink", width=1.4
            )
        )
        drawn.append(_today_word(x(today), width, gettext))
    return drawing(
        *drawn,
        width=width,
        height=TOP + HIGH + 44,
        title=title or gettext("Water, week by week"),
        description=_told(bars, unit, gettext),
        prefix=prefix,
        kind="water-weeks",
    )


def _today_word(at: float, width: float, gettext: Gettext) -> str:
    label = gettext("today")
    half = width_of(label, size=12) / 2
    place = min(max(at, LEFT + half), width - RIGHT - half)
    return words((place, TOP - 9), label, size=12, anchor="middle")


def _months(first: date, last: date, x: object, gettext: Gettext) -> str:
    assert callable(x)  # noqa: S101
    drawn = []
    free = 0.0
    base = TOP + HIGH
    month = first.replace(day=1)
    while month < last:
        if month >= first:
            at = float(x(month))
            drawn.append(line((at, base), (at, base + 5), width=1))
            label = gettext(MONTHS[month.month - 1])
            if at >= free:
                drawn.append(words((at + 2, base + 17), label, size=12))
                free = at + width_of(label, size=12) + 8
            if month.month == 1:
                drawn.append(words((at + 2, base + 33), str(month.year), size=12))
        month = (month + timedelta(days=31)).replace(day=1)
    return "".join(drawn)


def _told(bars: Sequence[WaterBar], unit: str, gettext: Gettext) -> str:
    """The picture in words: how much in its thirstiest week, and when nothing."""
    most = max(bars, key=lambda bar: bar.amount)
    if not most.amount:
        return gettext("No week wants water.")
    none = sum(1 for bar in bars if not bar.amount)
    return gettext(
        "The most in a week is %(amount)s %(unit)s, from %(day)s; %(none)s of %(all)s "
        "weeks want none."
    ) % {
        "amount": f"{most.amount:.1f}",
        "unit": unit,
        "day": most.first.isoformat(),
        "none": none,
        "all": len(bars),
    }
