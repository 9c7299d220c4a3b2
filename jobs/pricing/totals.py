"""The foot of a quote for any choice of its options."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal

from firm.money import (
    HUNDRED,
    MoneyError,
    Taxed,
    margin_of,
    markup_from,
    round_half_up,
    spread,
    tax_on,
    to_cents,
)
from jobs.pricing.lines import Line, PricingError

# The seller chooses once; a document keeps the mode it was issued with.
DOCUMENT, LINE = "document", "line"
CHARGED = ("standard", "reduced")
NOT_TAXED = "not taxed"
NOUGHT = Decimal(0)


@dataclass(frozen=True, kw_only=True)
class Pricing:
    """What holds for the whole quote: discount, least price, where tax is rounded."""

    discount_percent: Decimal = NOUGHT
    discount_amount: Decimal = NOUGHT
    minimum_job: Decimal = NOUGHT
    tax_rounding: str = DOCUMENT
    places: int = 2

    def __post_init__(self) -> None:
        if self.tax_rounding not in (DOCUMENT, LINE):
            raise PricingError(
                f"Tax is rounded by document or by line, not {self.tax_rounding}."
            )
        if not 0 <= self.discount_percent <= HUNDRED:
            raise PricingError("A discount lies between 0 and 100 %.")
        if self.discount_amount < 0 or self.minimum_job < 0:
            raise PricingError("A discount or least price cannot be negative.")


@dataclass(frozen=True, kw_only=True)
class Option:
    """Lines to take or leave; INSTEAD_OF is the line that goes when it is taken."""

    key: int
    instead_of: int | None = None


@dataclass(frozen=True, kw_only=True)
class KindTotal:
    """Cost and price of all lines of one kind, before discount and top-up."""

    cost: Decimal
    price: Decimal


@dataclass(frozen=True, kw_only=True)
class TaxGroup:
    """What is taxed alike: one category at one rate of one tax."""

    category: str
    name: str
    percent: Decimal
    net: Decimal
    tax: Decimal

    @property
    def amount(self) -> Taxed:
        """Net, tax and gross of the group."""
        return Taxed(net=self.net, tax=self.tax, gross=self.net + self.tax)

    def as_text(self) -> dict[str, str]:
        """The group as rows and papers keep it."""
        return {
            "category": self.category,
            "name": self.name,
            "percent": f"{self.percent:f}",
            "net": f"{self.net:f}",
            "tax": f"{self.tax:f}",
        }


@dataclass(frozen=True, kw_only=True)
class Totals:
    """The foot of a quote; per cents are rounded to two decimals for the eye.

    `lines_price` is what the lines come to; less the discount, with the top-up to the
    least price of a job, it is the net. `line_tax` is the tax of each line by its key,
    where it is reckoned so.
    """

    lines: tuple[Line, ...]
    cost: Decimal
    overhead: Decimal
    reserve: Decimal
    lines_price: Decimal
    discount: Decimal
    top_up: Decimal
    tax: Taxed
    groups: tuple[TaxGroup, ...]
    line_tax: dict[int, Decimal]
    by_kind: dict[str, KindTotal]

    @property
    def net(self) -> Decimal:
        """The price before tax."""
        return self.tax.net

    @property
    def full_cost(self) -> Decimal:
        """Cost with the overhead and the reserve that the lines carry."""
        return self.cost + self.overhead + self.reserve

    @property
    def carries(self) -> Decimal:
        """Overhead and reserve that the lines carry."""
        return self.overhead + self.reserve

    @property
    def taxable(self) -> Decimal:
        """The part of the net that bears tax."""
        return sum(
            (group.net for group in self.groups if group.category in CHARGED),
            NOUGHT,
        )

    @property
    def earned(self) -> Decimal:
        """What is left of the net price once the cost is paid."""
        return self.net - self.cost

    @property
    def left(self) -> Decimal:
        """What is left once overhead and reserve are paid, too."""
        return self.net - self.full_cost

    @property
    def margin_percent(self) -> Decimal | None:
        """The per cent of the price that is left over the cost."""
        return _shown(margin_of(cost=self.cost, price=self.net))

    @property
    def markup_percent(self) -> Decimal | None:
        """The per cent put on the cost."""
        return _shown(markup_from(cost=self.cost, price=self.net))

    @property
    def full_margin_percent(self) -> Decimal | None:
        """The per cent of the price that is left over cost, overhead and reserve."""
        return _shown(margin_of(cost=self.full_cost, price=self.net))

    @property
    def full_markup_percent(self) -> Decimal | None:
        """The per cent put on cost, overhead and reserve."""
        return _shown(markup_from(cost=self.full_cost, price=self.net))

    @property
    def warning(self) -> str:
        """A sentence for the owner when the price does not carry what it must."""
        if not (self.net or self.full_cost):
            return ""
        if self.net < self.cost:
            short = self.cost - self.net
            return f"This quote loses money: the price is {short:,} below the cost."
        if self.net < self.full_cost:
            short = self.full_cost - self.net
            return (
                f"This quote is below break-even: the price is {short:,} short of cost,"
                " overhead and reserve."
            )
        if self.net > self.full_cost:
            return ""
        if self.full_cost > self.cost:
            return (
                "This quote only breaks even: the price is cost, overhead and reserve,"
                " and nothing more."
            )
        return "This quote only breaks even: the price is the cost."


def _shown(percent: Decimal | None) -> Decimal | None:
    return None if percent is None else round_half_up(percent, 2)


def chosen_lines(
    lines: Sequence[Line], options: Sequence[Option], taken: Collection[int]
) -> list[Line]:
    """The lines that count when the client takes these options and no others."""
    known = {option.key: option for option in options}
    for key in taken:
        if key not in known:
            raise PricingError("An option that was taken is not in the quote.")
    gone: set[int] = set()
    for key in taken:
        instead_of = known[key].instead_of
        if instead_of is None:
            continue
        if instead_of in gone:
            raise PricingError(
                "Two options that take the place of the same line cannot both be taken."
            )
        gone.add(instead_of)
    return [
        line
        for line in lines
        if (line.option is None or line.option in taken) and line.key not in gone
    ]


def total_quote(
    lines: Sequence[Line],
    *,
    pricing: Pricing,
    options: Sequence[Option] = (),
    taken: Collection[int] = (),
) -> Totals:
    """The foot of a quote when the client takes these of its options.

    Discount and top-up are spread over the tax groups, and over their lines where tax
    is rounded by line, in proportion to their prices; the largest remainder takes the
    odd cents.
    """
    places = pricing.places
    nought = to_cents(0, places=places)
    for line in lines:
        for amount in (line.cost, line.overhead, line.reserve, line.price):
            if amount != to_cents(amount, places=places):
                raise PricingError(f"{amount} has more than {places} decimals.")
    counted = chosen_lines(lines, options, taken)
    price = sum((line.price for line in counted), nought)
    discount = _discount(price, pricing)
    net = price - discount
    least = to_cents(pricing.minimum_job, places=places) if counted else nought
    top_up = max(nought, least - net)
    net += top_up
    members: dict[tuple[str, str, Decimal], list[Line]] = {}
    for line in counted:
        members.setdefault(_group_of(line), []).append(line)
    nets = _in_proportion(
        net,
        [sum((line.price for line in own), nought) for own in members.values()],
        places,
    )
    groups: list[TaxGroup] = []
    line_tax: dict[int, Decimal] = {}
    for (key, own), group_net in zip(members.items(), nets, strict=True):
        category, name, percent = key
        if pricing.tax_rounding == LINE:
            parts = _in_proportion(group_net, [line.price for line in own], places)
            for line, part in zip(own, parts, strict=True):
                line_tax[line.key] = _tax(part, percent, places)
            tax = sum((line_tax[line.key] for line in own), nought)
        else:
            tax = _tax(group_net, percent, places)
        groups.append(
            TaxGroup(
                category=category, name=name, percent=percent, net=group_net, tax=tax
            )
        )
    tax = sum((group.tax for group in groups), nought)
    return Totals(
        lines=tuple(counted),
        cost=sum((line.cost for line in counted), nought),
        overhead=sum((line.overhead for line in counted), nought),
        reserve=sum((line.reserve for line in counted), nought),
        lines_price=price,
        discount=discount,
        top_up=top_up,
        tax=Taxed(net=net, tax=tax, gross=net + tax),
        groups=tuple(groups),
        line_tax=line_tax,
        by_kind=_by_kind(counted, nought),
    )


def _group_of(line: Line) -> tuple[str, str, Decimal]:
    """What is taxed like this line; a charged line without a tax is not taxed."""
    if line.category in CHARGED and line.tax_name:
        return line.category, line.tax_name, line.percent
    if line.percent:
        raise PricingError("A line with a rate of tax needs the tax's name.")
    return (NOT_TAXED if line.category in CHARGED else line.category), "", NOUGHT


def _discount(price: Decimal, pricing: Pricing) -> Decimal:
    """The discount on PRICE, never more than all of it."""
    by_percent = to_cents(
        price * pricing.discount_percent / HUNDRED, places=pricing.places
    )
    by_amount = to_cents(pricing.discount_amount, places=pricing.places)
    return min(price, by_percent + by_amount)


def _in_proportion(
    amount: Decimal, prices: Sequence[Decimal], places: int
) -> tuple[Decimal, ...]:
    """The amount over the prices; just the prices where they add up to it already."""
    if not prices or sum(prices) == amount:
        return tuple(prices)
    return spread(
        amount, weights=prices if any(prices) else [1] * len(prices), places=places
    )


def _tax(net: Decimal, percent: Decimal, places: int) -> Decimal:
    try:
        return tax_on(net=net, percent=percent, places=places).tax
    except MoneyError as error:
        raise PricingError(str(error)) from error


def _by_kind(lines: Sequence[Line], nought: Decimal) -> dict[str, KindTotal]:
    found: dict[str, KindTotal] = {}
    for line in lines:
        before = found.get(line.kind, KindTotal(cost=nought, price=nought))
        found[line.kind] = KindTotal(
            cost=before.cost + line.cost, price=before.price + line.price
        )
    return found
