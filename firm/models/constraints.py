"""Constraints that several rows share."""

from decimal import Decimal

from django.db import models
from django.db.models import F, Q

# SQLite keeps decimals as binary floating point, where 1111.17 + 66.68 is not quite
# 1177.85; less than half a cent apart is equal.
UNDER_HALF_A_CENT = Decimal("0.004")


def net_and_tax_are_gross(*, name: str) -> models.CheckConstraint:
    """The constraint that net and tax add up to gross, to the cent, on any database."""
    whole = F("net") + F("tax")
    return models.CheckConstraint(
        condition=Q(
            gross__gt=whole - UNDER_HALF_A_CENT, gross__lt=whole + UNDER_HALF_A_CENT
        ),
        name=name,
    )
