"""Clients and the people to speak to."""

import pytest
from django.urls import reverse

from firm.actions.clients import (
    ClientDetails,
    ContactDetails,
    TwoMainContacts,
    change_client,
    create_client,
)
from firm.models import Client, Contact, Entry, Person
from tests import factories
from tests.conftest import StrictClient

CLIENT = {
    "name": "Quill family",
    "billing_address": "9 Orchard Row\nFernhollow",
    "language": "en",
    "has_dogs": "on",
}


def contacts(*rows: dict[str, str], initial: int = 0) -> dict[str, str]:
    """What a formset of ROWS posts."""
    data = {
        "contacts-TOTAL_FORMS": str(len(rows)),
        "contacts-INITIAL_FORMS": str(initial),
        "contacts-MIN_NUM_FORMS": "0",
        "contacts-MAX_NUM_FORMS": "20",
    }
    for place, row in enumerate(rows):
        for key, value in row.items():
            data[f"contacts-{place}-{key}"] = value
    return data


DANA = {"name": "Dana Quill", "part": "owner", "email": "dana@quill.example"}
LEE = {"name": "Lee Quill", "phone": "555 0133", "is_main": "on"}
EMPTY = {"name": "", "wants_reminders": "on"}


def test_a_client_comes_with_several_contacts_of_whom_one_is_first(
    owner_client: StrictClient, owner: Person
) -> None:
    made = owner_client.post(reverse("client-new"), CLIENT | contacts(DANA, LEE, EMPTY))

    client = Client.objects.get()
    assert made["Location"] == reverse("client", args=[client.pk])
    assert (client.name, client.has_dogs, client.has_cats) == (
        "Quill family",
        True,
        False,
    )
    assert list(
        client.contacts.order_by("id").values_list("name", "is_main", "wants_reminders")
    ) == [("Dana Quill", False, False), ("Lee Quill", True, False)]
    page = owner_client.get(made["Location"]).content.decode()
    assert page.index("Lee Quill") < page.index("Dana Quill")
    assert "9 Orchard Row<br>Fernhollow" in page
    assert f"{reverse('gardens')}?client={client.pk}" in page
    assert Entry.objects.get(action="client added").by == owner


@pytest.mark.django_db
def test_two_main_contacts_are_refused_and_nobody_is_written() -> None:
    with pytest.raises(TwoMainContacts):
        create_client_of(
            ContactDetails(name="A", is_main=True),
            ContactDetails(name="B", is_main=True),
        )
    assert Client.objects.count() == 0


@pytest.mark.django_db
def test_the_first_contact_is_main_unless_another_is_marked() -> None:
    client = create_client_of(ContactDetails(name="A"), ContactDetails(name="B"))
    assert client.contacts.get(is_main=True).name == "A"
    assert create_client_of().contacts.count() == 0


def create_client_of(*people: ContactDetails) -> Client:
    return create_client(
        details=ClientDetails(name="Quill family"),
        contacts=people,
        by=None,
        now=factories.NOW,
    )


@pytest.mark.parametrize(
    ("client", "rows", "where", "words"),
    [
        ({"name": ""}, [DANA], "form", "required"),
        ({}, [{**DANA, "email": "nowhere"}], "contacts", "valid email"),
        ({}, [{"name": "", "phone": "555 0144"}], "contacts", "required"),
        ({}, [{**DANA, "is_main": "on"}, LEE], "contacts", "first to be asked"),
    ],
)
def test_wrong_answers_stand_beside_their_fields_and_nothing_is_written(
    owner_client: StrictClient,
    client: dict[str, str],
    rows: list[dict[str, str]],
    where: str,
    words: str,
) -> None:
    refused = owner_client.post(
        reverse("client-new"),
        {**CLIENT, "notes": "rings twice"} | client | contacts(*rows),
    )

    assert refused.status_code == 200
    assert words in str(refused.context[where].errors)
    assert b"rings twice" in refused.content
    assert Client.objects.count() == 0
    assert Contact.objects.count() == 0


