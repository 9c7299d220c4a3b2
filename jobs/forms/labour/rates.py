"""The forms that change a rate of labour or what makes work slower."""

import uuid
from decimal import Decimal
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Layout, Row
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from jobs.actions.labour import RateDetails
from jobs.enums import FactorTouch
from jobs.forms.books import AmountField
from jobs.forms.quote_lines.base import beside
from jobs.labour import Touch
from jobs.labour.rates import (
    LEAST_FACTOR,
    MOST_FACTOR,
    MOST_H,
    MOST_QUANTITY,
    UNITS,
)
from jobs.labour.table import EVERY
from jobs.models import ConditionFactor, ProductionRate
from plants.forms.fields import Versioned

# Units that are turned into each other, so that the choice is the firm's.
SAME_KIND = (("cu yd", "m³"), ("sq ft", "m²"), ("ft", "m"), ("mi", "km"))


class FigureField(AmountField):
    """A figure, over nought unless said otherwise, as people type it: 0.25 or 0,25."""

    def __init__(self, *, places: int, may_be_nothing: bool = False, **kw: Any) -> None:
        self.places, self.may_be_nothing = places, may_be_nothing
        super().__init__(**kw)

    def clean(self, value: Any) -> Decimal | None:
        """The figure; with no more decimals than are kept."""
        figure = super().clean(value)
        if figure is None:
            return None
        kept = round(figure, self.places)
        if kept != figure:
            raise ValidationError(
                _now("Type at most %(places)s decimals.") % {"places": self.places}
            )
        if kept < 0 or (kept == 0 and not self.may_be_nothing):
            raise ValidationError(_now("It must be more than nothing."))
        return kept


def why_field() -> forms.CharField:
    """Why the firm reckons otherwise."""
    return forms.CharField(
        label=_("why"),
        max_length=300,
        help_text=_("such as what was measured, and where; it stands in the record"),
    )


class PlainForm(Versioned):
    """A form whose element stands in the page."""

    rows: Any = ()

    @property
    def helper(self) -> FormHelper:
        """How the form is laid out."""
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


class FiguresForm(PlainForm):
    """Low, typical and high hours for one of something, or so much an hour."""

    rows = (("is_per_hour", "unit"), ("low", "typical", "high"))

    is_per_hour = forms.TypedChoiceField(
        label=_("written as"),
        choices=[("no", _("hours for one")), ("yes", _("so much in an hour"))],
        coerce=lambda said: said == "yes",
    )
    unit = forms.ChoiceField(label=_("of"))
    low = FigureField(label=_("low"), places=4, maximum=MOST_QUANTITY)
    typical = FigureField(label=_("typical"), places=4, maximum=MOST_QUANTITY)
    high = FigureField(label=_("high"), places=4, maximum=MOST_QUANTITY)

    def clean(self) -> dict[str, Any]:
        """Figures that stand in order and that no task could not have."""
        found = super().clean() or {}
        low, typical, high = (found.get(name) for name in ("low", "typical", "high"))
        if low is None or typical is None or high is None:
            return found
        if typical < low:
            self.add_error("typical", _now("It must not be less than the low one."))
        if high < typical:
            self.add_error("high", _now("It must not be less than the typical one."))
        if found.get("is_per_hour") is False and high > MOST_H:
            self.add_error(
                "high", _now("At most %(most)s hours for one.") % {"most": MOST_H}
            )
        return found

    def details(self) -> RateDetails:
        """What was typed, for the action."""
        found = self.cleaned_data
        return RateDetails(
            unit=found["unit"],
            is_per_hour=found["is_per_hour"],
            low=found["low"],
            typical=found["typical"],
            high=found["high"],
        )


class RateForm(FiguresForm):
    """The figures of a task that is in the table."""

    note = why_field()

    def __init__(self, *args: Any, row: ProductionRate, **kw: Any) -> None:
        kw["initial"] = {
            "version": row.version,
            "is_per_hour": "yes" if row.is_per_hour else "no",
            "unit": row.unit,
            "low": f"{row.low.normalize():f}",
            "typical": f"{row.typical.normalize():f}",
            "high": f"{row.high.normalize():f}",
            "note": row.note,
        }
        super().__init__(*args, **kw)
        self.row = row
        units = next((pair for pair in SAME_KIND if row.unit in pair), (row.unit,))
        self.fields["unit"].choices = [  # type: ignore[attr-defined]
            (unit, unit) for unit in units
        ]
        for name in ("low", "typical", "high"):
            beside(self.fields[name], f"{row.unit} / h" if row.is_per_hour else "h")


class OwnTaskForm(FiguresForm):
    """A task that the program does not bring along; sent twice, it is one."""

    version = None  # type: ignore[assignment]
    field_order = ("key", "name")
    key = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    name = forms.CharField(
        label=_("task"), max_length=120, help_text=_("such as: lay a stepping stone")
    )
    touched_by = forms.MultipleChoiceField(
        label=_("what makes it slower"),
        choices=[
            (str(each), FactorTouch(each).label) for each in Touch if each not in EVERY
        ],
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=_("season, crew and pace touch every task"),
    )
    note = why_field()

    def __init__(self, *args: Any, **kw: Any) -> None:
        super().__init__(*args, **kw)
        self.fields["unit"].choices = [  # type: ignore[attr-defined]
            (unit, unit) for unit in UNITS
        ]

    def clean_name(self) -> str:
        """The name on one line."""
        return " ".join(self.cleaned_data["name"].split())

    def touches(self) -> list[Touch]:
        """What was ticked."""
        return [Touch(each) for each in self.cleaned_data["touched_by"]]


class FactorForm(PlainForm):
    """How many times as long work takes under one condition."""

    factor = FigureField(label=_("times as long"), places=3, maximum=MOST_FACTOR)
    note = why_field()

    def __init__(self, *args: Any, row: ConditionFactor, **kw: Any) -> None:
        kw["initial"] = {
            "version": row.version,
            "factor": f"{row.factor.normalize():f}",
            "note": row.note,
        }
        super().__init__(*args, **kw)
        beside(self.fields["factor"], "×")

    def clean_factor(self) -> Decimal:
        """A factor that some site could have."""
        factor: Decimal = self.cleaned_data["factor"]
        if factor < LEAST_FACTOR:
            raise ValidationError(
                _now("It must be at least %(least)s.") % {"least": LEAST_FACTOR}
            )
        return factor


class LearnedForm(Versioned):
    """One click at what the hours suggest: what was shown, taken or left."""

    becomes = FigureField(places=4, maximum=MOST_QUANTITY)
    answer = forms.ChoiceField(choices=[("take", "take"), ("leave", "leave")])
