"""The form for a typed climate, in the firm's units."""

import calendar
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Q
from django.utils.dates import MONTHS
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.units import Display, celsius, convert, fahrenheit, round_figure
from plants.climate import Climate, ClimateError
from plants.climate.evapotranspiration import wind_at_2_m
from plants.climate.monthly import month_evaporation_mm
from plants.climate.records import WIND_HEIGHTS_M
from plants.models import BloomTable, Station

MONTH_NUMBERS = range(1, 13)
CHANCES = ("10", "50", "90")
FROSTS = {
    "spring": "last_spring_frost",
    "autumn": "first_autumn_frost",
}
ROWS = {"low": "tmin_c", "high": "tmax_c", "rain": "rain_mm"}
ROW_WORDS = {
    "low": _("mean low"),
    "high": _("mean high"),
    "rain": _("rain"),
}
# Optional columns: with them evapotranspiration rests on more than temperatures.
AIR_WORDS = {
    "wind": _("mean wind"),
    "humidity": _("mean humidity"),
    "sunshine": _("sunshine a day"),
}
AIR_MOST = {"wind": 60, "humidity": 100, "sunshine": 24}
M_S_OF_MPH = Decimal("0.44704")
FROST_WORDS = {
    "spring-10": _("1 year in 10 it comes later than"),
    "spring-50": _("every other year it comes later than"),
    "spring-90": _("9 years in 10 it comes later than"),
    "autumn-10": _("1 year in 10 it has come by"),
    "autumn-50": _("every other year it has come by"),
    "autumn-90": _("9 years in 10 it has come by"),
}
MM_OF_INCH = Decimal("25.4")


class DayOfYearWidget(forms.MultiWidget):
    """A day and a month."""

    template_name = "django/forms/widgets/multiwidget.html"

    def __init__(self) -> None:
        months = [("", _("no frost")), *((str(n), MONTHS[n]) for n in MONTH_NUMBERS)]
        super().__init__(
            {
                "day": forms.NumberInput(
                    attrs={"min": 1, "max": 31, "aria-label": _("day")}
                ),
                "month": forms.Select(choices=months, attrs={"aria-label": _("month")}),
            }
        )

    def decompress(self, value: Any) -> list[Any]:
        """Day and month of "month-day"; a list would be taken as it is."""
        month, _dash, day = value.partition("-") if value else ("", "", None)
        return [day, month]


class DayOfYearField(forms.MultiValueField):
    """A day of any year as [month, day]; None where frost stays away."""

    def __init__(self, **options: Any) -> None:
        super().__init__(
            fields=(
                forms.IntegerField(required=False, min_value=1, max_value=31),
                forms.ChoiceField(
                    required=False,
                    choices=[("", ""), *((str(n), "") for n in MONTH_NUMBERS)],
                ),
            ),
            widget=DayOfYearWidget(),
            require_all_fields=False,
            required=False,
            **options,
        )

    def compress(self, data_list: list[Any]) -> list[int] | None:
        """[month, day], when both are given and there is such a day."""
        day, month = data_list or (None, "")
        if not day and not month:
            return None
        if not day or not month:
            raise ValidationError(_("Give a day and a month, or neither."))
        last = calendar.monthrange(2024, int(month))[1]
        if day > last:
            raise ValidationError(_("This month has no such day."))
        return [int(month), int(day)]


@dataclass(frozen=True)
class MonthRow:
    """The three fields of one month."""

    name: str
    cells: list[forms.BoundField]


