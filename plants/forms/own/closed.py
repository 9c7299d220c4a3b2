"""The form of a closed season."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from plants.care.lines import Line
from plants.enums import Purpose, Task
from plants.forms.own.lines import LineForm, SourceChoice, words_field
from plants.queries.own.words import Fault


class ClosedForm(LineForm):
    """A closed season: which tasks, from when to when, and the harm."""

    moments = {"from": _("first closed day"), "to": _("last closed day")}
    rows = (
        ("from_days", "from_side", "from_anchor"),
        ("to_days", "to_side", "to_anchor"),
    )

    tasks = forms.MultipleChoiceField(
        label=_("closes"),
        choices=Task.choices,
        widget=forms.CheckboxSelectMultiple,
        help_text=_("dead wood stays open unless it is ticked"),
    )
    except_purposes = forms.MultipleChoiceField(
        label=_("but not for these purposes"),
        required=False,
        choices=Purpose.choices,
        widget=forms.CheckboxSelectMultiple,
    )
    why = words_field(_("the harm that is done in it"))
    source = SourceChoice(label=_("source"))

    ordered = (
        "tasks",
        *("from_days", "from_side", "from_anchor", "to_days", "to_side", "to_anchor"),
    )

    def values(self, line: Line) -> dict[str, Any]:
        """What the form starts with for a closed season."""
        return {
            **{name: line[name] for name in ("tasks", "except_purposes", "why")},
            "source": line["source"],
            **self.moment_values("from", line["from"]),
            **self.moment_values("to", line["to"]),
        }

    def line(self) -> Line:
        """The whole closed season that was typed."""
        data = self.cleaned_data
        return {
            "tasks": data["tasks"],
            "from": self.moment("from"),
            "to": self.moment("to"),
            "except_purposes": data["except_purposes"],
            "why": data["why"].strip(),
            "source": data["source"],
        }

    def field_of(self, fault: Fault) -> str | None:
        """The field that a fault of the closed season is about."""
        for name in ("from", "to"):
            if fault.field.startswith(f"{name}."):
                return f"{name}_{'anchor' if 'anchor' in fault.field else 'days'}"
        return fault.field if fault.field in self.fields else None
