"""The first run's questions, and the settings they become later."""

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
from firm.models import Firm, LabourRate, Person, TaxRate
from firm.money import CURRENCY_PLACES

MOST_CREWS = 20


def zones() -> list[tuple[str, str]]:
    """The time zones by place, the bare UTC first."""
    places = sorted(
        name
        for name in available_timezones()
        if "/" in name and not name.startswith(("Etc/", "SystemV/", "posix/", "right/"))
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
    time_zone = forms.ChoiceField(label=_("Time zone"), choices=zones)
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
            "hour_cost": _("wages with all charges, per person and hour"),
            "hour_price": _("what a client pays, per person and hour"),
        }

    def clean_hour_cost(self) -> Decimal:
        """The cost, refused below nought."""
        return _not_negative(self.cleaned_data["hour_cost"])

    def clean_hour_price(self) -> Decimal:
        """The price, refused below nought."""
        return _not_negative(self.cleaned_data["hour_price"])


def _not_negative(amount: Decimal) -> Decimal:
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


class KnownMailServerForm(MailServerForm):
    """The same once a password may be stored: an empty field leaves it as it is."""

    forget_password = forms.BooleanField(
        label=_("Forget the stored password"), required=False
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        stored = bool(self.instance.mail_password_sealed)
        self.fields["mail_password"].help_text = (
            _("A password is stored. Leave this empty to keep it.")
            if stored
            else _("No password is stored.")
        )
        if not stored:
            del self.fields["forget_password"]

    def new_password(self) -> str | None:
        """The password to store: "" forgets it, None leaves it."""
        typed: str = self.cleaned_data["mail_password"]
        if typed:
            return typed
        return "" if self.cleaned_data.get("forget_password") else None


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
        help_text=_("in per cent, like 6 or 8.25; leave both empty without a tax"),
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


class TaxRateForm(forms.ModelForm):
    """A rate of the sales tax from a day on."""

    class Meta:
        model = TaxRate
        fields = ("name", "percent", "valid_from")
        widgets = {"valid_from": forms.DateInput(attrs={"type": "date"})}
        help_texts = {"percent": _("in per cent, like 6 or 8.25")}

    def answers(self) -> TaxAnswers:
        """What was typed, for the action."""
        return TaxAnswers(**self.cleaned_data)


class LabourRateForm(forms.ModelForm):
    """What an hour of one kind of work costs and sells at."""

    class Meta:
        model = LabourRate
        fields = ("name", "hour_cost", "hour_price")

    def clean_hour_cost(self) -> Decimal:
        """The cost, refused below nought."""
        return _not_negative(self.cleaned_data["hour_cost"])

    def clean_hour_price(self) -> Decimal:
        """The price, refused below nought."""
        return _not_negative(self.cleaned_data["hour_price"])


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


class FirmForm(forms.ModelForm):
    """Everything of the firm but its mail server."""

    currency = forms.ChoiceField(label=_("Currency"), choices=currencies)
    time_zone = forms.ChoiceField(label=_("Time zone"), choices=zones)
    language = forms.ChoiceField(label=_("Language"), choices=settings.LANGUAGES)

    SECTIONS = (
        (_("Letterhead"), LetterheadForm.Meta.fields),
        (_("Units, currency and time"), MeasuresForm.Meta.fields),
        (
            _("Prices"),
            (
                "hour_cost",
                "hour_price",
                "margin_percent",
                "tax_rounding",
                "tax_on_labour",
                "quote_valid_days",
                "payment_days",
            ),
        ),
        (_("Take-off"), ("count_rounding", "settling_percent")),
        (
            _("The yard, rounds and emergencies"),
            (
                "latitude",
                "longitude",
                "round_sent_at",
                "emergency_number",
                "poison_line_people",
                "poison_line_animals",
            ),
        ),
    )

    class Meta:
        model = Firm
        fields = (
            *LetterheadForm.Meta.fields,
            *MeasuresForm.Meta.fields,
            "hour_cost",
            "hour_price",
            "margin_percent",
            "tax_rounding",
            "tax_on_labour",
            "quote_valid_days",
            "payment_days",
            "count_rounding",
            "settling_percent",
            "latitude",
            "longitude",
            "round_sent_at",
            "emergency_number",
            "poison_line_people",
            "poison_line_animals",
        )
        labels = {
            "tax_rounding": _("Tax is rounded"),
            "count_rounding": _("A computed number of plants is rounded"),
        }
        help_texts = {
            "hour_cost": _("wages with all charges, per person and hour"),
            "hour_price": _("what a client pays, per person and hour"),
            "margin_percent": _("in per cent of the price"),
            "settling_percent": _("in per cent of the volume"),
            "latitude": _("degrees; south of the equator with a minus"),
            "longitude": _("degrees; west of Greenwich with a minus"),
        }
        widgets = {
            **LetterheadForm.Meta.widgets,
            "round_sent_at": forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        }

    def clean_margin_percent(self) -> Decimal:
        """The margin, refused unless a price can carry it."""
        margin: Decimal = self.cleaned_data["margin_percent"]
        if not 0 <= margin < 100:
            raise ValidationError(
                _now("A margin is 0 or more and less than 100 per cent."), code="margin"
            )
        return margin

    def clean_hour_cost(self) -> Decimal:
        """The cost, refused below nought."""
        return _not_negative(self.cleaned_data["hour_cost"])

    def clean_hour_price(self) -> Decimal:
        """The price, refused below nought."""
        return _not_negative(self.cleaned_data["hour_price"])

    def clean_settling_percent(self) -> Decimal:
        """The settling, refused outside 0 to 60 per cent."""
        settling: Decimal = self.cleaned_data["settling_percent"]
        if not 0 <= settling <= 60:
            raise ValidationError(
                _now("Settling lies between 0 and 60 per cent."), code="settling"
            )
        return settling

    def clean(self) -> dict[str, Any]:
        """Refuse half a position or one that is not on the globe."""
        cleaned = super().clean() or {}
        for name, bound in (("latitude", 90), ("longitude", 180)):
            value = cleaned.get(name)
            if value is not None and abs(value) > bound:
                self.add_error(
                    name, _now("This lies between -%d and %d degrees.") % (bound, bound)
                )
        if (cleaned.get("latitude") is None) != (cleaned.get("longitude") is None):
            if not {"latitude", "longitude"} & set(self.errors):
                self.add_error(
                    "longitude", _now("Latitude and longitude come together.")
                )
        return cleaned

    def sections(self) -> list[tuple[Any, list[forms.BoundField]]]:
        """The fields under the heads they stand below on the page."""
        return [(head, [self[name] for name in names]) for head, names in self.SECTIONS]


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
