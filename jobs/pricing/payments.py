"""When a total is paid: deposit and its cap, milestones, dated instalments."""

import calendar
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from firm.money import HUNDRED, NOTHING, Taxed, spread, spread_evenly, to_cents
from jobs.pricing.lines import PricingError
from jobs.pricing.totals import TaxGroup

MOST_INSTALMENTS = 120


@dataclass(frozen=True, kw_only=True)
class Instalment:
    """One dated part of a total."""

    number: int
    due_on: date
    amount: Decimal


@dataclass(frozen=True, kw_only=True)
class Deposit:
    """What is asked before the work begins, and what was asked before the cap."""

    amount: Decimal
    asked: Decimal

    @property
    def is_capped(self) -> bool:
        """Whether the place allows less than was asked."""
        return self.amount < self.asked


@dataclass(frozen=True, kw_only=True)
class Share:
    """A part of the price in per cent; the deposit may meet a cap."""

    percent: Decimal
    is_deposit: bool = False


@dataclass(frozen=True, kw_only=True)
class Part:
    """One payment; the amounts of its tax groups add up to it."""

    amount: Taxed
    groups: tuple[TaxGroup, ...]


def deposit_of(
    gross: Decimal,
    *,
    percent: Decimal,
    cap_percent: Decimal | None = None,
    cap_amount: Decimal | None = None,
    places: int = 2,
) -> Deposit:
    """So many per cent of the gross, no more than the lower of the caps.

    A cap in per cent is never overstepped by rounding.
    """
    if not 0 <= percent <= HUNDRED:
        raise PricingError("A deposit lies between 0 and 100 %.")
    asked = to_cents(gross * percent / HUNDRED, places=places)
    return Deposit(
        asked=asked,
        amount=_capped(asked, gross, cap_percent, cap_amount, places),
    )


def _capped(
    asked: Decimal,
    gross: Decimal,
    cap_percent: Decimal | None,
    cap_amount: Decimal | None,
    places: int,
) -> Decimal:
    caps = [asked]
    if cap_percent is not None:
        most = gross * cap_percent / HUNDRED
        cents = to_cents(most, places=places)
        caps.append(cents if cents <= most else cents - Decimal(1).scaleb(-places))
    if cap_amount is not None:
        caps.append(to_cents(cap_amount, places=places))
    return max(to_cents(0, places=places), min(caps))


def payments(
    groups: Sequence[TaxGroup],
    shares: Sequence[Share],
    *,
    cap_percent: Decimal | None = None,
    cap_amount: Decimal | None = None,
    places: int = 2,
) -> tuple[Part, ...]:
    """A payment for each share, adding up to the cent in each group and column.

    The shares are 100 % together. The gross is split by largest remainder, the first
    parts take the odd cents; what a cap keeps off the deposit goes to the other parts
    in their proportion.
    """
    if sum(share.percent for share in shares) != HUNDRED:
        raise PricingError("The parts of a price are 100 % together.")
    if min(share.percent for share in shares) < 0:
        raise PricingError("A part of a price cannot be negative.")
    whole = sum((group.amount for group in groups), NOTHING)
    if min([group.net for group in groups], default=whole.net) < 0:
        raise PricingError("A total below zero is not paid in parts.")
    gross = _gross_parts(whole.gross, shares, cap_percent, cap_amount, places)
    cells = _over_groups([group.amount.gross for group in groups], gross, places)
    columns = []
    for group, own in zip(groups, zip(*cells, strict=True), strict=True):
        taxes: Sequence[Decimal] = (
            spread(group.tax, weights=own, places=places)
            if group.tax
            else [NOTHING.tax] * len(own)
        )
        columns.append(
            [
                TaxGroup(
                    category=group.category,
                    name=group.name,
                    percent=group.percent,
                    net=amount - tax,
                    tax=tax,
                )
                for amount, tax in zip(own, taxes, strict=True)
            ]
        )
    if not columns:
        return tuple(Part(amount=NOTHING, groups=()) for _ in shares)
    return tuple(
        Part(amount=sum((group.amount for group in row), NOTHING), groups=row)
        for row in zip(*columns, strict=True)
    )


