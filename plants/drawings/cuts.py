"""Where the cut goes: what stays solid, what comes off dashed, the cut in red-brown.

The distance above a bud, about 1/4 in (6 mm), and the slant of 45 degrees above a
single bud are those of Kansas State horticulture (W. Upham, pruning hybrid tea roses).
"""

from collections.abc import Callable
from math import cos, pi, radians, sin

from plants.drawings.svg import (
    Gettext,
    Point,
    along,
    as_written,
    blob,
    circle,
    dense,
    drawing,
    fill,
    leaf,
    line,
    paragraph,
    path,
    polyline,
    ribbon,
    smooth,
    words,
)

CUTS = (
    "above-pair",
    "above-bud",
    "thin-base",
    "cut-down",
    "dead-tips",
    "shear",
    "grass",
)
BUDS = ("opposite", "alternate", "whorled")

WIDTH = 320.0
DASH = "4 4"
DISTANCE = "about 1/4 in (6 mm)"
GROUND = 214.0


def cut_drawing(
    kind: str,
    *,
    buds: str | None = None,
    measure_words: str = "",
    title: str = "",
    prefix: str = "cut",
    gettext: Gettext = as_written,
) -> str:
    """A drawing of one cut.

    `buds` says how the buds sit; the two close-ups follow it, whichever was asked for.
    `measure_words` is the distance above the bud, the height left or the share taken.
    """
    if kind not in CUTS:
        raise ValueError(f"{kind!r} is no cut; known are {', '.join(CUTS)}")
    if buds is not None and buds not in BUDS:
        raise ValueError(f"{buds!r} is no bud arrangement; known are {', '.join(BUDS)}")
    if kind in {"above-pair", "above-bud"}:
        natural = "opposite" if kind == "above-pair" else "alternate"
        return _above_buds(
            buds or natural,
            measure_words=measure_words or gettext(DISTANCE),
            title=title,
            prefix=prefix,
            gettext=gettext,
        )
    whole = {
        "thin-base": _thin_base,
        "cut-down": _cut_down,
        "dead-tips": _dead_tips,
        "shear": _shear,
        "grass": _grass,
    }[kind]
    return whole(
        measure_words=measure_words, title=title, prefix=prefix, gettext=gettext
    )


# --- close-ups of one stem


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


def _bud(at: Point, *, angle: float, length: float) -> str:
    """A plump bud with one scale line."""
    scale_end = (
        at[0] + length * 0.72 * cos(angle),
        at[1] + length * 0.72 * sin(angle),
    )
    return path(
        leaf(at, length=length, angle=angle, broad=0.42),
        width=1.4,
        inside="leaf",
        inside_opacity=0.75,
    ) + line(at, scale_end, width=0.8, opacity=0.7)


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
        parts.append(
            _bud((middle - half + 1, y), angle=radians(-90 - 38), length=30)
        )
        parts.append(
            _bud((middle + half - 1, y), angle=radians(-90 + 38), length=30)
        )
    if buds == "whorled":
        parts.append(_bud((middle, y + 2), angle=radians(-90), length=25))
    if buds == "alternate":
        parts.append(
            _bud((middle + half - 1, y), angle=radians(-90 + 34), length=31)
        )
    return "".join(parts)


def _lower_node(y: float, buds: str) -> str:
    """The next node down: pairs stand crosswise, single buds on the other side."""
    middle, half = _centre(y), _half(y)
    if buds == "opposite":
        return _bud((middle, y + 2), angle=radians(-90), length=24)
    if buds == "whorled":
        return _bud(
            (middle - half + 1, y), angle=radians(-90 - 40), length=26
        ) + _bud((middle + half - 1, y), angle=radians(-90 + 40), length=26)
    return _bud((middle - half + 1, y), angle=radians(-90 - 34), length=28)


