"""Forms that narrow the lists of plants and gardens."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from firm.models import Client
from plants.enums import Kind, Light, Wood

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
