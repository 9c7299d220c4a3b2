"""When a plant may go into the ground: a year in right, bearable and wrong days."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from plants.drawings.strip import (
    BAR,
    month_letters,
    row_words,
    run_words,
    scale_of,
    today_line,
)
from plants.drawings.svg import Gettext, as_written, box, drawing, frame, hatched

# The verdicts as they are drawn, best first: full leaf, pale leaf, hatched.
NAMES = {"right": "Right", "bearable": "Bearable", "wrong": "Wrong"}
VERDICTS = tuple(NAMES)


@dataclass(frozen=True, kw_only=True)
class Opening:
    """A run of days, both ends in it, with one verdict on planting."""

    verdict: str
    first: date
    last: date

    def __post_init__(self) -> None:
        if self.verdict not in VERDICTS:
            raise ValueError(f"{self.verdict!r} is not one of {', '.join(VERDICTS)}")
        if self.last < self.first:
            raise ValueError("a run of days ends before it begins")


def planting_year(
    runs: Sequence[Opening],
    *,
    start: date,
    days: int = 365,
    today: date | None = None,
    title: str = "",
    prefix: str = "planting-year",
    width: float = 340,
    gettext: Gettext = as_written,
) -> str:
    """The strip of a planting year: one bar, and the days of each verdict in words.

    What is wrong is hatched and what is bearable pale, so that the bar reads without
    its colours.
    """
    scale = scale_of(start, days, width)
    top = 44.0
    shown = [run for run in runs if scale.meets(run.first, run.last)]
    parts, told = [], []
    for run in shown:
        x, wide = scale.run(run.first, run.last)
        if run.verdict == "wrong":
            parts.append(hatched((x, top), wide, BAR))
            parts.append(frame((x, top), wide, BAR, paint="warn", line_width=1))
        else:
            opacity = 0.8 if run.verdict == "right" else 0.25
            parts.append(box((x, top), wide, BAR, inside="leaf", opacity=opacity))
            parts.append(frame((x, top), wide, BAR, paint="leaf", line_width=1))
    bottom = top + BAR + 10
    over = []
    if today is not None and scale.meets(today, today):
        over.append(today_line(scale, today, [top], bottom - 10, gettext))
        bottom += 26
    y = bottom + 14
    for verdict in VERDICTS:
        own = [run for run in shown if run.verdict == verdict]
        if not own:
            continue
        dates = ", ".join(
            run_words(max(run.first, start), min(run.last, _last(start, days)), gettext)
            for run in _joined(own)
        )
        name = gettext(NAMES[verdict])
        words, taken = row_words(
            y,
            name,
            dates,
            width=width,
            paint="warn" if verdict == "wrong" else "leaf",
            weight="bold" if verdict == "wrong" else None,
        )
        parts.append(words)
        told.append(f"{name}: {dates}.")
        y += taken + 6
    return drawing(
        month_letters(scale, top=20, bands=[top], gettext=gettext),
        *parts,
        *over,
        width=width,
        height=y + 2,
        title=title or gettext("When it may be planted"),
        description=" ".join(told),
        prefix=prefix,
        kind="planting-year",
    )


def _last(start: date, days: int) -> date:
    return date.fromordinal(start.toordinal() + days - 1)


def _joined(runs: Sequence[Opening]) -> list[Opening]:
    """Runs that follow on each other as one."""
    out: list[Opening] = []
    for run in sorted(runs, key=lambda each: each.first):
        if out and out[-1].last.toordinal() + 1 >= run.first.toordinal():
            out[-1] = Opening(
                verdict=run.verdict,
                first=out[-1].first,
                last=max(out[-1].last, run.last),
            )
        else:
            out.append(run)
    return out
