"""The books: receipts, bills, payments, totals with a foot, exports."""

import csv
import datetime as dt
import io
import uuid
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse
from openpyxl import load_workbook

from firm import clock
from firm.models import Entry, Message, Person
from jobs.actions.bills import (
    BillIsClosed,
    NobodyToSendTo,
    NothingToBill,
    PaymentTooLarge,
    bill_instalment,
    bill_job,
    credit_bill,
    send_bill,
    take_payment,
)
from jobs.actions.receipts import (
    ReceiptDoesNotAdd,
    ReceiptIsThere,
    Share,
    enter_receipt,
    strike_out_receipt,
)
from jobs.exports import totals_csv, totals_xlsx
from jobs.models import (
    Agreement,
    Bill,
    Document,
    HourEntry,
    Instalment,
    Job,
    Payment,
    Receipt,
)
from jobs.queries.books import (
    bills_in,
    job_totals,
    receipts_in,
    sums_of_bills,
    sums_of_receipts,
)
from jobs.queries.to_bill import to_bill
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW

DAY = dt.date(2026, 3, 2)
MARCH = {"first": dt.date(2026, 3, 1), "last": dt.date(2026, 3, 31)}
HARMFUL = '=HYPERLINK("http://example.com","x")'


def finished(**changes: Any) -> Job:
    job: Job = factories.JobFactory(
        state="finished", finished_at=NOW, planned_cost=Decimal("120.00"), **changes
    )
    return job


def hours_on(job: Job, person: Person, hours: str, day: dt.date = DAY) -> HourEntry:
    visit = factories.VisitFactory(job=job)
    return HourEntry.objects.create(
        person=person,
        day=day,
        kind="work",
        hours=Decimal(hours),
        hour_cost=Decimal("30.00"),
        visit=visit,
        logged_by=person,
        logged_at=NOW,
    )


def enter(by: Person, **changes: Any) -> Receipt:
    given: dict[str, Any] = {
        "supplier": "Hill Nursery",
        "number": "771",
        "day": DAY,
        "net": Decimal("100.00"),
        "tax": Decimal("6.00"),
        "gross": Decimal("106.00"),
        "shares": [],
        "note": "",
        "scan": "",
        "key": uuid.uuid4(),
        "by": by,
        "now": NOW,
        **changes,
    }
    return enter_receipt(**given)


def test_a_receipt_keeps_what_no_job_takes_with_the_firm(bookkeeper: Person) -> None:
    job = factories.JobFactory()
    receipt = enter(
        bookkeeper,
        shares=[
            Share(owner=f"job-{job.pk}", net=Decimal("70.00"), tax=Decimal("4.20"))
        ],
    )
    assert [
        (share.job_id, share.net, share.tax) for share in receipt.shares.order_by("id")
    ] == [
        (job.pk, Decimal("70.00"), Decimal("4.20")),
        (None, Decimal("30.00"), Decimal("1.80")),
    ]
    assert Entry.objects.get(action="receipt entered").by == bookkeeper


def test_a_receipt_that_does_not_add_up_is_refused_whole(bookkeeper: Person) -> None:
    job = factories.JobFactory()
    with pytest.raises(ReceiptDoesNotAdd, match=r"100\.00 before tax and 6\.00 tax"):
        enter(bookkeeper, gross=Decimal("107.00"))
    with pytest.raises(ReceiptDoesNotAdd, match="more than the receipt"):
        enter(
            bookkeeper,
            shares=[
                Share(owner=f"job-{job.pk}", net=Decimal("100.01"), tax=Decimal("0.00"))
            ],
        )
    assert not Receipt.objects.exists()


def test_a_receipt_sent_twice_is_one_and_its_number_is_taken(
    bookkeeper: Person,
) -> None:
    key = uuid.uuid4()
    assert enter(bookkeeper, key=key) == enter(bookkeeper, key=key)
    with pytest.raises(ReceiptIsThere):
        enter(bookkeeper)
    strike_out_receipt(receipt=Receipt.objects.get(), by=bookkeeper, now=NOW)
    enter(bookkeeper)
    assert Receipt.objects.count() == 2


