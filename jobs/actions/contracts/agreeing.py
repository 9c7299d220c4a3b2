"""The one yes to a care contract, and what begins with it: visits and instalments."""

import datetime as dt
from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.db.models import F, Q
from django.utils.translation import gettext as _

from firm.actions.files import Prepared, store_scan
from firm.actions.messages import queue
from firm.actions.record import record
from firm.models import Person
from firm.queries import firm_or_blank
from jobs.actions.agreements import AgreedBeforeOffered, AgreedTooLate
from jobs.actions.contracts.refusals import (
    ContractNotOffered,
    ContractRefused,
    NoSuchContract,
)
from jobs.actions.contracts.running import close_contract
from jobs.actions.links import take_link
from jobs.enums import AgreedHow, ContractState, LinkPurpose, VisitKind
from jobs.models import Agreement, Contract, Instalment, Visit, VisitTask
from jobs.queries.contracts import (
    ALIVE,
    hours_of,
    minutes_of,
    parts_of,
    tasks_by_key,
    visits_in,
)
from jobs.queries.quotes import money_places, owner_address
from plants.models import Garden

ONE_DAY = dt.timedelta(days=1)
TASK_WORDS = (
    "task",
    "purpose",
    "rule_key",
    "layer",
    "title",
    "how",
    "where",
    "why",
    "harm",
    "drawing",
    "source",
    "minutes",
)


class ContractAlreadyAgreed(ContractRefused):
    """Somebody said yes before; says who."""

    def __init__(self, agreement: Agreement) -> None:
        super().__init__(
            _("This contract was already agreed to by %(name)s.")
            % {"name": agreement.name}
        )
        self.agreement = agreement


@transaction.atomic
def agree_to_contract_by_link(
    *, link_id: int, name: str, now: dt.datetime
) -> Agreement:
    """The client's yes on the private page: agreement, visits and letters, once.

    LinkClosed, ContractAlreadyAgreed or ContractNotOffered say why it is refused.
    """
    link = take_link(link_id=link_id, purpose=LinkPurpose.CONTRACT, now=now)
    contract_id = link.document.contract_id
    if contract_id is None:
        raise NoSuchContract
    return _agree(
        contract_id=contract_id,
        how=AgreedHow.LINK,
        name=name,
        agreed_at=now,
        note="",
        scan="",
        confirm_to=link.recipient,
        by=None,
        now=now,
        stands=Q(state=ContractState.OFFERED),
    )


