"""Deposits and their caps, milestones, instalments, and what an hour must carry."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firm.money import Taxed
from jobs.pricing import (
    PricingError,
    Share,
    TaxGroup,
    break_even_h,
    break_even_rate,
    deposit_of,
    instalments,
    months_after,
    overhead_per_hour,
    payments,
    rate_at_margin,
    spread_taxed,
    taken_off,
)

D = Decimal


def group(net, tax="0.00", category="standard"):
    return TaxGroup(
        category=category, name="Sales tax", percent=D(6), net=D(net), tax=D(tax)
    )


def test_the_hour_that_breaks_even():
    # Arithmetic: 60,000 / 4,000 h = 15.00; 18 × 1.25 + 15 = 37.50.
    overhead = overhead_per_hour(overhead=D(60_000), billable_h=D(4_000))
    assert overhead == D("15.00")
    rate = break_even_rate(wage=D(18), burden_percent=D(25), overhead_per_hour=overhead)
    assert rate == D("37.50")
    # 37.50 / 0.85 = 44.12, not the 43.13 of a 15 % markup. Arithmetic.
    assert rate_at_margin(break_even=rate, margin_percent=D(15)) == D("44.12")
    with pytest.raises(PricingError, match="billable hours"):
        overhead_per_hour(overhead=D(60_000), billable_h=D(0))
    with pytest.raises(PricingError, match="cannot be negative"):
        overhead_per_hour(overhead=D(-1), billable_h=D(1))


def test_the_hour_of_the_year_from_which_the_overhead_is_paid():
    # Arithmetic: 60,000 / (44.12 - 22.50) = 2,775.2.
    sold = {"overhead": D(60_000), "hour_cost": D("22.50")}
    assert break_even_h(**sold, hour_price=D("44.12")) == D("2775.2")
    assert break_even_h(**sold, hour_price=D("22.50")) is None


@pytest.mark.parametrize(
    ("gross", "percent", "cap_percent", "cap_amount", "amount", "is_capped"),
    [
        # One third of 9,000. Common practice; arithmetic.
        ("9000", "33.3333", None, None, "3000.00", False),
        ("9000", "50", None, None, "4500.00", False),
        # California home improvement, the lower of 10 % and 1,000: from memory,
        # Business and Professions Code 7159.
        ("9000", "50", "10", "1000", "900.00", True),
        ("15000", "50", "10", "1000", "1000.00", True),
        ("9000", "10", "10", "1000", "900.00", False),
        # Maryland home improvement, one third at most: from memory, Business
        # Regulation 8-617. A third is no round per cent, so 33.33 stays below it.
        ("9000", "50", "33.33", None, "2999.70", True),
        # A cap is never overstepped by rounding: 10 % of 100.05 is 10.005.
        ("100.05", "50", "10", None, "10.00", True),
        ("9000", "0", "10", "1000", "0.00", False),
        ("9000", "30", "0", None, "0.00", True),
    ],
)
def test_a_deposit_stops_at_the_cap_of_its_place(
    gross, percent, cap_percent, cap_amount, amount, is_capped
):
    found = deposit_of(
        D(gross),
        percent=D(percent),
        cap_percent=None if cap_percent is None else D(cap_percent),
        cap_amount=None if cap_amount is None else D(cap_amount),
    )
    assert (found.amount, found.is_capped) == (D(amount), is_capped)


def test_milestones_add_up_to_the_cent():
    parts = payments(
        [group("943.40", "56.60")],
        [Share(percent=D(p)) for p in ("33.34", "33.33", "33.33")],
    )
    # Arithmetic: 1,000.00 as 333.40 and twice 333.30; tax 56.60 as 18.87, 18.87, 18.86.
    assert [part.amount for part in parts] == [
        Taxed(net=D("314.53"), tax=D("18.87"), gross=D("333.40")),
        Taxed(net=D("314.43"), tax=D("18.87"), gross=D("333.30")),
        Taxed(net=D("314.44"), tax=D("18.86"), gross=D("333.30")),
    ]


def test_what_a_cap_keeps_off_the_deposit_is_paid_later():
    parts = payments(
        [group("15000.00")],
        [
            Share(percent=D(30), is_deposit=True),
            Share(percent=D(40)),
            Share(percent=D(30)),
        ],
        cap_percent=D(10),
        cap_amount=D(1000),
    )
    # Arithmetic: 14,000 over 40 and 30.
    assert [part.amount.gross for part in parts] == [
        D("1000.00"),
        D("8000.00"),
        D("6000.00"),
    ]


@pytest.mark.parametrize(
    ("shares", "cap", "message"),
    [
        ([Share(percent=D(50)), Share(percent=D(40))], None, "100 % together"),
        ([Share(percent=D(110)), Share(percent=D(-10))], None, "cannot be negative"),
        ([Share(percent=D(100), is_deposit=True)], D(10), "Add a later payment"),
        (
            [Share(percent=D(50), is_deposit=True)] * 2,
            None,
            "one deposit at the most",
        ),
    ],
)
def test_parts_that_do_not_make_the_whole_are_refused(shares, cap, message):
    with pytest.raises(PricingError, match=message):
        payments([group("100.00")], shares, cap_percent=cap)


CENTS = st.decimals(0, "99999.99", places=2)


@given(
    st.lists(st.tuples(CENTS, st.integers(0, 100)), min_size=1, max_size=4),
    st.lists(st.integers(1, 40), min_size=1, max_size=8),
    st.integers(0, 40),
)
def test_payments_add_up_in_every_group_and_column(totals, weights, cap):
    groups = [
        group(net, (net * rate / 100).quantize(D("0.01"))) for net, rate in totals
    ]
    whole = sum(weights)
    shares = [D(weight * 100 // whole) for weight in weights[:-1]]
    shares.append(100 - sum(shares))
    parts = payments(
        groups,
        [
            Share(percent=share, is_deposit=not at and len(shares) > 1)
            for at, share in enumerate(shares)
        ],
        cap_percent=D(cap),
    )
    for at, own in enumerate(groups):
        assert sum(part.groups[at].net for part in parts) == own.net
        assert sum(part.groups[at].tax for part in parts) == own.tax
        assert all(part.groups[at].net >= 0 for part in parts)
    gross = sum(own.net + own.tax for own in groups)
    assert sum(part.amount.gross for part in parts) == gross
    if len(shares) > 1:
        assert parts[0].amount.gross <= gross * cap / 100


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


# The amounts of three tax groups, and what is taken off by turns.
MONEY = st.decimals(0, "9999.99", places=2)


@given(
    st.lists(st.tuples(MONEY, MONEY), min_size=1, max_size=4),
    st.lists(st.integers(1, 99), max_size=6),
)
def test_what_is_taken_off_by_turns_never_exceeds_a_group(amounts, percents):
    left = [
        group(net, tax=tax, category=str(place))
        for place, (net, tax) in enumerate(amounts)
    ]
    for percent in [*percents, 100]:
        whole = sum(each.net + each.tax for each in left)
        gross = (whole * percent / 100).quantize(D("0.01"))
        if not 0 < gross <= whole:
            continue
        taken = taken_off(left, gross)
        assert sum(each.net + each.tax for each in taken) == gross
        for had, took in zip(left, taken, strict=True):
            assert 0 <= took.net <= had.net
            assert 0 <= took.tax <= had.tax
        left = [
            group(had.net - took.net, tax=had.tax - took.tax, category=had.category)
            for had, took in zip(left, taken, strict=True)
        ]
    assert all(each.net == each.tax == 0 for each in left)


def test_a_part_is_taken_off_in_the_proportion_of_the_groups():
    # By hand: 100 of 600.00 and 1,504.25 is 28.51 and 71.49, of which 85.15 in
    # 1,504.25 is tax: 4.0468.
    plain, taxed = taken_off(
        [group("600.00", category="not taxed"), group("1419.10", tax="85.15")],
        D("100.00"),
    )
    assert (plain.net, plain.tax) == (D("28.51"), D("0.00"))
    assert (taxed.net, taxed.tax) == (D("67.44"), D("4.05"))
    # What went below zero takes nothing until all is taken.
    fallen = [group("100.00"), group("-10.00")]
    assert [each.net for each in taken_off(fallen, D("30.00"))] == [D("30.00"), 0]
    assert [each.net for each in taken_off(fallen, D("90.00"))] == [
        D("100.00"),
        D("-10.00"),
    ]
    for wrong in ("0.00", "90.01"):
        with pytest.raises(PricingError, match="can be taken off"):
            taken_off(fallen, D(wrong))
