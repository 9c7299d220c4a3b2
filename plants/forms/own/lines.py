"""What the forms of a rule and of a closed season have in common."""

from collections.abc import Mapping, Sequence
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import HTML, Layout, Row
from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.units import Display
from plants.care.lines import Line
from plants.care.vocabulary import COMMON_PRACTICE
from plants.enums import Anchor
from plants.forms.fields import Versioned
from plants.models import Garden
from plants.queries.own import OwnLine, gardens_to_show, sources_by_title
from plants.queries.own.words import Fault, fault_of

AFTER, BEFORE = "after", "before"
SIDES = [(AFTER, _("days after")), (BEFORE, _("days before"))]
MOST_AFTER, MOST_BEFORE = 800, 366


class PreviewForm(forms.Form):
    """Asks for which garden the year that follows is shown."""

    def __init__(
        self, *args: Any, garden: Garden | None = None, **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self._gardens = gardens_to_show()
        self.fields["garden"] = forms.TypedChoiceField(
            label=_("show the year for"),
            required=False,
            coerce=int,
            empty_value=None,
            choices=[
                ("", _now("the first climate that was written down")),
                *((one.pk, one.name) for one in self._gardens),
            ],
            initial=garden.pk if garden else "",
            help_text=_("only for the look at the year below; nothing is kept of it"),
        )

    def garden_shown(self) -> Garden | None:
        """The garden whose year is shown; None: the first climate."""
        if self.is_bound:
            wanted = getattr(self, "cleaned_data", {}).get("garden")
        else:
            wanted = self.fields["garden"].initial
        return next((one for one in self._gardens if one.pk == wanted), None)


class SourceChoice(forms.ChoiceField):
    """A source of the catalogue or of the firm, or common practice."""

    def __init__(self, **options: Any) -> None:
        super().__init__(choices=_sources, **options)


def _sources() -> list[tuple[str, str]]:
    return [
        (COMMON_PRACTICE, _now("common practice, no source")),
        *(
            (source.key, f"{source} ({source.how_read})"[:160])
            for source in sources_by_title()
        ),
    ]


def choices_of(field: forms.Field) -> list[tuple[Any, Any]]:
    """What a field offers, as pairs."""
    return list(field.choices)  # type: ignore[attr-defined]


def keep_choice(field: forms.Field, chosen: str) -> None:
    """Offer what stands already, so that saving something else does not lose it."""
    offered = choices_of(field)
    if chosen and chosen not in dict(offered):
        field.choices = [*offered, (chosen, chosen)]  # type: ignore[attr-defined]


def words_field(label: Any, help_text: Any = "", *, required: bool = True) -> Any:
    """A few lines of text."""
    return forms.CharField(
        label=label,
        help_text=help_text,
        required=required,
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


class LineForm(PreviewForm, Versioned):
    """A line of care: reads and fills the moments, says what the engine refused."""

    # Moments of the form by the name the specification gives them.
    moments: Mapping[str, Any] = {}
    # Fields that stand side by side.
    rows: Sequence[tuple[str, ...]] = ()

    def __init__(
        self,
        *args: Any,
        stands: OwnLine | None,
        display: Display,
        garden: Garden | None,
        **options: Any,
    ) -> None:
        self.stands, self.display = stands, display
        options["initial"] = {
            "version": stands.version if stands else 0,
            **(self.values(stands.holds) if stands else {}),
            **options.get("initial", {}),
        }
        super().__init__(*args, garden=garden, **options)
        self.fields["version"].min_value = 0  # type: ignore[attr-defined]
        self.fields["version"].validators = []
        for name, label in self.moments.items():
            self._add_moment(name, str(label))
        keep_choice(self.fields["source"], self.initial.get("source", ""))
        self.order_fields(list(self.ordered))

    ordered: Sequence[str] = ()

    @property
    def helper(self) -> FormHelper:
        """How the form is laid out; the page holds the form element."""
        helper = FormHelper()
        helper.form_tag = False
        helper.disable_csrf = True
        starts = {row[0]: row for row in self.rows}
        inside = {name for row in self.rows for name in row[1:]}
        moments = {f"{name}_days" for name in self.moments}
        laid = [
            Row(*starts[name], css_class="tight" if name in moments else None)
            if name in starts
            else name
            for name in self.fields
            if name not in inside
        ]
        # What follows stands right below the window, the whole year below the form.
        end = list(self.fields).index(f"{list(self.moments)[-1]}_days")
        before = [name for name in list(self.fields)[:end] if name not in inside]
        laid.insert(
            len(before) + 1, HTML('{% include "plants/parts/own_changes.html" %}')
        )
        helper.layout = Layout(*laid)
        return helper

    def _add_moment(self, name: str, label: str) -> None:
        asked = self.asks_for_moments()
        self.fields[f"{name}_days"] = forms.IntegerField(
            label=label,
            required=asked,
            error_messages={
                "required": _now("Say how many days; 0 is the day itself.")
            },
            min_value=0,
            max_value=MOST_AFTER,
            widget=forms.NumberInput(attrs={"data-unit": _now("days")}),
        )
        self.fields[f"{name}_side"] = forms.ChoiceField(
            label=_now("before or after"), required=asked, choices=SIDES
        )
        self.fields[f"{name}_anchor"] = forms.ChoiceField(
            label=_now("counted from"),
            required=asked,
            error_messages={"required": _now("Say what the days are counted from.")},
            choices=[("", _now("choose one")), *Anchor.choices],
        )

    def values(self, line: Line) -> dict[str, Any]:
        """What the form starts with for a line."""
        raise NotImplementedError

    def line(self) -> Line:
        """The whole line that was typed."""
        raise NotImplementedError

    def moment_values(self, name: str, moment: dict[str, Any]) -> dict[str, Any]:
        """The three fields of a moment."""
        if not moment:
            return {}
        days = moment.get("days") or 0
        return {
            f"{name}_days": abs(days),
            f"{name}_side": BEFORE if days < 0 else AFTER,
            f"{name}_anchor": moment.get("anchor", ""),
        }

    def moment(self, name: str) -> dict[str, Any]:
        """The moment that was typed."""
        data = self.cleaned_data
        days = data[f"{name}_days"]
        return {
            "anchor": data[f"{name}_anchor"],
            "days": -days if data[f"{name}_side"] == BEFORE else days,
        }

    def asks_for_moments(self) -> bool:
        """Whether every moment has its days and what they are counted from."""
        return True

    def clean(self) -> dict[str, Any]:
        """No moment lies farther back than the engine takes."""
        data = super().clean() or {}
        for name in self.moments:
            days = data.get(f"{name}_days") or 0
            if data.get(f"{name}_side") == BEFORE and days > MOST_BEFORE:
                self.add_error(
                    f"{name}_days", _now("At most 366 days before are taken.")
                )
        return data

    def refuse(self, messages: Sequence[str], *, key: str) -> None:
        """Write what the engine refused beside its field, KEY being the line's own."""
        for fault in without_returns([fault_of(message) for message in messages]):
            if fault.line == key and not fault.plant:
                self.add_error(self.field_of(fault), fault.words)
            else:
                self.add_error(None, about(fault))

    def field_of(self, fault: Fault) -> str | None:
        """The field that a fault is about; None for the whole form."""
        raise NotImplementedError


def without_returns(faults: Sequence[Fault]) -> list[Fault]:
    """The faults, of a task that returns in its window only the first of a season."""
    found: dict[tuple[str, ...], Fault] = {}
    for fault in faults:
        season = fault.words.partition("closed season: ")[2]
        found.setdefault(
            (fault.plant, fault.line, fault.field, season or fault.words), fault
        )
    return list(found.values())


def about(fault: Fault) -> str:
    """A fault of something else than the form's own line."""
    what = fault.line.replace("-", " ")
    if fault.plant and what:
        what = f"{fault.plant}, {what}"
    what = what or fault.plant
    return f"{what[:1].upper()}{what[1:]}: {fault.words}" if what else fault.words
