"""The pages of care contracts: draft, offer, the client's private page, letters."""

import datetime as dt
import html
import re
import uuid
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from firm import clock
from firm.models import Message, Person
from firm.registry import registry
from jobs.actions.contracts import OfferedContract, revise_contract
from jobs.actions.links import key_of
from jobs.documents import pdf_of
from jobs.models import Contract, Visit
from plants.models import Garden
from tests import factories
from tests.conftest import StrictClient
from tests.jobs.contract_samples import (
    agreed,
    care_garden,
    drawn,
    offered_contract,
    owner_of_all,
    running,
    unidentified,
)

pytestmark = pytest.mark.django_db


def today() -> dt.date:
    return clock.today(time_zone="America/New_York")


def draft(garden: Garden | None = None, **changes: Any) -> Contract:
    given = {"starts_on": today(), **changes}
    return drawn(garden, now=clock.now(), **given)


def offer_now(contract: Contract) -> OfferedContract:
    return offered_contract(
        contract, now=clock.now(), until=today() + dt.timedelta(days=20)
    )


def data_of(**changes: Any) -> dict[str, Any]:
    return {
        "title": "Care of the garden",
        "starts_on": str(today()),
        "visit_minutes": "30",
        "net": "",
        "is_taxed": "on",
        "instalment_count": "12",
        "instalment_months": "1",
        "words": "",
        "terms": "",
        **changes,
    }


# --- drawing and changing ------------------------------------------------------------


def test_a_contract_is_drawn_on_the_garden_and_shown(
    owner_client: StrictClient, owner: Person
) -> None:
    garden = care_garden()
    unidentified(garden, number=7)
    address = reverse("contract-new", args=[garden.pk])
    form = owner_client.get(address)
    assert "Care of Orchard Row" in form.content.decode()
    key = str(uuid.uuid4())
    first = owner_client.post(address, data_of(key=key))
    again = owner_client.post(address, data_of(key=key))
    contract = Contract.objects.get()
    assert first["Location"] == again["Location"]
    assert first["Location"] == reverse("contract", args=[contract.pk])
    body = owner_client.get(first["Location"]).content.decode()
    for words in (
        "Prune, for its flowers",
        "Number 7 is not identified",
        "Draw it anew from the plantings",
        "Add a visit of your own",
    ):
        assert words in body


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("instalment_count", "25", "must be at most 24"),
        ("instalment_count", "0", "must be at least 1"),
        ("net", "12,34,5", "is not read as an amount"),
        ("net", "-5", "at least 0"),
        ("visit_minutes", "-1", "must be at least 0"),
        ("starts_on", "2020-01-01", "More than two years from today"),
        ("starts_on", "soon", "Enter a valid date"),
    ],
)
def test_bad_input_is_said_beside_its_field_and_nothing_is_drawn(
    owner_client: StrictClient, field: str, typed: str, said: str
) -> None:
    garden = care_garden()
    page = owner_client.post(
        reverse("contract-new", args=[garden.pk]),
        data_of(key=str(uuid.uuid4()), **{field: typed}),
    )
    assert page.status_code == 200
    assert said in page.content.decode()
    assert not Contract.objects.exists()


def test_ticking_work_out_on_the_page_makes_the_price_follow(
    owner_client: StrictClient,
) -> None:
    contract = draft()
    keys = [task["key"] for task in contract.plan["tasks"]]
    address = reverse("contract-work", args=[contract.pk])
    answer = owner_client.post(
        address, {"version": "1", "visit": ["1", "2"], "task": keys[:1]}
    )
    assert answer.status_code == 302
    contract.refresh_from_db()
    assert contract.net < Decimal("135.00")
    page = owner_client.get(reverse("contract", args=[contract.pk]))
    assert "Left out" in page.content.decode()
    stale = owner_client.post(address, {"version": "1", "visit": ["1"], "task": keys})
    assert stale.status_code == 409
    assert "Somebody else changed this" in stale.content.decode()


