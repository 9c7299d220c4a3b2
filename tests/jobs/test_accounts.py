"""What is open by age, a client's account, letters when overdue, tax totals."""

import csv
import datetime as dt
import io
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse
from pypdf import PdfReader

from firm.models import Message, Person
from firm.registry import registry
from jobs.actions.bills import (
    LetterWasSent,
    NobodyToSendTo,
    NotOverdue,
    Off,
    ask_for_overdue,
    credit_part,
    strike_out_payment,
)
from jobs.models import Bill
from jobs.queries.ageing import ageing
from jobs.queries.statement import statement
from jobs.queries.tax_totals import tax_totals
from plants.models import Garden
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW
from tests.jobs.bill_samples import mixed_bill, pay, single_bill

pytestmark = pytest.mark.django_db
D = Decimal
# Bills are due after the firm's 14 days.
MARCH = dt.date(2026, 3, 1)


def on(day: int, month: int = 3) -> dt.date:
    return dt.date(2026, month, day)


def credit(bill: Bill, amount: str, by: Person, day: dt.date) -> Bill:
    return credit_part(
        bill=bill, off=Off(amount=D(amount)), reason="goodwill", day=day, by=by, now=NOW
    )


@pytest.mark.parametrize(
    ("days", "column"),
    [(0, 0), (1, 1), (30, 1), (31, 2), (60, 2), (61, 3), (90, 3), (91, 4), (400, 4)],
)
def test_a_bill_stands_in_the_column_of_its_days(
    owner: Person, days: int, column: int
) -> None:
    bill = single_bill(owner, day=MARCH)
    found = ageing(day=bill.due_on + dt.timedelta(days=days))
    assert [bool(amount) for amount in found.foot.columns] == [
        place == column for place in range(5)
    ]


def test_what_is_open_is_that_of_the_day_and_adds_up(owner: Person) -> None:
    garden: Garden = factories.GardenFactory()
    first = single_bill(owner, day=on(1), garden=garden)
    second = single_bill(owner, day=on(10), price="70.00", garden=garden)
    other = single_bill(owner, day=on(1), price="30.00")
    pay(first, "150.00", owner, on(20))
    credit(first, "80.00", owner, on(25))
    wrong = pay(other, "30.00", owner, on(20))
    strike_out_payment(payment=wrong, reason="not theirs", by=owner, now=NOW)

    def row(day: dt.date) -> tuple[Any, ...]:
        found = ageing(day=day)
        assert found.foot.open_amount == sum(each.open_amount for each in found.bills)
        assert found.foot.open_amount == sum(each.open_amount for each in found.rows)
        mine = next(each for each in found.rows if each.client == garden.client)
        return (*mine.columns[:3], mine.owed)

    # Due on 15 and 24 March.
    assert row(on(5)) == (D("200.00"), 0, 0, 0)
    assert row(on(16)) == (D("70.00"), D("200.00"), 0, 0)
    assert row(on(20)) == (D("70.00"), D("50.00"), 0, 0)
    assert row(on(25)) == (0, D("70.00"), 0, D("30.00"))
    assert row(on(24, 4)) == (0, 0, D("70.00"), D("30.00"))
    assert ageing(day=on(31)).foot.open_amount == D("100.00")
    assert second.due_on == on(24)


@pytest.mark.parametrize("count", [1, 3])
def test_ageing_and_tax_need_the_same_queries_for_one_row_as_for_three(
    owner: Person, count: int, django_assert_num_queries: Any
) -> None:
    for _number in range(count):
        pay(single_bill(owner, day=MARCH), "10.00", owner, on(3))
    with django_assert_num_queries(3):
        assert len(ageing(day=on(9)).rows) == count
    with django_assert_num_queries(1):
        assert tax_totals(first=MARCH, last=on(31)).bills == count
    client = Bill.objects.order_by("id")[0].client
    with django_assert_num_queries(6):
        assert statement(client_id=client.pk, first=MARCH, last=on(31)) is not None


def test_a_statement_runs_from_balance_to_balance(
    owner: Person, bookkeeper_client: StrictClient
) -> None:
    garden: Garden = factories.GardenFactory()
    old = single_bill(owner, day=on(1, 2), price="500.00", garden=garden)
    pay(old, "480.00", owner, on(20, 2))
    bill = single_bill(owner, day=on(2), garden=garden)
    pay(bill, "150.00", owner, on(5))
    wrong = pay(bill, "50.00", owner, on(6))
    strike_out_payment(payment=wrong, reason="not theirs", by=owner, now=NOW)
    credit(bill, "80.00", owner, on(7))
    single_bill(owner, day=on(2))
    found = statement(client_id=garden.client_id, first=on(1), last=on(31))
    assert found is not None
    assert found.opening == D("20.00")
    assert [(line.charged, line.taken_off, line.balance) for line in found.lines] == [
        (D("200.00"), 0, D("220.00")),
        (0, D("150.00"), D("70.00")),
        (0, D("80.00"), D("-10.00")),
    ]
    assert (found.closing, found.to_client) == (D("-10.00"), D("10.00"))
    assert [each.open_amount for each in found.waiting] == [D("20.00")]
    assert statement(client_id=0, first=on(1), last=on(31)) is None
    period = {"first": "2026-03-01", "last": "2026-03-31"}
    url = reverse("client-statement", args=[garden.client_id])
    page = bookkeeper_client.get(url, period).content.decode()
    assert "$220.00" in page
    assert "is owed to the client" in page
    pdf = bookkeeper_client.get(
        reverse("statement-pdf", args=[garden.client_id]), period
    )
    words = PdfReader(io.BytesIO(pdf.content)).pages[0].extract_text()
    assert "Statement of your account" in words
    assert bill.number in words


