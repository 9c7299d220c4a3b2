"""A bed measured by its corners, or by its sides and turns: read, checked, its area.

Corners are exact metres, x along the front and y to the back.
"""

import re
from collections.abc import Sequence
from decimal import Decimal
from math import cos, hypot, radians, sin

from firm.units import LENGTH_PLACES, UnitError, parse_length, round_figure

Corner = tuple[Decimal, Decimal]
Corners = tuple[Corner, ...]

MOST_CORNERS = 60
# An outline walked around ends so near its start, as a share of the way around, that
# the difference is the tape's (common practice, no source).
CLOSES_WITHIN = Decimal("0.03")
QUARTERS = ((1, 0), (0, 1), (-1, 0), (0, -1))

_BETWEEN = re.compile(r"\s*;\s*|,\s+|\s*\|\s*")
_BARE = re.compile(r"[-−–]?[0-9]+(?:[.,][0-9]+)?")
_TURN = re.compile(
    r"(?P<side>.+?)[\s,;]+(?P<way>left|right)\s*"
    r"(?P<degrees>[0-9]{1,3}(?:[.,][0-9]{1,2})?)?\s*(?:°|deg(?:rees)?)?",
    re.IGNORECASE,
)


class OutlineError(ValueError):
    """An outline that no bed can have, or a line of it that is not read."""


def read_outline(text: str, *, unit: str, longest_m: Decimal) -> Corners:
    """The corners of an outline; OutlineError says which line or side is wrong.

    Each line is a corner as two lengths with a semicolon between, or a side with the
    turn at its end: 12 ft left 90. A side without a turn is the last one.
    """
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if len(lines) > MOST_CORNERS:
        raise OutlineError(f"At most {MOST_CORNERS} corners are taken.")
    if any(_TURN.fullmatch(line) for line in lines):
        corners = _walked(lines, unit, longest_m)
    else:
        corners = tuple(
            _corner(line, number, unit, longest_m)
            for number, line in enumerate(lines, start=1)
        )
    wrong = why_no_outline(corners)
    if wrong:
        raise OutlineError(wrong)
    return corners


def with_units(text: str, *, unit: str) -> str:
    """The lines with UNIT at every bare number, so that they mean the same later."""
    out = []
    for line in (line.strip() for line in text.splitlines() if line.strip()):
        found = _TURN.fullmatch(line)
        if found:
            side = _with_unit(found["side"], unit)
            out.append(side + line[len(found["side"]) :])
        else:
            out.append(
                "; ".join(_with_unit(part, unit) for part in _BETWEEN.split(line))
            )
    return "\n".join(out)


def _with_unit(length: str, unit: str) -> str:
    return f"{length} {unit}" if _BARE.fullmatch(length) else length


def _corner(line: str, number: int, unit: str, longest_m: Decimal) -> Corner:
    parts = _BETWEEN.split(line)
    if len(parts) != 2 or not all(parts):
        raise OutlineError(
            f"Line {number}: write two lengths with a semicolon between, such as"
            f" 12 {unit}; 4 {unit}, or a side and its turn, such as 12 {unit} left 90."
        )
    x, y = (_length(part, number, unit, longest_m) for part in parts)
    return (x, y)


def _length(text: str, number: int, unit: str, longest_m: Decimal) -> Decimal:
    """A length that may lie on the other side of the first corner, below nothing."""
    below = text[:1] in {"-", "−", "–"}
    try:
        found = parse_length(
            text[1:] if below else text, default_unit=unit, maximum_m=longest_m
        )
    except UnitError as error:
        raise OutlineError(f"Line {number}: {error}") from None
    return -found if below else found


