"""Forms of the firm's settings, once it is set up."""

from decimal import Decimal
from typing import Any

from django import forms
from django.conf import settings
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.actions.setup import TaxAnswers
from firm.enums import TaxCategory
from firm.forms.setup import (
    HourForm,
    LetterheadForm,
    MailServerForm,
    MeasuresForm,
    currencies,
    not_negative,
    with_unit,
    zones,
)
from firm.models import Firm, LabourRate, TaxRate, TaxRegion


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


class TaxRateForm(forms.ModelForm):
    """A rate of the sales tax from a day on."""

    class Meta:
        model = TaxRate
        fields = (
            "region",
            "category",
            "name",
            "percent",
            "valid_from",
            "valid_until",
        )
        widgets = {
            "percent": with_unit("%"),
            "valid_from": forms.DateInput(attrs={"type": "date"}),
            "valid_until": forms.DateInput(attrs={"type": "date"}),
        }
        help_texts = {
            "percent": _("like 6 or 8.25"),
            "valid_until": _("empty: until a later rate takes its place"),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        region = self.fields["region"]
        region.label = _("place")
        region.empty_label = _("the firm's own place")  # type: ignore[attr-defined]
        self.fields["category"].required = False

    def clean_category(self) -> str:
        """What it holds for; what is taxed, where nothing was chosen."""
        return self.cleaned_data["category"] or TaxCategory.STANDARD

    def _get_validation_exclusions(self) -> set[str]:
        """Leave a day that is taken to the action, which says so beside the day."""
        left = super()._get_validation_exclusions()  # type: ignore[misc]
        return {*left, "valid_from"}

    def clean(self) -> dict[str, Any]:
        """Refuse a last day before the first."""
        found = super().clean() or {}
        first, last = found.get("valid_from"), found.get("valid_until")
        if first and last and last < first:
            self.add_error(
                "valid_until", _now("The last day lies before the first one.")
            )
        return found

    def answers(self) -> TaxAnswers:
        """What was typed, for the action."""
        return TaxAnswers(**self.cleaned_data)


class RateEndForm(forms.ModelForm):
    """The last day of a rate that is kept already."""

    class Meta:
        model = TaxRate
        fields = ("valid_until",)
        widgets = {"valid_until": forms.DateInput(attrs={"type": "date"})}
        help_texts = {"valid_until": _("empty: until a later rate takes its place")}

    def clean_valid_until(self) -> Any:
        """The last day, refused before the first."""
        last = self.cleaned_data["valid_until"]
        if last and last < self.instance.valid_from:
            raise ValidationError(
                _now("The last day lies before the first one."), code="order"
            )
        return last


class TaxRegionForm(forms.ModelForm):
    """A place whose tax, deposit cap, notices and digging rules differ."""

    class Meta:
        model = TaxRegion
        fields = (
            "name",
            "plants_tax",
            "materials_tax",
            "labour_tax",
            "delivery_tax",
            "deposit_cap_percent",
            "deposit_cap_amount",
            "quote_words",
            "cancellation_days",
            "cancellation_words",
            "locate_days",
            "locate_call",
        )
        widgets = {
            "deposit_cap_percent": with_unit("%"),
            "quote_words": forms.Textarea(attrs={"rows": 3}),
            "cancellation_words": forms.Textarea(attrs={"rows": 4}),
            "cancellation_days": with_unit(_("days")),
            "locate_days": with_unit(_("days")),
        }
        help_texts = {
            "deposit_cap_percent": _(
                "empty: no cap that you know of; the lower of the two holds"
            ),
            "quote_words": _("as the law of the place has it; ask there"),
        }

    def clean_deposit_cap_amount(self) -> Any:
        """The cap, refused below nought."""
        amount = self.cleaned_data["deposit_cap_amount"]
        return None if amount is None else not_negative(amount)


class LabourRateForm(forms.ModelForm):
    """What an hour of one kind of work costs and sells at."""

    class Meta:
        model = LabourRate
        fields = ("name", "hour_cost", "hour_price")
        widgets = HourForm.Meta.widgets

    def clean_hour_cost(self) -> Decimal:
        """The cost, refused below nought."""
        return not_negative(self.cleaned_data["hour_cost"])

    def clean_hour_price(self) -> Decimal:
        """The price, refused below nought."""
        return not_negative(self.cleaned_data["hour_price"])


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
                "price_age_days",
                "quote_valid_days",
                "payment_days",
            ),
        ),
        (_("Take-off"), ("count_rounding", "settling_percent")),
        (
            _("Words for light"),
            ("full_sun_h", "part_sun_h", "afternoon_sun_h"),
        ),
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
            "price_age_days",
            "quote_valid_days",
            "payment_days",
            "count_rounding",
            "settling_percent",
            "full_sun_h",
            "part_sun_h",
            "afternoon_sun_h",
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
            **HourForm.Meta.help_texts,
            "margin_percent": _("of the price"),
            "price_age_days": _(
                "an older one is looked at before a quote goes out; 60 is common "
                "practice, no source"
            ),
            "settling_percent": _("of the volume"),
            "full_sun_h": _(
                "of direct sun a day in the growing season; 6 is the common reading"
            ),
            "part_sun_h": _(
                "4 is the common reading, Oregon State University extension has 3"
            ),
            "afternoon_sun_h": _("2 is common practice, no source"),
            "latitude": _("south of the equator with a minus"),
            "longitude": _("west of Greenwich with a minus"),
        }
        widgets = {
            **LetterheadForm.Meta.widgets,
            **HourForm.Meta.widgets,
            "margin_percent": with_unit("%"),
            "settling_percent": with_unit("%"),
            "full_sun_h": with_unit(_("hours")),
            "part_sun_h": with_unit(_("hours")),
            "afternoon_sun_h": with_unit(_("hours")),
            "price_age_days": with_unit(_("days")),
            "quote_valid_days": with_unit(_("days")),
            "payment_days": with_unit(_("days")),
            "latitude": with_unit("°"),
            "longitude": with_unit("°"),
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
        return not_negative(self.cleaned_data["hour_cost"])

    def clean_hour_price(self) -> Decimal:
        """The price, refused below nought."""
        return not_negative(self.cleaned_data["hour_price"])

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
        full, part = cleaned.get("full_sun_h"), cleaned.get("part_sun_h")
        if full is not None and part is not None and not 0 < part < full <= 24:
            self.add_error(
                "part_sun_h",
                _now("Part sun begins over 0 hours and under the hours of full sun."),
            )
        after = cleaned.get("afternoon_sun_h")
        if after is not None and not 0 <= after <= 12:
            self.add_error("afternoon_sun_h", _now("An afternoon has 0 to 12 hours."))
        if (cleaned.get("latitude") is None) != (cleaned.get("longitude") is None):
            if not {"latitude", "longitude"} & set(self.errors):
                self.add_error(
                    "longitude", _now("Latitude and longitude come together.")
                )
        return cleaned

    def sections(self) -> list[tuple[Any, list[forms.BoundField]]]:
        """The fields under the heads they stand below on the page."""
        return [(head, [self[name] for name in names]) for head, names in self.SECTIONS]
