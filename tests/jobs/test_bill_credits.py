"""Credits of a part, money owed to a client, payments struck out."""

import uuid
from decimal import Decimal

import pytest
from django.db.models import F
from django.urls import reverse

from firm.actions.record import SomebodyElseChangedIt
from firm.models import Entry, Person
from jobs.actions.bills import (
    AlreadyStruckOut,
    BillIsClosed,
    CreditTooLarge,
    MoneyMovedOn,
    NothingOwed,
    NotSetAgainst,
    Off,
    PaymentTooLarge,
    credit_bill,
    credit_part,
    pay_back,
    set_against,
    strike_out_payment,
)
from jobs.actions.bills.credits import settle
from jobs.models import Bill, Document, Payment
from jobs.queries.standing import standing_of
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW, TODAY
from tests.jobs.bill_samples import mixed_bill, pay, single_bill

pytestmark = pytest.mark.django_db
D = Decimal


def take_off(bill: Bill, by: Person, **off: object) -> Bill:
    return credit_part(
        bill=bill,
        off=Off(**off),  # type: ignore[arg-type]
        reason="three plants died",
        day=TODAY,
        by=by,
        now=NOW,
    )


def state(bill: Bill) -> str:
    return Bill.objects.get(pk=bill.pk).state


def groups(bill: Bill) -> list[tuple[str, Decimal, Decimal]]:
    return [(each["name"], D(each["net"]), D(each["tax"])) for each in bill.taxes]


def test_part_credits_never_take_more_of_a_tax_than_is_left(owner: Person) -> None:
    bill = mixed_bill(owner)
    assert groups(bill) == [
        ("", D("600.00"), D("0.00")),
        ("Sales tax", D("1419.10"), D("85.15")),
    ]
    one = take_off(bill, owner, amount=D("106.00"), group=1)
    assert groups(one) == [("Sales tax", D("-100.00"), D("-6.00"))]
    assert (one.kind, one.credits_id, state(bill)) == ("credit", bill.pk, "open")
    with pytest.raises(CreditTooLarge, match=r"Only 1398\.25"):
        take_off(bill, owner, amount=D("1398.26"), group=1)
    with pytest.raises(CreditTooLarge, match=r"Only 1998\.25"):
        take_off(bill, owner, amount=D("1998.26"))
    # In proportion: 100.00 of 600.00 and 1,398.25.
    two = take_off(bill, owner, amount=D("100.00"))
    assert groups(two) == [
        ("", D("-30.03"), D("0.00")),
        ("Sales tax", D("-66.01"), D("-3.96")),
    ]
    rest = credit_bill(bill=bill, reason="all", day=TODAY, by=owner, now=NOW)
    assert (rest.net, rest.tax) == (D("-1823.06"), D("-75.19"))
    assert state(bill) == "credited"
    assert sum(each.gross for each in Bill.objects.all()) == 0
    with pytest.raises(BillIsClosed):
        take_off(bill, owner, amount=D("0.01"))
    with pytest.raises(BillIsClosed):
        take_off(one, owner, amount=D("0.01"))
    paper = Document.objects.get(bill=one).snapshot
    assert paper["lines"][0]["description"] == (
        f"Credit of bill {bill.number}: three plants died"
    )
    assert paper["is_part"] is True


def test_a_chosen_line_is_credited_with_its_own_taxes(owner: Person) -> None:
    bill = mixed_bill(owner)
    with pytest.raises(CreditTooLarge, match="by itself"):
        take_off(bill, owner, lines=(1,))
    take_off(bill, owner, amount=D("0.01"), group=0)
    with pytest.raises(CreditTooLarge, match=r"only 599\.99 is left"):
        take_off(bill, owner, lines=(0,))
    other = mixed_bill(owner, "Q-2026-8103")
    credit = take_off(other, owner, lines=(0,))
    assert (credit.net, credit.tax) == (-other.net, -other.tax)
    assert state(other) == "credited"


def test_what_was_paid_for_a_credited_bill_is_owed_and_paid_back(owner: Person) -> None:
    bill = single_bill(owner)
    pay(bill, "150.00", owner)
    with pytest.raises(NothingOwed):
        give_back(bill, "1.00", owner)
    take_off(bill, owner, amount=D("80.00"))
    assert state(bill) == "paid"
    assert standing_of(bill).owed == D("30.00")
    with pytest.raises(PaymentTooLarge, match=r"Only 30\.00"):
        give_back(bill, "30.01", owner)
    key = uuid.uuid4()
    assert give_back(bill, "10.00", owner, key) == give_back(bill, "10.00", owner, key)
    assert standing_of(bill).owed == D("20.00")
    credit_bill(bill=bill, reason="goodwill", day=TODAY, by=owner, now=NOW)
    assert state(bill) == "credited"
    assert standing_of(bill).owed == D("140.00")
    give_back(bill, "140.00", owner)
    assert (state(bill), standing_of(bill).owed) == ("credited", 0)
    assert Entry.objects.filter(action="payment paid back").count() == 2


def give_back(
    bill: Bill, amount: str, by: Person, key: uuid.UUID | None = None
) -> Payment:
    return pay_back(
        bill=bill,
        amount=D(amount),
        day=TODAY,
        how="transfer",
        key=key or uuid.uuid4(),
        by=by,
        now=NOW,
    )


