"""Marks in any text are shown as they were typed: ASVS 5.0.0, 1.2.1 to 1.2.3."""

import io
from html.parser import HTMLParser
from typing import Any

import pytest
from django.apps import apps
from django.db import models
from django.urls import reverse
from pypdf import PdfReader

from firm import clock
from jobs.documents import pdf_of
from jobs.models import Document
from tests.system.addresses import (
    PRIVATE_LINK,
    PUBLIC,
    ROWS,
    STRANGER,
    Site,
    open_site,
    undone,
)

pytestmark = pytest.mark.django_db
SCRIPT = "<script>alert(1)</script>"
IMAGE = '"><img src=x onerror=alert(1)>'
PAYLOAD = SCRIPT + IMAGE
APPS = {"firm", "plants", "jobs"}
# Words of ours, keys and names of files: nobody types into these.
OURS = {"key", "kind", "state", "language", "currency", "time_zone", "layer", "task"}
OURS |= {"purpose", "rule_key", "drawing", "password", "session_key", "token", "pdf"}
OURS |= {"photo", "scan", "sha256", "pdf_sha256", "document_sha256", "key_hash"}
OURS |= {"nonce", "message_id", "document_key", "digest", "mail_password_sealed"}
OURS |= {"email", "recipient", "mail_from", "mail_host", "number", "subject_kind"}
# Empty says something of these rows, so only what is filled is written over.
FILLED_ONLY = {"answer", "not_needed_reason", "struck_out_reason"}


def free_columns(model: type[models.Model]) -> list[models.CharField[Any, Any]]:
    """The columns of MODEL that hold what somebody typed."""
    return [
        field
        for field in model._meta.concrete_fields
        if isinstance(field, models.CharField | models.TextField)
        and not field.choices
        and field.name not in OURS
        and not field.name.endswith("_text")
        and (field.max_length or 999) >= len(PAYLOAD) + 6
    ]


def spoiled(value: Any, known: dict[str, str]) -> Any:
    """VALUE of a JSON column with each text that KNOWN has replaced."""
    if isinstance(value, dict):
        return {key: spoiled(each, known) for key, each in value.items()}
    if isinstance(value, list):
        return [spoiled(each, known) for each in value]
    return known.get(value, value) if isinstance(value, str) else value


def spoil() -> int:
    """Write the marks into every typed text of every row; the number of texts."""
    known: dict[str, str] = {}
    count = 0
    mine = [m for m in apps.get_models() if m._meta.app_label in APPS]
    for model in mine:
        for row in model._default_manager.order_by("pk"):
            texts = {}
            for field in free_columns(model):
                if field.name in FILLED_ONLY and not getattr(row, field.name):
                    continue
                # The number keeps names that may stand only once apart.
                bad = f"{PAYLOAD}{row.pk}"
                if getattr(row, field.name):
                    known.setdefault(getattr(row, field.name), bad)
                texts[field.name] = bad
            if texts:
                count += len(texts)
                model._default_manager.filter(pk=row.pk).update(**texts)
    for model in mine:
        for field in model._meta.concrete_fields:
            if isinstance(field, models.JSONField):
                for row in model._default_manager.order_by("pk"):
                    value = spoiled(getattr(row, field.name), known)
                    rows = model._default_manager.filter(pk=row.pk)
                    rows.update(**{field.name: value})
    return count


class Alive(HTMLParser):
    """Finds what a browser would run: scripts of no file of ours, and handlers."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a script without a file, and any handler."""
        names = {name for name, _value in attrs}
        if tag == "script" and not names & {"src", "nonce"}:
            self.found.append(tag)
        self.found += [f"{tag} {name}" for name in names if name.startswith("on")]


@pytest.fixture
def site(db: None) -> Site:
    made = open_site()
    assert spoil() > 200
    return made


@pytest.mark.parametrize("who", [STRANGER, "owner", "crew", "bookkeeper"])
def test_every_page_shows_marks_as_they_were_typed(site: Site, who: str) -> None:
    shown: list[str] = []
    raw: list[str] = []
    browser = site.plain_browser(who)
    for name, url in site.pages():
        is_open = ROWS[name].needs in (PUBLIC, PRIVATE_LINK)
        if is_open is not (who == STRANGER):
            continue
        answer = browser.get(url)
        if answer.status_code == 403:
            continue
        page = answer.content.decode()
        if "<script>alert" in page or "<img src=x" in page or Alive(page).found:
            raw.append(name)
        if "&lt;script&gt;alert(1)&lt;/script&gt;&quot;&gt;&lt;img" in page:
            shown.append(name)
    assert raw == []
    least = {STRANGER: 4, "owner": 70, "crew": 5, "bookkeeper": 12}
    assert len(shown) >= least[who], shown


def test_a_refused_form_shows_marks_as_they_were_typed(site: Site) -> None:
    shown = 0
    for form in site.forms().values():
        browser = site.plain_browser(site.reader(ROWS[form.name]))
        with undone():
            answer = browser.post(form.url, dict.fromkeys(form.fields, PAYLOAD))
        page = answer.content.decode()
        assert "<script>alert" not in page, form.name
        assert "<img src=x" not in page, form.name
        assert Alive(page).found == [], form.name
        shown += "&lt;script&gt;alert(1)" in page
    assert shown > 40


def letters(pdf: bytes) -> str:
    """The text of a PDF without blanks, which end up anywhere."""
    pages = PdfReader(io.BytesIO(pdf)).pages
    return "".join("".join(page.extract_text() for page in pages).split())


@pytest.mark.parametrize("kind", ["quote", "contract", "care guide", "bill"])
def test_papers_carry_marks_as_letters(site: Site, kind: str) -> None:
    document = Document.objects.filter(kind=kind).order_by("id").first()
    assert document is not None
    text = letters(pdf_of(document=document, now=clock.now()))
    assert "<script>alert(1)</script>" in text
    assert "onerror=alert(1)>" in text


def test_the_round_sheet_carries_marks_as_letters(site: Site) -> None:
    answer = site.browser("crew").get(reverse("round-sheet"))
    assert answer.status_code == 200
    assert "<script>alert(1)</script>" in letters(answer.content)
