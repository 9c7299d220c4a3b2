"""Forms of the request to mark underground lines."""

import datetime as dt
import uuid
from typing import Any

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from jobs.forms.books import day_input

FARTHEST = dt.timedelta(days=366)


class LocateForm(forms.Form):
    """A request that was made; sent twice, it is one."""

    key = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    number = forms.CharField(
        label=_("number of the request"),
        max_length=60,
        help_text=_("as whoever marks the lines gave it to you"),
    )
    asked_on = forms.DateField(label=_("asked on"), widget=day_input())
    digs_from = forms.DateField(
        label=_("digging from"),
        required=False,
        widget=day_input(),
        help_text=_(
            "if you were told a day; else it is counted in full business days: not the"
            " day of asking, no weekends, none of the firm's days off"
        ),
    )
    good_until = forms.DateField(
        label=_("marks hold until"),
        required=False,
        widget=day_input(),
        help_text=_("if you were told a day; after it nobody digs without asking anew"),
    )

    def __init__(self, *args: Any, today: dt.date, **kw: Any) -> None:
        super().__init__(*args, **kw)
        self.today = today

    def clean_asked_on(self) -> dt.date:
        """The day, not to come and within a year."""
        day: dt.date = self.cleaned_data["asked_on"]
        if day > self.today:
            raise forms.ValidationError(
                _now("This day is still to come: write the day you asked.")
            )
        if day < self.today - FARTHEST:
            raise forms.ValidationError(_now("More than a year ago: is it right?"))
        return day

    def clean_digs_from(self) -> dt.date | None:
        """The day, within a year."""
        return self._near("digs_from")

    def clean_good_until(self) -> dt.date | None:
        """The day, within a year."""
        return self._near("good_until")

    def _near(self, name: str) -> dt.date | None:
        day: dt.date | None = self.cleaned_data[name]
        if day is not None and abs(day - self.today) > FARTHEST:
            raise forms.ValidationError(_now("More than a year away: is it right?"))
        return day


class NotNeededForm(forms.Form):
    """Why nobody is asked."""

    key = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    reason = forms.CharField(
        label=_("why none is needed here"),
        max_length=300,
        help_text=_("the law of the place that says so, or the ground that was opened"),
    )

    def __init__(self, data: Any = None) -> None:
        # It shares its page with the form of a request.
        super().__init__(data, auto_id="none_%s")


class MarksForm(forms.Form):
    """What somebody saw on the ground."""

    note = forms.CharField(
        label=_("what is marked, and where"),
        max_length=300,
        help_text=_(
            "flags and paint by colour, or that each line's owner has answered; no"
            " marks and no answer: telephone the office and do not dig"
        ),
    )
