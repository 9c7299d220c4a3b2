"""Forms that narrow the lists of plants and gardens."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.dates import MONTHS
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.models import Client
from firm.units import Display
from plants.enums import Kind, Light, Wood
from plants.forms.fields import LengthField, show_units
from plants.queries.fit_search import Wanted
from plants.soil import Size, SoilError, read_size

ANY = ("", _("any"))


class PlantSearchForm(forms.Form):
    """Any name of a plant, its kind, its wood, its light."""

    # Nothing of it must be filled in, so no field says that it may be left empty.
    use_required_attribute = False

    q = forms.CharField(label=_("any of its names"), required=False, max_length=100)
    kind = forms.ChoiceField(
        label=_("kind"),
        required=False,
        choices=[ANY, *Kind.choices],
    )
    wood = forms.ChoiceField(
        label=_("flowers"),
        required=False,
        choices=[ANY, *Wood.choices],
    )
    light = forms.ChoiceField(
        label=_("light"), required=False, choices=[ANY, *Light.choices]
    )


MONTHS_LONG = [(str(number), name) for number, name in MONTHS.items()]


class FitSearchForm(PlantSearchForm):
    """What a plant for a bed should be like besides."""

    flowers_from = forms.ChoiceField(
        label=_("in flower here from"), required=False, choices=[ANY, *MONTHS_LONG]
    )
    flowers_to = forms.ChoiceField(
        label=_("in flower here to"), required=False, choices=[ANY, *MONTHS_LONG]
    )
    height_from = LengthField(label=_("height from"), required=False)
    height_to = LengthField(label=_("height to"), required=False)
    colour = forms.ChoiceField(
        label=_("colour of its flowers"),
        required=False,
        choices=[
            ANY,
            ("white", _("white")),
            ("yellow", _("yellow")),
            ("orange", _("orange")),
            ("red", _("red")),
            ("pink", _("pink")),
            ("purple", _("purple")),
            ("blue", _("blue")),
            ("green", _("green")),
        ],
    )
    evergreen = forms.ChoiceField(
        label=_("leaves in winter"),
        required=False,
        choices=[
            ANY,
            ("yes", _("evergreen")),
            ("semi", _("keeps some leaves")),
            ("no", _("bare")),
        ],
    )
    native = forms.ChoiceField(label=_("native to"), required=False, choices=[ANY])
    only_fitting = forms.BooleanField(
        label=_("leave out what is wrong here"), required=False
    )

    FIRST = ("q", "kind", "only_fitting")

    def __init__(
        self, *args: Any, display: Display, natives: Sequence[str] = (), **options: Any
    ) -> None:
        super().__init__(*args, **options)
        # Beside the months and the colour the plain word would mislead.
        self.fields["wood"].label = _("flowers on which wood")
        show_units(self, display)
        for name in ("height_from", "height_to"):
            self.fields[name].help_text = ""
        if natives:
            self.fields["native"].choices = [  # type: ignore[attr-defined]
                ANY,
                *((place, place) for place in natives),
            ]
        else:
            del self.fields["native"]

    @property
    def always(self) -> list[forms.BoundField]:
        """The fields that are always in sight."""
        return [self[name] for name in self.fields if name in self.FIRST]

    @property
    def more(self) -> list[forms.BoundField]:
        """The fields that are unfolded when they are wanted."""
        return [self[name] for name in self.fields if name not in self.FIRST]

    @property
    def asks_more(self) -> bool:
        """Whether one of those was filled in."""
        return any(field.value() for field in self.more)

    def clean(self) -> dict[str, Any]:
        """A height that goes up."""
        data = super().clean() or {}
        low, high = data.get("height_from"), data.get("height_to")
        if low and high and low.metres > high.metres:
            self.add_error("height_to", _now("This is below the height it begins at."))
        return data

    def wanted(self) -> Wanted:
        """What was asked for; a field that cannot be read asks for nothing."""
        self.is_valid()
        data = self.cleaned_data
        low, high = data.get("height_from"), data.get("height_to")
        return Wanted(
            words=data.get("q", ""),
            kind=data.get("kind", ""),
            wood=data.get("wood", ""),
            light=data.get("light", ""),
            months=_months(data.get("flowers_from"), data.get("flowers_to")),
            height_from_m=low.metres if low else None,
            height_to_m=high.metres if high else None,
            colour=data.get("colour", ""),
            evergreen=data.get("evergreen", ""),
            native=data.get("native", ""),
            only_fitting=bool(data.get("only_fitting")),
        )


def _months(first: str | None, last: str | None) -> frozenset[int]:
    """The months from FIRST to LAST, over the new year where it must be."""
    if not first and not last:
        return frozenset()
    start = int(first or last or 1)
    end = int(last or first or 12)
    return frozenset((start - 1 + n) % 12 + 1 for n in range((end - start) % 12 + 1))


class SizeForm(forms.Form):
    """How a plant is sold."""

    use_required_attribute = False

    size = forms.CharField(
        label=_("size as it is sold"),
        required=False,
        max_length=60,
        help_text=_("such as #3, 4 in pot, 2 in balled or bare root"),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def clean_size(self) -> Size | None:
        """The size, or what is wrong with its words."""
        said: str = self.cleaned_data["size"]
        if not said:
            return None
        try:
            return read_size(said)
        except SoilError as refused:
            raise ValidationError(str(refused), code="size") from None


class GardenSearchForm(forms.Form):
    """Words of a garden, its client."""

    # Nothing of it must be filled in, so no field says that it may be left empty.
    use_required_attribute = False

    q = forms.CharField(
        label=_("name, address or client"), required=False, max_length=100
    )
    client = forms.ModelChoiceField(
        label=_("client"),
        required=False,
        queryset=Client.objects.order_by("name", "id"),
        empty_label=_("any"),
    )

    def criteria(self) -> dict[str, Any]:
        """What was asked for; a client that is not there finds everything."""
        if not self.is_valid():
            return {"words": "", "client_id": None}
        client = self.cleaned_data["client"]
        return {
            "words": self.cleaned_data["q"],
            "client_id": client.pk if client else None,
        }
