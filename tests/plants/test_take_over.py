"""Taking clients and gardens over from a list: look first, then once."""

import csv
import io
from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.urls import reverse

from firm.actions.imports import ListSettled
from firm.models import Client, Contact, Entry, ListImport, Person
from plants.actions.take_over import TakenOver, take_over
from plants.models import Garden
from tests import factories
from tests.conftest import StrictClient
from tests.firm.test_imports import workbook

HEADS = (
    "Customer;Contact person;E-mail;Phone;Invoice address;Site;Street address;"
    "Lat;Lng;Access;Gate code;Dog's name"
)
GOOD = (
    "Quill family;Dana Quill;dana@quill.example;555 0133;PO 9;Front;9 Orchard Row;"
    "38,61234567;-77.8;left path;4711;Rex"
)
SECOND = "Quill family;Lee Quill;;555 0134;;Back;9a Orchard Row;;;;;"
BARE = "Moss End;;;;;;1 Moss Lane, Fernhollow;;;;;"
BAD = "Fern House;;nowhere;;;Yard;;95;;;;"


def listing(*rows: str) -> bytes:
    return "\n".join([HEADS, *rows, ""]).encode()


def upload(
    browser: StrictClient, content: bytes, name: str = "list.csv"
) -> HttpResponse:
    file = SimpleUploadedFile(name, content)
    return browser.post(reverse("take-over"), {"file": file})


def uploaded(browser: StrictClient, *rows: str) -> ListImport:
    assert upload(browser, listing(*rows)).status_code == 302
    return ListImport.objects.latest("id")


def preview(browser: StrictClient, listed: ListImport) -> HttpResponse:
    return browser.get(reverse("take-over-list", args=[listed.pk]))


def confirm(browser: StrictClient, listed: ListImport) -> HttpResponse:
    station = factories.StationFactory()
    return browser.post(
        reverse("take-over-list", args=[listed.pk]), {"station": str(station.pk)}
    )


def nothing_was_taken() -> bool:
    return not (Client.objects.exists() or Garden.objects.exists())


def test_the_preview_shows_every_row_and_writes_nothing(
    owner_client: StrictClient,
) -> None:
    listed = uploaded(owner_client, GOOD, SECOND, BARE, BAD, GOOD)

    page = preview(owner_client, listed)

    assert page.status_code == 200
    looked = page.context["looked"]
    assert [row.number for row in looked.new] == [2, 3, 4]
    assert [(row.number, row.remark) for row in looked.there] == [
        (6, "The same garden as in row 2.")
    ]
    (bad,) = looked.wrong
    assert bad.number == 5
    assert [(fault.column, fault.why) for fault in bad.faults] == [
        ("Address", "This is missing."),
        ("Mail", "“nowhere” is not a mail address."),
        ("Latitude", "This lies between -90 and 90 degrees."),
        ("Longitude", "Latitude and longitude come together."),
    ]
    text = page.content.decode()
    assert "Take over 3 gardens" in text
    assert "This lies between -90 and 90 degrees." in text
    assert "These columns are not taken over: Dog&#x27;s name." in text
    assert "4711" not in text
    assert nothing_was_taken()


def test_good_rows_are_taken_over_and_bad_ones_left(
    owner_client: StrictClient, owner: Person
) -> None:
    listed = uploaded(owner_client, GOOD, SECOND, BARE, BAD)

    done = confirm(owner_client, listed)

    assert done.status_code == 302
    quill = Client.objects.get(name="Quill family")
    assert quill.billing_address == "PO 9"
    assert list(
        quill.contacts.order_by("id").values_list("name", "email", "phone", "is_main")
    ) == [
        ("Dana Quill", "dana@quill.example", "555 0133", True),
        ("Lee Quill", "", "555 0134", False),
    ]
    front = Garden.objects.get(name="Front")
    assert (front.client, front.address) == (quill, "9 Orchard Row")
    assert (front.latitude, front.longitude) == (
        Decimal("38.61235"),
        Decimal("-77.80000"),
    )
    assert (front.access_notes, front.gate_code) == ("left path", "4711")
    assert Garden.objects.get(name="Back").latitude is None
    moss = Garden.objects.get(client__name="Moss End")
    # Without a name of its own the garden is called by its street.
    assert (moss.name, moss.address) == ("1 Moss Lane", "1 Moss Lane, Fernhollow")
    assert Contact.objects.filter(client=moss.client).count() == 0
    assert not Client.objects.filter(name="Fern House").exists()
    assert Entry.objects.get(action="list taken over").by == owner
    # Of the list only the bad row is kept, so gate codes do not lie about twice.
    listed.refresh_from_db()
    assert listed.state == "taken over"
    assert [row["row"] for row in listed.rows] == [5]
    after = preview(owner_client, listed).content.decode()
    assert "“nowhere” is not a mail address." in after
    assert "Take over 1 garden" not in after


