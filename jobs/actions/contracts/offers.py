"""Offering a care contract, taking the offer back, and offers that run out."""

import datetime as dt
from dataclasses import dataclass

from django.db import transaction
from django.db.models import F

from firm.actions.messages import queue
from firm.actions.record import record
from firm.geo import local_moment
from firm.models import Contact, Person
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
from jobs.actions.documents import issue
from jobs.actions.links import make_link, take_link, withdraw_link
from jobs.actions.quotes.lines import local_day
from jobs.enums import ContractState, DocumentKind, LinkPurpose
from jobs.models import Contract, Document, PrivateLink
from jobs.queries.contracts import contract_paper, visits_in
from jobs.queries.quotes import owner_address

# What a newer revision takes the place of; a running one runs on until the yes.
REPLACED_FROM = (ContractState.OFFERED, ContractState.LAPSED)


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
    issued and fixed, and the offer before it is replaced.
    """
    day = local_day(now, firm_or_blank())
    contract = take_contract_draft(contract_id=contract_id, version=version)
    if not day <= valid_until <= contract.ends_on:
        raise ContractOfferPast
    contact = _contact_of(contract, contact_id)
    if not visits_in(contract.plan):
        raise NothingPlanned
    keep_plan(contract=contract, plan=contract.plan, day=day)
    if contract.gross <= 0:
        raise PriceIsNothing
    _replace_older(contract)
    offered = Contract.objects.filter(
        pk=contract.pk, state=ContractState.DRAFTING, version=contract.version
    ).update(state=ContractState.OFFERED, offered_at=now, valid_until=valid_until)
    if offered != 1:
        raise ContractNotDrafting
    contract.refresh_from_db()
    language = contract.garden.client.language
    document = issue(
        kind=DocumentKind.CONTRACT,
        number=str(contract),
        garden=contract.garden,
        snapshot=contract_paper(contract=contract, day=day, language=language),
        now=now,
        by=by,
        language=language,
        contract=contract,
    )
    record(
        action="contract offered",
        subject=contract,
        summary=f"{contract} offered"
        f" {f'to {contact.name} by mail' if contact else 'on paper'}"
        f" until {valid_until:%Y-%m-%d}",
        now=now,
        by=by,
    )
    link = None
    if contact:
        link = _send(contract, document=document, contact=contact, by=by, now=now)
    return OfferedContract(contract=contract, document=document, link=link)


@transaction.atomic
def send_contract_again(
    *, contract_id: int, contact_id: int, by: Person, now: dt.datetime
) -> PrivateLink:
    """Another private link to the same offer, mailed to a contact."""
    contract = (
        Contract.objects.select_related("garden__client", "document")
        .filter(pk=contract_id)
        .first()
    )
    if contract is None:
        raise NoSuchContract
    if contract.state != ContractState.OFFERED:
        raise ContractNotOffered(contract.get_state_display())
    contact = _contact_of(contract, contact_id)
    if contact is None:
        raise NoSuchContract
    link = _send(contract, document=contract.document, contact=contact, by=by, now=now)
    record(
        action="contract sent again",
        subject=contract,
        summary=f"{contract} sent to {contact.name}",
        now=now,
        by=by,
    )
    return link


@transaction.atomic
def withdraw_contract_link(
    *, contract_id: int, link_id: int, by: Person, now: dt.datetime
) -> PrivateLink:
    """One private link of the contract, which opens nothing any more."""
    link = PrivateLink.objects.filter(
        pk=link_id, document__contract_id=contract_id, purpose=LinkPurpose.CONTRACT
    ).first()
    if link is None:
        raise NoSuchContract
    return withdraw_link(link=link, now=now, by=by)


@transaction.atomic
def withdraw_contract_offer(
    *, contract_id: int, reason: str, by: Person, now: dt.datetime
) -> Contract:
    """The contract lapsed before its last day, all its private links withdrawn."""
    contract = _decided(contract_id, state=ContractState.LAPSED, now=now)
    links = PrivateLink.objects.filter(
        document__contract=contract, withdrawn_at__isnull=True
    )
    for link in links.select_related("document").order_by("id"):
        withdraw_link(link=link, now=now, by=by)
    record(
        action="contract withdrawn",
        subject=contract,
        summary=f"{contract} withdrawn: {reason}",
        now=now,
        by=by,
    )
    return contract


@transaction.atomic
def record_contract_decline(
    *, contract_id: int, reason: str, by: Person, now: dt.datetime
) -> Contract:
    """The contract declined, as the client told the owner."""
    contract = _decided(
        contract_id, state=ContractState.DECLINED, now=now, declined_reason=reason
    )
    record(
        action="contract declined",
        subject=contract,
        summary=f"{contract} declined: {reason}",
        now=now,
        by=by,
    )
    return contract


@transaction.atomic
def decline_contract_by_link(
    *, link_id: int, reason: str, now: dt.datetime
) -> Contract:
    """The contract declined by the client on the private page; the owner is told."""
    link = take_link(link_id=link_id, purpose=LinkPurpose.CONTRACT, now=now)
    contract_id = link.document.contract_id
    if contract_id is None:
        raise NoSuchContract
    contract = _decided(
        contract_id, state=ContractState.DECLINED, now=now, declined_reason=reason
    )
    record(
        action="contract declined",
        subject=contract,
        summary=f"{contract} declined on the private page: {reason}",
        now=now,
        by=None,
        by_words=link.recipient,
    )
    address = owner_address()
    if address:
        queue(
            key=f"contract declined note:{contract.pk}",
            kind="contract declined note",
            recipient=address,
            payload={"contract": contract.pk},
            due_at=now,
            language=firm_or_blank().language,
            now=now,
        )
    return contract


def lapse_contracts(*, now: dt.datetime) -> int:
    """How many offers ran out: their last day is over and nobody has answered."""
    day = local_day(now, firm_or_blank())
    lapsed = 0
    over = Contract.objects.filter(state=ContractState.OFFERED, valid_until__lt=day)
    for contract in over.order_by("id"):
        with transaction.atomic():
            changed = Contract.objects.filter(
                pk=contract.pk, state=ContractState.OFFERED, valid_until__lt=day
            ).update(
                state=ContractState.LAPSED, decided_at=now, version=F("version") + 1
            )
            if changed == 1:
                lapsed += 1
                record(
                    action="contract lapsed",
                    subject=contract,
                    summary=f"{contract} lapsed; it stood until"
                    f" {contract.valid_until:%Y-%m-%d}",
                    now=now,
                    by=None,
                )
    return lapsed


def _contact_of(contract: Contract, contact_id: int | None) -> Contact | None:
    """The chosen contact of the client, with a mail address; None for paper."""
    if contact_id is None:
        return None
    contact = contract.garden.client.contacts.filter(pk=contact_id).first()
    if contact is None or not contact.email:
        raise NoSuchContract
    return contact


def _replace_older(contract: Contract) -> None:
    """The offers of this contract's revisions before it stand back."""
    older = Contract.objects.filter(
        number=contract.number, revision__lt=contract.revision
    )
    older.filter(state__in=REPLACED_FROM).update(
        state=ContractState.REPLACED, version=F("version") + 1
    )
    older.filter(revision=contract.revision - 1, replaced_by__isnull=True).update(
        replaced_by=contract
    )


