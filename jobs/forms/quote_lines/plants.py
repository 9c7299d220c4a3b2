"""The form for plants from the catalogue."""

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from jobs.actions.quotes import LineDetails
from jobs.enums import CountRule, LineKind
from jobs.forms.quote_lines.base import (
    LineForm,
    bed_field,
    beside,
    cost_field,
    price_field,
)
from jobs.queries.quantities import PlantCount, count_plants
from jobs.queries.quotes import fit_in_bed, plants_called
from jobs.takeoff import TakeoffError
from jobs.takeoff.plants import CLOSEST_SPACING_M, WIDEST_SPACING_M
from jobs.takeoff.shapes import LONGEST_SIDE_M
from plants.fit import Fit, Verdict
from plants.forms.fields import Length, LengthField, SizeField
from plants.models import Plant
from plants.queries.fit import facts_of


def plant_meant(words: str) -> Plant:
    """The one plant of the catalogue that the words mean; ValidationError else."""
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


class PlantsForm(LineForm):
    """Plants from the catalogue for a bed, counted or typed."""

    kind = LineKind.PLANTS
    rows = (
        ("bed", "plant", "size"),
        ("rule", "spacing"),
        ("hedge_length", "spare_percent"),
        ("unit_cost", "unit_price"),
    )

    bed = bed_field(required=False)
    plant = forms.CharField(
        label=_("plant"),
        max_length=330,
        help_text=_("Type part of a name and choose from the catalogue."),
        widget=forms.TextInput(attrs={"list": "plants", "autocomplete": "off"}),
    )
    size = SizeField(
        label=_("size as it is sold"),
        help_text=_("such as #3, #3 (2.4 gal), 4 in pot, 2 in balled or bare root"),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    rule = forms.ChoiceField(label=_("how they are counted"), choices=CountRule.choices)
    spacing = LengthField(
        label=_("spacing"),
        required=False,
        is_depth=True,
        minimum_m=CLOSEST_SPACING_M,
        maximum_m=WIDEST_SPACING_M,
    )
    hedge_length = LengthField(
        label=_("length of the hedge line"),
        required=False,
        maximum_m=LONGEST_SIDE_M,
        help_text=_("for a hedge line; empty: the long side of a rectangular bed"),
    )
    spare_percent = forms.DecimalField(
        label=_("spare plants"),
        required=False,
        min_value=0,
        max_value=100,
        max_digits=5,
        decimal_places=2,
        help_text=_("of plugs 5 to 10 %: common practice, no source"),
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
        beside(self.fields["spare_percent"], "%")
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
        return plant_meant(self.cleaned_data["plant"])

    def clean(self) -> dict[str, Any]:
        """Counted, and asked about where it is unusual or deadly."""
        found = super().clean() or {}
        plant, bed = found.get("plant"), found.get("bed")
        if plant and bed:
            self.fit = fit_in_bed(bed=bed, plant=plant)
        counted = {"rule", "spacing", "count", "bed", "hedge_length", "spare_percent"}
        if not counted & set(self.errors):
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
        spacing, hedge = found["spacing"], found.get("hedge_length")
        try:
            self.count_found = count_plants(
                bed=found.get("bed"),
                spacing_m=spacing.metres if spacing else None,
                rule=CountRule(found["rule"]),
                typed=found.get("count"),
                is_laid_out=found["is_laid_out"],
                rounding=self.firm.count_rounding,
                display=self.display,
                hedge_m=hedge.metres if hedge else None,
                spare_percent=found.get("spare_percent") or Decimal(0),
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
                description=described(plant, found["size"]),
                count_rule=counted.rule,
                size_text=found["size"],
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
                tax_category=found["tax_category"],
                typed={"form": {**self.kept(), "plant": str(plant)}},
            )
        ]


def described(plant: Plant, size: str) -> str:
    """The line as the client reads it: the plant, and the size it comes in."""
    return f"{plant}, {size}"[:250] if size else str(plant)[:250]
