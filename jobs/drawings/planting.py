"""The planting plan of a bed, to scale: every plant, a number and a sign per kind."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from math import cos, pi, sin

from firm.units import Display
from jobs.takeoff.layout import Layout, Place, SeenFrom
from jobs.takeoff.outline import bounds
from plants.drawings.beds import written
from plants.drawings.curves import polyline
from plants.drawings.svg import (
    Gettext,
    Point,
    as_written,
    box,
    circle,
    drawing,
    frame,
    line,
    paragraph,
    path,
    width_of,
    words,
)

US = Display("us")
LEFT, TOP, TALLEST, ARROW = 22.0, 34.0, 460.0, 16.0
# A sign of this radius has room for a number of two figures.
NUMBERED_FROM = 8.0
LARGEST_SIGN = 10.0
LEAST_SIGN = 1.7
SIDE_WORDS = {
    SeenFrom.FRONT: "Seen from the front, the lower side of the plan.",
    SeenFrom.BACK: "Seen from the back, the upper side of the plan.",
    SeenFrom.LEFT: "Seen from the left side of the plan.",
    SeenFrom.RIGHT: "Seen from the right side of the plan.",
    SeenFrom.ALL: "Seen from all sides: the tallest stand in the middle.",
}

Sign = Callable[[Point, float, bool], str]


def _shaped(corners: Sequence[Point]) -> Sign:
    """A sign with these corners, on a circle of radius one."""

    def draw(at: Point, radius: float, is_filled: bool) -> str:
        points = [(at[0] + x * radius, at[1] + y * radius) for x, y in corners]
        d = polyline([*points, points[0]]) + "Z"
        return path(
            d,
            paint="leaf",
            width=_stroke(radius),
            inside="leaf",
            inside_opacity=0.85 if is_filled else 0.1,
        )

    return draw


def _round(at: Point, radius: float, is_filled: bool) -> str:
    return circle(
        at,
        radius,
        paint="leaf",
        width=_stroke(radius),
        inside="leaf",
        inside_opacity=0.85 if is_filled else 0.1,
    )


def _crossed(corners: Sequence[Point]) -> Sign:
    """Two strokes through the middle, without a surface."""

    def draw(at: Point, radius: float, is_filled: bool) -> str:
        width = _stroke(radius) * (1.8 if is_filled else 1.2)
        return "".join(
            line(
                (at[0] - x * radius, at[1] - y * radius),
                (at[0] + x * radius, at[1] + y * radius),
                paint="leaf",
                width=width,
            )
            for x, y in corners
        )

    return draw


def _stroke(radius: float) -> float:
    return max(0.7, min(1.3, radius / 4))


def _regular(count: int, *, turn: float = -90) -> list[Point]:
    first = turn * pi / 180
    return [
        (cos(first + 2 * pi * step / count), sin(first + 2 * pi * step / count))
        for step in range(count)
    ]


# The signs differ in shape and in being filled, so that no colour is needed.
SIGNS: tuple[tuple[Sign, bool], ...] = (
    (_round, False),
    (_shaped(_regular(4, turn=45)), True),
    (_shaped(_regular(3)), False),
    (_shaped(_regular(4)), False),
    (_round, True),
    (_crossed([(1, 0), (0, 1)]), True),
    (_shaped(_regular(3, turn=90)), True),
    (_shaped(_regular(4, turn=45)), False),
    (_shaped(_regular(3)), True),
    (_crossed([(0.72, 0.72), (0.72, -0.72)]), True),
    (_shaped(_regular(4)), True),
    (_shaped(_regular(6)), False),
)


def plan_svg(
    layout: Layout,
    *,
    numbers: Sequence[int] = (),
    seen_from: SeenFrom = SeenFrom.FRONT,
    display: Display = US,
    north: float | None = None,
    title: str = "",
    prefix: str = "plan",
    width: float = 340,
    key: bool = True,
    gettext: Gettext = as_written,
) -> str:
    """The bed to scale with every plant, sizes, scale bar, north and a key with counts.

    `numbers` are those of the kinds, else 1, 2, 3; `north` is the bearing in degrees,
    clockwise, of north from the top of the drawing.
    """
    numbers = numbers or tuple(range(1, len(layout.kinds) + 1))
    left, front, right, back = bounds(layout.ground)
    across, deep = right - left, back - front
    # The arrow of the side one looks from stands between the bed and its sizes.
    above, beside = (
        ARROW if seen_from == side and len(layout.kinds) > 1 else 0.0
        for side in (SeenFrom.BACK, SeenFrom.RIGHT)
    )
    beside_words = width_of(written(_metres(deep), display), size=12) + 20
    scale = min((width - 2 * LEFT - beside_words - beside) / across, TALLEST / deep)
    top = TOP + above

    def at(x: float, y: float) -> Point:
        return (LEFT + (x - left) * scale, top + (back - y) * scale)

    parts = [
        path(
            polyline([at(*corner) for corner in (*ring, ring[0])]) + "Z",
            width=1.8,
            inside="ink",
            inside_opacity=0.05,
        )
        for ring in layout.ground
    ]
    parts += _sizes(
        at(left, back), across * scale, deep * scale, (above, beside), layout, display
    )
    parts += _signs(layout, numbers, at, scale)
    if len(layout.kinds) > 1:
        parts.append(_look(at, (left, front, right, back), seen_from))
    y = top + deep * scale + 34
    bar, bar_words = _bar((LEFT, y), across, scale, display, gettext)
    parts.append(bar)
    if north is not None:
        parts.append(_north((width - 30, y + 2), north, gettext))
    y += 34
    said_from = gettext(SIDE_WORDS[seen_from])
    if len(layout.kinds) > 1:
        said, taken = paragraph((LEFT, y), said_from, width=width - 90, size=12)
        parts.append(said)
        y += taken + 6
    told = plan_words(
        layout, numbers=numbers, seen_from=seen_from, display=display, gettext=gettext
    )
    if key:
        for index, label in enumerate(_key_words(layout, display, gettext)):
            drawn, taken = _key_row(
                (LEFT + 8, y + 3),
                index,
                numbers[index],
                label,
                width,
                has_number=_radius(layout, index, scale) >= NUMBERED_FROM,
            )
            parts.append(drawn)
            y += taken
    return drawing(
        *parts,
        width=width,
        height=y + 8,
        title=title or gettext("Planting plan"),
        description=" ".join([*told, bar_words]),
        prefix=prefix,
        kind="planting-plan",
    )


def plan_words(
    layout: Layout,
    *,
    numbers: Sequence[int] = (),
    seen_from: SeenFrom = SeenFrom.FRONT,
    display: Display = US,
    gettext: Gettext = as_written,
) -> list[str]:
    """The plan in sentences: the bed, the side, every kind with its count and place."""
    numbers = numbers or tuple(range(1, len(layout.kinds) + 1))
    left, front, right, back = bounds(layout.ground)
    told = [
        gettext("A bed {across} long and {deep} deep.").format(
            across=written(_metres(right - left), display),
            deep=written(_metres(back - front), display),
        )
    ]
    if len(layout.kinds) > 1:
        told.append(gettext(SIDE_WORDS[seen_from]))
    for index, label in enumerate(_key_words(layout, display, gettext)):
        mine = [place for place in layout.places if place.kind == index]
        where = _where(mine, (left, front, right, back), gettext)
        told.append(f"{numbers[index]}: {label}{', ' + where if where else ''}.")
    told += shortfalls(layout, display=display, gettext=gettext)
    return told


def shortfalls(
    layout: Layout, *, display: Display = US, gettext: Gettext = as_written
) -> list[str]:
    """How many fit where fewer do than were wanted, and why."""
    said = []
    for short in layout.short:
        kind = layout.kinds[short.kind]
        words_of = (
            "{label}: {fit} of {wanted} fit. They stand {apart} apart and keep off the"
            " edge, and the taller kinds were placed first. Order fewer, set them"
            " closer, or plant the rest elsewhere."
            if len(layout.kinds) > 1
            else "{label}: {fit} of {wanted} fit. They stand {apart} apart and keep off"
            " the edge. Order fewer, set them closer, or plant the rest elsewhere."
        )
        said.append(
            gettext(words_of).format(
                label=kind.label,
                fit=short.fit,
                wanted=short.wanted,
                apart=display.depth(_metres(kind.spacing_m)),
            )
        )
    return said


def _key_words(layout: Layout, display: Display, gettext: Gettext) -> list[str]:
    return [
        gettext("{count} {label}, {apart} apart").format(
            count=layout.count(index),
            label=kind.label,
            apart=display.depth(_metres(kind.spacing_m * layout.wider)),
        )
        for index, kind in enumerate(layout.kinds)
    ]


def _metres(value: float) -> Decimal:
    return Decimal(str(round(value, 4)))


def _where(
    places: Sequence[Place], around: tuple[float, float, float, float], gettext: Gettext
) -> str:
    """In which third of the bed the plants of a kind stand, in words."""
    if not places:
        return gettext("no place for it")
    left, front, right, back = around
    x = sum(place.x for place in places) / len(places)
    y = sum(place.y for place in places) / len(places)
    deep = (y - front) / (back - front)
    aside = (x - left) / (right - left)
    rows = ("towards the front", "in the middle", "towards the back")
    columns = ("on the left", "", "on the right")
    row = rows[min(int(deep * 3), 2)]
    column = columns[min(int(aside * 3), 2)]
    return ", ".join(gettext(each) for each in (row, column) if each)


def _sizes(
    corner: Point,
    wide: float,
    high: float,
    off: tuple[float, float],
    layout: Layout,
    display: Display,
) -> list[str]:
    """Dimension lines above and at the right of the bed's whole size."""
    left, front, right, back = bounds(layout.ground)
    x, y = corner
    above, beside = y - 10 - off[0], x + wide + 9 + off[1]
    parts = [
        line((x, above), (x + wide, above), width=0.9, opacity=0.7),
        line((beside, y), (beside, y + high), width=0.9, opacity=0.7),
    ]
    for each in (x, x + wide):
        parts.append(line((each, above - 4), (each, above + 4), width=0.9, opacity=0.7))
    for each in (y, y + high):
        parts.append(
            line((beside - 4, each), (beside + 4, each), width=0.9, opacity=0.7)
        )
    length, depth = (
        written(_metres(each), display) for each in (right - left, back - front)
    )
    parts += [
        words((x + wide / 2, above - 6), length, size=12, anchor="middle"),
        words((beside + 7, y + high / 2 + 4), depth, size=12),
    ]
    return parts


