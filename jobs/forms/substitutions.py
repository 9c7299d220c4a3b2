"""The form for another plant than was agreed."""

import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.money import CURRENCY_SIGNS
from jobs.actions.work import Consent, Instead
from jobs.enums import ConsentHow
from jobs.forms.books import EARLIEST, AmountField, day_input
from jobs.forms.quote_lines.plants import plant_meant
from jobs.forms.work import ASK_FROM_PLANTS, Versioned
from jobs.models import JobPlant
from plants.forms.fields import SizeField
from plants.models import Plant

SAME, ANEW = "same", "anew"


class SubstituteForm(Versioned):
    """What is planted instead, what it costs, and the client's yes to it."""

    key = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    plant = forms.CharField(
        label=_("plant"),
        max_length=330,
        help_text=_("Type part of a name and choose from the catalogue."),
        widget=forms.TextInput(attrs={"list": "plants", "autocomplete": "off"}),
    )
    size = SizeField(
        label=_("size as it is sold"),
        help_text=_("such as #3, 4 in pot, 2 in balled or bare root"),
    )
    count = forms.IntegerField(
        label=_("how many"), min_value=1, max_value=ASK_FROM_PLANTS
    )
    unit_cost = AmountField(label=_("cost of one"), minimum=Decimal(0))
    price = forms.ChoiceField(
        label=_("price to the client"),
        choices=[
            (SAME, _("stays as agreed")),
            (ANEW, _("priced anew in the way of the quote")),
        ],
        initial=SAME,
        widget=forms.RadioSelect,
    )
    reason = forms.CharField(
        label=_("why"),
        max_length=200,
        help_text=_("such as: not to be had before June"),
    )
    name = forms.CharField(
        label=_("who of the client said yes"),
        max_length=120,
        help_text=_("Nothing else is planted than was agreed without their yes."),
    )
    how = forms.ChoiceField(label=_("how"), choices=ConsentHow.choices)
    agreed_on = forms.DateField(label=_("on"), widget=day_input())
    note = forms.CharField(label=_("note"), max_length=300, required=False)

    def __init__(
        self, *args: Any, row: JobPlant, today: dt.date, currency: str, **options: Any
    ) -> None:
        self.today = today
        line = row.quote_line
        options["initial"] = {
            "version": row.job.version,
            "plant": str(row.plant),
            "size": row.size_now,
            "count": row.count,
            "unit_cost": line.unit_cost if line else None,
            "agreed_on": today,
            **options.get("initial", {}),
        }
        super().__init__(*args, **options)
        sign = CURRENCY_SIGNS.get(currency, currency)
        self.fields["unit_cost"].widget.attrs["data-unit"] = sign

    def clean_plant(self) -> Plant:
        """The one plant of the catalogue that the words mean."""
        return plant_meant(self.cleaned_data["plant"])

    def clean_agreed_on(self) -> dt.date:
        """The day of the yes, refused in the future or long ago."""
        day: dt.date = self.cleaned_data["agreed_on"]
        if not EARLIEST <= day <= self.today:
            raise forms.ValidationError(
                _now("The client cannot have said yes on that day.")
            )
        return day

    def instead(self) -> Instead:
        """What is planted instead."""
        found = self.cleaned_data
        return Instead(
            plant=found["plant"],
            size_text=found["size"],
            count=found["count"],
            unit_cost=found["unit_cost"],
            supplier_item=None,
            reason=found["reason"],
            keeps_price=found["price"] == SAME,
        )

    def consent(self) -> Consent:
        """The client's yes."""
        found = self.cleaned_data
        return Consent(
            how=ConsentHow(found["how"]),
            name=found["name"],
            agreed_on=found["agreed_on"],
            note=found["note"],
        )
