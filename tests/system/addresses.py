"""The whole site for tests that walk it: addresses, people, and the forms on pages."""

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from copy import deepcopy
from dataclasses import dataclass, field
from html.parser import HTMLParser
from http.cookies import SimpleCookie
from typing import Any
from urllib.parse import urlsplit

from django.db import connection, transaction
from django.test import Client
from django.urls import Resolver404, resolve, reverse

from firm import clock
from firm.models import Person
from firm.permissions import ROLES
from jobs.enums import LineKind
from plants.models import Plant
from tests import factories
from tests.conftest import StrictClient, browser_of
from tests.system.access_rows import PRIVATE_LINK, PUBLIC, Row
from tests.system.test_access import ROWS
from tests.system.world import build_world

__all__ = ["PRIVATE_LINK", "PUBLIC", "ROWS", "FoundForm", "Site", "open_site", "undone"]

STRANGER = "stranger"
SOON = str(clock.now().date() + dt.timedelta(days=14))
PLAUSIBLE = {
    "date": SOON,
    "datetime-local": f"{SOON}T10:00",
    "time": "10:00",
    "email": "kit@brook.example",
    "number": "1",
    "checkbox": "on",
}
# Fields that hang on each other, where the plausible filling would contradict itself.
FILLINGS: dict[str, dict[str, str]] = {
    "bed-new": {"pieces": "", "outline": "", "across": "", "ph": "6.5"},
    "bed-change": {"pieces": "", "outline": "", "across": "", "ph": "6.5"},
    "client-new": {"contacts-1-is_main": "", "contacts-0-DELETE": ""},
    "client-change": {
        "contacts-1-is_main": "",
        "contacts-2-is_main": "",
        "contacts-0-DELETE": "",
    },
    "crew": {"retired_on": "", "payload": "3000"},
    "crews": {"retired_on": "", "payload": "3000"},
    "crew-join": {"ends_on": ""},
    "credit-part-new": {"amount": ""},
    "deposit-new": {"deposit_percent": "30"},
    "garden-new": {"client": ""},
    "price-list-names": {"other_0": ""},
    "supplier-item-new": {
        "plant": "",
        "breaks": "10+ 11.50",
        "priced_on": "2026-01-05",
        "weight": "2 lb",
    },
    **{
        name: {
            "bloom_first": "6",
            "bloom_last": "7",
            "sun_min": "3",
            "sun_max": "6",
            "ph_low": "5",
            "ph_high": "6",
            "hardiness_low": "5",
            "hardiness_high": "9",
            "heat_low": "5",
            "heat_high": "9",
            "latest_sun": "13:00",
            "wood": "old",
        }
        for name in ("own-group-new", "own-plant-new", "own-plant")
    },
    "record-file": {
        "wind": "",
        "humidity": "",
        "humidity_max": "",
        "humidity_min": "",
        "sunshine": "",
    },
    "own-group": {"latest_sun": "13:00", "heat_low": "5", "heat_high": "9"},
    "own-line": {
        "always": "",
        "age_to": "",
        "ph_above": "",
        "ph_below": "",
        "every_years": "",
        "every_days": "",
        "for_years": "",
        "years_apart": "",
        "height_low": "6",
        "height_high": "12",
        "follow_up": "",
        "follow_days": "",
    },
    "own-line-new": {
        "task": "mulch",
        "purpose": "none",
        "always": "",
        "first_days": "0",
        "best_days": "5",
        "last_days": "9",
        **{f"{end}_anchor": "leaf_out" for end in ("first", "best", "last")},
        **{f"{end}_side": "after" for end in ("first", "best", "last")},
        "age_from": "2",
        "age_to": "12",
        "ph_above": "",
        "ph_below": "",
        "for_years": "",
        "years_apart": "",
        "height_low": "6",
        "height_high": "12",
        "follow_up": "cut-after-bloom",
    },
    "job-substitute": {"size": "#3", "count": "7"},
    "link-contract-agree": {"name": "Dana Quill"},
    "link-quote-agree": {"name": "Dana Quill"},
    **{
        name: {
            "age_known": "known",
            "age_years": "6",
            "number": "77",
            "size_text": "#3",
        }
        for name in ("planting-new", "planting-change")
    },
    "quote-what-if": {"discount_amount": ""},
    "quote-option": {"instead_of": ""},
    "quote-option-new": {"instead_of": ""},
    "quote-payments": {
        **{f"parts-{at}-percent": "25" for at in range(4)},
        **{f"parts-{at}-is_deposit": "" for at in range(1, 4)},
    },
    "quote-takeoff": {"analysis": "", "nitrogen": ""},
    "quote-plan": {"row_gap": "", "arrangement": "3"},
    "receipt-new": {
        "gross": "24",
        "shares-0-net": "6",
        "shares-0-tax": "6",
        **{
            f"shares-{n}-{part}": "" for n in (1, 2) for part in ("owner", "net", "tax")
        },
    },
    # In the invented climate so many degree days are reached about when it flowers.
    "seen-correct": {"first": "700", "last": ""},
    "station-new": {
        **{f"high_{month}": "50" for month in range(1, 13)},
        **{f"low_{month}": "30" for month in range(1, 13)},
        **{f"spring_{chance}_month": "5" for chance in (10, 50, 90)},
        **{f"autumn_{chance}_month": "10" for chance in (10, 50, 90)},
    },
}
# Forms that stand on a page only while its row is in another state than the sample's.
OTHER_FORMS: dict[str, dict[str, list[str]]] = {
    "contract-resume": {"version": ["1"]},
    "week-order": {},
    "visit-take-off": {"version": ["1"]},
    "invitation-withdraw": {},
    "seen-take-back": {},
    "day-off-remove": {},
    "message-again": {},
    "job-start": {"version": ["1"]},
}
# What a page shows also hangs on the state of its row.
MORE_PAGES = (
    ("quote", "offered quote"),
    ("contract", "offered contract"),
    ("contract", "running contract"),
    ("job", "single job"),
    ("visit", "own stop"),
    ("stop", "digging stop"),
)