def test_a_visit_of_ones_own_needs_a_day_in_the_year(
    owner_client: StrictClient,
) -> None:
    contract = draft()
    address = reverse("contract-visit-new", args=[contract.pk])
    given = {
        "version": "1",
        "title": "Autumn tidy",
        "work": "Sweep the path\n\nCut the edges",
        "best": str(today() - dt.timedelta(days=1)),
        "around": "7",
        "minutes": "90",
    }
    page = owner_client.post(address, given)
    assert "This day lies outside the contract" in page.content.decode()
    assert "Autumn tidy" in page.content.decode()
    answer = owner_client.post(address, {**given, "best": str(today())})
    assert answer.status_code == 302
    contract.refresh_from_db()
    added = next(one for one in contract.plan["visits"] if one["is_free"])
    assert added["work"] == ["Sweep the path", "Cut the edges"]
    # Its days begin no earlier than the contract.
    assert added["earliest"] == str(today())


def test_the_second_editor_sees_what_stands_and_what_was_typed(
    owner_client: StrictClient,
) -> None:
    contract = draft()
    address = reverse("contract-change", args=[contract.pk])
    owner_client.post(address, data_of(version="1", title="Care in full"))
    page = owner_client.post(address, data_of(version="1", title="Care in part"))
    body = page.content.decode()
    assert "Somebody else changed this" in body
    assert "Care in full" in body and "Care in part" in body
    contract.refresh_from_db()
    assert contract.title == "Care in full"


# --- offering and answering ----------------------------------------------------------


@pytest.mark.parametrize(
    ("forbids", "said"),
    [([], "untick what goes against it"), (["feed"], "Left out of this plan: feed")],
)
def test_a_draft_repeats_what_the_client_insists_on(
    owner_client: StrictClient, forbids: list[str], said: str
) -> None:
    contract = draft()
    contract.garden.instructions.create(
        text="Never cut the lilac.", forbids=forbids, given_on=contract.starts_on
    )
    words = owner_client.get(reverse("contract", args=[contract.pk])).content.decode()
    assert "Never cut the lilac." in words
    assert said in " ".join(words.split())


def test_an_offer_goes_out_from_its_page(owner_client: StrictClient) -> None:
    contract = draft()
    address = reverse("contract-offer", args=[contract.pk])
    assert "dana@quill.example" in owner_client.get(address).content.decode()
    contact = contract.garden.client.contacts.get()
    data = {
        "version": "1",
        "contact": contact.pk,
        "valid_until": str(today() + dt.timedelta(days=20)),
    }
    past = owner_client.post(
        address, {**data, "valid_until": str(today() - dt.timedelta(days=1))}
    )
    assert "This day lies in the past." in past.content.decode()
    assert owner_client.post(address, data).status_code == 302
    contract.refresh_from_db()
    assert contract.state == "offered"
    pdf = owner_client.get(reverse("contract-pdf", args=[contract.pk]))
    # Never drawn while somebody waits.
    assert pdf.status_code == 202


def test_the_owner_writes_down_yes_no_pause_and_end(
    owner_client: StrictClient, owner: Person
) -> None:
    contract = draft()
    offer_now(contract)
    address = reverse("contract-agreed", args=[contract.pk])
    initial = owner_client.get(address).context["form"].initial
    answer = owner_client.post(
        address,
        {
            "how": "phone",
            "name": "Dana Quill",
            "agreed_on": str(initial["agreed_on"]),
            "agreed_at": initial["agreed_at"].strftime("%H:%M"),
            "confirm_to": "",
            "note": "",
        },
    )
    assert answer.status_code == 302
    contract.refresh_from_db()
    assert contract.state == "running"
    body = owner_client.get(reverse("contract", args=[contract.pk])).content.decode()
    assert "Agreed by Dana Quill by telephone" in body
    owner_client.post(
        reverse("contract-pause", args=[contract.pk]),
        {"version": contract.version, "reason": "away"},
    )
    contract.refresh_from_db()
    assert contract.state == "paused"
    owner_client.post(
        reverse("contract-resume", args=[contract.pk]), {"version": contract.version}
    )
    contract.refresh_from_db()
    assert contract.state == "running"
    late = owner_client.post(
        reverse("contract-end", args=[contract.pk]),
        {
            "version": contract.version,
            "last_on": str(contract.ends_on + dt.timedelta(days=1)),
            "reason": "sold",
        },
    )
    assert "must lie between its first day" in late.content.decode()
    owner_client.post(
        reverse("contract-end", args=[contract.pk]),
        {"version": contract.version, "last_on": str(today()), "reason": "sold"},
    )
    contract.refresh_from_db()
    assert contract.state == "ended"
    made = owner_client.post(reverse("contract-renew", args=[contract.pk]))
    new = Contract.objects.get(state="drafting")
    assert made["Location"] == reverse("contract", args=[new.pk])


