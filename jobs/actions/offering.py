"""What quotes and care contracts share: an offer goes out, comes back, runs out."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Generic, Literal, TypeVar

from django.db import transaction
from django.db.models import F

from firm.actions.messages import queue
from firm.actions.record import record
from firm.geo import local_moment
from firm.models import Contact, Person
from firm.queries import firm_or_blank
from jobs.actions.documents import issue
from jobs.actions.links import make_link, take_link, withdraw_link
from jobs.enums import (
    ContractState,
    DeclineReason,
    DocumentKind,
    LinkPurpose,
    OfferState,
)
from jobs.models import Contract, Document, PrivateLink, Quote
from jobs.queries.quotes import owner_address

Row = TypeVar("Row", Quote, Contract)


@dataclass(frozen=True, kw_only=True)
class No:
    """Why an offer was declined: one of a few reasons, and words, as far as said."""

    why: DeclineReason | Literal[""] = ""
    words: str = ""

    @property
    def words_after(self) -> str:
        """The reason as a sentence of the record goes on with it."""
        said = [str(self.why), self.words]
        return "".join(f": {part}" for part in said if part)


NOT_SAID = No()


@dataclass(frozen=True, kw_only=True)
class Offering(Generic[Row]):
    """One kind of offer: its rows and states, its paper, and how it is refused.

    WORD is its column in documents and agreements and the id in its letters, and it
    begins the names of its letters and of its entries in the record.
    """

    word: str
    rows: type[Row]
    states: type[OfferState] | type[ContractState]
    document_kind: DocumentKind
    purpose: LinkPurpose
    paper: Callable[[Row, dt.date, str], dict[str, Any]]
    no_such: type[Exception]
    not_drafting: type[Exception]
    not_offered: Callable[[str], Exception]

    def id_behind(self, link: PrivateLink) -> int:
        """The id of the offer whose paper LINK opens."""
        found: int | None = getattr(link.document, f"{self.word}_id")
        if found is None:
            raise self.no_such
        return found


# All below but let_lapse is called inside the transaction of the action it is part of.


def chosen_contact(
    kind: Offering[Row], *, offer: Row, contact_id: int | None
) -> Contact | None:
    """The chosen contact of the client, with a mail address; None for paper."""
    if contact_id is None:
        return None
    contact = offer.garden.client.contacts.filter(pk=contact_id).first()
    if contact is None or not contact.email:
        raise kind.no_such
    return contact


def replace_older(kind: Offering[Row], *, offer: Row) -> None:
    """The offers of the revisions before this one stand back; a no stays a no."""
    older = kind.rows.objects.filter(number=offer.number, revision__lt=offer.revision)
    older.filter(state__in=(kind.states.OFFERED, kind.states.LAPSED)).update(
        state=kind.states.REPLACED, version=F("version") + 1
    )
    older.filter(revision=offer.revision - 1, replaced_by__isnull=True).update(
        replaced_by=offer
    )


def put_out(
    kind: Offering[Row],
    *,
    offer: Row,
    contact: Contact | None,
    valid_until: dt.date,
    day: dt.date,
    by: Person,
    now: dt.datetime,
) -> tuple[Document, PrivateLink | None]:
    """The draft is an open offer: its paper as issued, and its link when it is mailed.

    The row is read again from the database.
    """
    offered = kind.rows.objects.filter(
        pk=offer.pk, state=kind.states.DRAFTING, version=offer.version
    ).update(state=kind.states.OFFERED, offered_at=now, valid_until=valid_until)
    if offered != 1:
        raise kind.not_drafting
    offer.refresh_from_db()
    language = offer.garden.client.language
    column: dict[str, Any] = {kind.word: offer}
    document = issue(
        kind=kind.document_kind,
        number=str(offer),
        garden=offer.garden,
        snapshot=kind.paper(offer, day, language),
        now=now,
        by=by,
        language=language,
        **column,
    )
    record(
        action=f"{kind.word} offered",
        subject=offer,
        summary=f"{offer} offered"
        f" {f'to {contact.name} by mail' if contact else 'on paper'}"
        f" until {valid_until:%Y-%m-%d}",
        now=now,
        by=by,
    )
    if contact is None:
        return document, None
    return document, _send(kind, offer=offer, contact=contact, by=by, now=now)


def send_once_more(
    kind: Offering[Row], *, offer_id: int, contact_id: int, by: Person, now: dt.datetime
) -> PrivateLink:
    """Another private link to the same offer, mailed to a contact."""
    offer = (
        kind.rows.objects.select_related("garden__client", "document")
        .filter(pk=offer_id)
        .first()
    )
    if offer is None:
        raise kind.no_such
    if offer.state != kind.states.OFFERED:
        raise kind.not_offered(offer.get_state_display())
    contact = chosen_contact(kind, offer=offer, contact_id=contact_id)
    if contact is None:
        raise kind.no_such
    link = _send(kind, offer=offer, contact=contact, by=by, now=now)
    record(
        action=f"{kind.word} sent again",
        subject=offer,
        summary=f"{offer} sent to {contact.name}",
        now=now,
        by=by,
    )
    return link


def _send(
    kind: Offering[Row], *, offer: Row, contact: Contact, by: Person, now: dt.datetime
) -> PrivateLink:
    """The new private link to the paper, with the mail that carries it queued."""
    if offer.valid_until is None:
        raise kind.no_such
    after = offer.valid_until + dt.timedelta(days=1)
    expires_at = local_moment(after, dt.time(0), firm_or_blank().time_zone)
    link = make_link(
        document=offer.document,
        purpose=kind.purpose,
        recipient=contact.email,
        now=now,
        expires_at=expires_at,
        by=by,
    )
    queue(
        key=f"{kind.word} offered:{link.pk}",
        kind=f"{kind.word} offered",
        recipient=contact.email,
        payload={"link": link.pk, "name": contact.name},
        due_at=now,
        too_late_at=expires_at,
        language=offer.document.language,
        now=now,
    )
    return link


def take_link_back(
    kind: Offering[Row], *, offer_id: int, link_id: int, by: Person, now: dt.datetime
) -> PrivateLink:
    """One private link of the offer, which opens nothing any more."""
    link = PrivateLink.objects.filter(
        pk=link_id,
        purpose=kind.purpose,
        **{f"document__{kind.word}_id": offer_id},
    ).first()
    if link is None:
        raise kind.no_such
    return withdraw_link(link=link, now=now, by=by)


def take_back(
    kind: Offering[Row], *, offer_id: int, reason: str, by: Person, now: dt.datetime
) -> Row:
    """The offer lapsed before its last day, all its private links withdrawn."""
    offer = _decided(kind, offer_id, state=kind.states.LAPSED, now=now)
    links = PrivateLink.objects.filter(
        withdrawn_at__isnull=True, **{f"document__{kind.word}": offer}
    )
    for link in links.select_related("document").order_by("id"):
        withdraw_link(link=link, now=now, by=by)
    record(
        action=f"{kind.word} withdrawn",
        subject=offer,
        summary=f"{offer} withdrawn: {reason}",
        now=now,
        by=by,
    )
    return offer


def note_no(
    kind: Offering[Row], *, offer_id: int, no: No, by: Person, now: dt.datetime
) -> Row:
    """The offer declined, as the client told the owner."""
    offer = _decided(kind, offer_id, state=kind.states.DECLINED, now=now, no=no)
    record(
        action=f"{kind.word} declined",
        subject=offer,
        summary=f"{offer} declined{no.words_after}",
        now=now,
        by=by,
    )
    return offer


def no_by_link(kind: Offering[Row], *, link_id: int, no: No, now: dt.datetime) -> Row:
    """The offer declined by the client on the private page; the owner is told."""
    link = take_link(link_id=link_id, purpose=kind.purpose, now=now)
    offer = _decided(
        kind,
        kind.id_behind(link),
        state=kind.states.DECLINED,
        now=now,
        no=no,
    )
    record(
        action=f"{kind.word} declined",
        subject=offer,
        summary=f"{offer} declined on the private page{no.words_after}",
        now=now,
        by=None,
        by_words=link.recipient,
    )
    tell_owner(kind, offer=offer, answer="declined", now=now)
    return offer


def tell_owner(
    kind: Offering[Row], *, offer: Row, answer: str, now: dt.datetime
) -> None:
    """Queue the owner's note of an answer on the private page, if the firm has mail."""
    address = owner_address()
    if address:
        queue(
            key=f"{kind.word} {answer} note:{offer.pk}",
            kind=f"{kind.word} {answer} note",
            recipient=address,
            payload={kind.word: offer.pk},
            due_at=now,
            language=firm_or_blank().language,
            now=now,
        )


