"""The firm's settings of what every price must carry."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from firm.models import Firm
from jobs.forms.books import AmountField
from jobs.forms.quote_prices import PRICES, PriceForm
from jobs.pricing import PricingError, break_even_h, overhead_per_hour, rate_at_margin


class PricingSettingsForm(PriceForm):
    """Overhead, reserves, least price and deposit of every new quote."""

    version = None  # type: ignore[assignment]
    field_order = ("overhead_way", "year_overhead", "billable_h", *PRICES)
    year_overhead = AmountField(
        label=_("overhead of a year"),
        required=False,
        minimum=Decimal(0),
        help_text=_("to work the hour's overhead out; not stored"),
    )
    billable_h = forms.DecimalField(
        label=_("hours billed in a year"),
        required=False,
        min_value=Decimal(1),
        max_value=Decimal(999_999),
        max_digits=7,
        decimal_places=1,
        widget=forms.NumberInput(attrs={"data-unit": "h", "step": "any"}),
    )

    def __init__(self, *args: Any, firm: Firm, **kw: Any) -> None:
        super().__init__(*args, firm=firm, **kw)
        self.firm = firm

    @staticmethod
    def of_firm(firm: Firm) -> dict[str, Any]:
        """What the form begins with."""
        return {name: getattr(firm, name) for name in PRICES}

    def worked(self) -> list[str]:
        """The hour's overhead from the year's, and the hour that breaks even."""
        found = getattr(self, "cleaned_data", {})
        year, hours = found.get("year_overhead"), found.get("billable_h")
        if year is None or not hours:
            return []
        try:
            each = overhead_per_hour(overhead=year, billable_h=hours)
        except PricingError as error:
            return [str(error)]
        cost, price = self.firm.hour_cost, self.firm.hour_price
        even = cost + each
        words = {
            "year": f"{year:,.2f}",
            "hours": f"{hours.normalize():f}",
            "each": f"{each:,}",
            "cost": f"{cost:,}",
            "even": f"{even:,}",
            "price": f"{price:,}",
            "margin": f"{self.firm.margin_percent.normalize():f}",
            "sells": rate_at_margin(
                break_even=even, margin_percent=self.firm.margin_percent
            ),
        }
        lines = [
            _now("%(year)s / %(hours)s h = %(each)s of overhead in every hour") % words,
            _now(
                "An hour costs %(cost)s and carries %(each)s: it breaks even at"
                " %(even)s, and at a margin of %(margin)s %% it sells at %(sells)s."
            )
            % words,
        ]
        enough = break_even_h(overhead=year, hour_price=price, hour_cost=cost)
        if enough is None:
            lines.append(
                _now(
                    "At the firm's price of %(price)s an hour the overhead is never"
                    " paid by labour."
                )
                % words
            )
        else:
            lines.append(
                _now(
                    "At the firm's price of %(price)s an hour the year's overhead is"
                    " paid from hour %(enough)s on."
                )
                % {**words, "enough": f"{enough:,}"}
            )
        return lines

    def changes(self) -> dict[str, Any]:
        """What was typed, for the action."""
        return {name: self.cleaned_data[name] for name in PRICES}
