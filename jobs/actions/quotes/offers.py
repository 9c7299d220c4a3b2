"""Offering a quote, taking the offer back, and offers that run out."""

import datetime as dt
from dataclasses import dataclass

from django.db import transaction
from django.db.models import F

from firm.actions.messages import queue
from firm.actions.record import record
from firm.geo import local_moment
from firm.models import Contact, Person
from firm.queries import firm_or_blank
from jobs.actions.documents import issue
from jobs.actions.links import make_link, take_link, withdraw_link
from jobs.actions.quotes.lines import local_day, settle, take_draft
from jobs.actions.quotes.refusals import (
    LastDayPast,
    NoSuchQuote,
    NotDrafting,
    NothingToOffer,
    NotOffered,
    OlderRevisionAgreed,
)
from jobs.enums import DocumentKind, LinkPurpose, OfferState
from jobs.models import Document, PrivateLink, Quote
from jobs.queries.quote_paper import quote_paper
from jobs.queries.quotes import owner_address

# What a newer revision takes the place of; a no stays a no.
REPLACED_FROM = (OfferState.OFFERED, OfferState.LAPSED)


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
    firm = firm_or_blank()
    day = local_day(now, firm)
    if valid_until < day:
        raise LastDayPast
    quote = take_draft(quote_id=quote_id, version=version)
    contact = _contact_of(quote, contact_id)
    if not quote.lines.exists():
        raise NothingToOffer
    settle(quote=quote, day=day)
    _replace_older(quote)
    offered = Quote.objects.filter(
        pk=quote.pk, state=OfferState.DRAFTING, version=quote.version
    ).update(state=OfferState.OFFERED, offered_at=now, valid_until=valid_until)
    if offered != 1:
        raise NotDrafting
    quote.refresh_from_db()
    language = quote.garden.client.language
    document = issue(
        kind=DocumentKind.QUOTE,
        number=str(quote),
        garden=quote.garden,
        snapshot=quote_paper(quote=quote, day=day, language=language),
        now=now,
        by=by,
        language=language,
        quote=quote,
    )
    record(
        action="quote offered",
        subject=quote,
        summary=f"{quote} offered"
        f" {f'to {contact.name} by mail' if contact else 'on paper'}"
        f" until {valid_until:%Y-%m-%d}",
        now=now,
        by=by,
    )
    link = None
    if contact:
        link = _send(document=document, contact=contact, by=by, now=now)
    return Offered(quote=quote, document=document, link=link)


@transaction.atomic
def send_again(
    *, quote_id: int, contact_id: int, by: Person, now: dt.datetime
) -> PrivateLink:
    """Another private link to the same offer, mailed to a contact."""
    quote = _open_offer(quote_id)
    contact = _contact_of(quote, contact_id)
    if contact is None:
        raise NoSuchQuote
    link = _send(document=quote.document, contact=contact, by=by, now=now)
    record(
        action="quote sent again",
        subject=quote,
        summary=f"{quote} sent to {contact.name}",
        now=now,
        by=by,
    )
    return link


@transaction.atomic
def withdraw_quote_link(
    *, quote_id: int, link_id: int, by: Person, now: dt.datetime
) -> PrivateLink:
    """One private link of the quote, which opens nothing any more."""
    link = PrivateLink.objects.filter(
        pk=link_id, document__quote_id=quote_id, purpose=LinkPurpose.QUOTE
    ).first()
    if link is None:
        raise NoSuchQuote
    return withdraw_link(link=link, now=now, by=by)


@transaction.atomic
def withdraw_offer(
    *, quote_id: int, reason: str, by: Person, now: dt.datetime
) -> Quote:
    """The quote lapsed before its last day, all its private links withdrawn."""
    quote = _decided(quote_id, state=OfferState.LAPSED, now=now)
    for link in _links_of(quote):
        withdraw_link(link=link, now=now, by=by)
    record(
        action="quote withdrawn",
        subject=quote,
        summary=f"{quote} withdrawn: {reason}",
        now=now,
        by=by,
    )
    return quote


@transaction.atomic
def record_decline(
    *, quote_id: int, reason: str, by: Person, now: dt.datetime
) -> Quote:
    """The quote declined, as the client told the owner."""
    quote = _decided(
        quote_id, state=OfferState.DECLINED, now=now, declined_reason=reason
    )
    record(
        action="quote declined",
        subject=quote,
        summary=f"{quote} declined: {reason}",
        now=now,
        by=by,
    )
    return quote


