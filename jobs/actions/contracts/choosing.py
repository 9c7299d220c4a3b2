"""Which work a drafted contract holds: ticked in, ticked out, typed, drawn anew."""

import datetime as dt
from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from firm.actions.record import record
from firm.models import Person
from firm.queries import firm_or_blank
from jobs.actions.contracts.drafts import (
    free_of,
    keep_plan,
    out_of,
    take_contract_draft,
)
from jobs.actions.contracts.refusals import OutsideTheYear, TooManyVisits
from jobs.actions.quotes.lines import local_day
from jobs.models import Contract
from jobs.queries.contracts import draw_plan, gathered, numbered

MOST_FREE_VISITS = 60


@dataclass(frozen=True, kw_only=True)
class FreeVisit:
    """A visit that was typed: what for, when, how long, which work."""

    title: str
    earliest: dt.date
    best: dt.date
    latest: dt.date
    minutes: int
    work: tuple[str, ...] = ()

    def written(self) -> dict[str, Any]:
        """The visit as a plan holds it."""
        return {
            "title": self.title,
            "earliest": str(self.earliest),
            "best": str(self.best),
            "latest": str(self.latest),
            "minutes": self.minutes,
            "work": list(self.work),
            "tasks": [],
            "is_free": True,
            "is_out": False,
        }


@transaction.atomic
def draw_anew(
    *, contract_id: int, version: int, by: Person, now: dt.datetime
) -> Contract:
    """The draft planned from what grows there now; what was ticked out stays out."""
    contract = take_contract_draft(contract_id=contract_id, version=version)
    day = local_day(now, firm_or_blank())
    plan = draw_plan(
        garden=contract.garden,
        starts_on=contract.starts_on,
        ends_on=contract.ends_on,
        day=day,
        out=out_of(contract.plan),
        free=free_of(contract.plan),
    )
    keep_plan(contract=contract, plan=plan, day=day)
    record(
        action="contract drawn anew",
        subject=contract,
        summary=f"{contract} planned from what grows there now",
        now=now,
        by=by,
    )
    return contract


@transaction.atomic
def choose_work(
    *,
    contract_id: int,
    version: int,
    tasks: Collection[str],
    visits: Collection[str],
    by: Person,
    now: dt.datetime,
) -> Contract:
    """The draft with just the ticked TASKS of the ticked VISITS, gathered anew.

    A visit that is not ticked takes its tasks out with it; a task that was out and is
    ticked comes in again.
    """
    contract = take_contract_draft(contract_id=contract_id, version=version)
    plan = contract.plan
    wanted, kept = set(tasks), set(visits)
    for one in plan["visits"]:
        if one["key"] not in kept:
            wanted -= set(one["tasks"])
        if one["is_free"]:
            one["is_out"] = one["key"] not in kept
    out = {one["key"] for one in plan["tasks"]} - wanted
    # One without a day is not ticked, and is not out for that.
    out -= {one["key"] for one in plan["tasks"] if one["has_no_day"]}
    day = local_day(now, firm_or_blank())
    plan |= gathered(
        plan["tasks"],
        free=free_of(plan),
        out=out,
        starts_on=contract.starts_on,
        ends_on=contract.ends_on,
    )
    keep_plan(contract=contract, plan=plan, day=day)
    record(
        action="contract work chosen",
        subject=contract,
        summary=f"{contract}: {len(out)} tasks left out",
        now=now,
        by=by,
        details={"out": sorted(out)},
    )
    return contract


@transaction.atomic
def add_free_visit(
    *,
    contract_id: int,
    version: int,
    visit: FreeVisit,
    by: Person,
    now: dt.datetime,
) -> Contract:
    """The draft with one more visit, typed by the owner."""
    contract = take_contract_draft(contract_id=contract_id, version=version)
    if visit.earliest < contract.starts_on or visit.latest > contract.ends_on:
        raise OutsideTheYear
    plan = contract.plan
    if len(free_of(plan)) >= MOST_FREE_VISITS:
        raise TooManyVisits(MOST_FREE_VISITS)
    plan["visits"] = numbered([*plan["visits"], visit.written()])
    keep_plan(contract=contract, plan=plan, day=local_day(now, firm_or_blank()))
    record(
        action="contract visit added",
        subject=contract,
        summary=f"{contract}: {visit.title} around {visit.best}",
        now=now,
        by=by,
    )
    return contract
