"""What a size on a list says: how an item comes, how much is in it, what it is."""

import re
from dataclasses import dataclass
from decimal import Decimal

from firm.money import round_half_up
from firm.units import convert
from jobs.enums import ItemKind, SizeClass
from jobs.queries.price_lists.cells import MOST_SIGNS, plain_number
from plants.soil import SoilError, Sold, read_size


@dataclass(frozen=True, kw_only=True)
class Comes:
    """How an item comes, with its volume where it is known."""

    size_class: SizeClass
    volume_m3: Decimal | None = None


_LENGTH = re.compile(
    r"([\d.,]+)\s*(?:(ft|feet|foot|')|(m|met(?:er|re)s?))(?![a-z³3])", re.I
)
_CONTENT = re.compile(r"([\d.,]+)\s*-?\s*(?:(lbs?|pounds?)|(kgs?))\b", re.IGNORECASE)


def read_measure(size: str, *, of: str) -> Decimal | None:
    """How many ft or m a piece, or lb or kg a bag of this SIZE is; None: not said."""
    pattern, units = {
        "length": (_LENGTH, ("ft", "m")),
        "weight": (_CONTENT, ("lb", "kg")),
    }["weight" if of in ("lb", "kg") else "length"]
    found = pattern.search(size[:MOST_SIGNS])
    amount = None if found is None else plain_number(found[1])
    if found is None or not amount:
        return None
    return convert(amount, unit=units[0] if found[2] else units[1], to=of)


_PLUG = re.compile(r"\bplugs?\b|\btrays?\b|\bcells?\b|\bliners?\b", re.IGNORECASE)
_BAG = re.compile(r"\bbags?\b|\bsacks?\b", re.IGNORECASE)
_BULK = re.compile(
    r"\bbulk\b|\bloose\b|\b(?:cu\.?|cubic)\s*(?:yds?|yards?|m)\b|\byds?\b|\byards?\b"
    r"|\bm3\b|m³|\btons?\b|\btonnes?\b",
    re.IGNORECASE,
)
_VOLUME = re.compile(
    r"([\d.,]+)\s*-?\s*(?:(cu\.?\s*ft|cubic f(?:oo|ee)t|cf)"
    r"|(cu\.?\s*yds?|cubic yards?|cy)"
    r"|(l(?:it(?:er|re)s?)?)|(gal(?:lons?)?)|(m³|m3|cubic met(?:re|er)s?))\b",
    re.IGNORECASE,
)
_VOLUME_UNITS = ("cu ft", "cu yd", "L", "gal", "m³")
_SOLD = {
    Sold.CONTAINER: SizeClass.CONTAINER,
    Sold.BALLED: SizeClass.BALLED,
    Sold.BARE: SizeClass.BARE_ROOT,
}


def read_how_it_comes(text: str, *, kind: ItemKind) -> Comes:
    """The class of a size and its volume; a size that tells nothing is no error."""
    said = " ".join(text.split())[:MOST_SIGNS]
    if not said:
        return Comes(size_class=SizeClass.UNKNOWN)
    if kind == ItemKind.PLANT:
        if _PLUG.search(said):
            return Comes(size_class=SizeClass.PLUG)
        try:
            size = read_size(said)
        except SoilError:
            return Comes(size_class=SizeClass.UNKNOWN)
        return Comes(size_class=_SOLD[size.sold], volume_m3=_nine(size.volume_m3))
    volume = _volume(said)
    if _BAG.search(said):
        return Comes(size_class=SizeClass.BAG, volume_m3=volume)
    if _BULK.search(said):
        return Comes(size_class=SizeClass.BULK, volume_m3=volume)
    return Comes(size_class=SizeClass.UNKNOWN, volume_m3=volume)


def _volume(said: str) -> Decimal | None:
    found = _VOLUME.search(said)
    if found is None:
        # “cu yd, loose”: one of it.
        found = _VOLUME.search(f"1 {said}")
    if found is None:
        return None
    unit = next(
        unit for unit, hit in zip(_VOLUME_UNITS, found.groups()[1:], strict=True) if hit
    )
    amount = plain_number(found[1])
    return None if amount is None else _nine(convert(amount, unit=unit, to="m³"))


def _nine(volume: Decimal | None) -> Decimal | None:
    """The volume as its column keeps it, where it is one a thing may have."""
    if volume is None or not 0 < volume < 1000:
        return None
    return round_half_up(volume, 9)


_KINDS = (
    (ItemKind.FERTILISER, r"fertili[sz]er|\bbone meal|\bfeed\b|\blime\b|sulph?ur"),
    (ItemKind.MULCH, r"mulch|\bbark\b|wood chips?|pine straw|pine needles"),
    (ItemKind.SOIL, r"compost|topsoil|\bsoil\b|\bsand\b|\bpeat\b|\bloam\b|\bmanure"),
    (ItemKind.STAKES, r"\bstakes?\b|\bties?\b|arbor tie|tree strap"),
    (ItemKind.EDGING, r"edging|\bedge\b"),
)


def kind_of_words(text: str) -> ItemKind:
    """What a material is by its name."""
    for kind, words in _KINDS:
        if re.search(words, text, re.IGNORECASE):
            return kind
    return ItemKind.OTHER
