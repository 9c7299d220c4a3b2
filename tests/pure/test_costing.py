"""Job totals: rows and their foot."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firm.money import Taxed
from jobs.costing import CostingError, HourCost, JobFigures, JobTotal, foot, job_total

D = Decimal


def billed(net: str, tax: str) -> Taxed:
    return Taxed(net=D(net), tax=D(tax), gross=D(net) + D(tax))


def planting_job() -> JobFigures:
    return JobFigures(
        quoted=D("2000.00"),
        planned_cost=D("1200.00"),
        hour_costs=(
            HourCost(hours=D("7.5"), rate=D("31.33")),
            HourCost(hours=D("8"), rate=D("28.00")),
        ),
        receipts=(D("612.40"), D("-12.40")),
        billed=(billed("600.00", "36.00"), billed("1400.00", "84.00")),
    )


def test_a_row_of_the_job_totals():
    # Arithmetic: 7.5 × 31.33 = 234.975, half up 234.98; + 224.00 + 600.00.
    assert job_total(planting_job()) == JobTotal(
        quoted=D("2000.00"),
        planned_cost=D("1200.00"),
        actual_cost=D("1058.98"),
        hours=D("15.5"),
        billed=D("2000.00"),
        tax=D("120.00"),
        margin=D("941.02"),
        margin_percent=D("47.05"),
    )


def test_work_by_the_hour_earns_what_is_billed():
    row = job_total(
        JobFigures(
            quoted=None,
            planned_cost=D("0"),
            hour_costs=(HourCost(hours=D(2), rate=D("30.00")),),
            billed=(billed("150.00", "0.00"),),
        )
    )
    assert (row.quoted, row.margin, row.margin_percent) == (0, D("90.00"), D("60.00"))


def test_a_job_without_a_price_has_no_per_cent():
    row = job_total(JobFigures(quoted=None, planned_cost=D("10.00")))
    assert (row.margin, row.margin_percent) == (0, None)


def test_the_foot_of_two_rows():
    other = JobFigures(
        quoted=D("500.00"), planned_cost=D("300.00"), receipts=(D("558.98"),)
    )
    assert foot([job_total(planting_job()), job_total(other)]) == JobTotal(
        quoted=D("2500.00"),
        planned_cost=D("1500.00"),
        actual_cost=D("1617.96"),
        hours=D("15.5"),
        billed=D("2000.00"),
        tax=D("120.00"),
        margin=D("882.04"),
        margin_percent=D("35.28"),
    )


def test_the_foot_of_no_rows_is_nothing():
    assert foot([]) == JobTotal(
        quoted=D(0),
        planned_cost=D(0),
        actual_cost=D(0),
        hours=D(0),
        billed=D(0),
        tax=D(0),
        margin=D(0),
        margin_percent=None,
    )


def test_negative_hours_and_rates_are_refused():
    assert HourCost(hours=D("0.25"), rate=D("30.02")).cost == D("7.51")
    with pytest.raises(CostingError, match="Hours cannot be negative"):
        HourCost(hours=D(-1), rate=D(30))
    with pytest.raises(CostingError, match="hourly cost cannot be negative"):
        HourCost(hours=D(1), rate=D(-30))


CENTS = st.decimals("-9999.99", "9999.99", places=2)
JOBS = st.builds(
    JobFigures,
    quoted=st.none() | CENTS,
    planned_cost=CENTS,
    hour_costs=st.lists(
        st.builds(
            HourCost,
            hours=st.decimals(0, 99, places=2),
            rate=st.decimals(0, 99, places=2),
        ),
        max_size=4,
    ).map(tuple),
    receipts=st.lists(CENTS, max_size=4).map(tuple),
)


@given(st.lists(JOBS, max_size=12))
def test_the_foot_equals_its_rows_in_every_column(jobs):
    rows = [job_total(job) for job in jobs]
    total = foot(rows)
    for column in (
        "quoted",
        "planned_cost",
        "actual_cost",
        "hours",
        "billed",
        "tax",
        "margin",
    ):
        assert getattr(total, column) == sum(getattr(row, column) for row in rows)
