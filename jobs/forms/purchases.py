"""Which week is asked for."""

import datetime as dt

from django import forms

from jobs.forms.books import EARLIEST

FARTHEST = dt.timedelta(days=3 * 366)


class WeekForm(forms.Form):
    """A day of the week; nothing or nonsense means this week."""

    day = forms.DateField(required=False)

    def asked(self, *, today: dt.date) -> dt.date:
        """The day asked for, if it lies in reach."""
        day: dt.date | None = self.cleaned_data.get("day") if self.is_valid() else None
        if day is None or not EARLIEST <= day <= today + FARTHEST:
            return today
        return day
