"""The way out: the firm's own mail server, a folder, or none yet."""

import datetime as dt
import email
from contextlib import ExitStack
from email.policy import default as modern

import pytest
from aiosmtpd.smtp import AuthResult
from django.core import mail

from firm.actions.messages import queue
from firm.actions.sending import send_next
from firm.mail import FirmMailBackend, NoMailServer
from firm.models import Firm, Message
from firm.models.firm import MailPasswordUnreadable
from firm.queries.messages import MailFolder, MailServer, mail_way
from firm.registry import Letter, MessageKind, registry
from tests.factories import FirmFactory
from tests.mail_sink import Sink, free_port, listening

pytestmark = [pytest.mark.django_db, pytest.mark.allow_hosts(["127.0.0.1"])]
NOW = dt.datetime(2026, 3, 2, 11, 0, tzinfo=dt.UTC)


@pytest.fixture(autouse=True)
def real_backend(settings):
    """The firm's own backend instead of Django's for tests."""
    settings.EMAIL_BACKEND = "firm.mail.FirmMailBackend"
    settings.EMAIL_TIMEOUT = 2
    settings.MAIL_HOST = settings.MAIL_DIR = ""


@pytest.fixture
def mail_server():
    """Starts a mail server around a sink; gives back its port."""
    with ExitStack() as running:
        yield lambda sink, **words: running.enter_context(listening(sink, **words))


def queued(key="trial:1", kind="trial letter"):
    return queue(
        key=key,
        kind=kind,
        recipient="kit@brook.example",
        payload={"name": "Kit"},
        due_at=NOW,
        language="en",
        now=NOW,
    )


@pytest.fixture
def holding(monkeypatch):
    """A kind that is held after a crash."""
    kind = MessageKind(
        name="kind: hold",
        words="hold",
        write=lambda message: Letter(subject="Visit", text="We come.\n"),
        still_wanted=lambda message, now: True,
        after_crash="hold",
    )
    monkeypatch.setitem(registry.message_kinds, kind.name, kind)


def firm_at(port, **words):
    return FirmFactory(
        mail_host="127.0.0.1", mail_port=port, mail_security="none", **words
    )


def test_a_sealed_password_opens_again_and_shows_nothing():
    firm = FirmFactory()
    firm.set_mail_password("correct horse")

    assert firm.mail_password() == "correct horse"
    assert "correct horse" not in firm.mail_password_sealed
    assert len(firm.mail_password_sealed) >= 100


def test_no_password_seals_to_nothing():
    firm = Firm(name="x")
    firm.set_mail_password("")

    assert (firm.mail_password_sealed, firm.mail_password()) == ("", "")


def test_a_password_sealed_under_another_key_is_said_to_be_unreadable(settings):
    firm = FirmFactory(mail_host="mail.fernhollow.example")
    firm.set_mail_password("correct horse")
    firm.save()
    settings.SECRET_KEY = "another key altogether, of some length"

    with pytest.raises(MailPasswordUnreadable):
        firm.mail_password()
    assert mail_way().password is None
    queued()
    send_next(now=NOW)
    assert Message.objects.get().last_error == (
        "The stored mail password can no longer be read; type it in again."
    )
    assert Message.objects.get().state == "waiting"


def test_the_way_out_is_the_firms_own_server():
    firm = FirmFactory(
        mail_host="mail.fernhollow.example", mail_port=465, mail_user="office"
    )
    firm.mail_security = "tls"
    firm.set_mail_password("correct horse")
    firm.save()

    assert mail_way() == MailServer(
        host="mail.fernhollow.example",
        port=465,
        user="office",
        password="correct horse",
        security="tls",
    )
    backend = FirmMailBackend()
    assert (backend.host, backend.port) == ("mail.fernhollow.example", 465)
    assert (backend.use_ssl, backend.use_tls) == (True, False)
    assert (backend.username, backend.password) == ("office", "correct horse")
    assert backend.timeout == 2


def test_the_environment_wins_over_the_firms_server(settings, tmp_path):
    FirmFactory(mail_host="mail.fernhollow.example")
    settings.MAIL_HOST, settings.MAIL_PORT = "127.0.0.1", 2525

    assert mail_way() == MailServer(
        host="127.0.0.1", port=2525, user="", password="", security="none"
    )
    settings.MAIL_DIR = str(tmp_path)
    assert mail_way() == MailFolder(path=tmp_path)


