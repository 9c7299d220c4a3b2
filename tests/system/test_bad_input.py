"""Bad input at every address: never an error of ours, never half of it written."""

import datetime as dt
import inspect
import os
import re
import uuid
from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.conf import LazySettings, settings
from django.contrib.auth.tokens import default_token_generator
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.urls import reverse
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode

from firm import clock
from firm.actions.accounts import invitation_key, invite
from firm.models import Firm, Person
from plants.models import Garden
from tests import factories
from tests.conftest import StrictClient, browser_of
from tests.system.addresses import (
    PRIVATE_LINK,
    PUBLIC,
    ROWS,
    STRANGER,
    FormReader,
    FoundForm,
    Site,
    open_site,
    undone,
)
from tests.system.test_access import ALL

pytestmark = pytest.mark.django_db

# What a database, a parser or a page may stumble over. NUL is no letter to PostgreSQL;
# numbers beyond 64 bits fit no column; Python reads no number of 5,000 digits; a day
# before the first or after the last of the calendar cannot be reckoned with.
NASTY = {
    "nul": "a\x00b",
    "beyond 64 bits": "999999999999999999999999",
    "below 64 bits": "-99999999999999999999",
    "beyond 32 bits": "4294967296",
    "5,000 digits": "9" * 5000,
    "an endless number": "1e999999",
    "not a number": "NaN",
    "infinite": "Infinity",
    "a tiny fraction": "0.000000000000000000000000001",
    "no day": "0000-99-99",
    "the first day": "0001-01-01",
    "the last day": "9999-12-31",
    "other digits": "٣٤٥",
    "raised digits": "²³",
    "a lone half of a letter": "\ud800",
    "right to left": "\u202egnp.exe",
    "a heap of accents": "Z" + "\u0301" * 300,
    "very long": "x" * 20000,
    "path": "../../../etc/passwd",
    "line breaks": "one\r\nBcc: all@evil.example\r\n\r\ntwo",
    "script": "<script>alert(1)</script>",
    "quotes": "\"' OR 1=1 --",
    "formats": "%s %(x)s {0} {x.__class__} $HOME",
    "a list": "[]",
    "nothing": "",
    "blanks": " \t\n\u00a0\u200b",
}
# Read by the same code whatever lies behind it: asked on SQLite, which is quicker.
FOR_READERS = {"no day", "other digits", "raised digits", "right to left", "path"}
FOR_READERS |= {"line breaks", "script", "quotes", "formats", "a list", "nothing"}
FOR_READERS |= {"blanks"}
ON_SQLITE = settings.DATABASES["default"]["ENGINE"].endswith("sqlite3")
ASKED_HERE = [name for name in NASTY if ON_SQLITE or name not in FOR_READERS]
FUZZ_ALL = bool(os.environ.get("FUZZ_ALL"))
# The forms are read once for several values.
PARTS = 6
# These look right to a form, so that they reach what is behind it.
DEEP = ("nul", "beyond 32 bits", "the last day", "other digits", "line breaks")
ASKED = (
    "bed-fit",
    "bed-fit-plant",
    "bed-soil",
    "bed-sketch",
    "books",
    "clients",
    "garden-new",
    "gardens",
)
ASKED += ("hours-new", "instruction-new", "login", "messages", "planting-new", "plants")
ASKED += ("own-group-new", "own-plant-new")
ASKED += ("to-buy", "quote-line-new", "quotes", "single-visit-new", "today", "week")
ASKED += ("quote-what-if", "firm-quote-words", "supplier")
ASKED += ("ask", "work-in-heat", "seen", "visit-place", "garden-bloom", "garden-year")
MONTH = {"first": "2026-04-01", "last": "2026-04-30"}
PAIRS = (
    ("today", {"day": "2026-04-14", "crew": "1"}),
    ("bed-sketch", {"day": "2026-04-14", "hour": "15:00", "shade": "1"}),
    ("round-sheet", {"day": "2026-04-14"}),
    ("hours-new", {"day": "2026-04-14", "crew": "1", "visit": "1"}),
    ("books", MONTH),
    ("totals-csv", MONTH),
    ("tax-totals", MONTH),
    ("tax-totals-csv", MONTH),
    ("open-bills", {"day": "2026-04-14"}),
    ("client-statement", MONTH),
    ("statement-pdf", MONTH),
    ("totals-xlsx", MONTH),
)
QUERIES = ("day", "crew", "q", "page", "state", "visit", "bed", "client", "planting")
QUERIES += ("like", "group", "size", "plant", "parts", "analysis", "payload", "ph")
QUERIES += ("first", "last", "next", "kind", "number", "words", "look")
QUERIES += ("station", "year", "margin_percent", "options")


