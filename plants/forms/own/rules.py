"""The form of a rule, in the words of the trade."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.money import round_half_up
from firm.units import convert, plain
from plants import care
from plants.care.lines import Line
from plants.enums import Drawing, Purpose, Task
from plants.forms.fields import Length, LengthField, show_units
from plants.forms.own.lines import (
    LineForm,
    SourceChoice,
    choices_of,
    keep_choice,
    words_field,
)
from plants.queries.own.words import Fault

HIGHEST_M = Decimal(20)
UNITS = {"share": "%", "age_from": _("years"), "age_to": _("years"), "minutes": "min"}
UNITS |= {"for_years": _("years"), "years_apart": _("years")}
UNITS |= {"follow_days": _("days"), "every_years": _("years"), "every_days": _("days")}
ENDS = (("first", "from"), ("best", "best"), ("last", "to"))
REPEATS = ("every_years", "for_years", "years_apart", "every_days")
CONDITIONS = (
    ("age_from", "age_years_min"),
    ("age_to", "age_years_max"),
    ("ph_above", "ph_above"),
    ("ph_below", "ph_below"),
)
# The form's field for a field of the specification.
FIELDS = {
    "limits.share_removed_max": "share",
    "limits.height_left_m": "height_low",
    "limits.cut": "cut",
    "conditions.age_years_min": "age_from",
    "conditions.age_years_max": "age_to",
    "conditions.irrigated": "irrigated",
    "conditions.ph_above": "ph_above",
    "conditions.ph_below": "ph_below",
    "conditions.frost": "frost",
    "repeat": "every_years",
    "repeat.every_years": "every_years",
    "repeat.every_days": "every_days",
    "repeat.for_years": "for_years",
    "repeat.years_apart": "years_apart",
    "follow_up": "follow_up",
    "follow_up.rule": "follow_up",
    "follow_up.within_days": "follow_days",
}


def _years(label: Any) -> forms.DecimalField:
    return forms.DecimalField(
        label=label, required=False, min_value=0, max_value=500, decimal_places=1
    )


def _ph(label: Any) -> forms.DecimalField:
    return forms.DecimalField(
        label=label, required=False, min_value=3, max_value=10, decimal_places=1
    )


class RuleForm(LineForm):
    """A rule: task, window, limits, conditions, what follows, and why."""

    moments = {
        "first": _("earliest"),
        "best": _("best"),
        "last": _("latest"),
    }
    rows = (
        ("task", "purpose"),
        ("first_days", "first_side", "first_anchor"),
        ("best_days", "best_side", "best_anchor"),
        ("last_days", "last_side", "last_anchor"),
        ("share", "height_low", "height_high"),
        ("age_from", "age_to", "irrigated"),
        ("ph_above", "ph_below", "frost"),
        ("every_years", "for_years", "years_apart"),
        ("follow_up", "follow_days"),
        ("minutes", "drawing"),
    )

    task = forms.ChoiceField(label=_("task"), choices=Task.choices)
    purpose = forms.ChoiceField(
        label=_("purpose"), choices=Purpose.choices, initial=Purpose.NONE
    )
    always = forms.BooleanField(
        label=_("on any day of the year"),
        required=False,
        help_text=_("only for dead wood and for looking; else fill in the window"),
    )
    share = forms.DecimalField(
        label=_("greatest share removed"),
        required=False,
        min_value=Decimal("0.1"),
        max_value=100,
        decimal_places=2,
    )
    height_low = LengthField(
        label=_("height left, at least"),
        required=False,
        is_depth=True,
        minimum_m=Decimal(0),
        maximum_m=HIGHEST_M,
    )
    height_high = LengthField(
        label=_("height left, at most"),
        required=False,
        is_depth=True,
        minimum_m=Decimal(0),
        maximum_m=HIGHEST_M,
    )
    cut = forms.CharField(
        label=_("where the cut goes, in a few words"), required=False, max_length=200
    )
    age_from = _years(_("only from this age"))
    age_to = _years(_("only up to this age"))
    irrigated = forms.ChoiceField(
        label=_("water"),
        required=False,
        choices=[
            ("", _("with or without irrigation")),
            ("yes", _("only where it is irrigated")),
            ("no", _("only where nothing irrigates it")),
        ],
    )
    ph_above = _ph(_("only where the pH is over"))
    ph_below = _ph(_("only where the pH is under"))
    frost = forms.ChoiceField(
        label=_("winter"),
        required=False,
        choices=[
            ("", _("with or without frost")),
            ("needed", _("only where winters bring frost")),
            ("free", _("only where winters bring no frost")),
        ],
    )
    every_years = forms.IntegerField(
        label=_("only every so many years"), required=False, min_value=1, max_value=50
    )
    for_years = forms.IntegerField(
        label=_("spread over"),
        required=False,
        min_value=2,
        max_value=10,
        help_text=_("a share in each of so many years, as in a renovation"),
    )
    years_apart = forms.IntegerField(
        label=_("from one share to the next"),
        required=False,
        min_value=1,
        max_value=5,
    )
    every_days = forms.IntegerField(
        label=_("again inside its window after"),
        required=False,
        min_value=1,
        max_value=366,
    )
    follow_up = forms.ChoiceField(label=_("what follows it"), required=False)
    follow_days = forms.IntegerField(
        label=_("follows within"), required=False, min_value=1, max_value=366
    )
    minutes = forms.DecimalField(
        label=_("work for each plant"),
        min_value=0,
        max_value=1440,
        decimal_places=1,
        initial=5,
    )
    drawing = forms.ChoiceField(
        label=_("drawing"), choices=Drawing.choices, initial=Drawing.NONE
    )
    how = words_field(_("how"), _("what the crew does, step by step"))
    where = words_field(_("where on the plant"), required=False)
    why = words_field(_("why"))
    harm = words_field(_("what is lost when it is done wrong"), required=False)
    source = SourceChoice(label=_("source"))

    ordered = (
        *("task", "purpose", "always"),
        *(f"{end}_{part}" for end, _to in ENDS for part in ("days", "side", "anchor")),
    )

    def __init__(self, *args: Any, engine: care.Group, **options: Any) -> None:
        super().__init__(*args, **options)
        own = self.stands.key if self.stands else ""
        self.fields["follow_up"].choices = [  # type: ignore[attr-defined]
            ("", _now("nothing")),
            *((rule.key, _title(rule)) for rule in engine.rules if rule.key != own),
        ]
        keep_choice(self.fields["follow_up"], self.initial.get("follow_up", ""))
        for name, unit in UNITS.items():
            self.fields[name].widget.attrs["data-unit"] = unit
        for name in ("share", "age_from", "age_to", "ph_above", "ph_below", "minutes"):
            self.fields[name].widget.attrs["step"] = "any"
        show_units(self, self.display)

    def asks_for_moments(self) -> bool:
        """A rule that holds on any day has no window."""
        if self.is_bound:
            return not self.data.get("always")
        return not self.initial.get("always")

    def values(self, line: Line) -> dict[str, Any]:
        """What the form starts with for a rule."""
        window, limits, needs = line["window"], line["limits"], line["conditions"]
        found: dict[str, Any] = {
            name: line[name]
            for name in ("task", "purpose", "drawing", "how", "where", "why", "harm")
        }
        found["source"] = line["source"]
        found["minutes"] = _figure(line["minutes"])
        found["always"] = window.get("always", False)
        for name, end in ENDS:
            found |= self.moment_values(name, window.get(end) or {})
        share = limits.get("share_removed_max")
        if share is not None:
            found["share"] = round_half_up(Decimal(str(share)) * 100, 2).normalize() + 0
        for name, height in zip(
            ("height_low", "height_high"), limits.get("height_left_m", ()), strict=False
        ):
            found[name] = self._shown(height)
        found["cut"] = limits.get("cut", "")
        for name, need in CONDITIONS:
            found[name] = _figure(needs.get(need))
        water = needs.get("irrigated")
        found["irrigated"] = "" if water is None else ("yes" if water else "no")
        found["frost"] = needs.get("frost", "")
        found |= {name: line["repeat"].get(name) for name in REPEATS}
        found["follow_up"] = line["follow_up"].get("rule", "")
        found["follow_days"] = line["follow_up"].get("within_days")
        return {name: value for name, value in found.items() if value is not None}

    def _shown(self, height: Any) -> str:
        unit = self.display.depth_unit
        exact = convert(Decimal(str(height)), unit="m", to=unit)
        return f"{plain(exact, places=2)} {unit}"

    def clean(self) -> dict[str, Any]:
        """A window or any day; a follow-up with its days; heights in order."""
        data = super().clean()
        if data.get("follow_up") and data.get("follow_days") is None:
            if "follow_days" not in self.errors:
                self.add_error("follow_days", _now("Say within how many days."))
        if data.get("height_high") and not data.get("height_low"):
            if "height_low" not in self.errors:
                self.add_error(
                    "height_low", _now("Say the least height too, or only this one.")
                )
        return data

    def line(self) -> Line:
        """The whole rule that was typed."""
        data = self.cleaned_data
        return {
            "task": data["task"],
            "purpose": data["purpose"],
            "window": {"always": True}
            if data["always"]
            else {end: self.moment(name) for name, end in ENDS},
            "limits": self._limits(),
            "conditions": self._conditions(),
            "repeat": {name: data[name] for name in REPEATS if data[name] is not None},
            "follow_up": {
                "rule": data["follow_up"],
                "within_days": data["follow_days"],
            }
            if data["follow_up"]
            else {},
            "drawing": data["drawing"],
            "minutes": _number(data["minutes"]),
            **{name: data[name].strip() for name in ("how", "where", "why", "harm")},
            "source": data["source"],
        }

    def _limits(self) -> Line:
        data = self.cleaned_data
        found: Line = {}
        if data["share"] is not None:
            found["share_removed_max"] = self._share(data["share"])
        if data["height_low"] is not None:
            low = self._metres("height_low", 0)
            high = self._metres("height_high", 1) if data["height_high"] else low
            found["height_left_m"] = [low, high]
        if data["cut"].strip():
            found["cut"] = data["cut"].strip()
        return found

    def _share(self, percent: Decimal) -> float:
        """The share, exactly as it was where the field was left alone."""
        if self.stands and percent == self.initial.get("share"):
            kept: float = self.stands.holds["limits"]["share_removed_max"]
            return kept
        return float(percent / 100)

    def _metres(self, name: str, place: int) -> float:
        """The height, exactly as it was where the field was left alone."""
        typed: Length = self.cleaned_data[name]
        if self.stands and typed.text == self.initial.get(name):
            kept: float = self.stands.holds["limits"]["height_left_m"][place]
            return kept
        return float(typed.metres)

    def _conditions(self) -> Line:
        data = self.cleaned_data
        found: Line = {
            need: _number(data[name])
            for name, need in CONDITIONS
            if data[name] is not None
        }
        if data["irrigated"]:
            found["irrigated"] = data["irrigated"] == "yes"
        if data["frost"]:
            found["frost"] = data["frost"]
        return found

    def field_of(self, fault: Fault) -> str | None:
        """The field that a fault of the rule is about."""
        if fault.field.startswith("window"):
            return self._window_field(fault)
        if fault.field == "conditions":
            return "ph_above" if "pH" in fault.words else "age_from"
        name = FIELDS.get(fault.field, fault.field)
        return name if name in self.fields else None

    def _window_field(self, fault: Fault) -> str:
        for name, end in ENDS:
            if fault.field.startswith(f"window.{end}"):
                return f"{name}_{'anchor' if 'anchor' in fault.field else 'days'}"
        words = fault.words.lower()
        if "always open" in words:
            return "always"
        if "hangs" in words or "after “" in words:
            data = self.cleaned_data
            for name, _end in ENDS:
                anchor = data.get(f"{name}_anchor", "")
                labels = dict(choices_of(self.fields[f"{name}_anchor"]))
                wrong = fault.words.rpartition("not on ")[2]
                if anchor and str(labels[anchor]) in wrong:
                    return f"{name}_anchor"
            return "first_anchor"
        if "best day" in words or "closed season" in words:
            return "best_days"
        return "last_days"


def _title(rule: care.Rule) -> str:
    return f"{Task(rule.task).label}: {rule.key.replace('-', ' ')}"


def _figure(value: Any) -> Any:
    """A figure as it is shown: 3, not 3.0."""
    if value is None:
        return None
    return int(value) if value == int(value) else value


def _number(value: Decimal) -> float | int:
    """A figure as the specification holds it: 3, not 3.0."""
    return int(value) if value == int(value) else float(value)
