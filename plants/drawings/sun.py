"""A bed's sun through the year, and its sketch with the shadows of one moment."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from plants.drawings.curves import polyline
from plants.drawings.svg import (
    Gettext,
    Point,
    as_written,
    box,
    circle,
    drawing,
    element,
    frame,
    line,
    path,
    words,
)

ROW = 22.0


@dataclass(frozen=True, kw_only=True)
class SunMonth:
    """A month's direct sun: hours, and its first and last by the clock.

    FIRST_H and LAST_H are hours by the clock, over 24 past midnight; None without sun.
    """

    label: str
    before_noon_h: float
    after_noon_h: float
    up_h: float
    first_h: float | None
    last_h: float | None

    @property
    def total_h(self) -> float:
        """Hours before and after solar noon together."""
        return self.before_noon_h + self.after_noon_h


def clock_words(hours: float) -> str:
    """Hours by the clock as 07:20."""
    minutes = int(hours * 60 + 1e-6)
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"


def sun_chart(
    months: Sequence[SunMonth],
    *,
    title: str = "",
    prefix: str = "sun",
    width: float = 340,
    gettext: Gettext = as_written,
) -> str:
    """Hours before and after solar noon month by month, and from when to when."""
    left, right = 38.0, 44.0
    most = max(12.0, *(month.up_h for month in months))
    half = (width - left - right) / 2
    middle = left + half
    scale = half / (most / 2)
    parts = [
        words((left, 14), gettext("Hours of direct sun a day"), weight="bold"),
        words((middle - 6, 32), gettext("morning"), size=12, anchor="end"),
        words((middle + 6, 32), gettext("afternoon"), size=12),
        words((width - 2, 32), gettext("total"), size=12, anchor="end"),
    ]
    top = 40.0
    for index, month in enumerate(months):
        y = top + index * ROW
        could = min(month.up_h / 2, most / 2) * scale
        parts += [
            words((2, y + 15), month.label, size=12),
            # What an open bed would have.
            frame(
                (middle - could, y + 3),
                2 * could,
                ROW - 6,
                line_width=0.7,
                dash="2 2",
                opacity=0.6,
            ),
            box(
                (middle - month.before_noon_h * scale, y + 3),
                month.before_noon_h * scale,
                ROW - 6,
                inside="leaf",
                opacity=0.55,
            ),
            box(
                (middle, y + 3),
                month.after_noon_h * scale,
                ROW - 6,
                inside="leaf",
            ),
            words((width - 2, y + 15), f"{month.total_h:.1f}", size=12, anchor="end"),
        ]
    bottom = top + len(months) * ROW
    parts += [
        line((middle, top - 2), (middle, bottom + 2), width=1.2),
        words((middle, bottom + 15), gettext("solar noon"), size=12, anchor="middle"),
    ]
    y = bottom + 44
    parts.append(words((left, y), gettext("From when to when"), weight="bold"))
    clock_top = y + 24
    parts.append(_clock(months, left=left, top=clock_top, width=width - left - 6))
    height = clock_top + len(months) * ROW + 8
    told = "; ".join(
        (
            gettext("{month}: {before} h before and {after} h after noon, {span}")
            if month.first_h is not None
            else gettext("{month}: no direct sun")
        ).format(
            month=month.label,
            before=f"{month.before_noon_h:.1f}",
            after=f"{month.after_noon_h:.1f}",
            span=span_words(month),
        )
        for month in months
    )
    return drawing(
        *parts,
        width=width,
        height=height,
        title=title or gettext("The bed's sun through the year"),
        description=told + ".",
        prefix=prefix,
        kind="sun-chart",
    )


def span_words(month: SunMonth) -> str:
    """The first and the last direct sun as 07:20–15:40; empty without."""
    if month.first_h is None or month.last_h is None:
        return ""
    return f"{clock_words(month.first_h)}–{clock_words(month.last_h)}"


def _clock(months: Sequence[SunMonth], *, left: float, top: float, width: float) -> str:
    """A line for each month from its first to its last sun by the clock."""
    firsts = [month.first_h for month in months if month.first_h is not None]
    lasts = [month.last_h for month in months if month.last_h is not None]
    low = int(min([6.0, *firsts]) // 3 * 3)
    high = int(-(-max([18.0, *lasts]) // 3) * 3)
    scale = width / (high - low)
    bottom = top + len(months) * ROW
    parts = []
    for hour in range(low, high + 1, 3):
        x = left + (hour - low) * scale
        parts += [
            line((x, top), (x, bottom), width=0.6, opacity=0.45),
            words(
                (x, top - 6),
                f"{hour % 24 if hour != 24 else 24}",
                size=12,
                anchor="middle" if hour < high else "end",
            ),
        ]
    for index, month in enumerate(months):
        y = top + index * ROW + ROW / 2
        parts.append(words((2, y + 4), month.label, size=12))
        if month.first_h is None or month.last_h is None:
            continue
        parts.append(
            line(
                (left + (month.first_h - low) * scale, y),
                (left + (month.last_h - low) * scale, y),
                paint="leaf",
                width=6,
            )
        )
    return "".join(parts)


# --- the sketch ---------------------------------------------------------------------

SIDE = 340.0
"""The plan is a square of so many units; its middle is the bed's."""


@dataclass(frozen=True, kw_only=True)
class SketchThing:
    """Something on the sketch: a wall's two ends, or a crown's middle and spread."""

    letter: str
    label: str
    points: tuple[Point, ...]
    spread_m: float = 0.0