def test_what_is_owed_pays_another_open_bill_of_the_same_client(owner: Person) -> None:
    bill = single_bill(owner)
    other = single_bill(owner, price="60.00", garden=bill.job.garden)  # type: ignore[union-attr]
    stranger = single_bill(owner)
    pay(bill, "200.00", owner)
    take_off(bill, owner, amount=D("90.00"))

    def against(target: Bill, amount: str, key: uuid.UUID | None = None) -> Payment:
        return set_against(
            bill=bill,
            other=target,
            amount=D(amount),
            day=TODAY,
            key=key or uuid.uuid4(),
            by=owner,
            now=NOW,
        )

    with pytest.raises(NotSetAgainst, match="another client"):
        against(stranger, "10.00")
    with pytest.raises(PaymentTooLarge, match=r"Only 60\.00 of bill"):
        against(other, "60.01")
    with pytest.raises(PaymentTooLarge, match=r"Only 90\.00"):
        against(other, "90.01")
    key = uuid.uuid4()
    given = against(other, "60.00", key)
    assert against(other, "60.00", key) == given
    assert (state(other), standing_of(bill).owed) == ("paid", D("30.00"))
    with pytest.raises(NotSetAgainst, match="paid or credited"):
        against(other, "1.00")
    # Either row takes both with it.
    taken = given.moved_to
    assert taken is not None
    strike_out_payment(payment=taken, reason="wrong bill", by=owner, now=NOW)
    assert (state(other), standing_of(bill).owed) == ("open", D("90.00"))
    with pytest.raises(AlreadyStruckOut):
        strike_out_payment(payment=given, reason="again", by=owner, now=NOW)


def test_a_payment_struck_out_opens_the_bill_and_stays_readable(
    owner: Person, bookkeeper: Person
) -> None:
    bill = single_bill(owner)
    pay(bill, "50.00", owner)
    wrong = pay(bill, "150.00", owner)
    assert state(bill) == "paid"
    strike_out_payment(payment=wrong, reason="not ours", by=bookkeeper, now=NOW)
    wrong.refresh_from_db()
    assert (wrong.struck_out_by, wrong.struck_out_at, wrong.struck_out_reason) == (
        bookkeeper,
        NOW,
        "not ours",
    )
    assert (state(bill), standing_of(bill).open_amount) == ("part paid", D("150.00"))
    with pytest.raises(AlreadyStruckOut):
        strike_out_payment(payment=wrong, reason="twice", by=owner, now=NOW)
    assert Payment.objects.count() == 2
    pay(bill, "150.00", owner)
    take_off(bill, owner, amount=D("180.00"))
    give_back(bill, "180.00", owner)
    first = Payment.objects.order_by("id")[0]
    with pytest.raises(MoneyMovedOn):
        strike_out_payment(payment=first, reason="no", by=owner, now=NOW)
    first.refresh_from_db()
    assert first.struck_out_at is None


def test_of_two_who_reckon_from_the_same_state_one_is_refused(owner: Person) -> None:
    bill = single_bill(owner)
    mine, hers = Bill.objects.get(pk=bill.pk), Bill.objects.get(pk=bill.pk)
    settle(mine)
    with pytest.raises(SomebodyElseChangedIt):
        settle(hers)
    Bill.objects.filter(pk=bill.pk).update(version=F("version") + 1)
    # Actions read the bill anew, so a page opened before is no harm.
    pay(bill, "1.00", owner)
    assert state(bill) == "part paid"


def test_pages_credit_a_part_and_give_money_back(
    bookkeeper: Person, bookkeeper_client: StrictClient
) -> None:
    bill = mixed_bill(bookkeeper)
    pay(bill, "2104.25", bookkeeper)
    url = reverse("credit-part-new", args=[bill.pk])
    typed = {"amount": "", "reason": "three died", "after": "lower", "group": ""}
    neither = bookkeeper_client.post(url, typed).content.decode()
    assert "Choose lines or write an amount." in neither
    both = bookkeeper_client.post(url, typed | {"amount": "5", "lines": ["0"]})
    assert "not both" in both.content.decode()
    much = bookkeeper_client.post(url, typed | {"amount": "600.01", "group": "0"})
    assert "Only 600.00 of it is left" in much.content.decode()
    assert Bill.objects.count() == 1
    bookkeeper_client.post(url, typed | {"amount": "106", "group": "1"})
    credit = Bill.objects.get(kind="credit")
    assert credit.gross == D("-106.00")
    page = bookkeeper_client.get(reverse("bill", args=[bill.pk])).content.decode()
    assert "is owed to the client" in page
    assert credit.number in page
    back = reverse("pay-back", args=[bill.pk])
    money = {"key": str(uuid.uuid4()), "day": "2026-03-02", "how": ""}
    refused = bookkeeper_client.post(back, money | {"amount": "106.01"})
    assert "Only 106.00 of this bill is owed" in refused.content.decode()
    bookkeeper_client.post(back, money | {"amount": "6"})
    other = factories.JobFactory(
        garden=bill.job.garden,  # type: ignore[union-attr]
        state="finished",
        finished_at=NOW,
    )
    against = reverse("set-against", args=[bill.pk])
    assert "no open bill" in bookkeeper_client.get(against).content.decode()
    bookkeeper_client.post(
        reverse("job-bill-new", args=[other.pk]), {"day": str(TODAY)}
    )
    target = Bill.objects.get(job=other)
    bookkeeper_client.post(
        against,
        {"key": str(uuid.uuid4()), "other": str(target.pk), "amount": "100"},
    )
    assert standing_of(target).paid == D("100.00")
    row = Payment.objects.get(bill=target)
    strike = reverse("payment-strike-out", args=[row.pk])
    assert bookkeeper_client.post(strike, {"reason": ""}).status_code == 200
    bookkeeper_client.post(strike, {"reason": "wrong one"})
    page = bookkeeper_client.get(reverse("bill", args=[target.pk])).content.decode()
    assert "Struck out by" in page
    assert "wrong one" in page
    assert standing_of(bill).owed == D("100.00")
