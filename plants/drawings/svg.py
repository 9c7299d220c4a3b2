"""The strokes every drawing is made of, as SVG text."""

import re
from collections.abc import Callable
from html import escape

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


def at_point(point: Point) -> str:
    """A point as paths write it, to a tenth of a unit."""
    # A tenth of a unit is finer than any printer and halves the text of a path.
    return f"{number(round(point[0], 1))} {number(round(point[1], 1))}"


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
        strokes.append(f"M{at_point(start)}L{at_point(end)}")
        offset += gap
    return path("".join(strokes), paint=paint, width=1)
