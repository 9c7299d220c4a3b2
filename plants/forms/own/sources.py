"""The form of a source that the firm names."""

from django import forms
from django.utils.translation import gettext_lazy as _

from plants.enums import HowRead


class SourceForm(forms.Form):
    """Where a fact or a rule of the firm comes from."""

    publisher = forms.CharField(label=_("who published it"), max_length=200)
    title = forms.CharField(label=_("title"), max_length=300)
    address = forms.CharField(
        label=_("address, or where it is kept"), required=False, max_length=300
    )
    how_read = forms.ChoiceField(
        label=_("how it was read"),
        choices=HowRead.choices,
        initial=HowRead.MEMORY,
        help_text=_("“not toxic” is only said on a page that was itself read"),
    )
