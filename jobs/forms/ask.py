"""Which plant is asked about, and for which day."""

import datetime as dt
from collections.abc import Callable, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from plants.models import Garden

FIRST_YEAR = 2000
LAST_YEAR = 2200
NO_DAY = _("There is no such day. Write it as 2026-07-24.")

GardensOn = Callable[[dt.date], Sequence[Garden]]


class AskForm(forms.Form):
    """A garden, the number of a planting on its sketch, and a day.

    GARDENS_ON says which gardens may be asked about on a day.
    """

    use_required_attribute = False
    # Nothing is saved here, so nothing is "not saved".
    error_title = _("Not answered yet")

    garden = forms.ChoiceField(
        label=_("garden"), error_messages={"required": _("Choose a garden.")}
    )
    number = forms.IntegerField(
        label=_("number on the sketch"),
        required=False,
        min_value=1,
        max_value=9999,
        help_text=_("left empty, the plants of the garden are listed"),
        error_messages={"invalid": _("Type the number in figures, such as 7.")},
    )
    day = forms.DateField(
        label=_("day"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={"invalid": NO_DAY},
    )
    plant = forms.SlugField(required=False, widget=forms.HiddenInput)

    def __init__(
        self, data: Any, *, gardens_on: GardensOn, today: dt.date, is_round: bool
    ) -> None:
        self.is_round = is_round
        if data is not None and not data.get("day"):
            data = {**data.dict(), "day": today.isoformat()}
        super().__init__(data)
        self.fields["day"].initial = today
        self.asked_day = self._typed_day() or today
        self.gardens = {str(one.pk): one for one in gardens_on(self.asked_day)}
        choices = [(key, one.name) for key, one in self.gardens.items()]
        if len(choices) > 1:
            choices.insert(0, ("", _now("choose")))
        garden: Any = self.fields["garden"]
        garden.choices = choices
        garden.error_messages["invalid_choice"] = (
            _now("This garden is not on your round on that day.")
            if is_round
            else _now("There is no such garden.")
        )

    def _typed_day(self) -> dt.date | None:
        """The day asked for, as far as it is one."""
        if not self.is_bound:
            return None
        try:
            day: dt.date | None = self.fields["day"].clean(self.data.get("day"))
        except forms.ValidationError:
            return None
        return day if day and FIRST_YEAR <= day.year <= LAST_YEAR else None

    def clean_day(self) -> dt.date:
        """The day; today where none was typed."""
        day: dt.date | None = self.cleaned_data["day"]
        if day is not None and not FIRST_YEAR <= day.year <= LAST_YEAR:
            raise forms.ValidationError(_now("Days are reckoned from 2000 to 2200."))
        return day or self.asked_day

    def chosen(self) -> Garden:
        """The garden that was chosen."""
        return self.gardens[self.cleaned_data["garden"]]
