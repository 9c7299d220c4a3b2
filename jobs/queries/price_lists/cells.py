"""What a cell of a supplier's list says: price, breaks, pack, availability, weight."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext as _

from firm.money import MoneyError, parse_amount, round_half_up
from firm.units import convert

LARGEST_PRICE = Decimal(1_000_000)
MOST_PACK = 100_000
MOST_IN_STOCK = 100_000_000
MOST_KG = Decimal(1_000_000)
# Prices are kept to so many decimals.
PLACES = 4
MOST_SIGNS = 200


class CellError(ValueError):
    """What is wrong with a cell, in words for the list of refused rows."""


@dataclass(frozen=True, kw_only=True)
class Price:
    """A price as it was printed, and what it is for where the cell says so."""

    price: Decimal
    breaks: tuple[tuple[int, Decimal], ...] = ()
    is_per_pack: bool = False


@dataclass(frozen=True, kw_only=True)
class Pack:
    """How many come together, and what such a pack is called."""

    quantity: int
    unit: str
    # A word such as flat or tray stood there: the price is probably that of a whole.
    is_named: bool = False


_PACKS = (
    "flat|tray|bundle|pack|pkt|packet|case|box|crate|bag|pallet|roll|pk|bdl|carton|cell"
)
_EACH = re.compile(
    r"\s*(?:/|\bper\b|\ba\b|\bor\b)?\s*\b(?:each|ea|pc|pcs|piece|pieces|plant|unit)\b\.?$",
    re.IGNORECASE,
)
_PER_PACK = re.compile(
    rf"\s*(?:/|\bper\b|\ba\b|\bthe\b)\s*(?:{_PACKS})s?\.?$", re.IGNORECASE
)
_BREAK = re.compile(
    r"(?<![\d.,])(?:from\s+)?(\d{1,6})\s*(?:\+|(?:-|–|to)\s*\d{1,6}(?![\d.,])|or more\b"
    r"|and (?:up|more|over)\b|up\b)\s*(?:[:=@]|at\b|for\b)?\s*",
    re.IGNORECASE,
)
_NO_PRICE = re.compile(
    r"p\.?\s*o\.?\s*a\.?|call|on (?:request|application|asking)|ask|tba|tbd|n/?a|market"
    r"(?: price)?|-+|–|inquire|varies",
    re.IGNORECASE,
)
_ROUNDED = (
    re.compile(r"\d,\d{1,2}(?!\d)"),
    re.compile(r"\d\.\d{1,2}(?!\d)"),
)


def decimal_mark_of(cells: Iterable[str]) -> str | None:
    """The mark before the cents in a column of prices; None where none tells."""
    commas = dots = 0
    for cell in cells:
        commas += bool(_ROUNDED[0].search(cell))
        dots += bool(_ROUNDED[1].search(cell))
    if commas == dots:
        return None
    return "," if commas > dots else "."


def refuse_a_formula(text: str) -> None:
    """CellError for a formula whose result was never stored, or one that failed."""
    if text[:1] == "=" and len(text) > 1:
        raise CellError(
            _("a formula without its result; open the file, save it and send it again")
        )
    if re.fullmatch(r"#(?:REF|N/A|VALUE|DIV/0|NAME\?|NUM|NULL)!?\??", text):
        raise CellError(_("a formula that failed: %(text)s") % {"text": text})


def read_amount(text: str, *, decimal_mark: str | None = None) -> Decimal:
    """One amount of money, exact to the kept decimals."""
    try:
        amount = parse_amount(
            text.strip(" \t;,|/"),
            decimal_mark=decimal_mark,
            minimum=Decimal(0),
            maximum=LARGEST_PRICE,
        )
    except MoneyError as error:
        raise CellError(str(error)) from error
    return round_half_up(amount, PLACES)


def read_price(text: str, *, decimal_mark: str | None = None) -> Price:
    """The price in a cell with what it costs when more are bought.

    “9.00”, “$1,234.50”, “8,50 € each”, “28.80/flat”, “9.00; 10+ 8.50; 50+ 7.25”.
    """
    said = " ".join(text.split())
    if not said:
        raise CellError(_("empty"))
    if len(said) > MOST_SIGNS:
        raise CellError(_("too long to be a price"))
    refuse_a_formula(said)
    if _NO_PRICE.fullmatch(said):
        raise CellError(_("no price but “%(text)s”") % {"text": said})
    first = _BREAK.search(said)
    head = said if first is None else said[: first.start()].strip(" ;,|/")
    breaks = () if first is None else read_breaks(said[first.start() :], decimal_mark)
    if not head:
        # “10+ 8.50” alone: nothing says what one costs, so the break must be reached.
        raise CellError(
            _("only prices for more: “%(text)s”; what does one cost?") % {"text": said}
        )
    head, is_per_pack = _bare(head)
    return Price(
        price=read_amount(head, decimal_mark=decimal_mark),
        breaks=breaks,
        is_per_pack=is_per_pack,
    )


def read_breaks(
    text: str, decimal_mark: str | None = None
) -> tuple[tuple[int, Decimal], ...]:
    """The prices for more in a cell such as “10+ 8.50, 50+ 7.25”, rising."""
    said = " ".join(text.split())
    if len(said) > MOST_SIGNS:
        raise CellError(_("too long to be prices"))
    refuse_a_formula(said)
    marks = list(_BREAK.finditer(said))
    if not marks or said[: marks[0].start()].strip(" ;,|/"):
        raise CellError(
            _("“%(text)s” does not read like 10+ 8.50") % {"text": said[:40]}
        )
    found: dict[int, Decimal] = {}
    for place, mark in enumerate(marks):
        end = marks[place + 1].start() if place + 1 < len(marks) else len(said)
        amount, _per_pack = _bare(said[mark.end() : end].strip(" ;,|/"))
        least = int(mark[1])
        if least < 1 or least in found:
            raise CellError(
                _("“%(text)s” names a number twice or none") % {"text": said[:40]}
            )
        found[least] = read_amount(amount, decimal_mark=decimal_mark)
    return tuple(sorted(found.items()))


def break_of_head(head: str) -> int | None:
    """The number from which a column's prices hold: “10+”, “Price 25-49”; else None."""
    found = re.search(
        r"(?<!\d)(\d{1,6})\s*(?:\+|(?:-|–|to)\s*\d|or more|and up|up\b|$)",
        head.strip(),
        re.IGNORECASE,
    )
    return int(found[1]) if found and int(found[1]) >= 1 else None


