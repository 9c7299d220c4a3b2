"""The embedded way: one command, no broker, every letter exactly once."""

import re
import signal
import socket
import sys
import threading
import time
import urllib.error
import urllib.request
import uuid
from contextlib import contextmanager
from http.cookiejar import Cookie, CookieJar
from urllib.parse import urlencode

import pytest

from tests.mail_sink import Sink, free_port, listening
from tests.system.processes import (
    MANAGE,
    Installation,
    alive,
    children_of,
    command_line,
    eventually,
    family_of,
    kill_hard,
)

pytestmark = pytest.mark.allow_hosts(["127.0.0.1"])
PAST = "2026-03-02T11:00:00+00:00"
FUTURE = "2999-01-01T00:00:00+00:00"
OWNER = """
from django.test import Client
from firm.models import Firm, Person
Firm(pk=1, name="Fernhollow Gardens").save()
owner = Person(name="Olive Harrow", email="olive@fernhollow.example", role="owner")
owner.save()
client = Client()
client.force_login(owner, "django.contrib.auth.backends.ModelBackend")
print(client.cookies["session"].value)
"""
PLANTS = """
from plants.models import Plant
print(Plant.objects.count())
"""
MARKS = """
from firm.models import SweepMark
for row in SweepMark.objects.order_by("name").values_list("name", "last_error"):
    print(*row, sep="|")
"""


def session_cookie(value: str) -> Cookie:
    """The cookie of somebody who is logged in, for the jar of 127.0.0.1."""
    return Cookie(
        version=0,
        name="session",
        value=value,
        port=None,
        port_specified=False,
        domain="127.0.0.1",
        domain_specified=False,
        domain_initial_dot=False,
        path="/",
        path_specified=True,
        secure=False,
        expires=None,
        discard=True,
        comment=None,
        comment_url=None,
        rest={},
    )


class Browser:
    """Somebody logged in at a running web server."""

    def __init__(self, port: int, session: str) -> None:
        self.at = f"http://127.0.0.1:{port}"
        jar = CookieJar()
        jar.set_cookie(session_cookie(session))
        self.opener = urllib.request.build_opener(
            urllib.request.ProxyHandler({}), urllib.request.HTTPCookieProcessor(jar)
        )

    def _asked(self, path: str, data: bytes | None = None) -> str:
        with self.opener.open(self.at + path, data, timeout=10) as answer:
            return answer.read().decode()

    def page(self) -> str:
        return self._asked("/firm/messages/")

    def ask_for_a_trial_letter(self) -> str:
        """The page after the button was pressed."""
        token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', self.page())
        words = {"csrfmiddlewaretoken": token.group(1), "key": str(uuid.uuid4())}
        return self._asked("/firm/messages/trial/", urlencode(words).encode())


def answers(browser: Browser) -> bool:
    try:
        return "Olive Harrow" in browser.page()
    except (OSError, urllib.error.URLError):
        return False


@contextmanager
def serving(installation: Installation, *words: str):
    """A running `serve` and a browser of the owner."""
    [session] = installation.python(OWNER)
    port = free_port()
    command = (sys.executable, MANAGE, "serve", "--port", str(port), "--workers", "1")
    with installation.started(*command, *words) as parent:
        line = parent.stdout.readline()
        assert line == f"Open http://127.0.0.1:{port}/\n"
        browser = Browser(port, session)
        eventually(lambda: answers(browser), words="the page does not answer")
        yield parent, browser


def test_a_new_firm_finds_the_catalogue_loaded_once_it_is_served(installation):
    assert installation.python(PLANTS) == ["0"]
    with serving(installation, "--web-only"):
        pass
    [found] = installation.python(PLANTS)
    assert int(found) >= 12


def test_run_once_sends_what_is_due_exactly_once_and_leaves_its_mark(installation):
    sink = Sink()
    with listening(sink) as port:
        installation.words = {"MAIL_HOST": "127.0.0.1", "MAIL_PORT": str(port)}
        numbers = installation.queue(3, now=PAST)
        first = installation.manage("runner", "--once")
        second = installation.manage("runner", "--once")

    assert (first.returncode, second.returncode) == (0, 0), first.stderr
    assert sorted(sink.numbers) == sorted(numbers)
    assert [letter["Subject"] for letter in sink.letters] == ["Mail works"] * 3
    assert installation.states() == ["sent 1"] * 3
    assert "drain messages|" in installation.python(MARKS)


