"""Sending: claimed by one, sent outside the transaction, settled by its token."""

import datetime as dt

import pytest
import time_machine
from django.core import mail

from firm.actions.messages import queue
from firm.actions.sending import (
    BACK_OFF,
    LEASE,
    MOST_ATTEMPTS,
    claim_next,
    free_stale,
    send_next,
)
from firm.models import Message, SweepMark
from firm.registry import Letter, MessageKind, NotYet, registry
from firm.tasks import drain_messages
from tests.factories import FirmFactory

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2026, 3, 2, 11, 0, tzinfo=dt.UTC)
MINUTE = dt.timedelta(minutes=1)


@pytest.fixture
def kinds(monkeypatch):
    """Kinds of one rule each, whose letter says what the payload says."""

    def write(message):
        if message.payload.get("not yet"):
            raise NotYet(message.payload["not yet"])
        if message.payload.get("fails"):
            raise RuntimeError(message.payload["fails"])
        return Letter(
            subject=message.payload.get("subject", "Visit"),
            text="We come on Tuesday.\n",
            html="<p>We come on Tuesday.</p>",
            files=tuple(
                (name, b"%PDF-1.7", "application/pdf")
                for name in message.payload.get("files", ())
            ),
            reply_to=message.payload.get("reply_to", ""),
        )

    def still_wanted(message, now):
        return not message.payload.get("called off")

    for rule in ("send again", "hold"):
        kind = MessageKind(
            name=f"kind: {rule}",
            words=rule,
            write=write,
            still_wanted=still_wanted,
            after_crash=rule,
        )
        monkeypatch.setitem(registry.message_kinds, kind.name, kind)


def queued(rule="hold", key="visit:1", due_at=NOW, **words):
    payload = words.pop("payload", {})
    return queue(
        key=key,
        kind=f"kind: {rule}",
        recipient="kit@brook.example",
        payload=payload,
        due_at=due_at,
        language="en",
        now=NOW,
        **words,
    )


def stored():
    return Message.objects.get()


def test_a_due_message_goes_out_once_with_its_own_number(kinds):
    FirmFactory(mail_from="office@fernhollow.example")
    message = queued(payload={"files": ["care guide.pdf"], "reply_to": "a@b.example"})

    assert send_next(now=NOW) is True
    assert send_next(now=NOW + MINUTE) is False

    [letter] = mail.outbox
    assert letter.subject == "Visit"
    assert letter.body == "We come on Tuesday.\n"
    assert letter.to == ["kit@brook.example"]
    assert letter.from_email == "Fernhollow Gardens <office@fernhollow.example>"
    assert letter.reply_to == ["a@b.example"]
    wired = letter.message()
    assert wired["Message-ID"] == message.message_id
    assert wired["Auto-Submitted"] == "auto-generated"
    assert [a.mimetype for a in letter.alternatives] == ["text/html"]
    assert letter.attachments == [("care guide.pdf", b"%PDF-1.7", "application/pdf")]
    row = stored()
    assert (row.state, row.sent_at, row.subject) == ("sent", NOW, "Visit")
    assert (row.token, row.claimed_until, row.attempts) == ("", None, 1)


def test_a_message_waits_for_its_time(kinds):
    queued(due_at=NOW + MINUTE)

    assert send_next(now=NOW) is False
    assert mail.outbox == []
    assert send_next(now=NOW + MINUTE) is True
    assert len(mail.outbox) == 1


def test_what_has_been_due_longest_goes_first(kinds):
    queued(key="b", due_at=NOW - MINUTE)
    queued(key="a", due_at=NOW)
    queued(key="c", due_at=NOW - 2 * MINUTE)

    assert [claim_next(now=NOW).key for _ in range(3)] == ["c", "b", "a"]
    assert claim_next(now=NOW) is None


def test_a_claimed_message_is_nobody_elses(kinds):
    queued()

    first, second = claim_next(now=NOW), claim_next(now=NOW)

    assert (first.state, first.claimed_until) == ("taken", NOW + LEASE)
    assert len(first.token) == 32
    assert second is None


def test_the_lease_outlasts_ten_steps_of_a_slow_mail_server(settings):
    assert dt.timedelta(seconds=10 * settings.EMAIL_TIMEOUT) < LEASE


def test_a_message_that_came_too_late_is_given_up_with_the_reason(kinds):
    queued(too_late_at=NOW + MINUTE)

    assert send_next(now=NOW + MINUTE) is True

    assert mail.outbox == []
    assert (stored().state, stored().last_error) == (
        "given up",
        "Too late: it would have come after its use.",
    )


def test_a_message_just_before_its_latest_moment_goes_out(kinds):
    queued(too_late_at=NOW + MINUTE)

    send_next(now=NOW + MINUTE - dt.timedelta(seconds=1))

    assert (stored().state, len(mail.outbox)) == ("sent", 1)


def test_a_message_that_nobody_wants_any_more_is_given_up_with_the_reason(kinds):
    queued(payload={"called off": True})

    send_next(now=NOW)

    assert mail.outbox == []
    assert (stored().state, stored().last_error) == ("given up", "No longer wanted.")


def test_a_kind_that_is_gone_since_is_held_with_the_reason(kinds, monkeypatch):
    queued()
    monkeypatch.delitem(registry.message_kinds, "kind: hold")

    send_next(now=NOW)

    assert (stored().state, stored().last_error) == (
        "held",
        "Nothing here knows how to write this kind of message.",
    )


@pytest.mark.parametrize(
    "payload",
    [
        {"subject": "Visit\r\nBcc: all@x.example"},
        {"subject": "Visit\nBcc: all@x.example"},
        {"reply_to": "a@b.example\r\nBcc: all@x.example"},
        {"files": ["guide.pdf\r\nX-Evil: 1"]},
    ],
)
def test_a_line_break_in_a_header_is_refused_and_held(kinds, payload):
    queued(payload=payload)

    send_next(now=NOW)

    assert mail.outbox == []
    assert (stored().state, stored().last_error) == (
        "held",
        "Refused: its subject or an address holds a line break.",
    )


