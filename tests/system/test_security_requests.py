"""What every address owes whoever asks: headers, methods, tokens, no extra fields.

After OWASP ASVS 5.0.0: 3.4.1 to 3.4.6 (headers), 3.5.1 and 3.5.3 (forged requests and
safe methods), 8.2.3 and 15.3.3 (fields that may not be set), 13.4.2 and 16.5.1
(errors), 14.3.2 (caches).
"""

import hashlib
import uuid
from typing import Any

import pytest
from django.apps import apps
from django.conf import LazySettings
from django.urls import reverse

from tests.conftest import StrictClient, read_to_its_end
from tests.system.addresses import (
    PRIVATE_LINK,
    PUBLIC,
    ROWS,
    STRANGER,
    Site,
    open_site,
    undone,
)
from tests.system.processes import Installation

pytestmark = pytest.mark.django_db
WHO = (STRANGER, "owner", "crew", "bookkeeper")


@pytest.fixture
def site(db: None) -> Site:
    return open_site()


def rows_now() -> dict[str, str]:
    """A fingerprint of all rows of each kind, sessions aside."""
    found = {}
    for model in apps.get_models():
        if model.__name__ != "Session":
            rows = sorted(map(repr, model._default_manager.values_list()))
            found[model.__name__] = hashlib.sha256("".join(rows).encode()).hexdigest()
    return found


def changed(before: dict[str, str]) -> list[str]:
    """The kinds of rows that changed."""
    return [name for name, rows in rows_now().items() if rows != before[name]]


def policy(header: str) -> dict[str, list[str]]:
    """The directives of a content security policy."""
    parts = [part.split() for part in header.split(";") if part.strip()]
    return {words[0]: words[1:] for words in parts}


@pytest.mark.parametrize("who", WHO)
def test_every_answer_carries_the_headers_that_protect(site: Site, who: str) -> None:
    wrong: list[str] = []
    asked = 0
    for name, row in ROWS.items():
        url = site.url(name)
        for method in ("get", "post"):
            if row.needs == PRIVATE_LINK and method == "post":
                continue
            with undone():
                answer = getattr(site.browser(who), method)(url)
                read_to_its_end(answer)
            asked += answer.status_code == 200
            label = f"{name} {method} {answer.status_code}"
            csp = policy(answer.headers.get("Content-Security-Policy", ""))
            wanted = {
                "nosniff": answer.headers.get("X-Content-Type-Options") == "nosniff",
                "referrer": answer.headers.get("Referrer-Policy")
                in ("same-origin", "no-referrer"),
                "frame": answer.headers.get("X-Frame-Options") == "DENY",
                "opener": answer.headers.get("Cross-Origin-Opener-Policy")
                == "same-origin",
                "default": csp.get("default-src") == ["'none'"],
                "object": csp.get("object-src") == ["'none'"],
                "base": csp.get("base-uri") == ["'none'"],
                "ancestors": csp.get("frame-ancestors") == ["'none'"],
                "inline": not {"'unsafe-inline'", "'unsafe-eval'", "*", "http:"}
                & {word for words in csp.values() for word in words},
            }
            wrong += [f"{label}: {what}" for what, is_so in wanted.items() if not is_so]
    # Most pages answer the owner; others mostly learn that they may not.
    assert asked > (100 if who == "owner" else 7)
    assert wrong == []


@pytest.mark.parametrize("who", WHO)
def test_what_somebody_saw_stays_in_no_cache(site: Site, who: str) -> None:
    seen: list[str] = []
    wrong: list[str] = []
    for name, row in ROWS.items():
        is_open = row.needs in (PUBLIC, PRIVATE_LINK)
        if row.get is None or is_open is not (who == STRANGER):
            continue
        if name == "password-asked":
            # The same words for everybody.
            continue
        with undone():
            answer = site.browser(who).get(site.url(name))
            read_to_its_end(answer)
        if answer.status_code in (200, 202, 410):
            seen.append(name)
            if "no-store" not in answer.headers.get("Cache-Control", ""):
                wrong.append(name)
    assert len(seen) > (4 if who in (STRANGER, "crew") else 15)
    assert wrong == []


