"""The plants that stand inside a bed of any shape, as a figure with its formula."""

from decimal import Decimal

from firm.units import Display
from jobs.takeoff.drifts import Kind
from jobs.takeoff.layout import Pattern, lay_out
from jobs.takeoff.outline import ground_of
from jobs.takeoff.plants import Rows
from jobs.takeoff.shapes import BedShape, Figure, written_depth


def plants_set_out(
    shape: BedShape, *, spacing_m: Decimal, layout: str, display: Display
) -> Rows:
    """The plants whose places were found in the bed, half a spacing to the edge.

    TakeoffError where they are more than a plan shows. What stands in each row is not
    told, since the rows may run along any side.
    """
    kind = Kind(key="", label="", spacing_m=float(spacing_m))
    found = lay_out(ground_of(shape), [kind], pattern=Pattern(layout))
    count = Decimal(len(found.places))
    formula = (
        f"set out inside the bed at {written_depth(display, spacing_m)},"
        f" {written_depth(display, spacing_m / 2)} to the edge: {count} plants"
    )
    figure = Figure(value=count, unit="plants", formula=formula, exact=count)
    return Rows(rows=(), figure=figure)
