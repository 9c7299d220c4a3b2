"""One line of a quote: from its cost by overhead, reserve and margin to its price."""

from dataclasses import dataclass
from decimal import Decimal

from firm.money import HUNDRED, to_cents

PLANTS, LABOUR = "plants", "labour"
IN_MARGIN, BY_HOUR, TWO_RATES = "in margin", "by hour", "two rates"
NOUGHT = Decimal(0)


class PricingError(ValueError):
    """A quote, rate or plan of payment that does not add up; says why."""


@dataclass(frozen=True, kw_only=True)
class Way:
    """How every line of a quote is priced.

    The margin is the part of the price that is left once cost, overhead and reserve
    are paid. Contingency is a part of the cost, the warranty reserve a part of what
    plants sell at.
    """

    margin_percent: Decimal
    overhead: str = IN_MARGIN
    overhead_per_hour: Decimal = NOUGHT
    overhead_materials_percent: Decimal = NOUGHT
    overhead_labour_percent: Decimal = NOUGHT
    contingency_percent: Decimal = NOUGHT
    warranty_percent: Decimal = NOUGHT

    def __post_init__(self) -> None:
        if self.overhead not in (IN_MARGIN, BY_HOUR, TWO_RATES):
            raise PricingError(f"Overhead is not laid on by {self.overhead}.")

    def overhead_on(self, *, kind: str, cost: Decimal, hours: Decimal) -> Decimal:
        """The overhead that so much cost and labour carry, unrounded."""
        if self.overhead == BY_HOUR:
            return hours * self.overhead_per_hour
        if self.overhead == TWO_RATES:
            percent = (
                self.overhead_labour_percent
                if kind == LABOUR
                else self.overhead_materials_percent
            )
            return cost * percent / HUNDRED
        return NOUGHT

    def warranty_on(self, kind: str) -> Decimal:
        """The per cent of its price that a line of KIND puts by for its plants."""
        return self.warranty_percent if kind == PLANTS else NOUGHT

    def kept_percent(self, kind: str) -> Decimal:
        """The part of the price that neither cost nor overhead takes."""
        if self.margin_percent >= HUNDRED:
            raise PricingError(
                "A margin is the part of the price that is kept, so it stays below"
                " 100 %."
            )
        warranty = self.warranty_on(kind)
        if self.margin_percent + warranty >= HUNDRED:
            raise PricingError(
                f"A margin of {self.margin_percent.normalize():f} % and"
                f" {warranty.normalize():f} % put by for plants leave nothing of the"
                " price for the cost."
            )
        return self.margin_percent + warranty

    def price_of(
        self, *, kind: str, cost: Decimal, overhead: Decimal, contingency: Decimal
    ) -> Decimal:
        """The unrounded price that pays for these and leaves the margin."""
        whole = cost + overhead + contingency
        return whole * HUNDRED / (HUNDRED - self.kept_percent(kind))


@dataclass(frozen=True, kw_only=True)
class Figures:
    """What a line costs, carries and sells at, in whole cents."""

    unit_price: Decimal
    cost: Decimal
    overhead: Decimal
    reserve: Decimal
    price: Decimal


@dataclass(frozen=True, kw_only=True)
class Line:
    """A priced line as totals need it.

    CATEGORY, TAX_NAME and PERCENT say what tax does with it; OPTION is the option that
    it belongs to, None where it is in the quote whatever the client takes.
    """

    key: int
    kind: str
    cost: Decimal
    price: Decimal
    overhead: Decimal = Decimal("0.00")
    reserve: Decimal = Decimal("0.00")
    category: str = "standard"
    tax_name: str = ""
    percent: Decimal = NOUGHT
    option: int | None = None


def price_line(
    *,
    kind: str,
    quantity: Decimal,
    unit_cost: Decimal,
    way: Way,
    hours: Decimal = NOUGHT,
    unit_price: Decimal | None = None,
    places: int = 2,
) -> Figures:
    """A line priced from its whole cost in this way, or at a typed unit price.

    The margin is put on the whole line, not on a rounded unit, so that a hundred small
    plants keep the margin that was asked for.
    """
    if quantity < 0 or hours < 0:
        raise PricingError("A quantity cannot be negative.")
    if unit_cost < 0 or (unit_price is not None and unit_price < 0):
        raise PricingError("A cost or price cannot be negative.")
    cost = to_cents(quantity * unit_cost, places=places)
    overhead = to_cents(
        way.overhead_on(kind=kind, cost=cost, hours=hours), places=places
    )
    contingency = to_cents(cost * way.contingency_percent / HUNDRED, places=places)
    if unit_price is not None:
        price = to_cents(quantity * unit_price, places=places)
        each = unit_price
    else:
        price = to_cents(
            way.price_of(
                kind=kind, cost=cost, overhead=overhead, contingency=contingency
            ),
            places=places,
        )
        each = _each(
            way, kind=kind, quantity=quantity, unit_cost=unit_cost, hours=hours
        )
    warranty = to_cents(price * way.warranty_on(kind) / HUNDRED, places=places)
    return Figures(
        unit_price=to_cents(each, places=places),
        cost=cost,
        overhead=overhead,
        reserve=contingency + warranty,
        price=price,
    )


def _each(
    way: Way, *, kind: str, quantity: Decimal, unit_cost: Decimal, hours: Decimal
) -> Decimal:
    """The unrounded price of one, for the eye."""
    hours_each = hours / quantity if quantity else NOUGHT
    return way.price_of(
        kind=kind,
        cost=unit_cost,
        overhead=way.overhead_on(kind=kind, cost=unit_cost, hours=hours_each),
        contingency=unit_cost * way.contingency_percent / HUNDRED,
    )


def line_from(
    figures: Figures,
    *,
    key: int,
    kind: str,
    category: str = "standard",
    tax_name: str = "",
    percent: Decimal = NOUGHT,
    option: int | None = None,
) -> Line:
    """The line of these figures, for the totals."""
    return Line(
        key=key,
        kind=kind,
        cost=figures.cost,
        overhead=figures.overhead,
        reserve=figures.reserve,
        price=figures.price,
        category=category,
        tax_name=tax_name,
        percent=percent,
        option=option,
    )
