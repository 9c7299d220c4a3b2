"""Finding a private link by its key, and how what it opens stands."""

import datetime as dt
import hashlib
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from jobs.enums import LinkPurpose, OfferState
from jobs.models import Agreement, PrivateLink


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


@dataclass(frozen=True, kw_only=True)
class QuoteByLink:
    """A quote as its private link shows it."""

    link: PrivateLink | None
    state: LinkState
    paper: dict[str, Any]
    agreement: Agreement | None
    decided_at: dt.datetime | None


def quote_by_link(*, key: str, now: dt.datetime) -> QuoteByLink:
    """The quote that KEY opens, as it was issued, and how it stands at NOW."""
    link = link_by_key(key=key)
    quote = link.document.quote if link else None
    if link is None or quote is None or link.purpose != LinkPurpose.QUOTE:
        return QuoteByLink(
            link=None,
            state=LinkState.UNKNOWN,
            paper={},
            agreement=None,
            decided_at=None,
        )
    return QuoteByLink(
        link=link,
        state=_state(link, OfferState(quote.state), now),
        paper=link.document.snapshot,
        agreement=Agreement.objects.filter(quote=quote).first(),
        decided_at=quote.decided_at,
    )


def _state(link: PrivateLink, offer: OfferState, now: dt.datetime) -> LinkState:
    """Why the link opens nothing, or how its offer stands."""
    if link.withdrawn_at is not None:
        return LinkState.WITHDRAWN
    decided = {
        OfferState.AGREED: LinkState.AGREED,
        OfferState.DECLINED: LinkState.DECLINED,
        OfferState.REPLACED: LinkState.REPLACED,
        OfferState.LAPSED: LinkState.EXPIRED,
    }
    if offer in decided:
        return decided[offer]
    if link.expires_at is not None and link.expires_at <= now:
        return LinkState.EXPIRED
    return LinkState.OPEN