def bed_sketch(
    rings: Sequence[Sequence[Point]],
    things: Sequence[SketchThing],
    *,
    reach_m: float,
    shadows: Sequence[Sequence[Point]] = (),
    spots: Sequence[tuple[Point, bool]] = (),
    sun_from_deg: float | None = None,
    said: str = "",
    bar_m: float = 5.0,
    bar_words: str = "5 m",
    title: str = "",
    prefix: str = "sketch",
    gettext: Gettext = as_written,
) -> str:
    """The bed and what stands around it, north at the top, with shadows of a moment.

    Points are metres to the east and north of the bed's middle; the plan reaches so
    many metres from it to each side.
    """
    scale = SIDE / 2 / reach_m

    def at(point: Point) -> Point:
        # What lies outside the plan is cut off by the drawing's own rim; far ends are
        # brought nearer, so that the text stays short.
        x, y = (min(max(each, -9 * reach_m), 9 * reach_m) for each in point)
        return SIDE / 2 + x * scale, SIDE / 2 - y * scale

    inner = []
    for shadow in shadows:
        if shadow:
            inner.append(
                path(
                    polyline([at(each) for each in shadow], closed=True),
                    paint=None,
                    inside="ink",
                    inside_opacity=0.22,
                )
            )
    for ring in rings:
        inner.append(
            path(
                polyline([at(each) for each in ring], closed=True),
                width=1.8,
                inside="leaf",
                inside_opacity=0.18,
            )
        )
    for spot, is_lit in spots:
        inner.append(circle(at(spot), 3.4, width=1.1, inside=None if is_lit else "ink"))
    labels = []
    for thing in things:
        if thing.spread_m:
            inner.append(
                circle(
                    at(thing.points[0]),
                    max(thing.spread_m / 2 * scale, 3),
                    paint="leaf",
                    width=1.4,
                    inside="leaf",
                    inside_opacity=0.12,
                )
            )
            inner.append(circle(at(thing.points[0]), 2, paint=None, inside="ink"))
        else:
            inner.append(line(*(at(each) for each in thing.points), width=4.5))
        labels.append(_lettered(_label_place(thing, reach_m, scale), thing.letter))
    parts = [
        frame((0.5, 0.5), SIDE - 1, SIDE - 1, line_width=1, opacity=0.5),
        *inner,
        *labels,
        *_north(SIDE - 16 if 280 <= (sun_from_deg or 0) <= 350 else 16.0, gettext),
    ]
    if sun_from_deg is not None:
        parts.append(_sun(sun_from_deg))
    bar = bar_m * scale
    # The sun at the rim must not stand on the bar, nor on the arrow above.
    left = SIDE - 12 - bar if 180 < (sun_from_deg or 0) < 260 else 12.0
    parts += [
        line((left, SIDE - 12), (left + bar, SIDE - 12), width=2),
        words((left, SIDE - 18), bar_words, size=12),
    ]
    told = "; ".join(f"{thing.letter}: {thing.label}" for thing in things)
    description = " ".join(
        each
        for each in (
            gettext("The bed lies in the middle, north is at the top."),
            f"{told}." if told else gettext("Nothing shades the bed."),
            said,
        )
        if each
    )
    return drawing(
        *parts,
        width=SIDE,
        height=SIDE,
        title=title or gettext("Sketch of the bed"),
        description=description,
        prefix=prefix,
        kind="bed-sketch",
    )


def _label_place(thing: SketchThing, reach_m: float, scale: float) -> Point:
    """Where a thing's letter stands: on it, and inside the plan."""
    edge = reach_m * 0.93
    if len(thing.points) > 1:
        (x0, y0), (x1, y1) = thing.points
        run = (x1 - x0, y1 - y0)
        length2 = run[0] ** 2 + run[1] ** 2
        # The part of the line that is nearest to the bed, else its own middle.
        share = -(x0 * run[0] + y0 * run[1]) / length2 if length2 else 0.5
        if length2 < (4 * reach_m) ** 2:
            share = 0.5
        x, y = x0 + share * run[0], y0 + share * run[1]
    else:
        x, y = thing.points[0]
    x, y = (min(max(each, -edge), edge) for each in (x, y))
    return SIDE / 2 + x * scale, SIDE / 2 - y * scale


def _lettered(at: Point, letter: str) -> str:
    """A thing's letter in a ring that hides what lies under it."""
    ground = element(
        "circle", cx=at[0], cy=at[1], r=9.5, class_="paper-fill", fill="#fffdf7"
    )
    figure = words(
        (at[0], at[1] + 4.3), letter, size=12, anchor="middle", weight="bold"
    )
    return ground + circle(at, 9.5) + figure


def _north(x: float, gettext: Gettext) -> list[str]:
    """An arrow up, to the north."""
    return [
        line((x, 34), (x, 12), width=1.5),
        path(polyline([(x - 4, 18), (x, 11), (x + 4, 18)]), width=1.5),
        words((x, 48), gettext("N"), size=13, anchor="middle", weight="bold"),
    ]


def _sun(from_deg: float) -> str:
    """A sun at the plan's rim on the side it shines from."""
    way = (sin(radians(from_deg)), -cos(radians(from_deg)))
    far = (SIDE / 2 - 16) / max(abs(way[0]), abs(way[1]))
    x, y = SIDE / 2 + way[0] * far, SIDE / 2 + way[1] * far
    rays = [
        line(
            (x + 9 * cos(radians(turn)), y + 9 * sin(radians(turn))),
            (x + 13 * cos(radians(turn)), y + 13 * sin(radians(turn))),
            paint="warn",
            width=1.4,
        )
        for turn in range(0, 360, 45)
    ]
    return circle((x, y), 6, paint="warn", width=1.4) + "".join(rays)
