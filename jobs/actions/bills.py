"""Writing bills, crediting them and taking payments."""

import datetime as dt
import uuid
from dataclasses import replace
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import Sum
from django.utils.translation import gettext as _

from firm.actions.messages import queue
from firm.actions.record import next_number, record
from firm.models import Message, Person
from firm.money import NOTHING, Taxed, tax_on, to_cents
from firm.queries import NoTaxRate, firm_or_blank
from jobs.actions.documents import issue
from jobs.actions.quotes.lines import tax_for
from jobs.enums import BillKind, BillState, DocumentKind, HourKind, JobState, OfferState
from jobs.models import Bill, Contract, HourEntry, Instalment, Job, Payment
from jobs.pricing import deposit_of
from jobs.queries.billed import additions_of, left_by_tax, price_by_tax, share_by_tax
from jobs.queries.letterhead import letterhead
from jobs.queries.quote_prices import agreed_to, groups_kept
from plants.models import Garden


class NothingToBill(Exception):
    """A bill for what is not agreed, or billed already."""


class DepositTooLarge(NothingToBill):
    """A deposit above what the garden's place allows."""


class BillIsClosed(Exception):
    """A bill that was paid or credited before."""

    def __init__(self) -> None:
        super().__init__(_("This bill is paid or credited already."))


class PaymentTooLarge(Exception):
    """More money than the bill is still open for."""


def _line(words: str, net: Decimal) -> dict[str, Any]:
    return {"description": words, "net": str(net)}


def _issue_bill(
    *,
    kind: BillKind,
    garden: Garden,
    job: Job | None,
    contract: Contract | None,
    instalment: Instalment | None,
    lines: list[dict[str, Any]],
    amount: Taxed,
    tax_name: str,
    tax_percent: Decimal,
    day: dt.date,
    by: Person,
    now: dt.datetime,
    taxes: list[dict[str, str]] | None = None,
    credits: Bill | None = None,
) -> Bill:
    client = garden.client
    number = next_number(kind="bill", prefix="B", year=day.year)
    bill = Bill.objects.create(
        number=number,
        kind=kind,
        client=client,
        job=job,
        contract=contract,
        instalment=instalment,
        day=day,
        due_on=day + dt.timedelta(days=firm_or_blank().payment_days),
        lines=lines,
        net=amount.net,
        tax=amount.tax,
        gross=amount.gross,
        taxes=taxes or [],
        tax_name=tax_name,
        tax_percent=tax_percent,
        credits=credits,
        issued_by=by,
        state=BillState.PAID if amount.gross <= 0 else BillState.OPEN,
    )
    issue(
        kind=DocumentKind.BILL,
        number=number,
        garden=garden,
        bill=bill,
        job=job,
        language=client.language,
        snapshot={
            "firm": letterhead(),
            "client": {
                "name": client.name,
                "billing_address": client.billing_address,
            },
            "garden": {"name": garden.name, "address": garden.address},
            "kind": kind,
            "number": number,
            "day": day,
            "due_on": bill.due_on,
            "lines": lines,
            "net": amount.net,
            "tax": amount.tax,
            "gross": amount.gross,
            "taxes": taxes or [],
            "tax_name": tax_name,
            "tax_percent": tax_percent,
            "credits": credits.number if credits else "",
        },
        now=now,
        by=by,
    )
    record(
        action="bill issued",
        subject=bill,
        summary=f"bill {number} of {amount.gross} to {client.name}",
        now=now,
        by=by,
    )
    return bill


def _billed(job: Job) -> Taxed:
    """What was billed for JOB so far; credits count against it."""
    return sum(
        (
            Taxed(net=bill.net, tax=bill.tax, gross=bill.gross)
            for bill in Bill.objects.filter(job=job).order_by("id")
        ),
        NOTHING,
    )


def _substituted(job: Job) -> Taxed:
    """What other plants than the agreed ones change, all together."""
    return sum(
        (
            Taxed(net=each.net, tax=each.tax, gross=each.gross)
            for each in job.substitutions.order_by("id")
        ),
        NOTHING,
    )