def _above_buds(
    buds: str, *, measure_words: str, title: str, prefix: str, gettext: Gettext
) -> str:
    height = 268.0
    node_y = 158.0
    slanted = buds == "alternate"
    cut = (130.0, 108.0) if slanted else (114.0, 114.0)
    kept, kept_path = _stem(top=cut, bottom=(252, 252))
    _, gone_path = _stem(top=(62, 62), bottom=cut)
    low, high = kept[10], kept[11]
    slope = (high[1] - low[1]) / (high[0] - low[0])
    tip_y = node_y - 24
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
            (low[0] - 24, low[1] - slope * 24),
            (high[0] + 30, high[1] + slope * 30),
            paint="warn",
            width=2.6,
        ),
    ]
    cut_end_y = high[1] + slope * 30
    labels_x = 158.0
    room = WIDTH - labels_x - 4
    how = (
        gettext("Cut here, slanted away from the bud")
        if slanted
        else gettext("Cut here, straight across")
    )
    label, _ = paragraph(
        (labels_x, cut_end_y - (2 if slanted else 16)),
        how,
        width=room,
        size=14,
        paint="warn",
        weight="bold",
    )
    parts.append(label)
    # The distance, measured beside the stem from the bud's tip to the cut.
    gauge_x = _centre(node_y) + 48
    top_y = high[1] + slope * (gauge_x - high[0]) if slanted else cut[1]
    measured_y = max(tip_y, top_y + 16)
    parts += [
        line((gauge_x, top_y + 3), (gauge_x, measured_y), width=1.1),
        line((gauge_x - 4, measured_y), (gauge_x + 4, measured_y), width=1.1),
        path(
            polyline(
                [(gauge_x - 3, top_y + 7), (gauge_x, top_y + 3), (gauge_x + 3, top_y + 7)]
            ),
            width=1.1,
        ),
    ]
    measure, _ = paragraph(
        (labels_x, max(measured_y, cut_end_y + (32 if slanted else 20)) + 4),
        measure_words,
        width=room,
        size=13,
    )
    parts.append(measure)
    keeps = {
        "opposite": gettext("This pair of buds grows on"),
        "whorled": gettext("This ring of buds grows on"),
        "alternate": gettext("This bud grows on, outward"),
    }[buds]
    keep_y = 186.0
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
        (x + 27 * cos(turn * pi / 9), y + 21 * sin(turn * pi / 9))
        for turn in range(18)
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


# --- whole plants


def _ground(y: float, *, x_from: float = 20, x_to: float = 300) -> str:
    """The ground line with a few strokes of soil."""
    strokes = "".join(
        f"M{x:g} {y + 4:g}l-5 6"
        for x in (x_from + 18 + step * 37 for step in range(int((x_to - x_from) / 37)))
    )
    return line((x_from, y), (x_to, y), width=1.6) + path(
        strokes, width=0.9, opacity=0.6
    )


def _key(y: float, cut_words: str, stays: str, gone: str) -> tuple[str, float]:
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


def _mark(at: Point, *, half: float = 11, angle: float = 0.0) -> str:
    """A short red-brown cut across a stem."""
    dx, dy = half * cos(angle), half * sin(angle)
    return line(
        (at[0] - dx, at[1] - dy), (at[0] + dx, at[1] + dy), paint="warn", width=2.8
    )


def _twig(points: list[Point], *, leaves: int, size: float = 15) -> str:
    """A young stem with leaves in pairs along its upper part."""
    stem = dense(points)
    parts = [path(ribbon(stem, (4.4, 1.6)), width=1.2, inside="ink", inside_opacity=0.1)]
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


def _old(points: list[Point]) -> str:
    """An old stem: thick, forked, dashed because it comes off, its stub solid."""
    stem = dense(points)
    fork = along(stem, 0.6)
    tip = stem[-1]
    side = (fork[0] + (tip[0] - fork[0]) * 0.1 - 16, fork[1] - 40)
    return path(
        ribbon(stem, (11, 4)), width=1.4, dash=DASH, opacity=0.85
    ) + path(
        ribbon(dense([fork, ((fork[0] + side[0]) / 2 - 3, fork[1] - 18), side]), (5, 2)),
        width=1.2,
        dash=DASH,
        opacity=0.85,
    )


