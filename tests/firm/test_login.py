"""Logging in and out, the lock after wrong tries, and what the cookies are like."""

import subprocess
import sys

import pytest
from django.http import HttpResponse
from django.urls import reverse

from firm.models import Person
from tests.conftest import StrictClient

PASSWORD = "larch and juniper 7"


@pytest.fixture
def olive(owner: Person) -> Person:
    owner.set_password(PASSWORD)
    owner.save()
    return owner


def log_in(
    client: StrictClient, email: str, password: str, **extra: str
) -> HttpResponse:
    data = {"username": email, "password": password}
    return client.post(reverse("login"), data, **extra)


def is_in(client: StrictClient) -> bool:
    return client.get(reverse("password-change")).status_code == 200


def test_the_right_password_lets_in_and_a_wrong_one_does_not(
    client: StrictClient, olive: Person
) -> None:
    refused = log_in(client, olive.email, "larch and juniper 8")
    assert refused.status_code == 200
    assert b"do not go together" in refused.content
    assert not is_in(client)

    let_in = log_in(client, olive.email.upper(), PASSWORD)
    assert let_in.status_code == 302
    assert is_in(client)


def test_known_and_unknown_addresses_get_the_same_answer(
    olive: Person, bookkeeper: Person
) -> None:
    known = log_in(StrictClient(), "aaaa@fernhollow.example", "wrong password 1")
    olive.email = "aaaa@fernhollow.example"
    olive.save()
    unknown = log_in(StrictClient(), "aaaa@fernhollow.example", "wrong password 1")

    assert known.status_code == unknown.status_code == 200
    assert strip_token(known.content) == strip_token(unknown.content)


def strip_token(page: bytes) -> bytes:
    start = page.index(b'name="csrfmiddlewaretoken"')
    return page[:start] + page[start + 110 :]


def test_a_switched_off_person_gets_the_answer_of_a_stranger_and_is_out_at_once(
    client: StrictClient, olive: Person
) -> None:
    log_in(client, olive.email, PASSWORD)
    assert is_in(client)

    Person.objects.filter(pk=olive.pk).update(is_active=False)

    assert not is_in(client)
    refused = log_in(client, olive.email, PASSWORD)
    assert b"do not go together" in refused.content


def test_five_wrong_tries_lock_the_account_for_that_address_only(
    olive: Person, bookkeeper: Person
) -> None:
    bookkeeper.set_password(PASSWORD)
    bookkeeper.save()
    browser = StrictClient()
    for _ in range(4):
        assert log_in(browser, olive.email, "wrong password 1").status_code == 200

    fifth = log_in(browser, olive.email, "wrong password 1")
    right = log_in(StrictClient(), olive.email, PASSWORD)

    assert fifth.status_code == 429
    assert b"Too many wrong tries" in fifth.content
    assert right.status_code == 429
    # Neither another account here nor the same account elsewhere is locked.
    assert log_in(StrictClient(), bookkeeper.email, PASSWORD).status_code == 302
    elsewhere = log_in(StrictClient(), olive.email, PASSWORD, REMOTE_ADDR="192.0.2.7")
    assert elsewhere.status_code == 302


def test_neither_forged_headers_nor_other_letters_get_round_the_lock(
    olive: Person,
) -> None:
    for number in range(4):
        email = olive.email.title() if number % 2 else f" {olive.email}"
        log_in(
            StrictClient(),
            email,
            "wrong password 1",
            HTTP_X_FORWARDED_FOR=f"192.0.2.{number}",
        )

    fifth = log_in(
        StrictClient(),
        olive.email.upper(),
        "wrong password 1",
        HTTP_X_FORWARDED_FOR="192.0.2.99",
    )

    assert fifth.status_code == 429


def test_the_session_key_changes_on_login_and_dies_on_logout(
    client: StrictClient, olive: Person
) -> None:
    session = client.session
    session["before"] = "login"
    session.save()
    client.cookies["session"] = session.session_key
    before = session.session_key

    log_in(client, olive.email, PASSWORD)
    after = client.cookies["session"].value
    assert after != before
    assert client.post(reverse("logout")).status_code == 302

    for key in (before, after):
        replayed = StrictClient()
        replayed.cookies["session"] = key
        assert not is_in(replayed)


