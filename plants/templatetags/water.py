"""The water of a planting in the firm's units, and its picture."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from django import template
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from firm.units import Display
from plants import drawings
from plants.queries.water import WeekShown
from plants.water import LITRES_OF_A_GALLON, WaterWeek

register = template.Library()

LITRES = float(LITRES_OF_A_GALLON)
RHYTHMS = {
    "day": "every day",
    "2-3 days": "every two or three days",
    "week": "once a week",
}


def _unit(firm: Any) -> tuple[str, float]:
    """The unit and how many litres it holds."""
    if Display(str(getattr(firm, "units", firm))).system == "us":
        return "gal", LITRES
    return "L", 1.0


@register.filter
def water_amount_of(litres: Any, firm: Any) -> str:
    """Litres in the firm's unit: 0.4 gal, 12 L; under a tenth, less than so much."""
    unit, holds = _unit(firm)
    amount = float(litres) / holds
    if not amount:
        return gettext("none")
    places = 0 if amount >= 10 else 1
    least = 0.1
    if amount < least:
        return gettext("less than %(least)s %(unit)s") % {"least": least, "unit": unit}
    shown = Display(str(getattr(firm, "units", firm)))
    exact = Decimal(f"{amount:.4f}")
    return f"{shown.figure(exact, places=places)} {unit}"


@register.filter
def rhythm_words(week: WaterWeek) -> str:
    """The published rhythm of a week in words; nothing where none is printed."""
    return gettext(RHYTHMS[week.every]) if week.every else ""


@register.simple_tag
def water_picture(
    weeks: Sequence[WeekShown], firm: Any, today: date, prefix: str = "water"
) -> SafeString:
    """The weeks as bars in the firm's unit."""
    unit, holds = _unit(firm)
    return SafeString(
        drawings.water_weeks(
            [
                drawings.WaterBar(
                    first=each.week.first,
                    amount=each.litres / holds,
                    is_recorded=each.is_recorded,
                )
                for each in weeks
            ],
            unit=unit,
            today=today,
            prefix=prefix,
            gettext=gettext,
        )
    )
