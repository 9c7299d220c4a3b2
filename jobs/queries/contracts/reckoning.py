"""What a plan comes to: minutes, hours, cost, price, and the parts it is paid in."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from firm.money import Taxed, margin_of, markup_from, round_half_up, to_cents
from jobs.models import Contract
from jobs.pricing import months_after, spread_taxed
from jobs.queries.contracts.planning import task_of, visit_of
from jobs.yearplan import Fault, PlannedVisit, check_plan

YEAR_MONTHS = 12


def last_day_of_year(starts_on: dt.date) -> dt.date:
    """The last of twelve months from STARTS_ON."""
    return months_after(starts_on, YEAR_MONTHS) - dt.timedelta(days=1)


def visits_in(plan: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The visits of a plan that are not ticked out, in order."""
    return [one for one in plan.get("visits", ()) if not one["is_out"]]


def tasks_by_key(plan: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
    """The tasks of a plan by their keys."""
    return {one["key"]: one for one in plan.get("tasks", ())}


def minutes_of(
    visit: Mapping[str, Any], tasks: Mapping[str, Mapping[str, Any]], *, per_visit: int
) -> int:
    """Minutes of work of one visit, its travel and set-up among them."""
    return (
        per_visit
        + int(visit["minutes"])
        + sum(int(tasks[key]["minutes"]) for key in visit["tasks"])
    )


def hours_of(minutes: int) -> Decimal:
    """Minutes as hours with two decimals."""
    return round_half_up(Decimal(minutes) / 60, 2)


def plan_hours(plan: Mapping[str, Any], *, per_visit: int) -> Decimal:
    """The hours of all visits, each rounded, so that the foot equals its rows."""
    tasks = tasks_by_key(plan)
    return sum(
        (
            hours_of(minutes_of(visit, tasks, per_visit=per_visit))
            for visit in visits_in(plan)
        ),
        Decimal("0.00"),
    )


def faults_of(
    plan: Mapping[str, Any], *, starts_on: dt.date, ends_on: dt.date
) -> list[Fault]:
    """What is wrong with a plan as it would be stored; nothing when it holds."""
    wanted = [
        task_of(one)
        for one in plan["tasks"]
        if not one["is_out"] and not one["has_no_day"]
    ]
    visits: list[PlannedVisit] = []
    faults = []
    for number, one in enumerate(plan["visits"]):
        visit = visit_of(one)
        if not one["is_free"]:
            visits.append(visit)
        elif not starts_on <= visit.earliest <= visit.best <= visit.latest <= ends_on:
            faults.append(Fault(visit=number, words="lies outside the twelve months"))
    return faults + check_plan(wanted, visits, starts_on=starts_on, ends_on=ends_on)


@dataclass(frozen=True, kw_only=True)
class Part:
    """One instalment as it will fall due."""

    number: int
    due_on: dt.date
    amount: Taxed


def parts_of(contract: Contract, *, places: int) -> tuple[Part, ...]:
    """The instalments of the year's price; net, tax and total each add up."""
    whole = Taxed(net=contract.net, tax=contract.tax, gross=contract.gross)
    parts = spread_taxed(whole, parts=contract.instalment_count, places=places)
    return tuple(
        Part(
            number=number + 1,
            due_on=months_after(
                contract.starts_on, number * contract.instalment_months
            ),
            amount=amount,
        )
        for number, amount in enumerate(parts)
    )


def parts_words(parts: Sequence[Part]) -> list[tuple[int, Decimal]]:
    """How many instalments of which amount, in order: 4 of 333.34, 8 of 333.33."""
    found: list[tuple[int, Decimal]] = []
    for part in parts:
        if found and found[-1][1] == part.amount.gross:
            found[-1] = (found[-1][0] + 1, part.amount.gross)
        else:
            found.append((1, part.amount.gross))
    return found


@dataclass(frozen=True, kw_only=True)
class Earning:
    """What the price leaves once the cost is paid; only for the firm's eyes."""

    hour_cost: Decimal
    hour_price: Decimal
    by_the_hour: Decimal
    margin_percent: Decimal | None
    markup_percent: Decimal | None
    short: Decimal


def earning_of(contract: Contract, *, places: int) -> Earning:
    """Margin and markup of CONTRACT, and by how much it falls short of its cost."""
    margin = margin_of(cost=contract.cost, price=contract.net)
    markup = markup_from(cost=contract.cost, price=contract.net)
    hour_price = Decimal(contract.plan.get("hour_price", "0"))
    return Earning(
        hour_cost=Decimal(contract.plan.get("hour_cost", "0")),
        hour_price=hour_price,
        by_the_hour=to_cents(contract.hours * hour_price, places=places),
        margin_percent=None if margin is None else round_half_up(margin, 2),
        markup_percent=None if markup is None else round_half_up(markup, 2),
        short=max(contract.cost - contract.net, Decimal(0)),
    )
