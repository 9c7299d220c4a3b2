"""The form of an hour's heat: nothing of it is stored."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from firm.units import Display, fahrenheit
from plants.climate.work_heat import (
    FIRST_TRIGGER_F,
    HIGH_TRIGGER_F,
    Hour,
    Load,
    Sky,
    adjusted_f,
    danger,
    heat_index_f,
    water_quarts,
    work_and_rest,
)

SKIES = [
    (str(Sky.SUN), _("full sun")),
    (str(Sky.CLOUD), _("partly cloudy")),
    (str(Sky.SHADE), _("shade or no shadows")),
]
DANGERS = {
    "": _("no warning"),
    "caution": _("caution"),
    "extreme caution": _("extreme caution"),
    "danger": _("danger"),
    "extreme danger": _("extreme danger"),
}
LOADS = {
    Load.LIGHT: _("light: looking, driving, light hand work"),
    Load.MODERATE: _("moderate: weeding, pruning, planting small pots"),
    Load.HEAVY: _("heavy: digging, carrying, large balls"),
}
# The coolest and hottest a form takes, in Fahrenheit.
COOLEST_F, HOTTEST_F = Decimal(40), Decimal(130)
# Of the two published scales the one that warns earlier.
SCALE = "103/125"


@dataclass(frozen=True, kw_only=True)
class HeatAnswer:
    """What an hour's heat is like, and what it asks for.

    SCALE_C holds where the scale's danger and extreme danger begin.
    """

    index_c: Decimal
    danger: Any
    scale_c: tuple[Decimal, Decimal]
    is_danger: bool
    hours: tuple[tuple[Any, Hour], ...]
    quarts: float
    is_watched: bool
    is_high: bool


class HeatForm(forms.Form):
    """The air as it is measured where the work is."""

    use_required_attribute = False

    temperature = forms.DecimalField(
        label=_("temperature in the shade"), max_digits=4, decimal_places=1
    )
    humidity = forms.DecimalField(
        label=_("humidity"),
        min_value=0,
        max_value=100,
        max_digits=4,
        decimal_places=1,
        widget=forms.NumberInput(attrs={"step": "any", "data-unit": "%"}),
    )
    sky = forms.ChoiceField(label=_("where the work is"), choices=SKIES)
    people = forms.IntegerField(
        label=_("people"), min_value=1, max_value=500, required=False
    )

    def __init__(self, asked: Mapping[str, Any], *, display: Display) -> None:
        super().__init__(asked if "temperature" in asked else None)
        self.display = display
        field = self.fields["temperature"]
        field.widget.attrs["data-unit"] = display.temperature_unit
        self.initial = {"sky": str(Sky.SUN), "people": 3}

    def clean_temperature(self) -> Decimal:
        """The temperature in Fahrenheit, refused where nobody works."""
        typed: Decimal = self.cleaned_data["temperature"]
        found = typed if self.display.system == "us" else fahrenheit(typed)
        if not COOLEST_F <= found <= HOTTEST_F:
            raise forms.ValidationError(
                _("Type a temperature between 40 and 130 °F (4 and 54 °C).")
            )
        return found

    def answer(self) -> HeatAnswer | None:
        """What was asked; None where something is missing."""
        if not self.is_bound or not self.is_valid():
            return None
        air = float(self.cleaned_data["temperature"])
        damp = float(self.cleaned_data["humidity"])
        index = heat_index_f(air, damp)
        adjusted = adjusted_f(air, damp, Sky(self.cleaned_data["sky"]))
        word = danger(index, scale=SCALE)
        return HeatAnswer(
            index_c=_celsius(Decimal(f"{index:.2f}")),
            danger=DANGERS[word],
            scale_c=_scale_c(),
            is_danger=word in {"danger", "extreme danger"},
            hours=tuple(
                (words, work_and_rest(adjusted, load)) for load, words in LOADS.items()
            ),
            quarts=water_quarts(self.cleaned_data["people"] or 1, 1),
            is_watched=index >= FIRST_TRIGGER_F,
            is_high=index >= HIGH_TRIGGER_F,
        )


def _celsius(warmth_f: Decimal) -> Decimal:
    return (warmth_f - 32) * 5 / 9


def _scale_c() -> tuple[Decimal, Decimal]:
    first, last = SCALE.split("/")
    return _celsius(Decimal(first)), _celsius(Decimal(last))
