"""Bills of the agreed parts of a price: amounts, taxes, once each, later changes."""

import datetime as dt
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from firm import clock
from firm.models import Person, TaxRegion
from jobs.actions.bills import (
    NothingToBill,
    Off,
    bill_addition,
    bill_instalment,
    bill_job,
    bill_part,
    credit_bill,
    credit_part,
)
from jobs.actions.contracts.agreeing import write_instalments
from jobs.models import Agreement, Bill, Document, Job, Substitution
from jobs.queries.parts import job_parts
from jobs.queries.to_bill import deposits_to_bill, to_bill
from plants.models import Plant
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW, TODAY
from tests.jobs.bill_samples import PARTS, agree, agreed_in_parts, finish
from tests.jobs.offer_samples import ready
from tests.jobs.test_additions import addition

pytestmark = pytest.mark.django_db
D = Decimal


def part(job: Job, place: int, by: Person) -> Bill:
    return bill_part(job=job, place=place, day=TODAY, by=by, now=NOW)


def sums(bills: list[Bill]) -> tuple[Decimal, Decimal, Decimal]:
    """Net, tax and gross of the bills, added plainly."""
    return (
        sum((bill.net for bill in bills), D(0)),
        sum((bill.tax for bill in bills), D(0)),
        sum((bill.gross for bill in bills), D(0)),
    )


def test_three_parts_add_up_to_the_agreed_price_in_every_tax(owner: Person) -> None:
    job = agreed_in_parts()
    bills = [part(job, place, owner) for place in (1, 2, 3)]
    assert [bill.kind for bill in bills] == ["deposit", "progress", "final"]
    # By hand: 30, 33.33 and 36.67 % of 2,104.25 are 631.275, 701.346525 and
    # 771.628475; the two odd cents go to the larger remainders.
    assert [bill.gross for bill in bills] == [D("631.27"), D("701.35"), D("771.63")]
    assert sums(bills) == (D("2019.10"), D("85.15"), D("2104.25"))
    for name, net, tax in (("", "600.00", "0.00"), ("Sales tax", "1419.10", "85.15")):
        own = [each for bill in bills for each in bill.taxes if each["name"] == name]
        assert sum(D(each["net"]) for each in own) == D(net)
        assert sum(D(each["tax"]) for each in own) == D(tax)
    first = Document.objects.get(bill=bills[0]).snapshot
    assert first["lines"][0]["description"].startswith("Deposit (part 1 of 3)")
    assert [bill.milestone and bill.milestone.position for bill in bills] == [1, 2, 3]
    assert job_parts(job=job, day=TODAY).left.gross == 0
    with pytest.raises(NothingToBill, match="billed already"):
        part(job, 2, owner)
    with pytest.raises(NothingToBill, match="no such part"):
        part(job, 4, owner)
    with pytest.raises(NothingToBill, match="left to bill"):
        bill_job(job=finish(job), deposit_percent=None, day=TODAY, by=owner, now=NOW)


def test_a_part_has_one_bill_in_the_database_too(owner: Person) -> None:
    job = agreed_in_parts()
    bill = part(job, 1, owner)
    copy = Bill.objects.get(pk=bill.pk)
    copy.pk, copy.number = None, "B-2026-9999"
    with pytest.raises(IntegrityError), transaction.atomic():
        copy.save(force_insert=True)
    credit_bill(bill=bill, reason="wrong day", day=TODAY, by=owner, now=NOW)
    again = part(job, 1, owner)
    assert again.gross == bill.gross
    assert sums(list(Bill.objects.filter(job=job)))[2] == bill.gross


def test_parts_are_due_by_what_happened_and_may_be_billed_before(
    owner: Person,
) -> None:
    later = TODAY + dt.timedelta(days=10)
    job = agreed_in_parts(
        parts=(
            *PARTS[:2],
            ("In ten days", "day", later, "20", False),
            ("End", "finished", None, "16.67", False),
        )
    )

    def due(day: dt.date) -> list[bool]:
        job.refresh_from_db()
        return [each.is_due for each in job_parts(job=job, day=day).parts]

    assert due(TODAY) == [True, False, False, False]
    assert due(later) == [True, False, True, False]
    assert [(row.place, row.net) for row in to_bill(day=later)] == [
        (1, D("605.72")),
        (3, D("403.82")),
    ]
    assert not deposits_to_bill().exists()
    Job.objects.filter(pk=job.pk).update(state="under way")
    assert due(TODAY) == [True, True, False, False]
    assert part(job, 4, owner).kind == "final"
    finish(job)
    assert due(TODAY) == [True, True, False, True]
    assert [(row.place, row.has_parts) for row in to_bill(day=TODAY)] == [(None, True)]
    rest = bill_job(job=job, deposit_percent=None, day=TODAY, by=owner, now=NOW)
    plan = job_parts(job=job, day=TODAY)
    assert plan.left.gross == 0
    assert not any(each.may_be_billed for each in plan.parts)
    assert rest.gross + Bill.objects.get(
        kind="final", milestone__isnull=False
    ).gross == D("2104.25")


