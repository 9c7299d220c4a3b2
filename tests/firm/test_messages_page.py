"""The owner's page of messages."""

import datetime as dt
import re
import uuid

import pytest
import time_machine
from django.core import mail
from django.urls import reverse

from firm.actions.messages import queue
from firm.actions.sweeps import sweep_finished, sweep_started
from firm.models import Message
from firm.queries.messages import Unsettled, counts, sweep_reports
from firm.registry import ScheduleEntry, registry
from firm.tasks import drain_messages

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2026, 3, 2, 11, 0, tzinfo=dt.UTC)
PAGE = "/firm/messages/"


@pytest.fixture(autouse=True)
def at_eleven():
    """The clock stands at eleven UTC, six in New York."""
    with time_machine.travel(NOW, tick=False):
        yield


def queued(key, state="waiting", **columns):
    message = queue(
        key=key,
        kind="trial letter",
        recipient=f"{key}@brook.example",
        payload={"name": "Kit"},
        due_at=NOW - dt.timedelta(hours=1),
        language="en",
        now=NOW,
    )
    Message.objects.filter(pk=message.pk).update(state=state, **columns)
    return message


def text_of(response):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", response.content.decode()))


def test_the_page_counts_by_state_and_names_the_oldest_unsent(owner_client):
    for number in range(3):
        queued(f"w{number}")
    queued("h", "held", last_error="It may or may not have arrived.")
    queued("g", "given up", last_error="Too late")
    queued("s", "sent", sent_at=NOW)

    text = text_of(owner_client.get(PAGE))

    assert "waiting 3 taken 0 sent 1 held 1 given up 1" in text
    assert (
        "The oldest that should have gone out was due Mon 2 Mar 2026, 5:00 am." in text
    )
    assert "It may or may not have arrived." in text


def test_other_pages_ask_only_for_what_is_not_settled():
    queued("w")
    for number in range(2):
        queued(f"h{number}", "held")
    for number in range(3):
        queued(f"g{number}", "given up")
    queued("s", "sent", sent_at=NOW)

    assert counts() == Unsettled(waiting=1, held=2, given_up=3)


def test_the_page_says_that_no_mail_server_is_set_up(owner_client):
    assert "no mail server is set up. Letters wait" in text_of(owner_client.get(PAGE))


def test_the_page_says_where_letters_are_written(owner_client, settings):
    settings.MAIL_DIR = "var/outbox"
    text = text_of(owner_client.get(PAGE))

    assert "written as a file into the folder var/outbox." in text
    assert "no mail server" not in text


def others_ran(*, at):
    """Every sweep but the drain ran at that moment."""
    for name in registry.schedule:
        if name != "drain messages":
            sweep_finished(name=name, now=at)


def test_work_that_never_ran_is_said_in_words(owner_client):
    assert "Warning: the background work has never run." in text_of(
        owner_client.get(PAGE)
    )


def test_work_that_stopped_is_said_with_the_moment_it_last_ran(owner_client):
    others_ran(at=NOW - dt.timedelta(days=9))
    sweep_finished(name="drain messages", now=NOW - dt.timedelta(minutes=3))
    assert (
        "Warning: the background work last ran Mon 2 Mar 2026, 5:57 am; "
        "it seems to have stopped."
    ) in text_of(owner_client.get(PAGE))

    sweep_finished(name="drain messages", now=NOW - dt.timedelta(minutes=2))
    assert "Warning: the background work last ran" not in text_of(
        owner_client.get(PAGE)
    )


def test_one_sweep_that_stopped_among_others_is_named(owner_client, monkeypatch):
    entries = [
        ScheduleEntry(name=name, task="x", every_s=15)
        for name in ("drain messages", "lapse offers", "draw plans")
    ]
    monkeypatch.setattr(registry, "schedule", {e.name: e for e in entries})
    sweep_finished(name="drain messages", now=NOW)
    sweep_finished(name="lapse offers", now=NOW - dt.timedelta(minutes=3))

    text = text_of(owner_client.get(PAGE))

    assert (
        "Warning: the background work “lapse offers” last ran Mon 2 Mar 2026, 5:57 am; "
        "it seems to have stopped."
    ) in text
    assert "Warning: the background work “draw plans” has never run." in text
    assert "work “drain messages”" not in text


def test_a_slow_sweep_is_given_four_of_its_turns(monkeypatch):
    entry = ScheduleEntry(name="hourly", task="x", every_s=3600)
    monkeypatch.setattr(registry, "schedule", {"hourly": entry})
    sweep_finished(name="hourly", now=NOW)
    late = NOW + dt.timedelta(hours=4)

    assert [report.stopped for report in sweep_reports(now=late)] == [False]
    later = late + dt.timedelta(seconds=1)
    assert [report.stopped for report in sweep_reports(now=later)] == [True]


