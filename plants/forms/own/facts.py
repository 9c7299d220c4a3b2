"""The forms of a group and of a plant: what it is, needs and does."""

from collections.abc import Mapping, Sequence
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Fieldset, Layout, Row
from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.units import Display
from plants.actions.own_plants import PlantDetails
from plants.forms.fields import Versioned, show_units
from plants.forms.own.fact_fields import (
    PAIRS,
    SECTIONS,
    FactFields,
    fact_values,
    facts_typed,
    words_of,
)
from plants.forms.own.lines import PreviewForm, about, choices_of, keep_choice
from plants.models import Garden, Group, Plant
from plants.queries.own import groups_by_name
from plants.queries.own.words import fault_of

ROWS = (
    ("kind", "habit"),
    ("evergreen", "buds", "wood"),
    ("bloom_first", "bloom_last", "bloom_region"),
    ("sun_min", "sun_max", "latest_sun"),
    ("ph_low", "ph_high"),
    ("hardiness_low", "hardiness_high"),
    ("heat_low", "heat_high"),
    ("height", "width", "spacing"),
    ("people", "dogs", "cats", "horses"),
)
# The form's field for a fact that the engine or the action names.
FIELDS = {
    "bloom": "bloom_first",
    "bloom.months": "bloom_first",
    "bloom.region": "bloom_region",
    "toxicity.source": "poison_source",
}


class FactsForm(FactFields, PreviewForm, Versioned):
    """What groups and plants have in common."""

    heads: Sequence[str] = ()

    def __init__(
        self,
        *args: Any,
        display: Display,
        garden: Garden | None,
        version: int = 0,
        facts: Mapping[str, Any],
        **options: Any,
    ) -> None:
        self.display, self.facts = display, facts
        options["initial"] = {
            "version": version,
            **fact_values(facts, display),
            **options.get("initial", {}),
        }
        super().__init__(*args, garden=garden, **options)
        self.fields["version"].min_value = 0  # type: ignore[attr-defined]
        self.fields["version"].validators = []
        keep_choice(self.fields["poison_source"], self.initial.get("poison_source", ""))
        show_units(self, display)

    @property
    def helper(self) -> FormHelper:
        """How the form is laid out; the page holds the form element."""
        helper = FormHelper()
        helper.form_tag = False
        helper.disable_csrf = True
        starts = {row[0]: row for row in ROWS}
        inside = {name for row in ROWS for name in row[1:]}

        def laid_out(names: Sequence[str]) -> list[Any]:
            return [
                Row(*starts[name]) if name in starts else name
                for name in names
                if name not in inside
            ]

        helper.layout = Layout(
            "version",
            *self.heads,
            *(
                Fieldset(str(title), *laid_out(names))
                for title, names in SECTIONS.items()
            ),
            "garden",
        )
        return helper

    def clean(self) -> dict[str, Any]:
        """Figures that come in pairs are both there and in order."""
        data = super().clean() or {}
        for low, high, wraps in PAIRS:
            ends = data.get(low), data.get(high)
            if low in self.errors or high in self.errors:
                continue
            for name, end, other in ((low, *ends), (high, *reversed(ends))):
                if end in (None, "") and other not in (None, ""):
                    self.add_error(name, _now("Both figures belong together."))
            if not wraps and None not in ends and ends[0] > ends[1]:  # type: ignore[operator]
                self.add_error(high, _now("This is less than the figure before it."))
        return data

    def refuse(self, messages: Sequence[str]) -> None:
        """Write what was refused beside its field, or beside what brought it about."""
        for message in messages:
            fault = fault_of(message)
            name = FIELDS.get(fault.field, fault.field)
            if not fault.line and not fault.plant and name in self.fields:
                self.add_error(name, fault.words)
                continue
            changed = [
                part for part in ("wood", "kind", "bloom_first") if self._differs(part)
            ]
            self.add_error(changed[0] if changed else None, about(fault))

    def _differs(self, name: str) -> bool:
        return str(self.cleaned_data.get(name) or "") != str(
            self.initial.get(name) or ""
        )


