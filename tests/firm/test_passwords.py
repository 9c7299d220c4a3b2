"""Changing a password, and getting a new one by a link in a letter."""

import datetime as dt
import gzip

import pytest
import time_machine
from django.contrib.auth.password_validation import CommonPasswordValidator
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.urls import reverse

from firm.forms.accounts import check_password_is_good
from firm.models import Entry, Message, Person
from firm.registry import registry
from tests.conftest import StrictClient
from tests.firm.test_login import is_in, log_in, strip_token

OLD = "larch and juniper 7"
NEW = "seven wet spades"


@pytest.fixture
def olive(owner: Person) -> Person:
    owner.set_password(OLD)
    owner.save()
    return owner


def change(client: StrictClient, old: str, new: str, again: str = "") -> HttpResponse:
    data = {"old_password": old, "new_password1": new, "new_password2": again or new}
    return client.post(reverse("password-change"), data)


def may_log_in(person: Person, password: str) -> bool:
    person.refresh_from_db()
    return person.check_password(password)


def test_a_changed_password_keeps_this_session_and_ends_the_others(
    olive: Person,
) -> None:
    here, there = StrictClient(), StrictClient()
    log_in(here, olive.email, OLD)
    log_in(there, olive.email, OLD)

    assert change(here, OLD, NEW).status_code == 302

    assert is_in(here)
    assert not is_in(there)
    assert may_log_in(olive, NEW)
    assert Entry.objects.filter(action="password changed", by=olive).count() == 1


def test_without_the_current_password_nothing_changes(
    client: StrictClient, olive: Person
) -> None:
    log_in(client, olive.email, OLD)
    before = Person.objects.get(pk=olive.pk).password

    for wrong in ("", "not my password"):
        refused = change(client, wrong, NEW)
        assert refused.status_code == 200
        assert "old_password" in refused.context["form"].errors
    assert Person.objects.get(pk=olive.pk).password == before


@pytest.mark.parametrize(
    ("password", "words"),
    [
        ("short spade", "too short"),
        ("1q2w3e4r5t6y", "too common"),
        ("olive harrow", "too similar to the name"),
        ("my Fernhollow Gardens key", "name of the firm"),
    ],
)
def test_easy_passwords_are_refused_beside_the_field(
    client: StrictClient, olive: Person, password: str, words: str
) -> None:
    log_in(client, olive.email, OLD)

    refused = change(client, OLD, password)

    assert words in " ".join(refused.context["form"].errors["new_password1"])
    assert may_log_in(olive, OLD)


def test_two_different_typings_are_refused(client: StrictClient, olive: Person) -> None:
    log_in(client, olive.email, OLD)
    refused = change(client, OLD, NEW, "seven wet spade")
    assert refused.context["form"].errors["new_password2"] == [
        "The two passwords differ."
    ]
    assert may_log_in(olive, OLD)


@pytest.mark.parametrize("length", [12, 64, 128])
def test_long_passwords_with_blanks_and_signs_are_kept_whole(
    client: StrictClient, olive: Person, length: int
) -> None:
    log_in(client, olive.email, OLD)
    password = (" wet 🌿 spades, Größe 7" * 8)[: length - 1] + " "

    assert change(client, OLD, password).status_code == 302

    assert may_log_in(olive, password)
    assert not may_log_in(olive, password[:-1])
    assert not may_log_in(olive, password.strip())
    if length > 64:
        other = password[:64] + "x" + password[65:]
        assert not may_log_in(olive, other)


# --- by letter ----------------------------------------------------------------------


def ask(email: str) -> HttpResponse:
    return StrictClient().post(reverse("password-forgotten"), {"email": email})


def link_of(message: Message) -> str:
    letter = registry.message_kinds["password reset"].write(message)
    lines = [line for line in letter.text.splitlines() if "/password/new/" in line]
    assert len(lines) == 1
    assert lines[0] in letter.html
    return lines[0].removeprefix("http://127.0.0.1:8000")


def open_link(link: str) -> tuple[StrictClient, HttpResponse]:
    browser = StrictClient()
    return browser, browser.get(link, follow=True)


