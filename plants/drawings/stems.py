"""What drawings of a whole plant share: ground, twigs, old stems, the key of lines."""

from math import cos, radians, sin

from plants.drawings.buds import DASH, WIDTH
from plants.drawings.curves import along, dense, leaf, ribbon
from plants.drawings.svg import Gettext, Point, drawing, line, paragraph, path

GROUND = 214.0


def ground(y: float, *, x_from: float = 20, x_to: float = 300) -> str:
    """The ground line with a few strokes of soil."""
    strokes = "".join(
        f"M{x:g} {y + 4:g}l-5 6"
        for x in (x_from + 18 + step * 37 for step in range(int((x_to - x_from) / 37)))
    )
    return line((x_from, y), (x_to, y), width=1.6) + path(
        strokes, width=0.9, opacity=0.6
    )


def key_of_lines(y: float, cut_words: str, stays: str, gone: str) -> tuple[str, float]:
    """Three samples of line with their words, and the height at which they end."""
    samples = (
        (stays, "ink", None, 1.8),
        (gone, "ink", DASH, 1.6),
        (cut_words, "warn", None, 2.8),
    )
    parts = []
    for text, paint, dash, width in samples:
        weight = "bold" if paint == "warn" else None
        written, taken = paragraph(
            (60, y), text, width=WIDTH - 66, size=13, paint=paint, weight=weight
        )
        sample_at = y - 4
        parts.append(
            line((20, sample_at), (50, sample_at), paint=paint, width=width, dash=dash)
        )
        parts.append(written)
        y += taken + 4
    return "".join(parts), y - 8


def cut_mark(at: Point, *, half: float = 11, angle: float = 0.0) -> str:
    """A short red-brown cut across a stem."""
    dx, dy = half * cos(angle), half * sin(angle)
    return line(
        (at[0] - dx, at[1] - dy), (at[0] + dx, at[1] + dy), paint="warn", width=2.8
    )


def twig(points: list[Point], *, leaves: int, size: float = 15) -> str:
    """A young stem with leaves in pairs along its upper part."""
    stem = dense(points)
    parts = [
        path(ribbon(stem, (4.4, 1.6)), width=1.2, inside="ink", inside_opacity=0.1)
    ]
    for index in range(leaves):
        share = 0.45 + 0.5 * index / max(leaves - 1, 1)
        x, y = along(stem, share)
        for side in (-1, 1):
            parts.append(
                path(
                    leaf((x, y), length=size, angle=radians(-90 + side * 58)),
                    width=1.0,
                    inside="leaf",
                    inside_opacity=0.35,
                )
            )
    return "".join(parts)


def old_stem(points: list[Point]) -> str:
    """An old stem: thick, forked, dashed because it comes off, its stub solid."""
    stem = dense(points)
    fork = along(stem, 0.6)
    tip = stem[-1]
    side = (fork[0] + (tip[0] - fork[0]) * 0.1 - 16, fork[1] - 40)
    return path(
        ribbon(stem, (12, 4)),
        width=1.4,
        dash=DASH,
        opacity=0.85,
        inside="ink",
        inside_opacity=0.16,
    ) + path(
        ribbon(
            dense([fork, ((fork[0] + side[0]) / 2 - 3, fork[1] - 18), side]), (5, 2)
        ),
        width=1.2,
        dash=DASH,
        opacity=0.85,
    )


def finish(
    parts: list[str],
    *,
    cut_words: str,
    name: str,
    description: str,
    prefix: str,
    gettext: Gettext,
    from_y: float = 248.0,
    stays: str = "",
    gone: str = "",
) -> str:
    key, end = key_of_lines(
        from_y,
        cut_words,
        stays or gettext("solid: stays"),
        gone or gettext("dashed: comes off"),
    )
    return drawing(
        *parts,
        key,
        width=WIDTH,
        height=end + 6,
        title=name,
        description=description,
        prefix=prefix,
        kind="cut",
    )
