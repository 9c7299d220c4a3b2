"""Forms of suppliers: themselves, their lists, columns, names, items and prices."""

from jobs.forms.suppliers.items import ChoiceForm, ItemForm, LookForm, SupplierForm
from jobs.forms.suppliers.lists import ColumnsForm, ListForm, NamesForm

__all__ = [
    "ChoiceForm",
    "ColumnsForm",
    "ItemForm",
    "ListForm",
    "LookForm",
    "NamesForm",
    "SupplierForm",
]
