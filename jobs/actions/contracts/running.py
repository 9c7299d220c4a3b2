"""A running care contract: paused, taken up again, ended."""

import datetime as dt

from django.db import transaction
from django.db.models import F, Q

from firm.actions.record import record
from firm.models import Person
from firm.queries import firm_or_blank
from jobs.actions.contracts.refusals import (
    AnotherIsRunning,
    EndsBeforeItBegins,
    NoSuchContract,
    NothingToDrawAnew,
)
from jobs.actions.quotes.lines import local_day
from jobs.enums import ContractState, VisitState
from jobs.models import Contract, Instalment, Visit
from jobs.queries.contracts import ALIVE
from plants.models import Garden

ONE_DAY = dt.timedelta(days=1)


@transaction.atomic
def pause_contract(
    *, contract_id: int, version: int, reason: str, by: Person, now: dt.datetime
) -> Contract:
    """The contract paused from today: its visits leave the board until it goes on."""
    day = local_day(now, firm_or_blank())
    changed = Contract.objects.filter(
        pk=contract_id, version=version, state=ContractState.RUNNING
    ).update(state=ContractState.PAUSED, paused_on=day, version=F("version") + 1)
    contract = _found(contract_id, changed)
    Visit.objects.filter(
        contract=contract, state=VisitState.PLANNED, day__gte=day
    ).update(crew=None, day=None, position=1, version=F("version") + 1)
    record(
        action="contract paused",
        subject=contract,
        summary=f"{contract} paused: {reason}",
        now=now,
        by=by,
    )
    return contract


@transaction.atomic
def resume_contract(
    *, contract_id: int, version: int, by: Person, now: dt.datetime
) -> Contract:
    """The contract running again; its open visits are to be placed anew."""
    garden = (
        Garden.objects.select_for_update(of=("self",))
        .filter(contracts=contract_id)
        .first()
    )
    other = (
        Contract.objects.filter(garden=garden, state=ContractState.RUNNING)
        .exclude(pk=contract_id)
        .first()
    )
    if other is not None:
        raise AnotherIsRunning(str(other))
    changed = Contract.objects.filter(
        pk=contract_id, version=version, state=ContractState.PAUSED
    ).update(state=ContractState.RUNNING, paused_on=None, version=F("version") + 1)
    contract = _found(contract_id, changed)
    record(
        action="contract resumed",
        subject=contract,
        summary=f"{contract} goes on",
        now=now,
        by=by,
    )
    return contract


@transaction.atomic
def end_contract(
    *,
    contract_id: int,
    version: int,
    last_on: dt.date,
    reason: str,
    by: Person,
    now: dt.datetime,
) -> Contract:
    """The contract ended after LAST_ON, the visits and instalments past it gone."""
    taken = Contract.objects.filter(
        pk=contract_id, version=version, state__in=ALIVE
    ).update(version=F("version") + 1)
    contract = _found(contract_id, taken)
    if not contract.starts_on - ONE_DAY <= last_on <= contract.ends_on:
        raise EndsBeforeItBegins
    return close_contract(
        contract=contract, last_on=last_on, reason=reason, now=now, by=by
    )


def close_contract(
    *,
    contract: Contract,
    last_on: dt.date,
    reason: str,
    now: dt.datetime,
    by: Person | None,
    by_words: str = "",
) -> Contract:
    """CONTRACT ended after LAST_ON; call it inside a transaction.

    Visits after that day are called off, and so are those without a day whose best day
    lies after it or, once it is over, all of them. Ended early, instalments due after
    that day that no bill was written for fall away.
    """
    day = local_day(now, firm_or_blank())
    changed = Contract.objects.filter(pk=contract.pk, state__in=ALIVE).update(
        state=ContractState.ENDED,
        ended_on=last_on,
        ended_reason=reason[:300],
        version=F("version") + 1,
    )
    contract = _found(contract.pk, changed)
    beyond = Q(day__gt=last_on) | Q(day__isnull=True, best_on__gt=last_on)
    if last_on < day:
        beyond |= Q(day__isnull=True)
    called_off = Visit.objects.filter(
        beyond, contract=contract, state=VisitState.PLANNED
    ).update(state=VisitState.CALLED_OFF, version=F("version") + 1)
    gone = Instalment.objects.filter(
        contract=contract, due_on__gt=last_on, bill__isnull=True
    )
    if last_on >= contract.ends_on:
        # The whole year was done: what is paid later is owed all the same.
        gone = gone.none()
    struck = [f"{part.due_on}: {part.gross}" for part in gone.order_by("position")]
    gone.delete()
    record(
        action="contract ended",
        subject=contract,
        summary=f"{contract} ends after {last_on:%Y-%m-%d}: {reason}",
        now=now,
        by=by,
        by_words=by_words,
        details={"visits called off": called_off, "instalments struck out": struck},
    )
    return contract


def end_contracts_over(*, now: dt.datetime) -> int:
    """How many contracts ended because their last day is over."""
    day = local_day(now, firm_or_blank())
    over = Contract.objects.filter(state__in=ALIVE, ends_on__lt=day).order_by("id")
    ended = 0
    for contract in over:
        with transaction.atomic():
            still = (
                Contract.objects.select_for_update(of=("self",))
                .filter(pk=contract.pk, state__in=ALIVE)
                .exists()
            )
            if still:
                close_contract(
                    contract=contract,
                    last_on=contract.ends_on,
                    reason="its twelve months are over",
                    now=now,
                    by=None,
                )
                ended += 1
    return ended


def _found(contract_id: int, changed: int) -> Contract:
    contract = (
        Contract.objects.select_related("garden__client").filter(pk=contract_id).first()
    )
    if contract is None:
        raise NoSuchContract
    if changed != 1:
        raise NothingToDrawAnew
    return contract
