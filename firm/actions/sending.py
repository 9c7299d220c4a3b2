"""Sending the outbox: claim a row, send outside the transaction, settle it."""

import datetime as dt
import logging
import smtplib
import uuid
from contextlib import suppress
from email.utils import formataddr
from typing import Any

from django.conf import settings
from django.core.mail import EmailMultiAlternatives, get_connection
from django.core.mail.message import BadHeaderError
from django.db import transaction
from django.db.models import F
from django.utils import translation
from django.utils.translation import gettext as _

from firm.enums import Channel, MessageState
from firm.models import Message
from firm.queries import firm_or_blank
from firm.queries.messages import due, messages_due, stale
from firm.registry import Letter, MessageKind, NotYet, registry

logger = logging.getLogger(__name__)

# A mail server may take EMAIL_TIMEOUT (20 s) for each of about ten steps of one
# conversation; the lease outlasts them all, so a slow sender is not robbed.
LEASE = dt.timedelta(minutes=5)
BACK_OFF = tuple(dt.timedelta(minutes=minutes) for minutes in (1, 5, 15, 60))
MOST_ATTEMPTS = len(BACK_OFF) + 1
WAIT_FOR_PAPER = dt.timedelta(seconds=15)


@transaction.atomic(durable=True)
def claim_next(*, now: dt.datetime) -> Message | None:
    """The message that has been due longest, now taken by the caller alone."""
    row = (
        # SQLite has no row locks: there the transaction itself is the lock (IMMEDIATE).
        Message.objects.select_for_update(skip_locked=True)
        .filter(due(now=now), channel=Channel.MAIL)
        .order_by("due_at", "id")
        .first()
    )
    if row is None:
        return None
    token = uuid.uuid4().hex
    taken = Message.objects.filter(pk=row.pk, state=MessageState.WAITING).update(
        state=MessageState.TAKEN,
        token=token,
        claimed_until=now + LEASE,
        attempts=F("attempts") + 1,
    )
    return Message.objects.get(pk=row.pk, token=token) if taken == 1 else None


def free_stale(*, now: dt.datetime) -> int:
    """How many messages were taken from senders that stopped, by their kind's rule."""
    freed = 0
    for message in Message.objects.filter(stale(now=now)).order_by("id"):
        freed += _settle_unsure(
            message=message,
            now=now,
            due_at=now,
            words=_("The background work stopped while this was being sent."),
        )
    return freed


def send_next(*, now: dt.datetime) -> bool:
    """True if a due message was taken and settled; False if there was none to send.

    Never call it inside a transaction: the claim is committed before anything is sent.
    """
    if not messages_due(now=now):
        return False
    free_stale(now=now)
    connection = get_connection()
    # Without a mail server messages wait; the firm's own backend says so.
    if not getattr(connection, "ready", True):
        return False
    message = claim_next(now=now)
    if message is None:
        return False
    letter = _letter_for(message=message, now=now)
    if letter is not None:
        _send(message=message, letter=letter, connection=connection, now=now)
    return True


def _letter_for(*, message: Message, now: dt.datetime) -> Letter | None:
    """What MESSAGE says; None when it must not or cannot go out (it is settled)."""
    kind = registry.message_kinds.get(message.kind)
    if kind is None:
        _settle(
            message=message,
            state=MessageState.HELD,
            words=_("Nothing here knows how to write this kind of message."),
        )
        return None
    if message.too_late_at is not None and now >= message.too_late_at:
        _settle(
            message=message,
            state=MessageState.GIVEN_UP,
            words=_("Too late: it would have come after its use."),
        )
        return None
    try:
        if not kind.still_wanted(message, now):
            _settle(
                message=message,
                state=MessageState.GIVEN_UP,
                words=_("No longer wanted."),
                is_unwanted=True,
            )
            return None
        with translation.override(message.language):
            return _checked(kind.write(message))
    except NotYet as wait:
        # Not a failure: the try is given back.
        _settle(
            message=message,
            state=MessageState.WAITING,
            words=str(wait),
            due_at=now + WAIT_FOR_PAPER,
            attempts=F("attempts") - 1,
        )
    except BadHeaderError:
        _settle(
            message=message,
            state=MessageState.HELD,
            words=_("Refused: its subject or an address holds a line break."),
        )
    except Exception as error:
        logger.exception("message %s could not be written", message.pk)
        _settle_failed(message=message, now=now, words=_words_of(error))
    return None


def _checked(letter: Letter) -> Letter:
    """The letter, refused if anything for a header holds a line break."""
    file_names = (name for name, _content, _media in letter.files)
    for text in (letter.subject, letter.reply_to, *file_names):
        if any(sign in text for sign in "\r\n\0"):
            raise BadHeaderError
    return letter