def trouble(
    browser: StrictClient, url: str, data: dict[str, Any], *, method: str = "post"
) -> str:
    """What went wrong inside when DATA was sent to URL; nothing when nothing did."""
    with undone():
        try:
            answer = getattr(browser, method)(url, data)
            if method == "post" and answer.status_code == 302:
                # References are looked at only at the end of a transaction.
                connection.check_constraints()
        except Exception as error:
            return f"{url[:80]} {method}: {type(error).__name__}: {str(error)[:200]}"
    if answer.status_code >= 500:
        return f"{url[:80]} {method}: {answer.status_code}"
    return ""


def sendable(value: str) -> str:
    """VALUE as a browser can send it: half letters leave it as a replacement sign."""
    return value.encode("utf-8", "replace").decode()


def wrong(site: Site, form: FoundForm, data: dict[str, Any]) -> str:
    """What went wrong inside when FORM was sent with DATA."""
    return trouble(site.browser(site.reader(ROWS[form.name])), form.url, data)


def has_turn(nasty: str, place: int) -> bool:
    """Whether the form or page at PLACE is sent this value.

    A value goes to every second, and what one reader refuses for all of them, or a
    second database is asked once more, to every fourth; FUZZ_ALL sends all to all.
    """
    if FUZZ_ALL:
        return True
    return place % (2 if ON_SQLITE and nasty not in FOR_READERS else 4) == 0


def unlike(form: FoundForm) -> list[str]:
    """The fields of FORM, only one of those that differ by a number in their name."""
    kinds = {re.sub(r"\d+", "0", name): name for name in reversed(form.fields)}
    return sorted(kinds.values())


@pytest.fixture
def site(db: None) -> Site:
    return open_site()


def test_every_address_that_takes_a_form_is_reached_by_one(site: Site) -> None:
    reached = {form.name for form in site.forms().values()}
    takes = {name for name, row in ROWS.items() if row.post is not None}
    # These three need a state of their own; they are sent further down.
    assert takes - reached == {"first-run", "password-new", "come-in"}


def test_the_plausible_filling_of_each_form_is_taken(site: Site) -> None:
    # Else the forms below would be refused for another reason than the nasty field.
    refused: dict[str, int] = {}
    for key, form in site.forms().items():
        browser = site.browser(site.reader(ROWS[form.name]))
        with undone():
            answer = browser.post(form.url, form.fields)
        if answer.status_code != 302:
            refused[key] = answer.status_code
    assert refused == {
        # Nobody has that password, and these words are no list of gardens and no days.
        "login": 200,
        "password-change": 200,
        "take-over": 200,
        "price-list-new": 200,
        "station-records": 200,
        "station-from-records": 200,
        # The deposit of a finished job and an instalment of a draft are not billed,
        # a running contract is not resumed, and a crew without stops has no order.
        "deposit-new": 200,
        "instalment-bill-new": 200,
        "contract-resume": 409,
        "week-order": 200,
    }


@pytest.mark.parametrize("part", range(PARTS))
def test_a_nasty_value_in_a_form_is_never_an_error_of_ours(
    site: Site, part: int
) -> None:
    found: list[str] = []
    forms = site.forms().values()
    mine = list(enumerate(ASKED_HERE))[part::PARTS]
    for turn, nasty in mine:
        value = sendable(NASTY[nasty])
        for number, form in enumerate(forms):
            # In every field at once: no field may stumble on it.
            if has_turn(nasty, number + turn):
                everywhere = {name: value for name in form.fields}
                found.append(f"{nasty}: {wrong(site, form, everywhere)}")
            # In one field of a form that is right otherwise: nor may what is behind
            # the form. Each field has its turn with some of the values; with FUZZ_ALL
            # in the environment each has it with all, which takes half an hour.
            stride = 1 if FUZZ_ALL else 12 if nasty in DEEP else 30
            found += [
                f"{nasty}: {wrong(site, form, {**form.fields, name: value})}"
                for place, name in enumerate(unlike(form))
                if (place + turn) % stride == 0
            ]
    assert len(found) > 30 * len(mine)
    assert [line for line in found if not line.endswith(": ")] == []