def _signs(
    layout: Layout,
    numbers: Sequence[int],
    at: Callable[[float, float], Point],
    scale: float,
) -> list[str]:
    parts = []
    for index in range(len(layout.kinds)):
        radius = _radius(layout, index, scale)
        draw, is_filled = SIGNS[index % len(SIGNS)]
        has_number = radius >= NUMBERED_FROM
        for place in layout.places:
            if place.kind != index:
                continue
            spot = at(place.x, place.y)
            parts.append(draw(spot, radius, is_filled and not has_number))
            if has_number:
                parts.append(
                    words(
                        (spot[0], spot[1] + 4.2),
                        str(numbers[index]),
                        size=12,
                        anchor="middle",
                        weight="bold",
                    )
                )
    return parts


def _radius(layout: Layout, kind: int, scale: float) -> float:
    """How large a kind's sign is drawn: neighbours never touch."""
    drawn = layout.kinds[kind].spacing_m * scale * 0.42
    return min(LARGEST_SIGN, max(LEAST_SIGN, drawn))


def _key_row(
    at: Point, index: int, number: int, label: str, width: float, *, has_number: bool
) -> tuple[str, float]:
    """A kind's sign and number beside its count and name."""
    draw, is_filled = SIGNS[index % len(SIGNS)]
    named, taken = paragraph(
        (at[0] + 36, at[1] + 5), label, width=width - at[0] - 44, size=13
    )
    figure = words((at[0] + 14, at[1] + 4.5), str(number), size=13, weight="bold")
    sign = draw(at, 6.0, is_filled and not has_number)
    return sign + figure + named, max(taken, 16) + 6