def test_the_last_part_takes_additions_and_other_plants(owner: Person) -> None:
    job = agreed_in_parts()
    first = part(job, 1, owner)
    extra = agree(addition(job, owner))
    other: Plant = factories.PlantFactory(common="Marsh rose")
    row = job.plants.order_by("id")[0]
    Substitution.objects.create(
        job=job,
        job_plant=row,
        from_plant=row.plant,
        from_count=row.count,
        plant=other,
        count=row.count,
        unit_cost=D("10.00"),
        reason="sold out",
        plants_cost=D("690.00"),
        plants_price=D("1319.10"),
        cost=D("-100.00"),
        taxes=[
            {
                "category": "standard",
                "name": "Sales tax",
                "percent": "6.000",
                "net": "-100.00",
                "tax": "-6.00",
            }
        ],
        net=D("-100.00"),
        tax=D("-6.00"),
        gross=D("-106.00"),
        how="phone",
        name="Dana Quill",
        agreed_on=TODAY,
        recorded_by=owner,
        recorded_at=NOW,
    )
    second, last = part(job, 2, owner), part(job, 3, owner)
    taken = extra.agreement
    assert taken.gross is not None
    assert last.gross == D("771.63") + taken.gross - D("106.00")
    assert sums([first, second, last])[2] == D("1998.25") + taken.gross
    assert [D(line["net"]) for line in last.lines][1:] == [taken.net, D("-100.00")]
    assert "Roots of the old stump" in last.lines[1]["description"]
    assert sum(D(line["net"]) for line in last.lines) == last.net
    assert sum(D(each["tax"]) for each in last.taxes) == last.tax


def test_an_addition_after_the_last_bill_gets_a_bill_of_its_own(owner: Person) -> None:
    job = agreed_in_parts()
    for place in (1, 2, 3):
        part(job, place, owner)
    extra = addition(job, owner)
    with pytest.raises(NothingToBill, match="not agreed"):
        bill_addition(quote=extra, day=TODAY, by=owner, now=NOW)
    agree(extra)
    bill = bill_addition(quote=extra, day=TODAY, by=owner, now=NOW)
    assert (bill.kind, bill.gross) == ("addition", extra.agreement.gross)
    assert bill.lines[0]["description"].startswith("Addition to New border: Roots")
    assert bill.taxes == extra.agreement.taxes
    with pytest.raises(NothingToBill, match="on a bill already"):
        bill_addition(quote=extra, day=TODAY, by=owner, now=NOW)
    assert job_parts(job=job, day=TODAY).left.gross == 0


def test_an_addition_that_the_last_part_took_is_not_billed_again(owner: Person) -> None:
    job = agreed_in_parts()
    extra = agree(addition(job, owner))
    for place in (1, 2, 3):
        part(job, place, owner)
    with pytest.raises(NothingToBill, match="on a bill already"):
        bill_addition(quote=extra, day=TODAY, by=owner, now=NOW)


def test_a_deposit_of_another_size_is_refused_where_parts_are_agreed(
    owner: Person,
) -> None:
    job = agreed_in_parts()
    with pytest.raises(NothingToBill, match="paid in parts"):
        bill_job(job=job, deposit_percent=D(10), day=TODAY, by=owner, now=NOW)
    Job.objects.filter(pk=job.pk).update(state="called off")
    with pytest.raises(NothingToBill, match="called off"):
        part(job, 1, owner)
    assert not Bill.objects.exists()


def test_a_capped_deposit_leaves_the_rest_to_the_other_parts(owner: Person) -> None:
    region = TaxRegion.objects.create(
        name="Upper Valley", deposit_cap_percent=D(10), deposit_cap_amount=D(200)
    )
    job = agreed_in_parts()
    type(job.garden).objects.filter(pk=job.garden_id).update(tax_region=region)
    job = Job.objects.get(pk=job.pk)
    bills = [part(job, place, owner) for place in (1, 2, 3)]
    assert bills[0].gross == D("200.00")
    assert sums(bills) == (D("2019.10"), D("85.15"), D("2104.25"))


def test_a_plain_deposit_and_the_rest_are_parts_without_milestones(
    owner: Person,
) -> None:
    job = agree(ready("Q-2026-8105", deposit_percent=D(25))).job
    bills = [part(job, 1, owner), part(job, 2, owner)]
    assert [(bill.kind, bill.milestone) for bill in bills] == [
        ("deposit", None),
        ("final", None),
    ]
    # A quarter of 2,104.25 is 526.0625, and the odd cent goes to the larger remainder.
    assert bills[0].gross == D("526.06")
    assert sums(bills) == (D("2019.10"), D("85.15"), D("2104.25"))
    for place in (1, 2):
        with pytest.raises(NothingToBill, match="billed already"):
            part(job, place, owner)


