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
        fields = ("name", "hours_per_day", "start_at", "retired_on")
        labels = {"retired_on": _("Given up on")}
        help_texts = {"hours_per_day": _("like 8 or 7.5")}
        widgets = {
            "hours_per_day": with_unit("h"),
            "start_at": forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
            "retired_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        }

    def clean_hours_per_day(self) -> Decimal:
        """The hours, refused unless a person can work them."""
        hours: Decimal = self.cleaned_data["hours_per_day"]
        if not 0 < hours <= 16:
            raise ValidationError(_now("A day has more than 0 and at most 16 hours."))
        return hours

    def details(self) -> CrewDetails:
        """What was typed, for the action."""
        return CrewDetails(**self.cleaned_data)


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