def _whole_price(job: Job, day: dt.date) -> tuple[Taxed, str, Decimal, str]:
    """The price of JOB with its tax, the name and rate of the tax, and the words."""
    if job.quote is not None:
        quote = job.quote
        whole = sum(
            (agreed_to(each).amount for each in additions_of(job)),
            agreed_to(quote).amount,
        ) + _substituted(job)
        words = _("%(title)s, as agreed in quote %(number)s") % {
            "title": job.title,
            "number": str(quote),
        }
        return whole, quote.tax_name, quote.tax_percent, words
    try:
        tax = tax_for(garden=job.garden, day=day)
    except NoTaxRate as gap:
        raise NothingToBill(str(gap)) from gap
    name, percent = tax.name, tax.percent
    if job.price is not None:
        net, words = job.price, job.title
    else:
        hours = HourEntry.objects.filter(visit__job=job, kind=HourKind.WORK).aggregate(
            sum=Sum("hours")
        )["sum"] or Decimal(0)
        hour_price = job.hour_price or Decimal(0)
        net = to_cents(hours * hour_price)
        words = _("%(title)s, %(hours)s h at %(price)s") % {
            "title": job.title,
            "hours": hours,
            "price": hour_price,
        }
    rate = percent if job.is_taxed else Decimal(0)
    return tax_on(net=net, percent=rate), name, rate, words


def _refuse_over_the_cap(job: Job, *, whole: Decimal, percent: Decimal) -> None:
    """DepositTooLarge where the garden's place allows less than was asked."""
    region = job.garden.tax_region
    if region is None:
        return
    deposit = deposit_of(
        whole,
        percent=percent,
        cap_percent=region.deposit_cap_percent,
        cap_amount=region.deposit_cap_amount,
    )
    if deposit.is_capped:
        raise DepositTooLarge(
            _("In %(place)s a deposit on this is %(most)s at the most.")
            % {"place": region.name, "most": deposit.amount}
        )


@transaction.atomic
def bill_job(
    *,
    job: Job,
    deposit_percent: Decimal | None,
    day: dt.date,
    by: Person,
    now: dt.datetime,
) -> Bill:
    """The bill for a job: a deposit of so many percent, or all that is still unbilled.

    The rest is the whole less what was billed, so the bills add up to the cent.
    """
    job = Job.objects.select_for_update().get(pk=job.pk)
    if job.state == JobState.CALLED_OFF:
        raise NothingToBill(_("This job was called off."))
    if job.quote is not None and job.quote.state != OfferState.AGREED:
        raise NothingToBill(_("The quote of this job is not agreed."))
    whole, tax_name, tax_percent, words = _whole_price(job, day)
    billed = _billed(job)
    if deposit_percent is not None:
        if job.state == JobState.FINISHED or billed.gross:
            raise NothingToBill(_("A deposit comes first, before any other bill."))
        _refuse_over_the_cap(job, whole=whole.gross, percent=deposit_percent)
        share = deposit_percent / 100
        net, tax = to_cents(whole.net * share), to_cents(whole.tax * share)
        amount = Taxed(net=net, tax=tax, gross=net + tax)
        groups = price_by_tax(job)
        if groups:
            groups = share_by_tax(groups, percent=deposit_percent)
            amount = sum((group.amount for group in groups), NOTHING)
            net = amount.net
        kind = BillKind.DEPOSIT
        lines = [
            _line(
                _("Deposit of %(percent)s %% on %(words)s")
                % {"percent": deposit_percent.normalize(), "words": words},
                net,
            )
        ]
    else:
        if job.state != JobState.FINISHED:
            raise NothingToBill(_("This job is not finished."))
        amount = Taxed(
            net=whole.net - billed.net,
            tax=whole.tax - billed.tax,
            gross=whole.gross - billed.gross,
        )
        groups = left_by_tax(job, price_by_tax(job))
        if sum((group.amount for group in groups), NOTHING) != amount:
            groups = []
        kind = BillKind.FINAL
        added = [
            (
                _("%(title)s, as agreed in quote %(number)s")
                % {"title": each.title, "number": str(each)},
                agreed_to(each).amount.net,
            )
            for each in additions_of(job)
        ]
        changed = _substituted(job).net
        if changed:
            added.append((_("Other plants than agreed, with your consent"), changed))
        first = whole.net - sum((net for _words, net in added), Decimal("0.00"))
        lines = [_line(words, first), *(_line(*each) for each in added)]
        if billed.net:
            lines.append(_line(_("less what was billed before"), -billed.net))
    if amount.gross <= 0:
        raise NothingToBill(_("Nothing of this job is left to bill."))
    return _issue_bill(
        kind=kind,
        garden=job.garden,
        job=job,
        contract=None,
        instalment=None,
        lines=lines,
        amount=amount,
        taxes=[group.as_text() for group in groups],
        tax_name=tax_name,
        tax_percent=tax_percent,
        day=day,
        by=by,
        now=now,
    )


