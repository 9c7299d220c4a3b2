"""Hours against capacity, quoted against actual."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from firm.units import plain
from plants.drawings.svg import (
    Gettext,
    as_written,
    box,
    drawing,
    frame,
    hatched,
    line,
    paragraph,
    width_of,
    words,
)

MARGIN = 10.0
BAR = 13.0
ROW = 42.0
Figure = Callable[[Decimal], str]


@dataclass(frozen=True, kw_only=True)
class Load:
    """The hours planned for a crew, a day or a week, and the hours there are."""

    label: str
    planned_h: Decimal
    capacity_h: Decimal

    def __post_init__(self) -> None:
        if self.planned_h < 0 or self.capacity_h < 0:
            raise ValueError(f"{self.label}: hours cannot be below nothing")

    @property
    def over_h(self) -> Decimal:
        """The hours past the capacity, or none."""
        return max(self.planned_h - self.capacity_h, Decimal(0))


@dataclass(frozen=True, kw_only=True)
class Compared:
    """What was quoted for a job and what it took; actual None is not known yet."""

    label: str
    quoted: Decimal
    actual: Decimal | None

    def __post_init__(self) -> None:
        if self.quoted < 0 or (self.actual is not None and self.actual < 0):
            raise ValueError(f"{self.label}: an amount cannot be below nothing")


def hours(value: Decimal) -> str:
    """Hours to the quarter as figures: 40, 7.5, 6.25."""
    return plain(value, places=2)


def load_words(row: Load, gettext: Gettext = as_written) -> str:
    """One row's load in words: free, full, or over-full by so many hours."""
    of = gettext("{planned} of {capacity} h").format(
        planned=hours(row.planned_h), capacity=hours(row.capacity_h)
    )
    if row.over_h:
        if not row.capacity_h:
            state = gettext("nobody is there for it")
        else:
            state = gettext("over-full by {hours} h").format(hours=hours(row.over_h))
    elif not row.capacity_h:
        return gettext("no hours planned, nobody there")
    elif row.planned_h == row.capacity_h:
        state = gettext("full")
    else:
        state = gettext("{hours} h free").format(
            hours=hours(row.capacity_h - row.planned_h)
        )
    return f"{of}, {state}"


def hours_against_capacity(
    rows: Sequence[Load],
    *,
    title: str = "",
    prefix: str = "hours",
    width: float = 340,
    gettext: Gettext = as_written,
) -> str:
    """A bar of planned hours per row against its capacity; over-full in words and
    hatched red-brown, never by colour alone.
    """
    most = max((max(row.planned_h, row.capacity_h) for row in rows), default=Decimal(0))
    room = width - 2 * MARGIN
    scale = room / float(most) if most else 0.0
    parts: list[str] = []
    told: list[str] = []
    y = 20.0
    for row in rows:
        said = load_words(row, gettext)
        over = bool(row.over_h)
        head, taken = _row_head(y, row.label, said, width=width, warns=over)
        parts.append(head)
        y += taken - 9
        planned = float(row.planned_h) * scale
        capacity = float(row.capacity_h) * scale
        inside = min(planned, capacity)
        parts.append(box((MARGIN, y), inside, BAR, inside="leaf", opacity=0.55))
        if over:
            past = (MARGIN + capacity, y)
            parts.append(hatched(past, planned - capacity, BAR, gap=5))
            parts.append(
                frame(past, planned - capacity, BAR, paint="warn", line_width=1.2)
            )
        parts.append(frame((MARGIN, y), capacity, BAR, line_width=1, opacity=0.8))
        mark = MARGIN + capacity
        parts.append(line((mark, y - 4), (mark, y + BAR + 4), width=2.2))
        told.append(f"{row.label}: {said}.")
        y += BAR + 22
    if not rows:
        nothing = gettext("No hours are planned.")
        parts.append(words((MARGIN, y), nothing))
        told.append(nothing)
        y += 16
    else:
        y -= 2
        key, taken = paragraph(
            (MARGIN, y),
            gettext("filled: hours planned; upright mark: hours there are"),
            width=room,
            size=12,
        )
        parts.append(key)
        y += taken
    return drawing(
        *parts,
        width=width,
        height=y,
        title=title or gettext("Hours against capacity"),
        description=" ".join(told),
        prefix=prefix,
        kind="hours",
    )


