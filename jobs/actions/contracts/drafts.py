"""Drawing a care contract from a garden's plantings, and changing the draft."""

import datetime as dt
import uuid
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import F

from firm.actions.record import SomebodyElseChangedIt, next_number, record
from firm.enums import TaxCategory
from firm.models import Firm, Person
from firm.models.tax import CHARGED
from firm.money import margin_of, round_half_up, tax_on, to_cents
from firm.queries import NoTaxRate, Tax, category_for, firm_or_blank
from jobs.actions.contracts.refusals import (
    ContractNotDrafting,
    NoSuchContract,
    NoTaxThatDay,
    PlanHasFaults,
    PriceTooLarge,
)
from jobs.actions.quotes.lines import LARGEST, local_day, tax_for
from jobs.enums import ContractState, LineKind
from jobs.models import Contract
from jobs.queries.contracts import (
    Plan,
    draw_plan,
    faults_of,
    last_day_of_year,
    plan_hours,
)
from jobs.queries.quote_prices import money_places
from plants.models import Garden

LOWEST_MARGIN = Decimal("-999.99")


@dataclass(frozen=True, kw_only=True)
class ContractDetails:
    """What a contract says apart from its plan; NET None: hours at the hour's price."""

    title: str
    words: str
    terms: str
    starts_on: dt.date
    visit_minutes: int
    net: Decimal | None
    is_taxed: bool
    instalment_count: int
    instalment_months: int

    def columns(self) -> dict[str, Any]:
        """The columns of the row that hold it."""
        values = dict(vars(self))
        net = values.pop("net")
        return {
            **values,
            "ends_on": last_day_of_year(self.starts_on),
            "price_is_typed": net is not None,
        }


def take_contract_draft(*, contract_id: int, version: int) -> Contract:
    """The draft, now the caller's at the next version; call it in a transaction."""
    taken = Contract.objects.filter(
        pk=contract_id, version=version, state=ContractState.DRAFTING
    ).update(version=F("version") + 1)
    contract = (
        Contract.objects.select_related("garden__client", "garden__station")
        .filter(pk=contract_id)
        .first()
    )
    if contract is None:
        raise NoSuchContract
    if taken != 1:
        raise (
            ContractNotDrafting
            if contract.state != ContractState.DRAFTING
            else SomebodyElseChangedIt
        )
    return contract


def keep_plan(*, contract: Contract, plan: Plan, day: dt.date) -> Contract:
    """The draft with a plan that passed its proof, priced; PlanHasFaults otherwise."""
    faults = faults_of(plan, starts_on=contract.starts_on, ends_on=contract.ends_on)
    if faults:
        raise PlanHasFaults(faults)
    contract.plan = plan
    return settle(contract=contract, day=day)


def _tax_of(contract: Contract, *, day: dt.date, firm: Firm) -> Tax:
    """The tax that the garden's place puts on labour; the standard one if none."""
    if not contract.is_taxed:
        return Tax()
    garden = contract.garden
    category = category_for(kind=LineKind.LABOUR, region=garden.tax_region, firm=firm)
    if category not in CHARGED:
        category = TaxCategory.STANDARD
    try:
        return tax_for(garden=garden, day=day, category=category)
    except NoTaxRate as gap:
        raise NoTaxThatDay(str(gap)) from gap


def settle(*, contract: Contract, day: dt.date) -> Contract:
    """The draft's hours, cost, price and the tax of DAY, all stored."""
    firm = firm_or_blank()
    places = money_places()
    plan = contract.plan
    plan["hour_cost"], plan["hour_price"] = str(firm.hour_cost), str(firm.hour_price)
    contract.hours = plan_hours(plan, per_visit=contract.visit_minutes)
    contract.cost = to_cents(contract.hours * firm.hour_cost, places=places)
    if not contract.price_is_typed:
        contract.net = to_cents(contract.hours * firm.hour_price, places=places)
    tax = _tax_of(contract, day=day, firm=firm)
    contract.tax_name, contract.tax_percent = tax.name, tax.percent
    contract.tax_rounding = firm.tax_rounding
    whole = tax_on(net=contract.net, percent=tax.percent, places=places)
    if max(whole.gross, contract.cost) >= LARGEST:
        raise PriceTooLarge
    contract.tax, contract.gross = whole.tax, whole.gross
    margin = margin_of(cost=contract.cost, price=contract.net)
    contract.margin_percent = (
        Decimal(0) if margin is None else max(round_half_up(margin, 2), LOWEST_MARGIN)
    )
    contract.save(
        update_fields=[
            "plan",
            "hours",
            "cost",
            "net",
            "tax",
            "gross",
            "tax_name",
            "tax_percent",
            "tax_rounding",
            "margin_percent",
        ]
    )
    return contract


