"""Forms for people, crews and free days."""

from decimal import Decimal
from typing import Any

from django import forms
from django.conf import settings
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.actions.people import CrewDetails, PersonDetails
from firm.enums import Role
from firm.forms.setup import with_unit
from firm.models import Crew, Person
from firm.queries import firm_or_blank
from firm.units import Display, convert, round_figure

MOST_PAYLOAD_KG = Decimal(40_000)
DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class InviteForm(forms.Form):
    """Whom to invite, and as what."""

    name = forms.CharField(label=_("Name"), max_length=120)
    email = forms.EmailField(label=_("Mail address"), max_length=254)
    role = forms.ChoiceField(label=_("Role"), choices=Role, initial=Role.CREW)


class PersonForm(forms.ModelForm):
    """What is kept of a person; the mail address stays as it was invited."""

    language = forms.ChoiceField(label=_("Language"), choices=settings.LANGUAGES)

    class Meta:
        model = Person
        fields = ("name", "role", "phone", "language", "hour_cost", "is_active")
        help_texts = {"hour_cost": _("wages with all charges")}
        widgets = {"hour_cost": with_unit(_("per hour"))}

    def clean_hour_cost(self) -> Decimal:
        """The cost, refused below nought."""
        cost: Decimal = self.cleaned_data["hour_cost"]
        if cost < 0:
            raise ValidationError(_now("This cannot be less than nought."))
        return cost

    def details(self) -> PersonDetails:
        """What was typed, for the action."""
        return PersonDetails(**self.cleaned_data)


class HandForm(PersonForm):
    """Somebody who works with a crew and never logs in."""

    class Meta:
        model = Person
        fields = ("name", "phone", "language", "hour_cost")
        help_texts = PersonForm.Meta.help_texts
        widgets = PersonForm.Meta.widgets

    def details(self) -> PersonDetails:
        """What was typed, for the action."""
        return PersonDetails(role=Role.CREW, **self.cleaned_data)


class CrewForm(forms.ModelForm):
    """A crew: its name and its working day."""

    class Meta:
        model = Crew
        fields = ("name", "hours_per_day", "start_at", "vehicle", "retired_on")
        labels = {"retired_on": _("Given up on")}
        help_texts = {
            "hours_per_day": _("like 8 or 7.5"),
            "vehicle": _("what this crew goes out with"),
        }
        widgets = {
            "hours_per_day": with_unit("h"),
            "start_at": forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
            "retired_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        }

    payload = forms.DecimalField(
        label=_("what the truck carries"),
        required=False,
        max_digits=7,
        decimal_places=1,
        help_text=_("as its plate says, trailer included; loads are held against it"),
    )
    field_order = ("name", "hours_per_day", "start_at", "vehicle", "payload")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.weight_unit = Display(firm_or_blank().units).weight_unit
        carried = self.instance.payload_kg
        self.fields["payload"].widget = forms.NumberInput(
            attrs={"step": "any", "data-unit": self.weight_unit}
        )
        if carried is not None:
            shown = convert(carried, unit="kg", to=self.weight_unit)
            self.initial["payload"] = f"{round_figure(shown, 0):f}"

    def clean_payload(self) -> Decimal | None:
        """The payload in kilograms, refused where no truck carries so much."""
        typed: Decimal | None = self.cleaned_data["payload"]
        if typed is None:
            return None
        found = round_figure(convert(typed, unit=self.weight_unit, to="kg"), 1)
        if not 50 <= found <= MOST_PAYLOAD_KG:
            raise ValidationError(
                _now(
                    "A truck carries between 50 kg (110 lb) and 40,000 kg (88,000 lb)."
                )
            )
        return found

    def clean_hours_per_day(self) -> Decimal:
        """The hours, refused unless a person can work them."""
        hours: Decimal = self.cleaned_data["hours_per_day"]
        if not 0 < hours <= 16:
            raise ValidationError(_now("A day has more than 0 and at most 16 hours."))
        return hours

    def details(self) -> CrewDetails:
        """What was typed, for the action."""
        found = dict(self.cleaned_data)
        return CrewDetails(payload_kg=found.pop("payload"), **found)


class StayForm(forms.Form):
    """Who is in a crew, from when, until when."""

    person = forms.TypedChoiceField(label=_("Person"), coerce=int)
    starts_on = forms.DateField(label=_("From"), widget=DAY)
    ends_on = forms.DateField(
        label=_("Until"),
        widget=DAY,
        required=False,
        help_text=_("empty: until further notice"),
    )
    is_lead = forms.BooleanField(label=_("Leads the crew"), required=False)

    def __init__(self, *args: Any, people: list[Person], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [(each.pk, each.name) for each in people]
        field = self.fields["person"]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101
        field.choices = [("", "–"), *choices]


class EndStayForm(forms.Form):
    """The last day of a stay in a crew."""

    ends_on = forms.DateField(label=_("Last day"), widget=DAY)


class DayOffForm(forms.Form):
    """A day on which nobody, or one crew, works."""

    day = forms.DateField(label=_("Day"), widget=DAY)
    crew: forms.ModelChoiceField = forms.ModelChoiceField(
        label=_("Crew"),
        queryset=Crew.objects.order_by("name", "id"),
        required=False,
        empty_label=_("everybody"),
    )
    reason = forms.CharField(label=_("Reason"), max_length=120)