class StationForm(forms.Form):
    """Monthly means, frost dates and the coldest night of a place."""

    name = forms.CharField(
        label=_("name"), max_length=120, help_text=_("the place, such as Fernhollow")
    )
    latitude = forms.DecimalField(
        label=_("latitude"),
        min_value=Decimal("-66.5"),
        max_value=Decimal("66.5"),
        max_digits=8,
        decimal_places=5,
        help_text=_("degrees north; south is negative"),
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
        widget=forms.NumberInput(attrs={"step": "any"}),
    )
    lowest = forms.DecimalField(
        label=_("coldest night of a usual year"),
        required=False,
        max_digits=5,
        decimal_places=1,
        help_text=_("the mean of the lowest readings of many years"),
        widget=forms.NumberInput(attrs={"step": "any"}),
    )

    bloom_table = forms.ModelChoiceField(
        label=_("published table of bloom by degree days"),
        required=False,
        queryset=BloomTable.objects.none(),
        empty_label=_("none"),
        help_text=_(
            "only where the climate lies in its region; without one bloom goes by "
            "months and by what is seen"
        ),
    )

    def __init__(self, *args: Any, display: Display, **options: Any) -> None:
        super().__init__(*args, **options)
        self.display = display
        tables: Any = self.fields["bloom_table"]
        tables.queryset = BloomTable.objects.filter(
            Q(retired_at=None) | Q(pk=self.initial.get("bloom_table") or 0)
        ).order_by("name", "id")
        warmth = display.temperature_unit
        self.rain_unit = "in" if display.system == "us" else "mm"
        self.fields["elevation"].widget.attrs["data-unit"] = display.length_unit
        self.fields["lowest"].widget.attrs["data-unit"] = warmth
        for row, words in ROW_WORDS.items():
            unit = self.rain_unit if row == "rain" else warmth
            for month in MONTH_NUMBERS:
                self.fields[f"{row}_{month}"] = forms.DecimalField(
                    label=f"{MONTHS[month]}, {words}, {unit}",
                    max_digits=6,
                    decimal_places=2,
                    min_value=0 if row == "rain" else None,
                    widget=forms.NumberInput(attrs={"step": "any"}),
                )
        self.wind_unit = "mph" if display.system == "us" else "m/s"
        for row, words in AIR_WORDS.items():
            unit = self.air_unit(row)
            for month in MONTH_NUMBERS:
                self.fields[f"{row}_{month}"] = forms.DecimalField(
                    label=f"{MONTHS[month]}, {words}, {unit}",
                    required=False,
                    max_digits=5,
                    decimal_places=2,
                    min_value=0,
                    max_value=AIR_MOST[row],
                    widget=forms.NumberInput(attrs={"step": "any"}),
                )
        self.fields["wind_height_m"] = forms.TypedChoiceField(
            label=_("wind is measured at"),
            required=False,
            coerce=float,
            empty_value=None,
            choices=[(f"{height:g}", f"{height:g} m") for height in WIND_HEIGHTS_M],
            help_text=_("10 m (33 ft) at weather services, 2 m at stations on farms"),
        )
        for frost in FROSTS:
            for chance in CHANCES:
                self.fields[f"{frost}_{chance}"] = DayOfYearField(
                    label=FROST_WORDS[f"{frost}-{chance}"]
                )

    @property
    def warmth_unit(self) -> str:
        """The unit of all temperatures on the form."""
        return self.display.temperature_unit

    def place_fields(self) -> list[forms.BoundField]:
        """Name and position."""
        return [self[name] for name in ("name", "latitude", "longitude", "elevation")]

    def months(self) -> Iterator[MonthRow]:
        """The months with their three fields."""
        for month in MONTH_NUMBERS:
            cells = [self[f"{row}_{month}"] for row in ROWS]
            yield MonthRow(name=str(MONTHS[month]), cells=cells)

    def air_unit(self, row: str) -> str:
        """The unit of wind, humidity or sunshine."""
        return {"wind": self.wind_unit, "humidity": "%", "sunshine": "h"}[row]

    def air_heads(self) -> list[tuple[Any, str]]:
        """The optional columns with their units."""
        return [(words, self.air_unit(row)) for row, words in AIR_WORDS.items()]

    def air(self) -> Iterator[MonthRow]:
        """The months with the optional fields."""
        for month in MONTH_NUMBERS:
            cells = [self[f"{row}_{month}"] for row in AIR_WORDS]
            yield MonthRow(name=str(MONTHS[month]), cells=cells)

    @property
    def opens_air(self) -> bool:
        """Whether the optional columns have something to show."""
        names = [f"{row}_{month}" for row in AIR_WORDS for month in MONTH_NUMBERS]
        if self.is_bound:
            return any(self.data.get(name) or name in self.errors for name in names)
        return any(self.initial.get(name) is not None for name in names)

    def spring(self) -> list[forms.BoundField]:
        """The fields of the last frost in spring."""
        return [self[f"spring_{chance}"] for chance in CHANCES]

    def autumn(self) -> list[forms.BoundField]:
        """The fields of the first frost in autumn."""
        return [self[f"autumn_{chance}"] for chance in CHANCES]

    def clean(self) -> dict[str, Any]:
        """Figures that some place on earth can have."""
        data = super().clean() or {}
        for month in MONTH_NUMBERS:
            low, high = data.get(f"low_{month}"), data.get(f"high_{month}")
            if low is not None and high is not None and low > high:
                self.add_error(
                    f"low_{month}", _now("The mean low is over the mean high.")
                )
        for row in AIR_WORDS:
            lacking = [
                month
                for month in MONTH_NUMBERS
                if data.get(f"{row}_{month}") is None
                and f"{row}_{month}" not in self.errors
            ]
            if lacking and len(lacking) < 12:
                self.add_error(
                    f"{row}_{lacking[0]}",
                    _now("Fill this column for all twelve months, or leave it empty."),
                )
        if not self.errors:
            try:
                Climate.from_figures(self.figures(), lat=float(data["latitude"]))
            except ClimateError as error:
                self.add_error(None, str(error))
        return data

    def figures(self, kept: Mapping[str, Any] | None = None) -> dict[str, Any]:
        """The typed figures as the engine reads them, over those that were KEPT."""
        data = self.cleaned_data
        lowest = data["lowest"]
        return {
            **(kept or {}),
            "method": "typed",
            "lowest_c": None if lowest is None else self._celsius(lowest),
            **{
                key: [self._metric(row, data[f"{row}_{n}"]) for n in MONTH_NUMBERS]
                for row, key in ROWS.items()
            },
            **{
                key: {chance: data[f"{frost}_{chance}"] for chance in CHANCES}
                for frost, key in FROSTS.items()
            },
            **self._evaporation(),
        }

    def _evaporation(self) -> dict[str, Any]:
        """The optional columns in m/s, per cent and hours, and what they give."""
        data = self.cleaned_data
        air: dict[str, Any] = {
            row: [float(data[f"{row}_{month}"]) for month in MONTH_NUMBERS]
            for row in AIR_WORDS
            if data.get(f"{row}_1") is not None
        }
        if not air:
            return {"air": None, "eto_mm": None, "eto_measured": []}
        wind = air.get("wind")
        height = data["wind_height_m"] or WIND_HEIGHTS_M[0]
        if wind is not None and self.wind_unit == "mph":
            air["wind"] = wind = [round(one * float(M_S_OF_MPH), 4) for one in wind]
        found = month_evaporation_mm(
            tmin_c=[self._metric("low", data[f"low_{n}"]) for n in MONTH_NUMBERS],
            tmax_c=[self._metric("high", data[f"high_{n}"]) for n in MONTH_NUMBERS],
            lat=float(data["latitude"]),
            elevation_m=float(self.elevation_m() or 0),
            wind_2m=None
            if wind is None
            else [float(wind_at_2_m(one, height)) for one in wind],
            humidity_percent=air.get("humidity"),
            sunshine_h=air.get("sunshine"),
        )
        return {
            "air": {**air, "wind_height_m": height},
            "eto_mm": [round(one, 1) for one in found],
            "eto_measured": list(air),
        }

    def elevation_m(self) -> Decimal | None:
        """The height in metres."""
        value = self.cleaned_data["elevation"]
        if value is None:
            return None
        metres = convert(value, unit=self.display.length_unit, to="m")
        return round_figure(metres, 1)

    def _celsius(self, value: Decimal) -> float:
        degrees = celsius(value) if self.display.system == "us" else value
        return float(round_figure(degrees, 4))

    def _metric(self, row: str, value: Decimal) -> float:
        if row != "rain":
            return self._celsius(value)
        millimetres = value * MM_OF_INCH if self.rain_unit == "in" else value
        return float(round_figure(millimetres, 3))


