"""The forms of the labour of a quote: its site, and one figure typed over."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from jobs.actions.labour import FigureDetails
from jobs.enums import FactorTouch
from jobs.forms.labour.rates import FigureField, PlainForm
from jobs.forms.quote_lines.base import beside
from jobs.labour import LARGEST_CREW
from jobs.labour.estimate import LONGEST_DAY_H
from jobs.labour.rates import MOST_QUANTITY
from jobs.queries.labour.quote import NO_TASK, LabourPage, Piece
from jobs.queries.labour.site import ASKED, EXTRAS, Table

# Rates of what stands around the work are no task of a line.
AROUND = ("mobilise", "load-out", "clean-up", "walk-through", "drive")


def task_choices(table: Table) -> list[tuple[str, str]]:
    """The tasks of the table with their units."""
    return [
        (rate.key, rate.name if rate.unit == "each" else f"{rate.name} ({rate.unit})")
        for rate in table.rates.values()
        if rate.key not in AROUND
    ]


class SiteForm(PlainForm):
    """The conditions of the whole site, the crew, the drive and further tasks."""

    rows = (
        ("access", "carry", "slope"),
        ("soil", "roots", "season"),
        ("crew", "crew_size"),
        ("day_h", "drive_h"),
        *(
            tuple(f"extra_{name}_{number}" for name in ("task", "quantity", "times"))
            for number in EXTRAS
        ),
    )

    crew_size = forms.IntegerField(
        label=_("people on the crew"), min_value=1, max_value=LARGEST_CREW
    )
    day_h = FigureField(label=_("a day's work"), places=2, maximum=LONGEST_DAY_H)
    drive_h = FigureField(
        label=_("drive, there and back"),
        places=2,
        maximum=LONGEST_DAY_H,
        required=False,
        help_text=_("empty: from the places of yard and garden"),
    )

    def __init__(self, *args: Any, page: LabourPage, **kw: Any) -> None:
        kw["initial"] = {"version": page.quote.version, **page.site.typed}
        super().__init__(*args, **kw)
        for touch in ASKED:
            levels = [
                (each.key, f"{each.name}, × {each.factor.normalize():f}")
                for each in page.table.levels(touch)
            ]
            if touch == "soil":
                levels.insert(0, ("", _now("as each bed's own")))
            self.fields[str(touch)] = forms.ChoiceField(
                label=FactorTouch(touch).label, choices=levels, required=touch != "soil"
            )
        if page.quote.garden.access_notes:
            self.fields["access"].help_text = page.quote.garden.access_notes
        if page.known:
            self.fields["soil"].help_text = "; ".join(page.known)
        beside(self.fields["day_h"], "h")
        beside(self.fields["drive_h"], "h")
        self.units = {rate.key: rate.unit for rate in page.table.rates.values()}
        for number in EXTRAS:
            self._offer_extra(number, page.table)
        self.order_fields([name for row in self.rows for name in row])

    def _offer_extra(self, number: int, table: Table) -> None:
        """A further task with how much of it and how often."""
        self.fields[f"extra_task_{number}"] = forms.ChoiceField(
            label=_now("further task"),
            choices=[("", _now("none")), *task_choices(table)],
            required=False,
        )
        self.fields[f"extra_quantity_{number}"] = FigureField(
            label=_now("how much"), places=3, maximum=MOST_QUANTITY, required=False
        )
        self.fields[f"extra_times_{number}"] = forms.IntegerField(
            label=_now("how often"), min_value=1, max_value=400, required=False
        )

    def clean(self) -> dict[str, Any]:
        """A further task with its quantity, and the other way round."""
        found = super().clean() or {}
        for number in EXTRAS:
            task, much = f"extra_task_{number}", f"extra_quantity_{number}"
            if found.get(task) and much in found and found[much] is None:
                unit = self.units[found[task]]
                words = _now("Type how much, in %(unit)s.") % {"unit": unit}
                self.add_error(much, words)
            if found.get(much) is not None and not found.get(task, " "):
                self.add_error(task, _now("Choose what is to be done."))
        return found

    def typed(self) -> dict[str, Any]:
        """What was typed, as it is kept."""
        return {
            name: ""
            if (value := self.cleaned_data.get(name)) is None
            else f"{value.normalize():f}"
            if isinstance(value, Decimal)
            else str(value)
            for name in self.fields
            if name != "version"
        }


class LabourFigureForm(PlainForm):
    """What one line is reckoned as, and hours typed over the reckoned ones."""

    task = forms.ChoiceField(label=_("reckoned as"))
    hours = FigureField(
        label=_("hours typed over it"),
        places=2,
        may_be_nothing=True,
        maximum=Decimal(99_999),
        required=False,
        help_text=_("empty: what the task comes to"),
    )
    note = forms.CharField(
        label=_("why"),
        max_length=300,
        required=False,
        help_text=_("the reckoned hours stay beside it"),
    )

    def __init__(self, *args: Any, page: LabourPage, piece: Piece, **kw: Any) -> None:
        over = piece.overruled
        kw["initial"] = {
            "version": page.quote.version,
            "task": piece.task.key if piece.task else NO_TASK,
            "hours": f"{over.quantity.normalize():f}" if over else "",
            "note": over.note if over else "",
        }
        super().__init__(*args, **kw)
        self.piece = piece
        if piece.key.startswith("extra-"):
            del self.fields["task"]
        else:
            self.fields["task"].choices = [  # type: ignore[attr-defined]
                (NO_TASK, _now("no labour of the crew")),
                *task_choices(page.table),
            ]
        beside(self.fields["hours"], "h")

    def clean(self) -> dict[str, Any]:
        """Hours over the reckoned ones need a task to stand over, and a reason."""
        found = super().clean() or {}
        if found.get("hours") is None:
            return found
        if not found.get("note") and "note" not in self.errors:
            self.add_error("note", _now("Say why the hours are others."))
        if found.get("task") == NO_TASK:
            self.add_error("task", _now("Choose the task that takes these hours."))
        return found

    def details(self) -> FigureDetails:
        """What was typed, for the action."""
        return FigureDetails(
            task=self.cleaned_data.get("task", self.piece.proposed),
            hours=self.cleaned_data["hours"],
            note=self.cleaned_data["note"],
        )