def difference_words(row: Compared, figure: Figure, gettext: Gettext) -> str:
    """How the actual stands to the quoted, in words."""
    if row.actual is None:
        return gettext("actual not known yet")
    apart = row.actual - row.quoted
    if apart == 0:
        return gettext("as quoted")
    if apart > 0:
        return gettext("{amount} over the quote").format(amount=figure(apart))
    return gettext("{amount} under the quote").format(amount=figure(-apart))


def quoted_against_actual(
    rows: Sequence[Compared],
    *,
    figure: Figure = str,
    title: str = "",
    prefix: str = "quoted",
    width: float = 340,
    gettext: Gettext = as_written,
) -> str:
    """Two bars per row, the quoted as an outline and the actual filled, in words too.

    `figure` puts an amount or hours into the firm's own words.
    """
    most = max(
        (max(row.quoted, row.actual or Decimal(0)) for row in rows), default=Decimal(0)
    )
    # The figure stands behind its bar, so the longest bar leaves room for it.
    behind = max(
        (
            width_of(figure(each), size=12) + 10
            for row in rows
            for each in (row.quoted, row.actual)
            if each is not None
        ),
        default=0.0,
    )
    scale = (width - 2 * MARGIN - behind) / float(most) if most else 0.0
    parts: list[str] = []
    told: list[str] = []
    y = 20.0
    for row in rows:
        apart = difference_words(row, figure, gettext)
        over = row.actual is not None and row.actual > row.quoted
        head, taken = _row_head(y, row.label, apart, width=width, warns=over)
        parts.append(head)
        y += taken - 9
        quoted = float(row.quoted) * scale
        parts.append(frame((MARGIN, y), quoted, BAR, line_width=1.2))
        parts.append(words((MARGIN + quoted + 7, y + 11), figure(row.quoted), size=12))
        y += BAR + 4
        if row.actual is not None:
            actual = float(row.actual) * scale
            within = min(actual, quoted)
            parts.append(box((MARGIN, y), within, BAR, inside="leaf", opacity=0.55))
            if over:
                past = (MARGIN + quoted, y)
                parts.append(hatched(past, actual - quoted, BAR, gap=5))
                parts.append(
                    frame(past, actual - quoted, BAR, paint="warn", line_width=1.2)
                )
            parts.append(
                words((MARGIN + actual + 7, y + 11), figure(row.actual), size=12)
            )
        y += BAR + 24
        told.append(
            gettext("{label}: quoted {quoted}, {apart}.").format(
                label=row.label, quoted=figure(row.quoted), apart=apart
            )
        )
    if not rows:
        nothing = gettext("Nothing to compare yet.")
        parts.append(words((MARGIN, y), nothing))
        told.append(nothing)
        y += 16
    else:
        y -= 2
        key, taken = paragraph(
            (MARGIN, y),
            gettext("outline: quoted; filled: actual; hatched: over the quote"),
            width=width - 2 * MARGIN,
            size=12,
        )
        parts.append(key)
        y += taken
    return drawing(
        *parts,
        width=width,
        height=y,
        title=title or gettext("Quoted against actual"),
        description=" ".join(told),
        prefix=prefix,
        kind="quoted-actual",
    )


def _row_head(
    y: float, label: str, said: str, *, width: float, warns: bool
) -> tuple[str, float]:
    """A row's name and its state in words, on one line or on two."""
    paint = "warn" if warns else "ink"
    weight = "bold" if warns else None
    room = width - 2 * MARGIN
    if width_of(label) + width_of(said, size=12) + 14 <= room:
        both = words((MARGIN, y), label) + words(
            (width - MARGIN, y), said, size=12, anchor="end", paint=paint, weight=weight
        )
        return both, 17.0
    named, taken = paragraph((MARGIN, y), label, width=room)
    stated, more = paragraph(
        (MARGIN, y + taken), said, width=room, size=12, paint=paint, weight=weight
    )
    return named + stated, taken + more + 3
