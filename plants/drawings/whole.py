"""Cuts shown on a whole plant: thinning, cutting down, dead tips, shearing, grasses."""

from math import cos, pi, radians, sin

from plants.drawings.buds import DASH, bud
from plants.drawings.curves import along, blob, dense, leaf, polyline, ribbon, smooth
from plants.drawings.stems import (
    GROUND,
    cut_mark,
    finish,
    ground,
    old_stem,
    twig,
)
from plants.drawings.svg import (
    Gettext,
    Point,
    line,
    paragraph,
    path,
    words,
    wrapped,
)


def thin_base(*, measure_words: str, title: str, prefix: str, gettext: Gettext) -> str:
    share = measure_words or gettext("about a third of the stems")
    base = GROUND
    young: list[list[Point]] = [
        [(112, base), (92, 160), (62, 108), (34, 78)],
        [(136, base), (128, 150), (112, 84), (100, 42)],
        [(160, base), (163, 140), (164, 80), (162, 24)],
        [(186, base), (198, 150), (214, 90), (226, 44)],
        [(208, base), (232, 168), (262, 120), (290, 88)],
    ]
    old: list[list[Point]] = [
        [(124, base), (108, 160), (82, 96), (66, 40)],
        [(148, base), (146, 150), (138, 90), (131, 30)],
        [(197, base), (218, 162), (240, 104), (258, 48)],
    ]
    cuts = [along(dense(stem), 0.05) for stem in old]
    parts = [old_stem(stem) for stem in old]
    parts += [twig(stem, leaves=4) for stem in young]
    parts += [cut_mark(at, half=10, angle=0) for at in cuts]
    parts.append(ground(base))
    return finish(
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


def height_gauge(x: float, top: float, label: str, *, room: float = 104) -> str:
    """A measured height from the ground, its words standing on the cut's line."""
    parts = [
        line((x, top), (x, GROUND), width=1.1),
        path(
            polyline([(x - 4, top + 7), (x, top + 1), (x + 4, top + 7)])
            + polyline([(x - 4, GROUND - 7), (x, GROUND - 1), (x + 4, GROUND - 7)]),
            width=1.1,
        ),
    ]
    lines = len(wrapped(label, width=room))
    text, _ = paragraph(
        (x - 12, top - 8 - (lines - 1) * 16.25), label, width=room, weight="bold"
    )
    return "".join(parts) + text


def cut_down(*, measure_words: str, title: str, prefix: str, gettext: Gettext) -> str:
    measure = measure_words or gettext("as low as the words say")
    cut_y = 158.0
    stems: list[list[Point]] = [
        [(176, GROUND), (158, 160), (142, 112), (138, 70)],
        [(196, GROUND), (187, 150), (178, 94), (172, 44)],
        [(216, GROUND), (216, 150), (218, 90), (217, 30)],
        [(236, GROUND), (243, 150), (254, 94), (260, 46)],
        [(254, GROUND), (270, 162), (286, 112), (294, 76)],
    ]
    parts: list[str] = []
    for points in stems:
        stem = dense(points, steps=14)
        low = [point for point in stem if point[1] >= cut_y]
        high = [point for point in stem if point[1] <= cut_y + 3]
        parts.append(
            path(ribbon(low, (8, 6.6)), width=1.5, inside="ink", inside_opacity=0.1)
        )
        parts.append(path(ribbon(high, (6, 2.4)), width=1.3, dash=DASH, opacity=0.75))
        x, y = points[-1]
        ring = [
            (x + 15 * cos(turn * pi / 6), y - 8 + 13 * sin(turn * pi / 6))
            for turn in range(12)
        ]
        parts.append(
            path(blob(ring, bump=11, depth=3), width=1.2, dash=DASH, opacity=0.75)
        )
        at = along(low, 0.6)
        for side in (-1, 1):
            parts.append(
                bud(
                    (at[0] + side * 3, at[1]),
                    angle=radians(-90 + side * 42),
                    length=12,
                )
            )
    parts.append(line((138, cut_y), (304, cut_y), paint="warn", width=2.8))
    parts.append(ground(GROUND))
    parts.append(height_gauge(26, cut_y, measure))
    parts.append(line((18, cut_y), (138, cut_y), paint="warn", width=1.2, dash="2 3"))
    return finish(
        parts,
        cut_words=gettext("cut all stems to: {height}").format(height=measure)
        if measure_words
        else gettext("cut all stems as low as the words say"),
        name=title or gettext("Cut down to a height"),
        description=gettext(
            "A shrub whose stems are all cut to one height: {height}, each just above "
            "a pair of buds or a strong bud. What stands above the line comes off; new "
            "stems grow from the buds under it."
        ).format(height=measure),
        prefix=prefix,
        gettext=gettext,
    )


def dead_tips(
    *,
    buds: str,
    measure_words: str,
    distance_words: str,
    in_flower_bud: bool,
    title: str,
    prefix: str,
    gettext: Gettext,
) -> str:
    distance = measure_words or distance_words
    single = buds == "alternate"
    first = {
        "opposite": gettext("pair of buds"),
        "whorled": gettext("ring of buds"),
        "alternate": gettext("bud"),
    }[buds]
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
        parts.append(path(ribbon(high, (5.2, 2)), width=1.4, dash="3 3", opacity=0.8))
        for number, part in enumerate((0.35, 0.7)):
            x, y = along(high, part)
            for side in _sides(number, single=single):
                parts.append(
                    path(
                        leaf((x, y), length=8, angle=radians(-90 + side * 45)),
                        width=1.1,
                        dash="2 2",
                        opacity=0.8,
                    )
                )
        for number, (part, size) in enumerate(((0.52, 19), (0.86, 17))):
            x, y = along(low, part)
            for side in _sides(number, single=single):
                parts.append(
                    path(
                        leaf((x, y), length=size, angle=radians(-90 + side * 55)),
                        width=1.2,
                        inside="leaf",
                        inside_opacity=0.5,
                    )
                )
        slope = high[4][0] - high[0][0]
        parts.append(cut_mark(high[1], half=15, angle=radians(2 * slope)))
    alive: list[Point] = [(156, GROUND), (155, 150), (156, 96), (155, 60)]
    parts.append(
        path(
            ribbon(dense(alive), (8, 4.6)), width=1.5, inside="ink", inside_opacity=0.1
        )
    )
    for number, (share, size) in enumerate(((0.5, 19), (0.8, 17))):
        x, y = along(dense(alive), share)
        for side in _sides(number, single=single):
            parts.append(
                path(
                    leaf((x, y), length=size, angle=radians(-90 + side * 55)),
                    width=1.2,
                    inside="leaf",
                    inside_opacity=0.5,
                )
            )
    parts.append(bud((155, 64), angle=radians(-90), length=27))
    parts.append(
        words(
            (155, 18),
            gettext("leave: flower bud") if in_flower_bud else gettext("leave: alive"),
            size=13,
            anchor="middle",
            paint="leaf",
        )
    )
    parts.append(line((155, 23), (155, 34), width=0.9, opacity=0.6))
    parts.append(ground(GROUND))
    return finish(
        parts,
        cut_words=gettext(
            "cut only dead tips, {distance} above the first live {first}"
        ).format(distance=distance, first=first),
        name=title or gettext("Take off dead tips only"),
        description=gettext(
            "Three stems in spring. Two have dead tips, dry and brown under the bark: "
            "cut them {distance} above the first live {first}. The third is alive to "
            "its end and is not touched{because}."
        ).format(
            distance=distance,
            first=first,
            because=gettext(", because its top bud holds the flower")
            if in_flower_bud
            else "",
        ),
        prefix=prefix,
        gettext=gettext,
        stays=gettext("solid: alive, green under the bark"),
        gone=gettext("dashed: dead, dry and brown"),
    )


def _sides(number: int, *, single: bool) -> tuple[int, ...]:
    """On which sides of a stem the leaves of one node stand."""
    if single:
        return (1,) if number % 2 else (-1,)
    return (-1, 1)


def shear(*, measure_words: str, title: str, prefix: str, gettext: Gettext) -> str:
    measure = measure_words or gettext("only this year's soft growth")
    shape: list[Point] = [
        (46, GROUND - 3),
        (66, 160),
        (86, 118),
        (106, 92),
        (132, 80),
        (160, 77),
        (188, 80),
        (214, 92),
        (234, 118),
        (254, 160),
        (274, GROUND - 3),
    ]
    parts: list[str] = []
    # Shoots that stand past the line.
    shoots = (
        (54, 187, -30, -14), (64, 164, -30, -20), (78, 133, -29, -28),
        (96, 104, -25, -34), (118, 86, -15, -40), (140, 79, -7, -40),
        (160, 77, 1, -46), (181, 79, 8, -40), (203, 86, 15, -40),
        (224, 104, 25, -34), (242, 133, 29, -28), (256, 164, 30, -20),
        (266, 187, 30, -14),
    )  # fmt: skip
    for x, y, dx, dy in shoots:
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
        ground(GROUND),
    ]
    return finish(
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


def grass(*, measure_words: str, title: str, prefix: str, gettext: Gettext) -> str:
    measure = measure_words or gettext("as low as the words say")
    cut_y = 176.0
    parts: list[str] = []
    tie_y = 116.0
    tips = (
        (150, 74), (158, 58), (168, 46), (179, 37), (190, 31), (202, 28), (214, 31),
        (225, 37), (236, 46), (246, 58), (254, 74),
    )  # fmt: skip
    for index, (x, y) in enumerate(tips):
        out = index - 5
        blade = dense(
            [
                (202 + out * 5.6, GROUND),
                (202 + out * 5.0, 172),
                (202 + out * 2.6, tie_y),
                (202 + (x - 202) * 0.6, (y + tie_y) / 2 - 8),
                (x, y),
            ],
            steps=14,
        )
        low = [point for point in blade if point[1] >= cut_y]
        high = [point for point in blade if point[1] < cut_y + 4]
        parts.append(path(polyline(low), width=1.7))
        parts.append(path(polyline(high), width=1.2, dash=DASH, opacity=0.8))
        if index % 2:
            parts.append(
                path(
                    leaf((x, y), length=20, angle=radians(-90 + out * 9), broad=0.18),
                    width=1.1,
                    dash="3 3",
                    opacity=0.8,
                )
            )
    # The string that holds the old leaves while they are cut.
    parts.append(path(smooth([(186, 114), (202, 119), (218, 114)]), width=2.4))
    parts.append(path("M218 114l10 -5M218 114l9 7", width=1.8))
    parts.append(line((138, cut_y), (286, cut_y), paint="warn", width=2.8))
    parts.append(line((18, cut_y), (138, cut_y), paint="warn", width=1.2, dash="2 3"))
    parts.append(ground(GROUND))
    parts.append(height_gauge(26, cut_y, measure))
    tie, _ = paragraph((20, 98), gettext("tie it first, then cut"), width=104)
    parts.append(tie)
    parts.append(line((126, 106), (182, 113), width=0.9, opacity=0.6))
    return finish(
        parts,
        cut_words=gettext("cut all old leaves to: {height}").format(height=measure)
        if measure_words
        else gettext("cut all old leaves as low as the words say"),
        name=title or gettext("Cut back a grass"),
        description=gettext(
            "A clump of grass with last year's dry leaves. Tie it up, then cut it to "
            "one height: {height}, before the new shoots are in the way. What stands "
            "above the line comes off."
        ).format(height=measure),
        prefix=prefix,
        gettext=gettext,
    )