def _send(
    *, message: Message, letter: Letter, connection: Any, now: dt.datetime
) -> bool:
    """True if the letter was handed over and the message is settled as sent."""
    try:
        mail = _mail_of(message=message, letter=letter, connection=connection)
        connection.open()
    except Exception as error:
        # Nothing was handed over yet, whatever went wrong.
        logger.warning("message %s: no way to send: %s", message.pk, error)
        _settle_failed(message=message, now=now, words=_words_of(error))
        return False
    try:
        mail.send()
    except (smtplib.SMTPResponseException, smtplib.SMTPRecipientsRefused) as error:
        # The server answered, and the answer was no.
        logger.warning("message %s refused: %s", message.pk, error)
        _settle_failed(message=message, now=now, words=_words_of(error))
        return False
    except BadHeaderError:
        _settle(
            message=message,
            state=MessageState.HELD,
            words=_("Refused: its subject or an address holds a line break."),
        )
        return False
    except Exception as error:
        logger.warning("message %s: no answer: %s", message.pk, error)
        _settle_unsure(
            message=message,
            now=now,
            due_at=now + _back_off(message),
            words=_("The mail server gave no clear answer (%(error)s).")
            % {"error": _words_of(error)},
        )
        return False
    else:
        settled = _settle(
            message=message,
            state=MessageState.SENT,
            words="",
            sent_at=now,
            subject=letter.subject[:250],
        )
        return settled == 1
    finally:
        with suppress(Exception):
            connection.close()


def _mail_of(
    *, message: Message, letter: Letter, connection: Any
) -> EmailMultiAlternatives:
    """The mail as it goes over the wire, with the row's own message number."""
    firm = firm_or_blank()
    sender = firm.mail_from or firm.email or settings.DEFAULT_FROM_EMAIL
    mail = EmailMultiAlternatives(
        subject=letter.subject,
        body=letter.text,
        from_email=formataddr((firm.name, sender)) if firm.name else sender,
        to=[message.recipient],
        reply_to=[letter.reply_to] if letter.reply_to else None,
        headers={
            "Message-ID": message.message_id,
            # RFC 3834: keeps holiday replies from answering a machine.
            "Auto-Submitted": "auto-generated",
        },
        connection=connection,
    )
    if letter.html:
        mail.attach_alternative(letter.html, "text/html")
    for name, content, media_type in letter.files:
        mail.attach(name, content, media_type)
    return mail


@transaction.atomic(durable=True)
def _settle(
    *, message: Message, state: MessageState, words: str, **columns: Any
) -> int:
    """1 if MESSAGE was still the caller's and now stands in STATE, else 0."""
    settled = Message.objects.filter(
        pk=message.pk, state=MessageState.TAKEN, token=message.token
    ).update(state=state, token="", claimed_until=None, last_error=words, **columns)
    if settled != 1:
        logger.warning("message %s was no longer ours to settle", message.pk)
    return settled


def _settle_failed(*, message: Message, now: dt.datetime, words: str) -> int:
    """Settle a message that surely did not go out: later again, or given up."""
    if message.attempts >= MOST_ATTEMPTS:
        return _settle(message=message, state=MessageState.GIVEN_UP, words=words)
    return _settle(
        message=message,
        state=MessageState.WAITING,
        words=words,
        due_at=now + _back_off(message),
    )


def _settle_unsure(
    *, message: Message, now: dt.datetime, due_at: dt.datetime, words: str
) -> int:
    """Settle a message that may or may not have gone out, as its kind chose."""
    kind: MessageKind | None = registry.message_kinds.get(message.kind)
    if kind is None or kind.after_crash == "hold":
        return _settle(
            message=message,
            state=MessageState.HELD,
            words=words + " " + _("It may or may not have arrived."),
        )
    if message.attempts >= MOST_ATTEMPTS:
        return _settle(message=message, state=MessageState.GIVEN_UP, words=words)
    return _settle(
        message=message, state=MessageState.WAITING, words=words, due_at=due_at
    )


def _back_off(message: Message) -> dt.timedelta:
    """How long to wait after that many tries."""
    return BACK_OFF[min(message.attempts, len(BACK_OFF)) - 1]


def _words_of(error: Exception) -> str:
    """An error in words short enough for the page."""
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        code, answer = next(iter(error.recipients.values()))
        return f"{code} {_decoded(answer)}"[:500]
    if isinstance(error, smtplib.SMTPResponseException):
        return f"{error.smtp_code} {_decoded(error.smtp_error)}"[:500]
    return (str(error) or type(error).__name__)[:500]


def _decoded(answer: bytes | str) -> str:
    return (
        answer.decode("utf-8", "replace") if isinstance(answer, bytes) else str(answer)
    )