@pytest.mark.parametrize("part", range(PARTS))
def test_a_nasty_question_in_an_address_is_never_an_error_of_ours(
    site: Site, part: int
) -> None:
    found: list[str] = []
    owner = site.browser("owner")
    mine = list(enumerate(ASKED_HERE))[part::PARTS]
    for turn, nasty in mine:
        value = sendable(NASTY[nasty])
        everywhere = {word: value for word in QUERIES}
        for place, (name, url) in enumerate(site.pages()):
            # Pages that read no question have their turn with some of the values.
            if has_turn(nasty, place + turn) and (
                name in ASKED or (place + turn) % 9 == 0
            ):
                browser = site.browser(site.reader(ROWS[name]))
                found.append(trouble(browser, url, everywhere, method="get"))
        for name, right in PAIRS:
            for word in right:
                query = right | {word: value}
                found.append(trouble(owner, site.url(name), query, method="get"))
    assert len(found) > 8 * len(mine)
    assert [line for line in found if line] == []


def test_every_page_that_reads_a_question_is_listed() -> None:
    # The pages above are asked with every value, so a new one has to be named there.
    reading = {
        name
        for name, pattern in ALL.items()
        if ROWS[name].get == 200
        and re.search(r"\.GET\b|asked_rounds", source_of(pattern.callback))
    }
    assert reading - set(ASKED) - {name for name, _right in PAIRS} == set()


def source_of(view: Any) -> str:
    """The text of the function behind a view and its gates."""
    return inspect.getsource(inspect.unwrap(view))


def nasty_path(name: str, parts: dict[str, Any]) -> Iterator[str]:
    """The address NAME with each of its parts replaced by something nasty."""
    for part, value in parts.items():
        if isinstance(value, int):
            bad: tuple[str, ...] = ("0", "9" * 19, "9" * 40, "9" * 5000)
        else:
            bad = ("a%00b", "%FF%FE", "x" * 3000, "%E2%80%AE", "..%2F..%2Fsecret")
        for text in bad:
            filled = {key: "pppp" if key == part else one for key, one in parts.items()}
            if isinstance(value, int):
                filled[part] = 77777777
                yield reverse(name, kwargs=filled).replace("77777777", text)
            else:
                yield reverse(name, kwargs=filled).replace("pppp", text)


def test_a_nasty_part_of_an_address_is_not_found(site: Site) -> None:
    found: list[str] = []
    asked = 0
    for name, row in ROWS.items():
        parts = site.world[row.sample]
        for who in {site.reader(row), "owner", "crew", "bookkeeper"}:
            if who in row.roles_get or row.needs in (PUBLIC, PRIVATE_LINK):
                who = STRANGER
            browser = site.browser(who)
            for url in nasty_path(name, parts):
                method = "get" if row.get is not None else "post"
                asked += 1
                found.append(trouble(browser, url, {}, method=method))
    assert asked > 300
    assert [line for line in found if line] == []


def counts() -> dict[str, int]:
    """How many rows of each kind there are, leaving out notes of what was done."""
    return {
        model.__name__: model._default_manager.count()
        for model in apps.get_models()
        if model.__name__ not in {"Entry", "Session", "AccessLog", "AccessAttempt"}
    }


def test_a_form_sent_twice_makes_nothing_twice(site: Site) -> None:
    doubled: dict[str, list[str]] = {}
    for key, form in site.forms().items():
        browser = site.browser(site.reader(ROWS[form.name]))
        with undone():
            first = browser.post(form.url, form.fields)
            once = counts()
            browser.post(form.url, form.fields)
            more = [name for name, count in counts().items() if count != once[name]]
        if more:
            doubled[f"{key} {first.status_code}"] = more
    assert not doubled, str(doubled)


