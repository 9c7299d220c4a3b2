"""Addresses of suppliers, their lists and items, and of the prices of a quote."""

import datetime as dt
from types import SimpleNamespace
from typing import Any

from tests import factories
from tests.system.access_rows import Permission, Row

WRITE = Permission.WRITE_QUOTES
SEE = Permission.SEE_MONEY
LINE = {
    "row": 2,
    "key": "t:test shrub|",
    "kind": "plant",
    "name": "Test shrub",
    "number": "",
    "size": "",
    "class": "unknown",
    "volume": None,
    "pack": 1,
    "unit": "",
    "price": "24.0000",
    "per_pack": False,
    "breaks": [],
    "availability": "",
    "available": None,
    "weight": None,
    "plant": None,
    "candidates": [],
    "asked": "test shrub",
}

ROWS: dict[str, Row] = {
    "suppliers": Row(SEE),
    "supplier": Row(SEE, sample="supplier"),
    "supplier-new": Row(WRITE, post=200),
    "supplier-change": Row(WRITE, post=200, sample="supplier"),
    "price-list-new": Row(WRITE, post=200, sample="supplier"),
    "supplier-item-new": Row(WRITE, post=200, sample="supplier"),
    "supplier-item": Row(WRITE, post=200, sample="supplier item"),
    "price-list": Row(WRITE, sample="price list"),
    "price-list-columns": Row(WRITE, post=200, sample="price list"),
    "price-list-names": Row(WRITE, post=302, sample="price list"),
    "price-list-take": Row(WRITE, get=None, post=302, sample="price list"),
    "price-list-drop": Row(WRITE, get=None, post=302, sample="price list"),
    "quote-bought": Row(WRITE, post=200, sample="priced quote"),
    "quote-line-price": Row(WRITE, post=200, sample="priced line"),
}


def samples(base: SimpleNamespace) -> dict[str, dict[str, Any]]:
    """A supplier with an item and a list that was read, and a quote that buys it."""
    supplier = factories.SupplierFactory()
    plant = factories.PlantFactory()
    item = factories.SupplierItemFactory(supplier=supplier, plant=plant)
    kept = factories.PriceListFactory(supplier=supplier, lines=[LINE])
    quote = factories.QuoteFactory(garden=base.garden, number="Q-2026-9081")
    bed = factories.BedFactory(garden=base.garden, name="Bed to buy for")
    line = factories.plants_line(
        quote=quote,
        bed=bed,
        plant=plant,
        priced_on=dt.date(2020, 1, 1),
    )
    return {
        "supplier": {"pk": supplier.pk},
        "supplier item": {"pk": item.pk},
        "price list": {"pk": kept.pk},
        "priced quote": {"pk": quote.pk},
        "priced line": {"pk": quote.pk, "line": line.pk},
    }