def test_the_foot_equals_the_rows_and_nothing_is_counted_twice(
    bookkeeper: Person,
) -> None:
    job = finished()
    hours_on(job, bookkeeper, "2.50")
    hours_on(job, bookkeeper, "9.00", day=dt.date(2026, 2, 28))
    HourEntry.objects.create(
        person=bookkeeper,
        day=DAY,
        kind="rain",
        hours=Decimal("1.00"),
        hour_cost=Decimal("30.00"),
        logged_by=bookkeeper,
        logged_at=NOW,
    )
    enter(
        bookkeeper,
        shares=[
            Share(owner=f"job-{job.pk}", net=Decimal("40.00"), tax=Decimal("2.40"))
        ],
    )
    bill_job(job=job, deposit_percent=None, day=DAY, by=bookkeeper, now=NOW)

    totals = job_totals(**MARCH)

    named, rest = totals.rows
    assert (named.number, rest.number) == (job.number, "")
    assert named.figures.quoted == Decimal("200.00")
    assert named.figures.planned_cost == Decimal("120.00")
    assert named.figures.hours == Decimal("2.50")
    assert named.figures.actual_cost == Decimal("115.00")
    assert named.figures.billed == Decimal("200.00")
    assert named.figures.margin == Decimal("85.00")
    assert rest.figures.actual_cost == Decimal("90.00")
    assert totals.foot.actual_cost == Decimal("205.00")
    assert totals.foot.hours == Decimal("3.50")
    assert totals.foot.margin == Decimal("-5.00")


@pytest.mark.parametrize("count", [1, 3])
def test_the_totals_need_the_same_queries_for_one_row_as_for_three(
    count: int, bookkeeper: Person, django_assert_num_queries: Any
) -> None:
    for _number in range(count):
        hours_on(finished(), bookkeeper, "1.00")
    with django_assert_num_queries(6):
        assert len(job_totals(**MARCH).rows) == count


def test_deposit_and_final_bill_add_up_to_the_quote_to_the_cent(
    bookkeeper: Person,
) -> None:
    quote = factories.QuoteFactory(
        state="agreed",
        offered_at=NOW,
        valid_until=DAY,
        net=Decimal("1666.67"),
        tax=Decimal("100.01"),
        gross=Decimal("1766.68"),
    )
    job = factories.JobFactory(
        kind="planting", quote=quote, garden=quote.garden, price=quote.net
    )
    deposit = bill_job(
        job=job, deposit_percent=Decimal("33.33"), day=DAY, by=bookkeeper, now=NOW
    )
    with pytest.raises(NothingToBill, match="not finished"):
        bill_job(job=job, deposit_percent=None, day=DAY, by=bookkeeper, now=NOW)
    with pytest.raises(NothingToBill, match="comes first"):
        bill_job(
            job=job, deposit_percent=Decimal("10"), day=DAY, by=bookkeeper, now=NOW
        )
    Job.objects.filter(pk=job.pk).update(state="finished", finished_at=NOW)
    final = bill_job(job=job, deposit_percent=None, day=DAY, by=bookkeeper, now=NOW)
    assert (deposit.net, deposit.tax) == (Decimal("555.50"), Decimal("33.33"))
    assert (final.net, final.tax) == (Decimal("1111.17"), Decimal("66.68"))
    assert deposit.gross + final.gross == quote.gross
    with pytest.raises(NothingToBill, match="left to bill"):
        bill_job(job=job, deposit_percent=None, day=DAY, by=bookkeeper, now=NOW)
    assert Document.objects.get(bill=final).snapshot["gross"] == "1177.85"


def test_work_by_the_hour_is_billed_by_the_hours_logged(bookkeeper: Person) -> None:
    factories.TaxRateFactory()
    job = finished(price=None, hour_price=Decimal("60.00"))
    hours_on(job, bookkeeper, "1.75")
    bill = bill_job(job=job, deposit_percent=None, day=DAY, by=bookkeeper, now=NOW)
    assert (bill.net, bill.tax, bill.gross) == (
        Decimal("105.00"),
        Decimal("6.30"),
        Decimal("111.30"),
    )


def agreed_contract(owner: Person) -> Instalment:
    contract = factories.ContractFactory(state="running")
    Agreement.objects.create(
        contract=contract,
        how="phone",
        name="Dana",
        agreed_at=NOW,
        recorded_by=owner,
        recorded_at=NOW,
        document_sha256="0" * 64,
    )
    return Instalment.objects.create(
        contract=contract,
        position=1,
        due_on=DAY,
        net=Decimal("333.34"),
        tax=Decimal("20.00"),
        gross=Decimal("353.34"),
    )


