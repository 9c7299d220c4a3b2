"""What the quantities of a quote are reckoned with, until something else is typed."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import Max

from firm.models import Crew
from firm.queries import firm_or_blank
from firm.units import Display, convert, parse_length, plain
from jobs.models import Quote, TakeoffSetting
from jobs.takeoff.digging import (
    BULKING_PERCENT,
    EDGING_WASTE_PERCENT,
    MULCH_SETTLING_PERCENT,
    SPARE_PERCENT,
)

# Holes are twice as wide as the ball: University of Nebraska-Lincoln Extension (page
# read); University of Florida IFAS says at least 1.5 times (page read).
HOLE_TIMES = Decimal(2)


@dataclass(frozen=True, kw_only=True)
class Settings:
    """The settings as figures."""

    mulch_m: Decimal
    hole_times: Decimal
    percents: dict[str, Decimal]
    ticks: dict[str, bool]
    analysis: str
    nitrogen: Decimal | None
    payload_kg: Decimal | None


PERCENTS: dict[str, Decimal] = {
    "native_percent": Decimal(60),
    "compost_percent": Decimal(25),
    "sand_percent": Decimal(15),
    "mulch_settling_percent": MULCH_SETTLING_PERCENT,
    "bulking_percent": BULKING_PERCENT,
    "spare_percent": SPARE_PERCENT,
    "edging_waste_percent": EDGING_WASTE_PERCENT,
}
TICKS: dict[str, bool] = {
    "has_mix": True,
    "has_mulch": True,
    "is_carted_away": True,
    "has_edging": False,
    "corrects_ph": True,
    "has_stakes": True,
    "has_bags": True,
    "is_slow": True,
}


def first_settings(display: Display) -> dict[str, Any]:
    """What the form begins with."""
    firm = firm_or_blank()
    heaviest = Crew.objects.aggregate(most=Max("payload_kg"))["most"]
    payload = ""
    if heaviest:
        payload = plain(
            convert(heaviest, unit="kg", to=display.weight_unit), places=0
        ).replace(",", "")
    return {
        "mulch": "3 in" if display.system == "us" else "7.5 cm",
        "hole_times": str(HOLE_TIMES),
        **{name: str(value) for name, value in PERCENTS.items()},
        "settling_percent": str(firm.settling_percent),
        **TICKS,
        "analysis": "",
        "nitrogen": "",
        "payload": payload,
    }


def typed_settings(quote: Quote, display: Display) -> dict[str, Any]:
    """The settings of the quote as its form shows them."""
    kept = TakeoffSetting.objects.filter(quote=quote).first()
    return {**first_settings(display), **(kept.typed if kept else {})}


def settings_of(quote: Quote, display: Display) -> Settings:
    """The settings of the quote as figures; the form let nothing else be kept."""
    typed = typed_settings(quote, display)
    payload = _decimal(typed["payload"])
    return Settings(
        mulch_m=parse_length(typed["mulch"], default_unit=display.depth_unit),
        hole_times=Decimal(typed["hole_times"]),
        percents={
            name: Decimal(typed[name]) for name in (*PERCENTS, "settling_percent")
        },
        ticks={name: bool(typed[name]) for name in TICKS},
        analysis=typed["analysis"],
        nitrogen=_decimal(typed["nitrogen"]),
        payload_kg=None
        if payload is None
        else convert(payload, unit=display.weight_unit, to="kg"),
    )


def _decimal(text: str) -> Decimal | None:
    return Decimal(text) if text else None
