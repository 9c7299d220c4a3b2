"""Forms of a supplier's list: the file, its columns, and its unsure names."""

import datetime as dt
from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.imports import Table, UnreadableList, read_top
from jobs.actions.suppliers import ListDetails
from jobs.enums import ItemKind
from jobs.forms.books import day_input
from jobs.models import Supplier
from jobs.queries.price_lists.columns import (
    Column,
    ColumnsRefused,
    check_columns,
    guess_columns,
    head_key,
    known_heads,
)
from jobs.queries.quotes import plants_called
from plants.models import Plant

EARLIEST = dt.date(2000, 1, 1)
NOT_A_PLANT = "none"
SHOWN_ROWS = 5


class ListForm(forms.Form):
    """A supplier's list."""

    file = forms.FileField(
        label=_("the list"),
        help_text=_("CSV or XLSX, at most 5 MB and 20,000 rows"),
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.tsv,.txt,.xlsx"}),
    )
    priced_on = forms.DateField(
        label=_("prices are of"),
        widget=day_input(),
        help_text=_("the day printed on the list"),
    )
    kind = forms.ChoiceField(
        label=_("what is in it"),
        choices=[
            (str(ItemKind.PLANT), _("plants")),
            (str(ItemKind.OTHER), _("materials: soil, mulch, stakes and the like")),
        ],
    )
    is_whole = forms.BooleanField(
        label=_("it is the whole list: what is missing in it is no longer sold"),
        required=False,
        initial=True,
    )

    def __init__(
        self, *args: Any, supplier: Supplier, today: dt.date, **kw: Any
    ) -> None:
        super().__init__(*args, **kw)
        self.supplier, self.today = supplier, today
        self.top: Table | None = None

    def clean_priced_on(self) -> dt.date:
        """A day that has been."""
        day: dt.date = self.cleaned_data["priced_on"]
        if not EARLIEST <= day <= self.today:
            raise ValidationError(
                _now("The day of the prices lies between 2000 and today."), code="day"
            )
        return day

    def clean_file(self) -> UploadedFile:
        """A file whose first rows can be read."""
        upload: UploadedFile = self.cleaned_data["file"]
        heads = [*known_heads(), *self.supplier.columns]
        try:
            self.top = read_top(upload, known_heads=heads)
        except UnreadableList as error:
            raise ValidationError(str(error), code="list") from error
        return upload

    def details(self) -> ListDetails:
        """The list with its first rows and what its columns probably are."""
        upload, top = self.cleaned_data["file"], self.top
        if top is None:
            raise UnreadableList("The first rows were not read.")
        upload.seek(0)
        return ListDetails(
            file_name=str(upload.name),
            content=upload.read(),
            priced_on=self.cleaned_data["priced_on"],
            kind=self.cleaned_data["kind"],
            is_whole=self.cleaned_data["is_whole"],
            columns={
                "heads": list(top.headers),
                "sample": [
                    [cell[:60] for cell in row.cells] for row in top.rows[:SHOWN_ROWS]
                ],
                "chosen": guess_columns(top.headers, remembered=self.supplier.columns),
            },
        )


class ColumnsForm(forms.Form):
    """What each column of a list is."""

    def __init__(self, *args: Any, columns: dict[str, Any], **kw: Any) -> None:
        super().__init__(*args, **kw)
        self.heads: list[str] = columns["heads"]
        for place, (head, guess) in enumerate(
            zip(self.heads, columns["chosen"], strict=True)
        ):
            self.fields[f"column_{place}"] = forms.ChoiceField(
                label=head or _now("column %(n)d") % {"n": place + 1},
                choices=Column.choices,
                required=False,
                initial=guess,
            )
        # Which have to be answered hangs on the others: a name and a price among them.
        self.HANGS_ON_ANOTHER = frozenset(self.fields)

    def clean(self) -> dict[str, Any]:
        """A choice that has a name and a price, each once."""
        found = super().clean() or {}
        if not self.errors:
            try:
                check_columns(self.heads, self.chosen())
            except ColumnsRefused as refused:
                raise ValidationError(str(refused), code="columns") from refused
        return found

    def chosen(self) -> list[str]:
        """What each column is, in their order."""
        return [self.cleaned_data[name] for name in self.fields]

    def remembered(self) -> dict[str, str]:
        """What the supplier's next list is read by."""
        pairs = zip(self.heads, self.chosen(), strict=True)
        return {head_key(head): name for head, name in pairs}


class NamesForm(forms.Form):
    """Which plants a supplier means by the names that are not sure."""

    def __init__(
        self,
        *args: Any,
        names: Sequence[tuple[str, dict[str, Any]]],
        labels: dict[int, str],
        **kw: Any,
    ) -> None:
        super().__init__(*args, **kw)
        self.names = [name for name, _line in names]
        for place, (_name, line) in enumerate(names):
            candidates = [
                (str(pk), labels[pk]) for pk in line["candidates"] if pk in labels
            ]
            self.fields[f"plant_{place}"] = forms.ChoiceField(
                label=line["name"],
                required=False,
                choices=[
                    ("", _now("not answered yet")),
                    *candidates,
                    (NOT_A_PLANT, _now("not a plant of the catalogue")),
                ],
            )
            self.fields[f"other_{place}"] = forms.CharField(
                label=_now("or another plant, for %(name)s") % {"name": line["name"]},
                required=False,
                max_length=330,
                widget=forms.TextInput(attrs={"list": "plants", "autocomplete": "off"}),
            )
        # One of the two, or neither: the page says so.
        self.HANGS_ON_ANOTHER = frozenset(self.fields)

    def pairs(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        """The two fields of each name."""
        return [
            (self[f"plant_{place}"], self[f"other_{place}"])
            for place in range(len(self.names))
        ]

    def clean(self) -> dict[str, Any]:
        """Another plant goes before the chosen one, and has to be in the catalogue."""
        found = super().clean() or {}
        self.answers: dict[str, Plant | None] = {}
        chosen: dict[str, int] = {}
        for place, name in enumerate(self.names):
            other = found.get(f"other_{place}", "")
            pick = found.get(f"plant_{place}", "")
            if other:
                plant = one_plant(other)
                if plant is None:
                    self.add_error(
                        f"other_{place}",
                        _now("This is not one plant of the catalogue."),
                    )
                else:
                    self.answers[name] = plant
            elif pick == NOT_A_PLANT:
                self.answers[name] = None
            elif pick:
                chosen[name] = int(pick)
        plants = Plant.objects.in_bulk(list(chosen.values()))
        for name, pk in chosen.items():
            if pk in plants:
                self.answers[name] = plants[pk]
        return found


def one_plant(words: str) -> Plant | None:
    """The one plant of the catalogue that WORDS mean."""
    found = plants_called(words=words)
    return found[0] if len(found) == 1 else None
