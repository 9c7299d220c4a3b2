"""Forms of suppliers, single items, and prices on a quote."""

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from jobs.actions.suppliers import ItemDetails, SupplierDetails
from jobs.enums import ItemKind
from jobs.forms.books import AmountField, day_input
from jobs.forms.suppliers.lists import EARLIEST, one_plant
from jobs.models import Supplier, SupplierItem
from jobs.queries.price_lists.cells import (
    CellError,
    read_amount,
    read_availability,
    read_breaks,
    read_weight,
)
from jobs.queries.price_lists.lists import item_key
from jobs.queries.price_lists.names import plain_name
from jobs.queries.price_lists.sizes import read_how_it_comes
from plants.forms.fields import Versioned
from plants.models import Plant


class SupplierForm(Versioned):
    """Whom the firm buys from."""

    name = forms.CharField(label=_("name"), max_length=120)
    contact = forms.CharField(
        label=_("whom to ask for"), max_length=120, required=False
    )
    phone = forms.CharField(label=_("telephone"), max_length=40, required=False)
    email = forms.EmailField(label=_("mail"), required=False)
    delivery_cost = AmountField(
        label=_("usual cost of a delivery"), required=False, minimum=Decimal(0)
    )
    note = forms.CharField(
        label=_("note"),
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    @staticmethod
    def values_of(supplier: Supplier) -> dict[str, Any]:
        """The supplier as the form shows it."""
        names = (*SupplierDetails.__dataclass_fields__, "version")
        return {name: getattr(supplier, name) for name in names}

    def details(self) -> SupplierDetails:
        """What was typed, for the action."""
        found = self.cleaned_data
        return SupplierDetails(
            **{name: found[name] for name in SupplierDetails.__dataclass_fields__}
        )


class ItemForm(Versioned):
    """One item of a supplier, written by hand."""

    name = forms.CharField(label=_("name on the list"), max_length=200)
    kind = forms.ChoiceField(label=_("what it is"), choices=ItemKind.choices)
    plant = forms.CharField(
        label=_("plant of the catalogue"),
        max_length=330,
        required=False,
        help_text=_("empty: none of the catalogue's"),
        widget=forms.TextInput(attrs={"list": "plants", "autocomplete": "off"}),
    )
    item_number = forms.CharField(label=_("item number"), max_length=60, required=False)
    size_text = forms.CharField(
        label=_("size"),
        max_length=60,
        required=False,
        help_text=_("such as #3, 2 in balled, bare root, 2 cu ft bag or cu yd, loose"),
    )
    pack_quantity = forms.IntegerField(
        label=_("in a pack"), min_value=1, max_value=100_000, initial=1
    )
    unit = forms.CharField(label=_("unit"), max_length=40, required=False)
    price = forms.CharField(label=_("price"), max_length=40)
    is_per_pack = forms.BooleanField(label=_("price of a whole pack"), required=False)
    breaks = forms.CharField(
        label=_("prices for more"),
        max_length=200,
        required=False,
        help_text=_("such as 10+ 8.50, 50+ 7.25"),
    )
    priced_on = forms.DateField(label=_("price of"), widget=day_input())
    availability = forms.CharField(
        label=_("availability"), max_length=60, required=False
    )
    weight = forms.CharField(
        label=_("weight of one"),
        max_length=40,
        required=False,
        help_text=_("with its unit, such as 25 lb or 11 kg"),
    )
    is_listed = forms.BooleanField(
        label=_("the supplier still lists it"), required=False, initial=True
    )

    def __init__(self, *args: Any, today: dt.date, currency: str, **kw: Any) -> None:
        super().__init__(*args, **kw)
        self.today = today
        self.fields["price"].widget.attrs["data-unit"] = currency
        self.fields["breaks"].widget.attrs["data-unit"] = currency

    @staticmethod
    def values_of(item: SupplierItem) -> dict[str, Any]:
        """The item as the form shows it."""
        same = (
            "name", "kind", "item_number", "size_text", "pack_quantity", "unit",
            "is_per_pack", "availability", "is_listed", "version",
        )  # fmt: skip
        weight = item.weight_kg
        return {
            **{name: getattr(item, name) for name in same},
            "priced_on": item.priced_on.isoformat(),
            "plant": str(item.plant) if item.plant else "",
            "price": shown_price(item.price),
            "breaks": ", ".join(
                f"{step['from']}+ {shown_price(Decimal(step['price']))}"
                for step in item.breaks
            ),
            "weight": "" if weight is None else f"{weight.normalize():f} kg",
        }

    def clean_plant(self) -> Plant | None:
        """The one plant that the words mean."""
        words = self.cleaned_data["plant"]
        if not words:
            return None
        plant = one_plant(words)
        if plant is None:
            raise ValidationError(
                _now("This is not one plant of the catalogue. Choose from the list."),
                code="plant",
            )
        return plant

    def clean_name(self) -> str:
        """A name that has letters or figures in it."""
        name = " ".join(self.cleaned_data["name"].split())
        if not plain_name(name):
            raise ValidationError(_now("Write a name."), code="name")
        return name

    def clean_price(self) -> Decimal:
        """The price, up to four decimals."""
        return self._money(
            lambda: read_amount(self.cleaned_data["price"], decimal_mark=".")
        )

    def clean_breaks(self) -> list[dict[str, Any]]:
        """Prices for more, rising."""
        text = self.cleaned_data["breaks"]
        if not text:
            return []
        steps = self._money(lambda: read_breaks(text, "."))
        return [{"from": least, "price": str(price)} for least, price in steps]

    def clean_weight(self) -> Decimal | None:
        """The weight in kilograms."""
        text = self.cleaned_data["weight"]
        return self._money(lambda: read_weight(text, unit="lb"))

    def clean_priced_on(self) -> dt.date:
        """A day that has been."""
        day: dt.date = self.cleaned_data["priced_on"]
        if not EARLIEST <= day <= self.today:
            raise ValidationError(
                _now("The day of the price lies between 2000 and today."), code="day"
            )
        return day

    @staticmethod
    def _money(read: Any) -> Any:
        try:
            return read()
        except CellError as error:
            raise ValidationError(str(error), code="cell") from error

    def clean(self) -> dict[str, Any]:
        """Only a plant is one of the catalogue's."""
        found = super().clean() or {}
        if found.get("plant") and found.get("kind") != ItemKind.PLANT:
            self.add_error("kind", _now("A plant of the catalogue is a plant."))
        return found

    def details(self) -> ItemDetails:
        """The item for the action."""
        found = self.cleaned_data
        words, available = read_availability(found["availability"])
        size = " ".join(found["size_text"].split())
        comes = read_how_it_comes(size or found["name"], kind=ItemKind(found["kind"]))
        return ItemDetails(
            key=item_key(number=found["item_number"], name=found["name"], size=size),
            kind=found["kind"],
            plant=found["plant"],
            name=found["name"],
            price=found["price"],
            priced_on=found["priced_on"],
            item_number=found["item_number"],
            size_text=size,
            size_class=str(comes.size_class),
            volume_m3=comes.volume_m3,
            pack_quantity=found["pack_quantity"],
            unit=found["unit"],
            is_per_pack=found["is_per_pack"],
            breaks=found["breaks"],
            availability=words,
            available=available,
            weight_kg=found["weight"],
            is_listed=found["is_listed"],
        )


def shown_price(price: Decimal) -> str:
    """A price with two decimals, or as many more as it has."""
    short = price.normalize()
    exponent = short.as_tuple().exponent
    return (
        f"{short:f}" if isinstance(exponent, int) and exponent < -2 else f"{price:.2f}"
    )


class LookForm(forms.Form):
    """Why an old or missing price stands."""

    note = forms.CharField(
        label=_("why it stands"),
        max_length=200,
        help_text=_("such as: asked on the telephone, still holds"),
    )
    line = forms.IntegerField(required=False, widget=forms.HiddenInput)


class ChoiceForm(Versioned):
    """One of the items that a line may be bought as."""

    item = forms.ChoiceField(label=_("bought as"), widget=forms.RadioSelect)

    def __init__(self, *args: Any, items: Sequence[SupplierItem], **kw: Any) -> None:
        super().__init__(*args, **kw)
        self.fields["item"].choices = [  # type: ignore[attr-defined]
            (str(item.pk), str(item)) for item in items
        ]
