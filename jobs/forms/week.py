"""Forms of the week board: where a visit goes, and the order of the stops."""

import datetime as dt
from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.models import Crew
from jobs.forms.books import day_input
from jobs.forms.quotes import ReasonForm
from jobs.models import Visit
from plants.forms.fields import Versioned

FARTHEST = dt.timedelta(days=730)
MOST_STOPS = 99


class PlaceForm(Versioned):
    """A crew, a day, which stop, and the reason where the day is wrong."""

    crew = forms.ChoiceField(label=_("crew"))
    day = forms.DateField(label=_("day"), widget=day_input())
    position = forms.IntegerField(
        label=_("stop"),
        required=False,
        min_value=1,
        max_value=MOST_STOPS,
        help_text=_("left empty: the last one"),
    )
    reason = forms.CharField(
        label=_("why on this day anyway"),
        required=False,
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=_("needed outside a window or in a closed season"),
    )

    def __init__(
        self,
        *args: Any,
        visit: Visit,
        crews: Sequence[Crew],
        today: dt.date,
        day: dt.date | None = None,
        **kw: Any,
    ) -> None:
        kw.setdefault(
            "initial",
            {
                "version": visit.version,
                "crew": visit.crew_id or (crews[0].pk if crews else None),
                "day": day or visit.day or self._first_day(visit, today),
                "position": visit.position if visit.day else None,
                "reason": visit.owners_reason,
            },
        )
        super().__init__(*args, **kw)
        self.today = today
        self.fields["crew"].choices = [  # type: ignore[attr-defined]
            (str(crew.pk), crew.name) for crew in crews
        ]

    @staticmethod
    def _first_day(visit: Visit, today: dt.date) -> dt.date:
        """The best day, or today once it is over."""
        return max(visit.best_on or today, today)

    def clean_day(self) -> dt.date:
        """The day, today at the earliest and not years away."""
        day: dt.date = self.cleaned_data["day"]
        if day < self.today:
            raise forms.ValidationError(_now("This day is over."))
        if day > self.today + FARTHEST:
            raise forms.ValidationError(
                _now("More than two years from today: is it right?")
            )
        return day


class CallOffForm(ReasonForm, Versioned):
    """Why a visit is called off."""


class OrderForm(forms.Form):
    """A number for each stop of a crew's day."""

    def __init__(self, *args: Any, stops: Sequence[Visit], **kw: Any) -> None:
        super().__init__(*args, **kw)
        for number, visit in enumerate(stops, start=1):
            self.fields[f"stop_{visit.pk}"] = forms.IntegerField(
                label=f"{visit.garden.name}: {visit.title}",
                min_value=1,
                max_value=MOST_STOPS,
                initial=number,
            )

    def places(self) -> dict[int, int]:
        """The typed place of each visit."""
        return {
            int(name.removeprefix("stop_")): place
            for name, place in self.cleaned_data.items()
        }