def _bare(text: str) -> tuple[str, bool]:
    """The amount without “each” or “per flat”, and whether it is of a whole pack."""
    per_pack = _PER_PACK.sub("", text)
    if per_pack != text:
        return per_pack.strip(), True
    return _EACH.sub("", text).strip(), False


_ALONE = re.compile(r"(?:each|ea|single|singles|piece|pc|plant)s?\.?", re.IGNORECASE)
_PACK_OF = (
    re.compile(rf"({_PACKS})s?\s*(?:of|/|:|-|x|×)?\s*(\d{{1,6}})\b", re.IGNORECASE),
    re.compile(
        rf"(\d{{1,6}})\s*(?:/|per|in a|to a|x|×|-)?\s*(?:a\s+)?({_PACKS})s?\b",
        re.IGNORECASE,
    ),
)
_WORDS = {
    "dozen": 12,
    "half dozen": 6,
    "half a dozen": 6,
    "pair": 2,
    "gross": 144,
    "hundred": 100,
}
_ONES = (
    "one two three four five six seven eight nine ten eleven twelve thirteen fourteen "
    "fifteen sixteen seventeen eighteen nineteen"
).split()
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()
_NUMBER_WORDS = re.compile(
    rf"\b(?:({'|'.join(_TENS)})(?:[- ]({'|'.join(_ONES[:9])}))?|({'|'.join(_ONES)}))\b",
    re.IGNORECASE,
)


def with_digits(text: str) -> str:
    """TEXT with its number words below a hundred in digits: “flat of thirty-two”."""

    def digits(found: re.Match[str]) -> str:
        tens, ones, alone = (found[1] or "", found[2] or "", found[3] or "")
        if alone:
            return str(_ONES.index(alone.lower()) + 1)
        return str(
            10 * (_TENS.index(tens.lower()) + 2)
            + (_ONES.index(ones.lower()) + 1 if ones else 0)
        )

    return _NUMBER_WORDS.sub(digits, text)


