"""Which tax holds where, on what, on which day."""

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from firm.enums import TaxCategory
from firm.models import Client, Firm, TaxRate, TaxRegion
from firm.models.tax import CHARGED

MATERIALS = "materials"
PLANTS, LABOUR, DELIVERY = "plants", "labour", "delivery"


class NoTaxRate(Exception):
    """A day on which no rate of a tax is kept, though others are; says which."""

    def __init__(
        self, *, day: dt.date, region: TaxRegion | None, category: TaxCategory
    ) -> None:
        self.day, self.region, self.category = day, region, category
        words = {
            "day": date_format(day, "j F Y"),
            "what": category.label,
            "place": region.name if region else "",
        }
        super().__init__(
            _(
                "No tax rate is kept for %(day)s in %(place)s (%(what)s). Add it among"
                " the firm's tax rates; where nothing is due, a rate of 0 %%."
            )
            % words
            if region
            else _(
                "No tax rate is kept for %(day)s (%(what)s). Add it among the firm's"
                " tax rates; where nothing is due, a rate of 0 %%."
            )
            % words
        )


@dataclass(frozen=True, kw_only=True)
class Tax:
    """A tax by its name and rate; without a name nothing is charged."""

    name: str = ""
    percent: Decimal = Decimal(0)


NO_TAX = Tax()


def tax_rate_on(
    *,
    day: dt.date,
    region: TaxRegion | None = None,
    category: TaxCategory = TaxCategory.STANDARD,
) -> Tax:
    """The tax that holds for CATEGORY in REGION on DAY.

    In the firm's own place nothing is charged before its first rate begins. A gap after
    that, a region or a lower rate without any: NoTaxRate says so.
    """
    if category not in CHARGED:
        return NO_TAX
    # A later rate takes the place of an earlier one for good, even once it has ended.
    begun = list(
        TaxRate.objects.filter(
            region=region, category=category, valid_from__lte=day
        ).order_by("-valid_from", "-id")[:1]
    )
    if not begun:
        if region is None and category == TaxCategory.STANDARD:
            return NO_TAX
        raise NoTaxRate(day=day, region=region, category=category)
    latest = begun[0]
    if latest.valid_until is not None and latest.valid_until < day:
        raise NoTaxRate(day=day, region=region, category=category)
    return Tax(name=latest.name, percent=latest.percent)


def tax_on(*, day: dt.date) -> tuple[str, Decimal]:
    """Name and percent of the tax in the firm's own place on DAY; ("", 0) without."""
    tax = tax_rate_on(day=day)
    return tax.name, tax.percent


def is_exempt(*, client: Client, day: dt.date) -> bool:
    """Whether the client's certificate of exemption is good on DAY."""
    if not client.tax_exempt_certificate:
        return False
    return client.tax_exempt_until is None or client.tax_exempt_until >= day


def exempt_words(*, client: Client, day: dt.date) -> str:
    """What the client's certificate does on DAY; nothing without one."""
    if not client.tax_exempt_certificate:
        return ""
    words = {"number": client.tax_exempt_certificate}
    if is_exempt(client=client, day=day):
        return _("The client is exempt from tax: certificate %(number)s.") % words
    until = client.tax_exempt_until
    return _(
        "The client's certificate of tax exemption, %(number)s, was good until"
        " %(until)s. Tax is charged until a new one is shown."
    ) % {**words, "until": date_format(until, "j F Y") if until else ""}


def category_for(*, kind: str, region: TaxRegion | None, firm: Firm) -> TaxCategory:
    """What tax does with a line of KIND in REGION; None: in the firm's own place.

    A kind that is neither plants, labour nor delivery is a material.
    """
    if region is None:
        if kind == LABOUR and not firm.tax_on_labour:
            return TaxCategory.NOT_TAXED
        return TaxCategory.STANDARD
    by_kind = {
        PLANTS: region.plants_tax,
        LABOUR: region.labour_tax,
        DELIVERY: region.delivery_tax,
    }
    return TaxCategory(by_kind.get(kind, region.materials_tax))