def test_the_same_list_again_takes_nothing_twice_and_says_so(
    owner_client: StrictClient,
) -> None:
    confirm(owner_client, uploaded(owner_client, GOOD, BARE))
    again = uploaded(
        owner_client, GOOD.upper(), BARE.replace("Moss End", " moss  end"), SECOND
    )

    looked = preview(owner_client, again).context["looked"]
    assert [(row.number, row.remark) for row in looked.there] == [
        (2, "This garden of this client is in the book already."),
        (3, "This garden of this client is in the book already."),
    ]
    (further,) = looked.new
    assert further.remark == "A further garden of a client in the book."
    confirm(owner_client, again)

    assert Client.objects.count() == 2
    assert Garden.objects.filter(client__name="Quill family").count() == 2
    # Contacts of a client who is there stay as they are.
    assert Contact.objects.filter(client__name="Quill family").count() == 1


def test_a_list_is_taken_over_once(owner_client: StrictClient, owner: Person) -> None:
    listed = uploaded(owner_client, GOOD)
    station = factories.StationFactory()
    taken = take_over(list_id=listed.pk, station=station, by=owner, now=factories.NOW)
    assert taken == TakenOver(clients=1, gardens=1, there=0, wrong=0)
    with pytest.raises(ListSettled):
        take_over(list_id=listed.pk, station=station, by=owner, now=factories.NOW)
    second = owner_client.post(
        reverse("take-over-list", args=[listed.pk]),
        {"station": str(station.pk)},
        follow=True,
    )
    assert b"taken over or dropped already" in second.content
    assert Garden.objects.count() == 1


def test_a_dropped_list_is_emptied_and_can_no_longer_be_taken(
    owner_client: StrictClient,
) -> None:
    listed = uploaded(owner_client, GOOD)
    drop = reverse("take-over-drop", args=[listed.pk])
    assert owner_client.get(drop).status_code == 405
    assert owner_client.post(drop)["Location"] == reverse("take-over")
    listed.refresh_from_db()
    assert (listed.state, listed.rows) == ("dropped", [])
    confirm(owner_client, listed)
    assert nothing_was_taken()


def test_what_came_into_the_book_after_the_preview_is_not_doubled(
    owner_client: StrictClient,
) -> None:
    listed = uploaded(owner_client, GOOD)
    client = factories.ClientFactory(name="Quill Family")
    factories.GardenFactory(client=client, name="front")
    confirm(owner_client, listed)
    assert Garden.objects.count() == 1


def test_a_name_that_two_clients_have_is_not_guessed(
    owner_client: StrictClient,
) -> None:
    factories.ClientFactory(name="Quill family")
    factories.ClientFactory(name="quill family")
    (wrong,) = (
        preview(owner_client, uploaded(owner_client, GOOD)).context["looked"].wrong
    )
    assert [(fault.column, fault.why) for fault in wrong.faults] == [
        ("Client", "Several clients in the book have this name.")
    ]


