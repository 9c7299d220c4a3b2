"""Invitations: a link that lets one person in, once, for 72 hours."""

import datetime as dt

import pytest
import time_machine
from django.http import HttpResponse
from django.urls import reverse

from firm.actions.accounts import InvitationOver, come_in, invite
from firm.models import Entry, Invitation, Message, Person
from firm.registry import registry
from tests.conftest import StrictClient
from tests.factories import NOW
from tests.firm.test_login import is_in

PASSWORD = "seven wet spades"
ROBIN = {"name": "Robin Sedge", "email": "Robin@fernhollow.example", "role": "crew"}


def send_invitation(owner: Person) -> tuple[Invitation, str]:
    """The invitation and the address in its letter."""
    invitation = invite(**ROBIN, by=owner, now=NOW)
    message = Message.objects.get(kind="invitation")
    letter = registry.message_kinds["invitation"].write(message)
    lines = [line for line in letter.text.splitlines() if "/invitation/" in line]
    assert len(lines) == 1
    assert "Thu 5 Mar 2026, 10:00" in letter.text
    return invitation, lines[0].removeprefix("http://127.0.0.1:8000")


def answer(browser: StrictClient, password: str = PASSWORD) -> HttpResponse:
    data = {"name": "Robin S.", "new_password1": password, "new_password2": password}
    return browser.post(reverse("come-in"), data)


@pytest.fixture(autouse=True)
def on_the_day() -> object:
    with time_machine.travel(NOW + dt.timedelta(hours=1), tick=False):
        yield


def test_an_owner_invites_and_the_row_keeps_no_key(
    owner_client: StrictClient,
) -> None:
    asked = owner_client.post(reverse("people"), ROBIN)

    assert asked.status_code == 302
    invitation = Invitation.objects.get()
    message = Message.objects.get()
    assert (message.recipient, message.kind) == (
        "robin@fernhollow.example",
        "invitation",
    )
    assert message.payload == {"invitation": invitation.pk}
    assert message.too_late_at == invitation.expires_at
    link = registry.message_kinds["invitation"].write(message).text
    assert invitation.key_hash not in link
    page = owner_client.get(reverse("people")).content.decode()
    assert "Robin Sedge" in page
    assert Entry.objects.get(action="person invited").by is not None


@pytest.mark.parametrize("who", ["crew_client", "bookkeeper_client"])
def test_nobody_else_may_invite(who: str, request: pytest.FixtureRequest) -> None:
    browser: StrictClient = request.getfixturevalue(who)
    assert browser.post(reverse("people"), ROBIN).status_code == 403
    assert browser.get(reverse("people")).status_code == 403
    assert Invitation.objects.count() == 0


def test_an_address_in_use_is_refused_beside_the_field(
    owner_client: StrictClient, owner: Person
) -> None:
    refused = owner_client.post(
        reverse("people"), {**ROBIN, "email": owner.email.upper()}
    )
    assert refused.status_code == 200
    assert refused.context["form"].errors["email"] == [
        "Somebody already uses this mail address."
    ]
    assert b"Robin Sedge" in refused.content
    assert Invitation.objects.count() == 0


def test_the_link_lets_one_person_in_once(owner: Person) -> None:
    invitation, link = send_invitation(owner)
    browser = StrictClient()
    opened = browser.get(link)
    # The key leaves the address at once and opening alone changes nothing.
    assert opened["Location"] == reverse("come-in")
    assert opened["Referrer-Policy"] == "no-referrer"
    assert Person.objects.filter(email="robin@fernhollow.example").count() == 0
    page = browser.get(reverse("come-in")).content.decode()
    assert page.count('autocomplete="new-password"') == 2
    before = browser.cookies["session"].value

    assert answer(browser).status_code == 302

    robin = Person.objects.get(email="robin@fernhollow.example")
    assert (robin.name, robin.role) == ("Robin S.", "crew")
    assert robin.check_password(PASSWORD)
    assert is_in(browser)
    assert browser.cookies["session"].value != before
    invitation.refresh_from_db()
    assert invitation.person == robin
    again = StrictClient().get(link)
    assert again.status_code == 410
    assert b"This invitation is over" in again.content


