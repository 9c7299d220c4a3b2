"""The first run's questions."""

import datetime as dt
from decimal import Decimal
from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.conf import settings
from django.contrib.auth.password_validation import password_validators_help_text_html
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.actions.setup import OwnerAnswers, TaxAnswers
from firm.forms.accounts import check_password_is_good, password_field
from firm.models import Firm, Person
from firm.money import CURRENCY_PLACES

MOST_CREWS = 20
# Older second names of zones that are listed under their towns.
OLD_NAMES = (
    *("Brazil/", "Canada/", "Chile/", "Etc/", "Mexico/", "SystemV/", "US/"),
    *("posix/", "right/"),
)


def with_unit(unit: Any) -> forms.NumberInput:
    """A field for a number whose UNIT stands beside it."""
    return forms.NumberInput(attrs={"data-unit": unit})


def zones() -> list[tuple[str, str]]:
    """The time zones by place, the bare UTC first."""
    places = sorted(
        name
        for name in available_timezones()
        if "/" in name and not name.startswith(OLD_NAMES)
    )
    return [(name, name.replace("_", " ")) for name in ["UTC", *places]]


def currencies() -> list[tuple[str, str]]:
    """The currencies that amounts can be reckoned in."""
    return [(code, code) for code in sorted(CURRENCY_PLACES)]


