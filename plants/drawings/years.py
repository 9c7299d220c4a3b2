"""A planting's or a garden's year of care: windows, best days and closed seasons."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from plants.drawings.strip import (
    AIR,
    BAR,
    BESIDE,
    MARGIN,
    arrows,
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
    circle,
    drawing,
    frame,
    hatched,
    line,
    words,
)


@dataclass(frozen=True, kw_only=True)
class Window:
    """The days a task may be done in, and the best of them."""

    label: str
    earliest: date
    best: date
    latest: date

    def __post_init__(self) -> None:
        if not self.earliest <= self.best <= self.latest:
            raise ValueError(f"{self.label}: best day outside its window")


@dataclass(frozen=True, kw_only=True)
class Span:
    """A run of days with its words: a closed season, a time in flower."""

    label: str
    first: date
    last: date

    def __post_init__(self) -> None:
        if self.last < self.first:
            raise ValueError(f"{self.label}: ends before it begins")


def _grouped(rows: Iterable[Window]) -> dict[str, list[Window]]:
    """The windows by label, in the order in which the labels first come."""
    out: dict[str, list[Window]] = {}
    for row in rows:
        out.setdefault(row.label, []).append(row)
    return out


def _spans(rows: Iterable[Span]) -> dict[str, list[Span]]:
    out: dict[str, list[Span]] = {}
    for row in rows:
        out.setdefault(row.label, []).append(row)
    return out


def care_year(
    rows: Sequence[Window],
    *,
    start: date,
    days: int = 365,
    today: date | None = None,
    closed: Sequence[Span] = (),
    bloom: Sequence[Span] = (),
    title: str = "",
    prefix: str = "care-year",
    width: float = 340,
    beside: bool = False,
    gettext: Gettext = as_written,
) -> str:
    """The year's strip: time in flower, each task's window with its best day, and the
    closed seasons, hatched and in words.

    Windows that cross the strip's ends are cut there with an arrow; rows of one label
    share a line, so a task that comes round twice is given as two windows. BESIDE puts
    the words to the left of the bars, for a drawing as wide as a sheet of paper.
    """
    scale = scale_of(start, days, width, left=BESIDE if beside else 0)
    head_width = BESIDE if beside else width
    y = 44.0
    parts: list[str] = []
    told: list[str] = []
    bands: list[float] = []
    for label, spans in _spans(bloom).items():
        shown = [span for span in spans if scale.meets(span.first, span.last)]
        if not shown:
            continue
        dates = _spans_words(shown, gettext)
        head, taken = row_words(y, label, dates, width=head_width, paint="leaf")
        next_y = y + taken + AIR
        y += -10 if beside else taken - 9
        parts.append(head)
        bands.append(y)
        for span in shown:
            x, wide = scale.run(span.first, span.last)
            parts.append(_petals(x, y, wide))
            parts.append(arrows(scale, span.first, span.last, y, paint="leaf"))
        told.append(f"{label}: {dates}.")
        y = next_y if beside else y + BAR + 22
    for label, windows in _grouped(rows).items():
        seen = [each for each in windows if scale.meets(each.earliest, each.latest)]
        if not seen:
            continue
        head, taken = row_words(y, label, _bests(seen, gettext), width=head_width)
        next_y = y + taken + AIR
        y += -10 if beside else taken - 9
        parts.append(head)
        bands.append(y)
        for each in seen:
            x, wide = scale.run(each.earliest, each.latest)
            parts.append(box((x, y), wide, BAR, inside="leaf", opacity=0.3))
            parts.append(frame((x, y), wide, BAR, paint="leaf", line_width=1))
            parts.append(arrows(scale, each.earliest, each.latest, y, paint="leaf"))
            if scale.meets(each.best, each.best):
                tick, day_wide = scale.run(each.best, each.best)
                tick += day_wide / 2
                parts.append(line((tick, y - 3), (tick, y + BAR + 3), width=2.4))
            told.append(
                gettext("{task}: {run}, best {day}.").format(
                    task=label,
                    run=run_words(each.earliest, each.latest, gettext),
                    day=day_words(each.best, gettext),
                )
            )
        y = next_y if beside else y + BAR + 22
    for label, spans in _spans(closed).items():
        shown = [span for span in spans if scale.meets(span.first, span.last)]
        if not shown:
            continue
        dates = _spans_words(shown, gettext)
        name = gettext("Closed: {what}").format(what=label)
        head, taken = row_words(
            y, name, dates, width=head_width, paint="warn", weight="bold"
        )
        next_y = y + taken + AIR
        y += -10 if beside else taken - 9
        parts.append(head)
        bands.append(y)
        for span in shown:
            x, wide = scale.run(span.first, span.last)
            parts.append(hatched((x, y), wide, BAR))
            parts.append(frame((x, y), wide, BAR, paint="warn", line_width=1.2))
            parts.append(arrows(scale, span.first, span.last, y, paint="warn"))
        told.append(f"{name}: {dates}.")
        y = next_y if beside else y + BAR + 22
    if not told:
        nothing = gettext("Nothing falls in these months.")
        parts.append(words((MARGIN, y), nothing, size=13))
        told.append(nothing)
        y += 22
    bottom = y - 10
    over = []
    if today is not None and scale.meets(today, today):
        over.append(today_line(scale, today, bands, bottom, gettext))
        told.append(gettext("Today is {day}.").format(day=day_words(today, gettext)))
    return drawing(
        month_letters(scale, top=20, bands=bands, gettext=gettext),
        *parts,
        *over,
        width=width,
        height=bottom + (4 if beside and not over else 26),
        title=title or gettext("The year of care"),
        description=" ".join(told),
        prefix=prefix,
        kind="care-year",
    )


def _spans_words(spans: Sequence[Span], gettext: Gettext) -> str:
    """Runs of days; the same days of two years are said once."""
    return ", ".join(
        dict.fromkeys(run_words(span.first, span.last, gettext) for span in spans)
    )


def _bests(windows: Sequence[Window], gettext: Gettext) -> str:
    """The best days of a task: all of two, the first and the number of more."""
    days = list(dict.fromkeys(day_words(each.best, gettext) for each in windows))
    if len(days) > 2:
        return gettext("best {day} and {count} more days").format(
            day=days[0], count=len(days) - 1
        )
    return ", ".join(gettext("best {day}").format(day=day) for day in days)


def _petals(x: float, y: float, wide: float) -> str:
    """A row of small flowers along a time of bloom."""
    count = max(int(wide // 11), 1)
    step = wide / count
    middle = y + BAR / 2
    return line((x, middle), (x + wide, middle), paint="leaf", width=1.4) + "".join(
        circle(
            (x + step * (index + 0.5), middle),
            3.6,
            paint="leaf",
            width=1.2,
            inside="leaf",
            inside_opacity=0.45,
        )
        for index in range(count)
    )
