"""Forms for taking a list over: the file, and what its gardens share."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.imports import Table, UnreadableList, read_table
from plants.queries.take_over import COLUMNS, NEEDED, stations


class ListForm(forms.Form):
    """A list of clients and gardens as CSV or XLSX."""

    file = forms.FileField(
        label=_("List"),
        help_text=_("CSV or XLSX, at most 5 MB and 5000 rows"),
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.tsv,.txt,.xlsx"}),
    )

    def clean_file(self) -> Table:
        """The list as it was read, refused beside the field when it is none."""
        heads = [
            head for key, (_words, more) in COLUMNS.items() for head in (key, *more)
        ]
        try:
            table = read_table(self.cleaned_data["file"], known_heads=heads)
            places = table.columns({key: more for key, (_w, more) in COLUMNS.items()})
        except UnreadableList as error:
            raise ValidationError(str(error), code="unreadable") from error
        missing = [str(COLUMNS[key][0]) for key in NEEDED if key not in places]
        if missing:
            raise ValidationError(
                _now("The list has no column %(missing)s. Its columns are: %(found)s.")
                % {
                    "missing": ", ".join(missing),
                    "found": ", ".join(head for head in table.headers if head),
                },
                code="columns",
            )
        self.places = places
        self.sent_as = str(self.cleaned_data["file"].name)
        return table

    def file_name(self) -> str:
        """The name the file had on the sender's machine."""
        return self.sent_as

    def rows(self) -> list[dict[str, Any]]:
        """The rows to keep: their number and the text of each column that is known."""
        table: Table = self.cleaned_data["file"]
        return [
            {
                "row": row.number,
                "cells": {key: row.cells[place] for key, place in self.places.items()},
            }
            for row in table.rows
            if any(row.cells[place] for place in self.places.values())
        ]

    def left_columns(self) -> list[str]:
        """The heads of columns that are not taken over."""
        table: Table = self.cleaned_data["file"]
        used = set(self.places.values())
        return [
            head
            for place, head in enumerate(table.headers)
            if head and place not in used
        ]


class TakeOverForm(forms.Form):
    """The climate in which the gardens of the list lie."""

    station: forms.ModelChoiceField = forms.ModelChoiceField(
        label=_("Climate of these gardens"),
        queryset=None,
        empty_label=_("choose one"),
        help_text=_("It can be changed for each garden later."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["station"]
        assert isinstance(field, forms.ModelChoiceField)  # noqa: S101
        field.queryset = stations()
        if len(field.queryset) == 1:
            field.initial = field.queryset[0]