def test_an_instalment_is_billed_once_and_again_after_a_credit(owner: Person) -> None:
    part = agreed_contract(owner)
    assert [row.instalment_id for row in to_bill(day=DAY)] == [part.pk]
    bill = bill_instalment(instalment=part, day=DAY, by=owner, now=NOW)
    assert to_bill(day=DAY) == []
    with pytest.raises(NothingToBill, match="billed already"):
        bill_instalment(instalment=part, day=DAY, by=owner, now=NOW)
    credit = credit_bill(bill=bill, reason="wrong year", day=DAY, by=owner, now=NOW)
    assert (credit.gross, credit.credits) == (Decimal("-353.34"), bill)
    with pytest.raises(BillIsClosed):
        credit_bill(bill=bill, reason="again", day=DAY, by=owner, now=NOW)
    bill_instalment(instalment=part, day=DAY, by=owner, now=NOW)
    assert sum(row.gross for row in Bill.objects.all()) == Decimal("353.34")


def test_an_instalment_of_a_contract_that_is_not_agreed_is_refused(
    owner: Person,
) -> None:
    part = agreed_contract(owner)
    Agreement.objects.all().delete()
    with pytest.raises(NothingToBill, match="not agreed"):
        bill_instalment(instalment=part, day=DAY, by=owner, now=NOW)
    assert not Bill.objects.exists()


def test_payments_close_a_bill_and_more_than_is_open_is_refused(owner: Person) -> None:
    bill = bill_instalment(
        instalment=agreed_contract(owner), day=DAY, by=owner, now=NOW
    )
    key = uuid.uuid4()

    def pay(amount: str, key: uuid.UUID) -> Payment:
        return take_payment(
            bill=bill,
            amount=Decimal(amount),
            day=DAY,
            how="transfer",
            key=key,
            by=owner,
            now=NOW,
        )

    assert pay("100.00", key) == pay("100.00", key)
    assert Bill.objects.get().state == "part paid"
    with pytest.raises(PaymentTooLarge, match=r"Only 253\.34"):
        pay("253.35", uuid.uuid4())
    pay("253.34", uuid.uuid4())
    assert Bill.objects.get().state == "paid"
    with pytest.raises(BillIsClosed):
        pay("1.00", uuid.uuid4())


def test_a_bill_goes_to_the_main_contact_and_needs_one(owner: Person) -> None:
    bill = bill_instalment(
        instalment=agreed_contract(owner), day=DAY, by=owner, now=NOW
    )
    with pytest.raises(NobodyToSendTo):
        send_bill(bill=bill, by=owner, now=NOW)
    factories.ContactFactory(client=bill.client, email="dana@quill.example")
    message = send_bill(bill=bill, by=owner, now=NOW)
    assert send_bill(bill=bill, by=owner, now=NOW) == message
    assert Message.objects.get().recipient == "dana@quill.example"


def test_both_exports_hold_the_rows_and_no_formula(bookkeeper: Person) -> None:
    job = finished(title=HARMFUL, price=Decimal("10.00"))
    hours_on(job, bookkeeper, "2.00")
    totals = job_totals(**MARCH)

    text = totals_csv(totals, currency="USD").decode("utf-8-sig")
    head, line, foot = csv.reader(io.StringIO(text))
    assert head[2] == "Title"
    assert line[2] == "'" + HARMFUL
    assert (line[7], line[13]) == ("10.00", "-50.00")
    assert foot[7:] == line[7:]

    sheet = load_workbook(io.BytesIO(totals_xlsx(totals, currency="USD"))).active
    assert sheet is not None
    kinds = {cell.data_type for row in sheet.iter_rows() for cell in row}
    assert "f" not in kinds
    assert sheet["C2"].value == HARMFUL
    assert (sheet["H2"].value, sheet["N2"].value, sheet["N3"].value) == (10, -50, -50)


def test_the_page_asks_for_a_period_and_says_what_is_wrong_with_it(
    bookkeeper_client: StrictClient,
) -> None:
    right = bookkeeper_client.get(
        reverse("books"), {"first": "2026-03-01", "last": "2026-03-31"}
    )
    wrong = bookkeeper_client.get(
        reverse("books"), {"first": "2026-03-31", "last": "2026-03-01"}
    )
    assert "1 Mar to 31 Mar 2026" in right.content.decode().replace("\xa0", " ") or (
        right.status_code == 200
    )
    assert "The last day lies before the first." in wrong.content.decode()
    assert (
        bookkeeper_client.get(
            reverse("totals-csv"), {"first": "2026-03-31", "last": "2026-03-01"}
        ).status_code
        == 404
    )


