"""Forms of a bed's sketch: what shades it, which way it looks, the moment shown."""

import datetime as dt
import re
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.units import Display
from plants import sun
from plants.actions.shades import PlacedShade
from plants.enums import Facing, ShadeKind
from plants.forms.beds import MOST_ROW
from plants.forms.fields import Length, LengthField, Versioned, show_units
from plants.forms.measures import SHORTEST_M
from plants.models import Bed, Shade
from plants.queries.sun import CROWNS, ground_of, off_the_bed

POINT = re.compile(r"(-?\d{1,3}(?:\.\d{1,3})?),(-?\d{1,3}(?:\.\d{1,3})?)")
FARTHEST_M = 500
SIDES = [
    ("", _("choose one")),
    *((key, word) for key, word in Facing.choices if key != Facing.OPEN),
]


def degrees_field(label: Any, help_text: Any) -> forms.IntegerField:
    """A field for a bearing, from the north by the east."""
    return forms.IntegerField(
        label=label,
        required=False,
        min_value=0,
        max_value=359,
        help_text=help_text,
        widget=forms.NumberInput(attrs={"data-unit": "°", "inputmode": "numeric"}),
    )


def percent_field(label: Any, help_text: Any) -> forms.IntegerField:
    """A field for the share of sun that comes through."""
    return forms.IntegerField(
        label=label,
        required=False,
        min_value=0,
        max_value=100,
        help_text=help_text,
        widget=forms.NumberInput(attrs={"data-unit": "%", "inputmode": "numeric"}),
    )


class SketchShadeForm(Versioned):
    """One thing that shades the bed, in numbers or tapped on the plan."""

    # Asked for unless a place was tapped, so that "if any" would mislead.
    HANGS_ON_ANOTHER = ("side", "distance")

    kind = forms.ChoiceField(
        label=_("what shades it"), choices=[("", _("choose one")), *ShadeKind.choices]
    )
    height = LengthField(
        label=_("height"), minimum_m=SHORTEST_M, maximum_m=Decimal(150)
    )
    side = forms.ChoiceField(
        label=_("on its side to the"), required=False, choices=SIDES
    )
    bearing_deg = degrees_field(
        _("or by compass"),
        _("from the bed's middle; square to a wall, straight to a trunk"),
    )
    distance = LengthField(
        label=_("distance from the bed's edge"),
        required=False,
        minimum_m=Decimal(0),
        maximum_m=Decimal(FARTHEST_M),
    )
    length = LengthField(
        label=_("length of the wall, fence or hedge"),
        required=False,
        minimum_m=SHORTEST_M,
        maximum_m=Decimal(FARTHEST_M),
        help_text=_("empty: it runs on past both ends of the bed"),
    )
    offset = LengthField(
        label=_("its middle lies aside by"),
        required=False,
        minimum_m=Decimal(0),
        maximum_m=Decimal(FARTHEST_M),
        help_text=_("empty: straight across from the bed's middle"),
    )
    offset_to = forms.ChoiceField(
        label=_("to the"),
        required=False,
        choices=[("right", _("right, seen from the bed")), ("left", _("left"))],
    )
    spread = LengthField(
        label=_("spread of the crown"),
        required=False,
        minimum_m=SHORTEST_M,
        maximum_m=Decimal(100),
    )
    trunk = LengthField(
        label=_("clear trunk under the crown"),
        required=False,
        minimum_m=Decimal(0),
        maximum_m=Decimal(100),
    )
    is_evergreen = forms.BooleanField(label=_("evergreen"), required=False)
    in_leaf_percent = percent_field(
        _("sun that comes through in leaf"),
        _("empty: 19 of 100, evergreen 27 (means of trees measured in towns)"),
    )
    bare_percent = percent_field(
        _("and without leaves"), _("empty: 51 of 100 (the same measurements)")
    )
    points = forms.CharField(required=False, max_length=60, widget=forms.HiddenInput)
    row = forms.IntegerField(
        min_value=1, max_value=MOST_ROW, required=False, widget=forms.HiddenInput
    )

    def __init__(self, *args: Any, bed: Bed, display: Display, **options: Any) -> None:
        super().__init__(*args, **options)
        self.bed = bed
        self.display = display
        show_units(self, display)

    def clean_points(self) -> tuple[sun.Point, ...]:
        """The places that were tapped, in metres east and north; none without."""
        text: str = self.cleaned_data["points"]
        found = []
        for part in text.split():
            match = POINT.fullmatch(part)
            if match is None or max(abs(float(each)) for each in match.groups()) > (
                FARTHEST_M
            ):
                raise ValidationError(
                    _now("The tapped place is not understood: tap it once more.")
                )
            found.append((float(match[1]), float(match[2])))
        return tuple(found)

    def clean(self) -> dict[str, Any]:
        """What this kind of thing needs, and nothing that cannot be."""
        data = super().clean() or {}
        kind = data.get("kind")
        points = data.get("points") or ()
        is_crown = kind in CROWNS
        if kind and points and len(points) != (1 if is_crown else 2):
            self.add_error(
                None,
                _now("Tap the trunk once.")
                if is_crown
                else _now("Tap both ends of the wall, fence or hedge."),
            )
        if not points and "points" in data:
            if not data.get("side") and data.get("bearing_deg") is None:
                if not {"side", "bearing_deg"} & set(self.errors):
                    self.add_error("side", _now("On which side does it stand?"))
            if data.get("distance") is None and "distance" not in self.errors:
                self.add_error("distance", _now("How far away is it?"))
        trunk, height = data.get("trunk"), data.get("height")
        if (
            kind == ShadeKind.TREE
            and trunk
            and height
            and (trunk.metres >= height.metres)
        ):
            self.add_error(
                "trunk", _now("The clear trunk is shorter than the whole tree.")
            )
        return data

    def details(self) -> PlacedShade:
        """What was typed or tapped, for the action."""
        data = self.cleaned_data
        is_crown = data["kind"] in CROWNS
        places: dict[str, Decimal] = {}
        distance: Length | None = data["distance"]
        bearing, side = data["bearing_deg"], data["side"]
        if data["points"]:
            side, bearing, far = off_the_bed(ground_of(self.bed), *data["points"])
            metres = Decimal(f"{far:.2f}")
            shown = self.display.length(metres, trim=True)
            distance = Length(text=shown, metres=metres)
            names = (("at_east_m", "at_north_m"), ("to_east_m", "to_north_m"))
            for pair, point in zip(names, data["points"], strict=False):
                places |= {
                    name: Decimal(f"{metre:.3f}")
                    for name, metre in zip(pair, point, strict=True)
                }
        elif bearing is not None:
            side = SIDES[1:][round(bearing / 45) % 8][0]
        drawn = bool(data["points"])

        def length(name: str, *, wanted: bool) -> tuple[str, Decimal | None]:
            found: Length | None = data[name] if wanted else None
            return (found.text, found.metres) if found else ("", None)

        assert distance is not None  # noqa: S101 (clean asked for it)
        wall = not is_crown and not drawn
        length_text, length_m = length("length", wanted=wall)
        offset_text, offset_m = length("offset", wanted=wall)
        if offset_m is not None and data["offset_to"] == "left":
            offset_m = -offset_m
        spread_text, spread_m = length("spread", wanted=is_crown)
        trunk_text, trunk_m = length("trunk", wanted=data["kind"] == ShadeKind.TREE)
        return PlacedShade(
            kind=data["kind"],
            side=side,
            bearing_deg=bearing,
            height_text=data["height"].text,
            height_m=data["height"].metres,
            distance_text=distance.text,
            distance_m=distance.metres,
            is_evergreen=data["is_evergreen"],
            length_text=length_text,
            length_m=length_m,
            offset_text=offset_text,
            offset_m=offset_m,
            spread_text=spread_text,
            spread_m=spread_m,
            trunk_text=trunk_text,
            trunk_m=trunk_m,
            in_leaf_percent=data["in_leaf_percent"],
            bare_percent=data["bare_percent"],
            **places,
        )


