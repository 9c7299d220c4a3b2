"""What the forms of all lines have."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any, ClassVar

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Layout, Row
from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.enums import TaxCategory
from firm.models import Firm
from firm.money import CURRENCY_SIGNS
from firm.queries import category_for
from firm.units import Display
from jobs.actions.quotes import LineDetails
from jobs.enums import LineKind
from jobs.forms.books import AmountField
from jobs.models import Quote, QuoteLine
from jobs.queries.quotes import beds_of
from plants.forms.fields import Versioned, show_units
from plants.models import Bed

# Fields of the form itself that say nothing about the line.
NOT_KEPT = ("version", "is_sure", "is_meant")


def beside(field: forms.Field, unit: str) -> None:
    """Write the unit beside the field."""
    field.widget.attrs["data-unit"] = unit


class LineForm(Versioned):
    """What every line has: its quote's version, cost, price, tax."""

    kind: ClassVar[LineKind]
    # Empty: what the garden's place does with such a line.
    tax_category = forms.ChoiceField(label=_("tax"), required=False)
    # Fields that stand side by side where there is room.
    rows: ClassVar[tuple[tuple[str, ...], ...]] = (("unit_cost", "unit_price"),)

    def __init__(
        self, *args: Any, quote: Quote, firm: Firm, line: QuoteLine | None, **kw: Any
    ) -> None:
        self.quote, self.firm, self.line = quote, firm, line
        self.display = Display(firm.units)
        self.beds: Sequence[Bed] = beds_of(quote.garden)
        kept = line.typed.get("form", {}) if line else {}
        kw["initial"] = {
            "version": quote.version,
            **self.first_values(),
            **kw.get("initial", {}),
            **kept,
        }
        super().__init__(*args, **kw)
        if "bed" in self.fields:
            self._offer_beds()
        self._offer_taxes()
        show_units(self, self.display)
        currency = CURRENCY_SIGNS.get(firm.currency, firm.currency)
        for name, field in self.fields.items():
            if isinstance(field, AmountField):
                beside(field, f"{currency} {self.per(name)}".strip())

    @property
    def helper(self) -> FormHelper:
        """How the form is laid out; the page holds the form element."""
        helper = FormHelper()
        helper.form_tag = False
        helper.disable_csrf = True
        starts = {row[0]: row for row in self.rows}
        inside = {name for row in self.rows for name in row[1:]}
        helper.layout = Layout(
            *(
                Row(*starts[name]) if name in starts else name
                for name in self.fields
                if name not in inside
            )
        )
        return helper

    def first_values(self) -> dict[str, Any]:
        """What a new line's form begins with."""
        return {}

    def per(self, name: str) -> str:
        """What an amount of the form is for one of."""
        return ""

    def _offer_taxes(self) -> None:
        """The four things tax may do, and what the garden's place does: the last."""
        field = self.fields.pop("tax_category")
        self.fields["tax_category"] = field
        place = self.quote.garden.tax_region
        usual = category_for(kind=self.kind, region=place, firm=self.firm)
        field.choices = [  # type: ignore[attr-defined]
            (
                "",
                _now("as is usual in %(place)s: %(what)s")
                % {
                    "place": place.name if place else _now("the firm's own place"),
                    "what": usual.label,
                },
            ),
            *TaxCategory.choices,
        ]
        field.help_text = _now(
            "for tax that was paid when it was bought, the cost holds that tax"
        )
        if self.line and self.line.tax_is_typed:
            self.initial.setdefault("tax_category", self.line.tax_category)

    def _offer_beds(self) -> None:
        field = self.fields["bed"]
        none = ("", _now("the whole garden") if not field.required else "")
        field.choices = [  # type: ignore[attr-defined]
            none,
            *((str(bed.pk), bed.name) for bed in self.beds),
        ]

    def clean_bed(self) -> Bed | None:
        """The chosen bed of the garden."""
        chosen = self.cleaned_data.get("bed")
        return next((bed for bed in self.beds if str(bed.pk) == chosen), None)

    def kept(self) -> dict[str, Any]:
        """What was typed, to fill the form with when the line is changed."""
        return {
            name: self.cleaned_data[name]
            if isinstance(field, forms.BooleanField)
            else str(self[name].value() or "")
            for name, field in self.fields.items()
            if name not in NOT_KEPT
        }

    def details(self) -> list[LineDetails]:
        """The line, or lines, for the action."""
        raise NotImplementedError


def bed_field(*, required: bool) -> forms.ChoiceField:
    """A bed of the garden."""
    return forms.ChoiceField(label=_("bed"), required=required)


def cost_field(label: Any, *, required: bool = True) -> AmountField:
    """What one costs the firm."""
    return AmountField(label=label, minimum=Decimal(0), required=required)


def price_field(label: Any) -> AmountField:
    """What one sells at; empty: the quote's margin on the cost."""
    return AmountField(
        label=label,
        minimum=Decimal(0),
        required=False,
        help_text=_("empty: the quote's margin on the cost"),
    )
