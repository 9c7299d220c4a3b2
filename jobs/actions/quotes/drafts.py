"""Beginning, changing and revising a quote."""

import datetime as dt
import uuid
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from firm.actions.record import next_number, record
from firm.models import Person
from firm.queries import firm_or_blank
from jobs.actions.quotes.lines import local_day, settle, take_draft, tax_for
from jobs.actions.quotes.refusals import NoSuchQuote, NothingToRevise
from jobs.enums import OfferState
from jobs.models import BedPlan, Quote, QuoteLine
from plants.models import Garden

REVISED_FROM = (OfferState.OFFERED, OfferState.DECLINED, OfferState.LAPSED)
COPIED = (
    "position",
    "kind",
    "bed_id",
    "plant_id",
    "description",
    "count_rule",
    "spacing_text",
    "spacing_m",
    "quantity",
    "unit",
    "computed_quantity",
    "formula",
    "typed",
    "unit_cost",
    "unit_price",
    "price_is_typed",
    "is_taxed",
    "cost",
    "price",
)
COPIED_OF_PLANS = (
    "bed_id",
    "pattern",
    "seen_from",
    "edge_text",
    "edge_m",
    "row_gap_text",
    "row_gap_m",
    "arrangement",
    "layout",
    "laid_out_at",
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
    garden = Garden.objects.select_related("client").filter(pk=garden_id).first()
    if garden is None:
        raise NoSuchQuote
    firm = firm_or_blank()
    day = local_day(now, firm)
    tax_name, tax_percent = tax_for(client=garden.client, day=day)
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
        tax_name=tax_name,
        tax_percent=tax_percent,
        tax_rounding=firm.tax_rounding,
        **vars(details),
    )
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
        .select_related("garden__client")
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
        garden=old.garden,
        number=old.number,
        revision=old.revision + 1,
        title=old.title,
        words=old.words,
        terms=old.terms,
        margin_percent=old.margin_percent,
        valid_until=old.valid_until if stands else None,
    )
    QuoteLine.objects.bulk_create(
        QuoteLine(quote=new, **{name: getattr(line, name) for name in COPIED})
        for line in old.lines.order_by("position", "id")
    )
    BedPlan.objects.bulk_create(
        BedPlan(quote=new, **{name: getattr(plan, name) for name in COPIED_OF_PLANS})
        for plan in old.plans.order_by("id")
    )
    settle(quote=new, day=day)
    record(
        action="quote revised",
        subject=new,
        summary=f"{old} is revised as {new}",
        now=now,
        by=by,
    )
    return new