@transaction.atomic
def decline_by_link(*, link_id: int, reason: str, now: dt.datetime) -> Quote:
    """The quote declined by the client on the private page; the owner is told."""
    link = take_link(link_id=link_id, purpose=LinkPurpose.QUOTE, now=now)
    quote_id = link.document.quote_id
    if quote_id is None:
        raise NoSuchQuote
    quote = _decided(
        quote_id, state=OfferState.DECLINED, now=now, declined_reason=reason
    )
    record(
        action="quote declined",
        subject=quote,
        summary=f"{quote} declined on the private page: {reason}",
        now=now,
        by=None,
        by_words=link.recipient,
    )
    address = owner_address()
    if address:
        queue(
            key=f"quote declined note:{quote.pk}",
            kind="quote declined note",
            recipient=address,
            payload={"quote": quote.pk},
            due_at=now,
            language=firm_or_blank().language,
            now=now,
        )
    return quote


def lapse_offers(*, now: dt.datetime) -> int:
    """How many offers ran out: their last day is over and nobody has answered."""
    day = local_day(now, firm_or_blank())
    lapsed = 0
    over = Quote.objects.filter(state=OfferState.OFFERED, valid_until__lt=day)
    for quote in over.order_by("id"):
        with transaction.atomic():
            changed = Quote.objects.filter(
                pk=quote.pk, state=OfferState.OFFERED, valid_until__lt=day
            ).update(state=OfferState.LAPSED, decided_at=now, version=F("version") + 1)
            if changed == 1:
                lapsed += 1
                record(
                    action="quote lapsed",
                    subject=quote,
                    summary=f"{quote} lapsed; it stood until"
                    f" {quote.valid_until:%Y-%m-%d}",
                    now=now,
                    by=None,
                )
    return lapsed


def _contact_of(quote: Quote, contact_id: int | None) -> Contact | None:
    """The chosen contact of the client, with a mail address; None for paper."""
    if contact_id is None:
        return None
    contact = quote.garden.client.contacts.filter(pk=contact_id).first()
    if contact is None or not contact.email:
        raise NoSuchQuote
    return contact


def _replace_older(quote: Quote) -> None:
    """The revisions before QUOTE stand back, unless one of them was agreed."""
    older = Quote.objects.filter(number=quote.number, revision__lt=quote.revision)
    older.filter(state__in=REPLACED_FROM).update(
        state=OfferState.REPLACED, version=F("version") + 1
    )
    older.filter(revision=quote.revision - 1, replaced_by__isnull=True).update(
        replaced_by=quote
    )
    # Read only now: an agreement that was being written has been waited for.
    agreed = older.filter(state=OfferState.AGREED).first()
    if agreed is not None:
        raise OlderRevisionAgreed(agreed.revision)


def _send(
    *, document: Document, contact: Contact, by: Person, now: dt.datetime
) -> PrivateLink:
    """The new private link to the paper, with the mail that carries it queued."""
    quote = document.quote
    if quote is None or quote.valid_until is None:
        raise NoSuchQuote
    firm = firm_or_blank()
    after = quote.valid_until + dt.timedelta(days=1)
    expires_at = local_moment(after, dt.time(0), firm.time_zone)
    link = make_link(
        document=document,
        purpose=LinkPurpose.QUOTE,
        recipient=contact.email,
        now=now,
        expires_at=expires_at,
        by=by,
    )
    queue(
        key=f"quote offered:{link.pk}",
        kind="quote offered",
        recipient=contact.email,
        payload={"link": link.pk, "name": contact.name},
        due_at=now,
        too_late_at=expires_at,
        language=document.language,
        now=now,
    )
    return link


def _links_of(quote: Quote) -> list[PrivateLink]:
    return list(
        PrivateLink.objects.filter(document__quote=quote, withdrawn_at__isnull=True)
        .select_related("document")
        .order_by("id")
    )


def _open_offer(quote_id: int) -> Quote:
    quote = (
        Quote.objects.select_related("garden__client", "document")
        .filter(pk=quote_id)
        .first()
    )
    if quote is None:
        raise NoSuchQuote
    if quote.state != OfferState.OFFERED:
        raise NotOffered(quote.get_state_display())
    return quote


def _decided(
    quote_id: int, *, state: OfferState, now: dt.datetime, declined_reason: str = ""
) -> Quote:
    """The offer, no longer open; refused when it was decided before."""
    changed = Quote.objects.filter(pk=quote_id, state=OfferState.OFFERED).update(
        state=state,
        decided_at=now,
        declined_reason=declined_reason,
        version=F("version") + 1,
    )
    quote = Quote.objects.filter(pk=quote_id).first()
    if quote is None:
        raise NoSuchQuote
    if changed != 1:
        raise NotOffered(quote.get_state_display())
    return quote
