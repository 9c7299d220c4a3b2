"""Forms about bills that stand: credits, money given back, payments struck out."""

import datetime as dt
import uuid
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs.actions.bills import Off
from jobs.forms.books import EARLIEST, AmountField, PaymentForm, day_input

AGAIN, LOWER = "again", "lower"
LATEST = dt.date(2200, 12, 31)


class CreditForm(forms.Form):
    """Why a bill is taken back and whether what it was for is billed again."""

    reason = forms.CharField(label=_("Why is it taken back?"), max_length=200)
    after = forms.ChoiceField(
        label=_("What comes of it"),
        choices=[
            (AGAIN, _("It was billed wrongly and is billed again.")),
            (LOWER, _("The price goes down by it; it is not billed again.")),
        ],
        initial=AGAIN,
        widget=forms.RadioSelect,
    )

    @property
    def is_billed_again(self) -> bool:
        """Whether the credit frees what it takes back for another bill."""
        return bool(self.cleaned_data["after"] == AGAIN)


class PartCreditForm(CreditForm):
    """Which part of a bill is taken back: lines of it, or an amount."""

    lines = forms.MultipleChoiceField(
        label=_("Lines, before tax"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    amount = AmountField(
        label=_("Or an amount, tax included"), minimum=Decimal("0.01"), required=False
    )
    group = forms.ChoiceField(
        label=_("The amount comes off"),
        required=False,
        help_text=_("In proportion: each tax of the bill takes its share."),
    )

    def __init__(
        self,
        *args: Any,
        lines: Sequence[tuple[int, str]],
        groups: Sequence[tuple[int, str]],
        currency: str,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.fields["lines"].choices = lines  # type: ignore[attr-defined]
        self.fields["group"].choices = [  # type: ignore[attr-defined]
            ("", _("all of it, in proportion")),
            *groups,
        ]
        self.fields["amount"].widget.attrs["data-unit"] = currency
        self.fields["after"].initial = LOWER
        if not lines:
            del self.fields["lines"]
        if len(groups) < 2:
            del self.fields["group"]
        self.order_fields(["lines", "amount", "group", "reason", "after"])

    def clean(self) -> dict[str, Any]:
        """Lines or an amount, not both."""
        found = super().clean() or {}
        if "amount" in self.errors or "lines" in self.errors:
            return found
        if found.get("lines") and found.get("amount"):
            self.add_error("amount", _("Choose lines or an amount, not both."))
        if not found.get("lines") and not found.get("amount"):
            self.add_error("amount", _("Choose lines or write an amount."))
        return found

    def off(self) -> Off:
        """What is taken off."""
        return Off(
            lines=tuple(int(place) for place in self.cleaned_data.get("lines") or ()),
            amount=self.cleaned_data.get("amount") or Decimal("0.00"),
            group=int(self.cleaned_data["group"])
            if self.cleaned_data.get("group")
            else None,
        )

    @property
    def field_of_amount(self) -> str:
        """The field that a refusal belongs to."""
        return "lines" if self.cleaned_data.get("lines") else "amount"


class PayBackForm(PaymentForm):
    """Money given back to a client."""

    day = forms.DateField(
        label=_("Paid back on"),
        widget=day_input(),
    )


class SetAgainstForm(forms.Form):
    """Which other bill of the client the money counts for, and how much of it."""

    key = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    other = forms.ChoiceField(label=_("Bill"))
    amount = AmountField(label=_("Amount"), minimum=Decimal("0.01"))

    def __init__(
        self,
        *args: Any,
        others: Sequence[tuple[int, str]],
        currency: str,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.fields["other"].choices = others  # type: ignore[attr-defined]
        self.fields["amount"].widget.attrs["data-unit"] = currency


class StrikeOutForm(forms.Form):
    """Why a payment is struck out."""

    reason = forms.CharField(label=_("What was wrong with it?"), max_length=200)


class AsOfForm(forms.Form):
    """The day as of which something is shown."""

    day = forms.DateField(label=_("As of the end of"), widget=day_input())

    def clean_day(self) -> dt.date:
        """A day that can be reckoned with."""
        day: dt.date = self.cleaned_data["day"]
        if not EARLIEST <= day <= LATEST:
            raise forms.ValidationError(_("Is the year right?"))
        return day


class LetterForm(forms.Form):
    """Which letter about an overdue bill is sent."""

    step = forms.IntegerField(widget=forms.HiddenInput, min_value=1, max_value=3)
