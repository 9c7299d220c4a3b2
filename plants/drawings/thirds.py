"""Every stem of a shrub taken back by a part of its length, so that its shape stays."""

from math import atan2, cos, pi, radians, sin

from plants.drawings.buds import DASH, bud
from plants.drawings.curves import along, blob, dense, polyline, ribbon, smooth
from plants.drawings.stems import GROUND, cut_mark, finish, ground
from plants.drawings.svg import Gettext, Point, line, paragraph, path

STAYS = 2 / 3
TOP = 30.0
STEMS: tuple[tuple[Point, ...], ...] = (
    ((180, GROUND), (160, 190), (138, 164), (122, 132)),
    ((188, GROUND), (172, 176), (158, 132), (150, 76)),
    ((196, GROUND), (188, 160), (184, 104), (182, 44)),
    ((204, GROUND), (206, 156), (209, 96), (211, TOP)),
    ((212, GROUND), (224, 160), (235, 104), (241, 46)),
    ((220, GROUND), (240, 176), (260, 132), (272, 78)),
    ((228, GROUND), (252, 190), (278, 164), (296, 134)),
)


def take_a_third(
    *,
    buds: str,
    measure_words: str,
    distance_words: str,
    title: str,
    prefix: str,
    gettext: Gettext,
) -> str:
    """A shrub with the upper third of every stem taken off, each above its buds."""
    share = measure_words or gettext("about a third")
    slanted = buds == "alternate"
    how = {
        "opposite": gettext("straight across, {distance} above a pair of buds"),
        "whorled": gettext("straight across, {distance} above a ring of buds"),
        "alternate": gettext("on a slant, {distance} above an outward bud"),
    }[buds].format(distance=distance_words)
    parts: list[str] = []
    cuts: list[Point] = []
    for index, points in enumerate(STEMS):
        stem = dense(list(points), steps=14)
        split = int(len(stem) * STAYS)
        low, high = stem[: split + 1], stem[split:]
        parts.append(
            path(ribbon(low, (8, 5.4)), width=1.4, inside="ink", inside_opacity=0.1)
        )
        parts.append(path(ribbon(high, (5, 2.2)), width=1.2, dash=DASH, opacity=0.8))
        tip = stem[-1]
        ring = [
            (tip[0] + 12 * cos(turn * pi / 5), tip[1] - 5 + 10 * sin(turn * pi / 5))
            for turn in range(10)
        ]
        parts.append(
            path(blob(ring, bump=10, depth=2.6), width=1.1, dash=DASH, opacity=0.75)
        )
        cut = stem[split]
        before = stem[split - 3]
        grows = atan2(cut[1] - before[1], cut[0] - before[0])
        at = along(low, 0.88)
        outward = 1 if index >= len(STEMS) / 2 else -1
        for side in (outward,) if slanted else (-1, 1):
            parts.append(
                bud(
                    (at[0] + side * 2.5, at[1]),
                    angle=grows + radians(side * 42),
                    length=13,
                )
            )
        # Across the stem; above a single bud the high side is the bud's.
        turn = pi / 2 - (outward * pi / 4 if slanted else 0)
        parts.append(cut_mark(cut, half=10, angle=grows + turn))
        cuts.append(cut)
    parts.insert(0, path(smooth(cuts), paint="warn", width=1.2, dash="2 4"))
    parts.append(ground(GROUND))
    parts.append(_gauge(cuts[3][1], share, gettext))
    return finish(
        parts,
        cut_words=gettext("cut back: {share} of each stem, {how}").format(
            share=share, how=how
        ),
        name=title or gettext("Take a third off"),
        description=gettext(
            "A shrub of seven stems. Of every stem the upper part comes off, {share} "
            "of its length, so that the shrub loses as much in height and in width "
            "and keeps its shape. Each cut goes {how}. The longer part of every stem "
            "stays."
        ).format(share=share, how=how),
        prefix=prefix,
        gettext=gettext,
    )


def _gauge(cut_y: float, share: str, gettext: Gettext) -> str:
    """The height of the shrub in its two parts: what comes off and what stays."""
    x = 26.0
    parts = [line((x - 6, y), (x + 6, y), width=1.1) for y in (TOP, cut_y, GROUND)]
    parts.append(line((x, TOP), (x, cut_y), paint="warn", width=1.4, dash=DASH))
    parts.append(line((x, cut_y), (x, GROUND), width=1.4))
    for y, way in ((TOP, 1), (cut_y, -1), (cut_y, 1), (GROUND, -1)):
        parts.append(
            path(
                polyline([(x - 3, y + way * 6), (x, y + way), (x + 3, y + way * 6)]),
                width=1.1,
            )
        )
    off, _ = paragraph(
        (x + 10, (TOP + cut_y) / 2), share, width=92, paint="warn", weight="bold"
    )
    stays, _ = paragraph((x + 10, (cut_y + GROUND) / 2), gettext("stays"), width=80)
    return "".join([*parts, off, stays])