class OwnerForm(forms.Form):
    """The owner's account."""

    name = forms.CharField(
        label=_("Your name"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    email = forms.EmailField(
        label=_("Mail address"),
        max_length=254,
        help_text=_("You log in with it."),
        widget=forms.EmailInput(attrs={"autocomplete": "username"}),
    )
    password = password_field(
        label=_("Password"),
        autocomplete="new-password",
        help_text=password_validators_help_text_html,
    )
    password_again = password_field(
        label=_("Password again"), autocomplete="new-password"
    )

    def clean(self) -> dict[str, Any]:
        """Check the password against name and address, and its second typing."""
        cleaned = super().clean() or {}
        password, again = cleaned.get("password"), cleaned.get("password_again")
        if password is not None:
            person = Person(name=cleaned.get("name", ""), email=cleaned.get("email"))
            try:
                check_password_is_good(password, person=person, firm_name="")
            except ValidationError as refusal:
                self.add_error("password", refusal)
        if password is not None and again is not None and password != again:
            self.add_error("password_again", _now("The two passwords differ."))
        return cleaned


class LetterheadForm(forms.ModelForm):
    """What stands at the head of the firm's papers."""

    class Meta:
        model = Firm
        fields = (
            "name",
            "address",
            "phone",
            "email",
            "website",
            "licence_number",
            "letterhead_note",
        )
        widgets = {
            "address": forms.Textarea(attrs={"rows": 3}),
            "letterhead_note": forms.Textarea(attrs={"rows": 2}),
        }


class MeasuresForm(forms.ModelForm):
    """Units, currency, time zone and language."""

    currency = forms.ChoiceField(label=_("Currency"), choices=currencies)
    time_zone = forms.ChoiceField(
        label=_("Time zone"),
        choices=zones,
        help_text=_("by its largest town; the hours of rounds and letters follow it"),
        # notebook.js chooses that of the device where none was chosen yet.
        widget=forms.Select(attrs={"data-device-zone": "UTC"}),
    )
    language = forms.ChoiceField(label=_("Language"), choices=settings.LANGUAGES)

    class Meta:
        model = Firm
        fields = ("units", "currency", "time_zone", "language")


class HourForm(forms.ModelForm):
    """What an hour of work costs and sells at."""

    class Meta:
        model = Firm
        fields = ("hour_cost", "hour_price")
        help_texts = {
            "hour_cost": _("wages with all charges, for one person"),
            "hour_price": _("what a client pays for one person"),
        }
        widgets = {
            "hour_cost": with_unit(_("per hour")),
            "hour_price": with_unit(_("per hour")),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Start empty in a new firm: an hour at nought would be quoted at nought."""
        super().__init__(*args, **kwargs)
        if self.instance._state.adding:
            self.initial = {}
            for name in self.fields:
                self.fields[name].initial = None

    def clean_hour_cost(self) -> Decimal:
        """The cost, refused below nought."""
        return not_negative(self.cleaned_data["hour_cost"])

    def clean_hour_price(self) -> Decimal:
        """The price, refused below nought."""
        return not_negative(self.cleaned_data["hour_price"])


def not_negative(amount: Decimal) -> Decimal:
    """The amount, refused below nought."""
    if amount < 0:
        raise ValidationError(_now("This cannot be less than nought."), code="negative")
    return amount


class MailServerForm(forms.ModelForm):
    """By which server letters leave; the password goes in and never comes out."""

    mail_password = forms.CharField(
        label=_("Password"),
        required=False,
        strip=False,
        max_length=256,
        widget=forms.PasswordInput(attrs={"autocomplete": "off"}),
    )

    field_order = (
        "mail_host",
        "mail_port",
        "mail_security",
        "mail_user",
        "mail_password",
        "forget_password",
        "mail_from",
    )

    class Meta:
        model = Firm
        fields = ("mail_host", "mail_port", "mail_security", "mail_user", "mail_from")

    def clean_mail_host(self) -> str:
        """The server's name, refused with blanks or slashes in it."""
        host: str = self.cleaned_data["mail_host"].strip()
        if any(sign in host for sign in " /\\@\t\r\n"):
            raise ValidationError(
                _now("Write the server's name only, like mail.example.org."),
                code="host",
            )
        return host

    def clean_mail_port(self) -> int:
        """The port, refused outside 1 to 65535."""
        port: int = self.cleaned_data["mail_port"]
        if not 1 <= port <= 65535:
            raise ValidationError(_now("A port lies between 1 and 65535."), code="port")
        return port


class FirstTaxForm(forms.Form):
    """The sales tax of a new firm; both empty: none."""

    name = forms.CharField(label=_("Name of the tax"), max_length=60, required=False)
    percent = forms.DecimalField(
        label=_("Rate"),
        max_digits=6,
        decimal_places=3,
        min_value=0,
        max_value=100,
        required=False,
        help_text=_("like 6 or 8.25; leave both empty without a tax"),
        widget=with_unit("%"),
    )

    def clean(self) -> dict[str, Any]:
        """Refuse one without the other."""
        cleaned = super().clean() or {}
        name, percent = cleaned.get("name"), cleaned.get("percent")
        if name and percent is None and "percent" not in self.errors:
            self.add_error("percent", _now("How much is it?"))
        if percent is not None and not name and "name" not in self.errors:
            self.add_error("name", _now("What is it called?"))
        return cleaned


class CrewNamesForm(forms.Form):
    """The first crews, a name on each line."""

    names = forms.CharField(
        label=_("Crews"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("One name on each line. Who is in them is said later."),
    )

    def clean_names(self) -> list[str]:
        """The names, each once."""
        lines = [line.strip() for line in self.cleaned_data["names"].splitlines()]
        names = list(dict.fromkeys(line for line in lines if line))
        if len(names) > MOST_CREWS:
            raise ValidationError(_now("That is more crews than can be kept."))
        if any(len(name) > 60 for name in names):
            raise ValidationError(_now("A name has at most 60 letters."))
        return names


class FirstRun:
    """The first run's forms together; prefixes keep their fields apart."""

    def __init__(self, data: Any = None) -> None:
        self.owner = OwnerForm(data, prefix="owner")
        self.letterhead = LetterheadForm(data, prefix="firm", instance=Firm(pk=1))
        self.measures = MeasuresForm(data, prefix="measures", instance=Firm(pk=1))
        self.hour = HourForm(data, prefix="hour", instance=Firm(pk=1))
        self.tax = FirstTaxForm(data, prefix="tax")
        self.crews = CrewNamesForm(data, prefix="crews")
        self.mail = MailServerForm(data, prefix="mail", instance=Firm(pk=1))

    def parts(self) -> list[tuple[Any, forms.BaseForm]]:
        """Each form under its head, in the order of the page."""
        return [
            (_("You, the owner"), self.owner),
            (_("Letterhead"), self.letterhead),
            (_("Units, currency and time"), self.measures),
            (_("An hour of work"), self.hour),
            (_("Sales tax"), self.tax),
            (_("Crews"), self.crews),
            (_("Mail server"), self.mail),
        ]

    def is_valid(self) -> bool:
        """True if every part is; all are looked at, so that all errors show at once."""
        good = [form.is_valid() for _head, form in self.parts()]
        return all(good) and self._password_is_not_the_firms()

    def _password_is_not_the_firms(self) -> bool:
        try:
            check_password_is_good(
                self.owner.cleaned_data["password"],
                person=None,
                firm_name=self.letterhead.cleaned_data["name"],
            )
        except ValidationError as refusal:
            self.owner.add_error("password", refusal)
            return False
        return True

    def answers(self, *, today: dt.date) -> dict[str, Any]:
        """What was typed, for the action; the tax holds from TODAY's year on."""
        owner, tax = self.owner.cleaned_data, self.tax.cleaned_data
        return {
            "owner": OwnerAnswers(
                name=owner["name"], email=owner["email"], password=owner["password"]
            ),
            "firm": {
                **self.letterhead.cleaned_data,
                **self.measures.cleaned_data,
                **self.hour.cleaned_data,
                **{
                    name: value
                    for name, value in self.mail.cleaned_data.items()
                    if name != "mail_password"
                },
            },
            "mail_password": self.mail.cleaned_data["mail_password"],
            "tax": TaxAnswers(
                name=tax["name"],
                percent=tax["percent"],
                valid_from=dt.date(today.year, 1, 1),
            )
            if tax["name"]
            else None,
            "crews": self.crews.cleaned_data["names"],
        }