def test_a_line_break_in_the_firms_name_is_refused_and_held(kinds):
    FirmFactory(name="Fernhollow\r\nBcc: all@x.example")
    queued()

    send_next(now=NOW)

    assert mail.outbox == []
    assert stored().state == "held"


def test_a_letter_whose_paper_is_not_drawn_yet_waits_without_losing_a_try(kinds):
    queued(payload={"not yet": "The care guide is still being drawn."})

    for turn in range(8):
        assert send_next(now=NOW + turn * MINUTE) is True

    assert (stored().state, stored().attempts) == ("waiting", 0)
    assert stored().last_error == "The care guide is still being drawn."
    assert stored().due_at == NOW + 7 * MINUTE + dt.timedelta(seconds=15)
    assert mail.outbox == []


def test_a_letter_that_fails_is_tried_five_times_ever_later_then_given_up(kinds):
    queued(payload={"fails": "no such garden"})
    moment, waits = NOW, []
    while stored().state == "waiting":
        assert send_next(now=moment) is True
        waits.append(stored().due_at - moment)
        moment = max(stored().due_at, moment)

    assert waits[:-1] == [MINUTE, 5 * MINUTE, 15 * MINUTE, 60 * MINUTE]
    assert waits[:-1] == list(BACK_OFF)
    assert (stored().state, stored().attempts) == ("given up", 5)
    assert stored().last_error == "no such garden"
    assert mail.outbox == []


def test_one_bad_message_does_not_stop_the_others(kinds):
    queued(key="bad", due_at=NOW - MINUTE, payload={"fails": "no such garden"})
    queued(key="good")

    with time_machine.travel(NOW, tick=False):
        drain_messages()

    states = dict(Message.objects.values_list("key", "state"))
    assert states == {"bad": "waiting", "good": "sent"}


@pytest.mark.parametrize(
    ("rule", "state", "letters"), [("send again", "sent", 1), ("hold", "held", 0)]
)
def test_a_claim_whose_sender_stopped_is_settled_by_its_kind(
    kinds, rule, state, letters
):
    queued(rule)
    claim_next(now=NOW)

    assert send_next(now=NOW + LEASE) is False
    assert stored().state == "taken"
    send_next(now=NOW + LEASE + dt.timedelta(seconds=1))

    assert (stored().state, len(mail.outbox)) == (state, letters)


def test_a_held_claim_says_that_it_may_have_arrived(kinds):
    queued("hold")
    claim_next(now=NOW)

    assert free_stale(now=NOW + 2 * LEASE) == 1

    assert stored().last_error == (
        "The background work stopped while this was being sent. "
        "It may or may not have arrived."
    )
    assert stored().claimed_until is None


def test_a_message_that_stops_its_sender_each_time_is_given_up(kinds):
    queued("send again")
    moment = NOW
    for _turn in range(MOST_ATTEMPTS):
        assert claim_next(now=moment) is not None
        moment += LEASE + MINUTE
        free_stale(now=moment)

    assert (stored().state, stored().attempts) == ("given up", 5)
    assert claim_next(now=moment) is None


def test_a_sender_that_lost_its_claim_settles_nothing(kinds, monkeypatch):
    """The lease runs out while the letter is written; the owner drops it meanwhile."""
    queued("hold")

    def write_slowly(message):
        free_stale(now=NOW + 2 * LEASE)
        return Letter(subject="Visit", text="late\n")

    kind = MessageKind(
        name="kind: hold",
        words="hold",
        write=write_slowly,
        still_wanted=lambda message, now: True,
        after_crash="hold",
    )
    monkeypatch.setitem(registry.message_kinds, kind.name, kind)

    send_next(now=NOW)

    assert stored().state == "held"
    assert stored().sent_at is None


def test_a_clock_that_stands_still_sends_each_message_once_and_ends(kinds):
    for number in range(3):
        queued(key=f"visit:{number}")
    queued(key="bad", payload={"fails": "no such garden"})
    queued(key="early", payload={"not yet": "wait"})

    with time_machine.travel(NOW, tick=False):
        drain_messages()
        drain_messages()

    assert len(mail.outbox) == 3
    assert sorted(Message.objects.values_list("key", "state", "attempts")) == [
        ("bad", "waiting", 1),
        ("early", "waiting", 0),
        ("visit:0", "sent", 1),
        ("visit:1", "sent", 1),
        ("visit:2", "sent", 1),
    ]


def test_a_clock_set_back_an_hour_loses_nothing_and_sends_nothing_twice(kinds):
    queued(key="sent")
    send_next(now=NOW)
    queued(key="waiting", due_at=NOW)

    assert send_next(now=NOW - 60 * MINUTE) is False
    assert send_next(now=NOW) is True

    assert len(mail.outbox) == 2
    assert set(Message.objects.values_list("state", flat=True)) == {"sent"}


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_message_is_written_in_its_own_language(language):
    queue(
        key="1",
        kind="trial letter",
        recipient="kit@brook.example",
        payload={"name": "Kit"},
        due_at=NOW,
        language=language,
        now=NOW,
    )

    send_next(now=NOW)

    assert f'<html lang="{language}">' in mail.outbox[0].alternatives[0].content


def test_the_drain_leaves_its_mark():
    with time_machine.travel(NOW, tick=False):
        drain_messages()

    assert list(
        SweepMark.objects.values_list(
            "name", "last_started_at", "last_finished_at", "last_error"
        )
    ) == [("drain messages", NOW, NOW, "")]