def sketch_shade_values(shade: Shade) -> dict[str, Any]:
    """What the form starts with when a shade is changed."""
    points = [
        f"{east:.3f},{north:.3f}"
        for east, north in (
            (shade.at_east_m, shade.at_north_m),
            (shade.to_east_m, shade.to_north_m),
        )
        if east is not None and north is not None
    ]
    return {
        "kind": shade.kind,
        "height": shade.height_text,
        "side": shade.side,
        "bearing_deg": shade.bearing_deg,
        "distance": shade.distance_text,
        "length": shade.length_text,
        "offset": shade.offset_text,
        "offset_to": "left" if (shade.offset_m or 0) < 0 else "right",
        "spread": shade.spread_text,
        "trunk": shade.trunk_text,
        "is_evergreen": shade.is_evergreen,
        "in_leaf_percent": shade.in_leaf_percent,
        "bare_percent": shade.bare_percent,
        "points": " ".join(points),
        "row": shade.pk,
    }


class BedTurnForm(Versioned):
    """Which way a bed looks."""

    facing = forms.ChoiceField(
        label=_("the bed looks to the"),
        required=False,
        choices=[("", _("not known")), *Facing.choices],
        help_text=_("its length runs square to that"),
    )
    bearing_deg = degrees_field(
        _("or by compass"), _("turn it until the length runs as it does")
    )


class MomentForm(forms.Form):
    """The day and hour whose shadows are shown."""

    day = forms.DateField(
        label=_("day"), widget=forms.DateInput(attrs={"type": "date"})
    )
    hour = forms.TimeField(
        label=_("hour"),
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
    )

    def clean_day(self) -> dt.date:
        """A day whose sun the method knows."""
        day: dt.date = self.cleaned_data["day"]
        if not 1950 <= day.year <= 2050:
            raise ValidationError(_now("The sun is known from 1950 to 2050."))
        return day
