"""A job's price by what is taxed alike, and what of it is billed already."""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from jobs.enums import OfferState
from jobs.models import Bill, Job, Quote
from jobs.pricing import Share, TaxGroup, payments
from jobs.queries.quote_prices import agreed_to, groups_kept, money_places

NOUGHT = Decimal("0.00")


def additions_of(job: Job) -> list[Quote]:
    """What was agreed on top of JOB while it ran."""
    return list(
        Quote.objects.filter(addition_to=job, state=OfferState.AGREED).order_by("id")
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
    for change in job.substitutions.order_by("id"):
        found += groups_kept(change.taxes)
    return _together(found)


def left_by_tax(job: Job, whole: Iterable[TaxGroup]) -> list[TaxGroup]:
    """What of WHOLE no bill holds yet; empty where a bill does not say its taxes."""
    found = list(whole)
    for bill in Bill.objects.filter(job=job).order_by("id"):
        if not bill.taxes:
            return []
        found += [
            replace(group, net=-group.net, tax=-group.tax)
            for group in groups_kept(bill.taxes)
        ]
    return [group for group in _together(found) if group.net or group.tax]


def share_by_tax(groups: list[TaxGroup], *, percent: Decimal) -> list[TaxGroup]:
    """So many per cent of each group; with the rest they add up to the cent."""
    first, _rest = payments(
        groups,
        [Share(percent=percent), Share(percent=100 - percent)],
        places=money_places(),
    )
    return list(first.groups)


def _together(groups: Iterable[TaxGroup]) -> list[TaxGroup]:
    found: dict[tuple[str, str, Decimal], TaxGroup] = {}
    for group in groups:
        key = (group.category, group.name, group.percent.normalize())
        before = found.get(key)
        found[key] = (
            group
            if before is None
            else replace(before, net=before.net + group.net, tax=before.tax + group.tax)
        )
    return list(found.values())
