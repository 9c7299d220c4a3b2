"""Units of length, area, volume, weight and warmth: reading, converting, showing."""

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from firm.money import MoneyError, round_half_up

# Exact by definition: international yard and pound agreement of 1959.
METRES = {
    "mm": Decimal("0.001"),
    "cm": Decimal("0.01"),
    "m": Decimal(1),
    "km": Decimal(1000),
    "in": Decimal("0.0254"),
    "ft": Decimal("0.3048"),
    "yd": Decimal("0.9144"),
    "mi": Decimal("1609.344"),
}
SQUARE_METRES = {
    "sq in": Decimal("0.00064516"),
    "sq ft": Decimal("0.09290304"),
    "sq yd": Decimal("0.83612736"),
    "acre": Decimal("4046.8564224"),
    "m²": Decimal(1),
    "ha": Decimal(10000),
}
CUBIC_METRES = {
    "cu in": Decimal("0.000016387064"),
    "cu ft": Decimal("0.028316846592"),
    "cu yd": Decimal("0.764554857984"),
    "gal": Decimal("0.003785411784"),
    "L": Decimal("0.001"),
    "m³": Decimal(1),
}
KILOGRAMS = {
    "oz": Decimal("0.028349523125"),
    "lb": Decimal("0.45359237"),
    "short ton": Decimal("907.18474"),
    "g": Decimal("0.001"),
    "kg": Decimal(1),
    "t": Decimal(1000),
}
_KINDS = (METRES, SQUARE_METRES, CUBIC_METRES, KILOGRAMS)

# A 64th of an inch is 0.000396875 m: nine decimals hold every mark of a tape exactly.
LENGTH_PLACES = 9
LONGEST_M = Decimal(1000)


class UnitError(ValueError):
    """A measure that cannot be read, is out of bounds or has the wrong unit."""


def round_figure(value: Decimal, places: int) -> Decimal:
    """A plain figure at so many decimals, ties going away from zero, never -0."""
    try:
        return round_half_up(value, places)
    except MoneyError as error:
        raise UnitError(str(error)) from None


def _decimal(value: Fraction, places: int) -> Decimal:
    """A positive fraction at so many decimals, half up, with no division before."""
    scaled = value * 10**places
    whole, left = divmod(scaled.numerator, scaled.denominator)
    if 2 * left >= scaled.denominator:
        whole += 1
    return Decimal(whole).scaleb(-places)


def convert(value: Decimal, *, unit: str, to: str) -> Decimal:
    """The same measure in another unit of its kind, unrounded."""
    for kind in _KINDS:
        if unit in kind and to in kind:
            return value if unit == to else value * kind[unit] / kind[to]
    raise UnitError(f"{unit} cannot be turned into {to}.")


def celsius(fahrenheit: Decimal) -> Decimal:
    """Degrees Celsius of a temperature in Fahrenheit, unrounded."""
    return (fahrenheit - 32) * 5 / 9


def fahrenheit(celsius: Decimal) -> Decimal:
    """Degrees Fahrenheit of a temperature in Celsius."""
    return celsius * 9 / 5 + 32


# --- reading -----------------------------------------------------------------------

