"""What comes after a contract: a new revision, and the next year."""

import datetime as dt
from typing import Any

from django.db import transaction

from firm.actions.record import next_number
from firm.models import Person
from firm.queries import firm_or_blank
from jobs.actions.contracts.drafts import begin, free_of, out_of
from jobs.actions.contracts.refusals import (
    AnotherIsRunning,
    NoSuchContract,
    NothingToDrawAnew,
)
from jobs.actions.quotes.lines import local_day
from jobs.enums import ContractState
from jobs.models import Contract
from jobs.pricing import months_after
from jobs.queries.contracts import (
    ALIVE,
    RENEWED_FROM,
    REVISED_FROM,
    last_day_of_year,
)

ONE_DAY = dt.timedelta(days=1)
OVER = (
    ContractState.DECLINED,
    ContractState.LAPSED,
    ContractState.REPLACED,
    ContractState.ENDED,
)


@transaction.atomic
def revise_contract(*, contract_id: int, by: Person, now: dt.datetime) -> Contract:
    """The next revision as a draft; asked for twice, it is the same one.

    Of a running contract it begins today with a plan of its own and ends the old one
    when it is agreed; of an offer it keeps days and plan.
    """
    old = (
        Contract.objects.select_for_update(of=("self",))
        .select_related("garden__client", "garden__station")
        .filter(pk=contract_id)
        .first()
    )
    if old is None:
        raise NoSuchContract
    latest = Contract.objects.filter(number=old.number).order_by("-revision").first()
    if latest is not None and latest.pk != old.pk:
        if latest.state == ContractState.DRAFTING:
            return latest
        raise NothingToDrawAnew
    if old.state not in REVISED_FROM:
        raise NothingToDrawAnew
    day = local_day(now, firm_or_blank())
    columns = _copied(old)
    if old.state in ALIVE:
        columns["starts_on"] = max(day, old.starts_on)
        columns["ends_on"] = last_day_of_year(columns["starts_on"])
    free = [
        one
        for one in free_of(old.plan)
        if str(columns["starts_on"]) <= one["earliest"]
        and one["latest"] <= str(columns["ends_on"])
    ]
    return begin(
        garden=old.garden,
        number=old.number,
        revision=old.revision + 1,
        key=None,
        columns=columns,
        free=free,
        out=out_of(old.plan),
        day=day,
        by=by,
        now=now,
    )


@transaction.atomic
def renew(*, contract_id: int, by: Person, now: dt.datetime) -> Contract:
    """A draft for the year after CONTRACT, planned from what grows there now.

    Asked for twice, it is the same draft.
    """
    old = (
        Contract.objects.select_for_update(of=("self",))
        .select_related("garden__client", "garden__station")
        .filter(pk=contract_id)
        .first()
    )
    if old is None:
        raise NoSuchContract
    if old.state not in RENEWED_FROM:
        raise NothingToDrawAnew
    starts_on = old.ends_on + ONE_DAY
    later = (
        Contract.objects.filter(garden=old.garden, starts_on__gte=starts_on)
        .exclude(state__in=OVER)
        .order_by("starts_on", "id")
        .first()
    )
    if later is not None:
        if later.state == ContractState.DRAFTING:
            return later
        raise AnotherIsRunning(str(later))
    day = local_day(now, firm_or_blank())
    columns = {
        **_copied(old),
        "starts_on": starts_on,
        "ends_on": last_day_of_year(starts_on),
    }
    return begin(
        garden=old.garden,
        number=next_number(kind="contract", prefix="C", year=day.year),
        key=None,
        columns=columns,
        free=[_a_year_on(one) for one in free_of(old.plan)],
        out=out_of(old.plan),
        day=day,
        by=by,
        now=now,
    )


def _a_year_on(visit: dict[str, Any]) -> dict[str, Any]:
    """A typed visit on the same days of the next year."""
    moved = {
        name: str(months_after(dt.date.fromisoformat(visit[name]), 12))
        for name in ("earliest", "best", "latest")
    }
    return {**visit, **moved}


def _copied(old: Contract) -> dict[str, Any]:
    """What a later contract takes over from an earlier one."""
    names = (
        "title",
        "words",
        "terms",
        "starts_on",
        "ends_on",
        "visit_minutes",
        "price_is_typed",
        "is_taxed",
        "instalment_count",
        "instalment_months",
        "net",
    )
    return {name: getattr(old, name) for name in names}
