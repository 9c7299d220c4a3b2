"""What the pages of care contracts show."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import F

from firm.models import Contact
from jobs.enums import ContractState, LinkPurpose
from jobs.models import Agreement, Contract, Document, Instalment, PrivateLink, Visit
from jobs.queries.contracts.reckoning import (
    Earning,
    Part,
    earning_of,
    hours_of,
    minutes_of,
    parts_of,
    parts_words,
    tasks_by_key,
)
from jobs.queries.quote_prices import money_places
from plants.models import Garden, Planting, StandingInstruction
from plants.queries.care import IN_THE_GROUND
from plants.queries.gardens import instructions_on

ALIVE = (ContractState.RUNNING, ContractState.PAUSED)
REVISED_FROM = (
    ContractState.OFFERED,
    ContractState.DECLINED,
    ContractState.LAPSED,
    *ALIVE,
)
RENEWED_FROM = (*ALIVE, ContractState.ENDED)


def garden_to_care_for(*, garden_id: int) -> Garden | None:
    """The garden with its client and climate, which a contract is drawn for."""
    return (
        Garden.objects.select_related("client", "station").filter(pk=garden_id).first()
    )


def contract_by_id(*, contract_id: int) -> Contract | None:
    """The contract with its garden and client."""
    return (
        Contract.objects.select_related("garden__client", "garden__station")
        .filter(pk=contract_id)
        .first()
    )


def contacts_of(*, contract: Contract) -> list[Contact]:
    """The people of the contract's client, the first to be asked first."""
    return list(contract.garden.client.contacts.order_by("-is_main", "id"))


def usual_visit_minutes() -> int:
    """Travel and set-up per visit as it was typed last."""
    latest = Contract.objects.order_by("-id").first()
    return latest.visit_minutes if latest else Contract().visit_minutes


def paper_of(contract: Contract) -> Document | None:
    """The paper of an offered contract; None for a draft."""
    return Document.objects.filter(contract=contract).first()


@dataclass(frozen=True, kw_only=True)
class VisitShown:
    """A visit of the plan with its work."""

    key: str
    title: str
    earliest: dt.date
    best: dt.date
    latest: dt.date
    minutes: int
    hours: Decimal
    tasks: tuple[Mapping[str, Any], ...]
    work: tuple[str, ...]
    is_free: bool
    is_out: bool

    @property
    def task_minutes(self) -> int:
        """The minutes of its tasks, without travel and set-up."""
        return sum(int(one["minutes"]) for one in self.tasks)

    @property
    def rules(self) -> list[Mapping[str, Any]]:
        """Its tasks, of those with the same words one."""
        return list({(one["title"], one["how"]): one for one in self.tasks}.values())


def visits_shown(contract: Contract) -> list[VisitShown]:
    """Every visit of the plan, those ticked out among them."""
    tasks = tasks_by_key(contract.plan)
    found = []
    for one in contract.plan.get("visits", ()):
        minutes = minutes_of(one, tasks, per_visit=contract.visit_minutes)
        found.append(
            VisitShown(
                key=one["key"],
                title=one["title"],
                earliest=dt.date.fromisoformat(one["earliest"]),
                best=dt.date.fromisoformat(one["best"]),
                latest=dt.date.fromisoformat(one["latest"]),
                minutes=minutes,
                hours=hours_of(minutes),
                tasks=tuple(tasks[key] for key in one["tasks"]),
                work=tuple(one["work"]),
                is_free=one["is_free"],
                is_out=one["is_out"],
            )
        )
    return found