_NAMES = {
    "mm": "mm|millimet(?:er|re)s?",
    "cm": "cm|centimet(?:er|re)s?",
    "m": "m|met(?:er|re)s?",
    "in": "in|inch|inches|\"|″|”|''|′′|’’",
    "ft": "ft|foot|feet|'|′|’",
    "yd": "yds?|yards?",
}
_VULGAR = {
    "½": "1/2",
    "⅓": "1/3",
    "⅔": "2/3",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_UNIT = "|".join(f"(?P<{unit}>{names})" for unit, names in _NAMES.items())
_TERM = re.compile(
    r"\s*(?:(?P<whole>[0-9]{1,9})[\s-]+)?(?P<over>[0-9]{1,4})\s*[/⁄]\s*(?P<under>[0-9]{1,4})"
    r"(?![0-9.,])|\s*(?P<number>[0-9][0-9.,]*|[.,][0-9]+)"
)
_UNIT_AFTER = re.compile(rf"\s*(?:{_UNIT})(?![a-z])\.?")
_SHOWN = 40


def _refuse(text: str, why: str) -> UnitError:
    shown = text if len(text) <= _SHOWN else text[:_SHOWN] + "…"
    return UnitError(f"“{shown}” is not read as a length: {why}")


def _number(text: str, digits: str) -> Fraction:
    """The number behind digits with a decimal point or comma and thousands marks."""
    plain = digits
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", digits):
        whole, part = digits.split(",")
        raise _refuse(
            text,
            f"{digits} can mean two numbers; write {whole}{part} or {whole}.{part}.",
        )
    if re.fullmatch(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]+)?", digits):
        plain = digits.replace(",", "")
    elif re.fullmatch(r"[1-9][0-9]{0,2}(?:\.[0-9]{3})+,[0-9]+", digits):
        plain = digits.replace(".", "").replace(",", ".")
    elif re.fullmatch(r"[0-9]*[.,]?[0-9]+|[0-9]+[.,]", digits):
        plain = digits.replace(",", ".").rstrip(".")
    else:
        raise _refuse(text, f"{digits} is not a number.")
    return Fraction(plain)


def _quantity(text: str, match: re.Match[str]) -> Fraction:
    if match["number"]:
        # A comma or a full stop after the last digit belongs to the sentence.
        return _number(text, match["number"].rstrip(",") or match["number"])
    if int(match["under"]) == 0:
        raise _refuse(text, "a fraction cannot be over zero.")
    part = Fraction(int(match["over"]), int(match["under"]))
    if match["whole"] and part >= 1:
        raise _refuse(text, "the fraction after a whole number must be below one.")
    return int(match["whole"] or 0) + part


def _metres(text: str, rest: str, default_unit: str) -> Fraction:
    """The sum of the terms, largest unit first, each unit once."""
    total = Fraction(0)
    last: str | None = None
    while rest:
        term = _TERM.match(rest)
        if term is None:
            raise _refuse(text, "write a number and a unit, like 12 ft 6 in or 3.5 m.")
        quantity = _quantity(text, term)
        rest = rest[term.end() :]
        named = _UNIT_AFTER.match(rest)
        if named:
            unit = next(name for name in _NAMES if named[name])
            rest = rest[named.end() :].lstrip(" ,")
        elif rest.strip():
            raise _refuse(text, f"“{rest.strip()[:12]}” is not a unit of length.")
        elif last is None:
            unit, rest = default_unit, ""
        elif last == "ft":
            # 12' 6 is a common way to write 12 ft 6 in.
            unit, rest = "in", ""
        else:
            raise _refuse(text, "the last number has no unit.")
        if last is not None and METRES[unit] >= METRES[last]:
            raise _refuse(text, "write the larger unit first and each unit once.")
        total += quantity * Fraction(METRES[unit])
        last = unit
    return total


def parse_length(
    text: str,
    *,
    default_unit: str,
    minimum_m: Decimal = Decimal(0),
    maximum_m: Decimal = LONGEST_M,
) -> Decimal:
    """Metres of a length as people write it: 12 ft 6 in, 12'6", 7 1/2 in, 3,5 m.

    A bare number is in the default unit. The result is exact to a nanometre.
    """
    if default_unit not in METRES:
        raise UnitError(f"{default_unit} is not a unit of length.")
    if not isinstance(text, str):
        raise UnitError("A length is read from text.")
    rest = text.strip().lower()
    if not rest:
        raise UnitError(f"Write a length, like 12 {default_unit}.")
    if len(rest) > 60:
        raise _refuse(text, "it is too long.")
    for sign, written in _VULGAR.items():
        rest = rest.replace(sign, f" {written}")
    rest = rest.strip()
    if rest[:1] in {"-", "−", "–"}:
        _metres(text, rest[1:].strip() or "?", default_unit)
        raise _refuse(text, "a length cannot be negative.")
    metres = _decimal(_metres(text, rest, default_unit), LENGTH_PLACES)
    if metres < minimum_m:
        least = plain(convert(minimum_m, unit="m", to=default_unit), places=2)
        raise _refuse(text, f"it must be at least {least} {default_unit}.")
    if metres > maximum_m:
        most = plain(convert(maximum_m, unit="m", to=default_unit), places=2)
        raise _refuse(text, f"it must be at most {most} {default_unit}.")
    return metres.normalize() if metres else Decimal(0)


