"""Hours of labour, hours on the clock and days of a whole job, by crew size."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from firm.units import Display
from jobs.labour.rates import LabourError, Rate, Work, hours_of, rounded_h

# A day of eight hours: common practice, no source.
DAY_H = Decimal(8)
LARGEST_CREW = 20
LONGEST_DAY_H = Decimal(16)
MOST_DAYS = 1000
FARTHEST_KM = Decimal(1000)


@dataclass(frozen=True, kw_only=True)
class Around:
    """What a job takes beside the work itself, in hours on the clock.

    The whole crew is there for all of it but the walk-through, which one person does.
    """

    mobilise_h: Decimal = Decimal(0)
    load_out_h: Decimal = Decimal(0)
    drive_h: Decimal = Decimal(0)
    clean_up_h: Decimal = Decimal(0)
    walk_through_h: Decimal = Decimal(0)
    drive_formula: str = ""

    def __post_init__(self) -> None:
        for hours in (
            self.mobilise_h,
            self.load_out_h,
            self.drive_h,
            self.clean_up_h,
            self.walk_through_h,
        ):
            if not hours.is_finite() or not 0 <= hours <= 1000:
                raise LabourError("Hours around the work lie between 0 and 1,000.")

    @property
    def each_day_h(self) -> Decimal:
        """What every day loses on the clock."""
        return self.load_out_h + self.drive_h + self.clean_up_h


@dataclass(frozen=True, kw_only=True)
class Part:
    """One part of the labour, with the sum that made it."""

    key: str
    label: str
    hours: Decimal
    formula: str
    # Of work: at the fastest and the slowest rate; what is around it has one figure.
    fast_h: Decimal
    slow_h: Decimal
    is_work: bool


@dataclass(frozen=True, kw_only=True)
class Crewed:
    """The same job with a crew of one size."""

    size: int
    labour_h: Decimal
    clock_h: Decimal
    days: int


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """A whole job: its parts, which add up to its hours, and its days."""

    parts: tuple[Part, ...]
    crew: Crewed
    formula: str

    @property
    def labour_h(self) -> Decimal:
        """Hours of all people together."""
        return self.crew.labour_h

    @property
    def work_h(self) -> Decimal:
        """Hours of the work alone."""
        return _sum([part.hours for part in self.parts if part.is_work])

    @property
    def around_h(self) -> Decimal:
        """Hours beside the work."""
        return _sum([part.hours for part in self.parts if not part.is_work])

    @property
    def fast_h(self) -> Decimal:
        """All hours at the fastest rates."""
        return _sum([part.fast_h for part in self.parts])

    @property
    def slow_h(self) -> Decimal:
        """All hours at the slowest rates."""
        return _sum([part.slow_h for part in self.parts])


def _sum(values: Sequence[Decimal]) -> Decimal:
    return sum(values, Decimal(0))


def drive_h(
    *, km: Decimal, detour: Decimal, speed: Rate, display: Display
) -> tuple[Decimal, str]:
    """Hours there and back for a distance as the crow flies, and the sum behind it."""
    if not km.is_finite() or not 0 <= km <= FARTHEST_KM:
        raise LabourError("The garden lies between 0 and 1,000 km from the yard.")
    road = speed.quantity_in(km, "km") * detour
    hours = rounded_h(2 * speed.exact_h(road, speed.typical))
    unit = speed.unit
    formula = (
        f"2 × {display.measure(speed.quantity_in(km, 'km'), unit, places=1, trim=True)}"
        f" straight × {display.figure(detour, places=2, trim=True)} for the roads"
        f" ÷ {display.figure(speed.typical, places=2, trim=True)} {unit} an hour"
        f" = {display.figure(hours, places=2)} h there and back"
    )
    return hours, formula


def _days(*, on_site: Fraction, around: Around, day_h: Decimal) -> int:
    """Days that hold so many hours on the clock beside what each day loses."""
    left = day_h - around.each_day_h
    if left <= 0:
        raise LabourError(
            "Driving, loading and clearing up take the whole day; no work fits in."
        )
    quotient = on_site / Fraction(left)
    days = max(1, -(-quotient.numerator // quotient.denominator))
    if days > MOST_DAYS:
        raise LabourError(f"So much work takes more than {MOST_DAYS:,} days.")
    return days


def _crewed(*, work_h: Decimal, around: Around, size: int, day_h: Decimal) -> Crewed:
    if not 1 <= size <= LARGEST_CREW:
        raise LabourError(f"A crew has between 1 and {LARGEST_CREW} people.")
    if not day_h.is_finite() or not 0 < day_h <= LONGEST_DAY_H:
        raise LabourError("A day has between 0 and 16 hours of work.")
    divided = work_h + around.walk_through_h
    on_site = Fraction(divided) / size + Fraction(around.mobilise_h)
    days = _days(on_site=on_site, around=around, day_h=day_h) if on_site else 0
    clock = on_site + days * Fraction(around.each_day_h)
    labour = divided + size * (around.mobilise_h + days * around.each_day_h)
    return Crewed(size=size, labour_h=labour, clock_h=rounded_h(clock), days=days)


def by_crew(
    *, work_h: Decimal, around: Around, sizes: Sequence[int], day_h: Decimal = DAY_H
) -> tuple[Crewed, ...]:
    """The same hours of work with crews of several sizes."""
    return tuple(
        _crewed(work_h=work_h, around=around, size=size, day_h=day_h) for size in sizes
    )


def estimate(
    works: Sequence[tuple[Work, Decimal | None]],
    *,
    around: Around,
    size: int,
    day_h: Decimal = DAY_H,
    display: Display,
) -> Estimate:
    """The parts of a job and what they come to; a figure beside a work overrules it."""
    parts = [part_of(work, typed, display=display) for work, typed in works]
    work_h = _sum([part.hours for part in parts])
    crew = _crewed(work_h=work_h, around=around, size=size, day_h=day_h)
    parts += _around_parts(around, crew, display)
    hours = display.figure(crew.labour_h, places=2)
    return Estimate(
        parts=tuple(parts),
        crew=crew,
        formula=(
            f"{hours} h ÷ crew of {size} = {display.figure(crew.clock_h, places=2)} h"
            " on the clock"
        ),
    )


def part_of(work: Work, typed: Decimal | None, *, display: Display) -> Part:
    """The part of one work; hours that were TYPED take the place of the reckoned."""
    reckoned = hours_of(work, display=display)
    formula = "; ".join((*work.steps, reckoned.formula))
    if typed is None:
        fast, hours, slow = reckoned.fast_h, reckoned.hours, reckoned.slow_h
    else:
        fast = hours = slow = rounded_h(Fraction(typed))
        formula += f"; typed over it: {display.figure(hours, places=2)} h"
    return Part(
        key=work.key,
        label=work.label,
        hours=hours,
        formula=formula,
        fast_h=fast,
        slow_h=slow,
        is_work=True,
    )


def _around_parts(around: Around, crew: Crewed, display: Display) -> list[Part]:
    def shown(value: Decimal) -> str:
        return display.figure(value, places=2, trim=True)

    people = f"{crew.size} {'person' if crew.size == 1 else 'people'}"
    days = f"{crew.days} {'day' if crew.days == 1 else 'days'}"
    found = []

    def add(key: str, label: str, hours: Decimal, formula: str) -> None:
        if hours:
            found.append(
                Part(
                    key=key,
                    label=label,
                    hours=hours,
                    formula=f"{formula} = {display.figure(hours, places=2)} h",
                    fast_h=hours,
                    slow_h=hours,
                    is_work=False,
                )
            )

    add(
        "mobilise",
        "Setting up and taking in",
        crew.size * around.mobilise_h,
        f"{shown(around.mobilise_h)} h × {people}",
    )
    for key, label, hours, said in (
        ("load-out", "Loading at the yard", around.load_out_h, ""),
        ("drive", "Driving there and back", around.drive_h, around.drive_formula),
        ("clean-up", "Clearing up", around.clean_up_h, ""),
    ):
        steps = f"{shown(hours)} h × {people} × {days}"
        add(
            key,
            label,
            crew.size * crew.days * hours,
            f"{said}; {steps}" if said else steps,
        )
    if crew.days:
        add(
            "walk-through",
            "Walk-through with the client",
            around.walk_through_h,
            f"{shown(around.walk_through_h)} h × 1 person",
        )
    return found
