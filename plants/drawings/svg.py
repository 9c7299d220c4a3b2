"""The strokes every drawing is made of, as SVG text."""

import re
from collections.abc import Callable, Iterable, Sequence
from html import escape
from itertools import pairwise
from math import atan2, cos, hypot, pi, sin

type_of_colour = re.compile(r"#[0-9a-fA-F]{6}")

Gettext = Callable[[str], str]
Point = tuple[float, float]

# One ink, one leaf green, one warning red-brown: plain values for paper, classes for
# the stylesheet. Both colours stay readable on a light and on a dark ground.
PAINTS = {
    "ink": "currentColor",
    "leaf": "#457338",
    "warn": "#a04a2a",
}
FONT = "Source Sans Pro,sans-serif"
# Mean width of a letter in ems; generous, so that a wider fallback font still fits.
LETTER_EM = 0.55


def as_written(words: str) -> str:
    """The words themselves: the default where no translation is wanted."""
    return words


def number(value: float) -> str:
    """A coordinate with at most two decimals, the same on every run."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def element(name: str, *children: str, **attributes: str | float | None) -> str:
    """One element; `stroke_width` becomes `stroke-width`, None is left out."""
    written = []
    for key, value in attributes.items():
        if value is None:
            continue
        text = value if isinstance(value, str) else number(value)
        name_of = key.rstrip("_").replace("_", "-")
        written.append(f' {name_of}="{escape(text)}"')
    inner = "".join(children)
    if not inner:
        return f"<{name}{''.join(written)}/>"
    return f"<{name}{''.join(written)}>{inner}</{name}>"


def drawing(
    *parts: str,
    width: float,
    height: float,
    title: str,
    description: str,
    prefix: str,
    kind: str,
) -> str:
    """A whole drawing with its title and its description in words."""
    name = safe_id(prefix)
    return element(
        "svg",
        element("title", escape(title), id=f"{name}-title"),
        element("desc", escape(description), id=f"{name}-desc"),
        *parts,
        xmlns="http://www.w3.org/2000/svg",
        role="img",
        aria_labelledby=f"{name}-title {name}-desc",
        class_=f"drawing {kind}",
        viewBox=f"0 0 {number(width)} {number(height)}",
        width=width,
        height=height,
        font_family=FONT,
        fill="none",
        stroke_linecap="round",
        stroke_linejoin="round",
    )


def safe_id(prefix: str) -> str:
    """The prefix as an id: letters, figures and hyphens, a letter first."""
    text = re.sub(r"[^A-Za-z0-9]+", "-", prefix).strip("-") or "drawing"
    return text if text[0].isalpha() else f"d-{text}"


def stroke(paint: str) -> dict[str, str]:
    """The class and colour of a line in ink, leaf or warn."""
    return {"class_": f"{paint}-line", "stroke": PAINTS[paint]}


def fill(paint: str) -> dict[str, str]:
    """The class and colour of a surface in ink, leaf or warn, or a plain #rrggbb."""
    if type_of_colour.fullmatch(paint):
        return {"fill": paint}
    return {"class_": f"{paint}-fill", "fill": PAINTS[paint]}


def line(
    start: Point,
    end: Point,
    *,
    paint: str = "ink",
    width: float = 1.2,
    dash: str | None = None,
    opacity: float | None = None,
) -> str:
    """A straight line."""
    return element(
        "line",
        x1=start[0],
        y1=start[1],
        x2=end[0],
        y2=end[1],
        **stroke(paint),
        stroke_width=width,
        stroke_dasharray=dash,
        stroke_opacity=opacity,
    )


def path(
    d: str,
    *,
    paint: str | None = "ink",
    width: float = 1.2,
    dash: str | None = None,
    opacity: float | None = None,
    inside: str | None = None,
    inside_opacity: float | None = None,
) -> str:
    """A drawn outline; `inside` fills it first, in its own colour and strength."""
    parts = []
    if inside is not None:
        parts.append(element("path", d=d, **fill(inside), fill_opacity=inside_opacity))
    if paint is not None:
        parts.append(
            element(
                "path",
                d=d,
                fill="none",
                **stroke(paint),
                stroke_width=width,
                stroke_dasharray=dash,
                stroke_opacity=opacity,
            )
        )
    return "".join(parts)