def test_a_credit_that_lowers_the_price_is_not_billed_again(owner: Person) -> None:
    job = agreed_in_parts()
    bill = part(job, 1, owner)
    credit_part(
        bill=bill,
        off=Off(amount=D("50.00")),
        reason="late start",
        day=TODAY,
        by=owner,
        now=NOW,
    )
    part(job, 2, owner)
    part(job, 3, owner)
    finish(job)
    assert job_parts(job=job, day=TODAY).left.gross == 0
    assert to_bill(day=TODAY) == []
    assert sums(list(Bill.objects.filter(job=job)))[2] == D("2054.25")


@pytest.mark.parametrize(
    ("net", "percent", "count"), [("1000.00", "6.000", 3), ("999.99", "8.250", 12)]
)
def test_instalments_add_up_to_the_year_and_say_their_tax(
    owner: Person, net: str, percent: str, count: int
) -> None:
    tax = (D(net) * D(percent) / 100).quantize(D("0.01"))
    contract = factories.ContractFactory(
        state="running",
        net=D(net),
        tax=tax,
        gross=D(net) + tax,
        tax_name="Sales tax",
        tax_percent=D(percent),
        instalment_count=count,
    )
    Agreement.objects.create(
        contract=contract,
        how="phone",
        name="Dana",
        agreed_at=NOW,
        recorded_by=owner,
        recorded_at=NOW,
        document_sha256="0" * 64,
    )
    bills = [
        bill_instalment(instalment=each, day=TODAY, by=owner, now=NOW)
        for each in write_instalments(contract)
    ]
    assert len(bills) == count
    assert sums(bills) == (contract.net, contract.tax, contract.gross)
    for bill in bills:
        (group,) = bill.taxes
        assert (group["category"], group["name"]) == ("standard", "Sales tax")
        assert (D(group["net"]), D(group["tax"])) == (bill.net, bill.tax)


@pytest.mark.parametrize("count", [1, 3])
def test_parts_due_are_found_for_each_job(count: int, owner: Person) -> None:
    jobs = [agreed_in_parts(f"Q-2026-82{number:02d}") for number in range(count)]
    found = [(row.owner[1], row.place) for row in to_bill(day=TODAY)]
    assert found == [(job.pk, 1) for job in jobs]
    part(jobs[0], 1, owner)
    assert len(to_bill(day=TODAY)) == count - 1


def test_the_job_page_leads_to_the_bill_of_a_part(
    owner_client: StrictClient, bookkeeper_client: StrictClient
) -> None:
    job = agreed_in_parts()
    url = reverse("part-bill-new", args=[job.pk, 2])
    for browser, page in ((owner_client, "job"), (bookkeeper_client, "job-bills")):
        words = browser.get(reverse(page, args=[job.pk])).content.decode()
        assert url in words
        assert "not due yet" in words
    form = bookkeeper_client.get(url).content.decode()
    assert "agreed to be paid when the work begins" in form
    typed = {"day": clock.now().date().isoformat()}
    done = bookkeeper_client.post(url, typed)
    bill = Bill.objects.get()
    assert done["Location"] == reverse("bill", args=[bill.pk])
    again = bookkeeper_client.post(url, typed)
    assert "This part is billed already." in again.content.decode()
    words = owner_client.get(reverse("job", args=[job.pk])).content.decode()
    assert bill.number in words
    assert url not in words
    assert (
        bookkeeper_client.get(reverse("part-bill-new", args=[job.pk, 9])).status_code
        == 404
    )


def test_a_part_credited_for_good_is_not_billed_again_and_the_last_takes_the_rest(
    owner: Person,
) -> None:
    """631.27 of 2,104.25 fall away: 701.35 and 771.63 are left (arithmetic)."""
    job = agreed_in_parts()
    first = bill_part(job=job, place=1, day=TODAY, by=owner, now=NOW)
    credit_bill(
        bill=first,
        reason="Goodwill",
        day=TODAY,
        by=owner,
        now=NOW,
        is_billed_again=False,
    )
    assert not job_parts(job=job, day=TODAY).parts[0].may_be_billed
    with pytest.raises(NothingToBill):
        bill_part(job=job, place=1, day=TODAY, by=owner, now=NOW)
    bills = [
        bill_part(job=job, place=place, day=TODAY, by=owner, now=NOW)
        for place in (2, 3)
    ]
    assert [bill.gross for bill in bills] == [Decimal("701.35"), Decimal("771.63")]
    assert job_parts(job=job, day=TODAY).left.gross == 0