def out_of(plan: Plan) -> set[str]:
    return {one["key"] for one in plan.get("tasks", ()) if one["is_out"]}


def free_of(plan: Plan) -> list[dict[str, Any]]:
    return [one for one in plan.get("visits", ()) if one["is_free"]]


@transaction.atomic
def draw_contract(
    *,
    garden_id: int,
    key: uuid.UUID,
    details: ContractDetails,
    by: Person,
    now: dt.datetime,
) -> Contract:
    """The new draft planned from what grows there; KEY sent twice gives one draft."""
    garden = (
        Garden.objects.select_related("client", "station").filter(pk=garden_id).first()
    )
    if garden is None:
        raise NoSuchContract
    day = local_day(now, firm_or_blank())
    # The counter's row is locked first, so a form sent twice is met one by one.
    number = next_number(kind="contract", prefix="C", year=day.year)
    before = Contract.objects.filter(key=key).first()
    if before is not None:
        transaction.set_rollback(True)
        return before
    return begin(
        garden=garden,
        number=number,
        key=key,
        columns={**details.columns(), "net": details.net or Decimal(0)},
        free=(),
        day=day,
        by=by,
        now=now,
    )


def begin(
    *,
    garden: Garden,
    number: str,
    key: uuid.UUID | None,
    columns: dict[str, Any],
    free: Sequence[dict[str, Any]],
    day: dt.date,
    by: Person,
    now: dt.datetime,
    revision: int = 1,
    out: Collection[str] = (),
) -> Contract:
    """A new draft whose plan is drawn now."""
    plan = draw_plan(
        garden=garden,
        starts_on=columns["starts_on"],
        ends_on=columns["ends_on"],
        day=day,
        free=free,
        out=out,
    )
    # Net is completed by settle; until then tax is nothing, so the sums hold.
    net = columns.pop("net")
    contract = Contract.objects.create(
        garden=garden,
        number=number,
        revision=revision,
        key=key,
        net=net,
        gross=net,
        **columns,
    )
    keep_plan(contract=contract, plan=plan, day=day)
    record(
        action="contract drawn",
        subject=contract,
        summary=f"{contract} {contract.title} for {garden.name}",
        now=now,
        by=by,
    )
    return contract


@transaction.atomic
def change_contract(
    *,
    contract_id: int,
    version: int,
    details: ContractDetails,
    by: Person,
    now: dt.datetime,
) -> Contract:
    """The draft with other words, days or price; other days draw the plan anew."""
    contract = take_contract_draft(contract_id=contract_id, version=version)
    day = local_day(now, firm_or_blank())
    moved = contract.starts_on != details.starts_on
    columns = details.columns()
    for name, value in columns.items():
        setattr(contract, name, value)
    if details.net is not None:
        contract.net = details.net
        contract.tax, contract.gross = Decimal(0), details.net
        columns |= {"net": 0, "tax": 0, "gross": 0}
    contract.save(update_fields=list(columns))
    if moved:
        free = [
            one
            for one in free_of(contract.plan)
            if str(contract.starts_on) <= one["earliest"]
            and one["latest"] <= str(contract.ends_on)
        ]
        plan = draw_plan(
            garden=contract.garden,
            starts_on=contract.starts_on,
            ends_on=contract.ends_on,
            day=day,
            out=out_of(contract.plan),
            free=free,
        )
        keep_plan(contract=contract, plan=plan, day=day)
    else:
        settle(contract=contract, day=day)
    record(
        action="contract changed",
        subject=contract,
        summary=f"{contract} {contract.title}",
        now=now,
        by=by,
    )
    return contract
