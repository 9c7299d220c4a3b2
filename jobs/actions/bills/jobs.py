"""Bills of jobs: a deposit, a part of the price, an addition, all that is left."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import Sum
from django.utils.translation import gettext as _

from firm.enums import TaxCategory
from firm.models import Person
from firm.money import NOTHING, Taxed, tax_on, to_cents
from firm.queries import NoTaxRate
from jobs.actions.bills.issuing import issue_bill, line
from jobs.actions.bills.refusals import DepositTooLarge, NothingToBill
from jobs.actions.quotes.lines import tax_for
from jobs.enums import BillKind, HourKind, JobState, OfferState
from jobs.models import Bill, HourEntry, Job, Quote
from jobs.pricing import TaxGroup, deposit_of
from jobs.queries.billed import (
    additions_of,
    amount_of,
    bills_against,
    left_by_tax,
    less,
    price_by_tax,
    share_by_tax,
    substitutions_by_tax,
)
from jobs.queries.parts import AdditionToBill, PartToBill, job_parts
from jobs.queries.quote_prices import agreed_to


@dataclass(frozen=True, kw_only=True)
class Price:
    """What a job comes to, by tax where it is known, and the words for it."""

    whole: Taxed
    groups: Sequence[TaxGroup]
    tax_name: str
    tax_percent: Decimal
    words: str


def _billed(job: Job) -> Taxed:
    """What was billed for JOB so far; credits count against it."""
    return sum(
        (
            Taxed(net=bill.net, tax=bill.tax, gross=bill.gross)
            for bill in bills_against(job)
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


def _quote_words(job: Job) -> str:
    return _("%(title)s, as agreed in quote %(number)s") % {
        "title": job.title,
        "number": str(job.quote),
    }


def _whole_price(job: Job, day: dt.date) -> Price:
    """The price of JOB with its tax, and the words for it."""
    if job.quote is not None:
        quote = job.quote
        whole = sum(
            (agreed_to(each).amount for each in additions_of(job)),
            agreed_to(quote).amount,
        ) + _substituted(job)
        return Price(
            whole=whole,
            groups=price_by_tax(job),
            tax_name=quote.tax_name,
            tax_percent=quote.tax_percent,
            words=_quote_words(job),
        )
    try:
        tax = tax_for(garden=job.garden, day=day)
    except NoTaxRate as gap:
        raise NothingToBill(str(gap)) from gap
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
    rate = tax.percent if job.is_taxed else Decimal(0)
    whole = tax_on(net=net, percent=rate)
    return Price(
        whole=whole,
        groups=[
            TaxGroup(
                category=TaxCategory.STANDARD
                if job.is_taxed
                else TaxCategory.NOT_TAXED,
                name=tax.name if job.is_taxed else "",
                percent=rate,
                net=whole.net,
                tax=whole.tax,
            )
        ],
        tax_name=tax.name,
        tax_percent=rate,
        words=words,
    )


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


def _billable(job: Job) -> Job:
    """JOB, locked; NothingToBill where nothing of it may be billed."""
    job = Job.objects.select_for_update().get(pk=job.pk)
    if job.state == JobState.CALLED_OFF:
        raise NothingToBill(_("This job was called off."))
    if job.quote is not None and job.quote.state != OfferState.AGREED:
        raise NothingToBill(_("The quote of this job is not agreed."))
    return job


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
    job = _billable(job)
    price = _whole_price(job, day)
    billed = _billed(job)
    if deposit_percent is not None:
        kind = BillKind.DEPOSIT
        amount, groups, lines = _deposit(job, price, billed, deposit_percent)
    else:
        if job.state != JobState.FINISHED:
            raise NothingToBill(_("This job is not finished."))
        kind = BillKind.FINAL
        amount, groups, lines = _rest(job, price, billed)
    if amount.gross <= 0:
        raise NothingToBill(_("Nothing of this job is left to bill."))
    return issue_bill(
        kind=kind,
        garden=job.garden,
        job=job,
        contract=None,
        lines=lines,
        amount=amount,
        groups=groups,
        tax_name=price.tax_name,
        tax_percent=price.tax_percent,
        day=day,
        by=by,
        now=now,
    )


Billed = tuple[Taxed, Sequence[TaxGroup], list[dict[str, Any]]]


def _deposit(job: Job, price: Price, billed: Taxed, percent: Decimal) -> Billed:
    """So many per cent of the price, before anything else is billed."""
    if job.state == JobState.FINISHED or billed.gross:
        raise NothingToBill(_("A deposit comes first, before any other bill."))
    if job.quote is not None and job.quote.milestones.exists():
        raise NothingToBill(
            _("This quote is paid in parts as agreed. Bill its first part.")
        )
    _refuse_over_the_cap(job, whole=price.whole.gross, percent=percent)
    if price.groups:
        groups = share_by_tax(list(price.groups), percent=percent)
        amount = amount_of(groups)
    else:
        groups = []
        share = percent / 100
        net, tax = to_cents(price.whole.net * share), to_cents(price.whole.tax * share)
        amount = Taxed(net=net, tax=tax, gross=net + tax)
    words = _("Deposit of %(percent)s %% on %(words)s") % {
        "percent": f"{percent.normalize():f}",
        "words": price.words,
    }
    return amount, groups, [line(words, amount.net, groups)]


def _rest(job: Job, price: Price, billed: Taxed) -> Billed:
    """All that no bill holds yet, with what came on top named."""
    amount = Taxed(
        net=price.whole.net - billed.net,
        tax=price.whole.tax - billed.tax,
        gross=price.whole.gross - billed.gross,
    )
    groups = left_by_tax(job, price.groups) if price.groups else []
    if amount_of(groups) != amount:
        groups = []
    more = _on_top(job, additions_of(job)) if job.quote else []
    extra = sum((net for _words, net, _groups in more), Decimal("0.00"))
    own = less(price.groups, [each for _w, _n, part in more for each in part])
    lines = [
        line(price.words, price.whole.net - extra, own if groups else ()),
        *(line(words, net, part if groups else ()) for words, net, part in more),
    ]
    if billed.net or billed.gross:
        lines.append(line(_("less what was billed before"), -billed.net))
    return amount, groups, lines


def _on_top(
    job: Job, additions: Sequence[Quote]
) -> list[tuple[str, Decimal, Sequence[TaxGroup]]]:
    """The lines for additions and for other plants than agreed."""
    found: list[tuple[str, Decimal, Sequence[TaxGroup]]] = [
        (_addition_words(each), agreed_to(each).amount.net, agreed_to(each).groups)
        for each in additions
    ]
    changed = _substituted(job).net
    if changed:
        found.append(
            (
                _("Other plants than agreed, with your consent"),
                changed,
                substitutions_by_tax(job),
            )
        )
    return found


def _addition_words(quote: Quote) -> str:
    return _("%(title)s, as agreed in quote %(number)s") % {
        "title": quote.title,
        "number": str(quote),
    }


@transaction.atomic
def bill_part(
    *, job: Job, place: int, day: dt.date, by: Person, now: dt.datetime
) -> Bill:
    """The bill for the part of JOB's agreed price at PLACE, the first being 1.

    A part that is not due yet may be billed. The last one takes what additions, other
    plants and other bills leave. A second bill for a part is refused.
    """
    job = _billable(job)
    plan = job_parts(job=job, day=day)
    quote = job.quote
    if quote is None or not 1 <= place <= len(plan.parts):
        raise NothingToBill(plan.why or _("This job has no such part."))
    part = plan.parts[place - 1]
    if part.bill is not None:
        raise NothingToBill(_("This part is billed already."))
    if not part.may_be_billed:
        raise NothingToBill(_("Nothing of this job is left to bill."))
    kind = BillKind.FINAL if part.is_last else BillKind.PROGRESS
    if part.plan.is_deposit:
        kind = BillKind.DEPOSIT
    amount = part.amount
    return issue_bill(
        kind=kind,
        garden=job.garden,
        job=job,
        contract=None,
        milestone=part.plan.milestone,
        lines=_part_lines(job, part, place=place, count=len(plan.parts)),
        amount=amount,
        groups=part.groups,
        tax_name=quote.tax_name,
        tax_percent=quote.tax_percent,
        day=day,
        by=by,
        now=now,
    )


def _part_lines(
    job: Job, part: PartToBill, *, place: int, count: int
) -> list[dict[str, Any]]:
    """The part as agreed and, of the last one, what changed since."""
    words = _("%(part)s (part %(place)s of %(count)s): %(words)s") % {
        "part": part.plan.title,
        "place": place,
        "count": count,
        "words": _quote_words(job),
    }
    if not part.is_last:
        return [line(words, part.amount.net, part.groups)]
    lines = [line(words, part.plan.amount.net, part.plan.groups)]
    alone = set(bills_against(job).values_list("addition_id", flat=True))
    more = _on_top(job, [each for each in additions_of(job) if each.pk not in alone])
    lines += [line(words, net, groups) for words, net, groups in more]
    rest = part.amount.net - sum(Decimal(each["net"]) for each in lines)
    if rest:
        lines.append(line(_("set right against the bills before"), rest))
    return lines


@transaction.atomic
def bill_addition(*, quote: Quote, day: dt.date, by: Person, now: dt.datetime) -> Bill:
    """The bill of its own for what was agreed on top of a job, named as such."""
    job = quote.addition_to
    if job is None:
        raise NothingToBill(_("This quote comes on top of no job."))
    job = _billable(job)
    found: AdditionToBill | None = next(
        (
            each
            for each in job_parts(job=job, day=day).additions
            if each.quote.pk == quote.pk
        ),
        None,
    )
    if found is None:
        raise NothingToBill(_("This addition is not agreed."))
    if not found.may_be_billed:
        raise NothingToBill(_("This addition is on a bill already."))
    words = _("Addition to %(job)s: %(words)s") % {
        "job": job.title,
        "words": _addition_words(quote),
    }
    return issue_bill(
        kind=BillKind.ADDITION,
        garden=job.garden,
        job=job,
        contract=None,
        addition=quote,
        lines=[line(words, found.amount.net, found.groups)],
        amount=found.amount,
        groups=found.groups,
        tax_name=quote.tax_name,
        tax_percent=quote.tax_percent,
        day=day,
        by=by,
        now=now,
    )
