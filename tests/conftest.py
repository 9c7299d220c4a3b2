"""What every test may lean on: a strict client, three people, no network."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import hypothesis
import pytest
from django.conf import LazySettings
from django.conf import settings as django_settings
from django.core.cache import cache
from django.http import HttpResponse
from django.test import Client

from firm.models import Person
from tests import factories

INLINE_HANDLER = re.compile(rb"<[^>]+\son[a-z]+\s*=", re.IGNORECASE)
INLINE_STYLE = re.compile(rb"<[^>]+\sstyle\s*=", re.IGNORECASE)
BARE_SCRIPT = re.compile(rb"<script(?![^>]*\b(?:src|nonce)=)", re.IGNORECASE)


def pytest_configure(config: pytest.Config) -> None:
    """Make the folder of collected files, which whitenoise warns about when missing."""
    Path(django_settings.STATIC_ROOT).mkdir(parents=True, exist_ok=True)
    # A busy machine is no fault of the code: properties have no deadline.
    hypothesis.settings.register_profile("house", deadline=None)
    hypothesis.settings.load_profile("house")


class StrictClient(Client):
    """A client that fails on anything a strict content policy would block."""

    def request(self, **request: Any) -> Any:
        """The response, once it was looked through."""
        response: HttpResponse = super().request(**request)
        if response.get("Content-Type", "").startswith("text/html") and not getattr(
            response, "streaming", False
        ):
            body = response.content
            assert b"{{" not in body, "a template tag was left in the page"
            assert b"{%" not in body, "a template tag was left in the page"
            assert not INLINE_HANDLER.search(body), "an inline handler in the page"
            assert not INLINE_STYLE.search(body), "an inline style in the page"
            assert not BARE_SCRIPT.search(body), "an inline script in the page"
        return response


@pytest.fixture(autouse=True)
def quick_and_tidy(settings: LazySettings, tmp_path: Any) -> Iterator[None]:
    """Fast passwords, files and the outbox of each test in a folder of its own."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    settings.STORAGES = {
        "default": {
            "BACKEND": "django.core.files.storage.FileSystemStorage",
            "OPTIONS": {"location": tmp_path / "files"},
        },
        "staticfiles": {
            "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        },
    }
    settings.MEDIA_ROOT = tmp_path / "files"
    cache.clear()
    yield


@pytest.fixture
def client() -> StrictClient:
    """A browser of nobody."""
    return StrictClient()


@pytest.fixture
def owner(db: None) -> Person:
    """The owner, with the firm set up."""
    factories.FirmFactory()
    person: Person = factories.PersonFactory(name="Olive Harrow", role="owner")
    return person


@pytest.fixture
def crew_member(db: None) -> Person:
    """Somebody of a crew, in it since the year 2000."""
    factories.FirmFactory()
    person: Person = factories.PersonFactory(name="Cal Reed", role="crew")
    factories.CrewMemberFactory(person=person)
    return person


@pytest.fixture
def bookkeeper(db: None) -> Person:
    """The bookkeeper."""
    factories.FirmFactory()
    person: Person = factories.PersonFactory(name="Bea Ledger", role="bookkeeper")
    return person


def read_to_its_end(answer: Any) -> None:
    """Let go of ANSWER's file: the test client closes it without the connection.

    Closing it by hand tells Django that the request is over, which closes the
    connection that the test's own transaction lives on.
    """
    if answer.streaming:
        for _part in answer.streaming_content:
            pass


def browser_of(person: Person) -> StrictClient:
    """A browser in which PERSON is logged in."""
    client = StrictClient()
    client.force_login(person, "django.contrib.auth.backends.ModelBackend")
    return client


@pytest.fixture
def owner_client(owner: Person) -> StrictClient:
    """The owner's browser."""
    return browser_of(owner)


@pytest.fixture
def crew_client(crew_member: Person) -> StrictClient:
    """The crew member's browser."""
    return browser_of(crew_member)


@pytest.fixture
def bookkeeper_client(bookkeeper: Person) -> StrictClient:
    """The bookkeeper's browser."""
    return browser_of(bookkeeper)
