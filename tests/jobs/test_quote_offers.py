"""Offering quotes: what goes out, what it says for ever, and how offers end."""

import datetime as dt
import io
import json
from decimal import Decimal

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image
from pypdf import PdfReader

from firm.models import Entry, Message, Person
from firm.registry import NotYet, registry
from jobs.actions.agreements import (
    AgreedBeforeOffered,
    AgreedTooLate,
    agree_by_link,
    record_agreement,
)
from jobs.actions.quotes import (
    LastDayPast,
    NothingToOffer,
    NothingToRevise,
    OlderRevisionAgreed,
    lapse_offers,
    offer,
    revise,
    withdraw_offer,
)
from jobs.enums import AgreedHow
from jobs.models import Agreement, Document, Job, PrivateLink, Quote
from jobs.tasks import draw_waiting_documents
from jobs.tasks import lapse_offers as lapse_task
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW, TODAY
from tests.jobs.offer_samples import LAST, offered, ready

pytestmark = pytest.mark.django_db

LATER = NOW + dt.timedelta(hours=3)


@pytest.fixture
def quote(db: None) -> Quote:
    factories.PersonFactory(name="Olive Harrow")
    return ready()


def test_an_offer_is_numbered_fixed_linked_mailed_and_recorded(quote: Quote) -> None:
    out = offered(quote)
    quote.refresh_from_db()
    assert (quote.state, quote.offered_at, quote.valid_until) == ("offered", NOW, LAST)
    # 600.00 of labour is not taxed; 6 % on 1,419.10.
    assert (quote.net, quote.tax) == (Decimal("2019.10"), Decimal("85.15"))
    assert (out.document.number, out.document.kind) == ("Q-2026-0001.1", "quote")
    link = PrivateLink.objects.get()
    assert out.link == link
    # Midnight in New York after the last day, which then is on summer time.
    assert link.expires_at == dt.datetime(2026, 4, 2, 4, 0, tzinfo=dt.UTC)
    message = Message.objects.get()
    assert (message.kind, message.recipient) == ("quote offered", "dana@quill.example")
    assert message.too_late_at == link.expires_at
    assert list(Entry.objects.filter(action="quote offered")) != []


def test_the_paper_holds_what_is_printed_and_no_cost_or_margin(quote: Quote) -> None:
    snapshot = offered(quote).document.snapshot
    assert snapshot["totals"]["gross"] == "2104.25"
    assert [group["kind"] for group in snapshot["groups"]] == ["plants", "labour"]
    aster = snapshot["plants"][0]
    assert (aster["common"], aster["count"]) == ("Wood aster", 69)
    assert aster["toxicity"] == [
        "Toxic to dogs and cats.",
        "Not known for people and horses: treat it as toxic.",
    ]
    text = json.dumps(snapshot)
    for secret in ("12.34", "851.46", "380.00", "38.00", "margin", "cost"):
        assert secret not in text.replace("before it costs anything", "")


def test_on_paper_nothing_is_mailed(quote: Quote) -> None:
    out = offered(quote, by_mail=False)
    assert out.link is None
    assert Message.objects.count() == 0
    assert Document.objects.get().quote == quote


def test_an_offer_without_lines_or_with_a_past_last_day_is_refused(
    quote: Quote,
) -> None:
    owner = Person.objects.get()
    words = {"quote_id": quote.pk, "contact_id": None, "by": owner, "now": NOW}
    with pytest.raises(LastDayPast):
        offer(version=1, valid_until=TODAY - dt.timedelta(days=1), **words)
    quote.lines.all().delete()
    with pytest.raises(NothingToOffer):
        offer(version=1, valid_until=TODAY, **words)
    quote.refresh_from_db()
    assert (quote.state, quote.version) == ("drafting", 1)
    assert Document.objects.count() == 0


def test_the_offer_page_refuses_a_past_day_and_sends_the_letter(
    owner_client: StrictClient,
) -> None:
    quote = ready()
    url = reverse("quote-offer", args=[quote.pk])
    contact = quote.garden.client.contacts.get()
    data = {"version": "1", "contact": str(contact.pk), "valid_until": "2026-03-01"}
    with time_machine.travel(NOW, tick=False):
        page = owner_client.get(url)
        assert page.context["form"]["valid_until"].value() == LAST
        answer = owner_client.post(url, data)
        assert answer.context["form"].errors["valid_until"] == [
            "This day lies in the past."
        ]
        assert Message.objects.count() == 0
        answer = owner_client.post(url, {**data, "valid_until": "2026-03-02"})
        assert answer.status_code == 302
        again = owner_client.post(url, {**data, "valid_until": "2026-03-02"})
    assert "no longer a draft" in again.context["refused"]
    assert Message.objects.count() == 1


