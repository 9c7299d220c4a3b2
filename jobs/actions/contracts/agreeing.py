"""The one yes to a care contract, and what begins with it: visits and instalments."""

import datetime as dt
from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from firm.actions.files import Prepared
from firm.models import Person
from jobs.actions.agreements import (
    Yes,
    take_yes,
    tell_of_yes,
    yes_by_link,
    yes_written_down,
)
from jobs.actions.contracts.offers import CONTRACTS
from jobs.actions.contracts.refusals import ContractRefused
from jobs.actions.contracts.running import close_contract
from jobs.enums import AgreedHow, ContractState, VisitKind
from jobs.models import Agreement, Contract, Instalment, Visit, VisitTask
from jobs.queries.contracts import (
    ALIVE,
    hours_of,
    minutes_of,
    parts_of,
    tasks_by_key,
    visits_in,
)
from jobs.queries.quote_prices import money_places
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
    return _agree(yes_by_link(CONTRACTS, link_id=link_id, name=name, now=now))


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
    return _agree(
        yes_written_down(
            CONTRACTS,
            offer_id=contract_id,
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
    )


def _agree(yes: Yes) -> Agreement:
    """The agreement to a contract, which runs with its visits and instalments."""
    _end_others(yes)
    contract, agreement = take_yes(
        CONTRACTS,
        yes=yes,
        becomes=ContractState.RUNNING,
        already=ContractAlreadyAgreed,
    )
    write_visits(contract)
    write_instalments(contract)
    tell_of_yes(CONTRACTS, offer=contract, agreement=agreement, yes=yes)
    return agreement


def _end_others(yes: Yes) -> None:
    """Whatever runs for the garden ends the day before, if the yes can be taken."""
    # The garden is locked, so that two contracts for it are agreed one by one.
    garden = (
        Garden.objects.select_for_update(of=("self",))
        .filter(contracts=yes.offer_id)
        .first()
    )
    contract = Contract.objects.filter(yes.stands, pk=yes.offer_id).first()
    if garden is None or contract is None:
        return
    others = Contract.objects.filter(garden=garden, state__in=ALIVE).order_by("id")
    for other in others:
        close_contract(
            contract=other,
            last_on=contract.starts_on - ONE_DAY,
            reason=f"taken over by {contract}",
            now=yes.now,
            by=yes.by,
            by_words=yes.by_words,
        )


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
