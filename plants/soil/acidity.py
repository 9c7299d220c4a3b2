"""A soil's pH as people write it down: a figure, a range, or a word from a strip."""

import re
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from firm.units import plain, round_figure
from plants.soil.tables import SoilError

# A colour strip is read to half a unit (common practice, no source).
STRIP_EITHER_WAY = Decimal("0.5")
LOWEST, HIGHEST = Decimal(3), Decimal(10)

_ABOUT = re.compile(
    r"^(?:about|around|roughly|nearly|approximately|approx\.?|circa|ca\.?|c\.|some|~|≈)"
    r"\s*|\s*(?:or so|by (?:the )?strip|\(?strip\)?|on the strip)$"
)
_NUMBERS = {
    "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
    "ten": 10,
}  # fmt: skip
_PARTS = {
    "½": "0.5", "1/2": "0.5", "a half": "0.5", "half": "0.5", "¼": "0.25",
    "1/4": "0.25", "a quarter": "0.25", "¾": "0.75", "3/4": "0.75",
    "three quarters": "0.75",
}  # fmt: skip
_WHOLE = rf"(?P<whole>[0-9]{{1,2}}|{'|'.join(_NUMBERS)})"
_PART = "|".join(sorted(map(re.escape, _PARTS), key=len, reverse=True))
_VALUE = re.compile(
    rf"\s*(?:(?P<decimal>[0-9]{{1,2}}[.,][0-9]{{1,3}})|{_WHOLE}"
    rf"(?:\s*(?:and\s+)?(?P<part>{_PART}))?)(?![0-9])"
)
_BETWEEN = re.compile(r"\s*(?:-|–|—|to|and|or|/)\s*")
_SHOWN = 40


@dataclass(frozen=True, kw_only=True)
class Ph:
    """What a test says of a soil: its pH lies from LOW to HIGH."""

    low: Decimal
    high: Decimal

    @property
    def is_range(self) -> bool:
        return self.low != self.high

    @property
    def middle(self) -> Decimal:
        """The one figure for what cannot reckon with a range."""
        return round_figure((self.low + self.high) / 2, 1)

    @property
    def words(self) -> str:
        """pH 6.5, or pH 6 to 7."""
        low = plain(self.low, places=1)
        if not self.is_range:
            return f"pH {low}"
        return f"pH {low} to {plain(self.high, places=1)}"


def read_ph(text: str) -> Ph:
    """The pH of a text such as 6.5, 6-6.5, 6 1/2 or "about 6 and a half".

    One figure that is only about right becomes a range of half a unit either way.
    """
    shown = text.strip()[:_SHOWN]
    rest = " ".join(text.lower().split()).removeprefix("ph").strip(" :=")
    if not rest:
        raise SoilError("Write a pH such as 6.5, 6 to 6.5 or about 6.")
    bare = _ABOUT.sub("", _ABOUT.sub("", rest))
    is_about = bare != rest
    rest = bare.removeprefix("between ")
    first = _VALUE.match(rest)
    if first is None:
        raise _unread(shown)
    low = high = _figure(first)
    rest = rest[first.end() :]
    if rest.strip():
        joint = _BETWEEN.match(rest)
        second = _VALUE.fullmatch(rest[joint.end() :]) if joint else None
        if second is None:
            raise _unread(shown)
        high = _figure(second)
    if low > high:
        low, high = high, low
    if is_about and low == high:
        low, high = low - STRIP_EITHER_WAY, high + STRIP_EITHER_WAY
        low, high = max(low, LOWEST), min(high, HIGHEST)
    if not LOWEST <= low <= high <= HIGHEST:
        raise SoilError("The pH of garden soil lies between 3 and 10.")
    return Ph(
        # Outwards to a tenth, so that nothing of what was read is lost.
        low=low.scaleb(1).to_integral_value(ROUND_FLOOR).scaleb(-1),
        high=high.scaleb(1).to_integral_value(ROUND_CEILING).scaleb(-1),
    )


def _figure(found: re.Match[str]) -> Decimal:
    if found["decimal"]:
        return Decimal(found["decimal"].replace(",", "."))
    whole = found["whole"]
    return Decimal(_NUMBERS.get(whole) or int(whole)) + Decimal(
        _PARTS.get(found["part"] or "", "0")
    )


def _unread(shown: str) -> SoilError:
    return SoilError(
        f"“{shown}” is not read as a pH: write 6.5, 6 to 6.5 or about 6 and a half."
    )


def times_as_acid(ph: Decimal, than: Decimal) -> Decimal:
    """How many times as acid a soil is as another: ten for each whole unit below.

    The scale is logarithmic, so doubling a dose does not double the change (Iowa
    State University Extension, How To Change Your Soil's pH, page read).
    """
    return Decimal(10) ** (than - ph)
