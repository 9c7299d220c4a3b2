"""The fields of a group's facts, and the facts that are typed into them."""

import datetime as dt
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.dates import MONTHS
from django.utils.translation import gettext_lazy as _

from firm.units import Display, convert, plain
from plants.care.regions import REGIONS
from plants.enums import (
    Buds,
    Evergreen,
    Growth,
    Habit,
    Kind,
    Light,
    Moisture,
    Poison,
    Wood,
)
from plants.forms.fields import LengthField
from plants.forms.own.lines import SourceChoice, choices_of

CREATURES = ("people", "dogs", "cats", "horses")
REGION_WORDS = {"mid-atlantic": _("Mid-Atlantic (the Virginia Piedmont)")}
TALLEST_M, WIDEST_M = Decimal(60), Decimal(40)

# Low and high end of a fact, and whether it may run over the end of the year.
PAIRS = (
    ("bloom_first", "bloom_last", True),
    ("sun_min", "sun_max", False),
    ("ph_low", "ph_high", False),
    ("hardiness_low", "hardiness_high", False),
    ("heat_low", "heat_high", False),
    ("height", "width", True),
)
SECTIONS: Mapping[Any, Sequence[str]] = {
    _("What it is"): (
        *("kind", "habit", "evergreen", "buds", "wood"),
        *("bloom_first", "bloom_last", "bloom_region", "colour"),
        *("height", "width", "spacing", "growth"),
    ),
    _("What it needs"): (
        *("light_best", "light_bearable", "sun_min", "sun_max", "latest_sun"),
        *("ph_low", "ph_high", "moisture"),
        *("hardiness_low", "hardiness_high", "heat_low", "heat_high"),
        "planting_note",
    ),
    _("What it does to people, animals and the wild"): (
        *CREATURES,
        *("poison_note", "poison_source", "invasive"),
    ),
}


def _whole(label: Any, low: int, high: int, *, required: bool = True) -> Any:
    return forms.IntegerField(
        label=label, min_value=low, max_value=high, required=required
    )


def _tenths(label: Any, low: int, high: int, unit: str) -> Any:
    return forms.DecimalField(
        label=label,
        min_value=low,
        max_value=high,
        decimal_places=1,
        widget=forms.NumberInput(attrs={"step": "any", "data-unit": unit}),
    )


def _month(label: Any) -> forms.TypedChoiceField:
    return forms.TypedChoiceField(
        label=label,
        required=False,
        coerce=int,
        empty_value=None,
        choices=[("", _("its flowers do not matter")), *MONTHS.items()],
    )


def _several(label: Any, choices: Any, *, required: bool = True) -> Any:
    return forms.MultipleChoiceField(
        label=label,
        choices=choices,
        required=required,
        widget=forms.CheckboxSelectMultiple,
    )


def _poison(label: Any) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=label, choices=Poison.choices, initial=Poison.UNKNOWN
    )


