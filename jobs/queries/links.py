"""Finding a private link by its key, and how what it opens stands."""

import datetime as dt
import hashlib
from collections.abc import Collection
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Any

from jobs.enums import ContractState, LinkPurpose, OfferState
from jobs.models import Agreement, Contract, PrivateLink, Quote, QuoteQuestion
from jobs.pricing import PricingError
from jobs.queries.quote_prices import gross_with, option_label


def link_by_key(*, key: str) -> PrivateLink | None:
    """The link whose key is KEY, withdrawn or not, with its document; None without."""
    return (
        PrivateLink.objects.filter(key_hash=hashlib.sha256(key.encode()).hexdigest())
        .select_related(
            "document__quote", "document__contract", "document__garden__client"
        )
        .first()
    )


class LinkState(StrEnum):
    """What somebody finds who comes by a private link to an offer."""

    OPEN = "open"
    AGREED = "agreed"
    DECLINED = "declined"
    REPLACED = "replaced"
    EXPIRED = "expired"
    WITHDRAWN = "withdrawn"
    UNKNOWN = "unknown"

    @classmethod
    def readable(cls) -> tuple["LinkState", ...]:
        """The states in which the offer can still be read."""
        return cls.OPEN, cls.AGREED, cls.DECLINED


# What the reader of the page finds; an open offer is in none of these states.
STANDS_AS: dict[str, LinkState] = {
    OfferState.AGREED: LinkState.AGREED,
    ContractState.RUNNING: LinkState.AGREED,
    ContractState.PAUSED: LinkState.AGREED,
    ContractState.ENDED: LinkState.AGREED,
    # Quotes and contracts say these three with the same words.
    OfferState.DECLINED: LinkState.DECLINED,
    OfferState.REPLACED: LinkState.REPLACED,
    OfferState.LAPSED: LinkState.EXPIRED,
}


@dataclass(frozen=True, kw_only=True)
class OfferByLink:
    """A quote or a care contract as its private link shows it."""

    link: PrivateLink | None
    state: LinkState
    paper: dict[str, Any]
    agreement: Agreement | None
    decided_at: dt.datetime | None

    @property
    def choices(self) -> list[tuple[int, str]]:
        """The options of the paper, as they were issued: id and title."""
        return [
            (
                int(option["id"]),
                option_label(option["title"], instead_of=option["instead_of"]),
            )
            for option in self.paper.get("options") or []
        ]


def whole_by_link(*, link: PrivateLink, taken: Collection[int]) -> Decimal:
    """What the quote behind LINK comes to with these options."""
    quote = link.document.quote
    if quote is None:
        raise PricingError("No quote stands behind this link.")
    return gross_with(quote=quote, taken=taken)


def quote_by_link(*, key: str, now: dt.datetime) -> OfferByLink:
    """The quote that KEY opens, as it was issued, and how it stands at NOW."""
    link = link_by_key(key=key)
    if link is None or link.purpose != LinkPurpose.QUOTE:
        return _behind(link, None, now)
    return _behind(link, link.document.quote, now)


def questions_by_link(*, found: OfferByLink) -> list[QuoteQuestion]:
    """What was asked about the quote that was found, the first question first."""
    if found.link is None:
        return []
    return list(
        QuoteQuestion.objects.filter(quote=found.link.document.quote_id).order_by(
            "asked_at", "id"
        )
    )


def contract_by_link(*, key: str, now: dt.datetime) -> OfferByLink:
    """The contract that KEY opens, as it was issued, and how it stands at NOW."""
    link = link_by_key(key=key)
    if link is None or link.purpose != LinkPurpose.CONTRACT:
        return _behind(link, None, now)
    return _behind(link, link.document.contract, now)


def _behind(
    link: PrivateLink | None, offer: Quote | Contract | None, now: dt.datetime
) -> OfferByLink:
    if link is None or offer is None:
        return OfferByLink(
            link=None,
            state=LinkState.UNKNOWN,
            paper={},
            agreement=None,
            decided_at=None,
        )
    state = STANDS_AS.get(offer.state, LinkState.OPEN)
    if link.withdrawn_at is not None:
        state = LinkState.WITHDRAWN
    elif state == LinkState.OPEN and link.expires_at and link.expires_at <= now:
        state = LinkState.EXPIRED
    return OfferByLink(
        link=link,
        state=state,
        paper=link.document.snapshot,
        agreement=getattr(offer, "agreement", None),
        decided_at=offer.decided_at,
    )
