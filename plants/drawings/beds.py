"""A bed's sketch to scale: its outline, its plants with their numbers, a scale bar."""

from collections.abc import Sequence
from decimal import Decimal
from math import ceil, cos, hypot, radians, sin

from firm.units import Display, convert, round_figure
from plants.drawings.curves import polyline
from plants.drawings.places import (
    Piece,
    PlanPlanting,
    Shape,
    pieces_of,
    placed,
)
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
MOST_DOTS = 600


def written(length_m: Decimal, display: Display) -> str:
    """A length in feet and whole inches, or in metres to the centimetre."""
    if display.system == "metric":
        return display.length(length_m, trim=True)
    inches = int(round_figure(convert(length_m, unit="m", to="in"), 0))
    whole, rest = divmod(inches, 12)
    if not rest:
        return f"{whole} ft"
    return f"{whole} ft {rest} in" if whole else f"{rest} in"


def bed_plan(
    shape: Shape,
    plantings: Sequence[PlanPlanting],
    *,
    display: Display = US,
    north: float | None = None,
    scale_words: str = "",
    title: str = "",
    prefix: str = "bed",
    width: float = 340,
    key: bool = True,
    gettext: Gettext = as_written,
) -> str:
    """The bed to scale, its plants with their numbers, sizes, scale bar and north.

    `north` is the bearing in degrees, clockwise, of north from the top of the drawing.
    `display` says how the firm writes lengths.
    """
    pieces = pieces_of(shape)
    across = max(piece.x + piece.wide for piece in pieces)
    deep = max(piece.y + piece.high for piece in pieces)
    left, top = 14.0, 30.0
    side_label = width_of(written(_decimal(pieces[-1].high), display), size=12)
    right = 14.0 if pieces[0].round else side_label + 16
    scale = min((width - left - right) / across, 320 / deep)
    parts: list[str] = []
    for piece in pieces:
        parts.append(_outline(piece, left, top, scale))
        parts.append(_sizes(piece, left, top, scale, display, last=piece is pieces[-1]))
    parts.append(_plants(placed(shape, plantings), left, top, scale))
    y = top + deep * scale + 30
    bar, bar_words = _scale_bar((left, y), across, scale, display, gettext)
    parts.append(bar)
    if north is not None:
        parts.append(_north((width - 26, y + 4), north, gettext))
    y += 34
    if scale_words:
        said, taken = paragraph((left, y), scale_words, width=width - 70, size=12)
        parts.append(said)
        y += taken
    if sum(planting.quantity for planting in plantings) > MOST_DOTS:
        said, taken = paragraph(
            (left, y),
            gettext("The dots show where, not how many"),
            width=width - 70,
            size=12,
        )
        parts.append(said)
        y += taken
    if len(pieces) > 1:
        said, taken = paragraph(
            (left, y),
            gettext("Pieces as measured, side by side"),
            width=width - 70,
            size=12,
        )
        parts.append(said)
        y += taken
    told = []
    for planting in plantings:
        count = gettext("{label}, {quantity}").format(
            label=planting.label, quantity=planting.quantity
        )
        told.append(f"{planting.number}: {count}")
        if key:
            # The number's ring in the key is the one on the plan.
            parts.append(_numbered((left + 9, y + 3), planting.number, radius=9.5))
            named, taken = paragraph(
                (left + 26, y + 8), count, width=width - left - 34, size=13
            )
            parts.append(named)
            y += max(taken, 16) + 8
    size_words = {
        True: gettext("A round bed {across} across."),
        False: gettext("A bed {across} long and {deep} wide."),
    }[pieces[0].round]
    if pieces[0].corners:
        size_words = gettext("A bed with {count} corners, {across} by {deep} in all.")
    if len(pieces) > 1:
        size_words = gettext("A bed of {count} measured pieces.")
    description = " ".join(
        part
        for part in (
            size_words.format(
                across=written(_decimal(across), display),
                deep=written(_decimal(deep), display),
                count=len(pieces[0].corners) or len(pieces),
            ),
            "; ".join(told) + "." if told else gettext("Nothing is planted yet."),
            bar_words,
        )
        if part
    )
    return drawing(
        *parts,
        width=width,
        height=y + 8,
        title=title or gettext("Plan of the bed"),
        description=description,
        prefix=prefix,
        kind="bed-plan",
    )


def _decimal(value: float) -> Decimal:
    return Decimal(str(round(value, 4)))


def _outline(piece: Piece, left: float, top: float, scale: float) -> str:
    x, y = left + piece.x * scale, top + piece.y * scale
    wide, high = piece.wide * scale, piece.high * scale
    if piece.corners:
        points = [(x + cx * scale, y + cy * scale) for cx, cy in piece.corners]
        return path(
            polyline(points, closed=True), width=1.8, inside="ink", inside_opacity=0.05
        )
    if piece.round:
        centre = (x + wide / 2, y + high / 2)
        return circle(centre, wide / 2, width=1.8, inside="ink", inside_opacity=0.05)
    return box((x, y), wide, high, inside="ink", opacity=0.05) + frame(
        (x, y), wide, high, line_width=1.8
    )