def test_known_unknown_and_switched_off_addresses_get_the_same_answer(
    olive: Person, bookkeeper: Person
) -> None:
    Person.objects.filter(pk=bookkeeper.pk).update(is_active=False)

    answers = [
        ask(email)
        for email in (olive.email, "nobody@fernhollow.example", bookkeeper.email)
    ]

    assert {(answer.status_code, answer["Location"]) for answer in answers} == {
        (302, reverse("password-asked"))
    }
    assert len({strip_token_less(answer.content) for answer in answers}) == 1
    assert [message.recipient for message in Message.objects.order_by("id")] == [
        olive.email
    ]


def strip_token_less(page: bytes) -> bytes:
    return strip_token(page) if b"csrfmiddlewaretoken" in page else page


def test_pressing_twice_queues_one_letter(olive: Person) -> None:
    with time_machine.travel(dt.datetime(2026, 3, 2, 15, 1, tzinfo=dt.UTC), tick=False):
        ask(olive.email)
        ask(olive.email.upper())
    assert Message.objects.count() == 1
    message = Message.objects.get()
    # The row holds no secret: the link is made when the letter is written.
    assert message.payload == {"person": olive.pk}
    with time_machine.travel(dt.datetime(2026, 3, 2, 15, 6, tzinfo=dt.UTC), tick=False):
        ask(olive.email)
    assert Message.objects.count() == 2


def test_the_link_sets_a_new_password_once_and_ends_every_session(
    olive: Person,
) -> None:
    elsewhere = StrictClient()
    log_in(elsewhere, olive.email, OLD)
    ask(olive.email)
    link = link_of(Message.objects.get())
    browser, page = open_link(link)
    # The token left the address before the page was shown.
    assert page.redirect_chain[-1][0].endswith("/set-password/")
    # With no-referrer the browser would hide the form's origin, and it is refused.
    assert page["Referrer-Policy"] == "same-origin"
    place = page.redirect_chain[-1][0]

    refused = browser.post(place, {"new_password1": "short", "new_password2": "short"})
    assert refused.status_code == 200
    assert may_log_in(olive, OLD)
    kept = browser.post(place, {"new_password1": NEW, "new_password2": NEW})

    assert kept.status_code == 302
    assert may_log_in(olive, NEW)
    assert not is_in(elsewhere)
    _browser, second = open_link(link)
    assert second.status_code == 410
    assert b"no longer works" in second.content


def test_the_link_dies_after_a_day_and_when_the_person_is_switched_off(
    olive: Person,
) -> None:
    now = dt.datetime(2026, 3, 2, 15, 0, tzinfo=dt.UTC)
    with time_machine.travel(now, tick=False):
        ask(olive.email)
        message = Message.objects.get()
        link = link_of(message)
        assert open_link(link)[1].status_code == 200
    with time_machine.travel(now + dt.timedelta(hours=24, seconds=1), tick=False):
        assert open_link(link)[1].status_code == 410
    with time_machine.travel(now, tick=False):
        Person.objects.filter(pk=olive.pk).update(is_active=False)
        assert open_link(link)[1].status_code == 410
        kind = registry.message_kinds["password reset"]
        assert kind.still_wanted(message, now) is False


def test_a_new_password_by_letter_lifts_the_lock(olive: Person) -> None:
    for _ in range(5):
        locked = log_in(StrictClient(), olive.email, "wrong password 1")
    assert locked.status_code == 429
    ask(olive.email)
    browser, page = open_link(link_of(Message.objects.get()))
    browser.post(
        page.redirect_chain[-1][0], {"new_password1": NEW, "new_password2": NEW}
    )
    assert log_in(StrictClient(), olive.email, NEW).status_code == 302


def test_every_long_password_of_the_list_of_common_ones_is_refused() -> None:
    # Django's own list, made from leaked ones; only those of 12 letters and more can
    # get past the rule of length at all.
    path = CommonPasswordValidator().DEFAULT_PASSWORD_LIST_PATH
    with gzip.open(path, "rt") as lines:
        common = [line.strip() for line in lines if len(line.strip()) >= 12]
    assert len(common) > 100
    for password in common:
        with pytest.raises(ValidationError):
            check_password_is_good(password, person=None, firm_name="")
    check_password_is_good(NEW, person=None, firm_name="")
