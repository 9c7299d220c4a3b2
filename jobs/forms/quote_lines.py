"""Forms for the lines of a quote: plants, soil mix, mulch, labour, anything else."""

import uuid
from collections.abc import Sequence
from decimal import Decimal
from typing import Any, ClassVar

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Layout, Row
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.models import Firm
from firm.money import CURRENCY_SIGNS
from firm.units import Display
from jobs.actions.quotes import LineDetails
from jobs.enums import CountRule, LineKind
from jobs.forms.books import AmountField
from jobs.models import Quote, QuoteLine
from jobs.queries.quantities import (
    PlantCount,
    SoilMix,
    count_plants,
    mulch_for,
    soil_mix,
    volume_ordered,
)
from jobs.queries.quotes import beds_of, fit_in_bed, plants_called
from jobs.takeoff import Figure, TakeoffError
from jobs.takeoff.plants import CLOSEST_SPACING_M, WIDEST_SPACING_M
from plants.fit import Fit, Verdict
from plants.forms.fields import Length, LengthField, Versioned, show_units
from plants.models import Bed, Plant
from plants.queries.fit import facts_of

MOST_QUANTITY = Decimal(1_000_000)
SHARE: dict[str, Any] = {
    "min_value": 0,
    "max_value": 100,
    "max_digits": 5,
    "decimal_places": 2,
}
PARTS = ("native", "compost", "sand")
# Fields of the form itself that say nothing about the line.
NOT_KEPT = ("version", "is_sure", "is_meant")


def beside(field: forms.Field, unit: str) -> None:
    """Write the unit beside the field."""
    field.widget.attrs["data-unit"] = unit


class LineForm(Versioned):
    """What every line has: its quote's version, cost, price, tax."""

    kind: ClassVar[LineKind]
    # Fields that stand side by side where there is room.
    rows: ClassVar[tuple[tuple[str, ...], ...]] = (("unit_cost", "unit_price"),)

    def __init__(
        self, *args: Any, quote: Quote, firm: Firm, line: QuoteLine | None, **kw: Any
    ) -> None:
        self.quote, self.firm, self.line = quote, firm, line
        self.display = Display(firm.units)
        self.beds: Sequence[Bed] = beds_of(quote.garden)
        kept = line.typed.get("form", {}) if line else {}
        kw["initial"] = {
            "version": quote.version,
            **self.first_values(),
            **kw.get("initial", {}),
            **kept,
        }
        super().__init__(*args, **kw)
        if "bed" in self.fields:
            self._offer_beds()
        show_units(self, self.display)
        currency = CURRENCY_SIGNS.get(firm.currency, firm.currency)
        for name, field in self.fields.items():
            if isinstance(field, AmountField):
                beside(field, f"{currency} {self.per(name)}".strip())

    @property
    def helper(self) -> FormHelper:
        """How the form is laid out; the page holds the form element."""
        helper = FormHelper()
        helper.form_tag = False
        helper.disable_csrf = True
        starts = {row[0]: row for row in self.rows}
        inside = {name for row in self.rows for name in row[1:]}
        helper.layout = Layout(
            *(
                Row(*starts[name]) if name in starts else name
                for name in self.fields
                if name not in inside
            )
        )
        return helper

    def first_values(self) -> dict[str, Any]:
        """What a new line's form begins with."""
        return {"is_taxed": True}

    def per(self, name: str) -> str:
        """What an amount of the form is for one of."""
        return ""

    def _offer_beds(self) -> None:
        field = self.fields["bed"]
        none = ("", _now("the whole garden") if not field.required else "")
        field.choices = [  # type: ignore[attr-defined]
            none,
            *((str(bed.pk), bed.name) for bed in self.beds),
        ]

    def clean_bed(self) -> Bed | None:
        """The chosen bed of the garden."""
        chosen = self.cleaned_data.get("bed")
        return next((bed for bed in self.beds if str(bed.pk) == chosen), None)

    def kept(self) -> dict[str, Any]:
        """What was typed, to fill the form with when the line is changed."""
        return {
            name: self.cleaned_data[name]
            if isinstance(field, forms.BooleanField)
            else str(self[name].value() or "")
            for name, field in self.fields.items()
            if name not in NOT_KEPT
        }

    def details(self) -> list[LineDetails]:
        """The line, or lines, for the action."""
        raise NotImplementedError


def bed_field(*, required: bool) -> forms.ChoiceField:
    """A bed of the garden."""
    return forms.ChoiceField(label=_("bed"), required=required)


def cost_field(label: Any, *, required: bool = True) -> AmountField:
    """What one costs the firm."""
    return AmountField(label=label, minimum=Decimal(0), required=required)