def test_a_form_sent_twice_leads_where_it_led_and_says_so(site: Site) -> None:
    form = site.forms()["garden-new"]
    browser = site.browser("owner")
    gardens = Garden.objects.count()
    first = browser.post(form.url, form.fields)
    again = browser.post(form.url, form.fields)
    assert (first.status_code, again.status_code) == (302, 302)
    assert again["Location"] == first["Location"]
    assert Garden.objects.count() == gardens + 1
    assert b"sent twice and taken once" in browser.get(again["Location"]).content
    # Gone back and changed, or filled in anew alike, it is another form.
    browser.post(form.url, form.fields | {"name": ["The other half"]})
    assert Garden.objects.count() == gardens + 2
    browser.post(form.url, form.fields | {"once": [str(uuid.uuid4())]})
    assert Garden.objects.count() == gardens + 3
    # Nobody is led by what somebody else sent.
    other = browser_of(factories.PersonFactory(role="owner"))
    other.post(form.url, form.fields)
    assert Garden.objects.count() == gardens + 4


def test_a_refused_form_may_be_sent_again_with_its_key(site: Site) -> None:
    form = site.forms()["garden-new"]
    browser = site.browser("owner")
    gardens = Garden.objects.count()
    wrong = form.fields | {"name": [""]}
    assert browser.post(form.url, wrong).status_code == 200
    assert browser.post(form.url, wrong).status_code == 200
    assert browser.post(form.url, form.fields).status_code == 302
    assert Garden.objects.count() == gardens + 1


# What somebody may pick by mistake, or by design: known by its content, not its name.
WRONG_FILES = {
    "a web page": b"<html><script>alert(1)</script></html>",
    "a drawing that may run scripts": b"<svg xmlns='http://www.w3.org/2000/svg'/>",
    "a program": b"MZ\x90\x00\x03" + b"\0" * 200,
    "a head without a picture": b"\xff\xd8\xff\xe0" + b"\0" * 200,
    "nothing": b"",
    "half a packed file": b"PK\x03\x04" + b"\0" * 50,
    "no letters": bytes(range(256)) * 4,
}


@pytest.mark.parametrize("name", ["photo.jpg", "paper.pdf", "list.xlsx"])
def test_a_file_of_the_wrong_kind_is_refused_beside_its_field(
    site: Site, name: str
) -> None:
    fields = 0
    before = counts()
    for key, form in site.forms().items():
        browser = site.browser(site.reader(ROWS[form.name]))
        for field in form.files:
            fields += 1
            for what, content in WRONG_FILES.items():
                upload = SimpleUploadedFile(name, content)
                answer = browser.post(form.url, {**form.fields, field: upload})
                assert answer.status_code == 200, (key, what)
                # Beside the field: the input is tied to its error by this name.
                page = answer.content.decode()
                assert f'id="id_{field}_error"' in page, (key, what)
    assert fields >= 6
    assert counts() == before
    assert not list(Path(default_storage.path("")).rglob("*.*"))


def test_a_file_over_the_limit_is_refused_with_words(
    site: Site, settings: LazySettings
) -> None:
    settings.UPLOAD_LIMIT_BYTES = 2**20
    before = counts()
    for key, form in site.forms().items():
        for field in set(form.files) & {"photo", "scan"}:
            upload = SimpleUploadedFile("photo.jpg", b"\xff\xd8" + b"\0" * 2**20)
            answer = site.browser("owner").post(
                form.url, {**form.fields, field: upload}
            )
            assert answer.status_code == 200, key
            told = "The file is too large: 2 MB, at most 1 MB are taken."
            assert told in answer.content.decode(), key
    assert counts() == before


def test_a_request_too_large_or_with_too_many_fields_is_refused(
    site: Site, settings: LazySettings
) -> None:
    settings.DATA_UPLOAD_MAX_MEMORY_SIZE = 10_000
    url = site.url("client-new")
    before = counts()
    kind = "application/x-www-form-urlencoded"
    browser = site.browser("owner")
    assert browser.post(url, "name=" + "x" * 20_000, kind).status_code == 400
    most = settings.DATA_UPLOAD_MAX_NUMBER_FIELDS
    many = "&".join(f"f{n}=1" for n in range(most + 1))
    settings.DATA_UPLOAD_MAX_MEMORY_SIZE = 5_000_000
    assert browser.post(url, many, kind).status_code == 400
    assert counts() == before


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("multipart/form-data; boundary=x", b"--x\r\nnonsense"),
        ("multipart/form-data", b"no boundary"),
        ("multipart/form-data; boundary=" + "y" * 300, b""),
        ("application/x-www-form-urlencoded; charset=nonsense", b"name=x"),
        ("application/x-www-form-urlencoded", b"%ff%fe=%00&name=%ff"),
        ("application/json", b"{}"),
        ("", b"\xff\xfe"),
    ],
)
def test_a_body_that_is_no_form_is_never_an_error_of_ours(
    site: Site, kind: str, body: bytes
) -> None:
    for name in ("client-new", "planting-new", "login", "link-quote-agree"):
        browser = site.browser(site.reader(ROWS[name]))
        with undone():
            answer = browser.generic("POST", site.url(name), body, kind)
        assert answer.status_code < 500, name


