"""First flowers year by year: the computed day and the days they were seen on."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from plants.drawings.strip import BAR, MARGIN, day_words, month_letters, scale_of
from plants.drawings.svg import (
    Gettext,
    as_written,
    circle,
    drawing,
    line,
    path,
    words,
)

ROW = 30.0
TOP = 22.0
YEAR_ROOM = 54.0
FEWEST_DAYS = 56
AIR_DAYS = 10


@dataclass(frozen=True, kw_only=True)
class FlowerYear:
    """A year's computed first flowers, if any, and the days they were seen on."""

    year: int
    computed: date | None
    seen: tuple[date, ...]


def first_flowers(
    years: Sequence[FlowerYear],
    *,
    title: str = "",
    prefix: str = "first-flowers",
    width: float = 340,
    gettext: Gettext = as_written,
) -> str:
    """A row a year on one scale of days: a diamond computed, a dot a sighting.

    The same in words is the drawing's description.
    """
    if not years:
        raise ValueError("there is no year to draw")
    base = years[0].year
    held = [_on_one_year(each, base) for each in years]
    days = [day for computed, seen in held for day in (computed, *seen) if day]
    first = min(days) - timedelta(days=AIR_DAYS)
    length = max((max(days) - first).days + AIR_DAYS, FEWEST_DAYS)
    scale = scale_of(first, length, width, left=YEAR_ROOM)
    bands = [TOP + 14 + ROW * number for number in range(len(years))]
    parts = [month_letters(scale, top=TOP - 8, bands=bands, gettext=gettext)]
    for each, (computed, seen), band in zip(years, held, bands, strict=True):
        middle = band + BAR / 2
        parts.append(words((MARGIN, middle + 4.5), str(each.year), size=13))
        if computed is not None:
            for day in seen:
                ends = (scale.at(computed), middle), (scale.at(day), middle)
                parts.append(line(*ends, paint="leaf", width=1.6))
            x = scale.at(computed)
            parts.append(
                path(
                    f"M{x:.1f} {middle - 7:.1f}l7 7l-7 7l-7 -7z",
                    width=1.6,
                )
            )
        parts.extend(
            circle((scale.at(day), middle), 4.5, paint="leaf", inside="leaf")
            for day in seen
        )
    bottom = bands[-1] + ROW
    parts.append(_legend(bottom + 8, gettext))
    return drawing(
        *parts,
        width=width,
        height=bottom + 22,
        title=title or gettext("First flowers, computed and seen"),
        description=" ".join(_said(each, gettext) for each in years),
        prefix=prefix,
        kind="first-flowers",
    )


def _on_one_year(each: FlowerYear, base: int) -> tuple[date | None, list[date]]:
    """The days of a growing year moved into the first one, so that they line up."""
    back = each.year - base
    computed = None if each.computed is None else _back(each.computed, back)
    return computed, [_back(day, back) for day in each.seen]


def _back(day: date, years: int) -> date:
    if (day.month, day.day) == (2, 29):
        day -= timedelta(days=1)
    return day.replace(year=day.year - years)


def _legend(y: float, gettext: Gettext) -> str:
    x = MARGIN + 7
    beside = 120.0
    return "".join(
        [
            path(f"M{x:.1f} {y - 11:.1f}l6 6l-6 6l-6 -6z", width=1.4),
            words((x + 12, y), gettext("computed"), size=12),
            circle((x + beside, y - 5), 4.5, paint="leaf", inside="leaf"),
            words((x + beside + 12, y), gettext("seen"), size=12),
        ]
    )


def _said(each: FlowerYear, gettext: Gettext) -> str:
    seen = ", ".join(day_words(day, gettext) for day in each.seen)
    if each.computed is None:
        return gettext("{year}: seen {days}.").format(year=each.year, days=seen)
    return gettext("{year}: computed {day}, seen {days}.").format(
        year=each.year, day=day_words(each.computed, gettext), days=seen
    )
