"""The private page of a quote: read by any GET, agreed to by one POST alone."""

import datetime as dt

import pytest
import time_machine
from django.urls import reverse

from firm.models import Message
from jobs.actions.links import key_of, make_link, withdraw_link
from jobs.actions.quotes import revise, withdraw_offer
from jobs.enums import LinkPurpose
from jobs.models import Agreement, Job, PrivateLink, Quote
from jobs.tasks import draw_waiting_documents
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW
from tests.jobs.offer_samples import offered, ready
from tests.jobs.test_quote_offers import LATER

pytestmark = pytest.mark.django_db

YES = {"name": "Dana Quill", "agrees": "on"}


class Offer:
    """An offered quote and its private page."""

    def __init__(self) -> None:
        factories.PersonFactory(name="Olive Harrow")
        self.quote: Quote = ready(words="Two weeks of work in April.")
        link = offered(self.quote).link
        assert link is not None
        self.link: PrivateLink = link
        self.key = key_of(link)

    def url(self, name: str = "link-quote") -> str:
        return reverse(name, args=[self.key])

    def state(self) -> str:
        self.quote.refresh_from_db()
        return self.quote.state


@pytest.fixture
def out(db: None) -> Offer:
    return Offer()


@pytest.fixture(autouse=True)
def later() -> object:
    with time_machine.travel(LATER, tick=False):
        yield


def test_the_private_page_shows_the_quote_and_is_kept_nowhere(
    out: Offer, client: StrictClient
) -> None:
    page = client.get(out.url())
    assert page.status_code == 200
    assert page["Referrer-Policy"] == "same-origin"
    assert page["Cache-Control"] == "no-store, private"
    assert page["X-Robots-Tag"] == "noindex, nofollow"
    text = page.content.decode().replace("\xa0", " ")
    for words in ("Wood aster", "69 plants", "$2,104.25", "Two weeks of work", "811"):
        assert words in text
    for secret in ("12.34", "851.46", "380.00"):
        assert secret not in text
    out.link.refresh_from_db()
    assert out.link.opened_at == LATER


@pytest.mark.parametrize("method", ["get", "head", "options"])
@pytest.mark.parametrize("name", ["link-quote", "link-quote-agree"])
def test_reading_never_agrees(
    out: Offer, client: StrictClient, method: str, name: str
) -> None:
    getattr(client, method)(out.url(name), YES)
    assert out.state() == "offered"
    assert Agreement.objects.count() == 0


def test_a_quote_is_agreed_once_with_job_and_letters(
    out: Offer, client: StrictClient
) -> None:
    answer = client.post(out.url("link-quote-agree"), YES)
    assert (answer.status_code, answer["Location"]) == (302, out.url())
    agreement = Agreement.objects.get()
    assert (agreement.name, agreement.how) == ("Dana Quill", "link")
    assert (agreement.agreed_at, agreement.recorded_by) == (LATER, None)
    assert agreement.document_sha256 == out.link.document.sha256
    assert Job.objects.get().quote == out.quote
    kinds = Message.objects.order_by("id").values_list("kind", "recipient")
    assert list(kinds) == [
        ("quote offered", "dana@quill.example"),
        ("quote agreed", "dana@quill.example"),
        ("quote agreed note", "office@fernhollow.example"),
    ]
    page = client.get(out.url())
    assert page.status_code == 200
    assert b"by Dana Quill" in page.content
    assert b"I agree" not in page.content
    second = client.post(out.url("link-quote-agree"), {**YES, "name": "Somebody"})
    assert second.status_code == 409
    assert b"by Dana Quill" in second.content
    assert (Agreement.objects.count(), Job.objects.count()) == (1, 1)
    assert Message.objects.count() == 3


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"agrees": "on"}, "name"),
        ({"name": "x", "agrees": "on"}, "name"),
        ({"name": "Dana Quill"}, "agrees"),
    ],
)
def test_a_yes_needs_a_name_and_a_tick(
    out: Offer, client: StrictClient, typed: dict[str, str], field: str
) -> None:
    answer = client.post(out.url("link-quote-agree"), typed)
    assert list(answer.context["form"].errors) == [field]
    assert out.state() == "offered"


