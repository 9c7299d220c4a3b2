"""A stem close up, with the cut above its buds.

The distance above a bud, about 1/4 in (6 mm), and the slant of 45 degrees above a
single bud are those of Kansas State horticulture (W. Upham, pruning hybrid tea roses).
"""

from math import cos, pi, radians, sin

from plants.drawings.curves import blob, polyline, smooth
from plants.drawings.svg import Gettext, Point, drawing, line, paragraph, path, words

BUDS = ("opposite", "alternate", "whorled")
WIDTH = 320.0
DASH = "4 4"
DISTANCE = "about 1/4\u00a0in (6\u00a0mm)"


def _centre(y: float) -> float:
    return 92 + 4 * sin((y - 40) / 75)


def _half(y: float) -> float:
    return 8.0 + (y - 40) / 70


def _edge(y_from: float, y_to: float, side: int) -> list[Point]:
    return [
        (_centre(y) + side * _half(y), y)
        for y in (y_from + (y_to - y_from) * step / 10 for step in range(11))
    ]


def _stem(
    top: tuple[float, float], bottom: tuple[float, float]
) -> tuple[list[Point], str]:
    """The stem between two ends, each given as its left and right height."""
    left = _edge(bottom[0], top[0], -1)
    right = _edge(top[1], bottom[1], 1)
    return [*left, *right], polyline([*left, *right])


def bud(at: Point, *, angle: float, length: float, strength: float = 0.8) -> str:
    """A plump, pointed bud with its scales, growing from a point along an angle."""

    def turned(forward: float, aside: float) -> Point:
        f, a = forward * length, aside * length
        return (
            at[0] + f * cos(angle) - a * sin(angle),
            at[1] + f * sin(angle) + a * cos(angle),
        )

    outline = [
        turned(0, -0.2),
        turned(0.28, -0.33),
        turned(0.6, -0.24),
        turned(1, 0),
        turned(0.6, 0.24),
        turned(0.28, 0.33),
        turned(0, 0.2),
    ]
    left, right = smooth(outline[:4]), smooth(outline[3:])
    scales = (
        [turned(0.04, -0.2), turned(0.3, -0.04), turned(0.5, 0.2)],
        [turned(0.44, 0.1), turned(0.62, 0.0), turned(0.7, -0.14)],
    )
    return path(
        left + right.replace("M", "L", 1),
        width=1.4,
        inside="leaf",
        inside_opacity=strength,
    ) + path("".join(smooth(scale) for scale in scales), width=0.8, opacity=0.8)


def _node(y: float, buds: str) -> str:
    """The buds of one node, at the height of their base."""
    middle, half = _centre(y), _half(y)
    parts = []
    # A ring: the scar of last year's leaves.
    parts.append(
        path(
            smooth(
                [
                    (middle - half - 1, y - 1),
                    (middle, y + 4),
                    (middle + half + 1, y - 1),
                ]
            ),
            width=1.1,
            opacity=0.7,
        )
    )
    if buds in {"opposite", "whorled"}:
        # A ring of three leaves room for the bud that faces the reader.
        lean = 38 if buds == "opposite" else 58
        parts.append(bud((middle - half + 1, y), angle=radians(-90 - lean), length=30))
        parts.append(bud((middle + half - 1, y), angle=radians(-90 + lean), length=30))
    if buds == "whorled":
        parts.append(bud((middle, y + 7), angle=radians(-90), length=31, strength=0.4))
    if buds == "alternate":
        parts.append(bud((middle + half - 1, y), angle=radians(-90 + 34), length=31))
    return "".join(parts)


def _lower_node(y: float, buds: str) -> str:
    """The next node down: pairs stand crosswise, single buds on the other side."""
    middle, half = _centre(y), _half(y)
    if buds == "opposite":
        return bud((middle, y + 2), angle=radians(-90), length=24)
    if buds == "whorled":
        return bud((middle - half + 1, y), angle=radians(-90 - 40), length=26) + bud(
            (middle + half - 1, y), angle=radians(-90 + 40), length=26
        )
    return bud((middle - half + 1, y), angle=radians(-90 - 34), length=28)


