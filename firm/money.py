"""Money as exact decimals: rounding, tax, fair splits, margin and reading amounts."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from fractions import Fraction

HUNDRED = Decimal(100)

# Minor-unit digits of ISO 4217; a currency not listed here is refused.
CURRENCY_PLACES = {
    "AUD": 2,
    "BHD": 3,
    "BRL": 2,
    "CAD": 2,
    "CHF": 2,
    "CLF": 4,
    "CLP": 0,
    "CZK": 2,
    "DKK": 2,
    "EUR": 2,
    "GBP": 2,
    "HUF": 2,
    "INR": 2,
    "ISK": 0,
    "JPY": 0,
    "KRW": 0,
    "KWD": 3,
    "MXN": 2,
    "NOK": 2,
    "NZD": 2,
    "PLN": 2,
    "SEK": 2,
    "TND": 3,
    "USD": 2,
    "ZAR": 2,
}
CURRENCY_SIGNS = {"USD": "$", "EUR": "€", "GBP": "£", "JPY": "¥", "INR": "₹"}
# The dollar sign belongs to several currencies; it never contradicts one of them.
DOLLARS = {"USD", "CAD", "AUD", "NZD", "MXN", "CLP"}
LARGEST_AMOUNT = Decimal("999999999999.9999")


class MoneyError(ValueError):
    """An amount, rate or weight that cannot be reckoned with; says why."""


def _exact(value: Decimal | int, name: str) -> Decimal:
    """The value as a finite decimal; binary floats are refused, not repaired."""
    if isinstance(value, bool) or not isinstance(value, Decimal | int):
        raise MoneyError(f"The {name} must be a decimal, not {type(value).__name__}.")
    exact = Decimal(value)
    if not exact.is_finite():
        raise MoneyError(f"The {name} must be a number, not {value}.")
    return exact


@dataclass(frozen=True, kw_only=True)
class Taxed:
    """A net amount, its tax and their sum, which always agree."""

    net: Decimal
    tax: Decimal
    gross: Decimal

    def __post_init__(self) -> None:
        for name in ("net", "tax", "gross"):
            _exact(getattr(self, name), name)
        if self.net + self.tax != self.gross:
            raise MoneyError(
                f"Net {self.net} and tax {self.tax} do not make {self.gross}."
            )

    def __add__(self, other: "Taxed") -> "Taxed":
        return Taxed(
            net=self.net + other.net,
            tax=self.tax + other.tax,
            gross=self.gross + other.gross,
        )


NOTHING = Taxed(net=Decimal("0.00"), tax=Decimal("0.00"), gross=Decimal("0.00"))


def round_half_up(value: Decimal | int, places: int) -> Decimal:
    """The value at so many decimals, ties going away from zero, never minus zero."""
    exact = _exact(value, "number")
    try:
        rounded = exact.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)
    except InvalidOperation:
        raise MoneyError("The number is too large to be rounded.") from None
    return rounded if rounded else abs(rounded)


def to_cents(amount: Decimal | int, *, places: int = 2) -> Decimal:
    """The amount at the currency's decimals, half up."""
    return round_half_up(_exact(amount, "amount"), places)


def places_of(currency: str) -> int:
    """How many decimals a currency has."""
    try:
        return CURRENCY_PLACES[currency]
    except KeyError:
        raise MoneyError(f"The currency {currency!r} is not known here.") from None


def tax_on(*, net: Decimal, percent: Decimal, places: int = 2) -> Taxed:
    """Net, tax rounded half up, and gross."""
    rate = _exact(percent, "tax rate")
    if not 0 <= rate <= HUNDRED:
        raise MoneyError("A tax rate lies between 0 and 100 %.")
    base = to_cents(net, places=places)
    if base != net:
        raise MoneyError(f"The net amount {net} has more than {places} decimals.")
    tax = to_cents(base * rate / HUNDRED, places=places)
    return Taxed(net=base, tax=tax, gross=base + tax)


