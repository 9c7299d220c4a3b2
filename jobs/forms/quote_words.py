"""The firm's words that every quote prints, and when clients are reminded."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from firm.models import Firm
from jobs.queries.proposed_words import proposed_words

WORDS = (
    "not_included_words",
    "assumption_words",
    "warranty_words",
    "warranty_void_words",
)
MOST_SIGNS = 4000


def _lines_field(label: Any, hint: Any) -> forms.CharField:
    return forms.CharField(
        label=label,
        required=False,
        max_length=MOST_SIGNS,
        help_text=hint,
        widget=forms.Textarea(attrs={"rows": 5}),
    )


class QuoteWordsForm(forms.Form):
    """What every new offer says of its bounds and of the warranty."""

    not_included_words = _lines_field(
        _("not included"), _("one thing a line; printed under What is not included")
    )
    assumption_words = _lines_field(
        _("what the price takes for granted"), _("one thing a line")
    )
    warranty_words = _lines_field(
        _("warranty of plants"), _("what you stand for, how long, and how often")
    )
    warranty_void_words = _lines_field(
        _("what ends the warranty"), _("one thing a line")
    )
    quote_reminder_days = forms.IntegerField(
        label=_("remind the client before an offer ends"),
        min_value=0,
        max_value=60,
        widget=forms.NumberInput(attrs={"data-unit": _("days")}),
        help_text=_("0: nobody is reminded"),
    )

    @staticmethod
    def of_firm(firm: Firm, *, proposed: bool) -> dict[str, Any]:
        """What the form begins with; PROPOSED fills the empty words."""
        kept = {name: getattr(firm, name) for name in WORDS}
        if proposed:
            ours = proposed_words()
            kept = {name: words or ours[name] for name, words in kept.items()}
        return {**kept, "quote_reminder_days": firm.quote_reminder_days}