def test_an_unknown_key_or_one_for_something_else_finds_nothing(
    out: Offer, client: StrictClient
) -> None:
    for key in ("x", "A" * 43, key_of(_other_purpose(out))):
        for name in ("link-quote", "link-quote-pdf"):
            page = client.get(reverse(name, args=[key]))
            assert page.status_code == 404
            assert b"Nothing is found here" in page.content
        answer = client.post(reverse("link-quote-agree", args=[key]), YES)
        assert answer.status_code == 404
    assert out.state() == "offered"


def _other_purpose(out: Offer) -> PrivateLink:
    return make_link(
        document=out.link.document,
        purpose=LinkPurpose.CARE_GUIDE,
        recipient="",
        now=NOW,
        expires_at=None,
        by=None,
    )


def refused(out: Offer, client: StrictClient, words: bytes) -> None:
    for method, name in (
        ("get", "link-quote"),
        ("get", "link-quote-pdf"),
        ("post", "link-quote-agree"),
        ("post", "link-quote-decline"),
    ):
        page = getattr(client, method)(out.url(name), YES)
        assert page.status_code == 410, name
        assert words in page.content
        assert b"555 0100" in page.content
        assert page["Cache-Control"] == "no-store, private"
    assert Agreement.objects.count() == 0


def test_a_withdrawn_link_is_refused_kindly(out: Offer, client: StrictClient) -> None:
    withdraw_link(link=out.link, now=LATER, by=None)
    refused(out, client, b"This link was withdrawn")


def test_the_links_of_a_withdrawn_offer_are_refused(
    out: Offer, client: StrictClient
) -> None:
    person = factories.PersonFactory()
    withdraw_offer(quote_id=out.quote.pk, reason="Sold", by=person, now=LATER)
    refused(out, client, b"This link was withdrawn")


def test_an_expired_link_is_refused_though_the_sweep_has_not_run(
    out: Offer, client: StrictClient
) -> None:
    assert out.link.expires_at is not None
    with time_machine.travel(out.link.expires_at - dt.timedelta(seconds=1), tick=False):
        assert client.get(out.url()).status_code == 200
    with time_machine.travel(out.link.expires_at, tick=False):
        refused(out, client, b"This offer has run out")
    assert out.state() == "offered"


def test_an_old_revision_says_that_there_is_a_newer_one(
    out: Offer, client: StrictClient
) -> None:
    new = revise(quote_id=out.quote.pk, by=factories.PersonFactory(), now=LATER)
    assert client.get(out.url()).status_code == 200
    offered(new)
    refused(out, client, b"There is a newer quote")


def test_the_client_declines_with_a_reason(out: Offer, client: StrictClient) -> None:
    url = out.url("link-quote-decline")
    assert client.get(url).status_code == 405
    assert client.post(url, {"reason": "Too dear\nfor us"}).status_code == 302
    assert out.state() == "declined"
    assert out.quote.declined_reason == "Too dear for us"
    page = client.get(out.url())
    assert b"was declined on" in page.content
    assert client.post(out.url("link-quote-agree"), YES).status_code == 409
    assert Agreement.objects.count() == 0
    note = Message.objects.order_by("id").last()
    assert note is not None
    assert (note.kind, note.recipient) == (
        "quote declined note",
        "office@fernhollow.example",
    )


def test_the_pdf_opens_by_the_same_key(out: Offer, client: StrictClient) -> None:
    url = out.url("link-quote-pdf")
    assert client.get(url).status_code == 202
    draw_waiting_documents()
    answer = client.get(url)
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Cache-Control"] == "no-store, private"
    assert answer.content.startswith(b"%PDF-")


def test_a_post_without_its_token_is_refused(out: Offer) -> None:
    strict = StrictClient(enforce_csrf_checks=True)
    assert strict.post(out.url("link-quote-agree"), YES).status_code == 403
    assert out.state() == "offered"
