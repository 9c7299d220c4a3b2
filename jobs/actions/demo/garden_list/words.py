"""How an invented garden is written down."""

from dataclasses import dataclass

from plants.enums import AgeKnown

KNOWN, ABOUT, UNKNOWN = AgeKnown.KNOWN, AgeKnown.ABOUT, AgeKnown.UNKNOWN
CUTS = ("prune", "thin", "shear", "cut down", "renovate")


@dataclass(frozen=True, kw_only=True)
class BedOf:
    """A bed: one size is a circle, two a rectangle, more are rectangles in pairs."""

    name: str
    sizes: tuple[str, ...]
    depth: str = ""
    facing: str = "open"
    light: str = ""
    latest_sun: int = 0
    texture: str = "loam"
    ph: str = ""
    moisture: str = "average"
    is_irrigated: bool = False
    notes: str = ""
    # What, on which side, how high, how far, and how long or, of a tree, how wide.
    shades: tuple[tuple[str, str, str, str, str], ...] = ()


@dataclass(frozen=True, kw_only=True)
class GrowsOf:
    """Something that was there already; no plant: nobody knows what it is."""

    called: str
    plant: str = ""
    count: int = 1
    bed: str = ""
    place: str = ""
    looks: str = ""
    age_known: str = UNKNOWN
    years: int = 0
    state: str = ""
    notes: str = ""


@dataclass(frozen=True, kw_only=True)
class GardenOf:
    """A garden; INSISTS: words, forbidden tasks, what it is about, who said so."""

    key: str
    client: str
    name: str
    address: str
    north: str
    east: str
    way_in: str
    gate_code: str = ""
    has_deer: bool | None = None
    is_in_ward: bool = False
    beds: tuple[BedOf, ...] = ()
    grows: tuple[GrowsOf, ...] = ()
    insists: tuple[tuple[str, tuple[str, ...], str, str], ...] = ()
