"""The forms for what fills and covers a bed: soil mix and mulch."""

import uuid
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from jobs.actions.quotes import LineDetails
from jobs.enums import LineKind
from jobs.forms.quote_lines.base import (
    LineForm,
    bed_field,
    beside,
    cost_field,
    price_field,
)
from jobs.queries.quantities import SoilMix, mulch_for, soil_mix, volume_ordered
from jobs.takeoff import Figure, TakeoffError
from plants.forms.fields import LengthField

SHARE: dict[str, Any] = {
    "min_value": 0,
    "max_value": 100,
    "max_digits": 5,
    "decimal_places": 2,
}
PARTS = ("native", "compost", "sand")


class SoilForm(LineForm):
    """A soil mix that fills a bed; each bought part becomes a line."""

    kind = LineKind.SOIL
    rows = (
        ("bed", "depth"),
        ("native_percent", "compost_percent", "sand_percent", "settling_percent"),
        ("compost_cost", "compost_price"),
        ("sand_cost", "sand_price"),
    )

    bed = bed_field(required=True)
    depth = LengthField(label=_("depth"), is_depth=True, maximum_m=Decimal(3))
    native_percent = forms.DecimalField(label=_("native soil, kept"), **SHARE)
    compost_percent = forms.DecimalField(label=_("compost"), **SHARE)
    sand_percent = forms.DecimalField(label=_("sand"), **SHARE)
    settling_percent = forms.DecimalField(
        label=_("settles by"),
        help_text=_("what is bought is ordered with this much more"),
        **SHARE,
    )
    compost_cost = cost_field(_("cost of compost"), required=False)
    compost_price = price_field(_("price of compost"))
    sand_cost = cost_field(_("cost of sand"), required=False)
    sand_price = price_field(_("price of sand"))

    def __init__(self, *args: Any, **kw: Any) -> None:
        super().__init__(*args, **kw)
        self.mix: SoilMix | None = None
        chosen = str(self.initial.get("bed") or "")
        bed = next((bed for bed in self.beds if str(bed.pk) == chosen), None)
        if bed is not None:
            self.initial.setdefault("depth", bed.depth_text)
        for name, field in self.fields.items():
            if name.endswith("_percent"):
                beside(field, "%")

    def first_values(self) -> dict[str, Any]:
        """60/25/15 and the firm's usual settling."""
        return {
            **super().first_values(),
            "native_percent": 60,
            "compost_percent": 25,
            "sand_percent": 15,
            "settling_percent": self.firm.settling_percent,
        }

    def per(self, name: str) -> str:
        """Amounts are for one of the unit that is ordered."""
        return f"{_now('a')} {self.display.volume_unit}"

    def clean(self) -> dict[str, Any]:
        """The mix worked out, and a cost for each part that is bought."""
        found = super().clean() or {}
        wanted = ("bed", "depth", *(f"{part}_percent" for part in PARTS))
        if any(found.get(name) is None for name in (*wanted, "settling_percent")):
            return found
        try:
            self.mix = soil_mix(
                bed=found["bed"],
                depth_m=found["depth"].metres,
                native_percent=found["native_percent"],
                compost_percent=found["compost_percent"],
                sand_percent=found["sand_percent"],
                settling_percent=found["settling_percent"],
                display=self.display,
            )
        except TakeoffError as error:
            self.add_error("native_percent", str(error))
            return found
        for part in self.mix.bought:
            name = f"{part.name}_cost"
            if found.get(name) is None and name not in self.errors:
                self.add_error(
                    name,
                    ValidationError(_now("This field is required."), code="required"),
                )
        return found

    def details(self) -> list[LineDetails]:
        """A line for each part that is bought."""
        if self.mix is None:
            raise TakeoffError("The mix was not worked out.")
        found = self.cleaned_data
        mix = (self.line.typed.get("mix") if self.line else "") or uuid.uuid4().hex
        names = {"compost": _now("Compost for %s"), "sand": _now("Sand for %s")}
        return [
            LineDetails(
                kind=self.kind,
                bed=found["bed"],
                description=names[part.name] % found["bed"].name,
                quantity=part.quantity,
                unit=self.mix.unit,
                formula=part.formula,
                unit_cost=found[f"{part.name}_cost"],
                unit_price=found[f"{part.name}_price"],
                tax_category=found["tax_category"],
                typed={"form": self.kept(), "mix": mix, "part": part.name},
            )
            for part in self.mix.bought
        ]


class MulchForm(LineForm):
    """Mulch on a bed, four inches at the most."""

    kind = LineKind.MULCH
    rows = (("bed", "description", "depth"), ("unit_cost", "unit_price"))

    bed = bed_field(required=True)
    description = forms.CharField(label=_("what"), max_length=160)
    depth = LengthField(label=_("depth"), is_depth=True, maximum_m=Decimal(3))
    unit_cost = cost_field(_("cost"))
    unit_price = price_field(_("price"))

    def __init__(self, *args: Any, **kw: Any) -> None:
        super().__init__(*args, **kw)
        self.mulch: Figure | None = None

    def first_values(self) -> dict[str, Any]:
        """Three inches of mulch. Common practice, no source."""
        deep = "3 in" if self.display.system == "us" else "7.5 cm"
        return {**super().first_values(), "description": _now("Mulch"), "depth": deep}

    def per(self, name: str) -> str:
        """Amounts are for one of the unit that is ordered."""
        return f"{_now('a')} {self.display.volume_unit}"

    def clean(self) -> dict[str, Any]:
        """The mulch worked out."""
        found = super().clean() or {}
        if found.get("bed") and found.get("depth"):
            try:
                self.mulch = mulch_for(
                    bed=found["bed"],
                    depth_m=found["depth"].metres,
                    display=self.display,
                )
            except TakeoffError as error:
                self.add_error("depth", str(error))
        return found

    def details(self) -> list[LineDetails]:
        """The one line of mulch."""
        if self.mulch is None:
            raise TakeoffError("The mulch was not worked out.")
        found = self.cleaned_data
        return [
            LineDetails(
                kind=self.kind,
                bed=found["bed"],
                description=_now("%(what)s for %(bed)s")
                % {"what": found["description"], "bed": found["bed"].name},
                quantity=volume_ordered(self.mulch),
                unit=self.mulch.unit,
                formula=self.mulch.formula,
                unit_cost=found["unit_cost"],
                unit_price=found["unit_price"],
                tax_category=found["tax_category"],
                typed={"form": self.kept()},
            )
        ]