def above_buds(
    buds: str, *, measure_words: str, title: str, prefix: str, gettext: Gettext
) -> str:
    height = 268.0
    node_y = 158.0
    slanted = buds == "alternate"
    cut = (129.0, 109.0) if slanted else (112.0, 112.0)
    kept, kept_path = _stem(top=cut, bottom=(252, 252))
    _, gone_path = _stem(top=(62, 62), bottom=cut)
    low, high = kept[10], kept[11]
    slope = (high[1] - low[1]) / (high[0] - low[0])
    tip_y = node_y - (27 if slanted else 24)
    reach = 13 if slanted else 24
    parts = [
        path(
            polyline(kept, closed=True), paint=None, inside="ink", inside_opacity=0.08
        ),
        path(kept_path, width=1.6),
        path(gone_path, width=1.4, dash=DASH, opacity=0.75),
        _spent_head((_centre(62), 40)),
        _lower_node(222, buds),
        _node(node_y, buds),
        # Broken off at the foot: the stem goes on.
        path(
            smooth(
                [
                    (_centre(252) - 17, 252),
                    (_centre(252) - 6, 248),
                    (_centre(252) + 5, 256),
                    (_centre(252) + 17, 252),
                ]
            ),
            width=1.2,
        ),
        # The cut, well past both edges of the stem.
        line(
            (low[0] - reach, low[1] - slope * reach),
            (high[0] + reach, high[1] + slope * reach),
            paint="warn",
            width=2.8,
        ),
    ]
    labels_x = 158.0
    room = WIDTH - labels_x - 4
    how = (
        gettext("Cut here, slanted away from the bud")
        if slanted
        else gettext("Cut here, straight across")
    )
    label, _ = paragraph(
        (labels_x, 84), how, width=room, size=14, paint="warn", weight="bold"
    )
    # The distance, measured beside the stem from the bud's tip to the cut.
    gauge_x = _centre(node_y) + 46
    top_y = high[1] + 2
    parts += [
        label,
        line((high[0] + 3, high[1]), (gauge_x + 5, high[1]), width=0.9, dash="2 2"),
        line((gauge_x, top_y), (gauge_x, tip_y), width=1.1),
        line((gauge_x - 5, tip_y), (gauge_x + 5, tip_y), width=1.1),
        path(
            polyline(
                [(gauge_x - 3, top_y + 5), (gauge_x, top_y), (gauge_x + 3, top_y + 5)]
            )
            + polyline(
                [(gauge_x - 3, tip_y - 5), (gauge_x, tip_y), (gauge_x + 3, tip_y - 5)]
            ),
            width=1.1,
        ),
    ]
    measure, _ = paragraph(
        (labels_x, (high[1] + tip_y) / 2 + 5), measure_words, width=room, size=13
    )
    parts.append(measure)
    keeps = {
        "opposite": gettext("This pair of buds grows on"),
        "whorled": gettext("This ring of buds grows on"),
        "alternate": gettext("This bud grows on, outward"),
    }[buds]
    keep_y = 184.0
    text, _ = paragraph((labels_x, keep_y), keeps, width=room, size=13, paint="leaf")
    parts += [
        line(
            (_centre(node_y) + _half(node_y) + 14, node_y - 4),
            (labels_x - 5, keep_y - 7),
            width=0.9,
            opacity=0.6,
        ),
        text,
        words((labels_x, 44), gettext("dashed: comes off"), size=13),
        words((labels_x, 240), gettext("solid: stays"), size=13),
        line((_centre(44) + 36, 40), (labels_x - 5, 40), width=0.9, opacity=0.6),
        line((_centre(236) + 17, 236), (labels_x - 5, 236), width=0.9, opacity=0.6),
    ]
    names = {
        "opposite": gettext("Cut above a pair of buds"),
        "whorled": gettext("Cut above a ring of buds"),
        "alternate": gettext("Cut above a single bud"),
    }
    shape = {
        "opposite": gettext(
            "A stem with buds in pairs. Cut straight across above a strong pair: "
            "{distance} above the buds. The stem over the cut comes off; the pair "
            "under it grows on."
        ),
        "whorled": gettext(
            "A stem with three buds in a ring. Cut straight across above a strong "
            "ring: {distance} above the buds. The stem over the cut comes off; the "
            "buds under it grow on."
        ),
        "alternate": gettext(
            "A stem with single buds. Cut at a slant of about 45 degrees above a bud "
            "that points outward, the high side on the bud's side: {distance} above "
            "the bud. The stem over the cut comes off; the bud grows on."
        ),
    }[buds]
    return drawing(
        *parts,
        width=WIDTH,
        height=height,
        title=title or names[buds],
        description=shape.format(distance=measure_words),
        prefix=prefix,
        kind="cut",
    )


def _spent_head(at: Point) -> str:
    """A faded flower head, dashed because it comes off."""
    x, y = at
    ring = [
        (x + 27 * cos(turn * pi / 9), y + 21 * sin(turn * pi / 9)) for turn in range(18)
    ]
    inside = [
        path(
            smooth([(x, y + 20), (x + dx * 0.5, y + 8), (x + dx, y - dy)]),
            width=0.9,
            dash="2 3",
            opacity=0.6,
        )
        for dx, dy in ((-15, 4), (-7, 11), (2, 13), (9, 9), (16, 2))
    ]
    return path(
        blob(ring, bump=13, depth=3.5), width=1.4, dash=DASH, opacity=0.75
    ) + "".join(inside)
