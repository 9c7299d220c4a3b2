"""The ground of beds that were measured by their corners."""

from decimal import Decimal
from math import cos, radians, sin

from plants import sun
from plants.models import Bed
from plants.sun.outline import Corners


def corners_of(bed: Bed) -> Corners:
    """The corners of a bed that was measured by them."""
    return tuple((Decimal(x), Decimal(y)) for x, y in bed.corners)


def outlined(bed: Bed, *, looks_to: int | None) -> sun.Ring:
    """The outline around the bed's middle: its front looks where the bed looks."""
    corners = corners_of(bed)
    xs, ys = ([float(corner[axis]) for corner in corners] for axis in (0, 1))
    middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    # As seen from the front the bed looks towards one, its length runs to the right.
    right = radians((180 if looks_to is None else looks_to) - 90)
    back = right - radians(90)
    return tuple(
        (
            (x - middle[0]) * sin(right) + (y - middle[1]) * sin(back),
            (x - middle[0]) * cos(right) + (y - middle[1]) * cos(back),
        )
        for x, y in zip(xs, ys, strict=True)
    )