def circle(
    centre: Point,
    radius: float,
    *,
    paint: str | None = "ink",
    width: float = 1.2,
    inside: str | None = None,
    inside_opacity: float | None = None,
    dash: str | None = None,
    opacity: float | None = None,
) -> str:
    """A circle, filled first when `inside` names a colour."""
    x, y = centre
    parts = []
    if inside is not None:
        parts.append(
            element(
                "circle",
                cx=x,
                cy=y,
                r=radius,
                **fill(inside),
                fill_opacity=inside_opacity,
            )
        )
    if paint is not None:
        parts.append(
            element(
                "circle",
                cx=x,
                cy=y,
                r=radius,
                fill="none",
                **stroke(paint),
                stroke_width=width,
                stroke_dasharray=dash,
                stroke_opacity=opacity,
            )
        )
    return "".join(parts)


def box(
    corner: Point,
    width: float,
    height: float,
    *,
    inside: str,
    opacity: float | None = None,
) -> str:
    """A filled rectangle without an outline."""
    return element(
        "rect",
        x=corner[0],
        y=corner[1],
        width=max(width, 0.0),
        height=height,
        **fill(inside),
        fill_opacity=opacity,
    )


def frame(
    corner: Point,
    width: float,
    height: float,
    *,
    paint: str = "ink",
    line_width: float = 1.2,
    dash: str | None = None,
    opacity: float | None = None,
) -> str:
    """The outline of a rectangle."""
    return element(
        "rect",
        x=corner[0],
        y=corner[1],
        width=max(width, 0.0),
        height=height,
        fill="none",
        **stroke(paint),
        stroke_width=line_width,
        stroke_dasharray=dash,
        stroke_opacity=opacity,
    )


def words(
    at: Point,
    text: str,
    *,
    size: float = 13,
    anchor: str | None = None,
    paint: str = "ink",
    weight: str | None = None,
    opacity: float | None = None,
) -> str:
    """One line of text, its baseline starting (or ending, or centred) at a point."""
    return element(
        "text",
        escape(text),
        x=at[0],
        y=at[1],
        font_size=size,
        text_anchor=anchor,
        **fill(paint),
        font_weight=weight,
        fill_opacity=opacity,
    )


def width_of(text: str, *, size: float = 13) -> float:
    """About how wide a line of text stands."""
    return len(text) * size * LETTER_EM


def wrapped(text: str, *, width: float, size: float = 13) -> list[str]:
    """The text in lines that fit a width; a word longer than a line is broken."""
    room = max(int(width / (size * LETTER_EM)), 4)
    lines = [""]
    # A figure and its unit stay together.
    held = re.sub(r"(?<=\d) (?=(?:in|ft|yd|mm|cm|m|h|lb|kg)\b)", "\u00a0", text)
    for word in re.split(r"[ \t\n]+", held.strip()):
        pieces = [word[at : at + room] for at in range(0, len(word), room)]
        for piece in pieces:
            joined = f"{lines[-1]} {piece}".strip()
            if len(joined) <= room:
                lines[-1] = joined
            else:
                lines.append(piece)
    return [each for each in lines if each]


def paragraph(
    at: Point,
    text: str,
    *,
    width: float,
    size: float = 13,
    paint: str = "ink",
    anchor: str | None = None,
    weight: str | None = None,
) -> tuple[str, float]:
    """Wrapped lines of text, and the height they take."""
    lines = wrapped(text, width=width, size=size)
    step = size * 1.25
    drawn = [
        words(
            (at[0], at[1] + index * step),
            each,
            size=size,
            paint=paint,
            anchor=anchor,
            weight=weight,
        )
        for index, each in enumerate(lines)
    ]
    return "".join(drawn), len(lines) * step


def smooth(points: Sequence[Point], *, closed: bool = False) -> str:
    """A path that runs softly through the points."""
    return "M" + _at(points[0]) + _curves(points, closed=closed)


def _at(point: Point) -> str:
    # A tenth of a unit is finer than any printer and halves the text of a path.
    return f"{number(round(point[0], 1))} {number(round(point[1], 1))}"


def _curves(points: Sequence[Point], *, closed: bool) -> str:
    count = len(points)
    last = count if closed else count - 1
    written = []
    for index in range(last):
        if closed:
            before, start = points[index - 1], points[index]
            end, after = points[(index + 1) % count], points[(index + 2) % count]
        else:
            before, start = points[max(index - 1, 0)], points[index]
            end, after = points[index + 1], points[min(index + 2, count - 1)]
        first = (
            start[0] + (end[0] - before[0]) / 6,
            start[1] + (end[1] - before[1]) / 6,
        )
        second = (
            end[0] - (after[0] - start[0]) / 6,
            end[1] - (after[1] - start[1]) / 6,
        )
        written.append(f"C{_at(first)} {_at(second)} {_at(end)}")
    return "".join(written) + ("Z" if closed else "")


def polyline(points: Iterable[Point], *, closed: bool = False) -> str:
    """A path of straight strokes through the points."""
    return "M" + "L".join(_at(point) for point in points) + ("Z" if closed else "")


