"""Forms for beds, their measures and shades."""

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms.formsets import BaseFormSet, formset_factory
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.units import Display, convert, plain
from plants.actions.beds import BedDetails, ShadeDetails
from plants.enums import BedShape, Facing, Light, Moisture, ShadeKind, Texture
from plants.forms.fields import (
    Length,
    LengthField,
    PhField,
    PhTyped,
    YesNoField,
    show_units,
    yes_no,
)
from plants.forms.measures import SHORTEST_M, OutlineField, PiecesField, side
from plants.models import Bed, Garden
from plants.sun.outline import (
    outline_area_m2,
)

# Larger than the largest that the take-off of quotes accepts makes no bed.
LARGEST_M2 = Decimal(100_000)
# The largest number that a row can have.
MOST_ROW = 2**63 - 1
UNKNOWN = ("", _("not known"))
FIZZES, QUIET = "fizzes", "quiet"
VINEGAR = [
    ("", _("not tried")),
    (FIZZES, _("fizzes: it holds free lime")),
    (QUIET, _("nothing happens: no free lime")),
]
SIZES = {
    BedShape.RECTANGLE: ("length", "width"),
    BedShape.CIRCLE: ("across",),
    BedShape.PIECES: ("pieces",),
    BedShape.OUTLINE: ("outline",),
}


