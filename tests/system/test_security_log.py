"""What the log tells, and what it must not: ASVS 5.0.0, 16.2.5, 16.3.1 and 16.4.1."""

import io
import logging
from collections.abc import Iterator

import pytest
from django.core import signing
from django.test import Client
from django.urls import reverse

from firm.actions.accounts import invitation_key, invite
from firm.models import Entry, Invitation, Message, Person
from jobs.models import PrivateLink
from tests import factories
from tests.conftest import StrictClient, browser_of
from tests.system.addresses import ROWS, Site, open_site

pytestmark = pytest.mark.django_db
PASSWORD = "canary seven green wheelbarrows"


@pytest.fixture
def site(db: None) -> Site:
    return open_site()


@pytest.fixture
def log() -> Iterator[io.StringIO]:
    """What our own handler writes, down to the last detail."""
    root = logging.getLogger()
    handler = next(
        each
        for each in root.handlers
        if type(each) is logging.StreamHandler and each.filters
    )
    stream = io.StringIO()
    level = root.level
    kept = handler.setStream(stream)
    root.setLevel(logging.DEBUG)
    yield stream
    root.setLevel(level)
    if kept is not None:
        handler.setStream(kept)


def test_no_password_is_written_however_it_is_typed(
    site: Site, log: io.StringIO
) -> None:
    olive = site.people["owner"]
    olive.set_password(PASSWORD)
    olive.save()
    login = reverse("login")
    for address in (olive.email, "nobody@brook.example", "a\nb"):
        StrictClient().post(login, {"username": address, "password": PASSWORD})
        StrictClient().post(login, {"username": address, "password": PASSWORD + "x"})
    # People type the password where their address belongs, too: it is then an address.
    browser = StrictClient()
    browser.post(login, {"username": olive.email, "password": PASSWORD})
    data = {
        "old_password": PASSWORD,
        "new_password1": "canary 2 x",
        "new_password2": "",
    }
    browser.post(reverse("password-change"), data)
    browser.post(
        reverse("firm-mail"), {"mail_password": "canary-mail", "mail_port": ""}
    )
    assert browser.session.session_key
    written = log.getvalue()
    assert f"logged in: person {olive.pk}" in written
    assert "login refused" in written
    assert "canary" not in written
    assert browser.session.session_key not in written


def test_a_line_break_in_an_address_begins_no_line(
    site: Site, log: io.StringIO
) -> None:
    name = "kit@brook.example\n2026-01-01 00:00:00 INFO firm: logged in: person 1"
    StrictClient().post(reverse("login"), {"username": name, "password": "x"})
    StrictClient().get("/no-such-page%0a2026-01-01%20INFO%20logged%20in:%20person%201")
    lines = log.getvalue().splitlines()
    assert any("login refused" in line for line in lines)
    assert any("Not Found" in line for line in lines)
    assert [line for line in lines if line.startswith("2026-01-01")] == []


def test_the_key_of_a_private_link_is_never_written(
    site: Site, log: io.StringIO
) -> None:
    keys = {
        site.world[sample]["key"]
        for sample in ("quote key", "contract key", "guide key")
    }
    forms = site.forms()
    for state in ("open", "withdrawn"):
        if state == "withdrawn":
            PrivateLink.objects.update(withdrawn_at=factories.NOW)
        for name, row in ROWS.items():
            if not name.startswith("link-"):
                continue
            url = site.url(name)
            StrictClient().get(url)
            StrictClient().delete(url)
            # Refused for want of a token, which the framework writes down.
            Client(enforce_csrf_checks=True).post(url, {})
            if row.post is not None:
                for _twice in range(2):
                    StrictClient().post(url, forms[name].fields)
    written = log.getvalue()
    for told in ("Method Not Allowed", "Forbidden", "Gone", "Conflict"):
        assert told in written
    assert "/quote/..." in written
    assert [key for key in keys if key in written] == []
    # Nor does any row hold one: the database alone opens nothing.
    for model in (Entry, Message, PrivateLink):
        rows = repr(list(model.objects.values()))
        assert [key for key in keys if key in rows] == []


def test_the_keys_of_invitations_and_new_passwords_are_never_written(
    site: Site, log: io.StringIO
) -> None:
    invitation = invite(
        name="Robin",
        email="robin@fernhollow.example",
        role="crew",
        by=site.people["owner"],
        now=factories.NOW,
    )
    key = invitation_key(invitation=invitation)
    url = reverse("invitation", args=[key])
    assert StrictClient().get(url).status_code == 410
    assert StrictClient().post(url).status_code == 405
    new = reverse("password-new", args=["MQ", "canary-token"])
    assert StrictClient().get(new).status_code == 410
    written = log.getvalue()
    assert "/invitation/..." in written
    assert "/password/new/MQ/..." in written
    assert key not in written
    assert "canary-token" not in written
    assert key not in repr(list(Invitation.objects.values()))


def test_who_did_what_when_is_kept_for_what_counts(site: Site) -> None:
    before = Entry.objects.count()
    forms = site.forms()
    counted = ("quote-agreed", "person", "firm-tax", "payment-new", "receipt-new")
    for name in counted:
        browser = site.browser("owner")
        assert browser.post(forms[name].url, forms[name].fields).status_code == 302
    kept = list(Entry.objects.order_by("id")[before:])
    assert len(kept) >= len(counted)
    assert {entry.by for entry in kept} <= {site.people["owner"], None}
    assert all(entry.at.utcoffset() is not None for entry in kept)


def test_a_session_cookie_that_was_made_up_opens_nothing(owner: Person) -> None:
    real = browser_of(owner).cookies["session"].value
    made_up = ("x" * 32, signing.dumps({"_auth_user_id": owner.pk}), "a\x00b")
    opened = []
    for session in (real, *made_up):
        # The header itself: a patched http.cookies will not write control signs.
        cookie = {"cookie": f"session={session}"}
        opened.append(StrictClient().get(reverse("books"), headers=cookie).status_code)
    assert opened == [200, 302, 302, 302]
