"""The outbox between processes: two senders, and senders that are killed."""

import sys

import pytest

from tests.mail_sink import Sink, listening
from tests.system.processes import PRELUDE, Installation, kill_hard

NOW = "2026-03-02T11:00:00+00:00"
AFTER_THE_LEASE = "2026-03-02T11:06:00+00:00"
CLAIM_ALL = """
import datetime as dt, sys
from firm.actions.sending import claim_next
now = dt.datetime.fromisoformat(sys.argv[1])
print("ready", flush=True)
sys.stdin.readline()
while message := claim_next(now=now):
    print(message.pk, flush=True)
"""
SEND_ALL = """
import datetime as dt, sys
from firm.actions.sending import send_next
now = dt.datetime.fromisoformat(sys.argv[1])
while send_next(now=now):
    pass
"""


def all_claimed(installation: Installation, *, claimers: int) -> list[list[int]]:
    """What each of so many processes claimed, all let go at the same moment."""
    command = (sys.executable, "-c", PRELUDE + CLAIM_ALL, NOW)
    started = [installation.started(*command) for _ in range(claimers)]
    processes = [context.__enter__() for context in started]
    try:
        for process in processes:
            assert process.stdout.readline() == "ready\n"
        for process in processes:
            process.stdin.write("go\n")
            process.stdin.flush()
        return [
            [int(line) for line in process.stdout.read().split()]
            for process in processes
        ]
    finally:
        for context in started:
            context.__exit__(None, None, None)


def test_three_claimers_at_once_take_each_message_exactly_once(shared):
    shared.queue(60, now=NOW)

    claimed = all_claimed(shared, claimers=3)

    taken = sorted(pk for each in claimed for pk in each)
    assert len(taken) == 60
    assert len(set(taken)) == 60
    assert shared.states() == ["taken 1"] * 60


def test_two_runners_at_once_send_each_message_exactly_once(shared):
    sink = Sink()
    with listening(sink) as port:
        shared.words = {"MAIL_HOST": "127.0.0.1", "MAIL_PORT": str(port)}
        numbers = shared.queue(30, now=NOW)
        command = (sys.executable, "-c", PRELUDE + SEND_ALL, NOW)
        with shared.started(*command) as one, shared.started(*command) as other:
            assert (one.wait(60), other.wait(60)) == (0, 0)

    assert sorted(sink.numbers) == sorted(numbers)
    assert shared.states() == ["sent 1"] * 30


@pytest.mark.parametrize(
    ("kind", "arrivals", "after"),
    [("trial letter", 2, ["sent 2"]), ("kind: hold", 1, ["held 1"])],
)
def test_a_sender_killed_between_sending_and_settling_leaves_it_to_the_kind(
    shared, kind, arrivals, after
):
    """Killed when the mail server has the whole letter and before its answer."""
    victims = []

    def kill_the_sender(letter):
        if victims:
            kill_hard(victims.pop().pid)

    sink = Sink(at_letter=kill_the_sender)
    with listening(sink) as port:
        shared.words = {"MAIL_HOST": "127.0.0.1", "MAIL_PORT": str(port)}
        [number] = shared.queue(1, now=NOW, kind=kind)
        with shared.started(sys.executable, "-c", PRELUDE + SEND_ALL, NOW) as sender:
            victims.append(sender)
            assert sender.wait(60) == -9

        assert sink.numbers == [number]
        assert shared.states() == ["taken 1"]
        shared.python(SEND_ALL, NOW)
        assert shared.states() == ["taken 1"]  # the lease still runs
        shared.python(SEND_ALL, AFTER_THE_LEASE)

    # The same number each time, so that a mail program may fold the two into one.
    assert sink.numbers == [number] * arrivals
    assert shared.states() == after