def ask(bill: Bill, step: int, by: Person, day: dt.date) -> Message:
    return ask_for_overdue(bill=bill, step=step, day=day, by=by, now=NOW)


def test_each_letter_about_an_overdue_bill_goes_out_once_and_in_order(
    owner: Person,
) -> None:
    garden: Garden = factories.GardenFactory()
    bill = single_bill(owner, day=on(1), garden=garden)
    single_bill(owner, day=on(2), price="70.00", garden=garden)
    with pytest.raises(NotOverdue):
        ask(bill, 1, owner, bill.due_on)
    late = bill.due_on + dt.timedelta(days=10)
    with pytest.raises(NobodyToSendTo):
        ask(bill, 1, owner, late)
    factories.ContactFactory(client=bill.client, email="dana@quill.example")
    with pytest.raises(LetterWasSent):
        ask(bill, 2, owner, late)
    first = ask(bill, 1, owner, late)
    with pytest.raises(LetterWasSent):
        ask(bill, 1, owner, late)
    second, third = ask(bill, 2, owner, late), ask(bill, 3, owner, late)
    assert Message.objects.filter(kind="overdue letter").count() == 3
    with pytest.raises(LetterWasSent):
        ask(bill, 3, owner, late)
    kind = registry.message_kinds["overdue letter"]
    opened = []
    for message in (first, second, third):
        letter = kind.write(message)
        words = " ".join(letter.text.replace("\N{NO-BREAK SPACE}", " ").split())
        assert f"{bill.number}, Sun 15 Mar 2026: $200.00" in words
        assert "Together: $270.00" in words
        assert letter.files[0][0] == f"{bill.number}.pdf"
        assert "$270.00" in letter.html.replace("\N{NO-BREAK SPACE}", " ")
        opened.append(words[:90])
    assert len(set(opened)) == 3
    assert kind.still_wanted(first, NOW)
    pay(bill, "200.00", owner)
    assert not kind.still_wanted(first, NOW)
    with pytest.raises(NotOverdue):
        ask(bill, 1, owner, late)


def test_the_owner_reads_a_letter_before_it_is_sent(
    bookkeeper: Person, bookkeeper_client: StrictClient
) -> None:
    bill = single_bill(bookkeeper, day=on(1))
    factories.ContactFactory(client=bill.client, email="dana@quill.example")
    assert reverse("overdue-letter", args=[bill.pk]) in (
        bookkeeper_client.get(reverse("open-bills")).content.decode()
    )
    url = reverse("overdue-letter", args=[bill.pk])
    page = bookkeeper_client.get(url).content.decode()
    assert "Perhaps it has slipped by" in page
    assert "set by local law" in page
    assert bookkeeper_client.post(url, {"step": "1"}).status_code == 302
    again = bookkeeper_client.post(url, {"step": "1"}).content.decode()
    assert "This letter was written before." in again
    assert "dana@quill.example" in (
        bookkeeper_client.get(reverse("bill", args=[bill.pk])).content.decode()
    )
    wrong = bookkeeper_client.get(reverse("open-bills"), {"day": "2026-02-30"})
    assert 'id="id_day_error"' in wrong.content.decode()


def test_tax_totals_are_bills_less_credits_by_what_is_taxed_alike(
    owner: Person, bookkeeper_client: StrictClient
) -> None:
    bill = mixed_bill(owner, day=on(2))
    single_bill(owner, day=on(31))
    mixed_bill(owner, "Q-2026-8104", day=on(1, 4))
    credit_part(
        bill=bill,
        off=Off(amount=D("106.00"), group=1),
        reason="three died",
        day=on(31),
        by=owner,
        now=NOW,
    )
    totals = tax_totals(first=MARCH, last=on(31))
    assert (totals.bills, totals.credits) == (2, 1)
    rows = {(row.category, row.name, row.percent): row for row in totals.rows}
    taxed = rows["standard", "Sales tax", D(6)]
    assert (taxed.billed_net, taxed.billed_tax) == (D("1619.10"), D("97.15"))
    assert (taxed.credited_net, taxed.credited_tax) == (D("-100.00"), D("-6.00"))
    assert (taxed.net, taxed.tax) == (D("1519.10"), D("91.15"))
    assert rows["not taxed", "", D(0)].net == D("600.00")
    papers = Bill.objects.filter(day__range=(MARCH, on(31)))
    assert totals.net == sum(paper.net for paper in papers)
    assert totals.tax == sum(paper.tax for paper in papers)
    period = {"first": "2026-03-01", "last": "2026-03-31"}
    page = bookkeeper_client.get(reverse("tax-totals"), period).content.decode()
    assert "1,519.10" in page
    file = bookkeeper_client.get(reverse("tax-totals-csv"), period)
    head, *lines = csv.reader(io.StringIO(file.content.decode("utf-8-sig")))
    assert head[-2:] == ["Before tax", "Tax"]
    assert lines[-1][-2:] == ["2119.10", "91.15"]
    assert ["Sales tax", "6", "USD"] == lines[1][3:6]
    assert lines[1][-2:] == ["1519.10", "91.15"]
