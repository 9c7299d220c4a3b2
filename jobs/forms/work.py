"""Forms of jobs: booking, starting, finishing, calling off, single visits, guides."""

import datetime as dt
import uuid
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.models import Client, Crew
from firm.money import to_cents
from jobs.actions.planting import Planted
from jobs.actions.work import SingleVisitDetails
from jobs.forms.books import EARLIEST, AmountField, day_input
from jobs.models import Job
from jobs.queries.work import PlantRow
from plants.models import Bed, Garden, Planting

MOST_PLANTS = 1_000_000
ASK_FROM_PLANTS = 5_000
FARTHEST = dt.timedelta(days=3 * 366)
MOST_FREE_TASKS = 12


class Versioned(forms.Form):
    """Carries the version of the job that the page was made from."""

    version = forms.IntegerField(min_value=1, widget=forms.HiddenInput)


def crew_field(day: dt.date, **options: Any) -> forms.ModelChoiceField[Crew]:
    """A crew that is not retired on DAY."""
    return forms.ModelChoiceField(
        label=_("Crew"),
        queryset=Crew.objects.exclude(retired_on__lte=day).order_by("name", "id"),
        empty_label=_("which one?"),
        **options,
    )


def reason_field() -> forms.CharField:
    """The owner's written reason for a day that does harm."""
    return forms.CharField(
        label=_("Why it is done on this day all the same"),
        required=False,
        max_length=300,
        help_text=_("only needed where a plant or a task speaks against the day"),
    )


class BookForm(Versioned):
    """The day and the crew of a job."""

    day = forms.DateField(label=_("Day"), widget=day_input())

    def __init__(self, *args: Any, today: dt.date, **options: Any) -> None:
        self.today = today
        super().__init__(*args, **options)
        self.fields["crew"] = crew_field(today)
        self.fields["reason"] = reason_field()

    def clean_day(self) -> dt.date:
        """The day, not past and within three years."""
        return booked_day(self.cleaned_data["day"], today=self.today)


def booked_day(day: dt.date, *, today: dt.date) -> dt.date:
    """DAY, refused when it is over or farther than anybody plans."""
    if day < today:
        raise forms.ValidationError(
            _now(
                "This day is over. Book a day from today on; work that was already"
                " done is entered by finishing the job."
            )
        )
    if day - today > FARTHEST:
        raise forms.ValidationError(_("More than three years ahead: is it right?"))
    return day


def worked_day(day: dt.date, *, today: dt.date) -> dt.date:
    """DAY, refused when it is still to come."""
    if day > today:
        raise forms.ValidationError(
            _("This day is still to come: write the day it was done.")
        )
    if day < EARLIEST:
        raise forms.ValidationError(_("Is the year right?"))
    return day


class StartForm(Versioned):
    """Putting a booked job under way."""


class CallOffForm(Versioned):
    """Why a job is called off."""

    reason = forms.CharField(label=_("Why is it called off?"), max_length=300)


class DoneOnForm(Versioned):
    """The day a single visit was done."""

    day = forms.DateField(label=_("Done on"), widget=day_input())

    def __init__(self, *args: Any, today: dt.date, **options: Any) -> None:
        self.today = today
        super().__init__(*args, **options)

    def clean_day(self) -> dt.date:
        """The day, not after today."""
        return worked_day(self.cleaned_data["day"], today=self.today)


class FinishForm(Versioned):
    """The day a planting was done, and by whom where it was never booked."""

    day = forms.DateField(label=_("Planted on"), widget=day_input())
    counts_are_right = forms.BooleanField(
        label=_("So many are meant"), required=False, widget=forms.HiddenInput
    )

    def __init__(self, *args: Any, job: Job, today: dt.date, **options: Any) -> None:
        self.today = today
        super().__init__(*args, **options)
        self.fields["day"].initial = job.day if job.day and job.day <= today else today
        self.fields["version"].initial = job.version
        if job.crew_id is None:
            self.fields["crew"] = crew_field(today)

    def clean_day(self) -> dt.date:
        """The day, not after today."""
        return worked_day(self.cleaned_data["day"], today=self.today)


