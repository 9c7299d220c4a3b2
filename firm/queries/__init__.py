"""What pages and tasks of the firm need to know."""

from firm.queries.firm import (
    crews_of,
    crews_on,
    firm_or_blank,
    people_in,
    the_firm,
)
from firm.queries.tax import (
    NoTaxRate,
    Tax,
    category_for,
    exempt_words,
    is_exempt,
    tax_on,
    tax_rate_on,
)

__all__ = [
    "NoTaxRate",
    "Tax",
    "category_for",
    "crews_of",
    "crews_on",
    "exempt_words",
    "firm_or_blank",
    "is_exempt",
    "people_in",
    "tax_on",
    "tax_rate_on",
    "the_firm",
]
