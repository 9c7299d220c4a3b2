"""What plants are sold in: containers, root balls and bare roots, with their volumes.

Bands of container classes and the least balls are those of ANSI Z60.1, American
Standard for Nursery Stock (from memory, the standard itself was not read); a class is
no number of gallons, and growers' pots differ, so a volume printed by the supplier goes
before the table. The standard fixes sizes and does not certify health (University of
Florida IFAS, page read).
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from firm.units import Display, UnitError, convert, parse_length
from plants.soil.tables import SoilError

PI = Decimal("3.141592653589793")


class Sold(StrEnum):
    """How a plant's roots come."""

    CONTAINER = "container"
    BALLED = "balled"
    BARE = "bare root"


@dataclass(frozen=True, kw_only=True)
class Container:
    """A class: the band its pots may have, and what one catalogue prints."""

    least_cu_in: int
    most_cu_in: int
    seen_gal: Decimal | None

    @property
    def volume_m3(self) -> Decimal:
        """The printed volume, else the middle of the band."""
        if self.seen_gal is not None:
            return convert(self.seen_gal, unit="gal", to="m³")
        middle = Decimal(self.least_cu_in + self.most_cu_in) / 2
        return convert(middle, unit="cu in", to="m³")

    def allows(self, cubic_inches: Decimal) -> bool:
        """Whether a pot of that volume may bear the class."""
        return self.least_cu_in <= cubic_inches <= self.most_cu_in


# Bands: ANSI Z60.1 (memory). Volumes: one nursery's catalogue (copy).
CONTAINERS: Mapping[str, Container] = {
    f"#{number}": Container(
        least_cu_in=least,
        most_cu_in=most,
        seen_gal=Decimal(seen) if seen else None,
    )
    for number, least, most, seen in (
        (1, 152, 251, "0.74"),
        (2, 320, 474, "1.6"),
        (3, 628, 742, "2.4"),
        (5, 785, 1242, "3.9"),
        (7, 1337, 1790, "6.5"),
        (10, 2080, 2646, "9.0"),
        (15, 2768, 3696, "14.5"),
        (20, 4520, 5152, "19.6"),
        (25, 5775, 6861, "27.6"),
        (45, 9356, 11434, ""),
    )
}

# Least ball in inches by trunk in inches, shade trees (ANSI Z60.1, memory; 16 to 24 in
# stand in a municipal table that was read).
BALLS: Mapping[Decimal, int] = {
    Decimal(caliper): ball
    for caliper, ball in (
        ("0.75", 14), ("1", 16), ("1.25", 18), ("1.5", 20), ("1.75", 22), ("2", 24),
        ("2.5", 28), ("3", 32), ("3.5", 38), ("4", 42), ("4.5", 48), ("5", 54),
    )
}  # fmt: skip

# A cylinder of moist soil; a catalogue's balls weigh 78 % of it, being rounded below.
BALL_LB_PER_CU_FT = Decimal(100)
BALL_SHARE = Decimal("0.78")

# Widths of the planting hole against the ball, each as its source prints it.
HOLE_TIMES = {
    "Florida, page read": (Decimal("1.5"), Decimal("1.5")),
    "Nebraska, page read": (Decimal(2), Decimal(2)),
    "nine-step list of tree-care bodies, copy": (Decimal(2), Decimal(3)),
}


@dataclass(frozen=True, kw_only=True)
class Size:
    """How one plant is sold, with its root ball as far as it is known."""

    sold: Sold
    text: str
    volume_m3: Decimal | None = None
    across_m: Decimal | None = None
    depth_m: Decimal | None = None
    words: str = ""


def caliper_height_in(caliper_in: Decimal) -> int:
    """How far above the ground a trunk is measured, in inches (Minnesota, read)."""
    return 6 if caliper_in <= 4 else 12


def ball_in(caliper_in: Decimal) -> int:
    """The least ball in inches across for a trunk: that of the next printed row."""
    for printed in sorted(BALLS):
        if caliper_in <= printed:
            return BALLS[printed]
    raise SoilError(f"The table of root balls ends at a trunk of {max(BALLS)} in.")


def ball_depth_in(across_in: Decimal) -> Decimal:
    """The least depth of a ball in inches, by the shares of the 2004 standard (copy):
    65 % under 20 in across, 60 % from there on.
    """
    return across_in * Decimal("0.65" if across_in < 20 else "0.60")


def municipal_depth_in(across_in: Decimal) -> Decimal:
    """The same by a Florida town's specification (page read): 75, 65 and 60 %."""
    if across_in < 20:
        share = "0.75"
    elif across_in <= 30:
        share = "0.65"
    else:
        share = "0.60"
    return across_in * Decimal(share)


def ball_volume_m3(*, across_in: Decimal, depth_in: Decimal) -> Decimal:
    """The cylinder around a root ball."""
    across, depth = (convert(side, unit="in", to="m") for side in (across_in, depth_in))
    return PI * across * across / 4 * depth


