"""The firm's rates and factors, as rows and as figures."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from jobs.enums import FactorTouch
from jobs.labour import Factor, Mark, Rate, Touch
from jobs.models import ConditionFactor, ProductionRate

# Columns that the program ships and the firm may write otherwise.
RATE_FIGURES = ("unit", "is_per_hour", "low", "typical", "high", "mark", "source")
FACTOR_FIGURES = ("factor", "mark", "source")


def rate_of(row: ProductionRate) -> Rate:
    """The row as a rate to reckon with; LabourError where its figures are none."""
    return Rate(
        key=row.key,
        name=row.name,
        unit=row.unit,
        low=row.low,
        typical=row.typical,
        high=row.high,
        is_per_hour=row.is_per_hour,
        touched_by=tuple(Touch(each) for each in row.touched_by),
        mark=Mark(row.mark),
        source=row.source,
    )


def factor_of(row: ConditionFactor) -> Factor:
    """The row as a factor to reckon with."""
    return Factor(
        key=row.key,
        touch=Touch(row.touch),
        name=row.name,
        factor=row.factor,
        mark=Mark(row.mark),
        source=row.source,
    )


def rate_rows() -> list[ProductionRate]:
    """All rates in order, with who changed them."""
    return list(
        ProductionRate.objects.select_related("changed_by").order_by("position", "id")
    )


def factor_rows() -> list[ConditionFactor]:
    """All factors in order, with who changed them."""
    return list(
        ConditionFactor.objects.select_related("changed_by").order_by("position", "id")
    )


def rate_by_key(*, key: str) -> ProductionRate | None:
    """The rate of that key."""
    return ProductionRate.objects.select_related("changed_by").filter(key=key).first()


def factor_by_key(*, key: str) -> ConditionFactor | None:
    """The factor of that key."""
    return ConditionFactor.objects.select_related("changed_by").filter(key=key).first()


def shipped_otherwise(row: ProductionRate | ConditionFactor) -> dict[str, Any]:
    """What the program ships for the row, where it is not what is reckoned with."""
    names = RATE_FIGURES if isinstance(row, ProductionRate) else FACTOR_FIGURES
    for name in names:
        if name in ("mark", "source") or name not in row.shipped:
            continue
        mine, theirs = getattr(row, name), row.shipped[name]
        if isinstance(mine, Decimal):
            theirs = Decimal(theirs)
        if mine != theirs:
            return dict(row.shipped)
    return {}


@dataclass(frozen=True, kw_only=True)
class RateShown:
    """A rate with what the program ships in its place, where that differs."""

    row: ProductionRate
    shipped: dict[str, Any]


@dataclass(frozen=True, kw_only=True)
class FactorShown:
    """A factor with what the program ships in its place, where that differs."""

    row: ConditionFactor
    shipped: dict[str, Any]


@dataclass(frozen=True, kw_only=True)
class RatesPage:
    """The whole table: rates, and the factors by what they are of."""

    rates: Sequence[RateShown]
    factors: Sequence[tuple[str, Sequence[FactorShown]]]


def rates_page() -> RatesPage:
    """The firm's table; two queries."""
    shown = [
        FactorShown(row=row, shipped=shipped_otherwise(row)) for row in factor_rows()
    ]
    return RatesPage(
        rates=[
            RateShown(row=row, shipped=shipped_otherwise(row)) for row in rate_rows()
        ],
        factors=[
            (str(touch.label), mine)
            for touch in FactorTouch
            if (mine := [each for each in shown if each.row.touch == touch])
        ],
    )
