"""A plant's shape in a few strokes, to stand beside a task or in a list."""

import re
from math import cos, pi, radians, sin

from plants.drawings.clumps import FLOOR, flower, leafy, stemmed, tuft
from plants.drawings.curves import along, blob, dense, leaf, polyline, ribbon, smooth
from plants.drawings.svg import (
    Gettext,
    Point,
    as_written,
    drawing,
    line,
    path,
    type_of_colour,
)

HABITS = (
    "mound",
    "upright",
    "vase",
    "spreading",
    "climbing",
    "columnar",
    "tuft",
    "round-tree",
    "pyramid-tree",
    "hedge",
    "mat",
)
SIZE = 96.0
BLOOMS = {
    "white": "#fffdf5",
    "cream": "#f3e6b8",
    "yellow": "#e0b83c",
    "orange": "#d9822f",
    "pink": "#d98ba3",
    "red": "#b8393c",
    "purple": "#7d5a96",
    "blue": "#5b7fb5",
    "green": "#9db36a",
    "silver": "#d8d5c8",
    "tan": "#c8ab7a",
    "lavender": "#a58fc0",
    "violet": "#7d5a96",
    "lilac": "#a58fc0",
    "rose": "#d98ba3",
    "maroon": "#6d2b36",
    "copper": "#b5653a",
}


SOFT = ("mound", "upright", "vase", "spreading", "columnar")
"""Habits that a plant without wood has too, in stems and leaves from one foot."""


def habit_drawing(
    habit: str,
    *,
    woody: bool = True,
    evergreen: bool | str | None = None,
    bloom_colour: str | None = None,
    title: str = "",
    prefix: str = "habit",
    gettext: Gettext = as_written,
) -> str:
    """A small sketch of a plant's shape; evergreen None means it is not recorded.

    `evergreen` may also be the catalogue's word: yes, no or semi. A plant that is not
    woody is drawn without stems of wood and said to die down. `bloom_colour` is
    #rrggbb or words of which the first known colour is taken; where none is known the
    flowers are drawn without a colour, never in a guessed one.
    """
    if habit not in HABITS:
        raise ValueError(f"{habit!r} is no habit; known are {', '.join(HABITS)}")
    green = evergreen
    if isinstance(evergreen, bool):
        green = "yes" if evergreen else "no"
    if green not in {"yes", "no", "semi", None}:
        raise ValueError(f"{green!r} is not yes, no or semi")
    flowers = None if bloom_colour is None else _colour(bloom_colour)
    sketch = {
        "climbing": _climbing,
        "tuft": tuft,
        "mat": _mat,
        "pyramid-tree": _pyramid,
    }.get(habit)
    blooming = bloom_colour is not None
    soft = not woody and habit in SOFT
    if soft:
        sketch = leafy if habit in ("mound", "spreading", "vase") else stemmed
    parts = (
        sketch(green in {"yes", "semi"}, blooming, flowers)
        if sketch
        else _crown(habit, green in {"yes", "semi"}, blooming, flowers)
    )
    name = {
        "mound": gettext("rounded mound"),
        "upright": gettext("upright shrub"),
        "vase": gettext("vase-shaped shrub"),
        "spreading": gettext("low, spreading shrub"),
        "climbing": gettext("climber"),
        "columnar": gettext("narrow column"),
        "tuft": gettext("tuft of leaves"),
        "round-tree": gettext("round-headed tree"),
        "pyramid-tree": gettext("pyramid-shaped tree"),
        "hedge": gettext("clipped hedge"),
        "mat": gettext("low mat"),
    }[habit]
    if soft:
        name = {
            "mound": gettext("rounded clump of leaves"),
            "upright": gettext("upright clump"),
            "vase": gettext("clump that spreads upward"),
            "spreading": gettext("low, spreading clump"),
            "columnar": gettext("narrow, upright clump"),
        }[habit]
    leaves = {
        None: "",
        "yes": gettext("evergreen"),
        "semi": gettext("keeps some leaves in mild winters"),
        "no": gettext("loses its leaves in winter")
        if woody
        else gettext("dies down in winter"),
    }[green]
    flowers_words = ""
    if bloom_colour is not None:
        flowers_words = gettext("flowers")
        if not type_of_colour.fullmatch(bloom_colour):
            flowers_words = gettext("flowers {colour}").format(colour=bloom_colour)
    described = ", ".join(part for part in (name, leaves, flowers_words) if part)
    return drawing(
        line((6, FLOOR), (90, FLOOR), width=1, opacity=0.6),
        *parts,
        width=SIZE,
        height=SIZE,
        title=title or name,
        description=described,
        prefix=prefix,
        kind="habit",
    )


def _colour(word: str) -> str | None:
    if type_of_colour.fullmatch(word):
        return word
    known = [each for each in re.findall(r"[a-z]+", word.lower()) if each in BLOOMS]
    return BLOOMS[known[0]] if known else None