def read_pack(text: str) -> Pack:
    """How many come together: “each”, “flat of 32”, “50/tray”, “two dozen”, “ten”."""
    said = " ".join(text.split())
    if not said or _ALONE.fullmatch(said):
        return Pack(quantity=1, unit="")
    if len(said) > MOST_SIGNS:
        raise CellError(_("too long to be a pack"))
    refuse_a_formula(said)
    plain = said.casefold().removeprefix("a ").removeprefix("per ")
    if plain in _WORDS:
        return Pack(quantity=_WORDS[plain], unit=plain, is_named=True)
    counted = with_digits(said)
    dozens = re.fullmatch(r"(\d{1,4})\s*(dozen|pairs?|gross)", counted, re.IGNORECASE)
    if dozens:
        word = "pair" if dozens[2].lower().startswith("pair") else dozens[2].lower()
        return Pack(
            quantity=_whole(str(int(dozens[1]) * _WORDS[word])),
            unit=word,
            is_named=True,
        )
    for turn, pattern in enumerate(_PACK_OF):
        found = pattern.search(counted)
        if found:
            unit, number = (found[1], found[2]) if turn == 0 else (found[2], found[1])
            return Pack(quantity=_whole(number), unit=unit.lower(), is_named=True)
    if re.fullmatch(r"[\d,. ]+", counted) and counted.isascii():
        return Pack(quantity=_whole(counted), unit="")
    return Pack(quantity=1, unit=said[:40])


def _whole(text: str) -> int:
    digits = re.sub(r"[, ]", "", text)
    digits = re.sub(r"\.0*$", "", digits)
    if not digits.isdecimal() or not digits.isascii():
        raise CellError(_("“%(text)s” is no whole number") % {"text": text[:40]})
    if len(digits) > 9 or not 1 <= int(digits) <= MOST_PACK:
        raise CellError(
            _("a pack holds 1 to %(most)d, not %(text)s")
            % {"most": MOST_PACK, "text": text[:40]}
        )
    return int(digits)


_NONE = re.compile(
    r"no|none|nil|sold out|out|out of stock|not available|unavailable|n/?a|0+",
    re.IGNORECASE,
)
_COUNT = re.compile(r"(\d{1,3}(?:[,. ]\d{3})+|\d{1,9})\s*\+?(?:\s*[a-z. ]{0,20})?")


def read_availability(text: str) -> tuple[str, int | None]:
    """The words, and the number that they come to; None where they give none."""
    said = " ".join(text.split())[:60]
    if not said:
        return "", None
    if _NONE.fullmatch(said):
        return said, 0
    found = _COUNT.fullmatch(with_digits(said).lower())
    if found is None:
        return said, None
    number = int(re.sub(r"\D", "", found[1]))
    return said, number if number <= MOST_IN_STOCK else None


_WEIGHT = re.compile(r"([\d.,]+)\s*(lbs?|pounds?|kgs?|oz|g)?\.?", re.IGNORECASE)
_WEIGHT_UNITS = {"l": "lb", "p": "lb", "k": "kg", "o": "oz", "g": "g"}


def weight_unit_of_head(head: str) -> str:
    """The unit of weight in the head of a column: lb unless it names kilograms."""
    return "kg" if re.search(r"\bkgs?\b|kilo", head, re.IGNORECASE) else "lb"


def read_weight(text: str, *, unit: str) -> Decimal | None:
    """The weight of one in kilograms; None where the cell is empty."""
    said = " ".join(text.split())
    if not said or said in {"-", "–"}:
        return None
    refuse_a_formula(said)
    found = _WEIGHT.fullmatch(said)
    if found is None or not said.isascii():
        raise CellError(_("“%(text)s” is no weight") % {"text": said[:40]})
    named = _WEIGHT_UNITS[found[2][0].lower()] if found[2] else unit
    amount = plain_number(found[1])
    if amount is None:
        raise CellError(_("“%(text)s” is no weight") % {"text": said[:40]})
    in_kg = {
        "kg": amount,
        "g": amount / 1000,
        "lb": convert(amount, unit="lb", to="kg"),
        "oz": convert(amount / 16, unit="lb", to="kg"),
    }[named]
    if not 0 <= in_kg <= MOST_KG:
        raise CellError(_("“%(text)s” is no weight of one") % {"text": said[:40]})
    return round_half_up(in_kg, 3)


def plain_number(text: str) -> Decimal | None:
    """A plain number with a decimal point or comma."""
    if re.fullmatch(r"[0-9]{1,9}(?:[.,][0-9]{1,6})?", text) is None:
        return None
    return Decimal(text.replace(",", "."))