def _look(
    at: Callable[[float, float], Point],
    around: tuple[float, float, float, float],
    seen_from: SeenFrom,
) -> str:
    """A small arrow at the side one looks from."""
    left, front, right, back = around
    middle = ((left + right) / 2, (front + back) / 2)
    ends = {
        SeenFrom.FRONT: (at(middle[0], front), (0.0, 1.0)),
        SeenFrom.BACK: (at(middle[0], back), (0.0, -1.0)),
        SeenFrom.LEFT: (at(left, middle[1]), (-1.0, 0.0)),
        SeenFrom.RIGHT: (at(right, middle[1]), (1.0, 0.0)),
    }
    if seen_from not in ends:
        return ""
    (x, y), (dx, dy) = ends[seen_from]
    tip, tail = (x + dx * 4, y + dy * 4), (x + dx * 17, y + dy * 17)
    barbs = [
        (tip[0] + dx * 6 + dy * side, tip[1] + dy * 6 + dx * side) for side in (-4, 4)
    ]
    return line(tail, tip, width=1.4) + path(
        polyline([barbs[0], tip, barbs[1]]), width=1.4
    )


def _bar(
    at: Point, across: float, scale: float, display: Display, gettext: Gettext
) -> tuple[str, str]:
    """A bar of a round length, under half of the drawing, and its words."""
    unit = 1.0 if display.system == "metric" else 0.3048
    steps = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500)
    step = ([each for each in steps if each * unit <= across * 0.45] or [steps[0]])[-1]
    x, y = at
    wide = step * unit * scale
    label = written(_metres(step * unit), display)
    drawn = (
        box((x, y), wide / 2, 5, inside="ink")
        + frame((x, y), wide, 5, line_width=1)
        + words((x + wide + 8, y + 7), label, size=12)
    )
    return drawn, gettext("Scale bar: {length}.").format(length=label)


def _north(at: Point, degrees: float, gettext: Gettext) -> str:
    """An arrow to the north with its letter at the tip."""
    angle = (degrees - 90) * pi / 180
    way = (cos(angle), sin(angle))
    tip = (at[0] + 12 * way[0], at[1] + 12 * way[1])
    tail = (at[0] - 12 * way[0], at[1] - 12 * way[1])
    barbs = [
        (tip[0] - 7 * cos(angle + side), tip[1] - 7 * sin(angle + side))
        for side in (-0.5, 0.5)
    ]
    letter = (at[0] + 21 * way[0], at[1] + 21 * way[1] + 4.5)
    return (
        line(tail, tip, width=1.5)
        + path(polyline([barbs[0], tip, barbs[1]]), width=1.5)
        + words(letter, gettext("N"), size=13, anchor="middle", weight="bold")
    )