def one_colour_of(word: str) -> str | None:
    """#rrggbb for words that name one colour only; of several nobody knows which."""
    if type_of_colour.fullmatch(word):
        return word
    # After a semicolon stands what is not the flower, such as berries.
    flower = word.lower().split(";")[0]
    known = {each for each in re.findall(r"[a-z]+", flower) if each in BLOOMS}
    return BLOOMS[known.pop()] if len(known) == 1 else None


def _arc(at: Point, *, paint: str, reach: float = 4.0, width: float = 1.1) -> str:
    x, y = at
    return path(
        smooth([(x - reach, y + 1.4), (x, y - 1.8), (x + reach, y + 1.4)]),
        paint=paint,
        width=width,
    )


def _inside(point: Point, ring: list[Point]) -> bool:
    """Whether a point lies in a closed ring (ray to the right)."""
    x, y = point
    hit = False
    for index, (ax, ay) in enumerate(ring):
        bx, by = ring[index - 1]
        if (ay > y) != (by > y) and x < (bx - ax) * (y - ay) / (by - ay) + ax:
            hit = not hit
    return hit


def _spots(ring: list[Point], *, step: float) -> list[Point]:
    """Points in staggered rows well inside a ring."""
    centre = (
        sum(x for x, _ in ring) / len(ring),
        sum(y for _, y in ring) / len(ring),
    )
    inner = [
        (centre[0] + (x - centre[0]) * 0.82, centre[1] + (y - centre[1]) * 0.82)
        for x, y in ring
    ]
    out: list[Point] = []
    row = 0
    y = 4.0
    while y < SIZE:
        x = 4.0 + (step / 2 if row % 2 else 0)
        while x < SIZE:
            if _inside((x, y), inner):
                out.append((x, y))
            x += step
        y += step * 0.72
        row += 1
    return out


def _oval(
    cx: float, cy: float, rx: float, ry: float, *, count: int = 24
) -> list[Point]:
    return [
        (cx + rx * cos(turn * 2 * pi / count), cy + ry * sin(turn * 2 * pi / count))
        for turn in range(count)
    ]


def _dome(
    cx: float, half: float, top: float, *, foot: float = FLOOR - 1
) -> list[Point]:
    """Half an oval that sits on the ground."""
    high = foot - top
    upper = [
        (cx - half * cos(turn * pi / 16), foot - high * sin(turn * pi / 16))
        for turn in range(17)
    ]
    return [*upper, (cx, foot)]


RINGS: dict[str, list[Point]] = {
    "mound": _dome(48, 34, 40),
    "upright": [
        (34, 82), (29, 66), (27, 48), (30, 30), (38, 16), (48, 11),
        (58, 16), (66, 30), (69, 48), (67, 66), (62, 82), (48, 83),
    ],
    "vase": [
        (41, 70), (30, 56), (18, 40), (13, 26), (22, 17), (36, 12), (48, 11),
        (60, 12), (74, 17), (83, 26), (78, 40), (66, 56), (55, 70), (48, 72),
    ],
    "spreading": [
        (10, 80), (7, 70), (14, 60), (28, 54), (48, 51), (68, 54), (82, 60),
        (89, 70), (86, 80), (66, 83), (48, 82), (30, 83),
    ],
    "columnar": [
        (39, 82), (36, 64), (36, 40), (40, 20), (48, 6), (56, 20), (60, 40),
        (60, 64), (57, 82), (48, 83),
    ],
    "round-tree": _oval(48, 36, 30, 27),
    "hedge": [
        (9, 84), (9, 70), (11, 54), (13, 43), (30, 41), (48, 42), (66, 41),
        (83, 43), (85, 54), (87, 70), (87, 84), (48, 85),
    ],
}  # fmt: skip
STEMS: dict[str, tuple[tuple[list[Point], tuple[float, float]], ...]] = {
    "mound": (
        ([(46, FLOOR), (40, 74), (31, 62)], (3, 1)),
        ([(50, FLOOR), (53, 72), (62, 58)], (3, 1)),
        ([(48, FLOOR), (47, 70), (48, 54)], (3, 1)),
    ),
    "upright": (
        ([(45, FLOOR), (42, 66), (39, 40)], (3, 1)),
        ([(48, FLOOR), (48, 60), (49, 30)], (3, 1)),
        ([(51, FLOOR), (55, 66), (58, 42)], (3, 1)),
    ),
    "vase": (
        ([(44, FLOOR), (38, 66), (26, 36)], (3.4, 1)),
        ([(46, FLOOR), (44, 62), (39, 28)], (3.4, 1)),
        ([(50, FLOOR), (52, 62), (57, 28)], (3.4, 1)),
        ([(52, FLOOR), (58, 66), (70, 36)], (3.4, 1)),
    ),
    "spreading": (
        ([(44, FLOOR), (34, 74), (18, 68)], (3, 1)),
        ([(47, FLOOR), (44, 72), (36, 60)], (3, 1)),
        ([(50, FLOOR), (54, 72), (62, 61)], (3, 1)),
        ([(52, FLOOR), (62, 74), (78, 68)], (3, 1)),
    ),
    "columnar": (([(48, FLOOR), (48, 50), (48, 20)], (4, 1)),),
    "round-tree": (
        ([(48, FLOOR), (47, 70), (48, 44)], (7, 3.4)),
        ([(47.5, 62), (38, 48), (32, 34)], (3.4, 1)),
        ([(48, 58), (58, 46), (64, 30)], (3.4, 1)),
        ([(48, 46), (46, 34), (49, 20)], (3, 1)),
    ),
    "hedge": (),
}