@transaction.atomic
def record_contract_agreement(
    *,
    contract_id: int,
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
    contract = Contract.objects.filter(pk=contract_id).first()
    if contract is None:
        raise NoSuchContract
    if contract.offered_at is not None and contract.valid_until is not None:
        # A minute is all that a form can say.
        offered = contract.offered_at.replace(second=0, microsecond=0)
        if not offered <= agreed_at <= now:
            raise AgreedBeforeOffered
        if agreed_on > contract.valid_until:
            raise AgreedTooLate
    return _agree(
        contract_id=contract_id,
        how=how,
        name=name,
        agreed_at=agreed_at,
        note=note,
        scan=store_scan(scan) if scan else "",
        confirm_to=confirm_to,
        by=by,
        now=now,
        # A yes that was given in time and is written down after the offer ran out.
        stands=Q(state=ContractState.OFFERED)
        | Q(state=ContractState.LAPSED, decided_at__gt=agreed_at),
    )


def _agree(
    *,
    contract_id: int,
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
    # The garden is locked, so that two contracts for it are agreed one by one.
    garden = (
        Garden.objects.select_for_update(of=("self",))
        .filter(contracts=contract_id)
        .first()
    )
    contract = (
        Contract.objects.select_related("garden__client", "document")
        .filter(pk=contract_id)
        .first()
    )
    if garden is None or contract is None:
        raise NoSuchContract
    if not Contract.objects.filter(stands, pk=contract_id).exists():
        before = Agreement.objects.filter(contract=contract).first()
        if before is not None:
            raise ContractAlreadyAgreed(before)
        raise ContractNotOffered(contract.get_state_display())
    others = Contract.objects.filter(garden=garden, state__in=ALIVE).order_by("id")
    for other in others:
        close_contract(
            contract=other,
            last_on=contract.starts_on - ONE_DAY,
            reason=f"taken over by {contract}",
            now=now,
            by=by,
            by_words="" if by else name,
        )
    changed = Contract.objects.filter(stands, pk=contract_id).update(
        state=ContractState.RUNNING, decided_at=agreed_at, version=F("version") + 1
    )
    if changed != 1:
        raise ContractNotOffered(contract.get_state_display())
    contract.state = ContractState.RUNNING
    agreement = Agreement.objects.create(
        contract=contract,
        how=how,
        name=name,
        agreed_at=agreed_at,
        recorded_by=by,
        recorded_at=now,
        note=note,
        scan=scan,
        document_sha256=contract.document.sha256,
    )
    write_visits(contract)
    write_instalments(contract)
    _tell(contract, confirm_to=confirm_to, tell_owner=by is None, now=now)
    record(
        action="contract agreed",
        subject=contract,
        summary=f"{contract} agreed by {name} {agreement.get_how_display()}",
        now=now,
        by=by,
        by_words="" if by else name,
        details={"agreement": agreement.pk, "sha256": agreement.document_sha256},
    )
    return agreement


def write_visits(contract: Contract) -> list[Visit]:
    """The visits of the contract's plan with their tasks, on no day and no crew yet."""
    tasks = tasks_by_key(contract.plan)
    written = visits_in(contract.plan)
    visits = Visit.objects.bulk_create(
        Visit(
            kind=VisitKind.CARE,
            garden_id=contract.garden_id,
            contract=contract,
            title=one["title"][:160],
            earliest_on=dt.date.fromisoformat(one["earliest"]),
            best_on=dt.date.fromisoformat(one["best"]),
            latest_on=dt.date.fromisoformat(one["latest"]),
            planned_hours=hours_of(
                minutes_of(one, tasks, per_visit=contract.visit_minutes)
            ),
        )
        for one in written
    )
    rows = []
    for visit, one in zip(visits, written, strict=True):
        drawn = [_task_row(tasks[key]) for key in one["tasks"]]
        typed = [VisitTask(task="other", title=words[:160]) for words in one["work"]]
        if typed:
            typed[0].minutes = int(one["minutes"])
        for position, row in enumerate([*drawn, *typed], start=1):
            row.visit, row.position = visit, position
            rows.append(row)
    VisitTask.objects.bulk_create(rows)
    return visits


def _task_row(written: Mapping[str, Any]) -> VisitTask:
    """A task as the crew reads it, all its words copied."""
    return VisitTask(
        planting_id=written["planting"],
        earliest_on=dt.date.fromisoformat(written["earliest"]),
        best_on=dt.date.fromisoformat(written["best"]),
        latest_on=dt.date.fromisoformat(written["latest"]),
        **{name: written[name] for name in TASK_WORDS},
    )


def write_instalments(contract: Contract) -> list[Instalment]:
    """The parts of the contract's price with the days they fall due on."""
    return Instalment.objects.bulk_create(
        Instalment(
            contract=contract,
            position=part.number,
            due_on=part.due_on,
            net=part.amount.net,
            tax=part.amount.tax,
            gross=part.amount.gross,
        )
        for part in parts_of(contract, places=money_places())
    )


def _tell(
    contract: Contract, *, confirm_to: str, tell_owner: bool, now: dt.datetime
) -> None:
    """Queue the client's confirmation and the owner's note."""
    if confirm_to:
        queue(
            key=f"contract agreed:{contract.pk}",
            kind="contract agreed",
            recipient=confirm_to,
            payload={"contract": contract.pk},
            due_at=now,
            language=contract.garden.client.language,
            now=now,
        )
    address = owner_address() if tell_owner else ""
    if address:
        queue(
            key=f"contract agreed note:{contract.pk}",
            kind="contract agreed note",
            recipient=address,
            payload={"contract": contract.pk},
            due_at=now,
            language=firm_or_blank().language,
            now=now,
        )