class GroupForm(FactsForm):
    """A group of the firm: all its facts."""

    heads: Sequence[str] = ("name",)
    name = forms.CharField(label=_("name of the group"), max_length=120)

    def __init__(
        self, *args: Any, like: Group | None, group: Group | None, **options: Any
    ) -> None:
        base = group or like
        facts = dict(base.facts) if base else {}
        initial = {"name": group.name if group else ""}
        super().__init__(
            *args,
            facts=facts,
            version=group.version if group else 0,
            initial=initial,
            **options,
        )
        if like is not None and group is None:
            self.fields["with_lines"] = forms.BooleanField(
                label=_now("take its rules and closed seasons too"),
                required=False,
                initial=True,
                help_text=_now("they are yours from then on and keep their sources"),
            )
            self.heads = ("name", "with_lines")

    def facts_said(self) -> dict[str, Any]:
        """The facts of the group as they are kept."""
        said = facts_typed(self.cleaned_data, self.initial, self.facts)
        kept = {
            name: value
            for name, value in self.facts.items()
            if name not in ("rules", "closed")
        }
        # A figure that was changed no longer comes from where the old one came.
        kept["sources"] = {
            name: line
            for name, line in (self.facts.get("sources") or {}).items()
            if name not in said or said[name] == self.facts.get(name)
        }
        return {
            "bloom": None,
            "latest_sun": None,
            "heat": None,
            "invasive": [],
            "planting": {},
            "sources": {},
            **kept,
            **said,
            "name": self.cleaned_data["name"].strip(),
        }


class PlantForm(FactsForm):
    """A plant of the firm: its names, and in what it differs from its group."""

    heads = ("group", "common", "botanical", "other_names")
    common = forms.CharField(label=_("common name"), max_length=160)
    botanical = forms.CharField(label=_("botanical name"), max_length=160)
    other_names = forms.CharField(
        label=_("other names"),
        required=False,
        max_length=1000,
        help_text=_("one on each line; it is found by any of them"),
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(
        self, *args: Any, group: Group | None, plant: Plant | None, **options: Any
    ) -> None:
        initial: dict[str, Any] = {"group": group.pk if group else ""}
        if plant is not None:
            names = [name.name for name in plant.names.all()]
            initial |= {
                "common": plant.common,
                "botanical": plant.botanical,
                "other_names": "\n".join(names),
            }
        super().__init__(
            *args,
            facts=plant.overrides if plant else {},
            version=plant.version if plant else 0,
            initial=initial,
            **options,
        )
        self._groups = groups_by_name()
        if group is not None and group not in self._groups:
            self._groups.append(group)
        self.fields["group"] = forms.TypedChoiceField(
            label=_now("group whose care it shares"),
            coerce=int,
            choices=[(one.pk, one.name) for one in self._groups],
            disabled=plant is not None,
        )
        self._leave_open(group)

    def _leave_open(self, group: Group | None) -> None:
        """Nothing has to be filled in; beside each field stands what its group has."""
        known = fact_values(group.facts, self.display) if group else {}
        for name in [name for names in SECTIONS.values() for name in names]:
            field = self.fields[name]
            field.required = False
            shown = words_of(field, known.get(name))
            if shown:
                field.help_text = _now("its group: %s") % shown
            if isinstance(field, forms.ChoiceField) and not isinstance(
                field, forms.MultipleChoiceField
            ):
                choices = [pair for pair in choices_of(field) if pair[0] != ""]
                field.choices = [("", _now("as its group")), *choices]
                field.initial = ""

    def chosen_group(self) -> Group | None:
        """The group that was chosen."""
        wanted = self.cleaned_data.get("group")
        return next((one for one in self._groups if one.pk == wanted), None)

    def details(self, *, group: Group) -> PlantDetails:
        """What was typed, for the action."""
        data = self.cleaned_data
        said = facts_typed(data, self.initial, self.facts, below=group.facts)
        return PlantDetails(
            botanical=data["botanical"].strip(),
            common=data["common"].strip(),
            other_names=[
                line.strip()[:160]
                for line in data["other_names"].splitlines()
                if line.strip()
            ],
            overrides=said,
        )
