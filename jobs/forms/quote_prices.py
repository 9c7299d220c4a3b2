"""Forms for how a draft is priced, its options and when it is paid."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms.formsets import BaseFormSet, formset_factory
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.enums import OverheadWay
from firm.models import Crew, Firm
from firm.money import CURRENCY_SIGNS, HUNDRED
from jobs.actions.quotes import (
    MilestoneDetails,
    OptionDetails,
    PriceDetails,
    TriedOut,
)
from jobs.enums import MilestoneWhen
from jobs.forms.books import AmountField, day_input
from jobs.forms.quotes import one_line
from jobs.models import Quote, QuoteLine, QuoteOption
from jobs.queries.what_if import Tried
from plants.forms.fields import Versioned

MOST_ROWS = 8
PRICES = (
    "overhead_way",
    "overhead_per_hour",
    "overhead_materials_percent",
    "overhead_labour_percent",
    "contingency_percent",
    "warranty_percent",
    "minimum_job",
    "deposit_percent",
)


def percent_field(label: Any, *, most: str = "100", **more: Any) -> forms.DecimalField:
    """So many per cent, from nothing to the whole."""
    return forms.DecimalField(
        label=label,
        min_value=Decimal(0),
        max_value=Decimal(most),
        max_digits=5,
        decimal_places=2,
        widget=forms.NumberInput(attrs={"data-unit": "%", "step": "0.01"}),
        **more,
    )


def margin_field() -> forms.DecimalField:
    """The margin of a quote; a whole price cannot be kept."""
    return percent_field(
        _("margin"),
        most="99.99",
        error_messages={
            "max_value": _(
                "A margin is the part of the price that is kept, so it stays below"
                " 100 %%."
            )
        },
        help_text=_("of the price, once cost, overhead and reserve are paid"),
    )


def say_currency(form: forms.Form, firm: Firm) -> None:
    """The currency beside every amount."""
    sign = CURRENCY_SIGNS.get(firm.currency, firm.currency)
    for field in form.fields.values():
        if isinstance(field, AmountField):
            field.widget.attrs["data-unit"] = sign


class PriceForm(Versioned):
    """What the lines carry beside their cost, and what holds for the whole."""

    overhead_way = forms.ChoiceField(
        label=_("overhead"), choices=OverheadWay.choices, widget=forms.RadioSelect
    )
    overhead_per_hour = AmountField(
        label=_("overhead of an hour of labour"),
        minimum=Decimal(0),
        maximum=Decimal("9999.99"),
    )
    overhead_materials_percent = percent_field(
        _("overhead on plants and materials"), most="999.99"
    )
    overhead_labour_percent = percent_field(_("overhead on labour"), most="999.99")
    contingency_percent = percent_field(
        _("put by for surprises"),
        help_text=_("of the cost; 5 to 10 is common practice, no source"),
    )
    warranty_percent = percent_field(
        _("put by for plants under warranty"),
        help_text=_("of what plants sell at; 3 to 7 is common practice, no source"),
    )
    minimum_job = AmountField(label=_("least price before tax"), minimum=Decimal(0))
    deposit_percent = percent_field(
        _("deposit"),
        help_text=_("of the whole, tax included; the law of the place may allow less"),
    )

    def __init__(self, *args: Any, firm: Firm, **kw: Any) -> None:
        super().__init__(*args, **kw)
        say_currency(self, firm)

    @staticmethod
    def values_of(quote: Quote) -> dict[str, Any]:
        """What the form begins with."""
        return {name: getattr(quote, name) for name in (*PRICES, "version")}

    def details(self) -> PriceDetails:
        """What was typed, for the action."""
        return PriceDetails(**{name: self.cleaned_data[name] for name in PRICES})


class TryForm(Versioned):
    """What is tried out on a quote: margin, discount, crew, options."""

    margin_percent = margin_field()
    discount_percent = percent_field(_("discount"), required=False)
    discount_amount = AmountField(
        label=_("or discount as an amount"), minimum=Decimal(0), required=False
    )
    discount_words = forms.CharField(
        label=_("what the discount is for"), max_length=160, required=False
    )
    crew = forms.ChoiceField(
        label=_("who does the work"),
        required=False,
        help_text=_("an hour costs what the people of the crew cost on the mean"),
    )
    options = forms.MultipleChoiceField(
        label=_("the client takes"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )

    def __init__(
        self,
        *args: Any,
        firm: Firm,
        crews: Sequence[tuple[Crew, Decimal]],
        options: Sequence[QuoteOption],
        **kw: Any,
    ) -> None:
        super().__init__(*args, **kw)
        self.hour_costs = {str(crew.pk): cost for crew, cost in crews}
        self.fields["crew"].choices = [  # type: ignore[attr-defined]
            ("", _now("hours cost what the lines say")),
            *(
                (
                    str(crew.pk),
                    _now("%(crew)s, %(cost)s an hour")
                    % {"crew": crew.name, "cost": f"{cost:,}"},
                )
                for crew, cost in crews
            ),
        ]
        self.fields["options"].choices = [  # type: ignore[attr-defined]
            (str(option.pk), option.title) for option in options
        ]
        if not options:
            del self.fields["options"]
        say_currency(self, firm)

    @staticmethod
    def values_of(quote: Quote) -> dict[str, Any]:
        """What the form begins with."""
        return {
            "version": quote.version,
            "margin_percent": quote.margin_percent,
            "discount_percent": quote.discount_percent or None,
            "discount_amount": quote.discount_amount or None,
            "discount_words": quote.discount_words,
        }

    def clean_discount_words(self) -> str:
        """The words on one line."""
        return one_line(self.cleaned_data["discount_words"])

    def clean(self) -> dict[str, Any]:
        """A discount is one or the other."""
        found = super().clean() or {}
        if found.get("discount_percent") and found.get("discount_amount"):
            self.add_error(
                "discount_amount",
                _now("Give the discount in per cent or as an amount, not both."),
            )
        return found

    def hour_cost(self) -> Decimal | None:
        """What an hour of the chosen crew costs."""
        return self.hour_costs.get(self.cleaned_data.get("crew") or "")

    def tried(self) -> Tried:
        """What is tried out, for the query."""
        found = self.cleaned_data
        return Tried(
            margin_percent=found["margin_percent"],
            discount_percent=found["discount_percent"] or Decimal(0),
            discount_amount=found["discount_amount"] or Decimal(0),
            hour_cost=self.hour_cost(),
            taken=[int(pk) for pk in found.get("options", ())],
        )

    def kept(self) -> TriedOut:
        """What is kept of it, for the action; the client decides on options."""
        found = self.cleaned_data
        return TriedOut(
            margin_percent=found["margin_percent"],
            discount_percent=found["discount_percent"] or Decimal(0),
            discount_amount=found["discount_amount"] or Decimal(0),
            discount_words=found["discount_words"],
            hour_cost=self.hour_cost(),
        )


class OptionForm(Versioned):
    """An option: its words, its lines, and what it takes the place of."""

    title = forms.CharField(label=_("what it is"), max_length=120)
    words = forms.CharField(
        label=_("words to the client"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    instead_of = forms.ChoiceField(
        label=_("taken"),
        required=False,
        help_text=_("a line whose place is taken is left out of the price then"),
    )
    lines = forms.MultipleChoiceField(
        label=_("its lines"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=_("they are in the price only when the client takes the option"),
    )

    def __init__(
        self,
        *args: Any,
        lines: Sequence[QuoteLine],
        option: QuoteOption | None,
        **kw: Any,
    ) -> None:
        super().__init__(*args, **kw)
        own = option.pk if option else None
        free = [line for line in lines if line.option_id in (None, own)]
        self.fields["instead_of"].choices = [  # type: ignore[attr-defined]
            ("", _now("in addition to everything else")),
            *(
                (str(line.pk), _now("instead of %(line)s") % {"line": line.description})
                for line in lines
                if line.option_id is None
            ),
        ]
        self.fields["lines"].choices = [  # type: ignore[attr-defined]
            (str(line.pk), line.description) for line in free
        ]

    @staticmethod
    def values_of(
        quote: Quote, option: QuoteOption | None, lines: Sequence[QuoteLine]
    ) -> dict[str, Any]:
        """What the form begins with."""
        if option is None:
            return {"version": quote.version}
        return {
            "version": quote.version,
            "title": option.title,
            "words": option.words,
            "instead_of": str(option.instead_of_id or ""),
            "lines": [str(line.pk) for line in lines if line.option_id == option.pk],
        }

    def clean_title(self) -> str:
        """The title on one line."""
        return one_line(self.cleaned_data["title"])

    def details(self) -> OptionDetails:
        """What was typed, for the action."""
        found = self.cleaned_data
        return OptionDetails(
            title=found["title"],
            words=found["words"],
            lines=[int(pk) for pk in found["lines"]],
            instead_of=int(found["instead_of"]) if found["instead_of"] else None,
        )


class MilestoneForm(forms.Form):
    """One part of the price; an empty one is left out."""

    title = forms.CharField(label=_("what for"), max_length=120, required=False)
    percent = percent_field(_("share"), required=False)
    when = forms.ChoiceField(
        label=_("due"), choices=MilestoneWhen.choices, required=False
    )
    due_on = forms.DateField(label=_("day"), required=False, widget=day_input())
    is_deposit = forms.BooleanField(label=_("it is the deposit"), required=False)

    def is_empty(self) -> bool:
        """Whether nothing was typed that matters."""
        found = self.cleaned_data
        return not found.get("title") and not found.get("percent")

    def clean(self) -> dict[str, Any]:
        """A part has a title, a share, and a day where it is due on one."""
        found = super().clean() or {}
        if self.errors or self.is_empty():
            return found
        if not found.get("title"):
            self.add_error("title", _now("Say what this part is for."))
        if not found.get("percent"):
            self.add_error("percent", _now("Say how much of the price it is."))
        is_day = (found.get("when") or MilestoneWhen.AGREED) == MilestoneWhen.DAY
        if is_day and not found.get("due_on"):
            self.add_error("due_on", _now("Say on which day."))
        if not is_day:
            found["due_on"] = None
        return found

    def details(self) -> MilestoneDetails:
        """What was typed, for the action."""
        found = self.cleaned_data
        return MilestoneDetails(
            title=one_line(found["title"]),
            percent=found["percent"],
            when=found["when"] or MilestoneWhen.AGREED,
            due_on=found["due_on"],
            is_deposit=found["is_deposit"],
        )


class BaseMilestones(BaseFormSet):
    """The parts of a price: 100 per cent together, one of them the deposit."""

    def clean(self) -> None:
        """Refuse what is not the whole, beside the last part."""
        if any(self.errors):
            return
        kept = [form for form in self.forms if not form.is_empty()]
        whole = sum((form.cleaned_data["percent"] for form in kept), Decimal(0))
        if kept and whole != HUNDRED:
            message = _now("The parts come to %(percent)s %%, not to 100 %%.") % {
                "percent": f"{whole.normalize():f}"
            }
            kept[-1].add_error("percent", message)
            raise ValidationError(message)
        deposits = [form for form in kept if form.cleaned_data["is_deposit"]]
        for form in deposits[1:]:
            form.add_error("is_deposit", _now("There is one deposit at the most."))

    def details(self) -> list[MilestoneDetails]:
        """The parts that were typed, for the action."""
        return [form.details() for form in self.forms if not form.is_empty()]


MilestoneFormSet = formset_factory(
    MilestoneForm,
    formset=BaseMilestones,
    extra=4,
    max_num=MOST_ROWS,
    absolute_max=MOST_ROWS,
)


def milestone_rows(quote: Quote) -> list[dict[str, Any]]:
    """What the parts begin with."""
    names = ("title", "percent", "when", "due_on", "is_deposit")
    return [
        {name: getattr(part, name) for name in names}
        for part in quote.milestones.order_by("position", "id")
    ]