def spread(
    total: Decimal | int, *, weights: Sequence[Decimal | int], places: int = 2
) -> tuple[Decimal, ...]:
    """Parts in proportion to the weights that add up to the total exactly.

    Largest remainder: what is left over after rounding down goes, a cent each, to
    the parts that lost most; among equals the first parts take it.
    """
    amount = to_cents(total, places=places)
    if amount != total:
        raise MoneyError(f"The total {total} has more than {places} decimals.")
    shares = [Fraction(_exact(weight, "weight")) for weight in weights]
    if not shares:
        raise MoneyError("There is nothing to spread over.")
    if min(shares) < 0:
        raise MoneyError("A weight cannot be negative.")
    whole = sum(shares)
    if not whole:
        raise MoneyError("At least one weight must be above zero.")
    sign = -1 if amount < 0 else 1
    cents = int(abs(amount).scaleb(places))
    ideal = [cents * share / whole for share in shares]
    parts = [int(part) for part in ideal]
    # sorted() keeps the order of equals, so the first of them come first.
    by_loss = sorted(range(len(ideal)), key=lambda i: parts[i] - ideal[i])
    for i in by_loss[: cents - sum(parts)]:
        parts[i] += 1
    return tuple(
        round_half_up(Decimal(sign * part).scaleb(-places), places) for part in parts
    )


def spread_evenly(
    total: Decimal | int, *, parts: int, places: int = 2
) -> tuple[Decimal, ...]:
    """Equal parts that add up; the first ones are a cent larger where needed."""
    if parts < 1:
        raise MoneyError("A total is spread over at least one part.")
    return spread(total, weights=[1] * parts, places=places)


def _margin(margin_percent: Decimal | int) -> Decimal:
    margin = _exact(margin_percent, "margin")
    if margin >= HUNDRED:
        raise MoneyError(
            "A margin is the part of the price that is kept, so it stays below 100 %."
        )
    return margin


def price_at_margin(
    *, cost: Decimal, margin_percent: Decimal | int, places: int = 2
) -> Decimal:
    """The price of which the margin is kept once the cost is paid."""
    margin = _margin(margin_percent)
    return to_cents(_exact(cost, "cost") * HUNDRED / (HUNDRED - margin), places=places)


def price_at_markup(
    *, cost: Decimal, markup_percent: Decimal | int, places: int = 2
) -> Decimal:
    """The cost with so many per cent of itself on top."""
    markup = _exact(markup_percent, "markup")
    return to_cents(_exact(cost, "cost") * (HUNDRED + markup) / HUNDRED, places=places)


def markup_of(*, margin_percent: Decimal | int) -> Decimal:
    """The per cent on cost that give the same price as this margin, unrounded."""
    margin = _margin(margin_percent)
    return margin * HUNDRED / (HUNDRED - margin)


def margin_of_markup(*, markup_percent: Decimal | int) -> Decimal:
    """The per cent of the price that this markup on cost leaves, unrounded."""
    markup = _exact(markup_percent, "markup")
    if markup <= -HUNDRED:
        raise MoneyError("A markup of -100 % or less leaves no price.")
    return markup * HUNDRED / (HUNDRED + markup)


def margin_of(*, cost: Decimal, price: Decimal) -> Decimal | None:
    """The per cent of the price that is kept, unrounded; nothing when it is free."""
    if not _exact(price, "price"):
        return None
    return (price - _exact(cost, "cost")) * HUNDRED / price


def markup_from(*, cost: Decimal, price: Decimal) -> Decimal | None:
    """The per cent put on the cost, unrounded; nothing where there is no cost."""
    if not _exact(cost, "cost"):
        return None
    return (_exact(price, "price") - cost) * HUNDRED / cost


def format_amount(
    amount: Decimal,
    currency: str,
    *,
    decimal_mark: str = ".",
    group_mark: str = ",",
    sign: bool = True,
) -> str:
    """The amount as people read it: $1,234.50, 1.234,50 € or CHF 1,234.50.

    The sign stands before the digits, except that with a decimal comma it follows.
    """
    places = places_of(currency)
    rounded = to_cents(amount, places=places)
    whole, _, part = f"{abs(rounded):,.{places}f}".partition(".")
    digits = whole.replace(",", group_mark) + (decimal_mark + part if part else "")
    minus = "-" if rounded < 0 else ""
    if not sign:
        return minus + digits
    mark = CURRENCY_SIGNS.get(currency)
    if decimal_mark == ",":
        return f"{minus}{digits} {mark or currency}"
    if mark:
        return f"{minus}{mark}{digits}"
    return f"{currency} {minus}{digits}"