def ball_weight_kg(*, across_in: Decimal, depth_in: Decimal) -> Decimal:
    """What a ball weighs about, for lifting and loading: 78 % of the wet cylinder."""
    volume = ball_volume_m3(across_in=across_in, depth_in=depth_in)
    pounds = convert(volume, unit="m³", to="cu ft") * BALL_LB_PER_CU_FT * BALL_SHARE
    return convert(pounds, unit="lb", to="kg")


_CLASS = re.compile(r"#\s*([0-9]{1,2})\b|\bno\.?\s*([0-9]{1,2})\b", re.IGNORECASE)
_GALLONS = re.compile(
    r"([0-9]{1,2}(?:[.,][0-9]{1,3})?)\s*-?\s*(gal(?:lons?)?|l(?:it(?:er|re)s?)?)\b",
    re.IGNORECASE,
)
_BALLED = re.compile(r"\bb\s*(?:&|and|\+)\s*b\b|\bball", re.IGNORECASE)
_BARE = re.compile(r"\bbare\b", re.IGNORECASE)
_MEASURE = re.compile(
    r"[0-9][0-9 ./]*\s*(?:in\b|inch(?:es)?\b|\"|″|cm\b|mm\b)", re.IGNORECASE
)
_POT = re.compile(r"\bpot\b|\bplug\b|\bcontainer\b|\bcell\b", re.IGNORECASE)


def read_size(text: str) -> Size:
    """How a plant is sold, from words such as #3, #3 (2.4 gal), 4 in pot, 2 in balled
    or bare root; a volume that was typed goes before the class.
    """
    said = " ".join(text.split())
    if not said:
        raise SoilError("Write how it is sold, such as #3, 2 in balled or bare root.")
    if _BARE.search(said):
        return Size(sold=Sold.BARE, text=said, words="bare root")
    if _BALLED.search(said):
        return _balled(said)
    volume = _GALLONS.search(said)
    marked = _CLASS.search(said)
    if volume is not None:
        amount = Decimal(volume[1].replace(",", "."))
        unit = "gal" if volume[2].lower().startswith("g") else "L"
        trade = f"#{volume[1]}"
        if unit == "gal" and trade in CONTAINERS:
            # In the trade "3 gal" is the class, which holds less than three gallons.
            return _container(said, CONTAINERS[trade].volume_m3)
        return _container(said, convert(amount, unit=unit, to="m³"))
    if marked is not None:
        key = f"#{marked[1] or marked[2]}"
        if key not in CONTAINERS:
            known = ", ".join(CONTAINERS)
            raise SoilError(f"{key} is no class of container; known are {known}.")
        return _container(said, CONTAINERS[key].volume_m3)
    wide = _MEASURE.search(said)
    if _POT.search(said) and wide is not None:
        across = _metres(wide[0])
        # A pot is about as deep as it is wide (common practice, no source), and
        # narrows to the foot: four fifths of the cylinder.
        return _container(said, PI * across**3 / 4 * Decimal("0.8"))
    raise SoilError(
        f"“{said[:40]}” does not say how it is sold: write #3, 2.4 gal, 4 in pot, 2 in "
        "balled or bare root."
    )


def _metres(text: str) -> Decimal:
    try:
        return parse_length(text, default_unit="in", maximum_m=Decimal(2))
    except UnitError as error:
        raise SoilError(str(error)) from None


def _container(said: str, volume: Decimal) -> Size:
    if not Decimal("0.00002") <= volume <= Decimal(2):
        raise SoilError("A container holds between 0.02 and 2,000 litres.")
    # As deep as wide: volume = π d³ / 4 (common practice, no source).
    side = (4 * volume / PI) ** (Decimal(1) / 3)
    return Size(
        sold=Sold.CONTAINER,
        text=said,
        volume_m3=volume,
        across_m=side,
        depth_m=side,
        words="in a container",
    )


def _balled(said: str) -> Size:
    """A trunk in inches up to 5 is a caliper; anything wider is the ball itself."""
    wide = _MEASURE.search(said)
    if wide is None:
        return Size(sold=Sold.BALLED, text=said, words="balled")
    inches = convert(_metres(wide[0]), unit="m", to="in")
    across = Decimal(ball_in(inches)) if inches <= max(BALLS) else inches
    depth = ball_depth_in(across)
    return Size(
        sold=Sold.BALLED,
        text=said,
        volume_m3=ball_volume_m3(across_in=across, depth_in=depth),
        across_m=convert(across, unit="in", to="m"),
        depth_m=convert(depth, unit="in", to="m"),
        words="balled",
    )


def size_words(size: Size, display: Display) -> str:
    """The size with its volume and depth in the firm's units."""
    if size.volume_m3 is None or size.depth_m is None:
        return size.words
    unit = "gal" if display.system == "us" else "L"
    volume = display.measure(
        convert(size.volume_m3, unit="m³", to=unit), unit, places=1, trim=True
    )
    return f"{size.words}, {volume}, roots {display.depth(size.depth_m)} deep"
