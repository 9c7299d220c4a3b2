"""A job's price by what is taxed alike, and what of it is billed already."""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from django.db.models import QuerySet

from firm.money import NOTHING, Taxed
from jobs.enums import OfferState
from jobs.models import Bill, Job, Quote
from jobs.pricing import Share, TaxGroup, payments
from jobs.queries.quote_prices import agreed_to, groups_kept, money_places
from jobs.queries.standing import key_of_group

NOUGHT = Decimal("0.00")


def additions_of(job: Job) -> list[Quote]:
    """What was agreed on top of JOB while it ran."""
    return list(
        Quote.objects.filter(addition_to=job, state=OfferState.AGREED).order_by("id")
    )


def bills_against(job: Job) -> QuerySet[Bill]:
    """The bills that count against the price of JOB.

    A credit that lowers the price is none of them: what it took off stays billed.
    """
    return Bill.objects.filter(job=job, lowers_price=False).order_by("id")


def substitutions_by_tax(job: Job) -> list[TaxGroup]:
    """What other plants than the agreed ones change, by tax."""
    return together(
        group
        for change in job.substitutions.order_by("id")
        for group in groups_kept(change.taxes)
    )


def price_by_tax(job: Job) -> list[TaxGroup]:
    """The agreed price of JOB with its additions and substitutions, by tax.

    Empty where a paper of it was written before quotes kept their taxes.
    """
    if job.quote is None:
        return []
    parts = [agreed_to(job.quote), *(agreed_to(each) for each in additions_of(job))]
    if not all(part.groups for part in parts):
        return []
    found = [group for part in parts for group in part.groups]
    return together([*found, *substitutions_by_tax(job)])


def billed_by_tax(job: Job) -> list[TaxGroup] | None:
    """What the bills of JOB hold by tax; None where a bill does not say its taxes."""
    found: list[TaxGroup] = []
    for bill in bills_against(job):
        if not bill.taxes:
            return None
        found += groups_kept(bill.taxes)
    return together(found)


def left_by_tax(job: Job, whole: Iterable[TaxGroup]) -> list[TaxGroup]:
    """What of WHOLE no bill holds yet; empty where a bill does not say its taxes."""
    billed = billed_by_tax(job)
    return [] if billed is None else less(whole, billed)


def share_by_tax(groups: list[TaxGroup], *, percent: Decimal) -> list[TaxGroup]:
    """So many per cent of each group; with the rest they add up to the cent."""
    first, _rest = payments(
        groups,
        [Share(percent=percent), Share(percent=100 - percent)],
        places=money_places(),
    )
    return list(first.groups)


def amount_of(groups: Iterable[TaxGroup]) -> Taxed:
    """What the groups come to together."""
    return sum((group.amount for group in groups), NOTHING)


def less(whole: Iterable[TaxGroup], part: Iterable[TaxGroup]) -> list[TaxGroup]:
    """WHOLE without PART, group by group; those that come to nothing are left out."""
    taken = [replace(group, net=-group.net, tax=-group.tax) for group in part]
    return [group for group in together([*whole, *taken]) if group.net or group.tax]


def together(groups: Iterable[TaxGroup]) -> list[TaxGroup]:
    """The groups with those of the same tax added up."""
    found: dict[tuple[str, str, Decimal], TaxGroup] = {}
    for group in groups:
        key = key_of_group(group)
        before = found.get(key)
        found[key] = (
            group
            if before is None
            else replace(before, net=before.net + group.net, tax=before.tax + group.tax)
        )
    return list(found.values())
