"""The way out for mail, and the firm's own letters."""

import datetime as dt
import os
from collections.abc import Sequence
from email.utils import parsedate_to_datetime
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.auth.tokens import default_token_generator
from django.core.mail import EmailMessage
from django.core.mail.backends.smtp import EmailBackend
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from firm.actions.accounts import invitation_key
from firm.models import Message
from firm.queries import firm_or_blank
from firm.queries.messages import MailFolder, MailServer, mail_way
from firm.queries.people import invitation_by_id, is_open, person
from firm.registry import Letter, MessageKind, registry


class NoMailServer(Exception):
    """Mail was to be sent and no mail server is set up."""

    def __init__(self) -> None:
        super().__init__(_("No mail server is set up."))


class MailPasswordLost(Exception):
    """The mail server's password cannot be opened with today's secret key."""

    def __init__(self) -> None:
        super().__init__(
            _("The stored mail password can no longer be read; type it in again.")
        )


class FirmMailBackend(EmailBackend):
    """Sends through the firm's mail server, or writes letters into a folder."""

    def __init__(self, fail_silently: bool = False, **_kwargs: Any) -> None:
        self.way = mail_way()
        server = self.way if isinstance(self.way, MailServer) else None
        super().__init__(
            host=server.host if server else "",
            port=server.port if server else 0,
            username=server.user if server else "",
            password=(server.password or "") if server else "",
            use_tls=bool(server and server.security == "starttls"),
            use_ssl=bool(server and server.security == "tls"),
            timeout=settings.EMAIL_TIMEOUT,
            fail_silently=fail_silently,
        )

    @property
    def ready(self) -> bool:
        """False if there is no way for mail to leave, so that messages wait."""
        return self.way is not None

    def open(self) -> bool | None:
        """Open the connection; a folder needs none."""
        if self.way is None:
            raise NoMailServer
        if isinstance(self.way, MailFolder):
            return False
        if self.way.password is None:
            raise MailPasswordLost
        return super().open()

    def send_messages(self, email_messages: Sequence[EmailMessage]) -> int:
        """How many messages were handed over or written."""
        if isinstance(self.way, MailFolder):
            for message in email_messages:
                write_letter(message, self.way.path)
            return len(email_messages)
        return super().send_messages(email_messages) or 0


def write_letter(message: EmailMessage, folder: Path) -> Path:
    """The new file in FOLDER that holds MESSAGE, named by its moment and number."""
    wired = message.message()
    moment = parsedate_to_datetime(str(wired["Date"])).astimezone(dt.UTC)
    number = "".join(
        sign for sign in str(wired["Message-ID"]).partition("@")[0] if sign.isalnum()
    )
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{moment:%Y%m%d-%H%M%S}-{number[:32]}.eml"
    # Whole or not at all: a reader of the folder never meets half a letter.
    unfinished = path.with_suffix(".part")
    unfinished.write_bytes(wired.as_bytes())
    os.replace(unfinished, path)
    return path


def compose(
    *,
    subject: str,
    template: str,
    context: dict[str, Any],
    files: tuple[tuple[str, bytes, str], ...] = (),
    reply_to: str = "",
) -> Letter:
    """The letter from templates/mail/TEMPLATE.txt and .html, on the firm's paper.

    Both extend mail/base; they know CONTEXT, `firm`, `subject` and `site_url`.
    """
    firm = firm_or_blank()
    known = {
        **context,
        "firm": firm,
        "subject": subject,
        "site_url": settings.SITE_URL,
    }
    return Letter(
        subject=subject,
        text=render_to_string(f"mail/{template}.txt", known).strip() + "\n",
        html=render_to_string(f"mail/{template}.html", known),
        files=files,
        reply_to=reply_to or firm.email,
    )


def write_trial_letter(message: Message) -> Letter:
    """The letter that shows that mail works."""
    return compose(
        subject=_("Mail works"),
        template="trial_letter",
        context={"name": message.payload["name"]},
    )


def write_invitation(message: Message) -> Letter:
    """The letter with the link by which an invited person comes in, once."""
    invitation = invitation_by_id(invitation_id=message.payload["invitation"])
    if invitation is None:
        raise LookupError(_("The invitation is gone."))
    path = reverse("invitation", args=[invitation_key(invitation=invitation)])
    return compose(
        subject=_("You are invited to %(firm)s") % {"firm": firm_or_blank().name},
        template="invitation",
        context={
            "name": invitation.name,
            "invited_by": invitation.invited_by.name,
            "link": f"{settings.SITE_URL}{path}",
            "expires_at": invitation.expires_at,
        },
    )


def invitation_wanted(message: Message, now: dt.datetime) -> bool:
    """True while the invitation is neither used, withdrawn nor run out."""
    invitation = invitation_by_id(invitation_id=message.payload["invitation"])
    return invitation is not None and is_open(invitation=invitation, now=now)


def write_password_reset(message: Message) -> Letter:
    """The letter with the link to a new password; the link is made only now."""
    asker = person(person_id=message.payload["person"])
    if asker is None:
        raise LookupError(_("The person is gone."))
    number = urlsafe_base64_encode(force_bytes(asker.pk))
    path = reverse(
        "password-new", args=[number, default_token_generator.make_token(asker)]
    )
    return compose(
        subject=_("A new password"),
        template="password_reset",
        context={"name": asker.name, "link": f"{settings.SITE_URL}{path}"},
    )


def password_reset_wanted(message: Message, now: dt.datetime) -> bool:
    """True while the person may log in under the address the letter goes to."""
    asker = person(person_id=message.payload["person"])
    return (
        asker is not None
        and asker.is_active
        and (asker.email or "").casefold() == message.recipient.casefold()
    )


def always_wanted(message: Message, now: dt.datetime) -> bool:
    """True: nothing makes such a message needless but its latest moment."""
    return True


def register_kinds() -> None:
    """Tell the registry the firm's own kinds of message; called once at start-up."""
    registry.add_message_kind(
        MessageKind(
            name="trial letter",
            words=gettext_lazy("trial letter"),
            write=write_trial_letter,
            still_wanted=always_wanted,
            after_crash="send again",
        )
    )
    registry.add_message_kind(
        MessageKind(
            name="invitation",
            words=gettext_lazy("invitation"),
            write=write_invitation,
            still_wanted=invitation_wanted,
            after_crash="send again",
        )
    )
    registry.add_message_kind(
        MessageKind(
            name="password reset",
            words=gettext_lazy("new password"),
            write=write_password_reset,
            still_wanted=password_reset_wanted,
            after_crash="send again",
        )
    )