def station_values(
    station: Station, display: Display, typed: Mapping[str, Any] | None = None
) -> dict[str, Any]:
    """What the form starts with, in the firm's units: TYPED or the figures in use."""
    us = display.system == "us"
    figures = station.figures if typed is None else typed

    def warmth(value: float | None) -> Decimal | None:
        if value is None:
            return None
        degrees = Decimal(str(value))
        return round_figure(fahrenheit(degrees) if us else degrees, 1)

    def rain(value: float) -> Decimal:
        millimetres = Decimal(str(value))
        return round_figure(millimetres / MM_OF_INCH, 2) if us else millimetres

    height = station.elevation_m
    values: dict[str, Any] = {
        "name": station.name,
        "latitude": station.latitude,
        "longitude": station.longitude,
        "elevation": None
        if height is None
        else round_figure(convert(height, unit="m", to=display.length_unit), 1),
        "lowest": warmth(figures.get("lowest_c")),
        "bloom_table": station.bloom_table_id,
    }
    for row, key in ROWS.items():
        for month in MONTH_NUMBERS:
            value = figures[key][month - 1]
            values[f"{row}_{month}"] = rain(value) if row == "rain" else warmth(value)
    air = figures.get("air") or {}
    for row in AIR_WORDS:
        for month, value in enumerate(air.get(row, ()), start=1):
            figure = Decimal(str(value))
            if row == "wind" and us:
                figure /= M_S_OF_MPH
            values[f"{row}_{month}"] = round_figure(figure, 2).normalize()
    if air:
        values["wind_height_m"] = f"{air['wind_height_m']:g}"
    for frost, key in FROSTS.items():
        for chance in CHANCES:
            day = (figures.get(key) or {}).get(chance)
            values[f"{frost}_{chance}"] = f"{day[0]}-{day[1]}" if day else None
    return values
