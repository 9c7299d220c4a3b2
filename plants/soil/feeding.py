"""Fertiliser by its analysis: what of a product an area takes, under yearly ceilings.

Rates of nitrogen: Virginia Cooperative Extension 430-018, Fertilizing Landscape Trees
and Shrubs, by an agent's column (copy). Pounds of product by the nitrogen on the label:
University of Nebraska-Lincoln Extension, Lawn Fertilizer Calculations (page read).
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from firm.units import Display, convert, plain
from plants.soil.tables import SoilError

US = Display("us")

# Arithmetic from the atomic masses: phosphorus in P2O5, potassium in K2O.
P_OF_P2O5 = Decimal("0.4364")
K_OF_K2O = Decimal("0.8301")

PI = Decimal("3.141592653589793")

# Pounds of nitrogen per 1,000 sq ft: the usual least and most, and the most in twelve
# months. Evergreen and deciduous: Virginia (copy); the most in twelve months for
# evergreens is derived from it, for leafless trees ANSI A300 Part 2 (memory). Ground
# covers: a grower's sheet (copy). Perennials: common practice, no source.
RATES: Mapping[str, tuple[Decimal, Decimal, Decimal]] = {
    "evergreen": (Decimal(1), Decimal(3), Decimal(3)),
    "deciduous": (Decimal(3), Decimal(6), Decimal(6)),
    "groundcover": (Decimal(1), Decimal(2), Decimal(2)),
    "perennial": (Decimal(1), Decimal(2), Decimal(2)),
}
# At most one pound of quick nitrogen at a time (memory, several extension sheets).
QUICK_AT_ONCE = Decimal(1)
# ANSI A300 Part 2 (memory): slow-release 2 to 4 lb at a time.
SLOW_AT_ONCE = Decimal(4)

LOCAL_LAW = (
    "Look up the fertiliser law of the state and the town first: some set the most "
    "nitrogen of one application, forbid phosphorus without a soil test, close the "
    "winter months, keep spreaders off paving and back from water, or ask for a "
    "licence. Maryland's law on lawns, as an example and from memory: 0.9 lb of "
    "nitrogen per 1,000 sq ft, 0.7 of it soluble, none from 15 November to 1 March. "
    "The label on the bag and local law come before any figure here."
)
YOUNG = (
    "In the first season after planting many bulletins give no quick nitrogen (from "
    "memory); a Virginia sheet lists young plants among those to feed."
)

_ANALYSIS = re.compile(
    r"\s*([0-9]{1,2}(?:[.,][0-9])?)\s*[-–/ ]\s*([0-9]{1,2}(?:[.,][0-9])?)"
    r"\s*[-–/ ]\s*([0-9]{1,2}(?:[.,][0-9])?)\s*"
)


@dataclass(frozen=True, kw_only=True)
class Analysis:
    """Per cents of nitrogen, phosphate (P2O5) and potash (K2O) on a label."""

    n: Decimal
    p2o5: Decimal
    k2o: Decimal

    @property
    def words(self) -> str:
        """As it stands on the bag: 5-10-15."""
        return "-".join(plain(part, places=1) for part in (self.n, self.p2o5, self.k2o))


@dataclass(frozen=True, kw_only=True)
class Nutrients:
    """Kilograms of what plants take up in so much of a product."""

    n: Decimal
    p2o5: Decimal
    k2o: Decimal

    @property
    def phosphorus(self) -> Decimal:
        """The element, not the oxide on the label."""
        return self.p2o5 * P_OF_P2O5

    @property
    def potassium(self) -> Decimal:
        """The element, not the oxide on the label."""
        return self.k2o * K_OF_K2O


@dataclass(frozen=True, kw_only=True)
class Feeding:
    """So much of a fertiliser on an area, split, with what is in it."""

    analysis: Analysis
    n_lb_per_1000_sq_ft: Decimal
    product_lb_per_1000_sq_ft: Decimal
    kg: Decimal
    litres: Decimal | None
    times: int
    nutrients: Nutrients
    cautions: tuple[str, ...]
    words: str


def read_analysis(text: str) -> Analysis:
    """The analysis of a label: 10-10-10, 28-3-6."""
    found = _ANALYSIS.fullmatch(text)
    if found is None:
        raise SoilError(
            f"“{text.strip()[:20]}” is not read as an analysis: write nitrogen, "
            "phosphate and potash, such as 5-10-15."
        )
    n, p2o5, k2o = (Decimal(part.replace(",", ".")) for part in found.groups())
    if n + p2o5 + k2o > 100:
        raise SoilError("The three parts of an analysis cannot make more than 100 %.")
    return Analysis(n=n, p2o5=p2o5, k2o=k2o)


def nutrients_in(*, kilograms: Decimal, analysis: Analysis) -> Nutrients:
    """What is in so much of a product; any unit of weight gives back the same."""
    return Nutrients(
        n=kilograms * analysis.n / 100,
        p2o5=kilograms * analysis.p2o5 / 100,
        k2o=kilograms * analysis.k2o / 100,
    )


def product_rate(*, n_lb_per_1000: Decimal, analysis: Analysis) -> Decimal:
    """Pounds of product per 1,000 sq ft that bring so much nitrogen."""
    if n_lb_per_1000 <= 0:
        raise SoilError("The nitrogen wanted must be above nothing.")
    if not analysis.n:
        raise SoilError(f"{analysis.words} holds no nitrogen to reckon by.")
    return n_lb_per_1000 * 100 / analysis.n


def crown_m2(radius_m: Decimal) -> Decimal:
    """The ground a crown covers."""
    return PI * radius_m * radius_m


def root_zone_m2(radius_m: Decimal) -> Decimal:
    """The ground to feed under a tree: twice the AREA of its crown (Virginia, copy).

    A trade article doubles the RADIUS instead, which is twice as much again; the
    smaller figure is used.
    """
    return crown_m2(radius_m) * 2


def feed(
    *,
    kind: str,
    analysis: Analysis,
    n_lb_per_1000: Decimal,
    area_m2: Decimal,
    given_lb_per_1000: Decimal = Decimal(0),
    is_slow: bool = False,
    is_young: bool = False,
    liquid_kg_per_l: Decimal | None = None,
    display: Display = US,
) -> Feeding:
    """The fertiliser for an area, refused above what twelve months may bring.

    GIVEN is the nitrogen the same ground had in the last twelve months. A liquid is
    given by its weight per litre, which stands on the label.
    """
    if kind not in RATES:
        raise SoilError(f"{kind!r} is not fed here; say {', '.join(RATES)}.")
    if area_m2 <= 0:
        raise SoilError("The area must be above nothing.")
    if given_lb_per_1000 < 0:
        raise SoilError("What was given before cannot be below nothing.")
    low, high, year = RATES[kind]
    rate = product_rate(n_lb_per_1000=n_lb_per_1000, analysis=analysis)
    left = max(year - given_lb_per_1000, Decimal(0))
    if n_lb_per_1000 > left:
        raise SoilError(
            f"{_rate(n_lb_per_1000, display)} of nitrogen is more than the "
            f"{_rate(left, display)} still left of {_rate(year, display)} in twelve "
            f"months ({kind})."
        )
    if liquid_kg_per_l is not None and not (
        Decimal("0.8") <= liquid_kg_per_l <= Decimal("2.2")
    ):
        raise SoilError("A liquid fertiliser weighs 0.8 to 2.2 kg a litre.")
    at_once = SLOW_AT_ONCE if is_slow else QUICK_AT_ONCE
    times = int((n_lb_per_1000 / at_once).to_integral_value(ROUND_CEILING))
    pounds = rate * convert(area_m2, unit="m²", to="sq ft") / 1000
    kilograms = convert(pounds, unit="lb", to="kg")
    litres = None if liquid_kg_per_l is None else kilograms / liquid_kg_per_l
    cautions = [LOCAL_LAW]
    if is_young:
        cautions.insert(0, YOUNG)
    if n_lb_per_1000 < low or n_lb_per_1000 > high:
        cautions.insert(
            0,
            f"Usual for {kind} plants is {plain(low, places=1)} to "
            f"{_rate(high, display)} of nitrogen.",
        )
    whole = display.measure(
        convert(kilograms, unit="kg", to=display.weight_unit),
        display.weight_unit,
        places=2,
        trim=True,
    )
    if litres is not None:
        unit = "gal" if display.system == "us" else "L"
        liquid = display.measure(
            convert(litres, unit="L", to=unit), unit, places=2, trim=True
        )
        whole = f"{liquid} ({whole})"
    split = "" if times == 1 else f" In {times} equal parts, six weeks apart or more."
    return Feeding(
        analysis=analysis,
        n_lb_per_1000_sq_ft=n_lb_per_1000,
        product_lb_per_1000_sq_ft=rate,
        kg=kilograms,
        litres=litres,
        times=times,
        nutrients=nutrients_in(kilograms=kilograms, analysis=analysis),
        cautions=tuple(cautions),
        words=(
            f"{whole} of {analysis.words} in all ({_rate(rate, display)}), which "
            f"brings {_rate(n_lb_per_1000, display)} of nitrogen.{split}"
        ),
    )


def _rate(pounds: Decimal, display: Display) -> str:
    """Pounds per 1,000 sq ft in the firm's units."""
    if display.system == "us":
        return f"{display.figure(pounds, places=2, trim=True)} lb per 1,000 sq ft"
    return f"{display.figure(grams_per_m2(pounds), places=1, trim=True)} g per m²"


def grams_per_m2(lb_per_1000_sq_ft: Decimal) -> Decimal:
    """The same rate in grams on a square metre."""
    return convert(lb_per_1000_sq_ft, unit="lb", to="g") / convert(
        Decimal(1000), unit="sq ft", to="m²"
    )
