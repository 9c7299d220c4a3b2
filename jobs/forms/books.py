"""Forms of the books: period, receipt, bill, payment."""

import calendar
import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.money import MoneyError, parse_amount
from jobs.actions.receipts import Share

EARLIEST = dt.date(2000, 1, 1)


def day_input() -> forms.DateInput:
    """A day as the browser's own day field takes it."""
    return forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class AmountField(forms.Field):
    """An amount of money as people type it: 1,234.50 or $1 234."""

    def __init__(
        self,
        *,
        minimum: Decimal | None = None,
        maximum: Decimal = Decimal("9999999.99"),
        **kwargs: Any,
    ) -> None:
        self.minimum, self.maximum = minimum, maximum
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal"}))
        super().__init__(**kwargs)

    def clean(self, value: Any) -> Decimal | None:
        """The amount; None when the field may stay empty and does."""
        text = str(value or "").strip()
        if not text and not self.required:
            return None
        super().clean(text)
        try:
            return parse_amount(text, minimum=self.minimum, maximum=self.maximum)
        except MoneyError as error:
            raise forms.ValidationError(str(error)) from error


class PeriodForm(forms.Form):
    """From one day to another; the current month when nothing is asked for."""

    first = forms.DateField(label=_("From"), widget=day_input())
    last = forms.DateField(label=_("To"), widget=day_input())

    @classmethod
    def for_month_of(cls, day: dt.date) -> dict[str, dt.date]:
        """The first and the last day of DAY's month."""
        last = calendar.monthrange(day.year, day.month)[1]
        return {"first": day.replace(day=1), "last": day.replace(day=last)}

    def clean(self) -> dict[str, Any]:
        """The two days, in order and not more than ten years apart."""
        found = super().clean() or {}
        first, last = found.get("first"), found.get("last")
        if first and last:
            if last < first:
                self.add_error("last", _("The last day lies before the first."))
            elif (last - first).days > 3660:
                self.add_error("last", _("Ask for ten years at the most."))
        return found


class ReceiptForm(forms.Form):
    """What a supplier charged, and which jobs it was for."""

    key = forms.UUIDField(widget=forms.HiddenInput)
    supplier = forms.CharField(label=_("Supplier"), max_length=120)
    number = forms.CharField(
        label=_("Number on the receipt"), max_length=60, required=False
    )
    day = forms.DateField(label=_("Date"), widget=day_input())
    net = AmountField(label=_("Before tax"), minimum=Decimal("-9999999.99"))
    tax = AmountField(label=_("Tax"), minimum=Decimal("-9999999.99"), required=False)
    gross = AmountField(label=_("Total"), minimum=Decimal("-9999999.99"))
    note = forms.CharField(label=_("What was bought"), max_length=200, required=False)
    scan = forms.FileField(label=_("Scan or photo (PDF, JPEG or PNG)"), required=False)

    def __init__(
        self, *args: Any, today: dt.date, currency: str, **kwargs: Any
    ) -> None:
        self.today = today
        super().__init__(*args, **kwargs)
        self.fields["key"].initial = self.fields["key"].initial or uuid.uuid4
        for name in ("net", "tax", "gross"):
            self.fields[name].widget.attrs["data-unit"] = currency

    def clean_day(self) -> dt.date:
        """The date, not after today and not before this century."""
        day: dt.date = self.cleaned_data["day"]
        if day > self.today:
            raise forms.ValidationError(_("This day is still to come."))
        if day < EARLIEST:
            raise forms.ValidationError(_("Is the year right?"))
        return day

    def clean(self) -> dict[str, Any]:
        """The three amounts, which must add up."""
        found = super().clean() or {}
        found["tax"] = found.get("tax") or Decimal("0.00")
        net, tax, gross = found.get("net"), found["tax"], found.get("gross")
        if "tax" in self.errors or net is None or gross is None:
            return found
        if net + tax != gross:
            self.add_error(
                "gross",
                _now("%(net)s before tax and %(tax)s tax make %(sum)s, not %(gross)s.")
                % {"net": net, "tax": tax, "sum": net + tax, "gross": gross},
            )
        if gross == 0:
            self.add_error("gross", _("A receipt over nothing is not entered."))
        return found


class ShareForm(forms.Form):
    """Which job a part of the receipt was for."""

    owner = forms.ChoiceField(label=_("Job or contract"), required=False)
    net = AmountField(
        label=_("Before tax"), minimum=Decimal("-9999999.99"), required=False
    )
    tax = AmountField(label=_("Tax"), minimum=Decimal("-9999999.99"), required=False)

    def __init__(
        self, *args: Any, owners: list[tuple[str, str]], currency: str, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.fields["owner"].choices = [("", _("the firm, no job")), *owners]  # type: ignore[attr-defined]
        for name in ("net", "tax"):
            self.fields[name].widget.attrs["data-unit"] = currency

    def clean(self) -> dict[str, Any]:
        """A part with a job needs an amount and the other way round."""
        found = super().clean() or {}
        if found.get("owner") and found.get("net") is None and "net" not in self.errors:
            self.add_error("net", _("How much of it was for this job?"))
        if not found.get("owner") and (found.get("net") or found.get("tax")):
            self.add_error("owner", _("Which job was this part for?"))
        return found

    def share(self) -> Share | None:
        """The part, None for an empty row."""
        if not self.cleaned_data.get("owner"):
            return None
        return Share(
            owner=self.cleaned_data["owner"],
            net=self.cleaned_data["net"],
            tax=self.cleaned_data.get("tax") or Decimal("0.00"),
        )


ShareFormSet = forms.formset_factory(ShareForm, extra=3, max_num=20, validate_max=True)


class BillForm(forms.Form):
    """The date of a bill and, for a deposit, its share."""

    day = forms.DateField(label=_("Date of the bill"), widget=day_input())
    deposit_percent = forms.DecimalField(
        label=_("Deposit"),
        min_value=Decimal("1"),
        max_value=Decimal("100"),
        max_digits=5,
        decimal_places=2,
        required=False,
        widget=forms.NumberInput(attrs={"data-unit": "%"}),
        help_text=_("Some places cap deposits by law; check what holds for you."),
    )

    def __init__(
        self, *args: Any, today: dt.date, deposit: bool, **kwargs: Any
    ) -> None:
        self.today = today
        super().__init__(*args, **kwargs)
        self.fields["day"].initial = today
        if deposit:
            self.fields["deposit_percent"].required = True
        else:
            del self.fields["deposit_percent"]

    def clean_day(self) -> dt.date:
        """The date, within a year of today."""
        day: dt.date = self.cleaned_data["day"]
        if abs((day - self.today).days) > 366:
            raise forms.ValidationError(_("More than a year from today: is it right?"))
        return day


class PaymentForm(forms.Form):
    """Money received for a bill."""

    key = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    amount = AmountField(label=_("Amount"), minimum=Decimal("0.01"))
    day = forms.DateField(label=_("Received on"), widget=day_input())
    how = forms.CharField(
        label=_("How"),
        max_length=60,
        required=False,
        help_text=_("transfer, cheque, cash ..."),
    )

    def __init__(
        self, *args: Any, today: dt.date, currency: str, **kwargs: Any
    ) -> None:
        self.today = today
        super().__init__(*args, **kwargs)
        self.fields["amount"].widget.attrs["data-unit"] = currency

    def clean_day(self) -> dt.date:
        """The day, not after today."""
        day: dt.date = self.cleaned_data["day"]
        if day > self.today:
            raise forms.ValidationError(_("This day is still to come."))
        if day < EARLIEST:
            raise forms.ValidationError(_("Is the year right?"))
        return day