# --- showing -----------------------------------------------------------------------


def plain(value: Decimal, *, places: int) -> str:
    """A figure rounded half up without needless noughts, for running text."""
    shown = f"{round_figure(value, places):,f}"
    return shown.rstrip("0").rstrip(".") if "." in shown else shown


def tabular(value: Decimal, *, places: int) -> str:
    """A figure rounded half up with all its decimals, for columns."""
    return f"{round_figure(value, places):,.{places}f}"


@dataclass(frozen=True)
class Display:
    """How one firm sees measures: "us" or "metric", with the marks it writes."""

    system: str
    decimal_mark: str = "."
    group_mark: str = ","

    def __post_init__(self) -> None:
        if self.system not in {"us", "metric"}:
            raise UnitError(f"{self.system!r} is neither us nor metric.")

    @property
    def length_unit(self) -> str:
        return "ft" if self.system == "us" else "m"

    @property
    def depth_unit(self) -> str:
        """Also the unit of spacings and heights of plants."""
        return "in" if self.system == "us" else "cm"

    @property
    def area_unit(self) -> str:
        return "sq ft" if self.system == "us" else "m²"

    @property
    def volume_unit(self) -> str:
        """The unit soil and mulch are ordered in."""
        return "cu yd" if self.system == "us" else "m³"

    @property
    def small_volume_unit(self) -> str:
        """The unit in which a bed's volume is reckoned and bags are sold."""
        return "cu ft" if self.system == "us" else "L"

    @property
    def weight_unit(self) -> str:
        return "lb" if self.system == "us" else "kg"

    @property
    def temperature_unit(self) -> str:
        return "°F" if self.system == "us" else "°C"

    def figure(self, value: Decimal, *, places: int, trim: bool = False) -> str:
        """A number in the firm's marks."""
        shown = plain(value, places=places) if trim else tabular(value, places=places)
        marks = {",": self.group_mark, ".": self.decimal_mark}
        return "".join(marks.get(sign, sign) for sign in shown)

    def measure(
        self, value: Decimal, unit: str, *, places: int, trim: bool = False
    ) -> str:
        """A number in the firm's marks with its unit beside it."""
        number = self.figure(value, places=places, trim=trim)
        return f"{number} {unit}"

    def length(self, metres: Decimal, *, places: int = 2, trim: bool = False) -> str:
        value = convert(metres, unit="m", to=self.length_unit)
        return self.measure(value, self.length_unit, places=places, trim=trim)

    def depth(self, metres: Decimal, *, places: int = 1, trim: bool = True) -> str:
        value = convert(metres, unit="m", to=self.depth_unit)
        return self.measure(value, self.depth_unit, places=places, trim=trim)

    def area(
        self, square_metres: Decimal, *, places: int = 2, trim: bool = False
    ) -> str:
        value = convert(square_metres, unit="m²", to=self.area_unit)
        return self.measure(value, self.area_unit, places=places, trim=trim)

    def volume(
        self, cubic_metres: Decimal, *, places: int = 3, trim: bool = False
    ) -> str:
        value = convert(cubic_metres, unit="m³", to=self.volume_unit)
        return self.measure(value, self.volume_unit, places=places, trim=trim)

    def weight(self, kilograms: Decimal, *, places: int = 0) -> str:
        value = convert(kilograms, unit="kg", to=self.weight_unit)
        return self.measure(value, self.weight_unit, places=places)

    def temperature(self, degrees_c: Decimal, *, places: int = 0) -> str:
        value = fahrenheit(degrees_c) if self.system == "us" else degrees_c
        return self.measure(value, self.temperature_unit, places=places)
