"""The grown way: a real Celery worker and beat with a real Redis."""

import os
import sys
from pathlib import Path
from urllib.parse import urlsplit

import celery
import pytest
import redis

from firm.registry import registry
from tests.mail_sink import Sink, listening
from tests.system.processes import Installation, eventually

pytestmark = pytest.mark.allow_hosts(["127.0.0.1", "localhost"])
PAST = "2026-03-02T11:00:00+00:00"
REDIS_URL = os.environ.get("REDIS_URL", "")
SCHEDULE = """
import importlib
app = importlib.import_module("firm.celery").app
app.loader.import_default_modules()
for name, entry in sorted(app.conf.beat_schedule.items()):
    known = entry["task"] in app.tasks
    print(name, entry["task"], entry["schedule"], entry["options"]["expires"], known)
"""
MARK = """
from firm.models import SweepMark
for row in SweepMark.objects.filter(name="drain messages").exclude(
    last_finished_at=None
):
    print(row.last_finished_at.isoformat(), row.last_error)
"""


def why_not() -> str:
    """Why the services cannot be used, or "" if they can."""
    if not REDIS_URL:
        return "REDIS_URL is not set"
    with redis.Redis.from_url(REDIS_URL, socket_connect_timeout=2) as asked:
        try:
            asked.ping()
        except redis.RedisError as error:
            return f"Redis at {urlsplit(REDIS_URL).hostname} does not answer: {error}"
    return ""


def celery_command(part: str, *words: str) -> tuple[str, ...]:
    return (
        sys.executable,
        "-m",
        "celery",
        "-A",
        "firm.celery",
        part,
        "--loglevel",
        "warning",
        *words,
    )


def test_beats_schedule_is_the_registrys_and_every_task_is_known(installation):
    lines = installation.python(SCHEDULE)

    assert lines == [
        f"{entry.name} {entry.task} {entry.every_s} {entry.every_s} True"
        for entry in sorted(registry.schedule.values(), key=lambda entry: entry.name)
    ]
    assert "drain messages firm.drain_messages 15 15 True" in lines


@pytest.mark.services
@pytest.mark.skipif(bool(why_not()), reason=why_not() or "Redis answers")
def test_beat_and_worker_deliver_each_letter_exactly_once(installation: Installation):
    sink = Sink()
    schedule = str(Path(installation.folder) / "beat")
    with (
        redis.Redis.from_url(REDIS_URL) as broker,
        listening(sink) as port,
    ):
        broker.delete("celery")
        installation.words = {
            "REDIS_URL": REDIS_URL,
            "MAIL_HOST": "127.0.0.1",
            "MAIL_PORT": str(port),
        }
        numbers = installation.queue(20, now=PAST)
        with (
            installation.started(*celery_command("worker", "--concurrency", "2")),
            installation.started(*celery_command("beat", "--schedule", schedule)),
        ):
            eventually(
                lambda: len(sink.letters) == 20,
                within_s=60,
                words="beat's tick did not bring the letters",
            )
            first = installation.python(MARK)
            # Two beats, or a broker that delivers twice, look like this.
            more = installation.queue(25, now=PAST)[20:]
            ticks = celery.Celery(broker=REDIS_URL)
            for _turn in range(8):
                ticks.send_task("firm.drain_messages", kwargs={"of": "another version"})
            ticks.close()
            eventually(
                lambda: broker.llen("celery") == 0 and len(sink.letters) >= 25,
                within_s=30,
                words="the extra ticks did not bring the letters",
            )
            eventually(lambda: installation.python(MARK) > first, within_s=30)

    assert sorted(sink.numbers) == sorted([*numbers, *more])
    assert installation.states() == ["sent 1"] * 25
    [mark] = installation.python(MARK)
    assert mark.endswith(" ")  # no error