def test_the_letter_waits_for_its_pdf_and_then_carries_it(quote: Quote) -> None:
    offered(quote)
    message = Message.objects.get()
    kind = registry.message_kinds["quote offered"]
    assert kind.still_wanted(message, NOW)
    with pytest.raises(NotYet):
        kind.write(message)
    draw_waiting_documents()
    letter = kind.write(message)
    name, content, media = letter.files[0]
    assert (name, media) == ("Q-2026-0001.1.pdf", "application/pdf")
    assert letter.subject == "Our quote Q-2026-0001.1: New border"
    assert "Dear Dana Quill," in letter.text
    assert "$2,104.25" in letter.text.replace("\xa0", " ")
    assert "/quote/" in letter.text
    assert letter.text.count("/quote/") == 1
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)
    plain = " ".join(text.split())
    for words in (
        "Q-2026-0001.1",
        "Wood aster",
        "69 plants",
        "$1,419.10",
        "$2,104.25",
        "Toxic to dogs and cats.",
        "Not known for people and horses: treat it as toxic.",
        "811",
        "Wed 1 Apr 2026",
    ):
        assert words in plain
    for secret in ("12.34", "851.46", "380.00", "argin"):
        assert secret not in plain


def test_a_letter_about_a_withdrawn_offer_is_no_longer_wanted(quote: Quote) -> None:
    out = offered(quote)
    message = Message.objects.get()
    withdraw_offer(
        quote_id=quote.pk, reason="Stone sold", by=Person.objects.get(), now=LATER
    )
    quote.refresh_from_db()
    assert quote.state == "lapsed"
    assert out.link is not None
    out.link.refresh_from_db()
    assert out.link.withdrawn_at == LATER
    assert not registry.message_kinds["quote offered"].still_wanted(message, LATER)


def test_a_new_revision_replaces_the_old_when_it_is_offered(quote: Quote) -> None:
    owner = Person.objects.get()
    first = offered(quote)
    new = revise(quote_id=quote.pk, by=owner, now=LATER)
    assert (str(new), new.state, new.gross) == (
        "Q-2026-0001.2",
        "drafting",
        Decimal("2104.25"),
    )
    assert revise(quote_id=quote.pk, by=owner, now=LATER) == new
    quote.refresh_from_db()
    assert (quote.state, quote.replaced_by) == ("offered", None)
    second = offered(new)
    quote.refresh_from_db()
    assert (quote.state, quote.replaced_by) == ("replaced", new)
    assert second.document.number == "Q-2026-0001.2"
    assert first.document.snapshot == Document.objects.get(quote=quote).snapshot
    with pytest.raises(NothingToRevise):
        revise(quote_id=quote.pk, by=owner, now=LATER)


def test_a_revision_of_a_quote_agreed_meanwhile_is_not_offered(quote: Quote) -> None:
    first = offered(quote)
    new = revise(quote_id=quote.pk, by=Person.objects.get(), now=LATER)
    assert first.link is not None
    agree_by_link(link_id=first.link.pk, name="Dana Quill", now=LATER)
    with pytest.raises(OlderRevisionAgreed):
        offered(new)
    new.refresh_from_db()
    quote.refresh_from_db()
    assert (quote.state, new.state) == ("agreed", "drafting")
    assert Document.objects.count() == 1


def test_an_offer_lapses_after_its_last_local_day(quote: Quote) -> None:
    offered(quote)
    evening = dt.datetime(2026, 4, 2, 3, 59, tzinfo=dt.UTC)
    assert lapse_offers(now=evening) == 0
    midnight = evening + dt.timedelta(minutes=1)
    with time_machine.travel(midnight, tick=False):
        lapse_task()
    quote.refresh_from_db()
    assert (quote.state, quote.decided_at) == ("lapsed", midnight)
    assert lapse_offers(now=midnight) == 0
    assert Entry.objects.filter(action="quote lapsed").count() == 1


def scan() -> SimpleUploadedFile:
    held = io.BytesIO()
    Image.new("RGB", (30, 40), "white").save(held, "PNG")
    return SimpleUploadedFile("signed.png", held.getvalue(), "image/png")


def test_the_owner_writes_down_a_yes_on_paper_with_its_scan(
    owner_client: StrictClient,
) -> None:
    quote = ready()
    out = offered(quote)
    data = {
        "how": "paper",
        "name": "Dana Quill",
        "agreed_on": "2026-03-03",
        "agreed_at": "10:30",
        "note": "came by post",
        "confirm_to": "dana@quill.example",
    }
    url = reverse("quote-agreed", args=[quote.pk])
    with time_machine.travel(NOW + dt.timedelta(days=2), tick=False):
        wrong = SimpleUploadedFile("signed.pdf", b"MZ no scan", "application/pdf")
        refused = owner_client.post(url, {**data, "scan": wrong})
        assert "scan" in refused.context["form"].errors
        assert Agreement.objects.count() == 0
        assert owner_client.post(url, {**data, "scan": scan()}).status_code == 302
        again = owner_client.post(url, data)
    agreement = Agreement.objects.get()
    assert (agreement.how, agreement.name) == ("paper", "Dana Quill")
    assert agreement.agreed_at == dt.datetime(2026, 3, 3, 15, 30, tzinfo=dt.UTC)
    assert agreement.scan.startswith("scan-")
    assert agreement.recorded_by is not None
    assert agreement.document_sha256 == out.document.sha256
    assert "already agreed to by Dana Quill" in str(again.context["form"].errors)
    job = Job.objects.get()
    assert (job.state, job.price, job.planned_hours) == (
        "to book",
        Decimal("2019.10"),
        Decimal("10.00"),
    )
    assert job.plants.get().count == 69
    kinds = Message.objects.order_by("id").values_list("kind", flat=True)
    assert list(kinds) == ["quote offered", "quote agreed"]


