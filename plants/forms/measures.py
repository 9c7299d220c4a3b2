"""Fields for the measures of a bed: sides, rectangles, an outline."""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _now

from firm.units import UnitError, parse_length
from plants.actions.beds import Piece
from plants.forms.fields import BARE_NUMBER, LengthField
from plants.sun.outline import Corners, OutlineError, read_outline, with_units

SHORTEST_M = Decimal("0.1")
LONGEST_M = Decimal(500)
MOST_PIECES = 20
TIMES = re.compile(r"\s*(?:[x×*]|\bby\b)\s*", re.IGNORECASE)


def side(label: Any) -> LengthField:
    """A field for one side of a bed."""
    return LengthField(
        label=label, required=False, minimum_m=SHORTEST_M, maximum_m=LONGEST_M
    )


class PiecesField(forms.CharField):
    """Rectangles, one a line, as length x width; the cleaned value is a tuple."""

    unit = "ft"

    def __init__(self, **options: Any) -> None:
        options.setdefault("widget", forms.Textarea(attrs={"rows": 4}))
        super().__init__(max_length=2000, **options)

    def as_typed(self, cleaned: tuple[Piece, ...]) -> str:
        """The text that is kept of a cleaned value."""
        return "\n".join(
            f"{piece.length_text} x {piece.width_text}" for piece in cleaned or ()
        )

    def clean(self, value: Any) -> Any:
        """The pieces, or what is wrong with which line."""
        text = super().clean(value)
        lines = [line.strip() for line in text.splitlines() if line.strip()]
        if len(lines) > MOST_PIECES:
            raise ValidationError(_now("At most %d pieces are taken.") % MOST_PIECES)
        pieces, faults = [], []
        for number, line in enumerate(lines, start=1):
            try:
                pieces.append(self._piece(line))
            except UnitError as error:
                faults.append(
                    _now("Line %(number)d: %(why)s")
                    % {"number": number, "why": str(error)}
                )
        if faults:
            raise ValidationError(faults)
        return tuple(pieces)

    def _piece(self, line: str) -> Piece:
        sides = TIMES.split(line)
        if len(sides) != 2 or not all(sides):
            raise UnitError(_now("write length x width, such as 12 ft 6 in x 4 ft"))
        texts, metres = [], []
        for text in sides:
            metres.append(
                parse_length(
                    text,
                    default_unit=self.unit,
                    minimum_m=SHORTEST_M,
                    maximum_m=LONGEST_M,
                )
            )
            bare = BARE_NUMBER.fullmatch(text)
            texts.append(f"{text} {self.unit}" if bare else text)
        return Piece(
            length_text=texts[0],
            width_text=texts[1],
            length_m=metres[0],
            width_m=metres[1],
        )


@dataclass(frozen=True, kw_only=True)
class OutlineTyped:
    """An outline as it was typed, and its corners."""

    text: str
    corners: Corners


class OutlineField(forms.CharField):
    """Corners or sides, one a line; the cleaned value is an OutlineTyped or None."""

    unit = "ft"

    def __init__(self, **options: Any) -> None:
        options.setdefault("widget", forms.Textarea(attrs={"rows": 5}))
        super().__init__(max_length=3000, **options)

    def as_typed(self, cleaned: OutlineTyped | None) -> str:
        """The text that is kept of a cleaned value."""
        return cleaned.text if cleaned else ""

    def clean(self, value: Any) -> Any:
        """The outline, or which line or side is wrong."""
        text = super().clean(value)
        if not text.strip():
            return None
        try:
            corners = read_outline(text, unit=self.unit, longest_m=LONGEST_M)
        except OutlineError as error:
            raise ValidationError(str(error), code="outline") from None
        return OutlineTyped(text=with_units(text, unit=self.unit), corners=corners)