def test_the_client_agrees_once_on_the_private_page(client: StrictClient) -> None:
    contract = draft()
    link = offer_now(contract).link
    assert link is not None
    key = key_of(link)
    page = client.get(reverse("link-contract", args=[key]))
    body = page.content.decode()
    assert page["X-Robots-Tag"] == "noindex, nofollow"
    assert page["Cache-Control"] == "no-store, private"
    for words in ("What is not included", "Prune, for its flowers", "(no.&nbsp;1)"):
        assert words in body
    assert "36.67" not in body and "85.50" not in body
    address = reverse("link-contract-agree", args=[key])
    unticked = client.post(address, {"name": "Dana Quill"})
    assert "Tick this to agree." in unticked.content.decode()
    assert (
        client.post(address, {"name": "Dana Quill", "agrees": "on"}).status_code == 302
    )
    assert (
        "Agreed." in client.get(reverse("link-contract", args=[key])).content.decode()
    )
    second = client.post(address, {"name": "Sam Quill", "agrees": "on"})
    assert second.status_code == 409
    assert "by Dana Quill" in second.content.decode()
    assert Visit.objects.filter(contract=contract).count() == len(
        contract.plan["visits"]
    )


def test_the_client_declines_on_the_private_page(client: StrictClient) -> None:
    contract = draft()
    link = offer_now(contract).link
    assert link is not None
    key = key_of(link)
    client.post(reverse("link-contract-decline", args=[key]), {"reason": "we move"})
    contract.refresh_from_db()
    assert (contract.state, contract.declined_reason) == ("declined", "we move")
    page = client.get(reverse("link-contract", args=[key]))
    assert "This contract was declined" in page.content.decode()
    late = client.post(
        reverse("link-contract-agree", args=[key]), {"name": "Dana", "agrees": "on"}
    )
    assert late.status_code == 409


def test_an_old_revision_and_a_wrong_key_get_a_kind_page(client: StrictClient) -> None:
    contract = draft()
    link = offer_now(contract).link
    assert link is not None
    new = revise_contract(contract_id=contract.pk, by=owner_of_all(), now=clock.now())
    offer_now(new)
    old = client.post(
        reverse("link-contract-agree", args=[key_of(link)]),
        {"name": "Dana", "agrees": "on"},
    )
    assert old.status_code == 410
    assert "There is a newer offer" in old.content.decode()
    assert client.get(reverse("link-contract", args=["nothing"])).status_code == 404


# --- paper and letters ---------------------------------------------------------------


def test_the_paper_is_drawn_from_its_snapshot(owner: Person) -> None:
    made = offer_now(draft(net=Decimal("4000.00"), is_taxed=False))
    content = pdf_of(document=made.document, now=clock.now())
    assert content.startswith(b"%PDF-")
    assert len(re.findall(rb"/Type\s*/Page\b", content)) <= 4


