"""Plants without wood in a few strokes: leaves, soft stems and blades from one foot."""

from math import radians

from plants.drawings.curves import along, dense, leaf, ribbon, smooth
from plants.drawings.svg import Point, circle, path

FLOOR = 86.0
"""Where the ground lies in a sketch of 96 by 96."""


def flower(at: Point, colour: str | None, *, radius: float = 3.1) -> str:
    """A flower: a dot in its colour with an ink rim, so that white shows too."""
    return circle(
        at, radius, width=0.9, inside=colour, inside_opacity=1.0 if colour else None
    )


def leafy(evergreen: bool, blooming: bool, colour: str | None) -> list[str]:
    """Broad leaves from one foot in a dome, with bare flower stalks above them."""
    parts = []
    if blooming:
        for foot, (x, y) in ((45, (36, 27)), (48, (49, 19)), (51, (62, 28))):
            stalk = dense([(foot, FLOOR), ((foot + x) / 2, 56), (x, y)])
            parts.append(path(smooth(stalk[::4]), width=1))
            parts += [
                flower((x + aside, y + down), colour, radius=2.6)
                for aside, down in ((0, 0), (-2.6, 5), (2.6, 7))
            ]
    for degrees, length in (
        (-90, 34), (-66, 36), (-114, 36), (-44, 38), (-136, 38), (-30, 38), (-150, 38),
        (-78, 25), (-102, 25),
    ):  # fmt: skip
        parts.append(
            path(
                leaf(
                    (48 + (degrees + 90) / 22, FLOOR - 1),
                    length=length,
                    angle=radians(degrees),
                    broad=0.34,
                ),
                width=1.1,
                inside="leaf",
                inside_opacity=0.85 if evergreen else 0.45,
            )
        )
    return parts


def stemmed(evergreen: bool, blooming: bool, colour: str | None) -> list[str]:
    """Soft stems from one foot with leaves along them and a flower on each."""
    parts = []
    for foot, (x, y) in (
        (41, (27, 34)), (44.5, (37, 25)), (48, (48, 20)), (51.5, (59, 26)),
        (55, (69, 35)),
    ):  # fmt: skip
        stem = dense([(foot, FLOOR), ((foot * 2 + x) / 3, 60), (x, y)])
        parts.append(path(smooth(stem[::4]), width=1.3))
        for step, share in enumerate((0.1, 0.26, 0.42, 0.58, 0.74)):
            at = along(stem, share)
            side = 1 if step % 2 else -1
            parts.append(
                path(
                    leaf(
                        at, length=14 - step * 1.4, angle=radians(-90 + side * 58),
                        broad=0.26,
                    ),
                    width=1,
                    inside="leaf",
                    inside_opacity=0.85 if evergreen else 0.45,
                )
            )  # fmt: skip
        if blooming:
            parts.append(flower((x, y - 2), colour, radius=4))
    return parts


def tuft(evergreen: bool, blooming: bool, colour: str | None) -> list[str]:
    """Arching blades from one foot, with plumes when it flowers."""
    blades = (
        (8, 66), (14, 46), (24, 34), (34, 26), (44, 22), (53, 22), (63, 27),
        (73, 35), (82, 47), (88, 66),
    )  # fmt: skip
    parts = []
    for index, (x, y) in enumerate(blades):
        foot = 42 + index * 1.4
        rise = min(y - 8, 40)
        stem = dense([(foot, FLOOR), (foot + (x - foot) * 0.35, rise + 16), (x, y)])
        parts.append(
            path(
                ribbon(stem, (3.4, 0.6)),
                width=1,
                inside="leaf",
                inside_opacity=0.9 if evergreen else 0.35,
            )
        )
    if blooming:
        for foot, (x, y) in ((46, (36, 20)), (48, (49, 14)), (50, (62, 20))):
            stem = dense([(foot, FLOOR), ((foot + x) / 2, 50), (x, y)])
            parts.append(path(smooth(stem[::4]), width=1))
            parts.append(
                path(
                    leaf((x, y + 8), length=19, angle=radians(-90 + (x - 49) * 1.6),
                         broad=0.17),
                    width=1,
                    inside=colour,
                    inside_opacity=1.0 if colour else None,
                )
            )  # fmt: skip
    return parts