def test_without_a_climate_nothing_is_taken_and_the_field_says_so(
    owner_client: StrictClient,
) -> None:
    listed = uploaded(owner_client, GOOD)
    refused = owner_client.post(reverse("take-over-list", args=[listed.pk]), {})
    assert refused.status_code == 200
    assert refused.context["form"].errors["station"] == ["This field is required."]
    assert nothing_was_taken()


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"%PDF-1.7", "Save it as CSV or XLSX."),
        (b"Client,Phone\nMoss,1\n", "The list has no column Address."),
        (
            b"Plant,Price\nHosta,4\n",
            "no column Client, Address. Its columns are: Plant",
        ),
        (b"Client,Customer,Address\na,b,c\n", "Two columns could be client"),
        (b"", "The submitted file is empty."),
    ],
)
def test_a_file_of_the_wrong_kind_is_refused_beside_the_field(
    owner_client: StrictClient, content: bytes, words: str
) -> None:
    refused = upload(owner_client, content)
    assert refused.status_code == 200
    assert words in str(refused.context["form"].errors["file"])
    assert words.encode() in refused.content
    assert ListImport.objects.count() == 0


def test_no_file_at_all_is_refused_beside_the_field(owner_client: StrictClient) -> None:
    refused = owner_client.post(reverse("take-over"))
    assert refused.context["form"].errors["file"] == ["This field is required."]


def test_a_workbook_is_taken_over_as_well(owner_client: StrictClient) -> None:
    content = workbook(
        ["Gardens of 2026", None],
        ["Client", "Garden", "Address", "Telephone", "Latitude", "Longitude"],
        ["Moss End", "Yard", "1 Moss Lane", 5551234, 38.6, -77.8],
    )
    assert upload(owner_client, content, "list.xlsx").status_code == 302
    confirm(owner_client, ListImport.objects.get())
    assert Contact.objects.get().phone == "5551234"
    assert Garden.objects.get().latitude == Decimal("38.60000")


def test_bad_rows_come_as_a_file_that_can_be_mended_and_sent_again(
    owner_client: StrictClient,
) -> None:
    evil = BAD.replace("Fern House", '=HYPERLINK("x")')
    listed = uploaded(owner_client, GOOD, evil)

    response = owner_client.get(reverse("take-over-left-out", args=[listed.pk]))

    assert response["Content-Disposition"] == (
        'attachment; filename="rows-left-out.csv"'
    )
    text = response.content.decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert len(rows) == 1
    # No spreadsheet takes it for a formula.
    assert rows[0]["Client"] == '\'=HYPERLINK("x")'
    assert rows[0]["Row"] == "3"
    assert "Address: This is missing." in rows[0]["Why"]

    mended = (
        text.replace("nowhere", "")
        .replace("95,", ",")
        .replace("Yard,,", "Yard,2 Lane,")
    )
    assert upload(owner_client, mended.encode()).status_code == 302
    looked = preview(owner_client, ListImport.objects.latest("id")).context["looked"]
    assert [row.cell("client") for row in looked.new] == ['=HYPERLINK("x")']


@pytest.mark.parametrize("who", ["crew_client", "bookkeeper_client"])
def test_lists_are_for_owners_only(
    who: str, request: pytest.FixtureRequest, owner_client: StrictClient
) -> None:
    listed = uploaded(owner_client, GOOD)
    browser: StrictClient = request.getfixturevalue(who)
    assert upload(browser, listing(GOOD)).status_code == 403
    assert preview(browser, listed).status_code == 403
    assert confirm(browser, listed).status_code == 403
    left = reverse("take-over-left-out", args=[listed.pk])
    assert browser.get(left).status_code == 403
    assert nothing_was_taken()
    assert owner_client.get(reverse("take-over-list", args=[99])).status_code == 404
    other = factories_list(owner_client)
    assert owner_client.get(reverse("take-over-list", args=[other])).status_code == 404


def factories_list(browser: StrictClient) -> int:
    """A list of another kind."""
    listed = uploaded(browser, GOOD)
    ListImport.objects.filter(pk=listed.pk).update(kind="prices")
    return listed.pk


def test_five_hundred_gardens_take_a_bearable_number_of_queries(
    owner: Person, django_assert_max_num_queries: object, owner_client: StrictClient
) -> None:
    rows = [f"Client {n // 2};;;;;Garden {n};{n} Lane;;;;;" for n in range(500)]
    listed = uploaded(owner_client, *rows)
    with django_assert_max_num_queries(20):
        assert preview(owner_client, listed).status_code == 200
    station = factories.StationFactory()
    taken = take_over(list_id=listed.pk, station=station, by=owner, now=factories.NOW)
    assert taken == TakenOver(clients=250, gardens=500, there=0, wrong=0)