def test_a_site_over_tls_says_so_and_seals_its_cookies(
    installation: Installation,
) -> None:
    installation.words = {
        "SITE_URL": "https://office.fernhollow.example",
        "ALLOWED_HOSTS": "office.fernhollow.example",
    }
    printed = installation.python(
        """
from django.test import Client
from firm.models import Firm, Person
from django.utils.timezone import now
Firm.objects.create(pk=1, name="Fernhollow", set_up_at=now())
person = Person(name="Olive", email="o@fernhollow.example", role="owner")
person.set_password("seven green wheelbarrows"); person.save()
client = Client(headers={"host": "office.fernhollow.example"})
print(client.get("/login/").status_code)
page = client.get("/login/", secure=True)
print(page["Strict-Transport-Security"])
answer = client.post("/login/", {"username": person.email,
    "password": "seven green wheelbarrows"}, secure=True)
print(answer.status_code)
for name, cookie in sorted(client.cookies.items()):
    print(name, cookie["secure"], cookie["httponly"] or "-", cookie["samesite"],
          cookie["path"], cookie["domain"] or "-")
"""
    )
    assert printed == [
        "301",
        "max-age=31536000; includeSubDomains; preload",
        "302",
        "__Host-csrf True - Lax / -",
        "__Host-session True True Lax / -",
    ]


def test_the_settings_of_a_site_over_tls_pass_the_frameworks_own_check(
    installation: Installation,
) -> None:
    words = {"SITE_URL": "https://f.example", "ALLOWED_HOSTS": "f.example"}
    installation.words = words | {"SECRET_KEY": uuid.uuid4().hex * 3}
    checked = installation.manage("check", "--deploy", "--fail-level", "WARNING")
    assert checked.returncode == 0, checked.stderr
    # Refusal beside success: without TLS the same check complains.
    installation.words["SITE_URL"] = "http://f.example"
    checked = installation.manage("check", "--deploy", "--fail-level", "WARNING")
    assert checked.returncode == 1
    assert "security.W004" in checked.stderr


def test_every_form_without_its_token_is_refused_and_writes_nothing(site: Site) -> None:
    forms = site.forms()
    before = rows_now()
    answers: dict[str, int] = {}
    for key, form in forms.items():
        reader = site.reader(ROWS[form.name])
        careful = site.plain_browser(reader, enforce_csrf_checks=True)
        answers[key] = careful.post(form.url, form.fields).status_code
    assert len(answers) > 90
    assert {key: code for key, code in answers.items() if code != 403} == {}
    assert changed(before) == []


def test_a_form_with_the_token_of_another_site_is_refused(site: Site) -> None:
    careful = site.plain_browser("owner", enforce_csrf_checks=True)
    page = careful.get(reverse("client-new"))
    token = page.context["csrf_token"]
    data = {"csrfmiddlewaretoken": str(token)}
    origin = {"origin": "https://evil.example"}
    url = reverse("client-new")
    assert careful.post(url, data, headers=origin).status_code == 403
    assert careful.post(url, data).status_code == 200


def test_looking_changes_no_row(site: Site) -> None:
    kept: dict[str, list[str]] = {}
    before = rows_now()
    for name, row in ROWS.items():
        browser = site.browser(site.reader(row))
        for method in ("head", "get"):
            with undone():
                read_to_its_end(getattr(browser, method)(site.url(name)))
                found = changed(before)
            if found:
                kept[f"{method} {name}"] = found
    assert kept == {
        # The paper of a bill is drawn, and kept, when somebody first asks for it.
        "head bill-pdf": ["Document"],
        "get bill-pdf": ["Document"],
        # When a private link was first opened is what the owner wants to know.
        "get link-quote": ["PrivateLink"],
        "get link-contract": ["PrivateLink"],
        "get link-guide": ["PrivateLink"],
    }


