"""Care guides on their way: letter, pages, private link, withdrawn link."""

import datetime as dt

import pytest

from firm.models import Message, Person
from firm.registry import NotYet, registry
from jobs.actions.guides import IssuedGuide, NothingGrows, issue_guide
from jobs.actions.links import key_of
from jobs.documents import pdf_of
from jobs.models import Document, PrivateLink
from plants.models import Planting
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW

pytestmark = pytest.mark.django_db


@pytest.fixture
def planting(owner: Person) -> Planting:
    client = factories.ClientFactory()
    factories.ContactFactory(client=client)
    garden = factories.GardenFactory(client=client, name="Orchard Row")
    factories.RuleFactory()
    found: Planting = factories.PlantingFactory(
        garden=garden,
        plant=factories.PlantFactory(common="Blue mophead"),
        bed=factories.BedFactory(garden=garden),
        number=3,
    )
    return found


@pytest.fixture
def issued(planting: Planting, owner: Person) -> IssuedGuide:
    return issue_guide(
        garden=planting.garden,
        planting_ids=[planting.pk],
        start=dt.date(2026, 3, 2),
        contact=planting.garden.client.contacts.get(),
        now=NOW,
        by=owner,
    )


def test_the_letter_waits_for_the_pdf_and_then_carries_it(issued: IssuedGuide) -> None:
    message = Message.objects.get()
    kind = registry.message_kinds["care guide"]
    with pytest.raises(NotYet):
        kind.write(message)
    pdf = pdf_of(document=issued.document, now=NOW)
    assert pdf.startswith(b"%PDF-")
    letter = kind.write(message)
    assert letter.subject == "The care guide for Orchard Row"
    assert letter.files == (("G-2026-0001.pdf", pdf, "application/pdf"),)
    assert f"/care-guide/{key_of(issued.link)}/" in letter.text
    assert "March 2026 to February 2027" in letter.text
    assert kind.still_wanted(message, NOW)


def test_a_guide_for_no_plant_of_the_garden_is_refused(
    planting: Planting, owner: Person
) -> None:
    other = factories.PlantingFactory(number=9)
    with pytest.raises(NothingGrows):
        issue_guide(
            garden=planting.garden,
            planting_ids=[other.pk],
            start=dt.date(2026, 3, 2),
            contact=None,
            now=NOW,
            by=owner,
        )
    assert not Document.objects.exists()


def test_the_private_page_reads_like_the_paper_and_stays_private(
    issued: IssuedGuide, client: StrictClient
) -> None:
    url = f"/care-guide/{key_of(issued.link)}/"
    page = client.get(url)
    assert page.status_code == 200
    assert page["Cache-Control"] == "no-store, private"
    assert page["X-Robots-Tag"] == "noindex, nofollow"
    assert page["Referrer-Policy"] == "no-referrer"
    body = page.content.decode()
    assert "Blue mophead" in body
    assert "Toxic to dogs and cats." in body
    assert PrivateLink.objects.get().opened_at is not None
    waiting = client.get(f"{url}pdf/")
    assert waiting.status_code == 202
    pdf_of(document=issued.document, now=NOW)
    ready = client.get(f"{url}pdf/")
    assert (ready.status_code, ready["Content-Type"]) == (200, "application/pdf")
    assert ready["Referrer-Policy"] == "no-referrer"


def test_a_guide_of_two_plants_shows_when_they_flower_and_one_of_one_does_not(
    issued: IssuedGuide, planting: Planting, owner: Person, client: StrictClient
) -> None:
    alone = client.get(f"/care-guide/{key_of(issued.link)}/").content.decode()
    assert "When they flower" not in alone
    second = factories.PlantingFactory(
        garden=planting.garden,
        plant=factories.PlantFactory(common="Lacecap"),
        number=4,
    )
    both = issue_guide(
        garden=planting.garden,
        planting_ids=[planting.pk, second.pk],
        start=dt.date(2026, 3, 2),
        contact=planting.garden.client.contacts.get(),
        now=NOW,
        by=owner,
    )
    page = client.get(f"/care-guide/{key_of(both.link)}/").content.decode()
    assert "When they flower" in page
    # The group flowers in June and July, three days later here; no gaps are claimed.
    assert "3 Blue mophead: 4 Jun to 1 Aug. 4 Lacecap: 4 Jun to 1 Aug.</desc>" in page
    assert pdf_of(document=both.document, now=NOW).startswith(b"%PDF-")


def test_looking_at_the_head_does_not_count_as_opened(
    issued: IssuedGuide, client: StrictClient
) -> None:
    client.head(f"/care-guide/{key_of(issued.link)}/")
    assert PrivateLink.objects.get().opened_at is None


def test_a_withdrawn_link_is_gone_and_an_unknown_one_not_found(
    issued: IssuedGuide, client: StrictClient, owner_client: StrictClient
) -> None:
    url = f"/care-guide/{key_of(issued.link)}/"
    owner_client.post(
        f"/care-guides/{issued.document.pk}/links/{issued.link.pk}/withdraw/"
    )
    for path in (url, f"{url}pdf/"):
        gone = client.get(path)
        assert gone.status_code == 410
        assert "This care guide was taken back" in gone.content.decode()
        assert gone["Cache-Control"] == "no-store, private"
    unknown = client.get("/care-guide/nobody-knows-this/")
    assert unknown.status_code == 404
    assert "Nothing is found here" in unknown.content.decode()
    kind = registry.message_kinds["care guide"]
    assert not kind.still_wanted(Message.objects.get(), NOW)


def test_the_owner_writes_a_new_guide_and_sends_it_again_by_a_new_link(
    planting: Planting, owner_client: StrictClient
) -> None:
    contact = planting.garden.client.contacts.get()
    url = f"/gardens/{planting.garden_id}/care-guide/"
    none = owner_client.post(url, {"contact": ""})
    assert "Choose at least one planting." in none.content.decode()
    assert not Document.objects.exists()
    done = owner_client.post(url, {"plantings": str(planting.pk), "contact": ""})
    document = Document.objects.get()
    assert done["Location"] == f"/care-guides/{document.pk}/"
    assert not Message.objects.exists()
    owner_client.post(f"/care-guides/{document.pk}/send/", {"contact": str(contact.pk)})
    assert Message.objects.get().recipient == "dana@quill.example"
    assert PrivateLink.objects.count() == 2
    page = owner_client.get(f"/care-guides/{document.pk}/").content.decode()
    assert "dana@quill.example" in page
    assert "handed over" in page


def test_the_garden_page_leads_to_its_jobs_and_guides(
    planting: Planting, owner_client: StrictClient
) -> None:
    job = factories.JobFactory(garden=planting.garden, title="Pruning call")
    page = owner_client.get(f"/gardens/{planting.garden_id}/").content.decode()
    assert f'href="/jobs/{job.pk}/"' in page
    assert f'href="/gardens/{planting.garden_id}/single-visit/"' in page
    assert f'href="/gardens/{planting.garden_id}/care-guide/"' in page