def test_contacts_are_changed_struck_out_and_added(owner_client: StrictClient) -> None:
    client = create_client_of(
        ContactDetails(name="Dana Quill"), ContactDetails(name="Lee Quill")
    )
    dana, lee = client.contacts.order_by("id")
    url = reverse("client-change", args=[client.pk])
    assert b"Dana Quill" in owner_client.get(url).content

    kept = owner_client.post(
        url,
        CLIENT
        | contacts(
            {"row": str(dana.pk), "name": "Dana Quill", "DELETE": "on"},
            {"row": str(lee.pk), "name": "Lee Moss", "is_main": "on"},
            {"name": "Sam Quill"},
            initial=2,
        ),
    )

    assert kept.status_code == 302
    assert list(
        client.contacts.order_by("id").values_list("pk", "name", "is_main")
    ) == [
        (lee.pk, "Lee Moss", True),
        (lee.pk + 1, "Sam Quill", False),
    ]


def test_another_clients_contact_cannot_be_reached_through_the_form(
    owner_client: StrictClient,
) -> None:
    client = create_client_of(ContactDetails(name="Dana Quill"))
    other = factories.ContactFactory(name="Not yours")

    owner_client.post(
        reverse("client-change", args=[client.pk]),
        CLIENT | contacts({"row": str(other.pk), "name": "Taken"}, initial=1),
    )

    other.refresh_from_db()
    assert (other.name, other.client.pk == client.pk) == ("Not yours", False)
    assert client.contacts.get().name == "Taken"


@pytest.mark.django_db
def test_the_mark_of_the_first_to_be_asked_moves_to_another() -> None:
    client = create_client_of(ContactDetails(name="A"), ContactDetails(name="B"))
    first, second = client.contacts.order_by("id")
    change_client(
        client_id=client.pk,
        details=ClientDetails(name="Quill family"),
        contacts=[
            ContactDetails(id=first.pk, name="A"),
            ContactDetails(id=second.pk, name="B", is_main=True),
        ],
        by=None,
        now=factories.NOW,
    )
    assert client.contacts.get(is_main=True).pk == second.pk


def test_clients_are_found_by_words_of_name_and_contacts(
    owner_client: StrictClient,
) -> None:
    factories.ContactFactory(
        client=factories.ClientFactory(name="Quill family"), phone="555 0133"
    )
    factories.ClientFactory(name="Moss End")
    url = reverse("clients")

    def found(words: str) -> list[str]:
        return [
            each.name for each in owner_client.get(url, {"q": words}).context["clients"]
        ]

    assert found("") == ["Moss End", "Quill family"]
    assert found("quill") == ["Quill family"]
    assert found("dana quill") == ["Quill family"]
    assert found("0133") == ["Quill family"]
    assert found("quill moss") == []
    assert b"No client was found" in owner_client.get(url, {"q": "zzz"}).content


def test_a_name_with_marks_is_shown_as_it_was_typed(owner_client: StrictClient) -> None:
    client = factories.ClientFactory(name="<script>alert(1)</script>")
    for url in (reverse("clients"), reverse("client", args=[client.pk])):
        page = owner_client.get(url).content
        assert b"&lt;script&gt;alert(1)" in page
        assert b"<script>alert" not in page


@pytest.mark.parametrize("who", ["crew_client", "bookkeeper_client"])
def test_crews_and_books_have_no_way_to_clients(
    who: str, request: pytest.FixtureRequest
) -> None:
    browser: StrictClient = request.getfixturevalue(who)
    client = factories.ClientFactory(name="Quill family")
    for name, args in (
        ("clients", []),
        ("client-new", []),
        ("client", [client.pk]),
        ("client-change", [client.pk]),
    ):
        assert browser.get(reverse(name, args=args)).status_code == 403
    browser.post(reverse("client-change", args=[client.pk]), CLIENT | contacts())
    client.refresh_from_db()
    assert client.has_dogs is False


def test_what_is_not_there_is_not_found_and_wrong_methods_are_told(
    owner_client: StrictClient,
) -> None:
    assert owner_client.get(reverse("client", args=[99])).status_code == 404
    assert owner_client.post(reverse("client-change", args=[99])).status_code == 404
    assert owner_client.post(reverse("clients")).status_code == 405
    assert owner_client.delete(reverse("client-new")).status_code == 405


@pytest.mark.parametrize("count", [1, 3])
def test_the_list_takes_the_same_queries_however_long_it_is(
    owner_client: StrictClient, django_assert_num_queries: object, count: int
) -> None:
    for _ in range(count):
        factories.ContactFactory()
    with django_assert_num_queries(5):
        assert owner_client.get(reverse("clients")).status_code == 200