@pytest.mark.parametrize(
    "kind",
    [
        "contract offered",
        "contract agreed",
        "contract agreed note",
        "contract declined note",
    ],
)
def test_each_letter_is_written_with_its_link_or_paper(kind: str) -> None:
    contract = draft()
    made = offer_now(contract)
    pdf_of(document=made.document, now=clock.now())
    assert made.link is not None
    if kind == "contract offered":
        payload: dict[str, Any] = {"link": made.link.pk, "name": "Dana Quill"}
    else:
        payload = {"contract": contract.pk}
    if kind == "contract agreed" or kind == "contract agreed note":
        agreed(contract, now=clock.now())
    message = Message(kind=kind, payload=payload, language="en")
    letter = registry.message_kinds[kind].write(message)
    whole = letter.subject + letter.text + letter.html
    assert "C-" in whole
    if kind == "contract offered":
        assert f"/contract/{key_of(made.link)}/" in letter.text
        assert registry.message_kinds[kind].still_wanted(message, clock.now())
    if kind in ("contract offered", "contract agreed"):
        assert [name for name, _, _ in letter.files] == [f"{contract}.pdf"]
    else:
        assert reverse("contract", args=[contract.pk]) in letter.text


# --- queries -------------------------------------------------------------------------


@pytest.mark.parametrize("count", [1, 3])
def test_a_contract_needs_the_same_queries_for_one_planting_as_for_three(
    owner_client: StrictClient, count: int, django_assert_num_queries: Any
) -> None:
    contract = running(care_garden(plantings=count), now=clock.now(), starts_on=today())
    owner_client.get(reverse("contract", args=[contract.pk]))
    with django_assert_num_queries(14):
        page = owner_client.get(reverse("contract", args=[contract.pk]))
    assert len(page.context["page"].visits[0].tasks) == count


def year_of_visits(response: Any) -> str:
    """What the picture of the contract's year says in words."""
    found = re.search(
        r"<title[^>]*>The year of visits</title><desc[^>]*>([^<]*)",
        response.content.decode(),
    )
    return html.unescape(found[1]) if found else ""


def test_a_contract_shows_its_year_of_visits(owner_client: StrictClient) -> None:
    contract = draft(starts_on=dt.date(2027, 1, 1))
    url = reverse("contract", args=[contract.pk])
    told = year_of_visits(owner_client.get(url))
    assert told == (
        "1. Feed: 15 Apr to 13 May, best 22 Apr. "
        "2. Prune: 11 Jul to 31 Jul, best 25 Jul."
    )


def test_booked_visits_say_their_own_day_beside_the_best_one(
    owner_client: StrictClient,
) -> None:
    contract = running(care_garden(), now=clock.now(), starts_on=today())
    visit = Visit.objects.filter(contract=contract).order_by("best_on", "id")[0]
    assert visit.best_on is not None
    crew = factories.CrewFactory()
    Visit.objects.filter(pk=visit.pk).update(day=visit.best_on, crew=crew)
    told = year_of_visits(owner_client.get(reverse("contract", args=[contract.pk])))
    booked = f"{visit.best_on.day} {visit.best_on:%b}"
    assert f"{visit.title}: {booked}, planned: " in told
    assert f"best {booked}." in told


def test_the_bookkeeper_reads_a_contract_and_changes_nothing(
    bookkeeper_client: StrictClient,
) -> None:
    contract = draft()
    page = bookkeeper_client.get(reverse("contract", args=[contract.pk]))
    assert page.status_code == 200
    body = page.content.decode()
    assert "Offer it" not in body and "Gather anew" not in body
    refused = bookkeeper_client.post(reverse("contract-draw", args=[contract.pk]))
    assert refused.status_code == 403


def test_a_garden_lists_its_contracts(owner_client: StrictClient) -> None:
    contract = draft()
    body = owner_client.get(
        reverse("garden", args=[contract.garden_id])
    ).content.decode()
    assert reverse("contract", args=[contract.pk]) in body
    assert reverse("contract-new", args=[contract.garden_id]) in body


def test_two_gardens_may_each_have_a_running_contract() -> None:
    first = running(care_garden(name="Mill Lane"), now=clock.now(), starts_on=today())
    second = running(care_garden(name="Hill End"), now=clock.now(), starts_on=today())
    assert {first.state, second.state} == {"running"}
