"""Which column of a supplier's list is what, by its head and as it was last time."""

import re
from collections.abc import Mapping, Sequence

from django.db.models import TextChoices
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.imports import plain_head
from jobs.queries.price_lists.cells import break_of_head


class Column(TextChoices):
    """What a column of a list may be."""

    UNUSED = "", _("not used")
    NUMBER = "number", _("item number")
    NAME = "name", _("botanical name, or the article")
    COMMON = "common", _("common name")
    SIZE = "size", _("size")
    PACK = "pack", _("how many in a pack")
    PRICE = "price", _("price")
    BREAKS = "breaks", _("prices for more, such as 10+ 8.50")
    BREAK = "break", _("price from the number in the head")
    AVAILABILITY = "availability", _("availability")
    WEIGHT = "weight", _("weight of one")


# Of these a list may have several.
REPEATED = frozenset({Column.UNUSED, Column.BREAK})
NEEDED = (Column.NAME, Column.PRICE)
HEADS: Mapping[Column, tuple[str, ...]] = {
    Column.NUMBER: (
        "item number", "item no", "item #", "item code", "item id", "sku", "code",
        "number", "no", "#", "art no", "article number", "stock number", "product code",
        "catalog number", "catalogue number", "part number", "ref",
    ),
    Column.NAME: (
        "botanical name", "botanical", "latin name", "latin", "scientific name",
        "plant", "plant name", "name", "item", "item name", "description", "article",
        "product", "product name", "material", "variety", "genus species", "taxon",
    ),
    Column.COMMON: ("common name", "common", "trade name", "english name"),
    Column.SIZE: (
        "size", "container", "container size", "pot", "pot size", "grade", "spec",
        "size grade", "pack size", "package", "cont size", "caliper", "root ball",
    ),
    Column.PACK: (
        "pack", "per pack", "pack quantity", "pack qty", "qty per pack", "unit",
        "units", "uom", "sold by", "sold as", "per flat", "flat qty", "tray",
        "multiple", "minimum", "min qty", "quantity", "qty",
    ),
    Column.PRICE: (
        "price", "unit price", "price each", "each", "cost", "unit cost", "net price",
        "wholesale", "wholesale price", "price ea", "rate", "list price", "your price",
        "usd", "price usd", "price $", "trade price", "net",
    ),
    Column.BREAKS: (
        "price breaks", "breaks", "quantity price", "quantity prices", "volume price",
        "qty price", "prices for more", "quantity break", "volume discount",
    ),
    Column.AVAILABILITY: (
        "availability", "available", "avail", "stock", "in stock", "on hand",
        "qty available", "quantity available", "qty avail", "inventory", "ready",
    ),
    Column.WEIGHT: (
        "weight", "weight lb", "weight lbs", "lb", "lbs", "weight kg", "kg", "wt",
        "weight each", "unit weight", "ship weight",
    ),
}  # fmt: skip
_MEANS = {plain_head(head): column for column, heads in HEADS.items() for head in heads}
# A head that is only a mark has no letters left.
_MEANS["#"] = Column.NUMBER


class ColumnsRefused(ValueError):
    """Why a list cannot be read with these columns."""


def known_heads() -> list[str]:
    """The heads by which the row of heads is found below a title."""
    return [head for heads in HEADS.values() for head in heads]


def head_key(head: str) -> str:
    """What a head is remembered by."""
    # “Item #” is the number of the item, not the item.
    numbered = re.sub(r"#", " no ", head)
    return plain_head(numbered)[:60] or head.strip()[:40]


_MEANS = {head_key(head): column for column, heads in HEADS.items() for head in heads}


def guess_columns(
    heads: Sequence[str], *, remembered: Mapping[str, str] | None = None
) -> list[str]:
    """What each column probably is: as it was last time, else by its head."""
    before = remembered or {}
    found: list[str] = []
    taken: set[str] = set()
    for head in heads:
        key = head_key(head)
        guess = before.get(key)
        if guess is None or guess not in Column.values:
            column = _MEANS.get(key)
            if column is None and break_of_head(head) is not None:
                column = Column.BREAK
            guess = str(column) if column is not None else ""
        if guess in taken and guess not in REPEATED:
            guess = ""
        taken.add(guess)
        found.append(guess)
    if "name" not in found and "common" in found:
        found[found.index("common")] = "name"
    return found


def check_columns(heads: Sequence[str], chosen: Sequence[str]) -> None:
    """ColumnsRefused where the choice lacks a column or has one twice."""
    for column in NEEDED:
        if column not in chosen:
            raise ColumnsRefused(
                _now("Say which column holds the %(what)s.") % {"what": column.label}
            )
    for column in Column:
        places = [place for place, name in enumerate(chosen) if name == column]
        if len(places) > 1 and column not in REPEATED:
            raise ColumnsRefused(
                _now(
                    "Two columns cannot both be the %(what)s: “%(one)s” and “%(two)s”."
                )
                % {
                    "what": column.label,
                    "one": heads[places[0]],
                    "two": heads[places[1]],
                }
            )
    for head, name in zip(heads, chosen, strict=True):
        if name == Column.BREAK and break_of_head(head) is None:
            raise ColumnsRefused(
                _now("The head “%(head)s” names no number from which its price holds.")
                % {"head": head}
            )