def price_field(label: Any) -> AmountField:
    """What one sells at; empty: the quote's margin on the cost."""
    return AmountField(
        label=label,
        minimum=Decimal(0),
        required=False,
        help_text=_("empty: the quote's margin on the cost"),
    )


class PlantsForm(LineForm):
    """Plants from the catalogue for a bed, counted or typed."""

    kind = LineKind.PLANTS
    rows = (("bed", "plant"), ("rule", "spacing"), ("unit_cost", "unit_price"))

    bed = bed_field(required=False)
    plant = forms.CharField(
        label=_("plant"),
        max_length=330,
        help_text=_("Type part of a name and choose from the catalogue."),
        widget=forms.TextInput(attrs={"list": "plants", "autocomplete": "off"}),
    )
    rule = forms.ChoiceField(label=_("how they are counted"), choices=CountRule.choices)
    spacing = LengthField(
        label=_("spacing"),
        required=False,
        is_depth=True,
        minimum_m=CLOSEST_SPACING_M,
        maximum_m=WIDEST_SPACING_M,
    )
    is_laid_out = forms.BooleanField(
        label=_("a plan in rows is drawn: order what stands in its rows"),
        required=False,
    )
    count = forms.IntegerField(
        label=_("number typed"),
        required=False,
        min_value=1,
        max_value=10_000_000,
        help_text=_("beats the computed one; both are shown"),
    )
    unit_cost = cost_field(_("cost of one"))
    unit_price = price_field(_("price of one"))
    is_taxed = forms.BooleanField(label=_("taxed"), required=False)
    is_sure = forms.BooleanField(
        label=_("Yes, that many plants are meant"), required=False
    )
    is_meant = forms.BooleanField(
        label=_("Plant it there all the same; I have read why it will die"),
        required=False,
    )

    def __init__(self, *args: Any, **kw: Any) -> None:
        super().__init__(*args, **kw)
        self.count_found: PlantCount | None = None
        self.fit: Fit | None = None
        beside(self.fields["count"], _now("plants"))
        self.fields["spacing"].help_text = _now(
            "empty: the plant's own spacing from the catalogue"
        )
        if not self.is_bound:
            del self.fields["is_sure"], self.fields["is_meant"]

    def first_values(self) -> dict[str, Any]:
        """Triangular, as most borders are planted."""
        return {**super().first_values(), "rule": str(CountRule.TRIANGULAR)}

    def per(self, name: str) -> str:
        """Amounts are for one plant."""
        return str(_now("a plant"))

    def clean_plant(self) -> Plant:
        """The one plant of the catalogue that the words mean."""
        words = self.cleaned_data["plant"]
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
            _now("“%(words)s” is not in the catalogue. Choose a plant from the list.")
            % {"words": words}
        )

    def clean(self) -> dict[str, Any]:
        """Counted, and asked about where it is unusual or deadly."""
        found = super().clean() or {}
        plant, bed = found.get("plant"), found.get("bed")
        if plant and bed:
            self.fit = fit_in_bed(bed=bed, plant=plant)
        if not {"rule", "spacing", "count", "bed"} & set(self.errors):
            found["spacing"] = found.get("spacing") or self._own_spacing(plant)
            self._count(found)
        self._ask(found)
        return found

    def _own_spacing(self, plant: Plant | None) -> Length | None:
        """The plant's own spacing from the catalogue."""
        metres = facts_of(plant).get("spacing_m") if plant else None
        if not metres:
            return None
        exact = Decimal(str(metres))
        return Length(text=self.display.depth(exact), metres=exact)

    def _count(self, found: dict[str, Any]) -> None:
        spacing = found["spacing"]
        try:
            self.count_found = count_plants(
                bed=found.get("bed"),
                spacing_m=spacing.metres if spacing else None,
                rule=CountRule(found["rule"]),
                typed=found.get("count"),
                is_laid_out=found["is_laid_out"],
                rounding=self.firm.count_rounding,
                display=self.display,
            )
        except TakeoffError as error:
            self.add_error("count", str(error))

    def _ask(self, found: dict[str, Any]) -> None:
        """Ask once about very many plants and about a deadly place."""
        counted = self.count_found
        if counted and counted.needs_asking and not found.get("is_sure"):
            shown = self.display.figure(Decimal(counted.ordered), places=0)
            self.add_error(
                "is_sure",
                _now("%(count)s plants are very many. Tick this if they are meant.")
                % {"count": shown},
            )
        deadly = self.fit is not None and self.fit.verdict == Verdict.DEADLY
        if self.fit and deadly and not found.get("is_meant"):
            self.add_error("is_meant", self.fit.words)
        for name, asked in (
            ("is_sure", bool(counted and counted.needs_asking)),
            ("is_meant", deadly),
        ):
            if not asked:
                del self.fields[name]

    def details(self) -> list[LineDetails]:
        """The one line of plants."""
        found, counted = self.cleaned_data, self.count_found
        if counted is None:
            raise TakeoffError("The plants were not counted.")
        spacing: Length | None = found["spacing"]
        plant: Plant = found["plant"]
        return [
            LineDetails(
                kind=self.kind,
                bed=found["bed"],
                plant=plant,
                description=str(plant)[:250],
                count_rule=counted.rule,
                spacing_text=spacing.text[:40] if spacing else "",
                spacing_m=spacing.metres if spacing else None,
                quantity=Decimal(counted.ordered),
                unit=_now("plants"),
                computed_quantity=None
                if counted.computed is None
                else Decimal(counted.computed),
                formula=counted.formula,
                unit_cost=found["unit_cost"],
                unit_price=found["unit_price"],
                is_taxed=found["is_taxed"],
                typed={"form": {**self.kept(), "plant": str(plant)}},
            )
        ]


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
    is_taxed = forms.BooleanField(label=_("taxed"), required=False)

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
                is_taxed=found["is_taxed"],
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
    is_taxed = forms.BooleanField(label=_("taxed"), required=False)

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
                is_taxed=found["is_taxed"],
                typed={"form": self.kept()},
            )
        ]


