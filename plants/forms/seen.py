"""Forms for what was seen in flower and the degree days taken from it."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from plants.models import Station


class SeenFilterForm(forms.Form):
    """A climate and a year."""

    # Nothing of it must be filled in, so no field says that it may be left empty.
    use_required_attribute = False

    station = forms.ModelChoiceField(
        label=_("climate"),
        required=False,
        queryset=Station.objects.order_by("name", "id"),
        empty_label=_("any"),
    )
    year = forms.TypedChoiceField(
        label=_("year"), required=False, coerce=int, empty_value=None
    )

    def __init__(self, *args: Any, years: list[int], **options: Any) -> None:
        super().__init__(*args, **options)
        choices: Any = self.fields["year"]
        choices.choices = [("", _("any")), *((str(year), str(year)) for year in years)]

    def asked(self) -> dict[str, Any]:
        """What was asked for; what is not there finds everything."""
        if not self.is_valid():
            return {"station_id": None, "year": None}
        station = self.cleaned_data["station"]
        return {
            "station_id": station.pk if station else None,
            "year": self.cleaned_data["year"],
        }


def _total(label: Any, **options: Any) -> forms.DecimalField:
    return forms.DecimalField(
        label=label,
        min_value=Decimal(0),
        max_value=Decimal(6000),
        max_digits=6,
        decimal_places=1,
        widget=forms.NumberInput(attrs={"step": "any", "data-unit": _("°F days")}),
        **options,
    )


class DegreeDaysForm(forms.Form):
    """Degree days at first flowers and when bloom is over."""

    first = _total(_("first flowers at"))
    last = _total(
        _("bloom over at"),
        required=False,
        help_text=_("left empty, bloom lasts as long as the months say"),
    )
