"""What pages and tasks of the firm need to know."""

from firm.queries.firm import (
    crews_of,
    crews_on,
    firm_or_blank,
    people_in,
    tax_on,
    the_firm,
)

__all__ = [
    "crews_of",
    "crews_on",
    "firm_or_blank",
    "people_in",
    "tax_on",
    "the_firm",
]
