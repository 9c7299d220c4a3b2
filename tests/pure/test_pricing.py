"""Quote lines, totals, tax rounding and instalments."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firm.money import Taxed
from jobs.pricing import (
    DOCUMENT,
    LINE,
    KindTotal,
    Line,
    PricingError,
    break_even_rate,
    instalments,
    months_after,
    overhead_per_hour,
    price_line,
    spread_taxed,
    total_quote,
)

D = Decimal
CENTS = st.decimals(0, "9999.99", places=2)


def line(price: str, *, cost: str = "0.00", taxable: bool = True, kind: str = "plants"):
    return Line(kind=kind, cost=D(cost), price=D(price), taxable=taxable)


def test_a_thousand_of_cost_at_forty_per_cent_sells_at_1666_67():
    # Arithmetic: 1,400.00 would be a 40 % markup.
    priced = price_line(
        kind="plants", quantity=D(100), unit_cost=D("10.00"), margin_percent=D(40)
    )
    assert (priced.cost, priced.price) == (D("1000.00"), D("1666.67"))


def test_a_typed_unit_price_stands_before_the_margin():
    priced = price_line(
        kind="soil mix",
        quantity=D("1.704"),
        unit_cost=D("38.00"),
        unit_price=D("62.50"),
        margin_percent=D(40),
        taxable=False,
        words="Compost",
    )
    assert priced == Line(
        kind="soil mix",
        cost=D("64.75"),
        price=D("106.50"),
        taxable=False,
        words="Compost",
    )


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"quantity": D(-1)}, "quantity cannot be negative"),
        ({"unit_cost": D(-1)}, "cost or price cannot be negative"),
        ({"unit_price": D(-1)}, "cost or price cannot be negative"),
        ({"margin_percent": D(100)}, "below 100 %"),
    ],
)
def test_a_line_that_cannot_be_is_refused(wrong, message):
    right = {"quantity": D(1), "unit_cost": D(1), "margin_percent": D(0)}
    assert price_line(kind="other", **right).price == D("1.00")
    with pytest.raises(PricingError, match=message):
        price_line(kind="other", **{**right, **wrong})


def test_the_foot_of_a_quote():
    totals = total_quote(
        [
            line("1000.00", cost="600.00"),
            line("500.00", cost="250.00"),
            line("800.00", cost="530.00", kind="labour", taxable=False),
        ],
        tax_percent=D("6"),
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


def test_tax_falls_only_on_goods_where_labour_is_free_of_it():
    # Arithmetic: 2,000 of goods and 1,500 of labour, 6 % on goods.
    totals = total_quote(
        [line("2000.00"), line("1500.00", kind="labour", taxable=False)],
        tax_percent=D(6),
    )
    assert (totals.tax.tax, totals.tax.gross) == (D("120.00"), D("3620.00"))


@pytest.mark.parametrize(
    ("rounding", "tax"),
    # Worked table of pretix, doc/development/algorithms/pricing.rst: five times 84.03
    # net at 19 % is 79.85 by line and 79.83 by total.
    [(LINE, "79.85"), (DOCUMENT, "79.83")],
)
def test_tax_by_line_and_by_document_differ_as_published(rounding, tax):
    totals = total_quote([line("84.03")] * 5, tax_percent=D(19), tax_rounding=rounding)
    assert totals.tax == Taxed(net=D("420.15"), tax=D(tax), gross=D("420.15") + D(tax))


def test_the_tax_of_each_line_adds_up_to_the_tax_of_the_quote():
    totals = total_quote(
        [line("84.03"), line("10.00", taxable=False), line("84.03")],
        tax_percent=D(19),
        tax_rounding=LINE,
    )
    assert totals.line_tax == (D("15.97"), D("0.00"), D("15.97"))
    assert totals.tax.tax == D("31.94")


def test_half_a_cent_of_tax_goes_up():
    # Published UBL example of EN 16931 (CEN/TC 434): 1460.50 at 25 % is 365.125 and
    # printed as 365.13.
    totals = total_quote([line("1460.50")], tax_percent=D(25))
    assert totals.tax.tax == D("365.13")


def test_an_unknown_rounding_and_an_unrounded_line_are_refused():
    with pytest.raises(PricingError, match="by document or by line, not both"):
        total_quote([line("1.00")], tax_percent=D(6), tax_rounding="both")
    with pytest.raises(PricingError, match=r"1\.001 has more than 2 decimals"):
        total_quote([line("1.001")], tax_percent=D(6))


def test_an_empty_quote_is_nothing_and_warns_of_nothing():
    totals = total_quote([], tax_percent=D(6))
    assert totals.tax == Taxed(net=D("0.00"), tax=D("0.00"), gross=D("0.00"))
    assert (totals.margin_percent, totals.markup_percent) == (None, None)
    assert totals.warning == ""


@pytest.mark.parametrize(
    ("cost", "price", "warning"),
    [
        ("100.00", "100.01", ""),
        ("100.00", "100.00", "This quote only breaks even: the price is the cost."),
        (
            "2100.00",
            "1000.00",
            "This quote loses money: the price is 1,100.00 below the cost.",
        ),
    ],
)
def test_a_price_that_does_not_carry_the_cost_is_said_in_words(cost, price, warning):
    totals = total_quote([line(price, cost=cost)], tax_percent=D(6))
    assert totals.warning == warning


def test_the_hour_that_breaks_even():
    # Arithmetic: 60,000 / 4,000 h = 15.00; 18 × 1.25 + 15 = 37.50.
    overhead = overhead_per_hour(overhead=D(60_000), billable_h=D(4_000))
    assert overhead == D("15.00")
    assert break_even_rate(
        wage=D(18), burden_percent=D(25), overhead_per_hour=overhead
    ) == D("37.50")
    with pytest.raises(PricingError, match="billable hours"):
        overhead_per_hour(overhead=D(60_000), billable_h=D(0))


def test_instalments_are_dated_and_add_up():
    parts = instalments(D("4000.00"), count=12, first_on=date(2027, 11, 30))
    assert [part.amount for part in parts] == [D("333.34")] * 4 + [D("333.33")] * 8
    assert [part.number for part in parts] == list(range(1, 13))
    # Reckoned from the first: February is short and March is not.
    assert [part.due_on for part in parts[:5]] == [
        date(2027, 11, 30),
        date(2027, 12, 30),
        date(2028, 1, 30),
        date(2028, 2, 29),
        date(2028, 3, 30),
    ]


def test_instalments_may_lie_further_apart():
    parts = instalments(
        D("100.00"), count=3, first_on=date(2027, 1, 31), months_apart=3
    )
    assert [(part.due_on, part.amount) for part in parts] == [
        (date(2027, 1, 31), D("33.34")),
        (date(2027, 4, 30), D("33.33")),
        (date(2027, 7, 31), D("33.33")),
    ]


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"count": 0}, "1 to 120 instalments"),
        ({"count": 121}, "1 to 120 instalments"),
        ({"months_apart": 0}, "1 to 12 months apart"),
        ({"total": D("-1.00")}, "below zero"),
        ({"first_on": date(9999, 1, 1)}, "end of the calendar"),
    ],
)
def test_a_plan_of_payment_that_cannot_be_is_refused(wrong, message):
    right = {"total": D("100.00"), "count": 2, "first_on": date(2027, 1, 1)}
    assert len(instalments(**right)) == 2
    with pytest.raises(PricingError, match=message):
        instalments(**{**right, **wrong})


def test_months_are_counted_over_the_new_year():
    assert months_after(date(2026, 12, 31), 2) == date(2027, 2, 28)
    assert months_after(date(2027, 1, 15), 0) == date(2027, 1, 15)
    assert months_after(date(2027, 1, 15), 24) == date(2029, 1, 15)


@given(st.lists(st.tuples(CENTS, CENTS, st.booleans()), max_size=30))
def test_both_roundings_agree_within_half_a_cent_a_line(rows):
    lines = [
        Line(kind="other", cost=cost, price=price, taxable=taxable)
        for cost, price, taxable in rows
    ]
    document, by_line = (
        total_quote(lines, tax_percent=D("8.875"), tax_rounding=rounding)
        for rounding in (DOCUMENT, LINE)
    )
    assert document.net == by_line.net == sum(price for _, price, _ in rows)
    apart = abs(document.tax.tax - by_line.tax.tax)
    assert apart <= D("0.005") * (len(lines) + 1)


@given(
    st.decimals(0, "99999.99", places=2),
    st.decimals(0, "9999.99", places=2),
    st.integers(1, 24),
)
def test_parts_of_a_taxed_total_add_up_in_every_column(net, tax, parts):
    whole = Taxed(net=net, tax=tax, gross=net + tax)
    found = spread_taxed(whole, parts=parts)
    assert sum(part.net for part in found) == net
    assert sum(part.tax for part in found) == tax
    assert sum(part.gross for part in found) == net + tax