def test_without_a_mail_server_messages_wait_and_lose_no_try():
    FirmFactory(mail_host="")
    queued()

    assert send_next(now=NOW) is False

    assert mail_way() is None
    assert list(Message.objects.values_list("state", "attempts")) == [("waiting", 0)]
    with pytest.raises(NoMailServer, match=r"No mail server is set up\."):
        mail.send_mail("x", "y", "a@b.example", ["c@d.example"])


def test_letters_are_written_into_a_folder_one_file_each(settings, tmp_path):
    settings.MAIL_DIR = str(tmp_path / "outbox")
    first, second = queued(), queued(key="trial:2")

    assert [send_next(now=NOW) for _ in range(3)] == [True, True, False]

    files = sorted((tmp_path / "outbox").iterdir())
    assert [path.suffix for path in files] == [".eml", ".eml"]
    letters = [
        email.message_from_bytes(path.read_bytes(), policy=modern) for path in files
    ]
    assert {letter["Message-ID"] for letter in letters} == {
        first.message_id,
        second.message_id,
    }
    assert letters[0]["Subject"] == "Mail works"
    assert letters[0]["To"] == "kit@brook.example"
    assert [part.get_content_type() for part in letters[0].walk()] == [
        "multipart/alternative",
        "text/plain",
        "text/html",
    ]
    assert letters[0].get_body(("plain",)).get_content().startswith("Dear Kit,")


def test_a_letter_arrives_at_a_real_mail_server_with_its_own_number(mail_server):
    sink = Sink()
    firm_at(mail_server(sink), mail_from="office@fernhollow.example")
    message = queued()

    assert send_next(now=NOW) is True

    [letter] = sink.letters
    assert letter["Message-ID"] == message.message_id
    assert letter["From"] == "Fernhollow Gardens <office@fernhollow.example>"
    assert letter["Subject"] == "Mail works"
    assert Message.objects.get().state == "sent"


def test_a_mail_server_that_asks_for_the_password_gets_it(mail_server):
    asked = []

    def ask(server, session, envelope, mechanism, given):
        asked.append((given.login, given.password))
        return AuthResult(success=True)

    sink = Sink()
    port = mail_server(sink, authenticator=ask, auth_require_tls=False)
    firm = firm_at(port, mail_user="office")
    firm.set_mail_password("correct horse")
    firm.save()
    queued()

    send_next(now=NOW)

    assert asked == [(b"office", b"correct horse")]
    assert len(sink.letters) == 1


@pytest.mark.parametrize(
    ("sink", "words"),
    [
        (Sink(at_recipient="550 no such box"), "550 no such box"),
        (Sink(at_end="451 try later"), "451 try later"),
        (Sink(at_end="554 looks like spam"), "554 looks like spam"),
    ],
)
def test_a_refusal_is_tried_again_later_with_the_servers_words(
    mail_server, holding, sink, words
):
    """A clear no is not unsure, so even a kind that is held is tried again."""
    firm_at(mail_server(sink))
    queued(kind="kind: hold")

    send_next(now=NOW)

    row = Message.objects.get()
    assert (row.state, row.last_error, row.attempts) == ("waiting", words, 1)
    assert row.due_at == NOW + dt.timedelta(minutes=1)


def test_a_mail_server_that_is_away_is_tried_again_later(holding):
    firm_at(free_port())
    queued(kind="kind: hold")

    send_next(now=NOW)

    row = Message.objects.get()
    assert (row.state, row.attempts) == ("waiting", 1)
    assert "Connection refused" in row.last_error


@pytest.mark.parametrize(
    ("kind", "state"), [("kind: hold", "held"), ("trial letter", "waiting")]
)
def test_a_server_that_hangs_up_at_the_end_leaves_it_to_the_kind(
    mail_server, holding, kind, state
):
    """It had the whole letter and never answered: nobody knows if it was taken."""
    sink = Sink(at_end="hang up")
    firm_at(mail_server(sink))
    queued(kind=kind)

    send_next(now=NOW)

    row = Message.objects.get()
    assert (row.state, len(sink.letters)) == (state, 1)
    assert row.last_error.startswith("The mail server gave no clear answer (")