class PlantedForm(forms.Form):
    """How many of one plant went in, where, and its number on the sketch."""

    count = forms.IntegerField(
        label=_("Planted"), min_value=0, max_value=MOST_PLANTS, required=True
    )
    number = forms.IntegerField(
        label=_("Number on the sketch"), min_value=1, max_value=9999, required=False
    )
    place = forms.CharField(label=_("Where in the bed"), max_length=200, required=False)

    def __init__(
        self,
        *args: Any,
        row: PlantRow,
        garden: Garden,
        number: int,
        **options: Any,
    ) -> None:
        options["prefix"] = f"row-{row.row.pk}"
        super().__init__(*args, **options)
        self.row = row
        self.fields["count"].initial = row.row.count
        self.fields["number"].initial = number
        self.fields["bed"] = forms.ModelChoiceField(
            label=_("Bed"),
            queryset=Bed.objects.filter(garden=garden).order_by("name", "id"),
            required=False,
            empty_label=_("not in a bed"),
            initial=row.row.bed_id,
        )
        self.order_fields(["count", "bed", "number", "place"])

    def planted(self) -> Planted:
        """What was typed, for the action."""
        bed = self.cleaned_data["bed"]
        return Planted(
            job_plant_id=self.row.row.pk,
            count=self.cleaned_data["count"],
            bed_id=bed.pk if bed else None,
            number=self.cleaned_data["number"],
            place=self.cleaned_data["place"],
        )


def rows_are_valid(form: FinishForm, rows: Sequence[PlantedForm]) -> bool:
    """Whether form and rows hold together; what is odd is said beside its field."""
    valid = [form.is_valid(), *(row.is_valid() for row in rows)]
    if not all(valid):
        return False
    first_with: dict[int, PlantedForm] = {}
    for row in rows:
        number = row.cleaned_data["number"]
        if not row.cleaned_data["count"] or number is None:
            continue
        if number in first_with:
            row.add_error(
                "number",
                _now("Number %(number)s is given twice on this page.")
                % {"number": number},
            )
        first_with.setdefault(number, row)
    _ask_about_many(form, rows)
    return not form.errors and not any(row.errors for row in rows)


def _ask_about_many(form: FinishForm, rows: Sequence[PlantedForm]) -> None:
    """Unusual counts are asked about once; the box to tick shows only then."""
    for row in rows:
        count = row.cleaned_data["count"]
        if count < ASK_FROM_PLANTS or count == row.row.row.count:
            continue
        form.fields["counts_are_right"].widget = forms.CheckboxInput()
        if not form.cleaned_data.get("counts_are_right"):
            row.add_error(
                "count",
                _now("%(count)s plants? Tick the box above if so many are meant.")
                % {"count": f"{count:,}"},
            )


