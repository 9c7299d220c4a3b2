"""Forms of a care contract: its words and price, its work, its end."""

import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from jobs.actions.contracts import ContractDetails, FreeVisit
from jobs.forms.books import AmountField, day_input
from jobs.forms.quotes import AgreeForm, ReasonForm, one_line
from jobs.models import Contract
from plants.forms.fields import Versioned

FARTHEST = dt.timedelta(days=730)
MOST_MINUTES = 6000
MOST_WORK_LINES = 30


class ContractForm(forms.Form):
    """What a care contract says apart from its visits."""

    title = forms.CharField(label=_("title"), max_length=160)
    starts_on = forms.DateField(
        label=_("begins on"),
        widget=day_input(),
        help_text=_("it runs twelve months; another day draws the plan anew"),
    )
    visit_minutes = forms.IntegerField(
        label=_("travel and set-up per visit"),
        min_value=0,
        max_value=600,
        help_text=_("work of all people together, added to each visit's tasks"),
        widget=forms.NumberInput(attrs={"data-unit": "min"}),
    )
    net = AmountField(
        label=_("price a year before tax"),
        minimum=Decimal(0),
        required=False,
        help_text=_("left empty: the hours at the firm's price of an hour"),
    )
    is_taxed = forms.BooleanField(label=_("tax is put on it"), required=False)
    instalment_count = forms.IntegerField(
        label=_("instalments"),
        min_value=1,
        max_value=24,
        help_text=_("1 to 24, the first on the day it begins"),
    )
    instalment_months = forms.IntegerField(
        label=_("from one instalment to the next"),
        min_value=1,
        max_value=12,
        widget=forms.NumberInput(attrs={"data-unit": "months"}),
    )
    words = forms.CharField(
        label=_("words to the client"),
        max_length=4000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    terms = forms.CharField(
        label=_("terms"),
        max_length=4000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("materials, notice, payment: as you and the law have it"),
    )

    def __init__(self, *args: Any, today: dt.date, currency: str, **kw: Any) -> None:
        super().__init__(*args, **kw)
        self.today = today
        self.fields["net"].widget.attrs["data-unit"] = currency

    def clean_title(self) -> str:
        """The title on one line."""
        return one_line(self.cleaned_data["title"])

    def clean_starts_on(self) -> dt.date:
        """The first day, not years away."""
        day: dt.date = self.cleaned_data["starts_on"]
        if abs(day - self.today) > FARTHEST:
            raise ValidationError(_now("More than two years from today: is it right?"))
        return day

    def details(self) -> ContractDetails:
        """What was typed, for the action."""
        names = ContractDetails.__dataclass_fields__
        return ContractDetails(**{name: self.cleaned_data[name] for name in names})


class NewContractForm(ContractForm):
    """A contract that is drawn; sent twice, it draws one."""

    key = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)

    def clean_starts_on(self) -> dt.date:
        """The first day, not in the past by more than a month."""
        day = super().clean_starts_on()
        if day < self.today - dt.timedelta(days=31):
            raise ValidationError(
                _now("This day is over. A care contract begins a month ago at most.")
            )
        return day


class ChangeContractForm(ContractForm, Versioned):
    """A draft that is changed."""

    @staticmethod
    def values_of(contract: Contract) -> dict[str, Any]:
        """What the form begins with, and what stands when two people met."""
        names = (
            "title",
            "starts_on",
            "visit_minutes",
            "is_taxed",
            "instalment_count",
            "instalment_months",
            "words",
            "terms",
            "version",
        )
        return {
            "net": contract.net if contract.price_is_typed else None,
            **{name: getattr(contract, name) for name in names},
        }


class WorkForm(Versioned):
    """Which visits and tasks are ticked."""

    visit = forms.MultipleChoiceField(required=False)
    task = forms.MultipleChoiceField(required=False)

    def __init__(self, *args: Any, contract: Contract, **kw: Any) -> None:
        super().__init__(*args, **kw)
        for name, part in (("visit", "visits"), ("task", "tasks")):
            self.fields[name].choices = [  # type: ignore[attr-defined]
                (one["key"], one["key"]) for one in contract.plan.get(part, ())
            ]


class FreeVisitForm(Versioned):
    """A visit of the owner's own."""

    title = forms.CharField(label=_("what for"), max_length=160)
    work = forms.CharField(
        label=_("what is done"),
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("one piece of work a line"),
    )
    best = forms.DateField(label=_("best on"), widget=day_input())
    around = forms.IntegerField(
        label=_("may fall earlier or later by"),
        min_value=0,
        max_value=120,
        initial=7,
        widget=forms.NumberInput(attrs={"data-unit": "days"}),
    )
    minutes = forms.IntegerField(
        label=_("work"),
        min_value=1,
        max_value=MOST_MINUTES,
        help_text=_("of all people together, without travel and set-up"),
        widget=forms.NumberInput(attrs={"data-unit": "min"}),
    )

    def __init__(self, *args: Any, contract: Contract, **kw: Any) -> None:
        kw.setdefault("initial", {"version": contract.version})
        super().__init__(*args, **kw)
        self.contract = contract

    def clean_title(self) -> str:
        """What for on one line."""
        return one_line(self.cleaned_data["title"])

    def clean_best(self) -> dt.date:
        """The best day, in the contract's twelve months."""
        day: dt.date = self.cleaned_data["best"]
        if not self.contract.starts_on <= day <= self.contract.ends_on:
            raise ValidationError(
                _now("This day lies outside the contract's twelve months.")
            )
        return day

    def clean_work(self) -> tuple[str, ...]:
        """The work line by line."""
        lines = tuple(
            line
            for raw in self.cleaned_data["work"].splitlines()
            if (line := one_line(raw)[:160])
        )
        if len(lines) > MOST_WORK_LINES:
            raise ValidationError(
                _now("At most %(most)d lines.") % {"most": MOST_WORK_LINES}
            )
        return lines

    def visit(self) -> FreeVisit:
        """What was typed, for the action; its days stay in the twelve months."""
        found = self.cleaned_data
        around = dt.timedelta(days=found["around"])
        return FreeVisit(
            title=found["title"],
            earliest=max(found["best"] - around, self.contract.starts_on),
            best=found["best"],
            latest=min(found["best"] + around, self.contract.ends_on),
            minutes=found["minutes"],
            work=found["work"] or (found["title"],),
        )


class PauseForm(ReasonForm, Versioned):
    """Why a contract pauses."""


class EndForm(ReasonForm, Versioned):
    """The last day of a contract and why it ends."""

    last_on = forms.DateField(label=_("last day"), widget=day_input())
    field_order = ("last_on", "reason")


class AgreeToContractForm(AgreeForm):
    """The client's yes to a care contract on the private page."""

    agrees = forms.BooleanField(
        label=_("I agree to this care contract, its price and its terms."),
        error_messages={"required": _("Tick this to agree.")},
    )