def test_a_nasty_value_on_the_pages_before_an_account_is_no_error_of_ours(
    site: Site,
) -> None:
    found: list[str] = []
    # Come in by an invitation, and by a letter for a new password.
    invitation = invite(
        name="Robin",
        email="robin@fernhollow.example",
        role="crew",
        by=site.people["owner"],
        now=clock.now(),
    )
    guest = StrictClient()
    guest.get(reverse("invitation", args=[invitation_key(invitation=invitation)]))
    olive = site.people["owner"]
    who = urlsafe_base64_encode(force_bytes(olive.pk))
    token = default_token_generator.make_token(olive)
    forgetful = StrictClient()
    page = forgetful.get(reverse("password-new", args=[who, token]))
    for nasty in NASTY.values():
        found.append(everywhere(guest, reverse("come-in"), sendable(nasty)))
        found.append(everywhere(forgetful, page["Location"], sendable(nasty)))
    with undone():
        Person.objects.update(role="crew")
        Firm.objects.all().delete()
        assert StrictClient().get(reverse("first-run")).status_code == 200
        for nasty in NASTY.values():
            url = reverse("first-run")
            found.append(everywhere(StrictClient(), url, sendable(nasty)))
    assert [line for line in found if line] == []


def everywhere(browser: StrictClient, url: str, value: str) -> str:
    """What went wrong inside when VALUE was sent in every field of the page's form."""
    # Some values make good passwords: whoever came in by one is somebody else.
    browser, cookies = StrictClient(), browser.cookies
    browser.cookies = deepcopy(cookies)
    page = browser.get(url)
    assert page.status_code == 200, url
    reader = FormReader(url)
    reader.feed(page.content.decode())
    form = next(form for form in reader.found if form.fields)
    counted = {name: form.fields[name][0] for name in form.hidden}
    fields = {name: value for name in form.fields}
    return trouble(browser, url, fields) or trouble(browser, url, {**fields, **counted})


def said_beside(site: Site, form: FoundForm, field: str, day: dt.date) -> bool:
    """Whether DAY in FIELD of a form was refused beside the field, writing nothing."""
    before = counts()
    with undone():
        answer = site.browser("owner").post(form.url, form.fields | {field: str(day)})
        assert answer.status_code in (200, 302), form.name
        if answer.status_code == 302:
            return False
        assert counts() == before
    page = answer.content.decode()
    assert f'value="{day}"' in page, f"{form.name}: what was typed is gone"
    return f'id="id_{field}_error"' in page


def test_a_booking_or_an_expiry_in_the_past_is_refused(site: Site) -> None:
    forms = site.forms()
    today, day = clock.today(time_zone="America/New_York"), dt.timedelta(days=1)
    for key, field in (
        ("job-book", "day"),
        ("single-visit-new", "day"),
        ("visit-place", "day"),
        ("quote-new", "valid_until"),
        ("quote-change", "valid_until"),
        ("quote-offer", "valid_until"),
        ("contract-offer", "valid_until"),
    ):
        assert said_beside(site, forms[key], field, today - day), key
        assert not said_beside(site, forms[key], field, today + 5 * day), key


def test_what_was_done_lies_not_in_the_future_and_may_lie_yesterday(
    site: Site,
) -> None:
    forms = site.forms()
    today, day = clock.today(time_zone="America/New_York"), dt.timedelta(days=1)
    for key, field in (
        ("job-finish", "day"),
        ("receipt-new", "day"),
        ("payment-new", "day"),
        ("quote-agreed", "agreed_on"),
        ("planting-bloom", "day"),
        ("instruction-new", "given_on"),
    ):
        assert said_beside(site, forms[key], field, today + day), key
        # That offer went out today: nobody agreed to it yesterday.
        is_refused = said_beside(site, forms[key], field, today - day)
        assert is_refused is (key == "quote-agreed"), key
