"""One quantity of a take-off, with the sum that made it and what became of it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from firm.units import Display, UnitError, convert, round_figure
from jobs import takeoff
from jobs.enums import LineKind
from jobs.models import Overruled, QuoteLine
from jobs.queries.quantities import VOLUME_PLACES
from jobs.takeoff import Figure
from plants.enums import Kind
from plants.models import Bed
from plants.soil import SoilError

PRACTICE = "common practice, no source"
TREES = (Kind.TREE, Kind.FRUIT)
STEMS = (*TREES, Kind.SHRUB, Kind.CONIFER, Kind.HEDGE, Kind.ROSE)


@dataclass(frozen=True, kw_only=True)
class Amount:
    """One quantity: the computed figure, what was typed over it, and its line.

    KIND None is only told and becomes no line. COUNTED says what lacks where there is
    no figure.
    """

    key: str
    title: str
    figure: Figure | None
    steps: tuple[str, ...] = ()
    kind: LineKind | None = None
    bed: Bed | None = None
    description: str = ""
    notes: tuple[str, ...] = ()
    refused: str = ""
    # Of a line that another form can change: what stands in that form.
    form: dict[str, Any] = field(default_factory=dict)
    group: str = ""
    overruled: Overruled | None = None
    line: QuoteLine | None = None
    left_alone: str = ""

    @property
    def computed(self) -> Decimal | None:
        """The computed quantity to the decimals it is ordered with."""
        if self.figure is None:
            return None
        return round_figure(self.figure.value, VOLUME_PLACES)

    @property
    def quantity(self) -> Decimal | None:
        """What is taken into the quote: what was typed, else the computed."""
        return self.overruled.quantity if self.overruled else self.computed

    @property
    def unit(self) -> str:
        """The unit of the figure."""
        return self.figure.unit if self.figure else ""


def tried(work: Callable[[], Figure], **facts: Any) -> Amount:
    """An amount, or why there is none."""
    try:
        figure = work()
    except (takeoff.TakeoffError, SoilError, UnitError) as refused:
        return Amount(figure=None, refused=str(refused), **facts)
    return Amount(figure=figure, steps=(figure.formula,), **facts)


def name_of(line: QuoteLine) -> str:
    return line.plant.common if line.plant else line.description


def summed(figures: Sequence[Figure], shows: Display) -> Figure:
    value = sum((each.value for each in figures), Decimal(0))
    return Figure(value=value, unit=shows.volume_unit, formula="", exact=value)


def together(
    figures: Sequence[Figure], whole: Figure, shows: Display
) -> tuple[str, ...]:
    """The sum of several figures written out."""
    if len(figures) < 2:
        return ()
    parts = " + ".join(shows.figure(each.value, places=3) for each in figures)
    return (f"{parts} = {shows.measure(whole.value, whole.unit, places=3)}",)


def weighed(kilograms: Decimal, shows: Display) -> Figure:
    value = convert(kilograms, unit="kg", to=shows.weight_unit)
    return Figure(value=value, unit=shows.weight_unit, formula="", exact=value)
