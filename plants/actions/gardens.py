"""Gardens and what their owners insist on."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from django.db import transaction
from django.db.models import F

from firm.actions.clients import ClientDetails, ContactDetails, create_client
from firm.actions.record import SomebodyElseChangedIt, record
from firm.models import Client, Person, TaxRegion
from plants import care
from plants.models import Garden, Planting, StandingInstruction, Station


class NoClient(Exception):
    """A garden belongs to a client, and none was named."""

    def __init__(self) -> None:
        super().__init__("Choose a client or name a new one.")


class InstructionRefused(Exception):
    """An instruction that cannot stand; says why."""


@dataclass(frozen=True, kw_only=True)
class GardenDetails:
    """All that is written down about a garden."""

    name: str
    address: str
    station: Station
    latitude: Decimal | None = None
    longitude: Decimal | None = None
    region: str = ""
    tax_region: TaxRegion | None = None
    has_deer: bool | None = None
    access_notes: str = ""
    gate_code: str = field(default="", repr=False)


@transaction.atomic
def open_garden(
    *,
    client: Client | None = None,
    new_client: ClientDetails | None = None,
    contacts: Sequence[ContactDetails] = (),
    details: GardenDetails,
    now: dt.datetime,
    by: Person,
) -> Garden:
    """The new garden of CLIENT, or of a new client who comes with it."""
    if client is None:
        if new_client is None:
            raise NoClient
        client = create_client(details=new_client, contacts=contacts, by=by, now=now)
    garden = Garden.objects.create(client=client, **vars(details))
    record(
        action="garden opened",
        subject=garden,
        summary=f"Garden {garden.name} of {client.name} opened",
        now=now,
        by=by,
    )
    return garden


@transaction.atomic
def change_garden(
    *,
    garden: Garden,
    version: int,
    details: GardenDetails,
    now: dt.datetime,
    by: Person,
) -> Garden:
    """The garden with its new DETAILS; refused when VERSION is no longer the last."""
    changed = Garden.objects.filter(pk=garden.pk, version=version).update(
        version=F("version") + 1, **vars(details)
    )
    if changed != 1:
        raise SomebodyElseChangedIt
    garden.refresh_from_db()
    # The gate code is left out: the record is read by more people than may see it.
    record(
        action="garden changed",
        subject=garden,
        summary=f"Garden {garden.name} changed",
        now=now,
        by=by,
    )
    return garden


@transaction.atomic
def give_instruction(
    *,
    garden: Garden,
    text: str,
    day: dt.date,
    now: dt.datetime,
    by: Person,
    planting: Planting | None = None,
    forbids: tuple[str, ...] = (),
    given_by: str = "",
) -> StandingInstruction:
    """The new instruction for a garden or for one planting in it."""
    if planting is not None and planting.garden_id != garden.pk:
        raise InstructionRefused("This planting stands in another garden.")
    unknown = [task for task in forbids if task not in care.TASKS]
    if unknown:
        raise InstructionRefused(f"No such task: {', '.join(unknown)}.")
    instruction = StandingInstruction.objects.create(
        garden=garden,
        planting=planting,
        text=text,
        forbids=list(forbids),
        given_on=day,
        given_by=given_by,
    )
    record(
        action="instruction given",
        subject=instruction,
        summary=f"{garden.name}: {text}",
        now=now,
        by=by,
        details={"garden": garden.pk, "forbids": list(forbids)},
    )
    return instruction


@transaction.atomic
def end_instruction(
    *, instruction: StandingInstruction, day: dt.date, now: dt.datetime, by: Person
) -> StandingInstruction:
    """The instruction, no longer standing from DAY on."""
    ended = StandingInstruction.objects.filter(
        pk=instruction.pk, ended_on__isnull=True, given_on__lte=day
    ).update(ended_on=day)
    if ended != 1:
        raise InstructionRefused("This instruction has already ended.")
    instruction.refresh_from_db()
    record(
        action="instruction ended",
        subject=instruction,
        summary=f"Instruction ended: {instruction.text}",
        now=now,
        by=by,
    )
    return instruction
