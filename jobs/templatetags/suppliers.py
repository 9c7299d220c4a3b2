"""Prices of suppliers as pages write them."""

from decimal import Decimal

from django import template

from firm.money import round_half_up
from jobs.enums import ItemKind

register = template.Library()


@register.filter
def shown_price(price: Decimal | str) -> str:
    """A price with two decimals, or with as many more as it has."""
    exact = Decimal(price)
    cents = round_half_up(exact, 2)
    return f"{cents:,.2f}" if exact == cents else f"{exact.normalize():,f}"


@register.filter
def kind_of_item(kind: str) -> str:
    """What an item is, in words."""
    return str(ItemKind(kind).label)
