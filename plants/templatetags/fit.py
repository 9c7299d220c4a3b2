"""Words of fit and soil: what was noted, what mends it, doses and sizes."""

from decimal import Decimal
from typing import Any

from django import template
from django.utils.translation import gettext_lazy as _

from firm.units import Display, convert
from plants.soil import Size, size_words

register = template.Library()

NOTED_WORDS = {
    "light": _("light"),
    "latest_sun": _("the hour of its latest sun"),
    "ph": _("soil pH"),
    "texture": _("soil texture"),
    "moisture": _("moisture"),
    "heat_zone": _("the climate's heat zone"),
    "deer": _("whether deer come"),
    "place": _("the garden's state or region"),
}
MEANS_WORDS = {
    "treat the soil": _("treat the soil"),
    "irrigate": _("water it"),
    "guard it": _("guard it"),
    "find out": _("find out"),
    "cannot be mended": _("cannot be mended"),
}


def _display(firm: Any) -> Display:
    return Display(str(getattr(firm, "units", firm)))


@register.filter
def noted_words(name: str) -> str:
    """What is noted of a bed or garden."""
    return str(NOTED_WORDS[name])


@register.filter
def means_words(means: str) -> str:
    """What is done about a trouble of a plant in its place."""
    return str(MEANS_WORDS[str(means)])


@register.filter
def dose_weight(kilograms: Decimal, firm: Any) -> str:
    """The weight of a dose, which is often less than a pound."""
    display = _display(firm)
    value = convert(kilograms, unit="kg", to=display.weight_unit)
    return display.measure(value, display.weight_unit, places=2, trim=True)


@register.simple_tag
def size_told(size: Size, firm: Any) -> str:
    """How a plant is sold, in the firm's units."""
    return size_words(size, _display(firm)).capitalize()
