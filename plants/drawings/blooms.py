"""What is in flower through the year, week by week, and the weeks without."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from plants.drawings.strip import (
    AIR,
    BAR,
    BESIDE,
    MARGIN,
    Scale,
    day_words,
    month_letters,
    row_words,
    run_words,
    scale_of,
    today_line,
)
from plants.drawings.svg import (
    Gettext,
    as_written,
    box,
    drawing,
    frame,
    hatched,
    paragraph,
    type_of_colour,
)


@dataclass(frozen=True, kw_only=True)
class Bloom:
    """One plant's times in flower; the colour is #rrggbb where it is known."""

    label: str
    spans: tuple[tuple[date, date], ...]
    colour: str | None = None


@dataclass(frozen=True, kw_only=True)
class Gap:
    """Whole weeks in which nothing flowers."""

    first: date
    last: date
    weeks: int


def _weeks(start: date, days: int) -> list[tuple[date, date]]:
    """Runs of seven days from a start; a rest of a few days joins the last week."""
    count = max(days // 7, 1)
    firsts = [start + timedelta(days=7 * index) for index in range(count)]
    lasts = [first + timedelta(days=6) for first in firsts]
    lasts[-1] = start + timedelta(days=days - 1)
    return list(zip(firsts, lasts, strict=True))


def _flowers(row: Bloom, first: date, last: date) -> bool:
    return any(begin <= last and end >= first for begin, end in row.spans)


def bloom_gaps(
    rows: Sequence[Bloom],
    *,
    start: date,
    days: int = 365,
    season: tuple[date, date] | None = None,
) -> list[Gap]:
    """The runs of whole weeks from a start in which none of the plants flowers.

    With a season only weeks that lie wholly inside it are counted.
    """
    gaps: list[Gap] = []
    open_since: date | None = None
    count = 0
    end = start
    for first, last in _weeks(start, days):
        is_outside = season is not None and (first < season[0] or last > season[1])
        if is_outside or any(_flowers(row, first, last) for row in rows):
            if open_since is not None:
                gaps.append(Gap(first=open_since, last=end, weeks=count))
            open_since, count = None, 0
        else:
            open_since = open_since or first
            count += 1
        end = last
    if open_since is not None:
        gaps.append(Gap(first=open_since, last=end, weeks=count))
    return gaps


def bloom_calendar(
    rows: Sequence[Bloom],
    *,
    start: date,
    days: int = 365,
    today: date | None = None,
    season: tuple[date, date] | None = None,
    title: str = "",
    prefix: str = "bloom",
    width: float = 340,
    beside: bool = False,
    with_gaps: bool = True,
    with_dates: bool = True,
    gettext: Gettext = as_written,
) -> str:
    """Weeks in flower, plant by plant, and the weeks in which nothing flowers.

    With a season only its weeks without flowers are shown as such; without WITH_GAPS
    none are, for plants that are only a part of what grows there. BESIDE puts the
    words to the left of the bars, for a drawing as wide as a sheet of paper; without
    WITH_DATES it stays as low as it can be, and the days are in its description.
    """
    scale = scale_of(start, days, width, left=BESIDE if beside else 0)
    head_width = BESIDE if beside else width
    weeks = _weeks(start, days)
    y = 44.0
    parts: list[str] = []
    told: list[str] = []
    bands: list[float] = []
    for row in rows:
        shown = [run for run in row.spans if scale.meets(*run)]
        dates = ", ".join(run_words(*run, gettext) for run in shown) or gettext(
            "bloom not recorded"
        )
        head, taken = row_words(
            y, row.label, dates if with_dates else "", width=head_width
        )
        next_y = y + taken + AIR
        y += -10 if beside else taken - 9
        parts.append(head)
        bands.append(y)
        known = row.colour is not None and type_of_colour.fullmatch(row.colour)
        paint = row.colour if known and row.colour else "leaf"
        for first, last in weeks:
            if _flowers(row, first, last):
                x, wide = scale.run(first, last)
                parts.append(
                    box(
                        (x + 0.6, y),
                        wide - 1.2,
                        BAR,
                        inside=paint,
                        opacity=None if known else 0.7,
                    )
                )
                # A rim in ink, so that pale flowers show on paper too.
                parts.append(
                    frame((x + 0.6, y), wide - 1.2, BAR, line_width=0.6, opacity=0.7)
                )
        told.append(f"{row.label}: {dates}.")
        y = next_y if beside else y + BAR + 22
    if with_gaps:
        gaps = bloom_gaps(rows, start=start, days=days, season=season)
        drawn, said, y, hatches = _gaps(
            gaps, scale, y, head_width, beside, season is not None, gettext
        )
        parts.append(drawn)
        told.append(said)
        bands += hatches
    elif not beside:
        y -= 12
    bottom = y
    over = []
    if today is not None and scale.meets(today, today):
        over.append(today_line(scale, today, bands, bottom, gettext))
        told.append(gettext("Today is {day}.").format(day=day_words(today, gettext)))
    return drawing(
        month_letters(scale, top=20, bands=bands, gettext=gettext),
        *parts,
        *over,
        width=width,
        height=bottom + (26 if over or not beside else 4),
        title=title or gettext("In flower through the year"),
        description=" ".join(told),
        prefix=prefix,
        kind="bloom-calendar",
    )


def _gaps(
    gaps: Sequence[Gap],
    scale: Scale,
    y: float,
    width: float,
    beside: bool,
    of_season: bool,
    gettext: Gettext,
) -> tuple[str, str, float, list[float]]:
    """The row of weeks without flowers: drawn, in words, its foot, and its bar."""
    gap_words = ", ".join(run_words(gap.first, gap.last, gettext) for gap in gaps)
    every_week = (
        gettext("In flower every week of the growing season")
        if of_season
        else gettext("In flower every week")
    )
    # Beside the bars there is room for the days in the column of words itself.
    head, taken = row_words(
        y,
        gettext("Nothing in flower") if gaps else every_week,
        gap_words if beside else "",
        width=width,
        weight="bold",
    )
    parts = [head]
    next_y = y + taken + AIR
    y += -10 if beside else taken - 9
    for gap in gaps:
        x, wide = scale.run(gap.first, gap.last)
        parts.append(hatched((x, y), wide, BAR, paint="ink"))
        parts.append(frame((x, y), wide, BAR, line_width=0.9))
    if gaps:
        said = gettext("Nothing in flower: {runs}.").format(runs=gap_words)
    elif of_season:
        said = gettext("Something flowers every week of the growing season.")
    else:
        said = gettext("Something flowers every week.")
    bar = y
    if beside:
        y = max(next_y - 8, y + BAR + 8)
    elif gaps:
        listed, more = paragraph(
            (MARGIN, y + BAR + 17), gap_words, width=width - 2 * MARGIN, size=12
        )
        parts.append(listed)
        y += BAR + more + 14
    else:
        y += 8
    return "".join(parts), said, y, [bar] if gaps else []
