"""Takes clients and gardens over from a list that somebody kept before."""

import datetime as dt
from dataclasses import dataclass

from django.db import transaction

from firm.actions.clients import ClientDetails, ContactDetails, create_client
from firm.actions.imports import keep_rows, settle_list
from firm.enums import ImportState
from firm.models import Client, ListImport, Person
from plants.actions.gardens import GardenDetails, open_garden
from plants.models import Station
from plants.queries.take_over import Judged, look_through


@dataclass(frozen=True, kw_only=True)
class TakenOver:
    """What came out of a list."""

    clients: int
    gardens: int
    there: int
    wrong: int


@transaction.atomic
def take_over(
    *, list_id: int, station: Station, by: Person, now: dt.datetime
) -> TakenOver:
    """What was taken over: every good row of the list, once, and nothing of the rest.

    The rows are looked through again, for the book may have changed since the preview.
    """
    # First of all the state: whoever comes second is refused before anything is read.
    settle_list(
        list_id=list_id, state=ImportState.TAKEN_OVER, summary="", by=by, now=now
    )
    looked = look_through(listed=ListImport.objects.get(pk=list_id))
    rows_of: dict[str, list[Judged]] = {}
    for row in looked.new:
        rows_of.setdefault(row.client_key, []).append(row)
    clients: dict[str, Client] = {}
    for row in looked.new:
        if row.client_id is not None:
            client = Client.objects.get(pk=row.client_id)
        elif row.client_key in clients:
            client = clients[row.client_key]
        else:
            client = _new_client(rows_of[row.client_key], by=by, now=now)
            clients[row.client_key] = client
        open_garden(
            client=client,
            details=GardenDetails(
                name=row.garden_name,
                address=row.cell("address"),
                station=station,
                latitude=row.position.lat if row.position else None,
                longitude=row.position.lon if row.position else None,
                access_notes=row.cell("way in"),
                gate_code=row.cell("gate code"),
            ),
            by=by,
            now=now,
        )
    # Only what was wrong is kept, to be mended: gate codes need not lie about twice.
    keep_rows(list_id=list_id, numbers={row.number for row in looked.wrong})
    return TakenOver(
        clients=len(clients),
        gardens=len(looked.new),
        there=len(looked.there),
        wrong=len(looked.wrong),
    )


def _new_client(rows: list[Judged], *, by: Person, now: dt.datetime) -> Client:
    """The client of ROWS, with every contact that they name, the first as main."""
    addresses = [row.cell("billing address") for row in rows]
    billing = next((address for address in addresses if address), "")
    contacts: dict[tuple[str, str, str], ContactDetails] = {}
    for row in rows:
        email, phone = row.cell("mail"), row.cell("telephone")
        if not (row.cell("contact") or email or phone):
            continue
        name = row.cell("contact") or row.cell("client")
        contacts.setdefault(
            (name.casefold(), email.casefold(), phone),
            ContactDetails(name=name, email=email, phone=phone),
        )
    return create_client(
        details=ClientDetails(name=rows[0].cell("client"), billing_address=billing),
        contacts=list(contacts.values()),
        by=by,
        now=now,
    )
