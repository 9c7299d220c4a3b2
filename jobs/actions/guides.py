"""Care guides: issued, mailed, sent again, and their links withdrawn."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _

from firm.actions.messages import queue
from firm.actions.record import next_number, record
from firm.models import Client, Contact, Message, Person
from jobs.actions.documents import issue
from jobs.actions.links import make_link, withdraw_link
from jobs.enums import DocumentKind, LinkPurpose
from jobs.models import Document, Job, PrivateLink
from jobs.queries.guides import guide_snapshot
from jobs.queries.work.cautions import firm_day
from plants.models import Garden, Planting
from plants.queries.care import plantings_in


class GuideRefused(Exception):
    """A care guide that cannot be written or sent, in words."""


class NothingGrows(GuideRefused):
    """A guide for no plant."""

    def __init__(self) -> None:
        super().__init__(_("Choose at least one planting for the guide."))


class NoAddress(GuideRefused):
    """A guide that was to be mailed to somebody without a mail address."""

    def __init__(self) -> None:
        super().__init__(_("This contact has no mail address."))


@dataclass(frozen=True, kw_only=True)
class IssuedGuide:
    """A care guide with its private link, and the letter where it is mailed."""

    document: Document
    link: PrivateLink
    message: Message | None


def main_contact(client: Client) -> Contact | None:
    """Whom a guide goes to by itself: the main contact with a mail address."""
    return client.contacts.exclude(email="").order_by("-is_main", "id").first()


@transaction.atomic
def issue_guide(
    *,
    garden: Garden,
    planting_ids: Sequence[int],
    start: dt.date,
    contact: Contact | None,
    now: dt.datetime,
    by: Person,
    job: Job | None = None,
) -> IssuedGuide:
    """The new guide to plantings that grow in GARDEN, for twelve months from START.

    It has a private link at once; a letter with the PDF goes to CONTACT, if any.
    """
    wanted = set(planting_ids)
    plantings: list[Planting] = [
        planting for planting in plantings_in(garden) if planting.pk in wanted
    ]
    if not plantings:
        raise NothingGrows
    if contact is not None and not contact.email:
        raise NoAddress
    day = firm_day(now)
    number = next_number(kind="care guide", prefix="G", year=day.year)
    language = garden.client.language
    document = issue(
        kind=DocumentKind.CARE_GUIDE,
        number=number,
        garden=garden,
        snapshot=guide_snapshot(
            garden=garden,
            plantings=plantings,
            number=number,
            start=start,
            day=day,
            language=language,
        ),
        now=now,
        by=by,
        language=language,
        job=job,
    )
    link, message = _send(document=document, contact=contact, now=now, by=by)
    return IssuedGuide(document=document, link=link, message=message)


def _send(
    *, document: Document, contact: Contact | None, now: dt.datetime, by: Person | None
) -> tuple[PrivateLink, Message | None]:
    """A new private link to the guide, and the letter that carries it."""
    link = make_link(
        document=document,
        purpose=LinkPurpose.CARE_GUIDE,
        recipient=contact.email if contact else "",
        now=now,
        expires_at=None,
        by=by,
    )
    if contact is None:
        return link, None
    message = queue(
        key=f"care guide:{link.pk}",
        kind="care guide",
        recipient=contact.email,
        payload={"link": link.pk, "name": contact.name},
        due_at=now,
        language=document.language,
        now=now,
    )
    return link, message


@transaction.atomic
def send_guide(
    *, document: Document, contact_id: int, now: dt.datetime, by: Person
) -> Message:
    """The letter that carries the guide to a contact of the client, by a new link."""
    contact = document.garden.client.contacts.filter(pk=contact_id).first()
    if contact is None or not contact.email:
        raise NoAddress
    _link, message = _send(document=document, contact=contact, now=now, by=by)
    record(
        action="care guide sent",
        subject=document,
        summary=f"care guide {document.number} to {contact.name}",
        now=now,
        by=by,
    )
    if message is None:
        raise NoAddress
    return message


@transaction.atomic
def withdraw_guide_link(
    *, document: Document, link_id: int, now: dt.datetime, by: Person
) -> PrivateLink:
    """A private link to the guide, which opens nothing any more."""
    link = document.links.filter(pk=link_id, purpose=LinkPurpose.CARE_GUIDE).first()
    if link is None:
        raise GuideRefused(_("This link is not there any more."))
    return withdraw_link(link=link, now=now, by=by)