def test_two_browsers_with_the_same_link_make_one_person(owner: Person) -> None:
    _invitation, link = send_invitation(owner)
    first, second = StrictClient(), StrictClient()
    first.get(link)
    second.get(link)

    assert answer(first).status_code == 302
    assert answer(second).status_code == 410

    assert Person.objects.filter(email="robin@fernhollow.example").count() == 1
    assert not is_in(second)


@pytest.mark.parametrize(("hours", "status"), [(71.99, 302), (72, 410)])
def test_the_link_dies_after_72_hours(owner: Person, hours: float, status: int) -> None:
    _invitation, link = send_invitation(owner)
    with time_machine.travel(NOW + dt.timedelta(hours=hours), tick=False):
        browser = StrictClient()
        assert browser.get(link).status_code == status
        assert answer(browser).status_code == (302 if status == 302 else 404)
    assert Person.objects.filter(role="crew").count() == (1 if status == 302 else 0)


def test_a_form_left_open_for_too_long_is_refused(owner: Person) -> None:
    _invitation, link = send_invitation(owner)
    browser = StrictClient()
    browser.get(link)
    with time_machine.travel(NOW + dt.timedelta(hours=72), tick=False):
        assert answer(browser).status_code == 410
    assert Person.objects.filter(role="crew").count() == 0


def test_a_withdrawn_invitation_lets_nobody_in(
    owner: Person, owner_client: StrictClient, crew_client: StrictClient
) -> None:
    invitation, link = send_invitation(owner)
    url = reverse("invitation-withdraw", args=[invitation.pk])
    assert crew_client.post(url).status_code == 403
    assert owner_client.get(url).status_code == 405
    assert StrictClient().get(link).status_code == 302

    assert owner_client.post(url).status_code == 302

    assert StrictClient().get(link).status_code == 410
    message = Message.objects.get(kind="invitation")
    kind = registry.message_kinds["invitation"]
    assert kind.still_wanted(message, NOW) is False
    second = owner_client.post(url, follow=True)
    assert b"already used or withdrawn" in second.content
    assert (
        owner_client.post(
            reverse("invitation-withdraw", args=[invitation.pk + 1])
        ).status_code
        == 404
    )


def test_a_second_invitation_to_the_address_kills_the_first(owner: Person) -> None:
    first, link = send_invitation(owner)
    second = invite(**ROBIN, by=owner, now=NOW + dt.timedelta(minutes=5))
    first.refresh_from_db()
    assert first.withdrawn_at is not None
    assert second.withdrawn_at is None
    assert StrictClient().get(link).status_code == 410


def test_wrong_keys_find_nothing(owner: Person) -> None:
    _invitation, link = send_invitation(owner)
    key = link.strip("/").rpartition("/")[2]
    other = "0" if key[-1] != "0" else "1"
    assert (
        StrictClient().get(reverse("invitation", args=[key[:-1] + other])).status_code
        == 404
    )
    assert StrictClient().get(reverse("come-in")).status_code == 404
    with pytest.raises(InvitationOver):
        come_in(key="", name="x", password=PASSWORD, now=NOW)


@pytest.mark.parametrize("password", ["short", "robin sedge", "1q2w3e4r5t6y"])
def test_an_easy_password_is_refused_and_the_link_still_works(
    owner: Person, password: str
) -> None:
    _invitation, link = send_invitation(owner)
    browser = StrictClient()
    browser.get(link)
    refused = answer(browser, password)
    assert refused.status_code == 200
    assert refused.context["form"].errors["new_password1"]
    assert b"Robin S." in refused.content
    assert answer(browser).status_code == 302


def test_extra_fields_do_not_make_an_owner(owner: Person) -> None:
    _invitation, link = send_invitation(owner)
    browser = StrictClient()
    browser.get(link)
    browser.post(
        reverse("come-in"),
        {
            "name": "Robin S.",
            "new_password1": PASSWORD,
            "new_password2": PASSWORD,
            "role": "owner",
            "email": "other@fernhollow.example",
        },
    )
    robin = Person.objects.get(name="Robin S.")
    assert (robin.role, robin.email) == ("crew", "robin@fernhollow.example")
