"""The outbox: a row for what must go out once, and what the owner may do about it."""

import datetime as dt
import uuid
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.db import transaction
from django.utils.translation import gettext as _

from firm.actions.record import record
from firm.enums import Channel, MessageState
from firm.models import Message, Person
from firm.queries.messages import AGAIN_FROM, DROP_FROM
from firm.registry import registry


class CannotBeAddressed(Exception):
    """A message without an address that mail can be sent to."""


class UnknownKind(Exception):
    """A message of a kind that no app registered."""


class AlreadySettled(Exception):
    """A message is not where the page showed it."""

    def __init__(self) -> None:
        super().__init__(
            _("This message has moved on since you opened the page. Look again below.")
        )


class NoWayOut(Exception):
    """A message cannot go out by its channel."""


@transaction.atomic
def queue(
    *,
    key: str,
    kind: str,
    recipient: str,
    payload: dict[str, Any],
    due_at: dt.datetime,
    language: str,
    now: dt.datetime,
    too_late_at: dt.datetime | None = None,
    channel: str = Channel.MAIL,
) -> Message:
    """The message of that key: a new row, or the one that was queued before.

    Call it inside the transaction of its cause. A clash of keys is settled inside a
    savepoint, so the caller's transaction stays usable; the first row's words win.
    """
    if kind not in registry.message_kinds:
        raise UnknownKind(kind)
    recipient = recipient.strip()
    if not recipient:
        raise CannotBeAddressed(_("There is no address to send this to."))
    if any(sign in recipient for sign in "\r\n\0"):
        raise CannotBeAddressed(_("The address holds a line break."))
    by_mail = channel == Channel.MAIL
    message, _is_new = Message.objects.get_or_create(
        key=key,
        defaults={
            "kind": kind,
            "channel": channel,
            "recipient": recipient,
            "language": language,
            "payload": payload,
            "due_at": due_at,
            "too_late_at": too_late_at,
            "state": MessageState.WAITING if by_mail else MessageState.HELD,
            "last_error": "" if by_mail else no_text_messages(),
            "message_id": f"<{uuid.uuid4().hex}@{mail_domain()}>",
        },
    )
    return message


def no_text_messages() -> str:
    """Why a text message is held."""
    return _("No way to send text messages is set up. Tell the person by telephone.")


def mail_domain() -> str:
    """The right-hand side of our message numbers."""
    return urlsplit(settings.SITE_URL).hostname or "localhost"


@transaction.atomic
def send_again(*, message: Message, by: Person, now: dt.datetime) -> Message:
    """MESSAGE waiting again, with all its tries and without its latest moment."""
    if message.channel != Channel.MAIL:
        raise NoWayOut(no_text_messages())
    changed = Message.objects.filter(pk=message.pk, state__in=AGAIN_FROM).update(
        state=MessageState.WAITING,
        due_at=now,
        too_late_at=None,
        attempts=0,
        last_error="",
    )
    return _recorded(
        changed, message=message, action="message sent again", by=by, now=now
    )


@transaction.atomic
def drop(*, message: Message, by: Person, now: dt.datetime) -> Message:
    """MESSAGE given up because the owner said so."""
    changed = Message.objects.filter(pk=message.pk, state__in=DROP_FROM).update(
        state=MessageState.GIVEN_UP,
        last_error=_("Dropped by %(name)s.") % {"name": by.name},
    )
    return _recorded(changed, message=message, action="message dropped", by=by, now=now)


def _recorded(
    changed: int, *, message: Message, action: str, by: Person, now: dt.datetime
) -> Message:
    if changed != 1:
        raise AlreadySettled
    message.refresh_from_db()
    record(
        action=action,
        subject=message,
        summary=f"{message.kind}: {message.recipient}",
        now=now,
        by=by,
    )
    return message


@transaction.atomic
def queue_trial_letter(*, key: uuid.UUID, by: Person, now: dt.datetime) -> Message:
    """The trial letter to the person who asks whether mail works."""
    message = queue(
        key=f"trial letter:{key}",
        kind="trial letter",
        recipient=by.email or "",
        payload={"name": by.name},
        due_at=now,
        too_late_at=now + dt.timedelta(hours=1),
        language=by.language,
        now=now,
    )
    record(
        action="trial letter queued",
        subject=message,
        summary=message.recipient,
        now=now,
        by=by,
    )
    return message
