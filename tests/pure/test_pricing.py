"""Quote lines, totals for any options, tax rounding, discount and least price."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firm.money import Taxed
from jobs.pricing import (
    DOCUMENT,
    LINE,
    Figures,
    KindTotal,
    Line,
    Option,
    Pricing,
    PricingError,
    Way,
    price_line,
    total_quote,
)

D = Decimal
CENTS = st.decimals(0, "9999.99", places=2)
KEYS = iter(range(1, 10_000_000))
BY_DOCUMENT = Pricing()


def line(price, *, cost="0.00", percent="6", kind="plants", option=None, **more):
    """A line at a rate of tax; without a rate it is not taxed."""
    return Line(
        key=more.pop("key", 0) or next(KEYS),
        kind=kind,
        cost=D(cost),
        price=D(price),
        category="standard" if percent else "not taxed",
        tax_name="Sales tax" if percent else "",
        percent=D(percent or 0),
        option=option,
        **more,
    )


def price(*, unit_cost, quantity=1, kind="plants", hours=0, unit_price=None, **way):
    way = {"margin_percent": D(0), **way}
    return price_line(
        kind=kind,
        quantity=D(quantity),
        unit_cost=D(unit_cost),
        hours=D(hours),
        unit_price=None if unit_price is None else D(unit_price),
        way=Way(**{k: D(v) if k != "overhead" else v for k, v in way.items()}),
    )


def test_a_thousand_of_cost_at_forty_per_cent_sells_at_1666_67():
    # Arithmetic: 1,400.00 would be a 40 % markup.
    priced = price(quantity=100, unit_cost="10.00", margin_percent=40)
    assert (priced.cost, priced.price) == (D("1000.00"), D("1666.67"))
    assert priced.unit_price == D("16.67")


def test_a_typed_unit_price_stands_before_the_margin():
    priced = price(
        kind="soil",
        quantity="1.704",
        unit_cost="38.00",
        unit_price="62.50",
        margin_percent=40,
    )
    assert priced == Figures(
        unit_price=D("62.50"),
        cost=D("64.75"),
        overhead=D("0.00"),
        reserve=D("0.00"),
        price=D("106.50"),
    )


@pytest.mark.parametrize(
    ("typed", "cost", "overhead", "reserve", "sells"),
    [
        # A wage of 18 with 25 % burden and 15 of overhead breaks even at 37.50; at a
        # net margin of 15 % the hour sells at 44.12. Arithmetic.
        (
            {
                "kind": "labour",
                "quantity": 1,
                "hours": 1,
                "unit_cost": "22.50",
                "overhead": "by hour",
                "overhead_per_hour": 15,
                "margin_percent": 15,
            },
            "22.50",
            "15.00",
            "0.00",
            "44.12",
        ),
        # Two rates, materials x P1 + labour x P2: 2,000 x 1.10 and 1,500 x 1.60.
        # The form of the rule: an extension's cost guide (R122); figures: arithmetic.
        (
            {
                "kind": "mulch",
                "unit_cost": "2000",
                "overhead": "two rates",
                "overhead_materials_percent": 10,
                "overhead_labour_percent": 60,
            },
            "2000.00",
            "200.00",
            "0.00",
            "2200.00",
        ),
        (
            {
                "kind": "labour",
                "unit_cost": "1500",
                "overhead": "two rates",
                "overhead_materials_percent": 10,
                "overhead_labour_percent": 60,
            },
            "1500.00",
            "900.00",
            "0.00",
            "2400.00",
        ),
        # 5 % of a direct cost of 8,000 for surprises: common practice, arithmetic.
        (
            {"kind": "labour", "unit_cost": "8000", "contingency_percent": 5},
            "8000.00",
            "0.00",
            "400.00",
            "8400.00",
        ),
        # 5 % of a plant price of 6,000 is 300: common practice, arithmetic. The rest of
        # the price is the cost.
        (
            {"unit_cost": "5700", "warranty_percent": 5},
            "5700.00",
            "0.00",
            "300.00",
            "6000.00",
        ),
        # The same reserve is put by of a typed price.
        (
            {"unit_cost": "4000", "unit_price": "6000", "warranty_percent": 5},
            "4000.00",
            "0.00",
            "300.00",
            "6000.00",
        ),
        # Only plants are under warranty; only hours carry overhead by the hour.
        (
            {
                "kind": "mulch",
                "unit_cost": "100",
                "warranty_percent": 5,
                "overhead": "by hour",
                "overhead_per_hour": 15,
            },
            "100.00",
            "0.00",
            "0.00",
            "100.00",
        ),
        # A margin of nothing.
        ({"unit_cost": "9.99"}, "9.99", "0.00", "0.00", "9.99"),
    ],
)
def test_a_line_carries_overhead_and_reserve_before_its_margin(
    typed, cost, overhead, reserve, sells
):
    found = price(**typed)
    assert (found.cost, found.overhead, found.reserve, found.price) == (
        D(cost),
        D(overhead),
        D(reserve),
        D(sells),
    )


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"quantity": -1}, "quantity cannot be negative"),
        ({"hours": -1}, "quantity cannot be negative"),
        ({"unit_cost": -1}, "cost or price cannot be negative"),
        ({"unit_price": -1}, "cost or price cannot be negative"),
        ({"margin_percent": 100}, "below 100 %"),
        ({"margin_percent": 96, "warranty_percent": 4}, "96 % and 4 % put by"),
        ({"overhead": "by magic"}, "Overhead is not laid on by by magic"),
    ],
)
def test_a_line_that_cannot_be_is_refused(wrong, message):
    assert price(unit_cost=1).price == D("1.00")
    with pytest.raises(PricingError, match=message):
        price(**{"unit_cost": 1, **wrong})


@given(CENTS, st.integers(0, 94), st.integers(0, 20), st.integers(0, 5))
def test_the_margin_that_was_asked_for_is_left_over_the_full_cost(
    cost, margin, contingency, warranty
):
    found = price(
        unit_cost=cost,
        margin_percent=margin,
        contingency_percent=contingency,
        warranty_percent=warranty,
    )
    left = found.price - found.cost - found.overhead - found.reserve
    # A cent each for price, contingency and warranty.
    assert abs(left - found.price * margin / 100) <= D("0.02")


def test_the_foot_of_a_quote():
    totals = total_quote(
        [
            line("1000.00", cost="600.00"),
            line("500.00", cost="250.00"),
            line("800.00", cost="530.00", kind="labour", percent=""),
        ],
        pricing=BY_DOCUMENT,
    )
    assert (totals.cost, totals.net, totals.taxable) == (
        D("1380.00"),
        D("2300.00"),
        D("1500.00"),
    )
    assert totals.tax == Taxed(net=D("2300.00"), tax=D("90.00"), gross=D("2390.00"))
    assert totals.by_kind == {
        "plants": KindTotal(cost=D("850.00"), price=D("1500.00")),
        "labour": KindTotal(cost=D("530.00"), price=D("800.00")),
    }
    # Arithmetic: 920 of 2300 is 40 %; 920 on 1380 is two thirds.
    assert (totals.earned, totals.margin_percent, totals.markup_percent) == (
        D("920.00"),
        D("40.00"),
        D("66.67"),
    )
    assert [group.as_text() for group in totals.groups] == [
        {
            "category": "standard",
            "name": "Sales tax",
            "percent": "6",
            "net": "1500.00",
            "tax": "90.00",
        },
        {
            "category": "not taxed",
            "name": "",
            "percent": "0",
            "net": "800.00",
            "tax": "0.00",
        },
    ]


def test_margin_and_markup_are_shown_on_cost_and_on_full_cost():
    totals = total_quote(
        [line("1000.00", cost="500.00", overhead=D("200.00"), reserve=D("100.00"))],
        pricing=BY_DOCUMENT,
    )
    # Arithmetic: 500 of 1000 and on 500; 200 of 1000 and on 800.
    assert (totals.margin_percent, totals.markup_percent) == (D("50.00"), D("100.00"))
    assert (totals.full_margin_percent, totals.full_markup_percent) == (
        D("20.00"),
        D("25.00"),
    )
    assert (totals.full_cost, totals.left) == (D("800.00"), D("200.00"))


def test_tax_falls_only_on_goods_where_labour_is_free_of_it():
    # Arithmetic: 2,000 of goods and 1,500 of labour, 6 % on goods.
    totals = total_quote(
        [line("2000.00"), line("1500.00", kind="labour", percent="")],
        pricing=BY_DOCUMENT,
    )
    assert (totals.tax.tax, totals.tax.gross) == (D("120.00"), D("3620.00"))


def test_tax_paid_when_bought_is_charged_to_nobody():
    bought = Line(
        key=1,
        kind="plants",
        cost=D("106.00"),
        price=D("200.00"),
        category="paid when bought",
    )
    totals = total_quote([bought, line("100.00")], pricing=BY_DOCUMENT)
    assert (totals.cost, totals.tax.tax, totals.taxable) == (
        D("106.00"),
        D("6.00"),
        D("100.00"),
    )
    with pytest.raises(PricingError, match="needs the tax's name"):
        total_quote([replace(bought, percent=D(6))], pricing=BY_DOCUMENT)


def test_a_line_without_a_tax_stands_among_what_is_not_taxed():
    # An exempt client, or a firm that charges no tax: the category stays the line's.
    totals = total_quote(
        [Line(key=1, kind="plants", cost=D(0), price=D("10.00"))], pricing=BY_DOCUMENT
    )
    assert [(group.category, group.net) for group in totals.groups] == [
        ("not taxed", D("10.00"))
    ]
    assert totals.taxable == 0


def test_an_unknown_rounding_and_an_unrounded_line_are_refused():
    with pytest.raises(PricingError, match="by document or by line, not both"):
        Pricing(tax_rounding="both")
    with pytest.raises(PricingError, match=r"1\.001 has more than 2 decimals"):
        total_quote([line("1.001")], pricing=BY_DOCUMENT)
    with pytest.raises(PricingError, match="between 0 and 100 %"):
        Pricing(discount_percent=D("100.01"))
    with pytest.raises(PricingError, match="cannot be negative"):
        Pricing(discount_amount=D(-1))


def test_an_empty_quote_is_nothing_and_warns_of_nothing():
    totals = total_quote([], pricing=Pricing(minimum_job=D(500)))
    assert totals.tax == Taxed(net=D("0.00"), tax=D("0.00"), gross=D("0.00"))
    assert (totals.margin_percent, totals.markup_percent) == (None, None)
    assert (totals.warning, totals.top_up) == ("", D("0.00"))


@pytest.mark.parametrize(
    ("cost", "overhead", "price", "warning"),
    [
        ("100.00", "0.00", "100.01", ""),
        (
            "100.00",
            "0.00",
            "100.00",
            "This quote only breaks even: the price is the cost.",
        ),
        (
            "2100.00",
            "0.00",
            "1000.00",
            "This quote loses money: the price is 1,100.00 below the cost.",
        ),
        (
            "1000.00",
            "200.00",
            "1150.00",
            "This quote is below break-even: the price is 50.00 short of cost,"
            " overhead and reserve.",
        ),
        (
            "1000.00",
            "200.00",
            "1200.00",
            "This quote only breaks even: the price is cost, overhead and reserve,"
            " and nothing more.",
        ),
    ],
)
def test_a_price_that_does_not_carry_the_cost_is_said_in_words(
    cost, overhead, price, warning
):
    totals = total_quote(
        [line(price, cost=cost, overhead=D(overhead))], pricing=BY_DOCUMENT
    )
    assert totals.warning == warning


def test_a_discount_is_spread_over_what_is_taxed_unlike():
    # Arithmetic: 100 off 300.01, of which two thirds and a cent bear tax: 66.67 and
    # 33.33; tax of 6 % on 133.34 is 8.0004.
    totals = total_quote(
        [line("200.01"), line("100.00", kind="labour", percent="")],
        pricing=Pricing(discount_amount=D(100)),
    )
    assert (totals.lines_price, totals.discount, totals.net) == (
        D("300.01"),
        D("100.00"),
        D("200.01"),
    )
    assert [(group.net, group.tax) for group in totals.groups] == [
        (D("133.34"), D("8.00")),
        (D("66.67"), D("0.00")),
    ]


def test_a_discount_in_per_cent_is_rounded_once():
    totals = total_quote(
        [line("10.05"), line("10.06")], pricing=Pricing(discount_percent=D("7.5"))
    )
    # 20.11 x 7.5 % is 1.50825.
    assert (totals.discount, totals.net) == (D("1.51"), D("18.60"))


def test_a_discount_never_takes_more_than_there_is():
    totals = total_quote([line("80.00")], pricing=Pricing(discount_amount=D(100)))
    assert (totals.discount, totals.net, totals.tax.tax) == (
        D("80.00"),
        D("0.00"),
        D("0.00"),
    )
    free = total_quote([line("80.00")], pricing=Pricing(discount_percent=D(100)))
    assert free.net == D("0.00")


def test_a_small_job_is_topped_up_to_the_least_price_after_its_discount():
    pricing = Pricing(minimum_job=D(250), discount_percent=D(10))
    totals = total_quote(
        [line("150.00"), line("50.00", kind="labour", percent="")], pricing=pricing
    )
    # 200 less 20 is 180, topped up by 70; three quarters of 250 bear tax.
    assert (totals.discount, totals.top_up, totals.net) == (
        D("20.00"),
        D("70.00"),
        D("250.00"),
    )
    assert (totals.taxable, totals.tax.tax) == (D("187.50"), D("11.25"))
    large = total_quote([line("300.00")], pricing=pricing)
    assert (large.top_up, large.net) == (D("0.00"), D("270.00"))
    gift = total_quote([line("0.00")], pricing=pricing)
    assert gift.net == D("250.00")


def a_quote_with_options():
    kept = line("1000.00", cost="600.00", key=1)
    roses = line("400.00", cost="200.00", key=2)
    return {
        "lines": [
            kept,
            roses,
            line("300.00", cost="150.00", key=3, option=10),
            line("550.00", cost="300.00", key=4, option=20),
            line("350.00", cost="180.00", key=5, option=21),
        ],
        "options": [
            Option(key=10),
            Option(key=20, instead_of=2),
            Option(key=21, instead_of=2),
        ],
        "pricing": BY_DOCUMENT,
    }


@pytest.mark.parametrize(
    ("taken", "net", "cost"),
    [
        ((), "1400.00", "800.00"),
        ((10,), "1700.00", "950.00"),
        ((20,), "1550.00", "900.00"),
        ((21,), "1350.00", "780.00"),
        ((10, 21), "1650.00", "930.00"),
    ],
)
def test_totals_hold_the_options_that_are_taken_and_not_what_they_replace(
    taken, net, cost
):
    totals = total_quote(**a_quote_with_options(), taken=taken)
    assert (totals.net, totals.cost) == (D(net), D(cost))


def test_two_alternates_for_one_line_cannot_both_be_taken():
    with pytest.raises(PricingError, match="cannot both be taken"):
        total_quote(**a_quote_with_options(), taken=(20, 21))
    with pytest.raises(PricingError, match="not in the quote"):
        total_quote(**a_quote_with_options(), taken=(99,))


@given(
    st.lists(st.tuples(CENTS, CENTS, st.sampled_from(["", "6"])), max_size=30),
    st.decimals(0, 100, places=2),
    st.sampled_from([DOCUMENT, LINE]),
)
def test_tax_groups_add_up_whatever_is_taken_off(rows, discount, rounding):
    lines = [line(sells, cost=cost, percent=rate) for cost, sells, rate in rows]
    totals = total_quote(
        lines, pricing=Pricing(discount_percent=discount, tax_rounding=rounding)
    )
    assert sum(group.net for group in totals.groups) == totals.net
    assert sum(group.tax for group in totals.groups) == totals.tax.tax
    assert totals.net == totals.lines_price - totals.discount
    assert all(group.net >= 0 for group in totals.groups)


@given(st.lists(st.tuples(CENTS, CENTS, st.booleans()), max_size=30))
def test_both_roundings_agree_within_half_a_cent_a_line(rows):
    lines = [
        line(sells, cost=cost, percent="8.875" if taxed else "")
        for cost, sells, taxed in rows
    ]
    document, by_line = (
        total_quote(lines, pricing=Pricing(tax_rounding=rounding))
        for rounding in (DOCUMENT, LINE)
    )
    assert document.net == by_line.net == sum(sells for _, sells, _ in rows)
    apart = abs(document.tax.tax - by_line.tax.tax)
    assert apart <= D("0.005") * (len(lines) + 1)