def test_a_yes_before_the_offer_in_the_future_or_too_late_is_refused(
    quote: Quote,
) -> None:
    offered(quote)
    words = {
        "quote_id": quote.pk,
        "how": AgreedHow.PHONE,
        "name": "Dana Quill",
        "note": "",
        "scan": None,
        "confirm_to": "",
        "by": Person.objects.get(),
    }
    for agreed_at in (NOW - dt.timedelta(hours=1), LATER + dt.timedelta(hours=1)):
        with pytest.raises(AgreedBeforeOffered):
            record_agreement(agreed_at=agreed_at, agreed_on=TODAY, now=LATER, **words)
    late = dt.datetime(2026, 4, 2, 15, 0, tzinfo=dt.UTC)
    with pytest.raises(AgreedTooLate):
        record_agreement(agreed_at=late, agreed_on=late.date(), now=late, **words)
    # A yes given in time counts, though it is written down after the offer ran out.
    lapse_offers(now=late)
    record_agreement(agreed_at=LATER, agreed_on=TODAY, now=late, **words)
    quote.refresh_from_db()
    assert quote.state == "agreed"


def test_declined_and_taken_back_on_the_pages(owner_client: StrictClient) -> None:
    quote = ready()
    offered(quote)
    url = reverse("quote-declined", args=[quote.pk])
    assert "why" in owner_client.post(url, {"why": "dear"}).context["form"].errors
    assert owner_client.post(url, {"reason": "too dear"}).status_code == 302
    quote.refresh_from_db()
    assert (quote.state, quote.declined_reason) == ("declined", "too dear")
    refused = owner_client.post(
        reverse("quote-withdraw", args=[quote.pk]), {"reason": "no"}
    )
    assert "not an open offer; it is declined" in str(refused.context["form"].errors)


def test_an_offered_quote_takes_no_more_lines(owner_client: StrictClient) -> None:
    quote = ready()
    offered(quote)
    quote.refresh_from_db()
    answer = owner_client.post(
        reverse("quote-line-new", args=[quote.pk, "other"]),
        {
            "version": str(quote.version),
            "description": "Boulder",
            "quantity": "1",
            "unit": "piece",
            "unit_cost": "250",
        },
    )
    assert "no longer a draft" in str(answer.context["form"].errors)
    assert quote.lines.count() == 2


def test_another_link_is_sent_and_one_is_withdrawn(owner_client: StrictClient) -> None:
    quote = ready()
    first = offered(quote).link
    assert first is not None
    contact = quote.garden.client.contacts.get()
    url = reverse("quote-send", args=[quote.pk])
    assert owner_client.post(url, {"contact": str(contact.pk)}).status_code == 302
    assert PrivateLink.objects.count() == 2
    owner_client.post(reverse("quote-link-withdraw", args=[quote.pk, first.pk]))
    open_links = PrivateLink.objects.filter(withdrawn_at__isnull=True)
    assert list(open_links) == [PrivateLink.objects.order_by("id").last()]
    quote.refresh_from_db()
    assert quote.state == "offered"


def test_the_pdf_is_never_drawn_while_somebody_waits(
    owner_client: StrictClient,
) -> None:
    quote = ready()
    url = reverse("quote-pdf", args=[quote.pk])
    assert owner_client.get(url).status_code == 404
    offered(quote)
    waiting = owner_client.get(url)
    assert (waiting.status_code, waiting["Refresh"]) == (202, "5")
    draw_waiting_documents()
    answer = owner_client.get(url)
    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF-")


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01"])
@pytest.mark.parametrize("clock", ["00:00", "23:59"])
def test_a_yes_at_the_ends_of_the_calendar_is_refused_beside_its_day(
    owner_client: StrictClient, day: str, clock: str
) -> None:
    """The last evening west of Greenwich is no instant that is left in UTC."""
    quote = ready()
    offered(quote)
    answer = owner_client.post(
        reverse("quote-agreed", args=[quote.pk]),
        {"how": "phone", "name": "Dana Quill", "agreed_on": day, "agreed_at": clock},
    )
    assert "agreed_on" in answer.context["form"].errors
    quote.refresh_from_db()
    assert quote.state == "offered"
