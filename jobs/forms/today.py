"""Forms of a crew's day: a task, hours of everyone, a problem, the end of a visit."""

import datetime as dt
import uuid
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from firm.models import Person
from jobs.actions.today import Hours
from jobs.enums import HourKind, TaskState
from jobs.models import Visit
from plants.enums import BloomStage
from plants.models import Planting

MOST_HOURS = Decimal("24")


class TaskForm(forms.Form):
    """What became of one task."""

    state = forms.ChoiceField(
        label=_("What became of it"),
        choices=[
            (TaskState.DONE.value, TaskState.DONE.label),
            (TaskState.PART_DONE.value, TaskState.PART_DONE.label),
            (TaskState.LEFT_OUT.value, TaskState.LEFT_OUT.label),
            (TaskState.OPEN.value, TaskState.OPEN.label),
        ],
    )
    reason = forms.CharField(
        label=_("Why is it left out?"), max_length=300, required=False
    )
    note = forms.CharField(
        label=_("Note"),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def clean(self) -> dict[str, Any]:
        """A task left out needs a word why."""
        found = super().clean() or {}
        if found.get("state") == TaskState.LEFT_OUT and not found.get("reason"):
            self.add_error("reason", _("Say in a few words why it is left out."))
        return found


class SeenForm(forms.Form):
    """What was seen in flower at a stop, and when."""

    planting = forms.IntegerField(min_value=1, max_value=2**31)
    stage = forms.ChoiceField(choices=BloomStage.choices)
    day = forms.DateField()

    def fault(self) -> dict[str, Any]:
        """What is wrong, in words, with what was typed, for the page."""
        return {
            "stage": "stage" in self.errors,
            "day": "day" in self.errors or bool(self.non_field_errors()),
            "typed_stage": self.data.get("stage", ""),
            "typed_day": self.data.get("day", ""),
            "words": " ".join(
                str(words) for told in self.errors.values() for words in told
            ),
        }


class HoursForm(forms.Form):
    """Hours of everyone in the crew, by what they were spent on."""

    key = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    visit = forms.ChoiceField(
        label=_("For which stop"),
        required=False,
        help_text=_("Travel, yard and rain hours may stand without a stop."),
    )
    note = forms.CharField(label=_("Note"), max_length=200, required=False)

    def __init__(
        self,
        *args: Any,
        people: Sequence[Person],
        visits: Sequence[Visit],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.people = list(people)
        self.visits = {str(visit.pk): visit for visit in visits}
        self.fields["visit"].choices = [  # type: ignore[attr-defined]
            ("", _("no stop")),
            *(
                (key, f"{visit.garden.name}: {visit.title}")
                for key, visit in self.visits.items()
            ),
        ]
        for person in self.rows():
            for kind in HourKind:
                self.fields[self.name(person, kind)] = forms.DecimalField(
                    label=kind.label,
                    min_value=Decimal("0"),
                    max_value=MOST_HOURS,
                    max_digits=4,
                    decimal_places=2,
                    required=False,
                    localize=False,
                    widget=forms.NumberInput(
                        attrs={"step": "0.25", "data-unit": "h", "inputmode": "decimal"}
                    ),
                )

    def rows(self) -> list[Person | None]:
        """Everyone at once where there are several, then each person."""
        return [None, *self.people] if len(self.people) > 1 else list(self.people)

    @staticmethod
    def name(person: Person | None, kind: HourKind) -> str:
        """The field's name for one person and kind, or for everyone."""
        return f"hours-{person.pk if person else 'everyone'}-{kind.value}"

    def by_person(self) -> list[tuple[Person | None, list[forms.BoundField], bool]]:
        """The fields, person by person, everyone first, and whether to show them.

        Where everyone has fields, those of one person stay folded until they say more.
        """
        shown = []
        for person in self.rows():
            fields = [self[self.name(person, kind)] for kind in HourKind]
            is_open = person is None or any(
                field.errors or field.value() for field in fields
            )
            shown.append((person, fields, is_open or len(self.people) == 1))
        return shown

    def clean(self) -> dict[str, Any]:
        """At least one figure; work in a garden names its stop."""
        found = super().clean() or {}
        if self.errors:
            return found
        typed = self.entries()
        if not typed:
            raise forms.ValidationError(_("Type the hours of at least one person."))
        if not found.get("visit") and any(row.kind == HourKind.WORK for row in typed):
            self.add_error("visit", _("Which stop were the hours in the garden for?"))
        return found

    def entries(self) -> list[Hours]:
        """The hours of each person: the own figure, else what everyone has."""
        return [
            Hours(person=person, kind=kind, hours=hours)
            for person in self.people
            for kind in HourKind
            if (hours := self._hours(person, kind))
        ]

    def _hours(self, person: Person, kind: HourKind) -> Decimal | None:
        own: Decimal | None = self.cleaned_data.get(self.name(person, kind))
        shared: Decimal | None = self.cleaned_data.get(self.name(None, kind))
        return shared if own is None else own

    def chosen_visit(self) -> Visit | None:
        """The stop the hours are for."""
        return self.visits.get(self.cleaned_data.get("visit", ""))


class ProblemForm(forms.Form):
    """Something wrong at a garden."""

    key = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
    text = forms.CharField(
        label=_("What is wrong?"),
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 4}),
    )
    planting = forms.ChoiceField(label=_("Which planting"), required=False)
    photo = forms.FileField(
        label=_("Photo"),
        required=False,
        widget=forms.FileInput(attrs={"accept": "image/*"}),
    )

    def __init__(
        self, *args: Any, plantings: Sequence[Planting], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.plantings = {str(row.pk): row for row in plantings}
        self.fields["planting"].choices = [  # type: ignore[attr-defined]
            ("", _("none of them")),
            *(
                (
                    key,
                    f"{row.number} "
                    f"{row.plant.common if row.plant else row.what_it_looks_like}",
                )
                for key, row in self.plantings.items()
            ),
        ]

    def chosen(self) -> Planting | None:
        """The planting that was meant."""
        return self.plantings.get(self.cleaned_data.get("planting", ""))


class EndForm(forms.Form):
    """The end of a visit; why open tasks stay undone."""

    left_out_reason = forms.CharField(
        label=_("Why are open tasks left out?"), max_length=300, required=False
    )


class RainForm(forms.Form):
    """Why the crew cannot work."""

    reason = forms.CharField(
        label=_("What is in the way?"),
        max_length=300,
        help_text=_("rain, frost in the ground, heat, nobody opens ..."),
    )


class SettleForm(forms.Form):
    """How a problem was settled."""

    note = forms.CharField(label=_("How was it settled?"), max_length=300)


class DayForm(forms.Form):
    """Which round is asked for."""

    day = forms.DateField(required=False)
    crew = forms.IntegerField(required=False, min_value=1)

    def asked(self, *, today: dt.date) -> tuple[dt.date, int | None]:
        """The day and the crew; today and none when they make no sense."""
        if not self.is_valid():
            return today, None
        day = self.cleaned_data["day"] or today
        # The ends of the calendar have no day before or after them.
        if not 2000 <= day.year <= 2200:
            day = today
        return day, self.cleaned_data["crew"]