def test_run_once_leaves_what_is_not_due_and_what_has_no_way_out(installation):
    installation.queue(1, now=FUTURE)
    assert installation.manage("runner", "--once").returncode == 0
    assert installation.states() == ["waiting 0"]

    installation.python(
        "from firm.models import Message\nMessage.objects.all().delete()"
    )
    installation.queue(1, now=PAST)
    assert installation.manage("runner", "--once").returncode == 0
    assert installation.states() == ["waiting 0"]


def test_the_runner_sends_within_seconds_and_stops_when_told(installation):
    sink = Sink()
    with listening(sink) as port:
        installation.words = {"MAIL_HOST": "127.0.0.1", "MAIL_PORT": str(port)}
        with installation.started(sys.executable, MANAGE, "runner") as runner:
            eventually(lambda: "drain messages|" in installation.python(MARKS))
            [number] = installation.queue(1, now=PAST)
            # Long before the schedule's next turn of 15 s.
            eventually(lambda: sink.numbers == [number], within_s=6)
            runner.send_signal(signal.SIGTERM)
            assert runner.wait(10) == 0

    assert installation.states() == ["sent 1"]


def test_one_command_serves_sends_and_heals_and_leaves_nothing_behind(installation):
    sink = Sink()
    with listening(sink) as port:
        installation.words = {"MAIL_HOST": "127.0.0.1", "MAIL_PORT": str(port)}
        with serving(installation) as (parent, browser):
            assert "waits to go out" in browser.ask_for_a_trial_letter()
            eventually(lambda: len(sink.letters) == 1, words="the letter never came")

            children = children_of(parent.pid)
            assert len(children) == 2
            before = set(family_of(parent.pid))
            for child in children:
                kill_hard(child)
            eventually(
                lambda: len(set(children_of(parent.pid)) - set(children)) == 2,
                words="the children did not come back",
            )
            # The old worker ends once it sees that the old web server is gone.
            eventually(
                lambda: not any(alive(pid) for pid in before - {parent.pid}),
                words="a child of a killed child stayed",
            )
            eventually(lambda: answers(browser), words="the page did not come back")
            browser.ask_for_a_trial_letter()
            eventually(lambda: len(sink.letters) == 2, words="no second letter")

            family = family_of(parent.pid)
            assert len(family) == 3  # the web server, its worker, the runner
            started_s = time.monotonic()
            parent.send_signal(signal.SIGTERM)
            assert parent.wait(15) == 0
            assert time.monotonic() - started_s < 15
            assert [pid for pid in family if alive(pid)] == []

    assert [letter["To"] for letter in sink.letters] == ["olive@fernhollow.example"] * 2
    assert len(set(sink.numbers)) == 2


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux ends orphans")
def test_a_parent_that_is_killed_takes_its_children_with_it(installation):
    with serving(installation) as (parent, _browser):
        family = family_of(parent.pid)
        assert len(family) == 3
        kill_hard(parent.pid)
        eventually(
            lambda: not any(alive(pid) for pid in family),
            words=f"left behind: {[command_line(pid) for pid in family if alive(pid)]}",
        )


def test_a_page_never_touches_the_broker(installation):
    """Not even when there is one: it is frozen, and nobody knocks."""
    knocks = []
    with socket.create_server(("127.0.0.1", 0)) as frozen:

        def count() -> None:
            while True:
                try:
                    knocks.append(frozen.accept())
                except OSError:
                    return

        threading.Thread(target=count, daemon=True).start()
        broker = f"redis://127.0.0.1:{frozen.getsockname()[1]}/0"
        installation.words = {"REDIS_URL": broker}
        with serving(installation, "--web-only") as (parent, browser):
            assert len(children_of(parent.pid)) == 1
            assert "waits to go out" in browser.ask_for_a_trial_letter()
            assert installation.states() == ["waiting 0"]
        frozen.shutdown(socket.SHUT_RDWR)

    assert knocks == []


def test_serve_refuses_a_port_that_is_taken(installation):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        done = installation.manage("serve", "--port", str(port))

    assert done.returncode == 1
    assert f"Something already listens on 127.0.0.1:{port}." in done.stderr


def test_serve_refuses_a_database_that_is_behind_and_brings_it_up_when_asked(tmp_path):
    empty = Installation(
        folder=tmp_path, database_url=f"sqlite:///{tmp_path / 'firm.sqlite3'}"
    )
    port = str(free_port())
    refused = empty.manage("serve", "--port", port)
    assert refused.returncode == 1
    assert re.search(r"The database is \d+ migrations behind\.", refused.stderr)

    command = (sys.executable, MANAGE, "serve", "--port", port, "--migrate")
    with empty.started(*command) as parent:
        assert parent.stdout.readline() == f"Open http://127.0.0.1:{port}/\n"
    assert empty.states() == []