def test_only_a_form_logs_out(client: StrictClient, olive: Person) -> None:
    log_in(client, olive.email, PASSWORD)
    assert client.get(reverse("logout")).status_code == 405
    assert is_in(client)
    assert client.put(reverse("login")).status_code == 405


def test_login_takes_people_back_here_and_never_elsewhere(
    client: StrictClient, olive: Person
) -> None:
    data = {"username": olive.email, "password": PASSWORD}
    back = client.post(reverse("login"), {**data, "next": reverse("clients")})
    assert back["Location"] == reverse("clients")
    client.post(reverse("logout"))
    away = client.post(reverse("login"), {**data, "next": "https://evil.example/"})
    assert away["Location"] == reverse("home")


def test_the_login_form_without_its_token_is_refused(olive: Person) -> None:
    careful = StrictClient(enforce_csrf_checks=True)
    assert log_in(careful, olive.email, PASSWORD).status_code == 403


def test_password_fields_may_be_filled_by_a_password_book(
    client: StrictClient, olive: Person
) -> None:
    page = client.get(reverse("login")).content.decode()
    assert 'autocomplete="username"' in page
    assert 'autocomplete="current-password"' in page
    assert "onpaste" not in page
    log_in(client, olive.email, PASSWORD)
    page = client.get(reverse("password-change")).content.decode()
    assert page.count('type="password"') == 3
    assert page.count('autocomplete="new-password"') == 2


def test_the_session_cookie_is_closed_to_scripts_and_other_sites(
    client: StrictClient, olive: Person
) -> None:
    cookie = log_in(client, olive.email, PASSWORD).cookies["session"]
    assert cookie["httponly"] is True
    assert cookie["samesite"] == "Lax"
    assert cookie["path"] == "/"
    assert cookie["domain"] == ""


@pytest.mark.parametrize(
    ("site", "expected"),
    [
        ("https://office.fernhollow.example", "True True __Host-session __Host-csrf"),
        ("http://127.0.0.1:8000", "False False session csrf"),
    ],
)
def test_cookies_are_for_tls_only_when_the_site_is(site: str, expected: str) -> None:
    # Settings are read once at start-up, so a process of its own reads them.
    code = (
        "from django.conf import settings as s;"
        "print(s.SESSION_COOKIE_SECURE, s.CSRF_COOKIE_SECURE,"
        " s.SESSION_COOKIE_NAME, s.CSRF_COOKIE_NAME)"
    )
    printed = subprocess.run(
        [sys.executable, "-c", code],
        env={
            "DJANGO_SETTINGS_MODULE": "firm.settings",
            "SECRET_KEY": "x",
            "SITE_URL": site,
        },
        capture_output=True,
        text=True,
        check=True,
    )
    assert printed.stdout.strip() == expected


@pytest.mark.django_db
def test_a_new_installation_has_no_account_at_all(client: StrictClient) -> None:
    assert Person.objects.count() == 0
    assert client.get(reverse("login"))["Location"] == reverse("first-run")
    assert client.get(reverse("clients"))["Location"].startswith(reverse("login"))


def test_passwords_are_kept_by_argon2() -> None:
    # The test run itself uses a quick hasher; this looks at the shipped setting.
    code = "from django.conf import settings as s; print(s.PASSWORD_HASHERS[0])"
    printed = subprocess.run(
        [sys.executable, "-c", code],
        env={"DJANGO_SETTINGS_MODULE": "firm.settings", "SECRET_KEY": "x"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert printed.stdout.strip().endswith(".Argon2PasswordHasher")


def test_the_log_tells_tries_in_a_line_each_and_never_a_password(
    client: StrictClient, olive: Person, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level("INFO")
    log_in(client, "a@b.example\nINFO logged in: person 1", "canary password")
    log_in(client, olive.email, PASSWORD)

    told = [
        record.getMessage()
        for record in caplog.records
        if record.name == "firm.views.accounts"
    ]
    assert told == [
        "login refused: 'a@b.example\\nINFO logged in: person 1'",
        f"logged in: person {olive.pk}",
    ]
    assert "canary" not in caplog.text
    assert PASSWORD not in caplog.text
