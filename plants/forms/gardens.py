"""Forms for gardens and standing instructions."""

import datetime as dt
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.actions.clients import ClientDetails, ContactDetails
from firm.models import Client, TaxRegion
from plants.actions.gardens import GardenDetails
from plants.enums import PlantingState, Task
from plants.forms.fields import Versioned, YesNoField, yes_no
from plants.models import Garden, Planting, Station

DETAILS = (
    "name",
    "address",
    "station",
    "latitude",
    "longitude",
    "region",
    "tax_region",
    "has_deer",
    "access_notes",
    "gate_code",
)


class GardenForm(forms.Form):
    """A garden: address, position, climate, the way in."""

    name = forms.CharField(
        label=_("name"),
        max_length=120,
        help_text=_("how the firm calls it, such as Orchard Row 9"),
    )
    address = forms.CharField(
        label=_("address"), widget=forms.Textarea(attrs={"rows": 3})
    )
    station = forms.ModelChoiceField(
        label=_("climate"),
        queryset=Station.objects.order_by("name", "id"),
        empty_label=_("choose one"),
        help_text=_("all dates of care are computed from it"),
    )
    latitude = forms.DecimalField(
        label=_("latitude"),
        required=False,
        min_value=-90,
        max_value=90,
        max_digits=8,
        decimal_places=5,
        help_text=_("degrees north; south is negative, such as 38.60"),
        widget=forms.NumberInput(attrs={"step": "any", "data-unit": "°"}),
    )
    longitude = forms.DecimalField(
        label=_("longitude"),
        required=False,
        min_value=-180,
        max_value=180,
        max_digits=8,
        decimal_places=5,
        help_text=_("degrees east; west is negative, such as -77.80"),
        widget=forms.NumberInput(attrs={"step": "any", "data-unit": "°"}),
    )
    region = forms.CharField(
        label=_("state or region"),
        required=False,
        max_length=80,
        help_text=_("as lists of invasive plants name it, such as Virginia"),
    )
    tax_region = forms.ModelChoiceField(
        label=_("tax and notices as in"),
        required=False,
        queryset=TaxRegion.objects.order_by("name", "id"),
        empty_label=_("the firm's own place"),
    )
    has_deer = YesNoField(label=_("deer come"))
    access_notes = forms.CharField(
        label=_("way in"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("where to park, which gate, the dog's name"),
    )
    gate_code = forms.CharField(
        label=_("gate code"),
        required=False,
        max_length=40,
        help_text=_("only the crew whose round stops here that day sees it"),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def clean(self) -> dict[str, Any]:
        """Latitude and longitude come together."""
        data = super().clean() or {}
        for one, other in (("latitude", "longitude"), ("longitude", "latitude")):
            if one in data and other in data and data[one] is None is not data[other]:
                self.add_error(one, _now("Latitude and longitude come together."))
        return data

    def details(self) -> GardenDetails:
        """What was typed, for the action."""
        return GardenDetails(**{name: self.cleaned_data[name] for name in DETAILS})


class GardenChangeForm(GardenForm, Versioned):
    """A garden that is changed."""


class GardenNewForm(GardenForm):
    """A new garden of a client who is there or who comes with it."""

    client = forms.ModelChoiceField(
        label=_("client"),
        required=False,
        queryset=Client.objects.filter(archived_at=None).order_by("name", "id"),
        empty_label=_("a new client, named below"),
    )
    new_client = forms.CharField(
        label=_("name of the new client"), required=False, max_length=120
    )
    contact_name = forms.CharField(
        label=_("person to speak to"), required=False, max_length=120
    )
    contact_phone = forms.CharField(label=_("telephone"), required=False, max_length=40)
    contact_email = forms.EmailField(label=_("mail address"), required=False)
    field_order = (
        "client",
        "new_client",
        "contact_name",
        "contact_phone",
        "contact_email",
        *DETAILS,
    )

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        # Most firms work in one climate: the first one written down.
        first = Station.objects.order_by("id").first()
        self.fields["station"].initial = first.pk if first else None
        # And in one state: that of the garden opened last.
        last = Garden.objects.exclude(region="").order_by("-id").first()
        self.fields["region"].initial = last.region if last else ""

    def clean(self) -> dict[str, Any]:
        """Exactly one client, old or new."""
        data = super().clean()
        name = data.get("new_client")
        if "client" in data and not data["client"] and not name:
            self.add_error("client", _now("Choose a client or name a new one below."))
        if data.get("client") and name:
            self.add_error(
                "new_client",
                _now("A client is chosen above; leave this empty."),
            )
        if data.get("client"):
            return data
        reached = data.get("contact_phone") or data.get("contact_email")
        if reached and not data.get("contact_name"):
            self.add_error("contact_name", _now("Whose telephone or mail is it?"))
        return data

    def new_client_details(self) -> ClientDetails | None:
        """The client who comes with the garden; None when one was chosen."""
        if self.cleaned_data["client"]:
            return None
        return ClientDetails(
            name=self.cleaned_data["new_client"],
            billing_address=self.cleaned_data["address"],
        )

    def contacts(self) -> list[ContactDetails]:
        """The new client's contact, if one was named."""
        name = self.cleaned_data["contact_name"]
        if self.cleaned_data["client"] or not name:
            return []
        return [
            ContactDetails(
                name=name,
                phone=self.cleaned_data["contact_phone"],
                email=self.cleaned_data["contact_email"],
                is_main=True,
            )
        ]


def garden_values(garden: Garden) -> dict[str, Any]:
    """What the form starts with, and what stands now when two people meet in it."""
    values = {name: getattr(garden, name) for name in DETAILS if name != "station"}
    return {
        **values,
        "has_deer": yes_no(garden.has_deer),
        "station": garden.station_id,
        "version": garden.version,
    }


class InstructionForm(forms.Form):
    """What a client insists on, and which tasks it forbids."""

    text = forms.CharField(
        label=_("instruction"),
        max_length=300,
        help_text=_("as the crew reads it, such as: never cut, it screens a window"),
    )
    planting = forms.ModelChoiceField(
        label=_("holds for"),
        required=False,
        queryset=Planting.objects.none(),
        empty_label=_("the whole garden"),
    )
    forbids = forms.MultipleChoiceField(
        label=_("forbids"),
        required=False,
        choices=Task.choices,
        widget=forms.CheckboxSelectMultiple,
        help_text=_("none of these is planned; tick none if it is only to be read"),
    )
    given_by = forms.CharField(label=_("who said so"), required=False, max_length=120)
    given_on = forms.DateField(
        label=_("said on"), widget=forms.DateInput(attrs={"type": "date"})
    )

    def __init__(
        self, *args: Any, garden: Garden, today: dt.date, **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.today = today
        field = self.fields["planting"]
        field.queryset = (  # type: ignore[attr-defined]
            Planting.objects.filter(garden=garden)
            .exclude(state__in=[PlantingState.REMOVED, PlantingState.LOST])
            .select_related("plant")
            .order_by("number", "id")
        )
        field.label_from_instance = planting_words  # type: ignore[attr-defined]
        self.fields["given_on"].initial = today

    def clean_given_on(self) -> dt.date:
        """Not in the future: it holds from that day on."""
        day: dt.date = self.cleaned_data["given_on"]
        if day > self.today:
            raise ValidationError(_("This day is still to come."), code="future")
        return day


def planting_words(planting: Planting) -> str:
    """A planting by its number and what it is."""
    what = planting.plant.common if planting.plant else planting.what_it_looks_like
    return f"{planting.number}: {planting.count} × {what}"