@transaction.atomic
def bill_instalment(
    *, instalment: Instalment, day: dt.date, by: Person, now: dt.datetime
) -> Bill:
    """The bill for one instalment of a contract; a second one is refused."""
    instalment = Instalment.objects.select_for_update().get(pk=instalment.pk)
    if Bill.objects.filter(instalment=instalment).exists():
        raise NothingToBill(_("This instalment is billed already."))
    contract = instalment.contract
    if not hasattr(contract, "agreement"):
        raise NothingToBill(_("This contract is not agreed."))
    words = _("%(title)s, instalment %(position)s of %(count)s") % {
        "title": contract.title,
        "position": instalment.position,
        "count": contract.instalment_count,
    }
    return _issue_bill(
        kind=BillKind.INSTALMENT,
        garden=contract.garden,
        job=None,
        contract=contract,
        instalment=instalment,
        lines=[_line(words, instalment.net)],
        amount=Taxed(net=instalment.net, tax=instalment.tax, gross=instalment.gross),
        tax_name=contract.tax_name,
        tax_percent=contract.tax_percent,
        day=day,
        by=by,
        now=now,
    )


@transaction.atomic
def credit_bill(
    *, bill: Bill, reason: str, day: dt.date, by: Person, now: dt.datetime
) -> Bill:
    """The credit that takes BILL back whole; its instalment may be billed again."""
    if (
        Bill.objects.filter(pk=bill.pk, state__in=[BillState.OPEN], gross__gt=0).update(
            state=BillState.CREDITED, instalment=None
        )
        != 1
    ):
        raise BillIsClosed
    garden = bill.job.garden if bill.job else bill.contract.garden  # type: ignore[union-attr]
    return _issue_bill(
        kind=BillKind.CREDIT,
        garden=garden,
        job=bill.job,
        contract=bill.contract,
        instalment=None,
        lines=[
            _line(
                _("Credit of bill %(number)s: %(reason)s")
                % {"number": bill.number, "reason": reason},
                -bill.net,
            )
        ],
        amount=Taxed(net=-bill.net, tax=-bill.tax, gross=-bill.gross),
        taxes=[
            replace(group, net=-group.net, tax=-group.tax).as_text()
            for group in groups_kept(bill.taxes)
        ],
        tax_name=bill.tax_name,
        tax_percent=bill.tax_percent,
        day=day,
        by=by,
        now=now,
        credits=bill,
    )


@transaction.atomic
def take_payment(
    *,
    bill: Bill,
    amount: Decimal,
    day: dt.date,
    how: str,
    key: uuid.UUID,
    by: Person,
    now: dt.datetime,
) -> Payment:
    """The payment; the same KEY twice gives the first one back."""
    if there := Payment.objects.filter(key=key).first():
        return there
    bill = Bill.objects.select_for_update().get(pk=bill.pk)
    if bill.state not in (BillState.OPEN, BillState.PART_PAID):
        raise BillIsClosed
    paid = Payment.objects.filter(bill=bill).aggregate(sum=Sum("amount"))[
        "sum"
    ] or Decimal("0.00")
    left = bill.gross - paid
    if amount > left:
        raise PaymentTooLarge(
            _("Only %(left)s of this bill is still open.") % {"left": left}
        )
    payment = Payment.objects.create(
        bill=bill, day=day, amount=amount, how=how, recorded_by=by, key=key
    )
    Bill.objects.filter(pk=bill.pk).update(
        state=BillState.PAID if amount == left else BillState.PART_PAID
    )
    record(
        action="payment taken",
        subject=bill,
        summary=f"{amount} received for bill {bill.number}",
        now=now,
        by=by,
    )
    return payment


class NobodyToSendTo(Exception):
    """A client without a mail address."""

    def __init__(self) -> None:
        super().__init__(
            _("This client has no mail address. Add one, or print the bill.")
        )


@transaction.atomic
def send_bill(*, bill: Bill, by: Person, now: dt.datetime) -> Message:
    """The waiting message that carries BILL to its client, once a day at the most."""
    contact = bill.client.contacts.exclude(email="").order_by("-is_main", "id").first()
    if contact is None:
        raise NobodyToSendTo
    message = queue(
        key=f"bill:{bill.pk}:{now.date()}",
        kind="bill",
        recipient=contact.email,
        payload={"bill": bill.pk, "name": contact.name},
        due_at=now,
        language=bill.client.language,
        now=now,
    )
    record(
        action="bill sent",
        subject=bill,
        summary=f"bill {bill.number} goes to {contact.email}",
        now=now,
        by=by,
    )
    return message
