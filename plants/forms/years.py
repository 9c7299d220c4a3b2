"""Which year of a garden is asked for."""

from django import forms
from django.utils.translation import gettext_lazy as _

FIRST_YEAR = 2000
LAST_YEAR = 2200


class YearForm(forms.Form):
    """The year that is shown; without one it is this year."""

    # Nothing of it must be filled in, so no field says that it may be left empty.
    use_required_attribute = False
    # Nothing is saved here, so nothing is "not saved".
    error_title = _("Not understood yet")

    year = forms.IntegerField(
        label=_("year"),
        required=False,
        min_value=FIRST_YEAR,
        max_value=LAST_YEAR,
        error_messages={
            "invalid": _("Type a year in figures, such as 2027."),
            "min_value": _("Years are reckoned from 2000 to 2200."),
            "max_value": _("Years are reckoned from 2000 to 2200."),
        },
    )

    def asked(self) -> int | None:
        """The year; None when it was left out or makes no sense."""
        return self.cleaned_data["year"] if self.is_valid() else None

    def showing(self, year: int) -> "YearForm":
        """The form with YEAR in it where none was asked for."""
        return self if self.data.get("year") else YearForm(initial={"year": year})