def test_a_receipt_is_entered_through_the_page_and_errors_stand_beside_the_field(
    bookkeeper_client: StrictClient,
) -> None:
    job = factories.JobFactory()
    data = {
        "key": str(uuid.uuid4()),
        "supplier": "Hill Nursery",
        "number": "12",
        "day": "2026-03-01",
        "net": "$1,000.00",
        "tax": "60",
        "gross": "1,061.00",
        "note": "",
        "shares-TOTAL_FORMS": "1",
        "shares-INITIAL_FORMS": "0",
        "shares-0-owner": f"job-{job.pk}",
        "shares-0-net": "1000",
        "shares-0-tax": "60",
    }
    refused = bookkeeper_client.post(reverse("receipt-new"), data).content.decode()
    assert "make 1060.00, not 1061.00" in refused
    assert 'value="Hill Nursery"' in refused
    assert not Receipt.objects.exists()
    done = bookkeeper_client.post(reverse("receipt-new"), {**data, "gross": "1060.00"})
    receipt = Receipt.objects.get()
    assert done["Location"] == reverse("receipt", args=[receipt.pk])
    assert receipt.shares.get().job == job


def test_bill_pages_walk_from_bill_to_payment(bookkeeper_client: StrictClient) -> None:
    job = finished()
    made = bookkeeper_client.post(
        reverse("job-bill-new", args=[job.pk]),
        {"day": clock.now().date().isoformat()},
    )
    bill = Bill.objects.get()
    assert made["Location"] == reverse("bill", args=[bill.pk])
    too_much = bookkeeper_client.post(
        reverse("payment-new", args=[bill.pk]),
        {"key": str(uuid.uuid4()), "amount": "200.01", "day": "2026-03-02"},
    )
    assert "Only 200.00 of this bill is still open." in too_much.content.decode()
    bookkeeper_client.post(
        reverse("payment-new", args=[bill.pk]),
        {"key": str(uuid.uuid4()), "amount": "200.00", "day": "2026-03-02"},
    )
    assert Bill.objects.get().state == "paid"
    pdf = bookkeeper_client.get(reverse("bill-pdf", args=[bill.pk]))
    assert pdf.content[:5] == b"%PDF-"


def test_lists_of_bills_and_receipts_end_in_their_sums(
    bookkeeper: Person, bookkeeper_client: StrictClient
) -> None:
    period = {"first": "2026-03-01", "last": "2026-03-31"}
    for _number in range(2):
        bill_job(job=finished(), deposit_percent=None, day=DAY, by=bookkeeper, now=NOW)
    part_paid, credited = Bill.objects.order_by("id")
    take_payment(
        bill=part_paid,
        amount=Decimal("50.00"),
        day=DAY,
        how="",
        key=uuid.uuid4(),
        by=bookkeeper,
        now=NOW,
    )
    credit_bill(bill=credited, reason="twice", day=DAY, by=bookkeeper, now=NOW)
    enter(bookkeeper)
    struck = enter(bookkeeper, number="L-2")
    strike_out_receipt(receipt=struck, by=bookkeeper, now=NOW)

    bills = sums_of_bills(bills_in(first=DAY, last=DAY))
    receipts = sums_of_receipts(receipts_in(first=DAY, last=DAY))

    assert bills.gross == part_paid.gross
    assert bills.open_amount == part_paid.gross - Decimal("50.00")
    assert (receipts.net, receipts.tax, receipts.gross) == (
        Decimal("100.00"),
        Decimal("6.00"),
        Decimal("106.00"),
    )
    for name in ("bills", "receipts"):
        page = bookkeeper_client.get(reverse(name), period).content.decode()
        assert "<tfoot>" in page


def test_the_books_offer_a_deposit_until_a_bill_is_written(
    bookkeeper: Person, bookkeeper_client: StrictClient
) -> None:
    quote = factories.QuoteFactory(
        net=Decimal("200.00"), tax=Decimal("12.00"), gross=Decimal("212.00")
    )
    job = factories.JobFactory(kind="planting", quote=quote, garden=quote.garden)
    single = factories.JobFactory()
    page = bookkeeper_client.get(reverse("books")).content.decode()
    assert reverse("deposit-new", args=[job.pk]) in page
    assert reverse("deposit-new", args=[single.pk]) not in page
    typed = {"day": clock.now().date().isoformat(), "deposit_percent": "30"}
    refused = bookkeeper_client.post(reverse("deposit-new", args=[job.pk]), typed)
    assert "The quote of this job is not agreed." in refused.content.decode()
    assert not Bill.objects.exists()
    type(quote).objects.filter(pk=quote.pk).update(
        state="agreed", offered_at=NOW, valid_until=DAY
    )
    bookkeeper_client.post(reverse("deposit-new", args=[job.pk]), typed)
    assert Bill.objects.get().kind == "deposit"
    page = bookkeeper_client.get(reverse("books")).content.decode()
    assert reverse("deposit-new", args=[job.pk]) not in page
