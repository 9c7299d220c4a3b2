"""The one yes to a quote: by the client on the private page, or written down."""

import datetime as dt

from django.db import transaction
from django.db.models import F, Q
from django.utils.translation import gettext as _

from firm.actions.files import Prepared, store_scan
from firm.actions.messages import queue
from firm.actions.record import record
from firm.models import Person
from firm.queries import firm_or_blank
from jobs.actions.links import take_link
from jobs.actions.quotes.refusals import NoSuchQuote, NotOffered, QuoteRefused
from jobs.actions.work import open_planting_job
from jobs.enums import AgreedHow, LinkPurpose, OfferState
from jobs.models import Agreement, Quote
from jobs.queries.quotes import owner_address


class AlreadyAgreed(QuoteRefused):
    """Somebody said yes before; says who and when."""

    def __init__(self, agreement: Agreement) -> None:
        super().__init__(
            _("This quote was already agreed to by %(name)s.")
            % {"name": agreement.name}
        )
        self.agreement = agreement


class AgreedBeforeOffered(QuoteRefused):
    """The moment of the yes lies before the offer or in the future."""

    def __init__(self) -> None:
        super().__init__(
            _("The client can only have agreed between the offer and now.")
        )


class AgreedTooLate(QuoteRefused):
    """The yes came after the last day of the offer."""

    def __init__(self) -> None:
        super().__init__(
            _("The offer no longer stood on that day. Revise the quote and offer it.")
        )


@transaction.atomic
def agree_by_link(*, link_id: int, name: str, now: dt.datetime) -> Agreement:
    """The client's yes on the private page: agreement, job and letters, exactly once.

    LinkClosed, AlreadyAgreed or NotOffered say why it is refused.
    """
    link = take_link(link_id=link_id, purpose=LinkPurpose.QUOTE, now=now)
    quote_id = link.document.quote_id
    if quote_id is None:
        raise NoSuchQuote
    return _agree(
        quote_id=quote_id,
        how=AgreedHow.LINK,
        name=name,
        agreed_at=now,
        note="",
        scan="",
        confirm_to=link.recipient,
        by=None,
        now=now,
        stands=Q(state=OfferState.OFFERED),
    )


@transaction.atomic
def record_agreement(
    *,
    quote_id: int,
    how: AgreedHow,
    name: str,
    agreed_at: dt.datetime,
    agreed_on: dt.date,
    note: str,
    scan: Prepared | None,
    confirm_to: str,
    by: Person,
    now: dt.datetime,
) -> Agreement:
    """The client's yes by telephone or on paper, as the owner wrote it down.

    AGREED_ON is the firm's day of AGREED_AT; a confirmation goes to CONFIRM_TO if any.
    """
    quote = Quote.objects.filter(pk=quote_id).first()
    if quote is None:
        raise NoSuchQuote
    if quote.offered_at is not None and quote.valid_until is not None:
        # A minute is all that a form can say.
        offered = quote.offered_at.replace(second=0, microsecond=0)
        if not offered <= agreed_at <= now:
            raise AgreedBeforeOffered
        if agreed_on > quote.valid_until:
            raise AgreedTooLate
    return _agree(
        quote_id=quote_id,
        how=how,
        name=name,
        agreed_at=agreed_at,
        note=note,
        scan=store_scan(scan) if scan else "",
        confirm_to=confirm_to,
        by=by,
        now=now,
        # A yes that was given in time and is written down after the offer ran out.
        stands=Q(state=OfferState.OFFERED)
        | Q(state=OfferState.LAPSED, decided_at__gt=agreed_at),
    )


def _agree(
    *,
    quote_id: int,
    stands: Q,
    how: AgreedHow,
    name: str,
    agreed_at: dt.datetime,
    note: str,
    scan: str,
    confirm_to: str,
    by: Person | None,
    now: dt.datetime,
) -> Agreement:
    changed = Quote.objects.filter(stands, pk=quote_id).update(
        state=OfferState.AGREED, decided_at=agreed_at, version=F("version") + 1
    )
    quote = (
        Quote.objects.select_related("garden__client", "document")
        .filter(pk=quote_id)
        .first()
    )
    if quote is None:
        raise NoSuchQuote
    if changed != 1:
        before = Agreement.objects.filter(quote=quote).first()
        if before is not None:
            raise AlreadyAgreed(before)
        raise NotOffered(quote.get_state_display())
    agreement = Agreement.objects.create(
        quote=quote,
        how=how,
        name=name,
        agreed_at=agreed_at,
        recorded_by=by,
        recorded_at=now,
        note=note,
        scan=scan,
        document_sha256=quote.document.sha256,
    )
    open_planting_job(quote=quote, now=now, by=by)
    _tell(quote=quote, confirm_to=confirm_to, tell_owner=by is None, now=now)
    record(
        action="quote agreed",
        subject=quote,
        summary=f"{quote} agreed by {name} {agreement.get_how_display()}",
        now=now,
        by=by,
        by_words="" if by else name,
        details={"agreement": agreement.pk, "sha256": agreement.document_sha256},
    )
    return agreement


def _tell(*, quote: Quote, confirm_to: str, tell_owner: bool, now: dt.datetime) -> None:
    """Queue the client's confirmation and the owner's note."""
    if confirm_to:
        queue(
            key=f"quote agreed:{quote.pk}",
            kind="quote agreed",
            recipient=confirm_to,
            payload={"quote": quote.pk},
            due_at=now,
            language=quote.garden.client.language,
            now=now,
        )
    address = owner_address() if tell_owner else ""
    if address:
        queue(
            key=f"quote agreed note:{quote.pk}",
            kind="quote agreed note",
            recipient=address,
            payload={"quote": quote.pk},
            due_at=now,
            language=firm_or_blank().language,
            now=now,
        )
