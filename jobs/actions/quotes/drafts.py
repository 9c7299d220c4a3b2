"""Beginning, changing and revising a quote."""

import datetime as dt
import uuid
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import Model

from firm.actions.record import next_number, record
from firm.models import Person
from firm.queries import firm_or_blank
from jobs.actions.quotes.lines import local_day, settle, take_draft
from jobs.actions.quotes.refusals import NoSuchQuote, NothingToRevise
from jobs.enums import OfferState
from jobs.models import (
    BedPlan,
    LabourSetting,
    Milestone,
    Overruled,
    Quote,
    QuoteLine,
    QuoteOption,
    TakeoffSetting,
)
from plants.models import Garden

REVISED_FROM = (OfferState.OFFERED, OfferState.DECLINED, OfferState.LAPSED)
# Of the firm's settings; a quote keeps its own copy.
PRICED_AS = (
    "overhead_way",
    "overhead_per_hour",
    "overhead_materials_percent",
    "overhead_labour_percent",
    "contingency_percent",
    "warranty_percent",
    "minimum_job",
    "deposit_percent",
)
# Of a quote; what is worked out is worked out again.
REVISED = (
    *PRICED_AS,
    "garden_id",
    "number",
    "title",
    "words",
    "terms",
    "margin_percent",
    "discount_percent",
    "discount_amount",
    "discount_words",
    "addition_to_id",
)
# Columns of a line, option, payment, plan or figure that are its own and not copied.
OWN = {"id", "quote", "option", "instead_of", "is_taken"}


def copied(row: Model) -> dict[str, Any]:
    """The columns of ROW that its copy in another quote has, too."""
    return {
        column.attname: getattr(row, column.attname)
        for column in row._meta.concrete_fields
        if column.name not in OWN
    }


def copy_parts(*, old: Quote, new: Quote) -> None:
    """Lines, options, payments, plans, take-off and labour of OLD, copied into NEW."""
    rows = list(old.lines.order_by("position", "id"))
    lines = {row.pk: QuoteLine(quote=new, **copied(row)) for row in rows}
    QuoteLine.objects.bulk_create(lines.values())
    options = {}
    for option in old.options.order_by("position", "id"):
        options[option.pk] = QuoteOption.objects.create(
            quote=new,
            instead_of=lines[option.instead_of_id] if option.instead_of_id else None,
            **copied(option),
        )
    # An option may name a line and a line an option, so these come last.
    optional = []
    for row in rows:
        if row.option_id:
            lines[row.pk].option = options[row.option_id]
            optional.append(lines[row.pk])
    QuoteLine.objects.bulk_update(optional, ["option"])
    Milestone.objects.bulk_create(
        Milestone(quote=new, **copied(part))
        for part in old.milestones.order_by("position", "id")
    )
    BedPlan.objects.bulk_create(
        BedPlan(quote=new, **copied(plan))
        for plan in BedPlan.objects.filter(quote=old).order_by("id")
    )
    TakeoffSetting.objects.bulk_create(
        TakeoffSetting(quote=new, **copied(setting))
        for setting in TakeoffSetting.objects.filter(quote=old)
    )
    LabourSetting.objects.bulk_create(
        LabourSetting(quote=new, **copied(setting))
        for setting in LabourSetting.objects.filter(quote=old)
    )
    Overruled.objects.bulk_create(
        Overruled(quote=new, **copied(row)) for row in old.overruled.order_by("id")
    )


@dataclass(frozen=True, kw_only=True)
class QuoteDetails:
    """What a quote says apart from its lines."""

    title: str
    words: str
    terms: str
    margin_percent: Decimal
    valid_until: dt.date | None


@transaction.atomic
def create_quote(
    *,
    garden_id: int,
    key: uuid.UUID,
    details: QuoteDetails,
    by: Person,
    now: dt.datetime,
) -> Quote:
    """The new draft with its number; the one that was begun with KEY before."""
    garden = (
        Garden.objects.select_related("client", "tax_region")
        .filter(pk=garden_id)
        .first()
    )
    if garden is None:
        raise NoSuchQuote
    firm = firm_or_blank()
    day = local_day(now, firm)
    # The counter's row is locked first, so a form sent twice is met one by one.
    number = next_number(kind="quote", prefix="Q", year=day.year)
    before = Quote.objects.filter(key=key).first()
    if before is not None:
        transaction.set_rollback(True)
        return before
    quote = Quote.objects.create(
        garden=garden,
        number=number,
        key=key,
        **{name: getattr(firm, name) for name in PRICED_AS},
        **vars(details),
    )
    settle(quote=quote, day=day)
    record(
        action="quote begun",
        subject=quote,
        summary=f"{quote} {quote.title} for {garden.name}",
        now=now,
        by=by,
    )
    return quote


@transaction.atomic
def change_quote(
    *,
    quote_id: int,
    version: int,
    details: QuoteDetails,
    by: Person,
    now: dt.datetime,
) -> Quote:
    """The draft with other words, margin or last day, priced anew."""
    quote = take_draft(quote_id=quote_id, version=version)
    for name, value in vars(details).items():
        setattr(quote, name, value)
    quote.save(update_fields=list(vars(details)))
    settle(quote=quote, day=local_day(now, firm_or_blank()))
    record(
        action="quote changed",
        subject=quote,
        summary=f"{quote} {quote.title}",
        now=now,
        by=by,
    )
    return quote


@transaction.atomic
def revise(*, quote_id: int, by: Person, now: dt.datetime) -> Quote:
    """The next revision as a draft; asked for twice, it is the same one.

    The revision before it stands until the new one is offered.
    """
    # The row is locked, so that two people who ask at once get one revision.
    old = (
        Quote.objects.select_for_update(of=("self",))
        .select_related("garden__client", "garden__tax_region")
        .filter(pk=quote_id)
        .first()
    )
    if old is None:
        raise NoSuchQuote
    latest = Quote.objects.filter(number=old.number).order_by("-revision").first()
    if latest is not None and latest.pk != old.pk:
        if latest.state == OfferState.DRAFTING:
            return latest
        raise NothingToRevise
    if old.state not in REVISED_FROM:
        raise NothingToRevise
    firm = firm_or_blank()
    day = local_day(now, firm)
    stands = old.valid_until is not None and old.valid_until >= day
    new = Quote.objects.create(
        revision=old.revision + 1,
        valid_until=old.valid_until if stands else None,
        **{name: getattr(old, name) for name in REVISED},
    )
    copy_parts(old=old, new=new)
    settle(quote=new, day=day)
    record(
        action="quote revised",
        subject=new,
        summary=f"{old} is revised as {new}",
        now=now,
        by=by,
    )
    return new
