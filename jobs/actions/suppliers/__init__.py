"""Suppliers, their lists and items, and prices that somebody looked at."""

from jobs.actions.suppliers.items import (
    ItemDetails,
    SupplierDetails,
    change_item,
    change_supplier,
    create_item,
    create_supplier,
)
from jobs.actions.suppliers.lists import (
    ListDetails,
    answer_names,
    choose_columns,
    claim_list,
    drop_price_list,
    give_up_list,
    keep_read,
    note_progress,
    order_taking,
    upload_list,
)
from jobs.actions.suppliers.looking import NoPriceFits, look_at_prices, take_price
from jobs.actions.suppliers.refusals import (
    ItemTaken,
    ListMoved,
    NameTaken,
    NoSuchItem,
    SupplierRefused,
)
from jobs.actions.suppliers.taking import take_list

__all__ = [
    "ItemDetails",
    "ItemTaken",
    "ListDetails",
    "ListMoved",
    "NameTaken",
    "NoPriceFits",
    "NoSuchItem",
    "SupplierDetails",
    "SupplierRefused",
    "answer_names",
    "change_item",
    "change_supplier",
    "choose_columns",
    "claim_list",
    "create_item",
    "create_supplier",
    "drop_price_list",
    "give_up_list",
    "keep_read",
    "look_at_prices",
    "note_progress",
    "order_taking",
    "take_list",
    "take_price",
    "upload_list",
]
