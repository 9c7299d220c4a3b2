"""Forms for plantings and what is seen of them."""

import datetime as dt
from typing import Any

from django import forms
from django.db.models import Q
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.forms.files import PhotoField
from plants.actions.plantings import OLDEST_YEARS, PlantingDetails
from plants.enums import AgeKnown, BloomStage, PlantingState
from plants.forms.fields import SizeField
from plants.models import Bed, Garden, Plant, Planting

MOST_PLANTS = 1_000_000
ASK_FROM_PLANTS = 5_000


class PlantingForm(forms.Form):
    """Plants that stand in a garden: what, how many, where, how old."""

    # Needed or not by what is chosen elsewhere, so that "if any" would mislead.
    HANGS_ON_ANOTHER = ("what_it_looks_like", "age_years")

    plant = forms.ModelChoiceField(
        label=_("plant"),
        required=False,
        queryset=Plant.objects.none(),
        empty_label=_("unidentified"),
    )
    what_it_looks_like = forms.CharField(
        label=_("what it looks like"),
        required=False,
        max_length=200,
        help_text=_("needed while it is unidentified: size, leaves, flowers"),
    )
    count = forms.IntegerField(
        label=_("how many"), min_value=1, max_value=MOST_PLANTS, initial=1
    )
    count_is_right = forms.BooleanField(
        label=_("so many are meant"), required=False, widget=forms.HiddenInput
    )
    bed = forms.ModelChoiceField(
        label=_("bed"),
        required=False,
        queryset=Bed.objects.none(),
        empty_label=_("not in a bed"),
    )
    place = forms.CharField(
        label=_("where"),
        required=False,
        max_length=200,
        help_text=_("as a crew finds it, such as left of the kitchen door"),
    )
    number = forms.IntegerField(
        label=_("number on the sketch"),
        required=False,
        min_value=1,
        max_value=9999,
        help_text=_("left empty, the next free one is given"),
    )
    age_known = forms.ChoiceField(
        label=_("age"), choices=AgeKnown.choices, initial=AgeKnown.UNKNOWN
    )
    age_years = forms.IntegerField(
        label=_("years old"),
        required=False,
        help_text=_("left empty if the age is unknown"),
        min_value=0,
        max_value=OLDEST_YEARS,
        widget=forms.NumberInput(attrs={"data-unit": _("years")}),
    )
    size_text = SizeField(
        label=_("came as"),
        help_text=_(
            "such as #3, 2.4 gal, 2 in balled or bare root; its water hangs on it"
        ),
    )
    photo = PhotoField(required=False)
    notes = forms.CharField(
        label=_("notes"), required=False, widget=forms.Textarea(attrs={"rows": 3})
    )

    def __init__(
        self,
        *args: Any,
        garden: Garden,
        planting: Planting | None = None,
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        chosen = planting.plant_id if planting else None
        plants: Any = self.fields["plant"]
        plants.queryset = Plant.objects.filter(
            Q(retired_at=None) | Q(pk=chosen or 0)
        ).order_by("common", "id")
        beds: Any = self.fields["bed"]
        beds.queryset = garden.beds.order_by("name", "id")
        if planting is not None:
            self.fields["number"].required = True
            self.fields["number"].help_text = ""

    def clean(self) -> dict[str, Any]:
        """What belongs together, told beside the field that lacks it."""
        data = super().clean() or {}
        if "plant" in data and not data["plant"] and not data.get("what_it_looks_like"):
            self.add_error(
                "what_it_looks_like",
                _now("Say what an unidentified plant looks like, so that it is found."),
            )
        unknown = data.get("age_known") == AgeKnown.UNKNOWN
        if "age_years" in data and (data["age_years"] is None) != unknown:
            self.add_error(
                "age_years",
                _now("The age is unknown, yet years are given.")
                if unknown
                else _now("How many years old?"),
            )
        count = data.get("count")
        if count and count >= ASK_FROM_PLANTS:
            # Unusual, so it is asked about; the box shows only now.
            self.fields["count_is_right"].widget = forms.CheckboxInput()
            if not data.get("count_is_right"):
                self.add_error(
                    "count",
                    _now("%(count)s plants? Tick the box below if so many are meant.")
                    % {"count": f"{count:,}"},
                )
        return data

    def details(self) -> PlantingDetails:
        """What was typed, for the action."""
        names = (
            "plant",
            "what_it_looks_like",
            "count",
            "bed",
            "place",
            "size_text",
            "number",
            "age_known",
            "age_years",
            "notes",
        )
        return PlantingDetails(**{name: self.cleaned_data[name] for name in names})


def planting_values(planting: Planting) -> dict[str, Any]:
    """What the form starts with."""
    names = (
        "what_it_looks_like",
        "count",
        "place",
        "size_text",
        "number",
        "age_known",
        "age_years",
        "notes",
    )
    return {
        **{name: getattr(planting, name) for name in names},
        "plant": planting.plant_id,
        "bed": planting.bed_id,
    }


class StateForm(forms.Form):
    """How a planting fares."""

    state = forms.ChoiceField(label=_("it is"), choices=PlantingState.choices)


class BloomForm(forms.Form):
    """What was seen on a planting and when."""

    stage = forms.ChoiceField(label=_("seen"), choices=BloomStage.choices)
    day = forms.DateField(label=_("on"), widget=forms.DateInput(attrs={"type": "date"}))

    def __init__(self, *args: Any, today: dt.date, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["day"].initial = today
