"""The form for how the plants of a bed stand."""

from decimal import Decimal
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Layout, Row
from django import forms
from django.utils.translation import gettext_lazy as _

from firm.units import Display
from jobs.actions.takeoff import PlanDetails
from jobs.enums import PlanPattern, SeenFrom
from jobs.models import BedPlan, Quote
from plants.forms.fields import LengthField, Versioned, show_units


class PlanForm(Versioned):
    """Pattern, side, distance to the edge, rows, and which arrangement."""

    pattern = forms.ChoiceField(label=_("how they stand"), choices=PlanPattern.choices)
    seen_from = forms.ChoiceField(
        label=_("seen from"),
        choices=SeenFrom.choices,
        help_text=_(
            "the taller stand behind the lower; the front is drawn below and is the"
            " side that the bed looks to"
        ),
    )
    edge = LengthField(
        label=_("distance to the edge"),
        required=False,
        is_depth=True,
        minimum_m=Decimal(0),
        maximum_m=Decimal(5),
        help_text=_("empty: half of each plant's spacing"),
    )
    row_gap = LengthField(
        label=_("from row to row"),
        required=False,
        is_depth=True,
        maximum_m=Decimal(50),
        help_text=_("for rows alone; empty: the spacing"),
    )
    arrangement = forms.IntegerField(
        label=_("arrangement"),
        min_value=0,
        max_value=999,
        help_text=_("another number gives the drifts another order"),
    )

    def __init__(
        self,
        *args: Any,
        quote: Quote,
        plan: BedPlan | None,
        display: Display,
        **kw: Any,
    ) -> None:
        kw["initial"] = {
            "version": quote.version,
            "pattern": plan.pattern if plan else PlanPattern.TRIANGULAR,
            "seen_from": plan.seen_from if plan else SeenFrom.FRONT,
            "edge": plan.edge_text if plan else "",
            "row_gap": plan.row_gap_text if plan else "",
            "arrangement": plan.arrangement if plan else 0,
        }
        super().__init__(*args, **kw)
        show_units(self, display)

    @property
    def helper(self) -> FormHelper:
        """How the form is laid out; the page holds the form element."""
        helper = FormHelper()
        helper.form_tag = False
        helper.disable_csrf = True
        helper.layout = Layout(
            "version",
            Row("pattern", "seen_from"),
            Row("edge", "row_gap"),
            "arrangement",
        )
        return helper

    def details(self) -> PlanDetails:
        """What was typed, for the action."""
        data = self.cleaned_data
        edge, gap = data["edge"], data["row_gap"]
        return PlanDetails(
            pattern=data["pattern"],
            seen_from=data["seen_from"],
            edge_text=edge.text if edge else "",
            edge_m=edge.metres if edge else None,
            row_gap_text=gap.text if gap else "",
            row_gap_m=gap.metres if gap else None,
            arrangement=data["arrangement"],
        )