def _send(
    contract: Contract,
    *,
    document: Document,
    contact: Contact,
    by: Person,
    now: dt.datetime,
) -> PrivateLink:
    """The new private link to the paper, with the mail that carries it queued."""
    if contract.valid_until is None:
        raise NoSuchContract
    after = contract.valid_until + dt.timedelta(days=1)
    expires_at = local_moment(after, dt.time(0), firm_or_blank().time_zone)
    link = make_link(
        document=document,
        purpose=LinkPurpose.CONTRACT,
        recipient=contact.email,
        now=now,
        expires_at=expires_at,
        by=by,
    )
    queue(
        key=f"contract offered:{link.pk}",
        kind="contract offered",
        recipient=contact.email,
        payload={"link": link.pk, "name": contact.name},
        due_at=now,
        too_late_at=expires_at,
        language=document.language,
        now=now,
    )
    return link


def _decided(
    contract_id: int,
    *,
    state: ContractState,
    now: dt.datetime,
    declined_reason: str = "",
) -> Contract:
    """The offer, no longer open; refused when it was decided before."""
    changed = Contract.objects.filter(
        pk=contract_id, state=ContractState.OFFERED
    ).update(
        state=state,
        decided_at=now,
        declined_reason=declined_reason,
        version=F("version") + 1,
    )
    contract = Contract.objects.filter(pk=contract_id).first()
    if contract is None:
        raise NoSuchContract
    if changed != 1:
        raise ContractNotOffered(contract.get_state_display())
    return contract
