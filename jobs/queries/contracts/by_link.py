"""A care contract as its private link shows it."""

import datetime as dt
from dataclasses import dataclass
from typing import Any

from jobs.enums import ContractState, LinkPurpose
from jobs.models import Agreement, PrivateLink
from jobs.queries.links import LinkState, link_by_key

STANDS_AS = {
    ContractState.RUNNING: LinkState.AGREED,
    ContractState.PAUSED: LinkState.AGREED,
    ContractState.ENDED: LinkState.AGREED,
    ContractState.DECLINED: LinkState.DECLINED,
    ContractState.REPLACED: LinkState.REPLACED,
    ContractState.LAPSED: LinkState.EXPIRED,
}


@dataclass(frozen=True, kw_only=True)
class ContractByLink:
    """What somebody finds who comes by a private link to a care contract."""

    link: PrivateLink | None
    state: LinkState
    paper: dict[str, Any]
    agreement: Agreement | None
    decided_at: dt.datetime | None


def contract_by_link(*, key: str, now: dt.datetime) -> ContractByLink:
    """The contract that KEY opens, as it was issued, and how it stands at NOW."""
    link = link_by_key(key=key)
    contract = link.document.contract if link else None
    if link is None or contract is None or link.purpose != LinkPurpose.CONTRACT:
        return ContractByLink(
            link=None,
            state=LinkState.UNKNOWN,
            paper={},
            agreement=None,
            decided_at=None,
        )
    state = STANDS_AS.get(ContractState(contract.state), LinkState.OPEN)
    if link.withdrawn_at is not None:
        state = LinkState.WITHDRAWN
    elif state == LinkState.OPEN and link.expires_at and link.expires_at <= now:
        state = LinkState.EXPIRED
    return ContractByLink(
        link=link,
        state=state,
        paper=link.document.snapshot,
        agreement=Agreement.objects.filter(contract=contract).first(),
        decided_at=contract.decided_at,
    )
