"""Accounts: coming in by invitation, passwords, being switched off."""

import datetime as dt

from axes.utils import (
    reset as forget_wrong_tries,
)
from django.contrib.auth.password_validation import password_changed
from django.db import IntegrityError, transaction
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext as _

from firm.actions.messages import queue
from firm.actions.record import record
from firm.models import Invitation, Person
from firm.queries.people import hash_of_key

INVITATION_LASTS = dt.timedelta(hours=72)
# Somebody who presses the button again at once gets one letter.
ONE_RESET_LETTER_PER = dt.timedelta(minutes=5)
RESET_LETTER_LASTS = dt.timedelta(hours=24)


class AddressTaken(Exception):
    """Somebody of the firm already logs in with this mail address."""

    def __init__(self) -> None:
        super().__init__(_("Somebody already uses this mail address."))


class InvitationOver(Exception):
    """An invitation that no longer lets anybody in; says why."""


def invitation_key(*, invitation: Invitation) -> str:
    """The secret part of the invitation's link, the same however often it is asked.

    It is computed, not stored: the letter is written when it is sent, and the row
    holds the hash only.
    """
    moment = invitation.invited_at.astimezone(dt.UTC)
    return salted_hmac(
        "firm.invitation",
        f"{invitation.pk}:{moment:%Y%m%d%H%M%S%f}",
        algorithm="sha256",
    ).hexdigest()


@transaction.atomic
def invite(
    *, name: str, email: str, role: str, by: Person, now: dt.datetime
) -> Invitation:
    """The new invitation, its letter queued; an older one to that address dies."""
    email = email.strip().lower()
    if Person.objects.filter(email__iexact=email).exists():
        raise AddressTaken
    Invitation.objects.filter(
        email__iexact=email, used_at__isnull=True, withdrawn_at__isnull=True
    ).update(withdrawn_at=now)
    invitation = Invitation.objects.create(
        name=name,
        email=email,
        role=role,
        invited_by=by,
        invited_at=now,
        expires_at=now + INVITATION_LASTS,
        # The key is made of the row's own number, which is only known now.
        key_hash=hash_of_key(f"{email} {now.isoformat()}"),
    )
    invitation.key_hash = hash_of_key(invitation_key(invitation=invitation))
    invitation.save(update_fields=["key_hash"])
    queue(
        key=f"invitation:{invitation.pk}",
        kind="invitation",
        recipient=email,
        payload={"invitation": invitation.pk},
        due_at=now,
        too_late_at=invitation.expires_at,
        language=by.language,
        now=now,
    )
    record(
        action="person invited",
        subject=invitation,
        summary=f"{name} invited as {role}",
        now=now,
        by=by,
    )
    return invitation


@transaction.atomic
def withdraw_invitation(
    *, invitation_id: int, by: Person, now: dt.datetime
) -> Invitation:
    """The invitation, withdrawn; its link lets nobody in any more."""
    withdrawn = Invitation.objects.filter(
        pk=invitation_id, used_at__isnull=True, withdrawn_at__isnull=True
    ).update(withdrawn_at=now)
    if withdrawn != 1:
        raise InvitationOver(_("This invitation was already used or withdrawn."))
    invitation = Invitation.objects.get(pk=invitation_id)
    record(
        action="invitation withdrawn",
        subject=invitation,
        summary=f"Invitation of {invitation.name} withdrawn",
        now=now,
        by=by,
    )
    return invitation


@transaction.atomic
def come_in(*, key: str, name: str, password: str, now: dt.datetime) -> Person:
    """The new person; the invitation is used up and never works again."""
    invitation = Invitation.objects.filter(key_hash=hash_of_key(key)).first()
    if invitation is None:
        raise InvitationOver(_("This invitation is not known."))
    person = Person(
        name=name,
        email=invitation.email,
        role=invitation.role,
        language=invitation.invited_by.language,
    )
    person.set_password(password)
    try:
        with transaction.atomic():
            person.save()
    except IntegrityError as error:
        raise InvitationOver(_("This invitation was already used.")) from error
    used = Invitation.objects.filter(
        pk=invitation.pk,
        used_at__isnull=True,
        withdrawn_at__isnull=True,
        expires_at__gt=now,
    ).update(used_at=now, person=person)
    if used != 1:
        # Raising takes the person back, too.
        raise InvitationOver(_("This invitation was used, withdrawn or has run out."))
    record(
        action="person came in",
        subject=person,
        summary=f"{name} came in as {invitation.role}",
        now=now,
        by=person,
    )
    return person


@transaction.atomic
def ask_for_new_password(*, email: str, now: dt.datetime) -> None:
    """Queue the letter with the link, if an account that may log in has EMAIL.

    Nothing comes back, so that the page cannot tell one address from another.
    """
    person = Person.objects.filter(email__iexact=email.strip(), is_active=True).first()
    if person is None:
        return
    bucket = int(now.timestamp() // ONE_RESET_LETTER_PER.total_seconds())
    queue(
        key=f"password reset:{person.pk}:{bucket}",
        kind="password reset",
        recipient=person.email or "",
        payload={"person": person.pk},
        due_at=now,
        too_late_at=now + RESET_LETTER_LASTS,
        language=person.language,
        now=now,
    )
    record(
        action="new password asked for",
        subject=person,
        summary=f"New password asked for {person.name}",
        now=now,
        by=None,
        by_words="somebody at the login page",
    )


@transaction.atomic
def set_password(
    *, person: Person, password: str, by: Person | None, now: dt.datetime
) -> Person:
    """The person with the new password; every session opened before is over."""
    person.set_password(password)
    person.save(update_fields=["password"])
    password_changed(password, person)
    # A forgotten password was probably tried too often just before.
    forget_wrong_tries(username=person.email)
    record(
        action="password changed",
        subject=person,
        summary=f"Password of {person.name} changed",
        now=now,
        by=by,
        by_words="" if by else "link from the mail",
    )
    return person
