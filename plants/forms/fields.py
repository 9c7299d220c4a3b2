"""Fields for measures, read in the firm's units and kept as typed."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from firm.units import LONGEST_M, Display, UnitError, parse_length
from plants.soil import Ph, SoilError, read_ph, read_size

SHORTEST_M = Decimal("0.01")
BARE_NUMBER = re.compile(r"[^A-Za-z'\"′″’”]+")


@dataclass(frozen=True)
class Length:
    """A length as it was typed and its exact metres."""

    text: str
    metres: Decimal


class LengthField(forms.CharField):
    """Reads "12 ft 6 in"; a bare number is in the unit that stands at the field.

    The cleaned value is a Length, or None where nothing was typed.
    """

    def __init__(
        self,
        *,
        minimum_m: Decimal = SHORTEST_M,
        maximum_m: Decimal = LONGEST_M,
        is_depth: bool = False,
        **options: Any,
    ) -> None:
        options.setdefault("max_length", 40)
        super().__init__(**options)
        self.minimum_m = minimum_m
        self.maximum_m = maximum_m
        self.is_depth = is_depth
        self.unit = "in" if is_depth else "ft"
        self.widget.attrs.setdefault("autocomplete", "off")

    def show_units(self, display: Display) -> None:
        """Take the firm's units and write an example at the field.

        The template writes the unit itself beside the field.
        """
        us = display.system == "us"
        self.unit = display.depth_unit if self.is_depth else display.length_unit
        examples = {
            (True, True): _("such as 8, 7 1/2 in or 20 cm"),
            (True, False): _("such as 20, 20 cm or 8 in"),
            (False, True): _("such as 12 ft 6 in, 12.5 or 3.8 m"),
            (False, False): _("such as 3.8, 3,8 m or 12 ft 6 in"),
        }
        if not self.help_text:
            self.help_text = examples[(self.is_depth, us)]

    def as_typed(self, cleaned: Length | None) -> str:
        """The text that is kept of a cleaned value."""
        return cleaned.text if cleaned else ""

    def clean(self, value: Any) -> Any:
        """The Length that was typed."""
        text = super().clean(value)
        if not text:
            return None
        try:
            metres = parse_length(
                text,
                default_unit=self.unit,
                minimum_m=self.minimum_m,
                maximum_m=self.maximum_m,
            )
        except UnitError as error:
            raise ValidationError(str(error), code="length") from None
        # Kept with its unit, so that it means the same when the firm changes units.
        if BARE_NUMBER.fullmatch(text):
            text = f"{text} {self.unit}"
        return Length(text=text, metres=metres)


class YesNoField(forms.TypedChoiceField):
    """Yes, no, or not known; the cleaned value is None for what is not known."""

    def __init__(self, **options: Any) -> None:
        options.setdefault("required", False)
        super().__init__(
            choices=[("", _("not known")), ("yes", _("yes")), ("no", _("no"))],
            coerce=lambda said: said == "yes",
            empty_value=None,
            **options,
        )

    def as_typed(self, cleaned: bool | None) -> str:
        """The choice behind a cleaned value."""
        return yes_no(cleaned)


def yes_no(value: bool | None) -> str:
    """The choice of a YesNoField that stands for a value."""
    return "" if value is None else "yes" if value else "no"


class PhField(forms.CharField):
    """Reads a pH as it is written down; the cleaned value is a PhTyped or None."""

    def __init__(self, **options: Any) -> None:
        options.setdefault("max_length", 40)
        super().__init__(**options)
        self.widget.attrs.setdefault("autocomplete", "off")

    def as_typed(self, cleaned: "PhTyped | None") -> str:
        """The text that is kept of a cleaned value."""
        return cleaned.text if cleaned else ""

    def clean(self, value: Any) -> Any:
        """The range that was typed."""
        text = super().clean(value)
        if not text:
            return None
        try:
            return PhTyped(text=text, ph=read_ph(text))
        except SoilError as error:
            raise ValidationError(str(error), code="ph") from None


@dataclass(frozen=True)
class PhTyped:
    """A pH as it was typed and the range it means."""

    text: str
    ph: Ph


def show_units(form: forms.BaseForm, display: Display) -> None:
    """Write the firm's units at every length of FORM."""
    for field in form.fields.values():
        if isinstance(field, LengthField):
            field.show_units(display)


class Versioned(forms.Form):
    """Carries the version of the row that the page was made from."""

    version = forms.IntegerField(min_value=1, widget=forms.HiddenInput)


def version_in(sent: Mapping[str, Any]) -> int:
    """The version that came with a lone button; 0, which no row has, for nonsense."""
    form = Versioned(sent)
    return form.cleaned_data["version"] if form.is_valid() else 0


class SizeField(forms.CharField):
    """How a plant is sold: #3, 4 in pot, 2 in balled, bare root; words else refused."""

    def __init__(self, **options: Any) -> None:
        super().__init__(required=False, max_length=60, **options)

    def clean(self, value: Any) -> str:
        """The words on one line, which say a size or nothing."""
        said = " ".join(str(super().clean(value)).split())
        if said:
            try:
                read_size(said)
            except SoilError as refused:
                raise ValidationError(str(refused), code="size") from None
        return said