@dataclass(frozen=True, kw_only=True)
class ContractPage:
    """One contract with all that hangs on it."""

    contract: Contract
    visits: Sequence[VisitShown]
    visits_out: Sequence[VisitShown]
    tasks_out: Sequence[Mapping[str, Any]]
    has_no_day: Sequence[Mapping[str, Any]]
    unhung: Sequence[Mapping[str, Any]]
    unidentified: Sequence[int]
    instructions: Sequence[StandingInstruction]
    earning: Earning
    parts: Sequence[Part]
    parts_words: Sequence[tuple[int, Decimal]]
    has_changed: bool
    document: Document | None
    links: Sequence[PrivateLink]
    agreement: Agreement | None
    revisions: Sequence[Contract]
    others: Sequence[Contract]
    booked: Sequence[Visit]
    instalments: Sequence[Instalment]

    @property
    def is_draft(self) -> bool:
        """Whether its plan and price may still be changed."""
        return self.contract.state == ContractState.DRAFTING

    @property
    def is_offered(self) -> bool:
        """Whether the client may agree to it."""
        return self.contract.state == ContractState.OFFERED

    @property
    def is_alive(self) -> bool:
        """Whether it is running or paused."""
        return self.contract.state in ALIVE

    @property
    def may_be_revised(self) -> bool:
        """Whether a new revision can be drawn from it."""
        return (
            self.contract.state in REVISED_FROM
            and self.revisions[-1].pk == self.contract.pk
        )

    @property
    def may_be_renewed(self) -> bool:
        """Whether the year after it can be drawn."""
        return self.contract.state in RENEWED_FROM

    @property
    def pays_past_the_end(self) -> bool:
        """Whether an instalment falls due after the last day."""
        return bool(self.parts) and self.parts[-1].due_on > self.contract.ends_on


def contract_page(*, contract_id: int) -> ContractPage | None:
    """The page of one contract; the same few queries however long its plan is."""
    contract = contract_by_id(contract_id=contract_id)
    if contract is None:
        return None
    plan = contract.plan
    shown = visits_shown(contract)
    document = paper_of(contract)
    places = money_places()
    parts = parts_of(contract, places=places)
    return ContractPage(
        contract=contract,
        visits=[one for one in shown if not one.is_out],
        visits_out=[one for one in shown if one.is_out],
        tasks_out=[one for one in plan.get("tasks", ()) if one["is_out"]],
        has_no_day=[one for one in plan.get("tasks", ()) if one["has_no_day"]],
        unhung=plan.get("unhung", []),
        unidentified=plan.get("unidentified", []),
        instructions=instructions_on(garden=contract.garden, day=contract.ends_on)
        if contract.state == ContractState.DRAFTING
        else (),
        earning=earning_of(contract, places=places),
        parts=parts,
        parts_words=parts_words(parts),
        has_changed=plantings_now(contract.garden) != plan.get("plantings", {}),
        document=document,
        links=list(
            PrivateLink.objects.filter(
                document=document, purpose=LinkPurpose.CONTRACT
            ).order_by("id")
            if document
            else ()
        ),
        agreement=Agreement.objects.select_related("recorded_by")
        .filter(contract=contract)
        .first(),
        revisions=list(
            Contract.objects.filter(number=contract.number).order_by("revision", "id")
        ),
        others=list(
            Contract.objects.filter(garden=contract.garden, state__in=ALIVE)
            .exclude(pk=contract.pk)
            .order_by("id")
        ),
        booked=list(
            Visit.objects.filter(contract=contract)
            .select_related("crew")
            .order_by(F("day").asc(nulls_last=True), "best_on", "id")
        ),
        instalments=list(
            Instalment.objects.filter(contract=contract)
            .select_related("bill")
            .order_by("position", "id")
        ),
    )


def plantings_now(garden: Garden) -> dict[str, int]:
    """What grows in GARDEN and how many, as a plan keeps it."""
    rows = Planting.objects.filter(garden=garden, state__in=IN_THE_GROUND)
    return {str(pk): count for pk, count in rows.values_list("pk", "count")}


# --- letters ------------------------------------------------------------------------


def contract_link(*, link_id: int) -> PrivateLink | None:
    """The private link with its paper, contract and client."""
    return (
        PrivateLink.objects.select_related(
            "document__contract__garden__client", "document__garden__client"
        )
        .filter(pk=link_id)
        .first()
    )


def contract_with_agreement(*, contract_id: int) -> Contract | None:
    """The contract with its agreement, paper, garden and client."""
    return (
        Contract.objects.select_related("agreement", "document", "garden__client")
        .filter(pk=contract_id)
        .first()
    )
