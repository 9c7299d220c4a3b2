"""The one yes to an offer, on the private page or written down, and to a quote."""

import datetime as dt
from collections.abc import Callable, Collection
from dataclasses import dataclass, replace

from django.db import transaction
from django.db.models import F, Q
from django.utils.translation import gettext as _

from firm.actions.files import Prepared, store_scan
from firm.actions.messages import queue
from firm.actions.record import record
from firm.models import Person
from jobs.actions.links import take_link
from jobs.actions.offering import Offering, Row, tell_owner
from jobs.actions.quotes.agreed import settle_agreement
from jobs.actions.quotes.offers import QUOTES
from jobs.actions.quotes.refusals import QuoteRefused
from jobs.actions.work import add_to_job, open_planting_job
from jobs.enums import AgreedHow, ContractState, OfferState
from jobs.models import Agreement


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


@dataclass(frozen=True, kw_only=True)
class Yes:
    """A yes to one offer: who gave it, how and when; STANDS: what it can be given to.

    BY is who wrote it down, None when the client gave it on the private page.
    """

    offer_id: int
    stands: Q
    how: AgreedHow
    name: str
    agreed_at: dt.datetime
    note: str
    scan: str
    confirm_to: str
    by: Person | None
    now: dt.datetime
    # The options of a quote that are taken; the others are left.
    taken: tuple[int, ...] = ()

    @property
    def by_words(self) -> str:
        """Who said it, where no person of the firm wrote it down."""
        return "" if self.by else self.name


def yes_by_link(
    kind: Offering[Row], *, link_id: int, name: str, now: dt.datetime
) -> Yes:
    """A yes given on the private page; LinkClosed says that it opens nothing."""
    link = take_link(link_id=link_id, purpose=kind.purpose, now=now)
    return Yes(
        offer_id=kind.id_behind(link),
        stands=Q(state=kind.states.OFFERED),
        how=AgreedHow.LINK,
        name=name,
        agreed_at=now,
        note="",
        scan="",
        confirm_to=link.recipient,
        by=None,
        now=now,
    )


def yes_written_down(
    kind: Offering[Row],
    *,
    offer_id: int,
    how: AgreedHow,
    name: str,
    agreed_at: dt.datetime,
    agreed_on: dt.date,
    note: str,
    scan: Prepared | None,
    confirm_to: str,
    by: Person,
    now: dt.datetime,
) -> Yes:
    """A yes by telephone or on paper, given while the offer stood."""
    offer = kind.rows.objects.filter(pk=offer_id).first()
    if offer is None:
        raise kind.no_such
    if offer.offered_at is not None and offer.valid_until is not None:
        # A minute is all that a form can say.
        offered = offer.offered_at.replace(second=0, microsecond=0)
        if not offered <= agreed_at <= now:
            raise AgreedBeforeOffered
        if agreed_on > offer.valid_until:
            raise AgreedTooLate
    return Yes(
        offer_id=offer_id,
        # A yes that was given in time and is written down after the offer ran out.
        stands=Q(state=kind.states.OFFERED)
        | Q(state=kind.states.LAPSED, decided_at__gt=agreed_at),
        how=how,
        name=name,
        agreed_at=agreed_at,
        note=note,
        scan=store_scan(scan) if scan else "",
        confirm_to=confirm_to,
        by=by,
        now=now,
    )


def take_yes(
    kind: Offering[Row],
    *,
    yes: Yes,
    becomes: OfferState | ContractState,
    already: Callable[[Agreement], Exception],
) -> tuple[Row, Agreement]:
    """The offer, agreed, and its agreement with the hash of the paper; only once."""
    changed = kind.rows.objects.filter(yes.stands, pk=yes.offer_id).update(
        state=becomes, decided_at=yes.agreed_at, version=F("version") + 1
    )
    offer = (
        kind.rows.objects.select_related("garden__client", "document")
        .filter(pk=yes.offer_id)
        .first()
    )
    if offer is None:
        raise kind.no_such
    if changed != 1:
        before = Agreement.objects.filter(**{kind.word: offer}).first()
        if before is not None:
            raise already(before)
        raise kind.not_offered(offer.get_state_display())
    agreement = Agreement.objects.create(
        how=yes.how,
        name=yes.name,
        agreed_at=yes.agreed_at,
        recorded_by=yes.by,
        recorded_at=yes.now,
        note=yes.note,
        scan=yes.scan,
        document_sha256=offer.document.sha256,
        **{kind.word: offer},
    )
    return offer, agreement


def tell_of_yes(
    kind: Offering[Row], *, offer: Row, agreement: Agreement, yes: Yes
) -> None:
    """Queue the confirmation and the owner's note, and put the yes on record."""
    if yes.confirm_to:
        queue(
            key=f"{kind.word} agreed:{offer.pk}",
            kind=f"{kind.word} agreed",
            recipient=yes.confirm_to,
            payload={kind.word: offer.pk},
            due_at=yes.now,
            language=offer.garden.client.language,
            now=yes.now,
        )
    if yes.by is None:
        tell_owner(kind, offer=offer, answer="agreed", now=yes.now)
    record(
        action=f"{kind.word} agreed",
        subject=offer,
        summary=f"{offer} agreed by {yes.name} {agreement.get_how_display()}",
        now=yes.now,
        by=yes.by,
        by_words=yes.by_words,
        details={"agreement": agreement.pk, "sha256": agreement.document_sha256},
    )


@transaction.atomic
def agree_by_link(
    *, link_id: int, name: str, now: dt.datetime, taken: Collection[int] = ()
) -> Agreement:
    """The client's yes on the private page: agreement, job and letters, exactly once.

    TAKEN are the options that they want. LinkClosed, AlreadyAgreed, NotOffered or
    NoSuchChoice say why it is refused.
    """
    yes = yes_by_link(QUOTES, link_id=link_id, name=name, now=now)
    return _agree(replace(yes, taken=tuple(taken)))


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
    taken: Collection[int] = (),
) -> Agreement:
    """The client's yes by telephone or on paper, as the owner wrote it down.

    AGREED_ON is the firm's day of AGREED_AT; a confirmation goes to CONFIRM_TO if any.
    """
    yes = yes_written_down(
        QUOTES,
        offer_id=quote_id,
        how=how,
        name=name,
        agreed_at=agreed_at,
        agreed_on=agreed_on,
        note=note,
        scan=scan,
        confirm_to=confirm_to,
        by=by,
        now=now,
    )
    return _agree(replace(yes, taken=tuple(taken)))


def _agree(yes: Yes) -> Agreement:
    """The agreement to a quote: its job is open, or has what comes on top of it."""
    quote, agreement = take_yes(
        QUOTES, yes=yes, becomes=OfferState.AGREED, already=AlreadyAgreed
    )
    settle_agreement(quote=quote, agreement=agreement, taken=yes.taken)
    # What was found while a job runs is agreed to as a part of that job.
    if quote.addition_to_id is None:
        open_planting_job(quote=quote, now=yes.now, by=yes.by)
    else:
        add_to_job(quote=quote, now=yes.now, by=yes.by)
    tell_of_yes(QUOTES, offer=quote, agreement=agreement, yes=yes)
    return agreement
