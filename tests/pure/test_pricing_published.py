"""Totals of quotes against invoices and tables that others published.

The examples of EN 16931 are those of CEN/TC 434 as published beside its validation
rules (ConnectingEurope/eInvoicing-EN16931, ubl/examples); their figures were typed in.
"""

from decimal import Decimal

import pytest

from firm.money import Taxed
from jobs.pricing import DOCUMENT, LINE, Line, Pricing, Share, payments, total_quote

D = Decimal


def invoice(*lines, **pricing):
    """The foot of lines given as amount and rate."""
    return total_quote(
        [
            Line(
                key=at,
                kind="other",
                cost=D(0),
                price=D(amount),
                category="standard" if rate else "not taxed",
                tax_name="VAT" if rate else "",
                percent=D(rate),
            )
            for at, (amount, rate) in enumerate(lines, start=1)
        ],
        pricing=Pricing(**pricing),
    )


def groups(totals):
    return [(group.percent, group.net, group.tax) for group in totals.groups]


# ubl-tc434-example8.xml: ten lines at 21 %.
EXAMPLE_8 = [
    (amount, 21)
    for amount in (
        "140.80",
        "16.16",
        "167.64",
        "88.74",
        "36.75",
        "56.50",
        "83.34",
        "190.31",
        "64.21",
        "64.46",
    )
]


@pytest.mark.parametrize(
    ("rounding", "tax", "gross"),
    # By document as printed; by line each amount is rounded alone: a cent more.
    [(DOCUMENT, "190.87", "1099.78"), (LINE, "190.88", "1099.79")],
)
def test_example_8_of_en_16931_by_document_and_by_line(rounding, tax, gross):
    totals = invoice(*EXAMPLE_8, tax_rounding=rounding)
    assert totals.tax == Taxed(net=D("908.91"), tax=D(tax), gross=D(gross))


def test_example_1_of_en_16931_two_rates():
    # The lines of the two rates are typed in as their printed sums.
    totals = invoice(("183.23", 6), ("46.37", 21))
    assert groups(totals) == [
        (6, D("183.23"), D("10.99")),
        (21, D("46.37"), D("9.74")),
    ]
    assert totals.tax == Taxed(net=D("229.60"), tax=D("20.73"), gross=D("250.33"))


def test_example_2_of_en_16931_half_a_cent_of_tax_goes_up():
    # 1460.50 at 25 % is 365.125 and printed as 365.13; the returned article without tax
    # (-25.00) is left out, as a quote takes nothing back.
    totals = invoice(("1460.50", 25), ("1.00", 15))
    assert groups(totals) == [
        (25, D("1460.50"), D("365.13")),
        (15, D("1.00"), D("0.15")),
    ]
    assert totals.tax.tax == D("365.28")


def test_example_5_of_en_16931_and_its_half_prepaid():
    # "50 % prepaid, 50 % within one month": 2337.50 and 2337.50. Its discount and its
    # charge of 150 each make nothing together.
    totals = invoice(("1000.00", 25), ("500.00", 25), ("2500.00", 12))
    assert groups(totals) == [
        (25, D("1500.00"), D("375.00")),
        (12, D("2500.00"), D("300.00")),
    ]
    assert totals.tax == Taxed(net=D("4000.00"), tax=D("675.00"), gross=D("4675.00"))
    halves = payments(totals.groups, [Share(percent=D(50))] * 2)
    assert [part.amount.gross for part in halves] == [D("2337.50")] * 2


@pytest.mark.parametrize(
    ("rounding", "tax"),
    # Worked table of pretix, doc/development/algorithms/pricing.rst: five times 84.03
    # net at 19 % is 79.85 by line and 79.83 by total.
    [(LINE, "79.85"), (DOCUMENT, "79.83")],
)
def test_tax_by_line_and_by_document_differ_as_published(rounding, tax):
    totals = invoice(*[("84.03", 19)] * 5, tax_rounding=rounding)
    assert totals.tax == Taxed(net=D("420.15"), tax=D(tax), gross=D("420.15") + D(tax))
    if rounding == LINE:
        assert totals.line_tax == dict.fromkeys(range(1, 6), D("15.97"))


@pytest.mark.parametrize(
    ("total", "shares", "parts"),
    [
        # The published vectors of moneyphp: 800 over three, 5 over 70/30 and 30/70.
        ("8.00", ("33.34", "33.33", "33.33"), ("2.67", "2.67", "2.66")),
        ("0.05", ("70", "30"), ("0.04", "0.01")),
        ("0.05", ("30", "70"), ("0.02", "0.03")),
        # Largest remainder, the first of equals takes the cent. Arithmetic.
        ("100.01", ("30", "40", "30"), ("30.00", "40.01", "30.00")),
        ("1000.03", ("50", "50"), ("500.02", "500.01")),
    ],
)
def test_a_price_is_split_as_published(total, shares, parts):
    found = payments(
        invoice((total, 0)).groups, [Share(percent=D(share)) for share in shares]
    )
    assert [part.amount.gross for part in found] == [D(part) for part in parts]