def _crown(
    habit: str, evergreen: bool, blooming: bool, colour: str | None
) -> list[str]:
    ring = RINGS[habit]
    bump, depth = (7.0, 0.9) if habit == "hedge" else (9.5, 2.3)
    crown = blob(ring, bump=bump, depth=depth)
    tint = 0.5 if evergreen else 0.18
    parts = []
    stems = [
        path(ribbon(dense(points), widths), width=1, inside="ink", inside_opacity=0.25)
        for points, widths in STEMS[habit]
    ]
    if habit == "hedge":
        stems = [line((x, FLOOR), (x, FLOOR - 5), width=1.6) for x in (22, 40, 58, 76)]
    if evergreen:
        # Leaves all year hide the stems: only the foot shows.
        parts += [*stems, path(crown, paint=None, inside="leaf", inside_opacity=0.8)]
    else:
        parts += [path(crown, paint=None, inside="leaf", inside_opacity=tint), *stems]
    parts.append(path(crown, width=1.3))
    spots = _spots(ring, step=13 if evergreen else 16)
    for index, spot in enumerate(spots):
        if blooming and index % 2 == 0:
            parts.append(flower(spot, colour))
        else:
            parts.append(_arc(spot, paint="ink" if evergreen else "leaf"))
    return parts


def _pyramid(evergreen: bool, blooming: bool, colour: str | None) -> list[str]:
    """Tiers of drooping boughs on a straight trunk."""
    tiers = ((10, 30, 11), (22, 46, 19), (36, 62, 27), (52, 78, 34))
    parts = [line((48, FLOOR), (48, 76), width=4)]
    for top, foot, half in reversed(tiers):
        hem = [
            (48 + half - step * half / 4, foot - (3.4 if step % 2 else 0))
            for step in range(9)
        ]
        waist = (top + foot) / 2
        outline = polyline(
            [(48, top), (48 + half * 0.42, waist), *hem, (48 - half * 0.42, waist)],
            closed=True,
        )
        parts.append(
            path(
                outline,
                width=1.2,
                inside="leaf",
                inside_opacity=0.9 if evergreen else 0.2,
            )
        )
    if blooming:
        parts += [
            flower(at, colour)
            for at in ((48, 24), (40, 40), (57, 42), (34, 58), (50, 56), (64, 60),
                       (28, 72), (44, 71), (60, 73))
        ]  # fmt: skip
    return parts


def _climbing(evergreen: bool, blooming: bool, colour: str | None) -> list[str]:
    """A stem that winds up a frame of laths."""
    parts = [line((x, FLOOR), (x, 10), width=1, opacity=0.55) for x in (28, 48, 68)]
    parts += [line((22, y), (74, y), width=1, opacity=0.55) for y in (16, 34, 52, 70)]
    stems = (
        dense(
            [(46, FLOOR), (36, 74), (52, 60), (38, 46), (50, 32), (36, 20), (30, 10)]
        ),
        dense([(48, FLOOR), (60, 72), (50, 58), (64, 42), (54, 28), (66, 16)]),
    )
    tint = 0.85 if evergreen else 0.4
    for number_of, stem in enumerate(stems):
        parts.append(
            path(ribbon(stem, (3, 1.2)), width=1, inside="ink", inside_opacity=0.25)
        )
        for index in range(8):
            x, y = along(stem, 0.12 + index * 0.12)
            side = 1 if (index + number_of) % 2 else -1
            parts.append(
                path(
                    leaf((x, y), length=12, angle=radians(-90 + side * 66), broad=0.42),
                    width=1,
                    inside="leaf",
                    inside_opacity=tint,
                )
            )
            if blooming and index % 2:
                parts.append(flower((x - side * 6, y - 2), colour, radius=3.6))
    return parts


def _mat(evergreen: bool, blooming: bool, colour: str | None) -> list[str]:
    """A low carpet of shoots."""
    ring: list[Point] = [
        (6, 84), (8, 77), (20, 72), (34, 70), (48, 71), (62, 69), (76, 72), (88, 77),
        (90, 84), (48, 85),
    ]  # fmt: skip
    parts = [
        path(
            blob(ring, bump=8, depth=2),
            width=1.3,
            inside="leaf",
            inside_opacity=0.85 if evergreen else 0.22,
        )
    ]
    for x in (14, 24, 34, 44, 54, 64, 74, 84):
        parts.append(_arc((x, 79), paint="ink", reach=3.4, width=1))
    if blooming:
        parts += [
            piece
            for x, y in ((13, 70), (27, 64), (41, 65), (56, 62), (70, 65), (83, 70))
            for piece in (line((x, y + 3), (x, 74), width=1), flower((x, y), colour))
        ]
    return parts
