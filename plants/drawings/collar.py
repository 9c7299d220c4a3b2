"""A branch taken off a trunk at its collar, in three cuts so that no bark tears."""

from math import atan2, cos, pi, sin

from plants.drawings.buds import DASH
from plants.drawings.curves import along, dense, polyline, ribbon, smooth
from plants.drawings.stems import finish
from plants.drawings.svg import Gettext, Point, line, paragraph, path, words

TRUNK = 74.0
HALF = 27.0
BRANCH: list[Point] = [(96, 166), (140, 150), (200, 116), (286, 52)]
# Where the collar ends, above and below.
FOOT: tuple[Point, Point] = ((134.0, 143.0), (145.0, 167.0))
COLLAR, UNDER, OVER = 0.19, 0.42, 0.56


def at_collar(*, measure_words: str, title: str, prefix: str, gettext: Gettext) -> str:
    """A trunk with a branch, its swollen collar and the three cuts by number."""
    stem = dense(BRANCH, steps=14)
    cut = along(stem, COLLAR)
    split = next(at for at, (x, _) in enumerate(stem) if x > cut[0] + 4)
    high = stem[split:]
    left = [(TRUNK - HALF - y / 60, y) for y in (14.0, 120.0, 232.0)]
    right_above = [(TRUNK + HALF, 14.0), (TRUNK + HALF + 1, 80.0)]
    right_above += [(TRUNK + HALF + 4, 116.0), (116.0, 135.0), FOOT[0]]
    right_below = [
        FOOT[1],
        (126.0, 181.0),
        (TRUNK + HALF + 8, 192.0),
        (TRUNK + HALF + 5, 232.0),
    ]
    parts = [
        path(
            polyline(
                [*left, *reversed(right_below), *reversed(right_above)], closed=True
            ),
            paint=None,
            inside="ink",
            inside_opacity=0.08,
        ),
        path(smooth(left), width=1.6),
        path(smooth(right_above), width=1.6),
        path(smooth(right_below), width=1.6),
        # The folds of bark that swell around the foot of the branch.
        path(smooth([(112, 134), (119, 146), (121, 160), (117, 180)]), width=1.1),
        path(smooth([(106, 130), (111, 146), (112, 164), (107, 186)]), width=1.0),
        path(ribbon(high, (27, 13)), width=1.4, dash=DASH, opacity=0.8),
    ]
    parts += [
        _cut(stem, COLLAR, (-17, 17), "3"),
        _cut(stem, UNDER, (2, 14), "1"),
        _cut(stem, OVER, (-13, 2), "2"),
    ]
    label, _ = paragraph(
        (144, 196),
        gettext("The collar stays: it closes the wound"),
        width=164,
        size=13,
        paint="leaf",
    )
    parts += [
        label,
        line((123, 170), (141, 190), width=0.9, opacity=0.6),
    ]
    share = measure_words and gettext("; {share} of the crown").format(
        share=measure_words
    )
    return finish(
        parts,
        cut_words=gettext(
            "1 from below, 2 farther out from above, 3 just outside the collar{share}"
        ).format(share=share),
        name=title or gettext("Cut at the branch collar"),
        description=gettext(
            "A branch on a trunk. The first cut goes a third through from below, the "
            "second farther out from above, so that the weight falls without tearing "
            "bark. The third takes the stub off just outside the swollen collar, "
            "neither flush with the trunk nor leaving a stub. A thin branch needs the "
            "third cut only. Only what is reached from the ground."
        ),
        prefix=prefix,
        gettext=gettext,
        from_y=256.0,
        stays=gettext("solid: trunk and collar stay"),
    )


def _cut(
    stem: list[Point], share: float, across: tuple[float, float], number: str
) -> str:
    """A cut across the branch from one offset to another, with its number."""
    x, y = along(stem, share)
    ahead = along(stem, share + 0.05)
    turn = atan2(ahead[1] - y, ahead[0] - x) + pi / 2
    ends = [(x + far * cos(turn), y + far * sin(turn)) for far in across]
    far = across[0] - 13 if across[0] < -5 else across[1] + 15
    at = (x + far * cos(turn), y + far * sin(turn) + 5)
    return line(ends[0], ends[1], paint="warn", width=2.8) + words(
        at, number, size=14, paint="warn", weight="bold", anchor="middle"
    )