class BedForm(forms.Form):
    """A bed as it is measured and seen on the survey."""

    # Asked for by the shape, so that "if any" would mislead.
    HANGS_ON_ANOTHER = ("length", "width", "across", "pieces", "outline")

    name = forms.CharField(
        label=_("name"), max_length=80, help_text=_("such as Front border")
    )
    shape = forms.ChoiceField(
        label=_("shape"), choices=BedShape.choices, initial=BedShape.RECTANGLE
    )
    length = side(_("length, of a rectangle"))
    width = side(_("width, of a rectangle"))
    across = side(_("across, of a circle"))
    pieces = PiecesField(
        label=_("several rectangles"),
        required=False,
        help_text=_("one a line, length x width, such as 12 ft 6 in x 4 ft"),
    )
    outline = OutlineField(
        label=_("outline"),
        required=False,
        help_text=_(
            "one corner a line, along the front; to the back, such as 12 ft 6 in; 4 ft"
            " - or one side a line with the turn at its end, such as 12 ft left 90;"
            " the first side is the front, from left to right"
        ),
    )
    depth = LengthField(
        label=_("depth of good soil wanted"),
        required=False,
        is_depth=True,
        maximum_m=Decimal(3),
    )
    facing = forms.ChoiceField(
        label=_("faces"), required=False, choices=[UNKNOWN, *Facing.choices]
    )
    light = forms.ChoiceField(
        label=_("light"),
        required=False,
        choices=[UNKNOWN, *Light.choices],
        help_text=_("direct sun in the growing season, as seen"),
    )
    latest_sun = forms.TimeField(
        label=_("latest direct sun"),
        required=False,
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        help_text=_("by the clock, at midsummer"),
    )
    texture = forms.ChoiceField(
        label=_("soil"), required=False, choices=[UNKNOWN, *Texture.choices]
    )
    ph = PhField(
        label=_("pH"),
        required=False,
        help_text=_("from a soil test, such as 6.5, or a strip: about 6 and a half"),
    )
    vinegar = forms.ChoiceField(
        label=_("a drop of vinegar on it"), required=False, choices=VINEGAR
    )
    moisture = forms.ChoiceField(
        label=_("moisture"), required=False, choices=[UNKNOWN, *Moisture.choices]
    )
    is_irrigated = forms.BooleanField(label=_("irrigated"), required=False)
    has_salt = YesNoField(
        label=_("salt reaches it"), help_text=_("from a road in winter or the sea")
    )
    is_windy = YesNoField(
        label=_("windy"), help_text=_("open to the prevailing or to winter wind")
    )
    notes = forms.CharField(
        label=_("notes"), required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    version = forms.IntegerField(min_value=1, required=False, widget=forms.HiddenInput)

    def __init__(
        self,
        *args: Any,
        garden: Garden,
        display: Display,
        bed: Bed | None = None,
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.garden = garden
        self.bed = bed
        self.display = display
        show_units(self, display)
        for name in ("pieces", "outline"):
            self.fields[name].unit = display.length_unit  # type: ignore[attr-defined]
        self.fields["version"].required = bed is not None

    def clean_name(self) -> str:
        """A name that no other bed of the garden has."""
        name: str = self.cleaned_data["name"]
        others = self.garden.beds.filter(name=name)
        if self.bed is not None:
            others = others.exclude(pk=self.bed.pk)
        if others.exists():
            raise ValidationError(_("This garden already has a bed of that name."))
        return name

    def clean(self) -> dict[str, Any]:
        """The sizes that the shape needs, and no area that nobody could plant."""
        data = super().clean() or {}
        for name in SIZES.get(data.get("shape", ""), ()):
            if name in data and not data[name]:
                self.add_error(name, _now("This shape needs it."))
        area = self._area(data)
        if area is not None and area > LARGEST_M2:
            most = convert(LARGEST_M2, unit="m²", to=self.display.area_unit)
            self.add_error(
                SIZES[BedShape(data["shape"])][0],
                _now("A bed of more than %(most)s %(unit)s is refused.")
                % {
                    "most": plain(most, places=0),
                    "unit": self.display.area_unit,
                },
            )
        return data

    def _area(self, data: dict[str, Any]) -> Decimal | None:
        if any(not data.get(name) for name in SIZES.get(data.get("shape", ""), ("",))):
            return None
        if data["shape"] == BedShape.RECTANGLE:
            return data["length"].metres * data["width"].metres
        if data["shape"] == BedShape.CIRCLE:
            return data["across"].metres ** 2
        if data["shape"] == BedShape.OUTLINE:
            return outline_area_m2(data["outline"].corners)
        return sum(
            (piece.length_m * piece.width_m for piece in data["pieces"]), Decimal(0)
        )

    def details(self) -> BedDetails:
        """What was typed, for the action; sizes of another shape are left out."""
        data = self.cleaned_data
        used = SIZES[BedShape(data["shape"])]

        def length(name: str) -> Length:
            found = data[name] if name in used or name == "depth" else None
            return found or Length(text="", metres=Decimal(0))

        def metres(name: str) -> Decimal | None:
            return length(name).metres or None

        ph: PhTyped | None = data["ph"]
        return BedDetails(
            name=data["name"],
            shape=data["shape"],
            length_text=length("length").text,
            length_m=metres("length"),
            width_text=length("width").text,
            width_m=metres("width"),
            across_text=length("across").text,
            across_m=metres("across"),
            pieces=data["pieces"] if "pieces" in used else (),
            outline_text=data["outline"].text if "outline" in used else "",
            corners=data["outline"].corners if "outline" in used else (),
            depth_text=length("depth").text,
            depth_m=metres("depth"),
            facing=data["facing"],
            light=data["light"],
            latest_sun=data["latest_sun"],
            texture=data["texture"],
            ph=ph.ph.middle if ph else None,
            ph_text=ph.text if ph else "",
            ph_low=ph.ph.low if ph else None,
            ph_high=ph.ph.high if ph else None,
            has_free_lime=data["vinegar"] == FIZZES,
            is_lime_tested=bool(data["vinegar"]),
            moisture=data["moisture"],
            is_irrigated=data["is_irrigated"],
            has_salt=data["has_salt"],
            is_windy=data["is_windy"],
            notes=data["notes"],
        )


def ph_typed(bed: Bed) -> str:
    """The pH as it was typed, or the one figure of an older row."""
    if bed.ph_text or bed.ph is None:
        return bed.ph_text
    return plain(bed.ph, places=1)


def vinegar_said(bed: Bed) -> str:
    """What the drop of vinegar did."""
    if bed.has_free_lime:
        return FIZZES
    return QUIET if bed.is_lime_tested else ""


def bed_values(bed: Bed) -> dict[str, Any]:
    """What the form starts with, and what stands now when two people meet in it."""
    names = (
        "name",
        "shape",
        "facing",
        "light",
        "latest_sun",
        "texture",
        "moisture",
        "is_irrigated",
        "notes",
        "version",
    )
    return {
        **{name: getattr(bed, name) for name in names},
        "ph": ph_typed(bed),
        "vinegar": vinegar_said(bed),
        "has_salt": yes_no(bed.has_salt),
        "is_windy": yes_no(bed.is_windy),
        "length": bed.length_text,
        "width": bed.width_text,
        "across": bed.across_text,
        "depth": bed.depth_text,
        "outline": bed.outline_text,
        "pieces": "\n".join(
            f"{piece['length_text']} x {piece['width_text']}" for piece in bed.pieces
        ),
    }


class ShadeForm(forms.Form):
    """One thing that keeps sun off the bed; an empty one is left out."""

    kind = forms.ChoiceField(
        label=_("what shades it"),
        choices=[("", _("nothing more")), *ShadeKind.choices],
    )
    side = forms.ChoiceField(
        label=_("on its side to the"),
        choices=[
            ("", ""),
            *((key, word) for key, word in Facing.choices if key != Facing.OPEN),
        ],
    )
    height = LengthField(
        label=_("height"), minimum_m=SHORTEST_M, maximum_m=Decimal(150)
    )
    distance = LengthField(
        label=_("distance from the bed"),
        minimum_m=Decimal(0),
        maximum_m=Decimal(500),
    )
    is_evergreen = forms.BooleanField(
        label=_("evergreen, if it is a tree or hedge"), required=False
    )
    row = forms.IntegerField(
        min_value=1, max_value=MOST_ROW, required=False, widget=forms.HiddenInput
    )

    def __init__(self, *args: Any, display: Display, **options: Any) -> None:
        super().__init__(*args, **options)
        show_units(self, display)

    def details(self) -> ShadeDetails:
        """What was typed, for the action."""
        data = self.cleaned_data
        return ShadeDetails(
            kind=data["kind"],
            side=data["side"],
            height_text=data["height"].text,
            height_m=data["height"].metres,
            distance_text=data["distance"].text,
            distance_m=data["distance"].metres,
            is_evergreen=data["is_evergreen"],
            row=data["row"],
        )


class BaseShadeFormSet(BaseFormSet[ShadeForm]):
    """All that shades one bed."""

    def get_form_kwargs(self, index: int | None) -> dict[str, Any]:
        """A blank shade is left out, so the browser must not demand it."""
        return {**super().get_form_kwargs(index), "use_required_attribute": False}

    def add_fields(self, form: ShadeForm, index: int | None) -> None:
        """A shade that is there can be struck out."""
        super().add_fields(form, index)
        if "DELETE" in form.fields:
            form.fields["DELETE"].label = _("strike it out")

    def details(self) -> list[ShadeDetails]:
        """The shades that were typed and not struck out, for the action."""
        return [
            form.details()
            for form in self.forms
            if form not in self.deleted_forms and form.cleaned_data.get("kind")
        ]


ShadeFormSet = formset_factory(
    ShadeForm,
    formset=BaseShadeFormSet,
    extra=2,
    can_delete=True,
    can_delete_extra=False,
    max_num=12,
    absolute_max=12,
)


def shade_values(bed: Bed | None) -> list[dict[str, Any]]:
    """What the formset starts with."""
    if bed is None:
        return []
    return [
        {
            "kind": shade.kind,
            "side": shade.side,
            "height": shade.height_text,
            "distance": shade.distance_text,
            "is_evergreen": shade.is_evergreen,
            "row": shade.pk,
        }
        for shade in bed.shades.order_by("id")
    ]