def _walked(lines: Sequence[str], unit: str, longest_m: Decimal) -> Corners:
    """The corners met when each side is walked and the turn at its end taken."""
    at: Corner = (Decimal(0), Decimal(0))
    corners, around, heading = [at], Decimal(0), Decimal(0)
    for number, line in enumerate(lines, start=1):
        found = _TURN.fullmatch(line)
        if found is None and number < len(lines):
            raise OutlineError(
                f"Line {number}: say which way it turns, such as 12 {unit} left 90."
            )
        side = _length(found["side"] if found else line, number, unit, longest_m)
        if side <= 0:
            raise OutlineError(f"Line {number}: a side is longer than nothing.")
        along = _way(heading)
        at = (at[0] + side * along[0], at[1] + side * along[1])
        corners.append((_kept(at[0]), _kept(at[1])))
        around += side
        if found:
            turn = Decimal((found["degrees"] or "90").replace(",", "."))
            if not 0 < turn < 180:
                raise OutlineError(f"Line {number}: a turn lies between 0 and 180°.")
            heading += turn if found["way"].lower() == "left" else -turn
    apart = Decimal(str(hypot(float(at[0]), float(at[1]))))
    if len(corners) > 3 and apart <= around * CLOSES_WITHIN:
        corners.pop()
    return tuple(corners)


def _way(heading: Decimal) -> Corner:
    """The direction of a heading, exact for quarters of a turn."""
    quarters, rest = divmod(heading % 360, 90)
    if not rest:
        x, y = QUARTERS[int(quarters) % 4]
        return (Decimal(x), Decimal(y))
    angle = radians(float(heading))
    return (Decimal(str(cos(angle))), Decimal(str(sin(angle))))


def _kept(value: Decimal) -> Decimal:
    return round_figure(value, LENGTH_PLACES).normalize()


def outline_area_m2(corners: Sequence[Corner]) -> Decimal:
    """Half of what the corners' cross products come to (the shoelace formula)."""
    return abs(_twice_the_area(corners)) / 2


def sides_of(corners: Sequence[Corner]) -> list[tuple[Corner, Corner]]:
    return list(zip(corners, (*corners[1:], corners[0]), strict=True))


def _twice_the_area(corners: Sequence[Corner]) -> Decimal:
    return sum(
        (ax * by - bx * ay for (ax, ay), (bx, by) in sides_of(corners)), Decimal(0)
    )


def why_no_outline(corners: Sequence[Corner]) -> str:
    """Why the corners are no bed: too few, a side crossing another; else nothing."""
    if len(corners) < 3:
        return "An outline needs at least three corners."
    for place, (start, end) in enumerate(sides_of(corners), start=1):
        if start == end:
            return f"Corner {place} and the next one are the same point."
    sides = sides_of(corners)
    for one in range(len(sides)):
        for other in range(one + 1, len(sides)):
            if _meet(sides, one, other):
                return f"Side {one + 1} crosses or touches side {other + 1}."
    if not _twice_the_area(corners):
        return "The corners lie on one line."
    return ""


def _meet(sides: Sequence[tuple[Corner, Corner]], one: int, other: int) -> bool:
    """Whether two sides meet anywhere but at the corner they share."""
    (a, b), (c, d) = sides[one], sides[other]
    if b == c or d == a:
        shared, far, next_far = (b, a, d) if b == c else (a, b, c)
        if _turn(far, shared, next_far):
            return False
        # Folded back on the same line.
        return (far[0] - shared[0]) * (next_far[0] - shared[0]) + (
            far[1] - shared[1]
        ) * (next_far[1] - shared[1]) > 0
    turns = _turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b)
    if turns[0] * turns[1] < 0 and turns[2] * turns[3] < 0:
        return True
    return any(
        not turned and _on(corner, start, end)
        for turned, corner, start, end in (
            (turns[0], c, a, b),
            (turns[1], d, a, b),
            (turns[2], a, c, d),
            (turns[3], b, c, d),
        )
    )


def _turn(a: Corner, b: Corner, c: Corner) -> Decimal:
    """Above nothing for a turn to the left, nothing on one line."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _on(corner: Corner, start: Corner, end: Corner) -> bool:
    """Whether a corner on the line of a side lies between its ends."""
    return all(
        min(start[axis], end[axis]) <= corner[axis] <= max(start[axis], end[axis])
        for axis in (0, 1)
    )
