"""Queueing: one row for what must go out once."""

import datetime as dt
import uuid

import pytest
from django.core import mail
from django.db import transaction

from firm.actions.messages import (
    AlreadySettled,
    CannotBeAddressed,
    NoWayOut,
    UnknownKind,
    drop,
    queue,
    queue_trial_letter,
    send_again,
)
from firm.actions.sending import claim_next, send_next
from firm.models import Entry, Message
from tests.factories import PersonFactory

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2026, 3, 2, 11, 0, tzinfo=dt.UTC)


def queued(**changes):
    words = {
        "key": "trial:1",
        "kind": "trial letter",
        "recipient": "kit@fernhollow.example",
        "payload": {"name": "Kit"},
        "due_at": NOW,
        "language": "en",
        "now": NOW,
    }
    return queue(**(words | changes))


def test_a_message_waits_with_all_that_was_said():
    message = queued(too_late_at=NOW + dt.timedelta(hours=2))

    stored = Message.objects.get(pk=message.pk)
    assert (stored.state, stored.channel, stored.attempts) == ("waiting", "mail", 0)
    assert stored.recipient == "kit@fernhollow.example"
    assert stored.payload == {"name": "Kit"}
    assert stored.due_at == NOW
    assert stored.too_late_at == NOW + dt.timedelta(hours=2)
    assert stored.last_error == ""


def test_the_same_key_queued_twice_is_one_row_and_the_first_words_win():
    first = queued()
    second = queued(payload={"name": "Somebody else"}, recipient="else@x.example")

    assert second.pk == first.pk
    assert Message.objects.count() == 1
    assert Message.objects.get().payload == {"name": "Kit"}
    assert Message.objects.get().recipient == "kit@fernhollow.example"


def test_a_clash_of_keys_leaves_the_callers_transaction_usable():
    """PostgreSQL refuses every further query of a transaction that met an error."""
    with transaction.atomic():
        queued()
        queued()
        other = queued(key="trial:2")

    assert list(Message.objects.order_by("key").values_list("key", flat=True)) == [
        "trial:1",
        "trial:2",
    ]
    assert other.key == "trial:2"


def test_a_cause_that_is_undone_takes_its_message_with_it():
    class ChangedMyMind(Exception):
        pass

    with pytest.raises(ChangedMyMind), transaction.atomic():
        queued()
        raise ChangedMyMind

    assert Message.objects.count() == 0


def test_every_row_has_a_message_number_of_its_own(settings):
    settings.SITE_URL = "https://book.fernhollow.example"
    numbers = {queued(key=f"trial:{n}").message_id for n in range(20)}

    assert len(numbers) == 20
    assert all(number.endswith("@book.fernhollow.example>") for number in numbers)


@pytest.mark.parametrize(
    ("recipient", "words"),
    [
        ("", "There is no address to send this to."),
        ("  ", "There is no address to send this to."),
        (
            "kit@fernhollow.example\r\nBcc: all@x.example",
            "The address holds a line break.",
        ),
        ("kit@fernhollow.example\nBcc: all@x.example", "The address holds a line"),
        ("kit\0@fernhollow.example", "The address holds a line break."),
    ],
)
def test_an_address_that_is_missing_or_holds_a_line_break_is_refused(recipient, words):
    with pytest.raises(CannotBeAddressed, match=words):
        queued(recipient=recipient)

    assert Message.objects.count() == 0


def test_a_kind_that_nobody_registered_is_refused():
    with pytest.raises(UnknownKind):
        queued(kind="smoke signal")

    assert Message.objects.count() == 0


def test_a_text_message_is_held_with_a_plain_reason_and_never_sent():
    message = queued(channel="text", recipient="555 0142")

    assert message.state == "held"
    assert message.last_error == (
        "No way to send text messages is set up. Tell the person by telephone."
    )
    assert send_next(now=NOW + dt.timedelta(days=1)) is False
    with pytest.raises(NoWayOut, match="No way to send text messages"):
        send_again(message=message, by=PersonFactory(role="owner"), now=NOW)
    assert Message.objects.get().state == "held"


def test_a_held_message_sent_again_waits_with_all_its_tries():
    owner = PersonFactory(role="owner", name="Olive Harrow")
    message = queued(too_late_at=NOW + dt.timedelta(hours=1))
    Message.objects.update(state="held", attempts=5, last_error="unsure")
    later = NOW + dt.timedelta(hours=3)

    again = send_again(message=message, by=owner, now=later)

    assert (again.state, again.attempts, again.last_error) == ("waiting", 0, "")
    assert again.due_at == later
    # Past its latest moment, but the owner wants it out.
    assert again.too_late_at is None
    assert send_next(now=later) is True
    assert [letter.to for letter in mail.outbox] == [["kit@fernhollow.example"]]
    assert list(Entry.objects.values_list("action", "by", "summary")) == [
        ("message sent again", owner.pk, "trial letter: kit@fernhollow.example")
    ]


@pytest.mark.parametrize("state", ["waiting", "taken", "sent"])
def test_a_message_that_is_not_held_or_given_up_is_not_sent_again(state):
    message = queued()
    Message.objects.update(
        state=state,
        claimed_until=NOW if state == "taken" else None,
        sent_at=NOW if state == "sent" else None,
    )

    with pytest.raises(AlreadySettled):
        send_again(message=message, by=PersonFactory(role="owner"), now=NOW)

    assert Message.objects.get().state == state
    assert Entry.objects.count() == 0


@pytest.mark.parametrize("state", ["waiting", "held"])
def test_a_dropped_message_is_given_up_and_says_by_whom(state):
    message = queued()
    Message.objects.update(state=state)

    dropped = drop(
        message=message, by=PersonFactory(role="owner", name="Olive Harrow"), now=NOW
    )

    assert (dropped.state, dropped.last_error) == (
        "given up",
        "Dropped by Olive Harrow.",
    )
    assert send_next(now=NOW) is False
    assert mail.outbox == []


def test_a_message_that_is_being_sent_cannot_be_dropped():
    message = queued()
    claim_next(now=NOW)

    with pytest.raises(AlreadySettled):
        drop(message=message, by=PersonFactory(role="owner"), now=NOW)

    assert Message.objects.get().state == "taken"


def test_a_trial_letter_asked_for_twice_by_one_form_is_one():
    owner = PersonFactory(role="owner", email="olive@fernhollow.example")
    key = uuid.uuid4()

    first = queue_trial_letter(key=key, by=owner, now=NOW)
    second = queue_trial_letter(key=key, by=owner, now=NOW)

    assert first.pk == second.pk
    assert Message.objects.get().recipient == "olive@fernhollow.example"
