"""Offering a care contract, taking the offer back, and offers that run out."""

import datetime as dt
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from firm.models import Person
from firm.queries import firm_or_blank
from jobs.actions.contracts.drafts import keep_plan, take_contract_draft
from jobs.actions.contracts.refusals import (
    ContractNotDrafting,
    ContractNotOffered,
    ContractOfferPast,
    NoSuchContract,
    NothingPlanned,
    PriceIsNothing,
)
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
from jobs.actions.quotes.lines import local_day
from jobs.enums import ContractState, DocumentKind, LinkPurpose
from jobs.models import Contract, Document, PrivateLink
from jobs.queries.contracts import contract_paper, visits_in


def _paper(contract: Contract, day: dt.date, language: str) -> dict[str, Any]:
    return contract_paper(contract=contract, day=day, language=language)


CONTRACTS = Offering(
    word="contract",
    rows=Contract,
    states=ContractState,
    document_kind=DocumentKind.CONTRACT,
    purpose=LinkPurpose.CONTRACT,
    paper=_paper,
    no_such=NoSuchContract,
    not_drafting=ContractNotDrafting,
    not_offered=ContractNotOffered,
)


@dataclass(frozen=True, kw_only=True)
class OfferedContract:
    """An offer that went out: its paper, and the private link when it is mailed."""

    contract: Contract
    document: Document
    link: PrivateLink | None


@transaction.atomic
def offer_contract(
    *,
    contract_id: int,
    version: int,
    contact_id: int | None,
    valid_until: dt.date,
    by: Person,
    now: dt.datetime,
) -> OfferedContract:
    """The contract offered until VALID_UNTIL, by mail to a contact or else on paper.

    Its plan is proved once more, the day's tax and rates are copied, the paper is
    issued and fixed, and the offer before it is replaced; a running contract of an
    older revision runs on until the yes.
    """
    day = local_day(now, firm_or_blank())
    contract = take_contract_draft(contract_id=contract_id, version=version)
    if not day <= valid_until <= contract.ends_on:
        raise ContractOfferPast
    contact = chosen_contact(CONTRACTS, offer=contract, contact_id=contact_id)
    if not visits_in(contract.plan):
        raise NothingPlanned
    keep_plan(contract=contract, plan=contract.plan, day=day)
    if contract.gross <= 0:
        raise PriceIsNothing
    replace_older(CONTRACTS, offer=contract)
    document, link = put_out(
        CONTRACTS,
        offer=contract,
        contact=contact,
        valid_until=valid_until,
        day=day,
        by=by,
        now=now,
    )
    return OfferedContract(contract=contract, document=document, link=link)


@transaction.atomic
def send_contract_again(
    *, contract_id: int, contact_id: int, by: Person, now: dt.datetime
) -> PrivateLink:
    """Another private link to the same offer, mailed to a contact."""
    return send_once_more(
        CONTRACTS, offer_id=contract_id, contact_id=contact_id, by=by, now=now
    )


@transaction.atomic
def withdraw_contract_link(
    *, contract_id: int, link_id: int, by: Person, now: dt.datetime
) -> PrivateLink:
    """One private link of the contract, which opens nothing any more."""
    return take_link_back(
        CONTRACTS, offer_id=contract_id, link_id=link_id, by=by, now=now
    )


@transaction.atomic
def withdraw_contract_offer(
    *, contract_id: int, reason: str, by: Person, now: dt.datetime
) -> Contract:
    """The contract lapsed before its last day, all its private links withdrawn."""
    return take_back(CONTRACTS, offer_id=contract_id, reason=reason, by=by, now=now)


@transaction.atomic
def record_contract_decline(
    *, contract_id: int, no: No, by: Person, now: dt.datetime
) -> Contract:
    """The contract declined, as the client told the owner."""
    return note_no(CONTRACTS, offer_id=contract_id, no=no, by=by, now=now)


@transaction.atomic
def decline_contract_by_link(*, link_id: int, no: No, now: dt.datetime) -> Contract:
    """The contract declined by the client on the private page; the owner is told."""
    return no_by_link(CONTRACTS, link_id=link_id, no=no, now=now)


def lapse_contracts(*, now: dt.datetime) -> int:
    """How many offers ran out: their last day is over and nobody has answered."""
    return let_lapse(CONTRACTS, day=local_day(now, firm_or_blank()), now=now)