def along(points: Sequence[Point], share: float) -> Point:
    """The point at a share of the way along straight strokes."""
    lengths = [hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points)]
    left = sum(lengths) * share
    for (start, end), length in zip(pairwise(points), lengths, strict=True):
        if left <= length and length > 0:
            part = left / length
            return (
                start[0] + (end[0] - start[0]) * part,
                start[1] + (end[1] - start[1]) * part,
            )
        left -= length
    return points[-1]


def dense(points: Sequence[Point], *, steps: int = 8) -> list[Point]:
    """Points close together on the soft curve through a few points."""
    count = len(points)
    out: list[Point] = []
    for index in range(count - 1):
        p0, p1 = points[max(index - 1, 0)], points[index]
        p2, p3 = points[index + 1], points[min(index + 2, count - 1)]
        for step in range(steps):
            t = step / steps
            out.append((_soft(p0, p1, p2, p3, t, 0), _soft(p0, p1, p2, p3, t, 1)))
    out.append(points[-1])
    return out


def _soft(p0: Point, p1: Point, p2: Point, p3: Point, t: float, axis: int) -> float:
    a, b, c, d = p0[axis], p1[axis], p2[axis], p3[axis]
    return 0.5 * (
        2 * b
        + (c - a) * t
        + (2 * a - 5 * b + 4 * c - d) * t**2
        + (3 * b - a - 3 * c + d) * t**3
    )


def ribbon(points: Sequence[Point], widths: tuple[float, float]) -> str:
    """A stem's outline along the points, tapering from the first to the last width."""
    left: list[Point] = []
    right: list[Point] = []
    count = len(points)
    for index, (x, y) in enumerate(points):
        before = points[max(index - 1, 0)]
        after = points[min(index + 1, count - 1)]
        angle = atan2(after[1] - before[1], after[0] - before[0]) + pi / 2
        share = index / max(count - 1, 1)
        half = (widths[0] + (widths[1] - widths[0]) * share) / 2
        left.append((x + cos(angle) * half, y + sin(angle) * half))
        right.append((x - cos(angle) * half, y - sin(angle) * half))
    back = list(reversed(right))
    return (
        "M"
        + _at(left[0])
        + _curves(left, closed=False)
        + "L"
        + _at(back[0])
        + _curves(back, closed=False)
        + "Z"
    )


def leaf(at: Point, *, length: float, angle: float, broad: float = 0.36) -> str:
    """The path of a leaf that starts at a point and points along an angle (radians)."""

    def turned(forward: float, aside: float) -> str:
        return _at(
            (
                at[0] + forward * cos(angle) - aside * sin(angle),
                at[1] + forward * sin(angle) + aside * cos(angle),
            )
        )

    wide = length * broad
    return (
        f"M{_at(at)}"
        f"C{turned(length * 0.25, wide)} {turned(length * 0.7, wide * 0.8)} "
        f"{turned(length, 0)}"
        f"C{turned(length * 0.7, -wide * 0.8)} {turned(length * 0.25, -wide)} "
        f"{_at(at)}Z"
    )


def hatched(
    corner: Point,
    width: float,
    height: float,
    *,
    paint: str = "warn",
    gap: float = 6,
) -> str:
    """Slanted lines that stay inside a rectangle, in one path."""
    if width <= 0 or height <= 0:
        return ""
    x0, y0 = corner
    strokes = []
    offset = gap / 2
    while offset < width + height:
        start = (x0 + min(offset, width), y0 + max(offset - width, 0.0))
        end = (x0 + max(offset - height, 0.0), y0 + min(offset, height))
        strokes.append(f"M{_at(start)}L{_at(end)}")
        offset += gap
    return path("".join(strokes), paint=paint, width=1)


def blob(points: Sequence[Point], *, bump: float, depth: float) -> str:
    """A leafy outline: small round bumps along a closed run of points."""
    ring = [*points, points[0]]
    total = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(ring))
    count = max(int(total / bump), 5)
    stops = [along(ring, index / count) for index in range(count)]
    centre = (
        sum(x for x, _ in stops) / count,
        sum(y for _, y in stops) / count,
    )
    written = ["M" + _at(stops[0])]
    for start, end in pairwise([*stops, stops[0]]):
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        away = (middle[0] - centre[0], middle[1] - centre[1])
        far = hypot(*away) or 1.0
        # A quadratic's crown reaches half of its handle's height.
        handle = (
            middle[0] + away[0] / far * depth * 2,
            middle[1] + away[1] / far * depth * 2,
        )
        written.append(f"Q{_at(handle)} {_at(end)}")
    return "".join(written) + "Z"
