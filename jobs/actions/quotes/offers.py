"""Offering a quote, taking the offer back, and offers that run out."""

import datetime as dt
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from firm.models import Person
from firm.queries import firm_or_blank
from jobs.actions.offering import (
    No,
    Offering,
    chosen_contact,
    let_lapse,
    no_by_link,
    note_no,
    put_out,
    replace_older,
    send_once_more,
    take_back,
    take_link_back,
)
from jobs.actions.quotes.lines import local_day, settle, take_draft
from jobs.actions.quotes.refusals import (
    LastDayPast,
    NoSuchQuote,
    NotDrafting,
    NothingToOffer,
    NotOffered,
    OlderRevisionAgreed,
    PricesToLookAt,
)
from jobs.enums import DocumentKind, LinkPurpose, OfferState
from jobs.models import Document, PrivateLink, Quote
from jobs.queries.quote_paper import quote_paper
from jobs.queries.suppliers import prices_open


def _paper(quote: Quote, day: dt.date, language: str) -> dict[str, Any]:
    return quote_paper(quote=quote, day=day, language=language)


QUOTES = Offering(
    word="quote",
    rows=Quote,
    states=OfferState,
    document_kind=DocumentKind.QUOTE,
    purpose=LinkPurpose.QUOTE,
    paper=_paper,
    no_such=NoSuchQuote,
    not_drafting=NotDrafting,
    not_offered=NotOffered,
)


@dataclass(frozen=True, kw_only=True)
class Offered:
    """An offer that went out: its paper, and the private link when it is mailed."""

    quote: Quote
    document: Document
    link: PrivateLink | None


@transaction.atomic
def offer(
    *,
    quote_id: int,
    version: int,
    contact_id: int | None,
    valid_until: dt.date,
    by: Person,
    now: dt.datetime,
) -> Offered:
    """The quote offered until VALID_UNTIL, by mail to a contact or else on paper.

    The day's tax is copied, the paper is issued and fixed, the revision before it is
    replaced.
    """
    day = local_day(now, firm_or_blank())
    if valid_until < day:
        raise LastDayPast
    quote = take_draft(quote_id=quote_id, version=version)
    contact = chosen_contact(QUOTES, offer=quote, contact_id=contact_id)
    if not quote.lines.exists():
        raise NothingToOffer
    if waiting := prices_open(quote_id=quote.pk, day=day):
        raise PricesToLookAt(len(waiting))
    settle(quote=quote, day=day)
    replace_older(QUOTES, offer=quote)
    # Read only now: an agreement that was being written has been waited for.
    agreed = Quote.objects.filter(
        number=quote.number, revision__lt=quote.revision, state=OfferState.AGREED
    ).first()
    if agreed is not None:
        raise OlderRevisionAgreed(agreed.revision)
    document, link = put_out(
        QUOTES,
        offer=quote,
        contact=contact,
        valid_until=valid_until,
        day=day,
        by=by,
        now=now,
    )
    return Offered(quote=quote, document=document, link=link)


@transaction.atomic
def send_again(
    *, quote_id: int, contact_id: int, by: Person, now: dt.datetime
) -> PrivateLink:
    """Another private link to the same offer, mailed to a contact."""
    return send_once_more(
        QUOTES, offer_id=quote_id, contact_id=contact_id, by=by, now=now
    )


@transaction.atomic
def withdraw_quote_link(
    *, quote_id: int, link_id: int, by: Person, now: dt.datetime
) -> PrivateLink:
    """One private link of the quote, which opens nothing any more."""
    return take_link_back(QUOTES, offer_id=quote_id, link_id=link_id, by=by, now=now)


@transaction.atomic
def withdraw_offer(
    *, quote_id: int, reason: str, by: Person, now: dt.datetime
) -> Quote:
    """The quote lapsed before its last day, all its private links withdrawn."""
    return take_back(QUOTES, offer_id=quote_id, reason=reason, by=by, now=now)


@transaction.atomic
def record_decline(*, quote_id: int, no: No, by: Person, now: dt.datetime) -> Quote:
    """The quote declined, as the client told the owner."""
    return note_no(QUOTES, offer_id=quote_id, no=no, by=by, now=now)


@transaction.atomic
def decline_by_link(*, link_id: int, no: No, now: dt.datetime) -> Quote:
    """The quote declined by the client on the private page; the owner is told."""
    return no_by_link(QUOTES, link_id=link_id, no=no, now=now)


def lapse_offers(*, now: dt.datetime) -> int:
    """How many offers ran out: their last day is over and nobody has answered."""
    return let_lapse(QUOTES, day=local_day(now, firm_or_blank()), now=now)
