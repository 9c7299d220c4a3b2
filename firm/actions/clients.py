"""Clients and the people to speak to."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _

from firm.actions.record import record
from firm.models import Client, Contact, Person


class NoSuchClient(Exception):
    """The client to be changed is not there."""


class TwoMainContacts(Exception):
    """More than one contact is marked as the first to be asked."""

    def __init__(self) -> None:
        super().__init__(_("Only one contact can be the first to be asked."))


@dataclass(frozen=True, kw_only=True)
class ClientDetails:
    """What is kept of a client beside the contacts."""

    name: str
    billing_address: str = ""
    language: str = "en"
    notes: str = ""
    has_children: bool = False
    has_dogs: bool = False
    has_cats: bool = False
    has_horses: bool = False
    tax_exempt_certificate: str = ""
    tax_exempt_until: dt.date | None = None


@dataclass(frozen=True, kw_only=True)
class ContactDetails:
    """What is kept of a contact; without an id it is a new one."""

    id: int | None = None
    name: str
    part: str = ""
    email: str = ""
    phone: str = ""
    is_main: bool = False
    wants_reminders: bool = True


CLIENT_FIELDS = list(ClientDetails.__dataclass_fields__)
CONTACT_FIELDS = [name for name in ContactDetails.__dataclass_fields__ if name != "id"]


def _main_of(contacts: Sequence[ContactDetails]) -> int | None:
    """The place of the one to be asked first: the marked one, else the first."""
    marked = [place for place, each in enumerate(contacts) if each.is_main]
    if len(marked) > 1:
        raise TwoMainContacts
    if marked:
        return marked[0]
    return 0 if contacts else None


def _write_contacts(client: Client, contacts: Sequence[ContactDetails]) -> None:
    """Make the client's contacts those of CONTACTS; the others are removed."""
    main = _main_of(contacts)
    known = {contact.pk: contact for contact in client.contacts.order_by("id")}
    kept = {each.id for each in contacts if each.id in known}
    client.contacts.exclude(pk__in=kept).delete()
    # Only one row may be the main one at any moment, so nobody is for an instant.
    client.contacts.update(is_main=False)
    for place, each in enumerate(contacts):
        contact = known.get(each.id or 0) or Contact(client=client)
        for field in CONTACT_FIELDS:
            setattr(contact, field, getattr(each, field))
        contact.is_main = place == main
        contact.save(update_fields=CONTACT_FIELDS if contact.pk else None)


@transaction.atomic
def create_client(
    *,
    details: ClientDetails,
    contacts: Sequence[ContactDetails] = (),
    by: Person | None,
    now: dt.datetime,
) -> Client:
    """The new client with the contacts; the first is the main one unless marked."""
    client = Client(**{field: getattr(details, field) for field in CLIENT_FIELDS})
    client.save()
    _write_contacts(client, contacts)
    record(
        action="client added",
        subject=client,
        summary=f"Client {client.name} added",
        now=now,
        by=by,
    )
    return client


@transaction.atomic
def change_client(
    *,
    client_id: int,
    details: ClientDetails,
    contacts: Sequence[ContactDetails],
    by: Person | None,
    now: dt.datetime,
) -> Client:
    """The changed client; contacts that are not among CONTACTS are removed."""
    client = Client.objects.filter(pk=client_id).first()
    if client is None:
        raise NoSuchClient
    changed = [
        field
        for field in CLIENT_FIELDS
        if getattr(client, field) != getattr(details, field)
    ]
    for field in changed:
        setattr(client, field, getattr(details, field))
    if changed:
        client.save(update_fields=changed)
    _write_contacts(client, contacts)
    record(
        action="client changed",
        subject=client,
        summary=f"Client {client.name} changed",
        now=now,
        by=by,
        details={"fields": changed},
    )
    return client