def taken_off(
    left: Sequence[TaxGroup], gross: Decimal, *, places: int = 2
) -> tuple[TaxGroup, ...]:
    """What so much of the gross is in each group, never more than a group has left.

    The groups share it in proportion (largest remainder) and each parts its share into
    net and tax as it has them; all that is left is given as it stands.
    """
    whole = sum((group.amount.gross for group in left), NOTHING.gross)
    if not 0 < gross <= whole:
        raise PricingError(f"Between nothing and {whole:,} can be taken off.")
    if gross == whole:
        return tuple(left)
    own = [max(NOTHING.gross, group.amount.gross) for group in left]
    found = []
    for group, part in zip(
        left, spread(gross, weights=own, places=places), strict=True
    ):
        all_in = group.amount.gross
        tax = (
            to_cents(part * group.tax / all_in, places=places)
            if part
            else to_cents(0, places=places)
        )
        found.append(
            TaxGroup(
                category=group.category,
                name=group.name,
                percent=group.percent,
                net=part - tax,
                tax=tax,
            )
        )
    return tuple(found)


def _gross_parts(
    gross: Decimal,
    shares: Sequence[Share],
    cap_percent: Decimal | None,
    cap_amount: Decimal | None,
    places: int,
) -> list[Decimal]:
    parts = list(
        spread(gross, weights=[share.percent for share in shares], places=places)
    )
    deposits = [at for at, share in enumerate(shares) if share.is_deposit]
    if len(deposits) > 1:
        raise PricingError("There is one deposit at the most.")
    for at in deposits:
        most = _capped(parts[at], gross, cap_percent, cap_amount, places)
        if most == parts[at]:
            continue
        others = [share.percent for i, share in enumerate(shares) if i != at]
        if others and not any(others):
            others[-1] = HUNDRED
        if not others:
            raise PricingError(
                f"The whole price is asked as a deposit, but no more than {most:,} may"
                " be. Add a later payment."
            )
        rest = iter(spread(gross - most, weights=others, places=places))
        parts = [most if i == at else next(rest) for i in range(len(shares))]
    return parts


def _over_groups(
    totals: Sequence[Decimal], parts: Sequence[Decimal], places: int
) -> list[tuple[Decimal, ...]]:
    """Each part over the groups, so that rows and columns both add up.

    A part is spread over what is left of the groups; a share of it never comes to more
    than its group has left, and the last part takes all that remains.
    """
    left = list(totals)
    rows = []
    for part in parts:
        row = (
            spread(part, weights=left, places=places)
            if any(left)
            else tuple(to_cents(0, places=places) for _ in left)
        )
        left = [had - took for had, took in zip(left, row, strict=True)]
        rows.append(row)
    return rows


def months_after(first_on: date, months: int) -> date:
    """The same day so many months on, or the last day of a shorter month."""
    year, month = divmod(first_on.year * 12 + first_on.month - 1 + months, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(first_on.day, last))


def instalments(
    total: Decimal,
    *,
    count: int,
    first_on: date,
    months_apart: int = 1,
    places: int = 2,
) -> tuple[Instalment, ...]:
    """Dated equal parts that add up to the total; the first take the odd cents.

    Each date is reckoned from the first, so the 31st comes back after a February.
    """
    if not 1 <= count <= MOST_INSTALMENTS:
        raise PricingError(f"There are 1 to {MOST_INSTALMENTS} instalments.")
    if not 1 <= months_apart <= 12:
        raise PricingError("Instalments lie 1 to 12 months apart.")
    if total < 0:
        raise PricingError("A total below zero is not paid in instalments.")
    if first_on.year + (count * months_apart) // 12 >= date.max.year:
        raise PricingError("The instalments run past the end of the calendar.")
    parts = spread_evenly(total, parts=count, places=places)
    return tuple(
        Instalment(
            number=number + 1,
            due_on=months_after(first_on, number * months_apart),
            amount=amount,
        )
        for number, amount in enumerate(parts)
    )


def spread_taxed(whole: Taxed, *, parts: int, places: int = 2) -> tuple[Taxed, ...]:
    """A taxed total in parts of which net, tax and gross each add up."""
    gross = spread_evenly(whole.gross, parts=parts, places=places)
    tax = spread_evenly(whole.tax, parts=parts, places=places)
    return tuple(
        Taxed(net=all_in - of_it, tax=of_it, gross=all_in)
        for all_in, of_it in zip(gross, tax, strict=True)
    )
