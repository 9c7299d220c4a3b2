"""The form of a bed's soil: nothing of it is stored, everything is worked out."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.models import Firm
from firm.money import CURRENCY_SIGNS
from firm.units import Display, convert
from jobs import takeoff
from jobs.forms.books import AmountField
from jobs.queries.quote_prices import money_places
from jobs.queries.quotes import plants_called
from jobs.queries.soil import (
    Mix,
    PhAnswer,
    SoilBed,
    feeding_for,
    mix_for,
    mulch_around,
    ph_answer,
    plant_ph,
    read_parts,
)
from plants.enums import Texture
from plants.forms.beds import FIZZES, UNKNOWN, VINEGAR, ph_typed, vinegar_said
from plants.forms.fields import LengthField, PhField, show_units
from plants.models import Plant
from plants.soil import Feeding, SoilError

ASKED = "asked"
FED = [
    ("evergreen", _("evergreen trees and shrubs")),
    ("deciduous", _("leafless in winter: trees and shrubs")),
    ("groundcover", _("ground covers")),
    ("perennial", _("perennials and grasses")),
]
SHARE: dict[str, Any] = {
    "min_value": 0,
    "max_value": 100,
    "max_digits": 5,
    "decimal_places": 2,
}
RATE: dict[str, Any] = {
    "min_value": 0,
    "max_value": 100,
    "max_digits": 6,
    "decimal_places": 2,
}


class SoilPageForm(forms.Form):
    """What is wanted of a bed's soil, and what is known of it."""

    use_required_attribute = False

    soil = PhField(
        label=_("pH of the soil"),
        required=False,
        help_text=_("such as 6.5, or of a strip: about 6 and a half"),
    )
    texture = forms.ChoiceField(
        label=_("soil"), required=False, choices=[UNKNOWN, *Texture.choices]
    )
    vinegar = forms.ChoiceField(
        label=_("a drop of vinegar on it"), required=False, choices=VINEGAR
    )
    planted = forms.BooleanField(label=_("something grows in it"), required=False)
    plant = forms.CharField(
        label=_("for this plant"),
        required=False,
        max_length=330,
        widget=forms.TextInput(attrs={"list": "plants", "autocomplete": "off"}),
    )
    wanted = PhField(
        label=_("or pH wanted"), required=False, help_text=_("such as 5.5 to 6.5")
    )
    cce = forms.DecimalField(
        label=_("strength of the lime"),
        required=False,
        min_value=20,
        max_value=120,
        max_digits=5,
        decimal_places=1,
        help_text=_("calcium carbonate equivalent on the bag"),
        widget=forms.NumberInput(attrs={"step": "any", "data-unit": "%"}),
    )

    depth = LengthField(
        label=_("depth of the mix"),
        required=False,
        is_depth=True,
        maximum_m=Decimal(3),
    )
    parts = forms.CharField(
        label=_("parts of the mix"),
        required=False,
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("one a line with its share of the volume, such as compost 25"),
    )
    settling = forms.DecimalField(label=_("settles by"), required=False, **SHARE)
    buys = forms.CharField(
        label=_("part to buy"),
        required=False,
        max_length=40,
        help_text=_("empty: the first that is not native soil"),
    )
    bag_size = forms.DecimalField(label=_("a bag holds"), required=False, **RATE)
    bag_price = AmountField(
        label=_("price of a bag"), required=False, minimum=Decimal(0)
    )
    bulk_price = AmountField(
        label=_("price in bulk"), required=False, minimum=Decimal(0)
    )
    bulk_least = forms.DecimalField(label=_("least in bulk"), required=False, **RATE)
    delivery = AmountField(
        label=_("delivery of bulk"), required=False, minimum=Decimal(0)
    )
    material = forms.ChoiceField(
        label=_("weighs like"),
        required=False,
        choices=[("", ""), *((name, name) for name in takeoff.POUNDS_A_CU_YD)],
    )
    payload = forms.DecimalField(
        label=_("the truck carries"),
        required=False,
        min_value=1,
        max_value=100_000,
        max_digits=8,
        decimal_places=1,
    )

    mulch = LengthField(
        label=_("depth of mulch"), required=False, is_depth=True, maximum_m=Decimal(3)
    )
    stems = forms.IntegerField(
        label=_("stems to keep free"), required=False, min_value=0, max_value=100_000
    )
    gap = LengthField(
        label=_("gap around a stem"),
        required=False,
        is_depth=True,
        maximum_m=Decimal(1),
    )

    analysis = forms.CharField(
        label=_("analysis on the bag"),
        required=False,
        max_length=20,
        help_text=_("nitrogen, phosphate and potash, such as 5-10-15"),
    )
    fed = forms.ChoiceField(label=_("what is fed"), required=False, choices=FED)
    nitrogen = forms.DecimalField(label=_("nitrogen wanted"), required=False, **RATE)
    given = forms.DecimalField(
        label=_("nitrogen given in the last twelve months"), required=False, **RATE
    )
    is_slow = forms.BooleanField(label=_("slow release"), required=False)
    is_young = forms.BooleanField(
        label=_("planted within the last twelve months"), required=False
    )
    liquid = forms.DecimalField(
        label=_("a liquid weighs"),
        required=False,
        help_text=_("empty for a dry product; it stands on the label"),
        **RATE,
    )

    # The fields of each part of the page, in rows of what stands side by side.
    SECTIONS: ClassVar[Mapping[str, tuple[tuple[str, ...], ...]]] = {
        "ph": (
            ("soil", "texture", "vinegar"),
            ("plant", "wanted", "cce"),
            ("planted",),
        ),
        "mix": (
            ("depth", "parts", "settling"),
            ("buys", "bag_size", "bag_price"),
            ("bulk_price", "bulk_least", "delivery"),
            ("material", "payload"),
        ),
        "mulch": (("mulch", "stems", "gap"),),
        "feeding": (
            ("analysis", "fed", "liquid"),
            ("nitrogen", "given"),
            ("is_slow", "is_young"),
        ),
    }

    def __init__(self, asked: Mapping[str, Any], *, known: SoilBed, firm: Firm) -> None:
        self.known = known
        self.firm = firm
        self.display = Display(firm.units)
        data = dict(first_values(known, firm)) if ASKED not in asked else {}
        data |= {name: asked[name] for name in asked}
        if ASKED not in asked and data.get("plant"):
            # A link names the plant by its key; the page shows its name.
            called = plants_called(words=data["plant"][:330])
            data["plant"] = str(called[0]) if len(called) == 1 else data["plant"]
        super().__init__(data)
        show_units(self, self.display)
        self._write_units()
        self.ph: PhAnswer | None = None
        self.mix: Mix | None = None
        self.mulched: takeoff.Figure | None = None
        self.feeding: Feeding | None = None
        self.for_plant: Plant | None = None
        self.missing: list[str] = []

    def _write_units(self) -> None:
        us = self.display.system == "us"
        sign = CURRENCY_SIGNS.get(self.firm.currency, self.firm.currency)
        bulk = self.display.volume_unit
        rate = _now("lb / 1,000 sq ft") if us else _now("g / m²")
        units = {
            "settling": "%",
            "bag_size": self.display.small_volume_unit,
            "bag_price": sign,
            "bulk_price": f"{sign} {_now('a')} {bulk}",
            "bulk_least": bulk,
            "delivery": sign,
            "payload": self.display.weight_unit,
            "nitrogen": rate,
            "given": rate,
            "liquid": _now("lb a gallon") if us else _now("kg a litre"),
        }
        for name, unit in units.items():
            self.fields[name].widget.attrs["data-unit"] = unit

    def _rows(self, key: str) -> list[list[forms.BoundField]]:
        return [[self[name] for name in row] for row in self.SECTIONS[key]]

    @property
    def ph_rows(self) -> list[list[forms.BoundField]]:
        """What a dose needs."""
        return self._rows("ph")

    @property
    def mix_rows(self) -> list[list[forms.BoundField]]:
        """What a mix needs."""
        return self._rows("mix")

    @property
    def mulch_rows(self) -> list[list[forms.BoundField]]:
        """What mulch needs."""
        return self._rows("mulch")

    @property
    def feeding_rows(self) -> list[list[forms.BoundField]]:
        """What feeding needs."""
        return self._rows("feeding")

    def clean_plant(self) -> Plant | None:
        """The one plant that the words or the key mean."""
        words: str = self.cleaned_data["plant"]
        if not words:
            return None
        found = plants_called(words=words)
        if len(found) == 1:
            return found[0]
        if found:
            names = "; ".join(str(plant) for plant in found[:5])
            raise ValidationError(
                _now("Several plants are called so. Choose one: %(names)s")
                % {"names": names}
            )
        raise ValidationError(
            _now("“%(words)s” is not in the catalogue.") % {"words": words}
        )

    def clean(self) -> dict[str, Any]:
        """All that was asked for worked out; what cannot be stands at its field."""
        data = super().clean() or {}
        self._work_out_ph(data)
        for work, field in (
            (self._work_out_mix, "parts"),
            (self._work_out_mulch, "mulch"),
            (self._work_out_feeding, "nitrogen"),
        ):
            try:
                work(data)
            except (takeoff.TakeoffError, SoilError) as refused:
                self.add_error(field, str(refused))
        return data

    def _work_out_ph(self, data: dict[str, Any]) -> None:
        self.for_plant = data.get("plant")
        soil = data.get("soil")
        wanted = data["wanted"].ph if data.get("wanted") else None
        if wanted is None and self.for_plant is not None:
            wanted = plant_ph(self.for_plant)
            if wanted is None:
                self.missing.append(
                    _now("What pH this plant wants is not in the catalogue: type one.")
                )
        if soil is None and "soil" not in self.errors:
            self.missing.append(
                _now("The pH of the soil: a laboratory's test, or a strip to begin.")
            )
        if wanted is None and not {"wanted", "plant"} & set(self.errors):
            self.missing.append(_now("A plant, or the pH that is wanted."))
        if not data.get("texture"):
            self.missing.append(_now("How the soil feels: sand, loam or clay."))
        if soil is None or wanted is None or self.known.area_m2 is None:
            return
        try:
            self.ph = ph_answer(
                soil=soil.ph,
                wanted=wanted,
                texture=data.get("texture", ""),
                has_free_lime=data["vinegar"] == FIZZES
                if data.get("vinegar")
                else None,
                planted=bool(data.get("planted")),
                cce_percent=data.get("cce") or Decimal(100),
                area_m2=self.known.area_m2,
                display=self.display,
            )
        except SoilError as refused:
            self.add_error("wanted", str(refused))

    def _work_out_mix(self, data: dict[str, Any]) -> None:
        if not data.get("depth") or not data.get("parts"):
            return
        bag = bulk = None
        if data.get("bag_size") and data.get("bag_price") is not None:
            bag = takeoff.BagPrice(
                size=data["bag_size"],
                unit=self.display.small_volume_unit,
                price=data["bag_price"],
            )
        if data.get("bulk_price") is not None:
            bulk = takeoff.BulkPrice(
                price=data["bulk_price"],
                unit=self.display.volume_unit,
                minimum=data.get("bulk_least") or Decimal(0),
                delivery=data.get("delivery") or Decimal(0),
            )
        payload = data.get("payload")
        self.mix = mix_for(
            bed=self.known.bed,
            depth_m=data["depth"].metres,
            parts=read_parts(data["parts"]),
            settling_percent=data.get("settling") or Decimal(0),
            buys=data.get("buys", ""),
            bag=bag,
            bulk=bulk,
            material=data.get("material", ""),
            payload_kg=self._kilograms(payload) if payload else None,
            places=money_places(),
            display=self.display,
        )

    def _kilograms(self, weight: Decimal) -> Decimal:
        return convert(weight, unit=self.display.weight_unit, to="kg")

    def _work_out_mulch(self, data: dict[str, Any]) -> None:
        if not data.get("mulch"):
            return
        gap = data.get("gap")
        self.mulched = mulch_around(
            bed=self.known.bed,
            depth_m=data["mulch"].metres,
            stems=data.get("stems") or 0,
            gap_m=gap.metres if gap else takeoff.STEM_GAP_M,
            display=self.display,
        )

    def _work_out_feeding(self, data: dict[str, Any]) -> None:
        if not data.get("analysis") or not data.get("nitrogen"):
            return
        if self.known.area_m2 is None:
            return
        self.feeding = feeding_for(
            kind=data.get("fed") or "evergreen",
            analysis=data["analysis"],
            n_rate=data["nitrogen"],
            given=data.get("given") or Decimal(0),
            is_slow=bool(data.get("is_slow")),
            is_young=bool(data.get("is_young")),
            liquid_weight=data.get("liquid"),
            area_m2=self.known.area_m2,
            display=self.display,
        )


def first_values(known: SoilBed, firm: Firm) -> dict[str, Any]:
    """What the page begins with: what is known of the bed, and the usual."""
    bed = known.bed
    us = Display(firm.units).system == "us"
    values = {
        "soil": ph_typed(bed),
        "texture": bed.texture,
        "vinegar": vinegar_said(bed),
        "cce": "100",
        "depth": bed.depth_text,
        "parts": "native soil 60\ncompost 25\nsand 15",
        "settling": str(firm.settling_percent),
        "bag_size": "2" if us else "40",
        "mulch": "3 in" if us else "7.5 cm",
        "gap": "3 in" if us else "7.5 cm",
        "stems": str(known.stems),
        "fed": "evergreen",
    }
    if known.grown:
        values["planted"] = "on"
    return values