class PlainForm(LineForm):
    """A line that nothing is worked out for: so many of something."""

    rows: ClassVar[tuple[tuple[str, ...], ...]] = (
        ("quantity", "unit"),
        ("unit_cost", "unit_price"),
    )

    bed = bed_field(required=False)
    description = forms.CharField(label=_("what"), max_length=250)
    quantity = forms.DecimalField(
        label=_("how many"),
        min_value=Decimal("0.001"),
        max_value=MOST_QUANTITY,
        max_digits=10,
        decimal_places=3,
    )
    unit = forms.CharField(
        label=_("unit"), max_length=20, help_text=_("such as load, piece or ton")
    )
    unit_cost = cost_field(_("cost of one"))
    unit_price = price_field(_("price of one"))
    is_taxed = forms.BooleanField(label=_("taxed"), required=False)

    def details(self) -> list[LineDetails]:
        """The one line as it was typed."""
        found = self.cleaned_data
        return [
            LineDetails(
                kind=self.kind,
                bed=found["bed"],
                description=" ".join(found["description"].split()),
                quantity=found["quantity"],
                unit=found["unit"],
                unit_cost=found["unit_cost"],
                unit_price=found["unit_price"],
                is_taxed=found["is_taxed"],
                typed={"form": self.kept()},
            )
        ]


class LabourForm(PlainForm):
    """Hours of work at what an hour costs."""

    kind = LineKind.LABOUR
    rows = (("quantity", "unit_cost", "unit_price"),)

    unit = None  # type: ignore[assignment]
    quantity = forms.DecimalField(
        label=_("hours"),
        min_value=Decimal("0.01"),
        max_value=Decimal(99_999),
        max_digits=7,
        decimal_places=2,
    )

    def __init__(self, *args: Any, **kw: Any) -> None:
        super().__init__(*args, **kw)
        beside(self.fields["quantity"], "h")

    def first_values(self) -> dict[str, Any]:
        """The firm's own rates; labour is taxed where the firm says so."""
        return {
            "description": _now("Planting work"),
            "unit_cost": self.firm.hour_cost or "",
            "unit_price": self.firm.hour_price or "",
            "is_taxed": self.firm.tax_on_labour,
        }

    def per(self, name: str) -> str:
        """Amounts are for one hour."""
        return str(_now("an hour"))

    def clean(self) -> dict[str, Any]:
        """Hours are the unit."""
        found = super().clean() or {}
        found["unit"] = "h"
        return found


class DeliveryForm(PlainForm):
    """Bringing it all there."""

    kind = LineKind.DELIVERY

    def first_values(self) -> dict[str, Any]:
        """One load."""
        return {
            **super().first_values(),
            "description": _now("Delivery"),
            "quantity": 1,
            "unit": _now("load"),
        }


class OtherForm(PlainForm):
    """Anything else."""

    kind = LineKind.OTHER

    def first_values(self) -> dict[str, Any]:
        """One of it."""
        return {**super().first_values(), "quantity": 1}


LINE_FORMS: dict[str, type[LineForm]] = {
    str(form.kind): form
    for form in (
        PlantsForm,
        SoilForm,
        MulchForm,
        LabourForm,
        DeliveryForm,
        OtherForm,
    )
}
