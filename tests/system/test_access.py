"""Every address x role x method: the exact status, and no address without a row."""

import importlib
import pkgutil
from collections.abc import Iterator
from copy import deepcopy

import pytest
from django.db import transaction
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from firm.models import Person
from firm.permissions import ROLES
from tests import factories
from tests.conftest import StrictClient, browser_of
from tests.system import access_rows
from tests.system.access_rows import PRIVATE_LINK, PUBLIC, Row
from tests.system.world import build_world


def patterns(resolver: URLResolver) -> Iterator[URLPattern]:
    for entry in resolver.url_patterns:
        if isinstance(entry, URLPattern):
            yield entry
        else:
            yield from patterns(entry)


def table() -> dict[str, Row]:
    rows: dict[str, Row] = {}
    for module in pkgutil.iter_modules(access_rows.__path__):
        found = importlib.import_module(f"{access_rows.__name__}.{module.name}").ROWS
        assert not rows.keys() & found.keys(), "an address stands in two tables"
        rows |= found
    return rows


ALL = {str(pattern.name): pattern for pattern in patterns(get_resolver())}
ROWS = table()
METHODS = ("get", "head", "post", "put", "patch", "delete")
WHO = ("stranger", *ROLES)
# One of everything is made once for so many of the addresses.
PARTS = 8


def test_addresses_were_collected() -> None:
    assert len(ALL) > 40


def test_every_address_has_a_name_of_its_own() -> None:
    names = [pattern.name for pattern in patterns(get_resolver())]
    assert None not in names
    assert sorted(names) == sorted(set(names))


def test_every_address_has_a_row_and_every_row_an_address() -> None:
    assert sorted(ROWS) == sorted(ALL)


@pytest.mark.parametrize("name", sorted(ALL))
def test_the_view_states_the_permission_of_its_row(name: str) -> None:
    assert getattr(ALL[name].callback, "permission", None) == ROWS[name].needs


def wanted(*, row: Row, who: str, method: str) -> int:
    """The status that the table gives for WHO using METHOD."""
    if row.needs not in (PUBLIC, PRIVATE_LINK):
        if who == "stranger":
            return 302
        if row.needs not in ROLES[who]:
            return 403
    if method in ("get", "head"):
        status = row.roles_get.get(who, row.get)
    elif method == "post":
        status = row.roles_post.get(who, row.post)
    else:
        status = None
    return 405 if status is None else status


@pytest.mark.django_db
@pytest.mark.parametrize("part", range(PARTS))
def test_each_role_and_method_gets_its_exact_status(part: int) -> None:
    factories.FirmFactory()
    people: dict[str, Person] = {
        role: factories.PersonFactory(role=role) for role in ROLES
    }
    factories.CrewMemberFactory(person=people["crew"])
    world = build_world(people=people)
    cookies = {role: browser_of(people[role]).cookies for role in ROLES}
    found: dict[str, int] = {}
    expected: dict[str, int] = {}
    for name in sorted(ROWS)[part::PARTS]:
        row = ROWS[name]
        url = reverse(name, kwargs=world[row.sample])
        for who in WHO:
            for method in METHODS:
                browser = StrictClient()
                browser.cookies = deepcopy(cookies.get(who, browser.cookies))
                mark = transaction.savepoint()
                data = row.data if method == "post" else None
                response = getattr(browser, method)(url, data)
                transaction.savepoint_rollback(mark)
                label = f"{name} {who} {method}"
                found[label] = response.status_code
                expected[label] = wanted(row=row, who=who, method=method)
                if expected[label] == 302 and who == "stranger":
                    assert response["Location"].startswith("/login/"), label
    assert len(found) >= len(WHO) * len(METHODS) * (len(ROWS) // PARTS)
    assert found == expected