def _decided(
    kind: Offering[Row],
    offer_id: int,
    *,
    state: OfferState | ContractState,
    now: dt.datetime,
    no: No = NOT_SAID,
) -> Row:
    """The offer, no longer open; refused when it was decided before."""
    changed = kind.rows.objects.filter(pk=offer_id, state=kind.states.OFFERED).update(
        state=state,
        decided_at=now,
        declined_as=no.why,
        declined_reason=no.words,
        version=F("version") + 1,
    )
    offer = kind.rows.objects.filter(pk=offer_id).first()
    if offer is None:
        raise kind.no_such
    if changed != 1:
        raise kind.not_offered(offer.get_state_display())
    return offer


def let_lapse(kind: Offering[Row], *, day: dt.date, now: dt.datetime) -> int:
    """How many offers ran out before DAY unanswered; each is its own transaction."""
    lapsed = 0
    over = kind.rows.objects.filter(state=kind.states.OFFERED, valid_until__lt=day)
    for offer in over.order_by("id"):
        with transaction.atomic():
            changed = over.filter(pk=offer.pk).update(
                state=kind.states.LAPSED, decided_at=now, version=F("version") + 1
            )
            if changed == 1:
                lapsed += 1
                record(
                    action=f"{kind.word} lapsed",
                    subject=offer,
                    summary=f"{offer} lapsed; it stood until"
                    f" {offer.valid_until:%Y-%m-%d}",
                    now=now,
                    by=None,
                )
    return lapsed
