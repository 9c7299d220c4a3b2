"""Reminders reach a real mail server exactly once: embedded, and with Celery."""

import datetime as dt
from pathlib import Path

import pytest
import redis

from firm import clock
from tests.mail_sink import Sink, listening
from tests.system.processes import Installation, eventually
from tests.system.test_celery_services import REDIS_URL, celery_command, why_not

pytestmark = pytest.mark.allow_hosts(["127.0.0.1", "localhost"])

# A round today, a visit in two days and a visit that is late: one letter each.
STORY = """
import datetime as dt, sys
from tests import factories
today = dt.date.fromisoformat(sys.argv[2])
factories.FirmFactory(time_zone=sys.argv[1])
factories.PersonFactory(name="Olive Harrow", email="olive@fernhollow.example")
person = factories.PersonFactory(
    name="Cal Reed", role="crew", email="cal@fernhollow.example"
)
crew = factories.CrewMemberFactory(person=person).crew
garden = factories.GardenFactory(name="Mill House")
factories.ContactFactory(client=garden.client, email="dana@quill.example")
for days, title in ((0, "Today"), (2, "In two days"), (-3, "Late")):
    job = factories.JobFactory(garden=garden, title=title)
    factories.VisitFactory(
        job=job, title=title, crew=crew, day=today + dt.timedelta(days=days)
    )
"""
EXPECTED = [
    ("cal@fernhollow.example", "Your round"),
    ("dana@quill.example", "We come on"),
    ("olive@fernhollow.example", "Late or slipping"),
]
SWEPT = """
from firm.models import SweepMark
print(*[
    row.last_finished_at.isoformat()
    for row in SweepMark.objects.filter(name="queue reminders")
    if row.last_finished_at
])
"""


def noon_somewhere() -> tuple[str, dt.date]:
    """A zone where it is about noon now, and the day it is there."""
    now = clock.now()
    ahead = 12 - now.hour
    # The signs of these zones are the other way round.
    zone = f"Etc/GMT{-ahead:+d}" if ahead else "Etc/GMT"
    return zone, (now + dt.timedelta(hours=ahead)).date()


def told(sink: Sink) -> list[tuple[str, str]]:
    return sorted(
        (str(letter["To"]), " ".join(str(letter["Subject"]).split(",")[0].split()[:3]))
        for letter in sink.letters
    )


def wanted() -> list[tuple[str, str]]:
    return sorted((to, " ".join(words.split()[:3])) for to, words in EXPECTED)


def prepare(installation: Installation, port: int) -> None:
    zone, today = noon_somewhere()
    installation.words = {
        "MAIL_HOST": "127.0.0.1",
        "MAIL_PORT": str(port),
        "MAIL_SECURITY": "none",
    }
    installation.python(STORY, zone, today.isoformat())


def test_the_embedded_runner_brings_each_reminder_exactly_once(
    installation: Installation,
) -> None:
    sink = Sink()
    with listening(sink) as port:
        prepare(installation, port)
        for _turn in range(3):
            done = installation.manage("runner", "--once")
            assert done.returncode == 0, done.stderr
    assert told(sink) == wanted()


@pytest.mark.services
@pytest.mark.skipif(bool(why_not()), reason=why_not() or "Redis answers")
def test_worker_and_beat_bring_each_reminder_exactly_once(
    installation: Installation,
) -> None:
    sink = Sink()
    schedule = str(Path(installation.folder) / "beat")
    with redis.Redis.from_url(REDIS_URL) as broker, listening(sink) as port:
        broker.delete("celery")
        prepare(installation, port)
        installation.words |= {"REDIS_URL": REDIS_URL}
        with (
            installation.started(*celery_command("worker", "--concurrency", "2")),
            installation.started(*celery_command("beat", "--schedule", schedule)),
        ):
            eventually(
                lambda: len(sink.letters) >= 3,
                within_s=120,
                words="beat's ticks did not bring the reminders",
            )
            first = installation.python(SWEPT)
            eventually(lambda: installation.python(SWEPT) > first, within_s=90)
    assert told(sink) == wanted()
