"""The strip of months under every picture of a year: its scale, letters and words."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from plants.drawings.curves import polyline
from plants.drawings.svg import Gettext, line, paragraph, path, width_of, words

MARGIN = 10.0
BAR = 12.0
# The column of words beside the bars, and the air between its rows.
BESIDE = 290.0
AIR = 8.0
MONTHS = (
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
)  # fmt: skip


@dataclass(frozen=True)
class Scale:
    """Where a day stands on the strip."""

    start: date
    days: int
    left: float
    width: float

    def at(self, day: date) -> float:
        """The left edge of a day, held inside the strip."""
        gone = min(max((day - self.start).days, 0), self.days)
        return self.left + self.width * gone / self.days

    @property
    def end(self) -> date:
        """The first day after the strip."""
        return self.start + timedelta(days=self.days)

    def meets(self, first: date, last: date) -> bool:
        """Whether a run of days shows on the strip at all."""
        return first < self.end and last >= self.start

    def run(self, first: date, last: date) -> tuple[float, float]:
        """Left edge and width of a run of days, both ends counted."""
        x = self.at(first)
        return x, self.at(last + timedelta(days=1)) - x


def scale_of(start: date, days: int, width: float, *, left: float = 0) -> Scale:
    """The strip's scale over a width, with room for words at its left."""
    if days < 28:
        raise ValueError("a strip shows 28 days or more")
    return Scale(start, days, MARGIN + left, width - left - 2 * MARGIN)


def day_words(day: date, gettext: Gettext) -> str:
    return f"{day.day} {gettext(MONTHS[day.month - 1])}"


def run_words(first: date, last: date, gettext: Gettext) -> str:
    if first == last:
        return day_words(first, gettext)
    return gettext("{first} to {last}").format(
        first=day_words(first, gettext), last=day_words(last, gettext)
    )


def month_firsts(scale: Scale) -> list[date]:
    """The start of the strip and every first of a month on it."""
    out = [scale.start]
    year, month = scale.start.year, scale.start.month
    while True:
        year, month = (year + 1, 1) if month == 12 else (year, month + 1)
        first = date(year, month, 1)
        if first >= scale.end:
            return out
        out.append(first)


def month_letters(
    scale: Scale, *, top: float, bands: Sequence[float], gettext: Gettext
) -> str:
    """Month letters along the top, with hairlines behind the bars only."""
    firsts = month_firsts(scale)
    ends = [*firsts[1:], scale.end]
    rule = top + 6
    parts = [
        line((scale.left, rule), (scale.left + scale.width, rule), width=1, opacity=0.7)
    ]
    for first, end in zip(firsts, ends, strict=True):
        x, right = scale.at(first), scale.at(end)
        new_year = first.month == 1 and first.day == 1
        parts.append(line((x, rule - 4), (x, rule + 4), width=0.9, opacity=0.7))
        for band in bands:
            parts.append(
                line(
                    (x, band - 3),
                    (x, band + BAR + 3),
                    width=1.1 if new_year else 0.7,
                    opacity=0.6 if new_year else 0.3,
                )
            )
        name = gettext(MONTHS[first.month - 1])
        letter = name if right - x > width_of(name) + 6 else name[:1]
        if right - x >= 9:
            parts.append(
                words(((x + right) / 2, top), letter, size=12, anchor="middle")
            )
    x = scale.left + scale.width
    for band in bands:
        parts.append(line((x, band - 3), (x, band + BAR + 3), width=0.7, opacity=0.3))
    for band in bands:
        y = band + BAR / 2
        parts.append(line((scale.left, y), (x, y), width=0.6, opacity=0.25))
    return "".join(parts)


def arrows(scale: Scale, first: date, last: date, y: float, *, paint: str) -> str:
    """Small arrows where a run goes on past the strip's ends."""
    parts = []
    middle = y + BAR / 2
    if first < scale.start:
        x = scale.left - 3
        parts.append(
            path(
                polyline([(x, middle - 4), (x - 5, middle), (x, middle + 4)]),
                paint=paint,
                width=1.6,
            )
        )
    if last >= scale.end:
        x = scale.left + scale.width + 3
        parts.append(
            path(
                polyline([(x, middle - 4), (x + 5, middle), (x, middle + 4)]),
                paint=paint,
                width=1.6,
            )
        )
    return "".join(parts)


def row_words(
    y: float,
    label: str,
    dates: str,
    *,
    width: float,
    paint: str = "ink",
    weight: str | None = None,
) -> tuple[str, float]:
    """A row's words: its name and dates on one line, on two where they do not fit."""
    room = width - 2 * MARGIN
    if width_of(label) + width_of(dates, size=12) + 14 <= room:
        both = words((MARGIN, y), label, size=13, paint=paint, weight=weight) + words(
            (width - MARGIN, y), dates, size=12, anchor="end", paint=paint
        )
        return both, 16.25
    named, taken = paragraph(
        (MARGIN, y), label, width=room, size=13, paint=paint, weight=weight
    )
    dated, more = paragraph(
        (MARGIN, y + taken), dates, width=room, size=12, paint=paint
    )
    return named + dated, taken + more + 3


def today_line(
    scale: Scale, today: date, bands: Sequence[float], bottom: float, gettext: Gettext
) -> str:
    """Today's line across every bar, its words under the strip."""
    x, wide = scale.run(today, today)
    x += wide / 2
    label = gettext("today, {day}").format(day=day_words(today, gettext))
    half = width_of(label, size=12) / 2
    centre = min(max(x, scale.left + half), scale.left + scale.width - half)
    lines = [
        line((x, band - 3), (x, band + BAR + 5), width=1.8, dash="4 2")
        for band in bands
    ]
    lines.append(path(f"M{x:.2f} {bottom:.2f}l-5 6h10z", width=1.2, inside="ink"))
    said = words((centre, bottom + 19), label, size=12, anchor="middle", weight="bold")
    return "".join([*lines, said])