@dataclass
class FoundForm:
    """A form as it stands on a page, filled in plausibly."""

    url: str
    name: str
    fields: dict[str, list[str]] = field(default_factory=dict)
    files: list[str] = field(default_factory=list)
    hidden: set[str] = field(default_factory=set)


class FormReader(HTMLParser):
    """Reads the forms of a page that send something."""

    def __init__(self, here: str) -> None:
        super().__init__()
        self.here = here
        self.found: list[FoundForm] = []
        self.form: FoundForm | None = None
        self.select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take up a form, a field or a choice."""
        words = {key: value or "" for key, value in attrs}
        if tag == "form":
            self._begin(words)
        elif self.form is not None:
            self._take(self.form, tag, words)

    def handle_endtag(self, tag: str) -> None:
        """End a form or a list of choices."""
        if tag == "form":
            self.form = None
        elif tag == "select":
            self.select = ""

    def _begin(self, words: dict[str, str]) -> None:
        url = urlsplit(words.get("action") or self.here)
        try:
            name = str(resolve(url.path).url_name)
        except Resolver404:
            name = ""
        self.form = None
        if words.get("method", "get").lower() == "post":
            # The address with its query: some pages take the day from it.
            where = url.path + (f"?{url.query}" if url.query else "")
            self.form = FoundForm(url=where, name=name)
            self.found.append(self.form)

    def _take(self, form: FoundForm, tag: str, words: dict[str, str]) -> None:
        name = words.get("name", "")
        if tag == "option" and self.select:
            value = words.get("value", "")
            chosen = form.fields[self.select]
            if value and (not chosen[0] or "selected" in words):
                form.fields[self.select] = [value]
        elif not name or name == "csrfmiddlewaretoken" or tag == "button":
            # Buttons with names ask for a look before saving; forms are saved here.
            return
        elif tag == "select":
            self.select = name
            form.fields[name] = [""]
        elif tag == "textarea":
            form.fields[name] = ["some words"]
        elif tag == "input":
            self._take_input(form, name, words)

    def _take_input(self, form: FoundForm, name: str, words: dict[str, str]) -> None:
        kind = words.get("type", "text")
        value = words.get("value", "")
        if kind == "file":
            form.files.append(name)
        elif kind == "submit":
            return
        elif kind == "hidden":
            form.hidden.add(name)
            form.fields[name] = [value]
        elif kind in ("checkbox", "radio"):
            form.fields.setdefault(name, [value or "on"])
        else:
            form.fields[name] = [value or PLAUSIBLE.get(kind, "12")]


@dataclass
class Site:
    """The people and what fills the addresses."""

    people: dict[str, Person]
    world: dict[str, dict[str, Any]]
    # Logging in takes longer than most pages: it is done once for each role.
    cookies: dict[str, SimpleCookie] = field(default_factory=dict)

    def url(self, name: str) -> str:
        """The address NAME, filled from the world."""
        return reverse(name, kwargs=self.world[ROWS[name].sample])

    def browser(self, who: str) -> StrictClient:
        """The browser of a role, or of a stranger."""
        browser = StrictClient()
        if who != STRANGER:
            if who not in self.cookies:
                self.cookies[who] = browser_of(self.people[who]).cookies
            browser.cookies = deepcopy(self.cookies[who])
        return browser

    def plain_browser(self, who: str, **options: bool) -> Client:
        """The same without the strict look through each page."""
        browser = Client(**options)
        browser.cookies = self.browser(who).cookies
        return browser

    def reader(self, row: Row) -> str:
        """Who reads the page of ROW: a stranger what is open, else the owner."""
        return STRANGER if row.needs in (PUBLIC, PRIVATE_LINK) else "owner"

    def pages(self) -> Iterator[tuple[str, str]]:
        """Each page that can be read, as its address's name and the address."""
        for name, row in sorted(ROWS.items()):
            if row.get == 200 and not name.endswith(("-csv", "-xlsx", "sheet", "pdf")):
                yield name, self.url(name)
        for name, sample in MORE_PAGES:
            yield name, reverse(name, kwargs=self.world[sample])
        for kind in LineKind.values:
            draft = self.world["quote"]["pk"]
            yield "quote-line-new", reverse("quote-line-new", args=[draft, kind])

    def forms(self) -> dict[str, FoundForm]:
        """Forms of all pages, by their address's name or, for lines, name and kind."""
        browsers = {who: self.plain_browser(who) for who in (STRANGER, "owner")}
        found: dict[str, FoundForm] = {}
        for name, url in self.pages():
            with undone():
                answer = browsers[self.reader(ROWS[name])].get(url)
            reader = FormReader(url)
            reader.feed(answer.content.decode())
            for form in reader.found:
                kind = form.fields.get("kind", [""])[0]
                key = f"{form.name} {kind}" if "quote-line" in form.name else form.name
                known = found.get(key)
                if known is None or len(form.fields) > len(known.fields):
                    found[key] = form
        for name, fields in OTHER_FORMS.items():
            found[name] = FoundForm(url=self.url(name), name=name, fields=dict(fields))
        plant = Plant.objects.get(key=self.world["plant"]["key"])
        found["quote-line-new plants"].fields |= {
            "plant": [plant.botanical],
            "size": ["#3"],
        }
        for key, filling in FILLINGS.items():
            fitting = {part: [typed] for part, typed in filling.items()}
            found[key].fields |= {
                part: typed
                for part, typed in fitting.items()
                if part in found[key].fields
            }
        return found


def open_site() -> Site:
    """A firm with one person a role and one of everything."""
    factories.FirmFactory()
    people: dict[str, Person] = {
        role: factories.PersonFactory(role=role) for role in ROLES
    }
    factories.CrewMemberFactory(person=people["crew"], starts_on=dt.date(2000, 1, 1))
    site = Site(people=people, world=build_world(people=people))
    for role in ROLES:
        # At once: a session that begins inside `undone` would be gone after it.
        site.browser(role)
    return site


@contextmanager
def undone() -> Iterator[None]:
    """What is written inside is taken back at the end."""
    mark = transaction.savepoint()
    try:
        yield
    finally:
        # A database error may have left the whole block marked as broken.
        connection.needs_rollback = False
        transaction.savepoint_rollback(mark)
