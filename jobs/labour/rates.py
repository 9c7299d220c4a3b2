"""One production rate, what makes it slower, and the hours of so much of a task."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from firm.units import Display, UnitError, convert, round_figure


class LabourError(ValueError):
    """A rate, factor, quantity or crew that no job can have; says which."""


class Mark(StrEnum):
    """How a figure is known."""

    READ = "read"
    COPY = "copy"
    MEMORY = "memory"
    PRACTICE = "practice"
    FIRM = "firm"
    LOGGED = "logged"


class Touch(StrEnum):
    """What may make work slower than the rate says."""

    ACCESS = "access"
    CARRY = "carry"
    SLOPE = "slope"
    SOIL = "soil"
    ROOTS = "roots"
    SEASON = "season"
    CREW = "crew"
    PACE = "pace"


# What a rate may be for one of. Others than these are not turned into each other.
UNITS: tuple[str, ...] = (
    "each",
    "in of trunk",
    "cu yd",
    "m³",
    "sq ft",
    "m²",
    "ft",
    "m",
)
UNITS += ("km", "mi", "job", "crew day")
MOST_H = Decimal(1000)
MOST_QUANTITY = Decimal(1_000_000)
LEAST_FACTOR, MOST_FACTOR = Decimal("0.1"), Decimal(10)
HOUR_PLACES = 2


def _positive(value: Decimal, name: str, most: Decimal) -> None:
    if not isinstance(value, Decimal) or not value.is_finite():
        raise LabourError(f"The {name} must be a number.")
    if value <= 0:
        raise LabourError(f"The {name} must be more than nothing.")
    if value > most:
        raise LabourError(f"The {name} must be at most {most:,f}.")


@dataclass(frozen=True, kw_only=True)
class Rate:
    """Hours for one of something, or so much of it an hour: low, typical and high.

    LOW is the smallest figure, which of a rate by the hour is the slowest work.
    """

    key: str
    name: str
    unit: str
    low: Decimal
    typical: Decimal
    high: Decimal
    is_per_hour: bool = False
    touched_by: tuple[Touch, ...] = ()
    mark: Mark = Mark.PRACTICE
    source: str = ""

    def __post_init__(self) -> None:
        if self.unit not in UNITS:
            raise LabourError(f"{self.unit} is no unit of a rate.")
        most = MOST_QUANTITY if self.is_per_hour else MOST_H
        for name in ("low", "typical", "high"):
            _positive(getattr(self, name), f"{name} rate", most)
        if not self.low <= self.typical <= self.high:
            raise LabourError("Low, typical and high must stand in this order.")

    @property
    def fast(self) -> Decimal:
        """The figure of the fastest work."""
        return self.high if self.is_per_hour else self.low

    @property
    def slow(self) -> Decimal:
        """The figure of the slowest work."""
        return self.low if self.is_per_hour else self.high

    def exact_h(self, quantity: Decimal, figure: Decimal) -> Fraction:
        """Hours of QUANTITY at one of the rate's figures, unrounded."""
        if self.is_per_hour:
            return Fraction(quantity) / Fraction(figure)
        return Fraction(quantity) * Fraction(figure)

    def quantity_in(self, quantity: Decimal, unit: str) -> Decimal:
        """QUANTITY of UNIT in the rate's unit; LabourError for another kind."""
        if unit == self.unit:
            return quantity
        try:
            return convert(quantity, unit=unit, to=self.unit)
        except UnitError as refused:
            raise LabourError(
                f"{unit} is not counted in {self.unit}, as this rate is."
            ) from refused


@dataclass(frozen=True, kw_only=True)
class Factor:
    """How many times as long work takes under one condition."""

    key: str
    touch: Touch
    name: str
    factor: Decimal
    mark: Mark = Mark.PRACTICE
    source: str = ""

    def __post_init__(self) -> None:
        _positive(self.factor, "factor", MOST_FACTOR)
        if self.factor < LEAST_FACTOR:
            raise LabourError(f"The factor must be at least {LEAST_FACTOR}.")


@dataclass(frozen=True, kw_only=True)
class Work:
    """So much of one task, so many times over."""

    key: str
    label: str
    rate: Rate
    quantity: Decimal
    times: int = 1
    factors: tuple[Factor, ...] = ()
    # How the quantity came into the rate's unit.
    steps: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        _positive(self.quantity, "quantity", MOST_QUANTITY)
        if not 1 <= self.times <= 400:
            raise LabourError("Work is done between 1 and 400 times.")

    @property
    def slower(self) -> tuple[Factor, ...]:
        """The factors that touch this task and change it."""
        return tuple(
            each
            for each in self.factors
            if each.touch in self.rate.touched_by and each.factor != 1
        )


@dataclass(frozen=True, kw_only=True)
class Reckoned:
    """Hours of one task, with the fastest and the slowest, and the sum behind them."""

    hours: Decimal
    fast_h: Decimal
    slow_h: Decimal
    formula: str


def rounded_h(exact: Fraction) -> Decimal:
    """Hours at two decimals, half up, from an exact fraction."""
    scaled = exact * 10**HOUR_PLACES
    whole, left = divmod(scaled.numerator, scaled.denominator)
    return Decimal(whole + (2 * left >= scaled.denominator)).scaleb(-HOUR_PLACES)


def hours_of(work: Work, *, display: Display) -> Reckoned:
    """The labour-hours of WORK: quantity by rate by everything that slows it."""
    rate = work.rate
    by = Fraction(work.times)
    for each in work.slower:
        by *= Fraction(each.factor)
    hours, fast, slow = (
        rounded_h(rate.exact_h(work.quantity, figure) * by)
        for figure in (rate.typical, rate.fast, rate.slow)
    )

    def figure(value: Decimal) -> str:
        return display.figure(value, places=4, trim=True)

    if rate.unit == "each":
        quantity = figure(round_figure(work.quantity, 3))
    else:
        quantity = f"{figure(round_figure(work.quantity, 3))} {rate.unit}"
    if rate.is_per_hour:
        steps = f"{quantity} ÷ {figure(rate.typical)} {rate.unit} an hour"
    else:
        steps = f"{quantity} × {figure(rate.typical)} h"
    if work.times > 1:
        steps += f" × {work.times} times"
    for each in work.slower:
        steps += f" × {figure(each.factor)} ({each.name})"
    return Reckoned(
        hours=hours,
        fast_h=fast,
        slow_h=slow,
        formula=f"{steps} = {display.figure(hours, places=2)} h",
    )


# The smallest volume in US gallons that is no longer planted as the size before it;
# between the printed volumes of two classes (plants.soil.stock).
_BANDS: Mapping[str, Decimal] = {
    "plant-pot": Decimal("0.4"),
    "plant-1": Decimal("1.2"),
    "plant-3": Decimal("3.0"),
    "plant-5": Decimal("5.0"),
    "plant-7": Decimal("8.0"),
    "plant-10": Decimal("11.5"),
    "plant-15": Decimal("17.0"),
}


def task_for_size(volume_gal: Decimal) -> str:
    """The key of the task that plants a container of this volume; "" past the table."""
    return next((key for key, top in _BANDS.items() if volume_gal < top), "")