def _sizes(
    piece: Piece, left: float, top: float, scale: float, display: Display, *, last: bool
) -> str:
    """Dimension lines: above for the length, at the right for the width."""
    x, y = left + piece.x * scale, top + piece.y * scale
    wide, high = piece.wide * scale, piece.high * scale
    above = y - 9
    parts = [
        line((x, above), (x + wide, above), width=0.9, opacity=0.7),
        line((x, above - 4), (x, above + 4), width=0.9, opacity=0.7),
        line((x + wide, above - 4), (x + wide, above + 4), width=0.9, opacity=0.7),
        words(
            (x + wide / 2, above - 6),
            written(_decimal(piece.wide), display),
            size=12,
            anchor="middle",
        ),
    ]
    if piece.round:
        return "".join(parts)
    beside = x + wide + 7
    label = written(_decimal(piece.high), display)
    if last:
        parts += [
            line((beside, y), (beside, y + high), width=0.9, opacity=0.7),
            line((beside - 4, y), (beside + 4, y), width=0.9, opacity=0.7),
            line(
                (beside - 4, y + high), (beside + 4, y + high), width=0.9, opacity=0.7
            ),
            words((beside + 6, y + high / 2 + 4), label, size=12),
        ]
    else:
        parts.append(
            words((x + wide / 2, y + high + 14), label, size=12, anchor="middle")
        )
    return "".join(parts)


def _plants(
    standing: Sequence[tuple[PlanPlanting, list[Point]]],
    left: float,
    top: float,
    scale: float,
) -> str:
    every = [
        (left + x * scale, top + y * scale) for _, points in standing for x, y in points
    ]
    nearest = _nearest(every)
    parts = []
    numbers: list[str] = []
    dots: list[Point] = []
    middles: list[tuple[Point, int]] = []
    for planting, points in standing:
        spots = [(left + x * scale, top + y * scale) for x, y in points]
        if not spots:
            continue
        crown = float(planting.spread_m) * scale / 2 if planting.spread_m else 0.0
        if planting.hedge and len(spots) > 1:
            # Grown together a hedge is one body: circles that just touch say so.
            crown = min(crown, _nearest(spots) * 0.52)
        if crown >= 2.5:
            parts += [
                circle(
                    spot,
                    crown,
                    paint="leaf",
                    width=0.9,
                    inside="leaf",
                    inside_opacity=0.16,
                )
                for spot in spots
            ]
        if nearest >= 23:
            radius = min(9.5, nearest / 2)
            numbers += [
                _numbered(spot, planting.number, radius=radius) for spot in spots
            ]
            continue
        # Too close for numbers: a dot for each plant, one number for the group.
        middle = (
            sum(x for x, _ in spots) / len(spots),
            sum(y for _, y in spots) / len(spots),
        )
        middles.append((middle, planting.number))
        dots += spots
    dots = dots[:: ceil(len(dots) / MOST_DOTS) or 1]
    parts += [
        circle(spot, 2.2, paint=None, inside="leaf", inside_opacity=0.9)
        for spot in dots
        if all(hypot(spot[0] - x, spot[1] - y) > 13 for (x, y), _ in middles)
    ]
    numbers += [
        _numbered(middle, number_of, radius=10) for middle, number_of in middles
    ]
    return "".join(parts + numbers)


def _nearest(spots: Sequence[Point]) -> float:
    """The smallest distance between two neighbours in drawing order along x."""
    ordered = sorted(spots)
    least = 1e9
    for index, (x, y) in enumerate(ordered):
        for other_x, other_y in ordered[index + 1 :]:
            if other_x - x > least:
                break
            least = min(least, hypot(other_x - x, other_y - y))
    return least


def _numbered(at: Point, number_of: int, *, radius: float) -> str:
    """A planting's number in a ring."""
    figure = words(
        (at[0], at[1] + 4.2), str(number_of), size=12, anchor="middle", weight="bold"
    )
    return circle(at, radius, width=1.2) + figure


def _scale_bar(
    at: Point, across: float, scale: float, display: Display, gettext: Gettext
) -> tuple[str, str]:
    """A bar of a round length, about a third of the drawing, and its words."""
    unit = 1.0 if display.system == "metric" else 0.3048
    steps = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500)
    fitting = [step for step in steps if step * unit <= across * 0.45] or [steps[0]]
    step = fitting[-1]
    x, y = at
    wide = step * unit * scale
    label = written(_decimal(step * unit), display)
    bar = (
        box((x, y), wide / 2, 5, inside="ink")
        + frame((x, y), wide, 5, line_width=1)
        + words((x + wide + 8, y + 7), label, size=12)
    )
    return bar, gettext("Scale bar: {length}.").format(length=label)


def _north(at: Point, degrees: float, gettext: Gettext) -> str:
    """An arrow to the north with its letter at the tip."""
    angle = radians(degrees - 90)
    tip = (at[0] + 12 * cos(angle), at[1] + 12 * sin(angle))
    tail = (at[0] - 12 * cos(angle), at[1] - 12 * sin(angle))
    barbs = [
        (tip[0] - 7 * cos(angle + side), tip[1] - 7 * sin(angle + side))
        for side in (-0.5, 0.5)
    ]
    letter = (at[0] + 21 * cos(angle), at[1] + 21 * sin(angle) + 4.5)
    return (
        line(tail, tip, width=1.5)
        + path(polyline([barbs[0], tip, barbs[1]]), width=1.5)
        + words(letter, gettext("N"), size=13, anchor="middle", weight="bold")
    )
