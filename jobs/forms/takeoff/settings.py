"""The forms for what a take-off is reckoned with and for a figure typed over it."""

from decimal import Decimal
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Layout, Row
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.units import Display
from jobs.forms.quote_lines.base import beside
from jobs.models import Quote
from jobs.queries.takeoff.settings import PERCENTS
from jobs.takeoff import DEEPEST_MULCH_M
from plants.forms.fields import LengthField, Versioned, show_units
from plants.soil import SoilError, read_analysis

PRACTICE = _("common practice, no source")


def share(label: Any, help_text: Any = "") -> forms.DecimalField:
    """A per cent."""
    return forms.DecimalField(
        label=label,
        min_value=0,
        max_value=100,
        max_digits=5,
        decimal_places=2,
        help_text=help_text,
    )


class SettingsForm(Versioned):
    """Depths, shares and allowances of a whole quote, and what is left out."""

    has_mulch = forms.BooleanField(label=_("mulch the beds"), required=False)
    mulch = LengthField(
        label=_("mulch, deep"), is_depth=True, maximum_m=DEEPEST_MULCH_M
    )
    mulch_settling_percent = share(_("mulch settles by"), PRACTICE)
    has_mix = forms.BooleanField(
        label=_("fill the beds that have a depth with a soil mix"), required=False
    )
    native_percent = share(_("native soil, kept"))
    compost_percent = share(_("compost"))
    sand_percent = share(_("sand"))
    settling_percent = share(_("the mix settles by"), PRACTICE)
    hole_times = forms.DecimalField(
        label=_("holes, as wide as the ball times"),
        min_value=Decimal("1.1"),
        max_value=5,
        max_digits=3,
        decimal_places=2,
        help_text=_(
            "Nebraska extension: 2; Florida extension: at least 1.5; never deeper than"
            " the ball"
        ),
    )
    bulking_percent = share(_("dug soil takes more room by"), PRACTICE)
    is_carted_away = forms.BooleanField(
        label=_("soil that is left over is carted away"), required=False
    )
    spare_percent = share(
        _("spare plugs"), _("for small plants; 5 to 10 %: common practice, no source")
    )
    has_edging = forms.BooleanField(label=_("edge the beds"), required=False)
    edging_waste_percent = share(_("edging cut off"), PRACTICE)
    corrects_ph = forms.BooleanField(
        label=_("bring the pH to what the plants want"), required=False
    )
    analysis = forms.CharField(
        label=_("fertiliser, its analysis"),
        max_length=20,
        required=False,
        help_text=_("such as 5-10-5; empty: nothing is fed at planting"),
    )
    nitrogen = forms.DecimalField(
        label=_("nitrogen"),
        required=False,
        min_value=Decimal("0.01"),
        max_value=100,
        max_digits=6,
        decimal_places=2,
    )
    is_slow = forms.BooleanField(label=_("slow-release"), required=False)
    has_stakes = forms.BooleanField(
        label=_("stake the trees"),
        required=False,
        help_text=_("only where a tree cannot stand alone; off after one season"),
    )
    has_bags = forms.BooleanField(label=_("watering bags for trees"), required=False)
    payload = forms.DecimalField(
        label=_("a load of the truck"),
        required=False,
        min_value=1,
        max_value=100_000,
        max_digits=8,
        decimal_places=1,
    )

    def __init__(
        self,
        *args: Any,
        quote: Quote,
        display: Display,
        typed: dict[str, Any],
        **kw: Any,
    ) -> None:
        kw["initial"] = {"version": quote.version, **typed}
        super().__init__(*args, **kw)
        self.display = display
        show_units(self, display)
        for name in (*PERCENTS, "settling_percent"):
            beside(self.fields[name], "%")
        beside(self.fields["payload"], display.weight_unit)
        rate = _now("lb per 1,000 sq ft") if display.system == "us" else _now("g a m²")
        beside(self.fields["nitrogen"], rate)

    @property
    def helper(self) -> FormHelper:
        """How the form is laid out; the page holds the form element."""
        helper = FormHelper()
        helper.form_tag = False
        helper.disable_csrf = True
        helper.layout = Layout(
            "version",
            "has_mix",
            Row("native_percent", "compost_percent", "sand_percent"),
            "settling_percent",
            "has_mulch",
            Row("mulch", "mulch_settling_percent"),
            Row("hole_times", "bulking_percent"),
            "is_carted_away",
            "spare_percent",
            "has_edging",
            "edging_waste_percent",
            "corrects_ph",
            Row("analysis", "nitrogen"),
            "is_slow",
            "has_stakes",
            "has_bags",
            "payload",
        )
        return helper

    def clean_analysis(self) -> str:
        """Three figures, as on a bag."""
        said: str = self.cleaned_data["analysis"].strip()
        if said:
            try:
                read_analysis(said)
            except SoilError as refused:
                raise ValidationError(str(refused)) from None
        return said

    def clean(self) -> dict[str, Any]:
        """The parts of the mix make 100 %, and a fertiliser has its rate."""
        data = super().clean() or {}
        parts = [data.get(f"{part}_percent") for part in ("native", "compost", "sand")]
        if None not in parts and sum(parts) != 100:  # type: ignore[arg-type]
            self.add_error(
                "native_percent",
                _now("The parts of the mix make %(sum)s %%, not 100 %%.")
                % {"sum": sum(parts)},  # type: ignore[arg-type]
            )
        if data.get("analysis") and not data.get("nitrogen"):
            self.add_error(
                "nitrogen", _now("Type how much nitrogen, or leave the analysis empty.")
            )
        return data

    def typed(self) -> dict[str, Any]:
        """What was typed, as it is kept."""
        return {
            name: self.cleaned_data[name]
            if isinstance(field, forms.BooleanField)
            else field.as_typed(self.cleaned_data[name])
            if isinstance(field, LengthField)
            else str(self.cleaned_data[name] or "0")
            if isinstance(field, forms.DecimalField) and field.required
            else str(self.cleaned_data[name] or "")
            for name, field in self.fields.items()
            if name != "version"
        }


class OverruleForm(Versioned):
    """Another quantity than the computed one, and why."""

    quantity = forms.DecimalField(
        label=_("quantity"),
        min_value=0,
        max_value=999_999,
        max_digits=9,
        decimal_places=3,
    )
    note = forms.CharField(
        label=_("why"),
        max_length=300,
        help_text=_("the computed figure stays beside it"),
    )

    def __init__(self, *args: Any, unit: str, **kw: Any) -> None:
        super().__init__(*args, **kw)
        beside(self.fields["quantity"], unit)

    @property
    def helper(self) -> FormHelper:
        """How the form is laid out; the page holds the form element."""
        helper = FormHelper()
        helper.form_tag = False
        helper.disable_csrf = True
        return helper
