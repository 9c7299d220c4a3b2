"""Forms for daily weather: the file, its columns, and which figures are used."""

from decimal import Decimal
from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.units import Display, convert, round_figure
from plants.actions.records import Place
from plants.climate.records import (
    DATE_ORDERS,
    HUMIDITIES,
    MOST_BYTES,
    RAIN_UNITS,
    SUN_UNITS,
    WARMTH_UNITS,
    WIND_HEIGHTS_M,
    WIND_UNITS,
    Columns,
    ColumnsNeeded,
    DateOrder,
    SunUnit,
    Unit,
    WindUnit,
)
from plants.models import StationRecords

ORDER_WORDS = {
    "year first": _("year first: 2026-04-25, 20260425"),
    "day first": _("day first: 25.04.2026, 25/04/2026"),
    "month first": _("month first: 04/25/2026"),
}
UNIT_WORDS = {
    "tenths of °C": _("tenths of °C"),
    "tenths of mm": _("tenths of mm"),
    "knots": _("knots"),
    "% of what is possible": _("% of what is possible"),
}
# Columns that most files lack: with them evapotranspiration rests on what was measured.
AIR = ("wind", *HUMIDITIES, "sunshine")


class RecordsForm(forms.Form):
    """A file of daily weather."""

    file = forms.FileField(
        label=_("file of daily weather"),
        help_text=_(
            "GHCN-Daily (.dly or csv) or a csv with a heading, plain or as .gz, at "
            "most 50 MB"
        ),
        widget=forms.ClearableFileInput(
            attrs={"accept": ".dly,.csv,.txt,.tsv,.gz,text/plain,text/csv"}
        ),
    )
    is_sure = forms.BooleanField(
        label=_(
            "it is the file of this place, though its figures lie far from those typed"
        ),
        required=False,
    )

    def clean_file(self) -> bytes:
        """The bytes of the file, refused before they are read if too many."""
        upload: UploadedFile = self.cleaned_data["file"]
        if (upload.size or 0) > MOST_BYTES:
            raise ValidationError(
                _now(
                    "The file is too large: %(size)d MB, at most %(most)d MB are read."
                )
                % {
                    "size": -(-(upload.size or 0) // 2**20),
                    "most": MOST_BYTES // 2**20,
                },
                code="too large",
            )
        self.file_name = str(upload.name)
        content: bytes = upload.read()
        return content


class NewPlaceForm(RecordsForm):
    """A place whose climate its daily records open."""

    name = forms.CharField(
        label=_("name"), max_length=120, help_text=_("the place, such as Fernhollow")
    )
    latitude = forms.DecimalField(
        label=_("latitude"),
        min_value=Decimal("-66.5"),
        max_value=Decimal("66.5"),
        max_digits=8,
        decimal_places=5,
        help_text=_("of the station, degrees north; south is negative"),
        widget=forms.NumberInput(attrs={"step": "any", "data-unit": "°"}),
    )
    longitude = forms.DecimalField(
        label=_("longitude"),
        min_value=-180,
        max_value=180,
        max_digits=8,
        decimal_places=5,
        help_text=_("degrees east; west is negative"),
        widget=forms.NumberInput(attrs={"step": "any", "data-unit": "°"}),
    )
    elevation = forms.DecimalField(
        label=_("height above the sea"),
        required=False,
        min_value=-1500,
        max_value=30000,
        max_digits=7,
        decimal_places=1,
        help_text=_("without it evapotranspiration is reckoned at the sea's level"),
        widget=forms.NumberInput(attrs={"step": "any"}),
    )
    is_coastal = forms.BooleanField(
        label=_("the station lies at a coast"),
        required=False,
        help_text=_("there the day's range of temperature tells less of the sun"),
    )
    field_order = ("name", "latitude", "longitude", "elevation", "is_coastal", "file")

    def __init__(self, *args: Any, display: Display, **options: Any) -> None:
        super().__init__(*args, **options)
        self.display = display
        del self.fields["is_sure"]
        self.fields["elevation"].widget.attrs["data-unit"] = display.length_unit

    def place(self) -> Place:
        """The place as typed, its height in metres."""
        data = self.cleaned_data
        height = data["elevation"]
        return Place(
            name=data["name"],
            latitude=data["latitude"],
            longitude=data["longitude"],
            elevation_m=None
            if height is None
            else round_figure(
                convert(height, unit=self.display.length_unit, to="m"), 1
            ),
            is_coastal=data["is_coastal"],
        )


class ColumnsForm(forms.Form):
    """Which column of a table is what, and in which unit."""

    date = forms.TypedChoiceField(
        label=_("day, in one column"), required=False, coerce=int, empty_value=None
    )
    date_order = forms.ChoiceField(label=_("how days are written"), required=False)
    year = forms.TypedChoiceField(
        label=_("or the year"), required=False, coerce=int, empty_value=None
    )
    month = forms.TypedChoiceField(
        label=_("the month"), required=False, coerce=int, empty_value=None
    )
    day = forms.TypedChoiceField(
        label=_("and the day of the month"),
        required=False,
        coerce=int,
        empty_value=None,
    )
    tmax = forms.TypedChoiceField(
        label=_("highest temperature of the day"), coerce=int, empty_value=None
    )
    tmax_unit = forms.ChoiceField(label=_("unit of the highest"))
    tmin = forms.TypedChoiceField(
        label=_("lowest temperature of the day"), coerce=int, empty_value=None
    )
    tmin_unit = forms.ChoiceField(label=_("unit of the lowest"))
    rain = forms.TypedChoiceField(
        label=_("rain of the day"), required=False, coerce=int, empty_value=None
    )
    rain_unit = forms.ChoiceField(label=_("unit of the rain"), required=False)
    wind = forms.TypedChoiceField(
        label=_("mean wind of the day"), required=False, coerce=int, empty_value=None
    )
    wind_unit = forms.ChoiceField(label=_("unit of the wind"), required=False)
    wind_height_m = forms.TypedChoiceField(
        label=_("wind is measured at"),
        required=False,
        coerce=float,
        empty_value=None,
        choices=[(f"{height:g}", f"{height:g} m") for height in WIND_HEIGHTS_M],
        help_text=_("10 m (33 ft) at weather services, 2 m at stations on farms"),
    )
    humidity = forms.TypedChoiceField(
        label=_("mean humidity of the day, %"),
        required=False,
        coerce=int,
        empty_value=None,
    )
    humidity_max = forms.TypedChoiceField(
        label=_("highest humidity of the day, %"),
        required=False,
        coerce=int,
        empty_value=None,
    )
    humidity_min = forms.TypedChoiceField(
        label=_("lowest humidity of the day, %"),
        required=False,
        coerce=int,
        empty_value=None,
    )
    sunshine = forms.TypedChoiceField(
        label=_("sunshine of the day"), required=False, coerce=int, empty_value=None
    )
    sunshine_unit = forms.ChoiceField(label=_("unit of the sunshine"), required=False)
    is_sure = forms.BooleanField(
        label=_(
            "it is the file of this place, though its figures lie far from those typed"
        ),
        required=False,
    )

    def __init__(self, *args: Any, asked: ColumnsNeeded, **options: Any) -> None:
        guess = asked.guess
        initial: dict[str, Any] = {
            key: getattr(guess, key)
            for key in (
                "tmax",
                "tmin",
                "rain",
                "tmax_unit",
                "tmin_unit",
                "rain_unit",
                *AIR,
                "wind_unit",
                "sunshine_unit",
            )
        }
        initial["date_order"] = guess.date_order
        if len(guess.date) == 1:
            initial["date"] = guess.date[0]
        elif guess.date:
            initial |= dict(zip(("year", "month", "day"), guess.date, strict=True))
        options.setdefault("initial", initial)
        super().__init__(*args, **options)
        columns: list[tuple[str, Any]] = [("", _("choose one"))]
        columns += [
            (str(place), head.strip() or _now("column %d") % (place + 1))
            for place, head in enumerate(asked.heads)
        ]
        for key in ("date", "year", "month", "day", "tmax", "tmin", "rain", *AIR):
            field = cast(forms.TypedChoiceField, self.fields[key])
            field.choices = columns
            if key not in {"tmax", "tmin"}:
                field.choices = [("", _("not in the file")), *columns[1:]]
        self._give("date_order", [(order, ORDER_WORDS[order]) for order in DATE_ORDERS])
        for key, units in (
            ("tmax_unit", WARMTH_UNITS),
            ("tmin_unit", WARMTH_UNITS),
            ("rain_unit", RAIN_UNITS),
            ("wind_unit", WIND_UNITS),
            ("sunshine_unit", SUN_UNITS),
        ):
            self._give(key, [(unit, UNIT_WORDS.get(unit, unit)) for unit in units])

    @property
    def opens_air(self) -> bool:
        """Whether the part of wind, humidity and sunshine has something to show."""
        if self.is_bound:
            return any(self.data.get(key) or key in self.errors for key in AIR)
        return any(self.initial.get(key) is not None for key in AIR)

    def _give(self, key: str, choices: list[tuple[str, Any]]) -> None:
        field = cast(forms.ChoiceField, self.fields[key])
        field.choices = [("", _("choose one")), *choices]

    def clean(self) -> dict[str, Any]:
        """Columns that a table can be read by."""
        data = super().clean() or {}
        parts = [data.get(key) for key in ("year", "month", "day")]
        if data.get("date") is None and any(part is None for part in parts):
            self.add_error(
                "date",
                _now("Name the column of the day, or those of year, month and day."),
            )
        if data.get("date") is not None and not data.get("date_order"):
            self.add_error("date_order", _now("Say how days are written."))
        if data.get("rain") is not None and not data.get("rain_unit"):
            self.add_error("rain_unit", _now("Say in which unit rain is written."))
        if data.get("wind") is not None and not data.get("wind_unit"):
            self.add_error("wind_unit", _now("Say in which unit wind is written."))
        if data.get("sunshine") is not None and not data.get("sunshine_unit"):
            self.add_error(
                "sunshine_unit", _now("Say in which unit sunshine is written.")
            )
        one_humidity = (data.get("humidity_max") is None) != (
            data.get("humidity_min") is None
        )
        if one_humidity and data.get("humidity") is None:
            self.add_error(
                "humidity_max",
                _now("Give the highest and the lowest humidity, or the mean."),
            )
        used = [
            data[key]
            for key in ("tmax", "tmin", "rain", *AIR)
            if data.get(key) is not None
        ]
        if len(used) != len(set(used)):
            self.add_error(None, _now("One column cannot be two things."))
        return data

    def columns(self) -> Columns:
        """The columns as the reader takes them."""
        data = self.cleaned_data
        one = data["date"]
        return Columns(
            date=(data["year"], data["month"], data["day"]) if one is None else (one,),
            tmax=data["tmax"],
            tmin=data["tmin"],
            rain=data["rain"],
            tmax_unit=cast(Unit, data["tmax_unit"]),
            tmin_unit=cast(Unit, data["tmin_unit"]),
            rain_unit=cast(Unit, data["rain_unit"]) if data["rain_unit"] else None,
            date_order=cast(DateOrder, data["date_order"])
            if data["date_order"] and one is not None
            else None,
            wind=data["wind"],
            wind_unit=cast(WindUnit, data["wind_unit"]) if data["wind_unit"] else None,
            wind_height_m=data["wind_height_m"] or WIND_HEIGHTS_M[0],
            humidity=data["humidity"],
            humidity_max=data["humidity_max"],
            humidity_min=data["humidity_min"],
            sunshine=data["sunshine"],
            sunshine_unit=cast(SunUnit, data["sunshine_unit"])
            if data["sunshine_unit"]
            else None,
        )


class FiguresForm(forms.Form):
    """Which figures a climate works with, and how those of the records are computed."""

    use = forms.ChoiceField(
        label=_("dates of care hang on"),
        choices=[
            ("records", _("the figures of the daily records")),
            ("typed", _("the figures typed by hand")),
        ],
        widget=forms.RadioSelect,
    )
    period = forms.ChoiceField(
        label=_("years the records are looked at"),
        choices=[
            ("normals", _("1991 to 2020, as published normals and zones are")),
            ("newest", _("the newest thirty years")),
        ],
        widget=forms.RadioSelect,
        help_text=_(
            "where the record holds fewer than 25 good years of 1991 to 2020, the "
            "newest are taken"
        ),
    )
    is_coastal = forms.BooleanField(
        label=_("the station lies at a coast"),
        required=False,
        help_text=_("there the day's range of temperature tells less of the sun"),
    )

    def choice(self) -> dict[str, bool]:
        """The answers as the action takes them."""
        data = self.cleaned_data
        return {
            "keeps_typed": data["use"] == "typed",
            "is_newest": data["period"] == "newest",
            "is_coastal": data["is_coastal"],
        }


def figures_values(kept: StationRecords, *, is_typed: bool) -> dict[str, Any]:
    """What the form starts with."""
    return {
        "use": "typed" if is_typed else "records",
        "period": "newest" if kept.is_newest else "normals",
        "is_coastal": kept.is_coastal,
    }
