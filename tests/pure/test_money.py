"""Rounding, tax, splits, margins and the reading of amounts."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firm.money import (
    MoneyError,
    Taxed,
    format_amount,
    margin_of,
    margin_of_markup,
    markup_from,
    markup_of,
    parse_amount,
    places_of,
    price_at_margin,
    price_at_markup,
    round_half_up,
    spread,
    spread_evenly,
    tax_on,
    to_cents,
)

D = Decimal
CENTS = st.decimals("-9999999.99", "9999999.99", places=2)


@pytest.mark.parametrize(
    ("amount", "cents"),
    [
        # Ties away from zero, as SSUTA section 324 asks of the third decimal (> 4 up).
        ("0.125", "0.13"),
        ("-0.125", "-0.13"),
        ("1.005", "1.01"),
        ("1.0049999", "1.00"),
        ("2.675", "2.68"),
        ("10.125", "10.13"),
        ("7", "7.00"),
    ],
)
def test_ties_go_away_from_zero(amount, cents):
    assert str(to_cents(D(amount))) == cents


def test_an_amount_too_small_to_show_is_not_minus_zero():
    assert str(to_cents(D("-0.004"))) == "0.00"


def test_places_follow_the_currency():
    # ISO 4217 minor units: yen 0, dollar 2, Kuwaiti dinar 3, unidad de fomento 4.
    assert [places_of(code) for code in ("JPY", "USD", "KWD", "CLF")] == [0, 2, 3, 4]
    assert str(to_cents(D("1234.5"), places=places_of("JPY"))) == "1235"
    assert str(to_cents(D("1.23456"), places=places_of("CLF"))) == "1.2346"
    with pytest.raises(MoneyError, match="'XXX' is not known here"):
        places_of("XXX")


@pytest.mark.parametrize("wrong", [1.1, True, "1", None, D("NaN"), D("Infinity")])
def test_only_exact_finite_numbers_are_rounded(wrong):
    with pytest.raises(MoneyError, match="must be a"):
        to_cents(wrong)


def test_a_number_with_too_many_digits_is_refused_as_such():
    with pytest.raises(MoneyError, match="too large"):
        round_half_up(D("1E+5000"), 2)


def test_net_tax_and_gross_must_agree():
    whole = Taxed(net=D("100.00"), tax=D("7.00"), gross=D("107.00"))
    assert whole + whole == Taxed(net=D("200.00"), tax=D("14.00"), gross=D("214.00"))
    with pytest.raises(MoneyError, match=r"100\.00 and tax 7\.00 do not make 107\.01"):
        Taxed(net=D("100.00"), tax=D("7.00"), gross=D("107.01"))
    with pytest.raises(MoneyError, match="gross must be a decimal, not float"):
        Taxed(net=D("100.00"), tax=D("7.00"), gross=107.0)


def test_tax_is_rounded_half_up():
    # Published UBL example of EN 16931 (CEN/TC 434): 1460.50 at 25 % is 365.125 and
    # printed as 365.13.
    assert tax_on(net=D("1460.50"), percent=D("25")) == Taxed(
        net=D("1460.50"), tax=D("365.13"), gross=D("1825.63")
    )
    assert tax_on(net=D("-1460.50"), percent=D("25")).tax == D("-365.13")


@pytest.mark.parametrize("percent", ["-1", "100.01"])
def test_a_tax_rate_outside_nought_to_a_hundred_is_refused(percent):
    assert tax_on(net=D("10.00"), percent=D("100")).tax == D("10.00")
    with pytest.raises(MoneyError, match="between 0 and 100"):
        tax_on(net=D("10.00"), percent=D(percent))


def test_tax_on_an_unrounded_net_is_refused():
    with pytest.raises(MoneyError, match="more than 2 decimals"):
        tax_on(net=D("10.001"), percent=D("7"))


@pytest.mark.parametrize(
    ("total", "weights", "parts"),
    [
        # The first three are published by moneyphp (800 by 3; 5 by 70/30 and 30/70);
        # the others follow the same rule, reckoned by hand.
        ("8.00", (1, 1, 1), ("2.67", "2.67", "2.66")),
        ("0.05", (70, 30), ("0.04", "0.01")),
        ("0.05", (30, 70), ("0.02", "0.03")),
        ("100.01", (30, 40, 30), ("30.00", "40.01", "30.00")),
        ("1.00", (1, 1, 1), ("0.34", "0.33", "0.33")),
        ("-1.00", (1, 1, 1), ("-0.34", "-0.33", "-0.33")),
        ("1000.03", (50, 50), ("500.02", "500.01")),
        ("0.01", (0, 1), ("0.00", "0.01")),
        ("0.00", (1, 2), ("0.00", "0.00")),
    ],
)
def test_a_total_is_spread_by_largest_remainder(total, weights, parts):
    assert tuple(str(part) for part in spread(D(total), weights=weights)) == parts


def test_four_thousand_in_twelve_gives_the_first_four_the_odd_cents():
    parts = spread_evenly(D("4000.00"), parts=12)
    assert parts == (D("333.34"),) * 4 + (D("333.33"),) * 8


def test_a_currency_without_cents_is_spread_in_whole_units():
    assert spread(D(100), weights=(1, 1, 1), places=0) == (D(34), D(33), D(33))


@pytest.mark.parametrize(
    ("total", "weights", "message"),
    [
        ("1.00", (), "nothing to spread over"),
        ("1.00", (0, 0), "above zero"),
        ("1.00", (2, -1), "cannot be negative"),
        ("1.001", (1, 1), "more than 2 decimals"),
    ],
)
def test_a_spread_that_cannot_work_is_refused(total, weights, message):
    with pytest.raises(MoneyError, match=message):
        spread(D(total), weights=weights)
    with pytest.raises(MoneyError, match="at least one part"):
        spread_evenly(D("1.00"), parts=0)


@given(
    CENTS,
    st.lists(st.integers(0, 10_000), min_size=1, max_size=30).filter(any),
)
def test_every_spread_adds_up_and_stays_within_a_cent(total, weights):
    parts = spread(total, weights=weights)
    assert sum(parts) == total
    for part, weight in zip(parts, weights, strict=True):
        ideal = Fraction(total) * weight / sum(weights)
        assert abs(Fraction(part) - ideal) < Fraction(1, 100)
        assert weight or part == 0


@given(st.decimals("-9999.99", "9999.99", places=2), st.integers(1, 60))
def test_equal_parts_never_grow_along_the_way(total, parts):
    sizes = [abs(part) for part in spread_evenly(total, parts=parts)]
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[0] - sizes[-1] <= D("0.01")


@pytest.mark.parametrize(
    ("margin", "price"),
    # Arithmetic: cost / (1 - margin). 1,400.00 is what a 40 % markup gives.
    [("40", "1666.67"), ("0", "1000.00"), ("50", "2000.00"), ("99.99", "10000000.00")],
)
def test_a_margin_is_kept_from_the_price(margin, price):
    assert price_at_margin(cost=D("1000.00"), margin_percent=D(margin)) == D(price)


@pytest.mark.parametrize("margin", ["100", "100.01", "250"])
def test_a_margin_of_a_hundred_per_cent_is_refused(margin):
    with pytest.raises(MoneyError, match="below 100 %"):
        price_at_margin(cost=D("1000.00"), margin_percent=D(margin))
    with pytest.raises(MoneyError, match="below 100 %"):
        markup_of(margin_percent=D(margin))


def test_published_markup_examples():
    # KnowThis, setting-price-part-1/markup-on-cost-pricing-method: $50 and 30 % sell
    # at $65.
    assert price_at_markup(cost=D("50"), markup_percent=D("30")) == D("65.00")
    # A page on the web reckons 30 and "60 % markup" as 75; that is the margin.
    assert price_at_markup(cost=D("30"), markup_percent=D("60")) == D("48.00")
    assert price_at_margin(cost=D("30"), margin_percent=D("60")) == D("75.00")
    # Arithmetic: 1.15 / (1 - 0.35) = 1.7692; 37.50 / 0.85 = 44.12, not 43.13.
    assert price_at_margin(cost=D("1.15"), margin_percent=D("35")) == D("1.77")
    assert price_at_margin(cost=D("37.50"), margin_percent=D("15")) == D("44.12")
    assert price_at_markup(cost=D("37.50"), markup_percent=D("15")) == D("43.13")


@pytest.mark.parametrize(
    ("margin", "markup"),
    # Arithmetic: margin / (1 - margin).
    [
        ("20", "25.00"),
        ("25", "33.33"),
        ("30", "42.86"),
        ("40", "66.67"),
        ("50", "100.00"),
    ],
)
def test_margin_and_markup_tell_the_same_price(margin, markup):
    exact = markup_of(margin_percent=D(margin))
    assert round_half_up(exact, 2) == D(markup)
    assert round_half_up(margin_of_markup(markup_percent=exact), 9) == D(margin)


def test_margin_and_markup_of_a_cost_and_a_price():
    # Arithmetic: 10 bought and 15 sold is 50 % on cost and a third of the price.
    assert markup_from(cost=D("10"), price=D("15")) == 50
    assert round_half_up(margin_of(cost=D("10"), price=D("15")), 2) == D("33.33")
    assert margin_of(cost=D("10"), price=D("0")) is None
    assert markup_from(cost=D("0"), price=D("10")) is None
    with pytest.raises(MoneyError, match="leaves no price"):
        margin_of_markup(markup_percent=D("-100"))


@pytest.mark.parametrize(
    ("amount", "currency", "marks", "shown"),
    [
        ("1234.5", "USD", {}, "$1,234.50"),
        ("-1234.5", "USD", {}, "-$1,234.50"),
        ("1234567.005", "EUR", {"decimal_mark": ",", "group_mark": "."},
         "1.234.567,01 €"),
        ("1234.5", "JPY", {}, "¥1,235"),
        ("1.2345", "KWD", {}, "KWD 1.235"),
        ("-0.001", "USD", {}, "$0.00"),
        ("1234.5", "USD", {"sign": False}, "1,234.50"),
    ],
)  # fmt: skip
def test_amounts_are_shown_as_people_read_them(amount, currency, marks, shown):
    assert format_amount(D(amount), currency, **marks) == shown


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("$1,234.50", "1234.50"),
        ("1.234,50", "1234.50"),
        ("1.234,50 €", "1234.50"),
        ("EUR 1 234,50", "1234.50"),
        ("1\u202f234,50", "1234.50"),
        ("1'234.50", "1234.50"),
        ("1,234", "1234"),
        ("1,234,567", "1234567"),
        ("1.234.567", "1234567"),
        ("12,5", "12.5"),
        ("0.125", "0.125"),
        (".50", "0.50"),
        ("-$5", "-5"),
        ("$-5", "-5"),
        ("−5", "-5"),
        ("($5.00)", "-5.00"),
        ("+5", "5"),
        ("  7  ", "7"),
    ],
)
def test_amounts_are_read_as_written(text, amount):
    assert parse_amount(text) == D(amount)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "Write an amount, like 12.50."),
        ("twelve", "write digits, like 1,234.50"),
        ("=1+1", "write digits"),
        ("12 %", "write digits"),
        ("1e5", "write digits"),
        ("12,34,567", "write digits"),
        ("1,234,5", "write digits"),
        ("€", "write digits"),
        ("1 2", "write digits"),
        ("٣", "write plain digits"),
        ("1.234", "write 1234 or 1.2340; it can mean two amounts"),
        ("$5$", "names a currency twice"),
        ("5$5", "the currency stands in the middle"),
        ("--5", "negative twice"),
        ("(-5)", "negative twice"),
        ("1" * 61, "too long"),
        ("9999999999999", "it must be at most 999999999999.9999"),
        ("0.0000000001", "too many decimals"),
    ],
)
def test_an_unreadable_amount_says_what_is_wrong(text, message):
    with pytest.raises(MoneyError) as caught:
        parse_amount(text)
    assert message in str(caught.value)


def test_a_stated_mark_settles_what_can_mean_two_amounts():
    assert parse_amount("1.234", decimal_mark=",") == 1234
    assert parse_amount("1.234", decimal_mark=".") == D("1.234")
    assert parse_amount("1,234", decimal_mark=",") == D("1.234")
    assert parse_amount("1,234", decimal_mark=".") == 1234


def test_only_text_is_read():
    with pytest.raises(MoneyError, match="read from text"):
        parse_amount(12.5)


def test_another_currency_than_the_firms_is_refused():
    assert parse_amount("$5", currency="USD") == 5
    assert parse_amount("$5", currency="CAD") == 5
    assert parse_amount("USD 5", currency="USD") == 5
    for text in ("€5", "EUR 5"):
        with pytest.raises(MoneyError, match="is not USD"):
            parse_amount(text, currency="USD")


def test_bounds_of_an_amount_are_told():
    assert parse_amount("0", minimum=D(0)) == 0
    with pytest.raises(MoneyError, match="it must be at least 0"):
        parse_amount("-1", minimum=D(0))
    with pytest.raises(MoneyError, match="it must be at most 10"):
        parse_amount("11", maximum=D(10))


@given(st.text(max_size=70) | st.text("0123456789.,-+() '$€USDEUR", max_size=20))
def test_any_text_is_read_or_refused_kindly(text):
    try:
        amount = parse_amount(text)
    except MoneyError as refusal:
        assert str(refusal)
    else:
        assert amount.is_finite()


@given(CENTS, st.sampled_from([(".", ","), (",", "."), (",", " "), (".", "'")]))
def test_what_is_shown_is_read_back(amount, marks):
    decimal_mark, group_mark = marks
    shown = format_amount(
        amount, "EUR", decimal_mark=decimal_mark, group_mark=group_mark
    )
    assert parse_amount(shown, currency="EUR") == amount