_SPACES = re.compile(r"[\s\u00a0\u2009\u202f]+")
_NAMED = re.compile(
    rf"(?P<code>{'|'.join(CURRENCY_PLACES)})|(?P<sign>[{''.join(CURRENCY_SIGNS.values())}])"
)
_PLAIN = re.compile(r"[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+")
_GROUPED = re.compile(
    r"[0-9]{1,3}(?:(?P<group>[ ,.'’])[0-9]{3})(?:(?P=group)[0-9]{3})*"
    r"(?:(?P<mark>[.,])[0-9]+)?"
)


def _refuse(text: str, why: str) -> MoneyError:
    shown = text if len(text) <= 40 else text[:40] + "…"
    return MoneyError(f"“{shown}” is not read as an amount: {why}")


def _without_currency(text: str, rest: str, currency: str | None) -> str:
    """What is left when one currency sign or code at either end is taken away."""
    found = _NAMED.findall(rest)
    if not found:
        return rest
    if len(found) > 1:
        raise _refuse(text, "it names a currency twice.")
    code, sign = found[0]
    if currency is not None:
        allowed = {currency}
        if sign:
            allowed = {CURRENCY_SIGNS.get(currency, "")}
            if currency in DOLLARS:
                allowed.add("$")
        if (code or sign) not in allowed:
            raise _refuse(text, f"{code or sign} is not {currency}.")
    named = code or sign
    if not (rest.startswith(named) or rest.endswith(named)):
        raise _refuse(text, "the currency stands in the middle.")
    return rest.replace(named, "").strip()


def _digits(text: str, rest: str, decimal_mark: str | None) -> Decimal:
    """The number behind plain or grouped digits."""
    match = _PLAIN.fullmatch(rest)
    lone = re.fullmatch(r"[1-9][0-9]{0,2}([.,])[0-9]{3}", rest)
    if lone:
        # One mark and three digits: a thousands mark or three decimals.
        if decimal_mark is None and lone[1] == ".":
            plain = rest.replace(".", "")
            raise _refuse(text, f"write {plain} or {rest}0; it can mean two amounts.")
        if lone[1] == (decimal_mark or "."):
            return Decimal(rest.replace(",", "."))
        return Decimal(rest.replace(lone[1], ""))
    if match:
        return Decimal(rest.replace(",", "."))
    grouped = _GROUPED.fullmatch(rest)
    if grouped is None or grouped["group"] == grouped["mark"]:
        raise _refuse(text, "write digits, like 1,234.50 or 1234.50.")
    whole = rest
    part = ""
    if grouped["mark"]:
        whole, part = rest.rsplit(grouped["mark"], 1)
    return Decimal(whole.replace(grouped["group"], "") + ("." + part if part else ""))


def parse_amount(
    text: str,
    *,
    currency: str | None = None,
    decimal_mark: str | None = None,
    minimum: Decimal | None = None,
    maximum: Decimal = LARGEST_AMOUNT,
) -> Decimal:
    """The exact amount a person or a supplier's list wrote down.

    Reads currency signs and codes, thousands marks, decimal points and commas, a
    leading minus and book-keeper's brackets. One comma before three digits is a
    thousands mark; one dot before three digits is refused unless `decimal_mark` says
    which mark is meant.
    """
    if not isinstance(text, str):
        raise MoneyError("An amount is read from text.")
    rest = _SPACES.sub(" ", text).strip()
    if not rest:
        raise MoneyError("Write an amount, like 12.50.")
    if len(rest) > 60:
        raise _refuse(text, "it is too long.")
    negative = False
    if rest.startswith("(") and rest.endswith(")"):
        negative, rest = True, rest[1:-1].strip()
    # The minus may stand before the currency or between it and the digits.
    for _ in range(2):
        if rest[:1] in {"-", "−", "+"}:
            if negative:
                raise _refuse(text, "it is negative twice.")
            negative, rest = rest[0] != "+", rest[1:].strip()
        rest = _without_currency(text, rest, currency)
    if not rest.isascii() and "’" not in rest:
        raise _refuse(text, "write plain digits, like 1234.50.")
    number = _digits(text, rest, decimal_mark)
    if negative and number:
        number = number.copy_negate()
    if minimum is not None and number < minimum:
        raise _refuse(text, f"it must be at least {minimum}.")
    if abs(number) > maximum:
        raise _refuse(text, f"it must be at most {maximum}.")
    if number != round_half_up(number, 9):
        raise _refuse(text, "it has too many decimals.")
    return number
