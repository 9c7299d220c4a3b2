"""The forms for labour, delivery and anything else."""

from decimal import Decimal
from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from jobs.actions.quotes import LineDetails
from jobs.enums import LineKind
from jobs.forms.quote_lines.base import (
    LineForm,
    bed_field,
    beside,
    cost_field,
    price_field,
)

MOST_QUANTITY = Decimal(1_000_000)


class PlainForm(LineForm):
    """A line that nothing is worked out for: so many of something."""

    rows: ClassVar[tuple[tuple[str, ...], ...]] = (
        ("quantity", "unit"),
        ("unit_cost", "unit_price"),
    )

    bed = bed_field(required=False)
    description = forms.CharField(label=_("what"), max_length=250)
    quantity = forms.DecimalField(
        label=_("how many"),
        min_value=Decimal("0.001"),
        max_value=MOST_QUANTITY,
        max_digits=10,
        decimal_places=3,
    )
    unit = forms.CharField(
        label=_("unit"), max_length=20, help_text=_("such as loads, pieces or tons")
    )
    unit_cost = cost_field(_("cost of one"))
    unit_price = price_field(_("price of one"))

    def details(self) -> list[LineDetails]:
        """The one line as it was typed."""
        found = self.cleaned_data
        return [
            LineDetails(
                kind=self.kind,
                bed=found["bed"],
                description=" ".join(found["description"].split()),
                quantity=found["quantity"],
                unit=found["unit"],
                unit_cost=found["unit_cost"],
                unit_price=found["unit_price"],
                tax_category=found["tax_category"],
                typed={"form": self.kept()},
            )
        ]


class LabourForm(PlainForm):
    """Hours of work at what an hour costs."""

    kind = LineKind.LABOUR
    rows = (("quantity", "unit_cost", "unit_price"),)

    unit = None  # type: ignore[assignment]
    quantity = forms.DecimalField(
        label=_("hours"),
        min_value=Decimal("0.01"),
        max_value=Decimal(99_999),
        max_digits=7,
        decimal_places=2,
    )

    def __init__(self, *args: Any, **kw: Any) -> None:
        super().__init__(*args, **kw)
        beside(self.fields["quantity"], "h")

    def first_values(self) -> dict[str, Any]:
        """The firm's own rates; labour is taxed where the firm says so."""
        return {
            "description": _now("Planting work"),
            "unit_cost": self.firm.hour_cost or "",
            "unit_price": self.firm.hour_price or "",
        }

    def per(self, name: str) -> str:
        """Amounts are for one hour."""
        return str(_now("an hour"))

    def clean(self) -> dict[str, Any]:
        """Hours are the unit."""
        found = super().clean() or {}
        found["unit"] = "h"
        return found


class DeliveryForm(PlainForm):
    """Bringing it all there."""

    kind = LineKind.DELIVERY

    def first_values(self) -> dict[str, Any]:
        """One load."""
        return {
            **super().first_values(),
            "description": _now("Delivery"),
            "quantity": 1,
            "unit": _now("load"),
        }


class OtherForm(PlainForm):
    """Anything else."""

    kind = LineKind.OTHER

    def first_values(self) -> dict[str, Any]:
        """One of it."""
        return {**super().first_values(), "quantity": 1}