def _finish(
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
    key, end = _key(
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


def _thin_base(
    *, measure_words: str, title: str, prefix: str, gettext: Gettext
) -> str:
    share = measure_words or gettext("about a third of the stems")
    base = GROUND
    young: list[list[Point]] = [
        [(132, base), (112, 160), (78, 96), (52, 62)],
        [(146, base), (138, 150), (122, 82), (112, 38)],
        [(164, base), (168, 140), (170, 80), (168, 24)],
        [(180, base), (196, 150), (216, 90), (230, 46)],
        [(194, base), (222, 168), (256, 118), (282, 84)],
    ]
    old: list[list[Point]] = [
        [(139, base), (126, 170), (96, 110), (84, 36)],
        [(155, base), (152, 150), (148, 90), (142, 30)],
        [(187, base), (208, 166), (226, 120), (258, 58)],
    ]
    cuts = [along(dense(stem), 0.07) for stem in old]
    parts = [_old(stem) for stem in old]
    parts += [_twig(stem, leaves=4) for stem in young]
    parts += [_mark(at, half=10, angle=radians(8)) for at in cuts]
    parts.append(_ground(base))
    return _finish(
        parts,
        cut_words=gettext("cut at the ground: {share}, the oldest").format(share=share),
        name=title or gettext("Thin at the base"),
        description=gettext(
            "A shrub of many stems. At the ground take out {share}: the oldest and "
            "thickest. The younger stems stay whole and are not shortened."
        ).format(share=share),
        prefix=prefix,
        gettext=gettext,
        stays=gettext("solid: young stems stay whole"),
        gone=gettext("dashed: old, thick stems come off"),
    )


def _height_gauge(x: float, top: float, label: str) -> str:
    """A measured height from the ground with its words above the cut's end."""
    parts = [
        line((x, top), (x, GROUND), width=1.1),
        path(polyline([(x - 4, top + 7), (x, top + 1), (x + 4, top + 7)]), width=1.1),
        path(
            polyline([(x - 4, GROUND - 7), (x, GROUND - 1), (x + 4, GROUND - 7)]),
            width=1.1,
        ),
    ]
    text, _ = paragraph((x + 7, top + 22), label, width=78, size=13, weight="bold")
    return "".join(parts) + text


def _cut_down(
    *, measure_words: str, title: str, prefix: str, gettext: Gettext
) -> str:
    measure = measure_words or gettext("to the height on the task")
    cut_y = 158.0
    stems: list[list[Point]] = [
        [(178, GROUND), (164, 160), (140, 104), (126, 66)],
        [(188, GROUND), (180, 150), (170, 90), (162, 46)],
        [(200, GROUND), (201, 150), (203, 90), (204, 36)],
        [(212, GROUND), (220, 150), (232, 92), (243, 48)],
        [(222, GROUND), (237, 162), (264, 108), (282, 72)],
    ]
    parts: list[str] = []
    for points in stems:
        stem = dense(points, steps=14)
        low = [point for point in stem if point[1] >= cut_y]
        high = [point for point in stem if point[1] <= cut_y + 3]
        parts.append(
            path(ribbon(low, (8, 6.6)), width=1.5, inside="ink", inside_opacity=0.1)
        )
        parts.append(
            path(ribbon(high, (6, 2.4)), width=1.3, dash=DASH, opacity=0.75)
        )
        x, y = points[-1]
        ring = [
            (x + 15 * cos(turn * pi / 6), y - 8 + 13 * sin(turn * pi / 6))
            for turn in range(12)
        ]
        parts.append(
            path(blob(ring, bump=11, depth=3), width=1.2, dash=DASH, opacity=0.75)
        )
        at = along(low, 0.68)
        for side in (-1, 1):
            parts.append(
                path(
                    leaf(
                        (at[0] + side * 3, at[1]),
                        length=9,
                        angle=radians(-90 + side * 42),
                        broad=0.42,
                    ),
                    width=1.0,
                    inside="leaf",
                    inside_opacity=0.75,
                )
            )
    parts.append(line((92, cut_y), (296, cut_y), paint="warn", width=2.8))
    parts.append(_ground(GROUND))
    parts.append(_height_gauge(34, cut_y, measure))
    parts.append(line((28, cut_y), (92, cut_y), paint="warn", width=1.2, dash="2 3"))
    return _finish(
        parts,
        cut_words=gettext("cut all stems to: {height}").format(height=measure),
        name=title or gettext("Cut down to a height"),
        description=gettext(
            "A shrub whose stems are all cut to one height: {height}, each just above "
            "a pair of buds or a strong bud. What stands above the line comes off; new "
            "stems grow from the buds under it."
        ).format(height=measure),
        prefix=prefix,
        gettext=gettext,
    )


def _dead_tips(
    *, measure_words: str, title: str, prefix: str, gettext: Gettext
) -> str:
    distance = measure_words or gettext(DISTANCE)
    parts: list[str] = []
    # Two stems with a dead tip, one alive to its end.
    dying: list[tuple[list[Point], float]] = [
        ([(106, GROUND), (94, 150), (78, 92), (70, 34)], 0.6),
        ([(206, GROUND), (222, 150), (240, 92), (250, 40)], 0.56),
    ]
    for points, share in dying:
        stem = dense(points, steps=14)
        split = int(len(stem) * share)
        low, high = stem[: split + 1], stem[split:]
        parts.append(
            path(ribbon(low, (8, 5.4)), width=1.5, inside="ink", inside_opacity=0.1)
        )
        parts.append(path(ribbon(high, (5.2, 2)), width=1.4, dash=DASH, opacity=0.8))
        for part in (0.35, 0.7):
            x, y = along(high, part)
            for side in (-1, 1):
                parts.append(
                    path(
                        leaf((x, y), length=8, angle=radians(-90 + side * 45)),
                        width=1.1,
                        dash="2 2",
                        opacity=0.8,
                    )
                )
        for part, size in ((0.52, 19), (0.86, 17)):
            x, y = along(low, part)
            for side in (-1, 1):
                parts.append(
                    path(
                        leaf((x, y), length=size, angle=radians(-90 + side * 55)),
                        width=1.2,
                        inside="leaf",
                        inside_opacity=0.5,
                    )
                )
        slope = high[4][0] - high[0][0]
        parts.append(_mark(high[0], half=15, angle=radians(2 * slope)))
    alive: list[Point] = [(156, GROUND), (155, 150), (156, 96), (155, 60)]
    parts.append(
        path(ribbon(dense(alive), (8, 4.6)), width=1.5, inside="ink", inside_opacity=0.1)
    )
    for share, size in ((0.5, 19), (0.8, 17)):
        x, y = along(dense(alive), share)
        for side in (-1, 1):
            parts.append(
                path(
                    leaf((x, y), length=size, angle=radians(-90 + side * 55)),
                    width=1.2,
                    inside="leaf",
                    inside_opacity=0.5,
                )
            )
    parts.append(_bud((155, 64), angle=radians(-90), length=25))
    parts.append(
        words(
            (155, 18), gettext("leave: flower bud"), size=13, anchor="middle", paint="leaf"
        )
    )
    parts.append(line((155, 23), (155, 34), width=0.9, opacity=0.6))
    parts.append(_ground(GROUND))
    return _finish(
        parts,
        cut_words=gettext("cut only dead tips, {distance} above the first live buds")
        .format(distance=distance),
        name=title or gettext("Take off dead tips only"),
        description=gettext(
            "Three stems in spring. Two have dead tips, dry and brown under the bark: "
            "cut them {distance} above the first live pair of buds. The third is alive "
            "to its end and is not touched, because its top bud holds the flower."
        ).format(distance=distance),
        prefix=prefix,
        gettext=gettext,
        stays=gettext("solid: alive, green under the bark"),
        gone=gettext("dashed: dead, dry and brown"),
    )


def _shear(
    *, measure_words: str, title: str, prefix: str, gettext: Gettext
) -> str:
    measure = measure_words or gettext("only this year's soft growth")
    shape: list[Point] = [
        (82, GROUND - 8),
        (76, 170),
        (84, 120),
        (106, 86),
        (160, 72),
        (214, 86),
        (236, 120),
        (244, 170),
        (238, GROUND - 8),
    ]
    parts: list[str] = []
    # Shoots that stand past the line.
    shoots = (
        (82, 168, -32, -14, 24),
        (80, 144, -30, -24, 22),
        (87, 120, -28, -32, 24),
        (98, 99, -20, -40, 26),
        (116, 84, -12, -44, 26),
        (138, 77, -8, -42, 24),
        (160, 75, 2, -48, 28),
        (183, 77, 8, -40, 24),
        (205, 85, 14, -44, 26),
        (222, 99, 22, -38, 26),
        (233, 120, 28, -30, 24),
        (240, 144, 32, -22, 22),
        (240, 168, 32, -12, 24),
    )
    for x, y, dx, dy, _ in shoots:
        tip = (x + dx, y + dy)
        parts.append(
            path(
                smooth([(x, y), (x + dx * 0.5 + 2, y + dy * 0.55), tip]),
                width=1.2,
                dash="3 3",
                opacity=0.8,
            )
        )
        for part in (0.55, 0.95):
            for side in (-1, 1):
                at = (x + dx * part, y + dy * part)
                parts.append(
                    path(
                        leaf(at, length=8, angle=radians(-90 + side * 62)),
                        width=0.9,
                        dash="2 2",
                        opacity=0.8,
                    )
                )
    parts.append(
        path(smooth(shape), paint=None, inside="leaf", inside_opacity=0.2),
    )
    for x, y in (
        (112, 118), (140, 104), (172, 102), (204, 116), (100, 150), (128, 138),
        (158, 130), (188, 136), (218, 148), (94, 182), (118, 172), (146, 164),
        (174, 166), (202, 174), (226, 182), (132, 196), (160, 194), (190, 198),
    ):  # fmt: skip
        parts.append(
            path(
                smooth([(x - 6, y + 2), (x, y - 4), (x + 6, y + 2)]),
                paint="leaf",
                width=1.3,
            )
        )
    parts += [
        path(smooth([(152, GROUND), (150, 206), (140, 196)]), width=2),
        path(smooth([(166, GROUND), (168, 206), (178, 196)]), width=2),
        path(smooth(shape), paint="warn", width=2.8),
        _ground(GROUND),
    ]
    return _finish(
        parts,
        cut_words=gettext("cut along this line: {measure}").format(measure=measure),
        name=title or gettext("Shear to shape"),
        description=gettext(
            "A clipped shrub, a little wider at its foot than at its top so that light "
            "reaches the lower leaves. Cut along its outline: {measure}. The shoots "
            "that stand past the line come off; never cut into bare wood."
        ).format(measure=measure),
        prefix=prefix,
        gettext=gettext,
        gone=gettext("dashed: stray shoots come off"),
        stays=gettext("inside the line: stays, foot wider than top"),
    )


def _grass(
    *, measure_words: str, title: str, prefix: str, gettext: Gettext
) -> str:
    measure = measure_words or gettext("to the height on the task")
    cut_y = 176.0
    parts: list[str] = []
    tips = (
        (132, 116), (146, 84), (160, 58), (174, 40), (188, 26), (202, 20),
        (216, 24), (230, 36), (244, 56), (258, 82), (272, 112),
    )  # fmt: skip
    for index, (x, y) in enumerate(tips):
        foot = 188 + index * 2.8
        bend = (x - foot) * 0.32
        blade = dense(
            [(foot, GROUND), (foot + bend * 0.45, 170), (foot + bend * 1.7, 96), (x, y)],
            steps=14,
        )
        low = [point for point in blade if point[1] >= cut_y]
        high = [point for point in blade if point[1] < cut_y + 4]
        parts.append(path(polyline(low), width=1.7))
        parts.append(path(polyline(high), width=1.2, dash=DASH, opacity=0.8))
    for x, y in (tips[2], tips[4], tips[6], tips[8]):
        side = 1 if x > 202 else -1
        parts.append(
            path(
                leaf((x, y), length=22, angle=radians(-90 + side * 28), broad=0.16),
                width=1.1,
                dash="3 3",
                opacity=0.8,
            )
        )
    # The string that holds the old leaves while they are cut.
    parts.append(
        path(smooth([(176, 122), (202, 128), (228, 122)]), width=2, opacity=0.9)
    )
    parts.append(path("M228 122l9 -5M228 122l8 7", width=1.6, opacity=0.9))
    parts.append(line((96, cut_y), (290, cut_y), paint="warn", width=2.8))
    parts.append(line((28, cut_y), (96, cut_y), paint="warn", width=1.2, dash="2 3"))
    parts.append(_ground(GROUND))
    parts.append(_height_gauge(34, cut_y, measure))
    tie, _ = paragraph((22, 108), gettext("tie it first, then cut"), width=90, size=13)
    parts.append(tie)
    parts.append(line((112, 116), (170, 122), width=0.9, opacity=0.6))
    return _finish(
        parts,
        cut_words=gettext("cut all old leaves to: {height}").format(height=measure),
        name=title or gettext("Cut back a grass"),
        description=gettext(
            "A clump of grass with last year's dry leaves. Tie it up, then cut it to "
            "one height: {height}, before the new shoots are in the way. What stands "
            "above the line comes off."
        ).format(height=measure),
        prefix=prefix,
        gettext=gettext,
    )