class FactFields(forms.Form):
    """One field for each fact; lengths in the firm's units."""

    kind = forms.ChoiceField(label=_("kind"), choices=Kind.choices)
    habit = forms.ChoiceField(label=_("shape"), choices=Habit.choices)
    evergreen = forms.ChoiceField(label=_("leaves"), choices=Evergreen.choices)
    buds = forms.ChoiceField(label=_("buds sit"), choices=Buds.choices)
    wood = forms.ChoiceField(
        label=_("flowers"),
        choices=Wood.choices,
        initial=Wood.NONE,
        help_text=_("which cuts cost flowers hangs on this"),
    )
    bloom_first = _month(_("first month in flower"))
    bloom_last = _month(_("last month in flower"))
    bloom_region = forms.ChoiceField(
        label=_("months as seen in"),
        required=False,
        choices=[(key, REGION_WORDS.get(key, key)) for key in REGIONS],
        help_text=_("shifted to each garden by its spring"),
    )
    colour = forms.CharField(
        label=_("colour of its flowers"), required=False, max_length=80
    )
    height = LengthField(label=_("grown height"), maximum_m=TALLEST_M)
    width = LengthField(label=_("grown width"), maximum_m=WIDEST_M)
    spacing = LengthField(label=_("spacing"), is_depth=True, maximum_m=WIDEST_M)
    growth = forms.ChoiceField(
        label=_("growth"), choices=Growth.choices, initial=Growth.MEDIUM
    )
    light_best = _several(_("light it likes"), Light.choices)
    light_bearable = _several(_("light it bears"), Light.choices, required=False)
    sun_min = _tenths(_("direct sun, at least"), 0, 24, "h")
    sun_max = _tenths(_("direct sun, at most"), 0, 24, "h")
    latest_sun = forms.TimeField(
        label=_("no direct sun after"),
        required=False,
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
    )
    ph_low = _tenths(_("soil pH from"), 3, 10, "pH")
    ph_high = _tenths(_("soil pH to"), 3, 10, "pH")
    moisture = _several(_("moisture"), Moisture.choices)
    hardiness_low = _whole(_("coldest hardiness zone"), 1, 13)
    hardiness_high = _whole(_("warmest hardiness zone"), 1, 13)
    heat_low = _whole(_("heat zones from"), 1, 12, required=False)
    heat_high = _whole(_("heat zones to"), 1, 12, required=False)
    planting_note = forms.CharField(
        label=_("how it is planted"),
        required=False,
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    people = _poison(_("to people"))
    dogs = _poison(_("to dogs"))
    cats = _poison(_("to cats"))
    horses = _poison(_("to horses"))
    poison_note = forms.CharField(
        label=_("what is known of its poison"), required=False, max_length=500
    )
    poison_source = SourceChoice(
        label=_("source of what is said of poison"),
        required=False,
        help_text=_("“not toxic” asks for a page that was itself read"),
    )
    invasive = forms.CharField(
        label=_("spreads wild in"),
        required=False,
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=_("one state or region on each line; look at the local list"),
    )


def fact_values(facts: Mapping[str, Any], display: Display) -> dict[str, Any]:
    """What the form starts with for facts; only what they say."""
    found: dict[str, Any] = {
        name: facts[name]
        for name in ("kind", "habit", "evergreen", "buds", "wood", "growth", "moisture")
        if name in facts
    }
    bloom = facts.get("bloom") or {}
    if bloom:
        found["bloom_first"], found["bloom_last"] = bloom["months"]
        found["bloom_region"] = bloom.get("region", "")
        found["colour"] = bloom.get("colour", "")
    size = facts.get("mature") or {}
    for name, field in (("height_m", "height"), ("width_m", "width")):
        if size.get(name) is not None:
            found[field] = _shown(size[name], display.length_unit)
    if facts.get("spacing_m") is not None:
        found["spacing"] = _shown(facts["spacing_m"], display.depth_unit)
    light = facts.get("light") or {}
    found |= {f"light_{name}": light[name] for name in light}
    hours = facts.get("sun_hours") or {}
    found |= {f"sun_{name}": _figure(hours[name]) for name in hours}
    if facts.get("latest_sun"):
        found["latest_sun"] = dt.time.fromisoformat(facts["latest_sun"])
    for name in ("ph", "hardiness", "heat"):
        pair = facts.get(name)
        if pair:
            found[f"{name}_low"], found[f"{name}_high"] = map(_figure, pair)
    found["planting_note"] = (facts.get("planting") or {}).get("note", "")
    poison = facts.get("toxicity") or {}
    found |= {who: poison[who] for who in CREATURES if who in poison}
    found["poison_note"] = poison.get("note", "")
    found["poison_source"] = poison.get("source", "")
    found["invasive"] = "\n".join(facts.get("invasive") or ())
    return {name: value for name, value in found.items() if value not in ("", None)}


def facts_typed(
    data: Mapping[str, Any],
    initial: Mapping[str, Any],
    kept: Mapping[str, Any],
    *,
    below: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    """The facts that were typed, empty ones left out.

    KEPT are the facts that the form started with, for what was left alone. BELOW are
    the facts of a plant's group, which complete those that come in one piece.
    """
    under = below or {}
    said: dict[str, Any] = {
        name: data[name]
        for name in ("kind", "habit", "evergreen", "buds", "wood", "growth")
        if data.get(name)
    }
    if data.get("bloom_first") and data.get("bloom_last"):
        said["bloom"] = _bloom(data, initial, kept)
    elif below is None:
        said["bloom"] = None
    for name in ("ph", "hardiness", "heat"):
        low, high = data.get(f"{name}_low"), data.get(f"{name}_high")
        if low is not None and high is not None:
            said[name] = [_plain(low), _plain(high)]
        elif below is None:
            said[name] = None
    if data.get("sun_min") is not None and data.get("sun_max") is not None:
        said["sun_hours"] = {
            "min": _plain(data["sun_min"]),
            "max": _plain(data["sun_max"]),
        }
    if data.get("latest_sun"):
        said["latest_sun"] = f"{data['latest_sun']:%H:%M}"
    elif below is None:
        said["latest_sun"] = None
    if data.get("moisture"):
        said["moisture"] = list(data["moisture"])
    if data.get("light_best") or data.get("light_bearable"):
        light = under.get("light") or {}
        said["light"] = {
            "best": list(data.get("light_best") or light.get("best", [])),
            "bearable": list(data.get("light_bearable") or []),
        }
    said |= _sizes(data, initial, kept)
    said |= _poison_typed(data, under)
    places = [line.strip() for line in (data.get("invasive") or "").splitlines()]
    if any(places) or below is None:
        said["invasive"] = list(dict.fromkeys(place for place in places if place))
    note = (data.get("planting_note") or "").strip()
    if note or below is None:
        planting = dict(kept.get("planting") or under.get("planting") or {})
        planting.pop("note", None)
        said["planting"] = {**planting, **({"note": note} if note else {})}
    return said


def _bloom(
    data: Mapping[str, Any], initial: Mapping[str, Any], kept: Mapping[str, Any]
) -> dict[str, Any]:
    """The months; degree days stay only while the months do."""
    months = [data["bloom_first"], data["bloom_last"]]
    region = data.get("bloom_region") or next(iter(REGIONS))
    old = dict(kept.get("bloom") or {})
    same = months == [initial.get("bloom_first"), initial.get("bloom_last")]
    if not same or region != old.get("region"):
        old = {"source": "common practice"}
    old.pop("colour", None)
    colour = (data.get("colour") or "").strip()
    return {
        **old,
        "months": months,
        "region": region,
        **({"colour": colour} if colour else {}),
    }


def _sizes(
    data: Mapping[str, Any], initial: Mapping[str, Any], kept: Mapping[str, Any]
) -> dict[str, Any]:
    """Lengths in metres, exactly as they were where a field was left alone."""
    old = kept.get("mature") or {}

    def metres(name: str, stood: Any) -> float:
        typed = data[name]
        return stood if typed.text == initial.get(name) else float(typed.metres)

    said: dict[str, Any] = {}
    if data.get("height") and data.get("width"):
        said["mature"] = {
            "height_m": metres("height", old.get("height_m")),
            "width_m": metres("width", old.get("width_m")),
        }
    if data.get("spacing"):
        said["spacing_m"] = metres("spacing", kept.get("spacing_m"))
    return said


def _poison_typed(data: Mapping[str, Any], under: Mapping[str, Any]) -> dict[str, Any]:
    """All that is said of poison, completed from a plant's group; unknown by default.

    A plant of which nothing is said differently is as its group.
    """
    chosen = {who: data[who] for who in CREATURES if data.get(who)}
    note = (data.get("poison_note") or "").strip()
    if under and not chosen and not note:
        return {}
    below = under.get("toxicity") or {}
    return {
        "toxicity": {
            **{who: chosen.get(who, below.get(who, "unknown")) for who in CREATURES},
            "note": note or below.get("note", ""),
            "source": data.get("poison_source")
            or below.get("source")
            or "common practice",
        }
    }


def words_of(field: forms.Field, value: Any) -> str:
    """A value as somebody would read it beside a field."""
    if value in (None, "", []):
        return ""
    if isinstance(value, dt.time):
        return f"{value:%H:%M}"
    if isinstance(field, forms.ChoiceField):
        labels = {str(key): str(label) for key, label in choices_of(field)}
        many = value if isinstance(value, list | tuple) else [value]
        return ", ".join(labels.get(str(one), str(one)) for one in many)
    return str(value).replace("\n", ", ")


def _shown(metres: Any, unit: str) -> str:
    exact = convert(Decimal(str(metres)), unit="m", to=unit)
    return f"{plain(exact, places=2).replace(',', '')} {unit}"


def _figure(value: Any) -> Any:
    return int(value) if value == int(value) else value


def _plain(value: Any) -> float | int:
    return int(value) if value == int(value) else float(value)
