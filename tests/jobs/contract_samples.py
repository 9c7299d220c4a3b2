"""Gardens and care contracts for tests of contracts and of the week."""

import datetime as dt
import uuid
from dataclasses import replace
from typing import Any

from firm.models import Person, TaxRate
from jobs.actions.contracts import (
    ContractDetails,
    OfferedContract,
    draw_contract,
    offer_contract,
    record_contract_agreement,
)
from jobs.enums import AgreedHow
from jobs.models import Contract
from plants.models import Garden, Planting
from tests import factories
from tests.factories import NOW

APRIL = dt.date(2026, 4, 1)
UNTIL = dt.date(2026, 4, 30)
DETAILS = ContractDetails(
    title="Care of the garden",
    words="",
    terms="",
    starts_on=APRIL,
    visit_minutes=30,
    net=None,
    is_taxed=True,
    instalment_count=12,
    instalment_months=1,
)


def care_garden(*, plantings: int = 1, name: str = "Orchard Row") -> Garden:
    """A garden of three old-wood shrubs a planting, cut after bloom and fed."""
    factories.FirmFactory()
    if not TaxRate.objects.exists():
        factories.TaxRateFactory()
    client = factories.ClientFactory(name="Dana Quill")
    factories.ContactFactory(client=client)
    garden: Garden = factories.GardenFactory(client=client, name=name)
    with_rules()
    for number in range(1, plantings + 1):
        factories.PlantingFactory(garden=garden, number=number)
    return garden


def with_rules() -> None:
    """The rules and the closed season of the plants above."""
    factories.RuleFactory()
    factories.RuleFactory(
        key="feed-in-spring",
        task="feed",
        spec=factories.rule_spec(
            key="feed-in-spring",
            task="feed",
            purpose="none",
            window={
                "anchor": "last_spring_frost",
                "earliest": -7,
                "best": 0,
                "latest": 21,
            },
            limits={},
            conditions={},
            drawing="none",
            minutes=5,
        ),
    )
    factories.ClosedSeasonFactory()


def details(**changes: Any) -> ContractDetails:
    """The details above with CHANGES."""
    return replace(DETAILS, **changes)


def owner_of_all() -> Person:
    """An owner to act as."""
    person: Person = factories.PersonFactory(role="owner")
    return person


def drawn(
    garden: Garden | None = None,
    *,
    now: dt.datetime = NOW,
    by: Person | None = None,
    **changes: Any,
) -> Contract:
    """A draft for GARDEN, or for a new one."""
    return draw_contract(
        garden_id=(garden or care_garden()).pk,
        key=uuid.uuid4(),
        details=details(**changes),
        by=by or owner_of_all(),
        now=now,
    )


def offered_contract(
    contract: Contract,
    *,
    until: dt.date = UNTIL,
    now: dt.datetime = NOW,
    on_paper: bool = False,
    by: Person | None = None,
) -> OfferedContract:
    """The draft offered to the main contact by mail, or on paper."""
    contact = contract.garden.client.contacts.order_by("id").first()
    contract.refresh_from_db()
    return offer_contract(
        contract_id=contract.pk,
        version=contract.version,
        contact_id=None if on_paper or contact is None else contact.pk,
        valid_until=until,
        by=by or owner_of_all(),
        now=now,
    )


def agreed(
    contract: Contract, *, now: dt.datetime = NOW, by: Person | None = None
) -> Contract:
    """The offered contract agreed to by telephone."""
    record_contract_agreement(
        contract_id=contract.pk,
        how=AgreedHow.PHONE,
        name="Dana Quill",
        agreed_at=now,
        agreed_on=now.date(),
        note="",
        scan=None,
        confirm_to="",
        by=by or owner_of_all(),
        now=now,
    )
    contract.refresh_from_db()
    return contract


def running(
    garden: Garden | None = None, *, now: dt.datetime = NOW, **changes: Any
) -> Contract:
    """A contract that runs."""
    contract = drawn(garden, now=now, **changes)
    until = now.date() + dt.timedelta(days=20)
    offered_contract(contract, now=now, until=until)
    return agreed(contract, now=now)


def unidentified(garden: Garden, *, number: int) -> Planting:
    """A planting that nobody could name."""
    planting: Planting = factories.PlantingFactory(
        garden=garden,
        plant=None,
        number=number,
        count=1,
        what_it_looks_like="tall shrub by the gate",
        age_known="unknown",
        age_years=None,
        age_on=None,
    )
    return planting
