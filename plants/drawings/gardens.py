"""A garden's year: planting by planting what flowers, may be done and is closed."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from plants.drawings.strip import (
    MARGIN,
    Scale,
    day_words,
    month_letters,
    run_words,
    scale_of,
    today_line,
)
from plants.drawings.svg import (
    Gettext,
    as_written,
    box,
    circle,
    drawing,
    frame,
    hatched,
    line,
    paragraph,
    width_of,
    words,
)
from plants.drawings.years import Span, Window

LANE = 12.0
THIN = 8.0
STEP = 3.0


@dataclass(frozen=True, kw_only=True)
class YearRow:
    """One planting with its windows, closed seasons and times in flower.

    WINDOWS are drawn with all their days; of OTHER work the best days are enough.
    """

    label: str
    windows: Sequence[Window] = ()
    other: Sequence[Window] = ()
    closed: Sequence[Span] = ()
    bloom: Sequence[Span] = ()


def garden_year(
    rows: Sequence[YearRow],
    *,
    start: date,
    days: int = 365,
    today: date | None = None,
    title: str = "",
    prefix: str = "garden-year",
    width: float = 720,
    gettext: Gettext = as_written,
) -> str:
    """Rows by planting: flowers, cuts with best days, closed seasons, other work.

    Each sort has a lane and a shape of its own, so that no colour is needed to tell
    them apart; a lane without anything in it is left out.
    """
    scale = scale_of(start, days, width)
    y, parts = _key(width, gettext)
    letters_at = y
    y += 26
    told: list[str] = []
    bands: list[float] = []
    for row in rows:
        name, taken = paragraph(
            (MARGIN, y), row.label, width=width - 2 * MARGIN, weight="bold"
        )
        parts.append(name)
        y += taken - 9
        said = []
        bloom = [span for span in row.bloom if scale.meets(span.first, span.last)]
        windows = [
            each for each in row.windows if scale.meets(each.earliest, each.latest)
        ]
        closed = [span for span in row.closed if scale.meets(span.first, span.last)]
        if bloom:
            parts += [_flowers(scale, span, y) for span in bloom]
            said.append(gettext("in flower {runs}").format(runs=_runs(bloom, gettext)))
            y += THIN + STEP
        if windows:
            bands.append(y)
            parts += [_window(scale, each, y) for each in windows]
            said.append(_tasks(windows, gettext))
            y += LANE + STEP
        if closed:
            parts += [_shut(scale, span, y) for span in closed]
            for label in dict.fromkeys(span.label for span in closed):
                alike = [span for span in closed if span.label == label]
                said.append(
                    gettext("closed: {what} {runs}").format(
                        what=label, runs=_runs(alike, gettext)
                    )
                )
            y += THIN + STEP
        other = [each for each in row.other if scale.meets(each.best, each.best)]
        if other:
            parts += [_stroke(scale, each, y) for each in other]
            said.append(_tasks(other, gettext))
            y += THIN + STEP
        if not said:
            nothing = gettext("nothing falls in these months")
            parts.append(words((MARGIN, y + 12), nothing, size=12))
            said.append(nothing)
            y += 16
        told.append(f"{row.label}: {'; '.join(said)}.")
        y += 20
    bottom = y - 12
    over = []
    if today is not None and scale.meets(today, today):
        over.append(today_line(scale, today, bands, bottom, gettext))
        told.append(gettext("Today is {day}.").format(day=day_words(today, gettext)))
    return drawing(
        month_letters(scale, top=letters_at, bands=bands, gettext=gettext),
        *parts,
        *over,
        width=width,
        height=bottom + (26 if over else 4),
        title=title or gettext("The garden's year"),
        description=" ".join(told),
        prefix=prefix,
        kind="garden-year",
    )


def _key(width: float, gettext: Gettext) -> tuple[float, list[str]]:
    """What the three shapes mean, and the height at which the strip begins."""
    parts: list[str] = []
    x, y = MARGIN, 14.0
    named = (
        (gettext("in flower"), "bloom"),
        (gettext("cuts, the stroke is the best day"), "window"),
        (gettext("closed season"), "closed"),
        (gettext("other work, its best day"), "other"),
    )
    for label, kind in named:
        taken = 36 + width_of(label, size=12) + 18
        if x > MARGIN and x + taken > width:
            x, y = MARGIN, y + 20
        if kind == "bloom":
            parts.append(_petals(x, y - 8, 28))
        elif kind == "window":
            parts.append(_bar(x, y - 10, 28, tick=x + 14))
        elif kind == "closed":
            parts.append(_hatch(x, y - 8, 28))
        else:
            parts += [_mark(x + at, y - 8) for at in (6, 14, 22)]
        parts.append(words((x + 36, y), label, size=12))
        x += taken
    return y + 24, parts


def _petals(x: float, y: float, wide: float) -> str:
    middle = y + THIN / 2
    count = max(int(wide // 11), 1)
    step = wide / count
    return line((x, middle), (x + wide, middle), paint="leaf", width=1.2) + "".join(
        circle(
            (x + step * (index + 0.5), middle),
            3.0,
            paint="leaf",
            width=1.1,
            inside="leaf",
            inside_opacity=0.45,
        )
        for index in range(count)
    )


def _bar(x: float, y: float, wide: float, *, tick: float | None) -> str:
    drawn = box((x, y), wide, LANE, inside="leaf", opacity=0.3) + frame(
        (x, y), wide, LANE, paint="leaf", line_width=0.9
    )
    if tick is not None:
        drawn += line((tick, y - 2), (tick, y + LANE + 2), width=2.2)
    return drawn


def _hatch(x: float, y: float, wide: float) -> str:
    return hatched((x, y), wide, THIN, gap=5) + frame(
        (x, y), wide, THIN, paint="warn", line_width=1
    )


def _flowers(scale: Scale, span: Span, y: float) -> str:
    x, wide = scale.run(span.first, span.last)
    return _petals(x, y, wide)


def _window(scale: Scale, each: Window, y: float) -> str:
    x, wide = scale.run(each.earliest, each.latest)
    tick = None
    if scale.meets(each.best, each.best):
        left, day_wide = scale.run(each.best, each.best)
        tick = left + day_wide / 2
    return _bar(x, y, wide, tick=tick)


def _mark(x: float, y: float) -> str:
    return line((x, y + 1), (x, y + THIN - 1), width=1.6, opacity=0.8)


def _stroke(scale: Scale, each: Window, y: float) -> str:
    x, wide = scale.run(each.best, each.best)
    return _mark(x + wide / 2, y)


def _shut(scale: Scale, span: Span, y: float) -> str:
    x, wide = scale.run(span.first, span.last)
    return _hatch(x, y, wide)


def _runs(spans: Sequence[Span], gettext: Gettext) -> str:
    """Runs of days; the same days of two years are said once."""
    return ", ".join(
        dict.fromkeys(run_words(span.first, span.last, gettext) for span in spans)
    )


def _tasks(windows: Sequence[Window], gettext: Gettext) -> str:
    """Each task once, with its best days: two, or the first and the number of more."""
    by_label: dict[str, list[Window]] = {}
    for each in windows:
        by_label.setdefault(each.label, []).append(each)
    said = []
    for label, alike in by_label.items():
        best = day_words(alike[0].best, gettext)
        if len(alike) > 2:
            best = gettext("{day} and {count} more days").format(
                day=best, count=len(alike) - 1
            )
        elif len(alike) == 2:
            best = gettext("{day} and {next}").format(
                day=best, next=day_words(alike[1].best, gettext)
            )
        said.append(gettext("{task} best {day}").format(task=label, day=best))
    return ", ".join(said)