def test_a_sweep_that_began_and_never_ended_is_not_taken_for_well(monkeypatch):
    entry = ScheduleEntry(name="drain messages", task="x", every_s=15)
    monkeypatch.setattr(registry, "schedule", {"drain messages": entry})
    sweep_started(name="drain messages", now=NOW)

    assert [report.stopped for report in sweep_reports(now=NOW)] == [True]


def test_what_went_wrong_in_a_sweep_stands_on_the_page(owner_client, monkeypatch):
    def break_down(**_words):
        raise RuntimeError("disk full")

    monkeypatch.setattr("firm.tasks.send_next", break_down)
    with pytest.raises(RuntimeError, match="disk full"):
        drain_messages()

    assert "RuntimeError: disk full" in text_of(owner_client.get(PAGE))


@pytest.mark.parametrize("rows", [1, 3])
def test_the_page_asks_the_same_number_of_questions_whatever_the_rows(
    owner_client, django_assert_num_queries, rows
):
    for number in range(rows):
        queued(f"m{number}")
    with django_assert_num_queries(9):
        owner_client.get(PAGE)


def test_the_list_is_narrowed_by_state(owner_client):
    queued("kit", "held")
    queued("ash")

    text = text_of(owner_client.get(PAGE, {"state": "held"}))

    assert "kit@brook.example" in text
    assert "ash@brook.example" not in text


@pytest.mark.parametrize("query", [{"state": "smoke"}, {"page": "x"}, {"page": "99"}])
def test_nonsense_in_the_address_shows_the_whole_list(owner_client, query):
    queued("kit")

    assert "kit@brook.example" in text_of(owner_client.get(PAGE, query))


def test_send_again_puts_a_held_message_back_and_says_so(owner_client):
    message = queued("kit", "held")

    response = owner_client.post(
        reverse("message-again", args=[message.pk]), follow=True
    )

    assert "It waits again and goes out within seconds." in text_of(response)
    assert Message.objects.get().state == "waiting"
    assert Message.objects.get().due_at == NOW


def test_a_message_that_moved_on_is_said_to_have(owner_client):
    message = queued("kit", "sent", sent_at=NOW)

    for name in ("message-again", "message-drop"):
        response = owner_client.post(reverse(name, args=[message.pk]), follow=True)
        assert "This message has moved on since you opened" in text_of(response)
    assert Message.objects.get().state == "sent"


def test_drop_gives_a_message_up(owner_client, owner):
    message = queued("kit")

    response = owner_client.post(
        reverse("message-drop", args=[message.pk]), follow=True
    )

    assert "It was dropped and will not go out." in text_of(response)
    assert Message.objects.get().state == "given up"
    assert Message.objects.get().last_error == "Dropped by Olive Harrow."


def test_buttons_stand_only_where_they_do_something(owner_client):
    held = queued("h", "held")
    waiting = queued("w")
    sent = queued("s", "sent", sent_at=NOW)

    page = owner_client.get(PAGE).content.decode()

    assert [
        (name, message.key)
        for name in ("message-again", "message-drop")
        for message in (held, waiting, sent)
        if reverse(name, args=[message.pk]) in page
    ] == [("message-again", "h"), ("message-drop", "h"), ("message-drop", "w")]


def test_a_trial_letter_waits_and_goes_to_the_one_who_asked(owner_client, owner):
    key = uuid.uuid4()
    for _turn in range(2):
        response = owner_client.post(
            reverse("messages-trial"), {"key": str(key)}, follow=True
        )

    assert f"A trial letter to {owner.email} waits to go out." in text_of(response)
    assert list(Message.objects.values_list("recipient", "state")) == [
        (owner.email, "waiting")
    ]
    assert mail.outbox == []  # the page itself sends nothing
    drain_messages()
    assert [letter.to for letter in mail.outbox] == [[owner.email]]


def test_a_trial_letter_without_its_key_is_refused(owner_client):
    response = owner_client.post(reverse("messages-trial"), {"key": "x"}, follow=True)

    assert "The form was incomplete." in text_of(response)
    assert Message.objects.count() == 0


def test_a_message_that_is_not_there_is_not_found(owner_client):
    assert owner_client.post(reverse("message-drop", args=[9])).status_code == 404
    assert owner_client.post(reverse("message-again", args=[9])).status_code == 404
