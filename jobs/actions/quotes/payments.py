"""When the price of a draft is paid, in parts that make the whole."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from firm.actions.record import record
from firm.models import Person
from firm.money import HUNDRED
from jobs.actions.quotes.lines import take_draft
from jobs.actions.quotes.refusals import NotInFull, TooManyOptions
from jobs.models import Milestone, Quote

MOST_PAYMENTS = 12


@dataclass(frozen=True, kw_only=True)
class MilestoneDetails:
    """One part of the price: what for, how much of it, when it falls due."""

    title: str
    percent: Decimal
    when: str
    due_on: dt.date | None = None
    is_deposit: bool = False


@transaction.atomic
def keep_milestones(
    *,
    quote_id: int,
    version: int,
    milestones: Sequence[MilestoneDetails],
    by: Person,
    now: dt.datetime,
) -> Quote:
    """The draft paid in these parts; with none its deposit and the rest.

    NotInFull where they are not 100 per cent together.
    """
    quote = take_draft(quote_id=quote_id, version=version)
    whole = sum((part.percent for part in milestones), Decimal(0))
    if milestones and whole != HUNDRED:
        raise NotInFull(whole)
    if len(milestones) > MOST_PAYMENTS:
        raise TooManyOptions(MOST_PAYMENTS)
    quote.milestones.all().delete()
    Milestone.objects.bulk_create(
        Milestone(quote=quote, position=at, **vars(part))
        for at, part in enumerate(milestones, start=1)
    )
    record(
        action="quote payments kept",
        subject=quote,
        summary=f"{quote}: {'; '.join(part.title for part in milestones) or '-'}",
        now=now,
        by=by,
    )
    return quote