# Columns that no form may set unless it shows a field of that name.
GUARDED: dict[str, Any] = {
    "state": "agreed",
    "role": "owner",
    "is_active": "",
    "is_superuser": "on",
    "password": "x",
    "net": "0.01",
    "tax": "0.01",
    "gross": "0.02",
    "cost": "0.01",
    "price": "0.01",
    "hour_cost": "0.01",
    "unit_cost": "0.01",
    "unit_price": "0.01",
    "tax_percent": "0",
    "margin_percent": "99",
    "revision": "77",
    "position": "77",
    "offered_at": "2026-01-01T00:00",
    "decided_at": "2026-01-01T00:00",
    "agreed_at": "2026-01-01T00:00",
    "settled_at": "2026-01-01T00:00",
    "withdrawn_at": "2026-01-01T00:00",
    "expires_at": "2999-01-01T00:00",
    "used_at": "2026-01-01T00:00",
    "set_up_at": "",
    "is_demo": "on",
    "mail_password_sealed": "x",
    "sha256": "x",
    "document_sha256": "x",
    "pdf": "../../etc/passwd",
    "scan": "../../etc/passwd",
    "photo": "../../etc/passwd",
    "recipient": "evil@evil.example",
    "layer": "own",
    "number": "X-1",
    "logged_by": "1",
    "raised_by": "1",
    "recorded_by": "1",
    "garden": "1",
    "client": "1",
    "id": "1",
    "pk": "1",
}
# Filled by the moment or by chance, whatever is sent.
CHANCE = {"offered_at", "decided_at", "agreed_at", "settled_at", "expires_at"}
CHANCE |= {
    "withdrawn_at",
    "mail_password_sealed",
    "sha256",
    "document_sha256",
    "used_at",
    "password",
    "id",
}


def guarded_columns(names: set[str]) -> dict[str, list[str]]:
    """The values of guarded columns of all rows, in order, as text."""
    found: dict[str, list[str]] = {}
    for model in apps.get_models():
        if model.__name__ in {"Session", "Entry"}:
            continue
        own = {field.attname for field in model._meta.concrete_fields}
        for column in sorted(names & own):
            values = model._default_manager.values_list(column, flat=True)
            found[f"{model.__name__}.{column}"] = sorted(map(str, values))
    return found


def test_fields_that_a_form_does_not_show_set_nothing(site: Site) -> None:
    moved: dict[str, list[str]] = {}
    for key, form in site.forms().items():
        extra = {
            name: value
            for name, value in GUARDED.items()
            if name not in form.fields and name not in form.files
        }
        asked = set(extra) - CHANCE
        browser = site.browser(site.reader(ROWS[form.name]))
        with undone():
            plain = browser.post(form.url, form.fields).status_code
            wanted = guarded_columns(asked)
        with undone():
            browser = site.browser(site.reader(ROWS[form.name]))
            more = browser.post(form.url, {**extra, **form.fields}).status_code
            found = guarded_columns(asked)
        differ = [name for name, values in found.items() if values != wanted[name]]
        # A form without fields has nothing that it could have refused.
        if differ or (plain != more and form.fields):
            moved[key] = [*differ, f"{plain} {more}"]
    assert moved == {}


def test_a_fault_of_ours_shows_no_trace_and_no_settings(
    site: Site, settings: LazySettings, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(**_words: object) -> None:
        raise RuntimeError("canary-of-the-fault")

    monkeypatch.setattr("firm.views.clients.clients_matching", broken)
    browser = site.browser("owner")
    browser.raise_request_exception = False
    answer = browser.get(reverse("clients"))
    page = answer.content.decode()
    assert settings.DEBUG is False
    assert answer.status_code == 500
    for word in ("Traceback", "canary-of-the-fault", "RuntimeError", "clients.py"):
        assert word not in page
    assert settings.SECRET_KEY not in page


def test_a_host_that_is_not_ours_is_refused() -> None:
    for host in ("evil.example", "testserver.evil.example", "testserver@evil.example"):
        answer = StrictClient().get(reverse("login"), headers={"host": host})
        assert answer.status_code == 400, host
        assert b"evil.example" not in answer.content


def test_an_address_with_a_nul_is_refused_before_any_page_reads_it(site: Site) -> None:
    owner = site.browser("owner")
    for query in ({"q": "a\0b"}, {"a\0b": "q"}, {"q": ["a", "\0"]}):
        answer = owner.get(reverse("clients"), query)
        assert answer.status_code == 400, query
        assert "This cannot be read" in answer.content.decode()
    # Nothing else is refused there, not even other signs that are hard to see.
    assert owner.get(reverse("clients"), {"q": "a\u200b\tb"}).status_code == 200
