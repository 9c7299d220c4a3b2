"""Private links: a key that opens one document without an account."""

import base64
import datetime as dt
import hashlib
import hmac
import secrets

from django.conf import settings
from django.db import transaction

from firm.actions.record import record
from firm.models import Person
from jobs.enums import LinkPurpose
from jobs.models import Document, PrivateLink


def key_of(link: PrivateLink) -> str:
    """The key in the link's address, made from its nonce and the installation's secret.

    Only its hash is stored, so the database alone opens nothing.
    """
    digest = hmac.digest(
        settings.SECRET_KEY.encode(),
        f"private link {link.purpose} {link.nonce}".encode(),
        "sha256",
    )
    return base64.urlsafe_b64encode(digest).rstrip(b"=").decode()


def hash_of(key: str) -> str:
    """The hash under which a key is looked up."""
    return hashlib.sha256(key.encode()).hexdigest()


@transaction.atomic
def make_link(
    *,
    document: Document,
    purpose: LinkPurpose,
    recipient: str,
    now: dt.datetime,
    expires_at: dt.datetime | None,
    by: Person | None,
) -> PrivateLink:
    """A new link to DOCUMENT; its key is read with key_of."""
    link = PrivateLink(
        document=document,
        purpose=purpose,
        recipient=recipient,
        nonce=secrets.token_hex(16),
        created_at=now,
        expires_at=expires_at,
    )
    link.key_hash = hash_of(key_of(link))
    link.save()
    record(
        action="private link made",
        subject=link,
        summary=f"private link to {document} for {recipient or 'somebody'}",
        now=now,
        by=by,
    )
    return link


@transaction.atomic
def withdraw_link(
    *, link: PrivateLink, now: dt.datetime, by: Person | None
) -> PrivateLink:
    """The link, which opens nothing any more."""
    if PrivateLink.objects.filter(pk=link.pk, withdrawn_at__isnull=True).update(
        withdrawn_at=now
    ):
        record(
            action="private link withdrawn",
            subject=link,
            summary=f"private link to {link.document} withdrawn",
            now=now,
            by=by,
        )
    link.refresh_from_db()
    return link


def note_opened(*, link: PrivateLink, now: dt.datetime) -> None:
    """Keep when the link was opened first."""
    PrivateLink.objects.filter(pk=link.pk, opened_at__isnull=True).update(opened_at=now)


class LinkClosed(Exception):
    """A private link that was withdrawn, ran out or is for something else."""


def take_link(*, link_id: int, purpose: LinkPurpose, now: dt.datetime) -> PrivateLink:
    """The open link, locked until the caller's transaction ends; else LinkClosed."""
    link = (
        PrivateLink.objects.select_for_update(of=("self",))
        .select_related("document")
        .filter(pk=link_id, purpose=purpose)
        .first()
    )
    if (
        link is None
        or link.withdrawn_at is not None
        or (link.expires_at is not None and link.expires_at <= now)
    ):
        raise LinkClosed
    return link