class SingleVisitForm(forms.Form):
    """A visit of its own: what for, its price, and when if that is known."""

    # One of the two is needed, so that "if any" would mislead.
    HANGS_ON_ANOTHER = ("price", "hour_price")

    key = forms.UUIDField(widget=forms.HiddenInput)
    title = forms.CharField(
        label=_("What for"), max_length=160, help_text=_("such as Pruning call")
    )
    priced = forms.ChoiceField(
        label=_("Price"),
        choices=[("fixed", _("a fixed price")), ("hour", _("by the hour"))],
        initial="fixed",
        widget=forms.RadioSelect,
    )
    price = AmountField(
        label=_("Fixed price before tax"), minimum=Decimal(0), required=False
    )
    hour_price = AmountField(
        label=_("Price of an hour before tax"), minimum=Decimal(0), required=False
    )
    is_taxed = forms.BooleanField(label=_("Sales tax is added"), required=False)
    planned_hours = forms.DecimalField(
        label=_("Planned hours"),
        min_value=Decimal("0.25"),
        max_value=Decimal(999),
        max_digits=6,
        decimal_places=2,
        initial=Decimal(2),
        widget=forms.NumberInput(attrs={"data-unit": "h", "step": "0.25"}),
        help_text=_("of all people together"),
    )
    day = forms.DateField(label=_("Day"), required=False, widget=day_input())
    free = forms.CharField(
        label=_("Other tasks"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("one on each line"),
    )
    notes = forms.CharField(
        label=_("Notes for the crew"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(
        self, *args: Any, today: dt.date, currency: str, **options: Any
    ) -> None:
        self.today = today
        super().__init__(*args, **options)
        self.fields["key"].initial = uuid.uuid4
        self.fields["crew"] = crew_field(today, required=False)
        self.fields["reason"] = reason_field()
        for name in ("price", "hour_price"):
            self.fields[name].widget.attrs["data-unit"] = currency
        self.order_fields(
            [
                "key",
                "title",
                "priced",
                "price",
                "hour_price",
                "is_taxed",
                "planned_hours",
                "day",
                "crew",
                "free",
                "notes",
                "reason",
            ]
        )

    def clean_day(self) -> dt.date | None:
        """The day if one is known, not past."""
        day: dt.date | None = self.cleaned_data["day"]
        return None if day is None else booked_day(day, today=self.today)

    def clean_free(self) -> list[str]:
        """The typed tasks, one a line."""
        lines = [line.strip() for line in self.cleaned_data["free"].splitlines()]
        found = [line for line in lines if line]
        if len(found) > MOST_FREE_TASKS:
            raise forms.ValidationError(
                _now("At most %(most)s lines.") % {"most": MOST_FREE_TASKS}
            )
        if any(len(line) > 160 for line in found):
            raise forms.ValidationError(_("At most 160 letters a line."))
        return found

    def clean(self) -> dict[str, Any]:
        """The price that was chosen must be there; a day needs a crew."""
        found = super().clean() or {}
        needed = "price" if found.get("priced") == "fixed" else "hour_price"
        if needed not in self.errors and found.get(needed) is None:
            self.add_error(needed, _now("How much?"))
        if found.get("day") and not found.get("crew") and "crew" not in self.errors:
            self.add_error("crew", _now("A day needs a crew. Which one?"))
        if found.get("crew") and not found.get("day") and "day" not in self.errors:
            self.add_error("day", _now("On which day? Or leave the crew open too."))
        return found

    def details(
        self, *, tasks: Sequence[str], hour_cost: Decimal
    ) -> SingleVisitDetails:
        """What was typed, for the action; cost is reckoned from the planned hours."""
        data = self.cleaned_data
        fixed = data["priced"] == "fixed"
        return SingleVisitDetails(
            title=data["title"],
            price=data["price"] if fixed else None,
            hour_price=None if fixed else data["hour_price"],
            is_taxed=data["is_taxed"],
            planned_hours=data["planned_hours"],
            planned_cost=to_cents(data["planned_hours"] * hour_cost),
            day=data["day"],
            crew_id=data["crew"].pk if data["crew"] else None,
            tasks=tasks,
            free=data["free"],
            notes=data["notes"],
            reason=data["reason"],
        )


class GuideForm(forms.Form):
    """Which plantings a new care guide is for, and to whom it goes."""

    def __init__(
        self,
        *args: Any,
        client: Client,
        plantings: Sequence[Planting],
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.fields["plantings"] = forms.MultipleChoiceField(
            label=_("Plants in the guide"),
            choices=[
                (str(planting.pk), f"{planting.number} {_planting_name(planting)}")
                for planting in plantings
            ],
            initial=[str(planting.pk) for planting in plantings],
            widget=forms.CheckboxSelectMultiple,
            error_messages={"required": _("Choose at least one planting.")},
        )
        self.fields["contact"] = contact_field(client, required=False)


class SendGuideForm(forms.Form):
    """To whom a guide is sent again."""

    def __init__(self, *args: Any, client: Client, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["contact"] = contact_field(client, required=True)


def contact_field(client: Client, *, required: bool) -> forms.ModelChoiceField[Any]:
    """A contact of CLIENT with a mail address."""
    contacts = client.contacts.exclude(email="").order_by("-is_main", "name", "id")
    main = contacts.first()
    return forms.ModelChoiceField(
        label=_("Mailed to"),
        queryset=contacts,
        required=required,
        empty_label=None if required else _("nobody; it is handed over"),
        initial=main.pk if main else None,
    )


def _planting_name(planting: Planting) -> str:
    return planting.plant.common if planting.plant else planting.what_it_looks_like
