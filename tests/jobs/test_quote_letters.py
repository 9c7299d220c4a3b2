"""The letters about quotes, and papers whose PDF could not be drawn."""

import datetime as dt
import io
from decimal import Decimal

import pytest
from pypdf import PdfReader

from firm.models import Firm, Message
from firm.registry import Letter, registry
from jobs.actions.agreements import agree_by_link
from jobs.actions.documents import note_pdf_failure
from jobs.actions.offering import No
from jobs.actions.quotes import LineDetails, decline_by_link, keep_lines
from jobs.enums import DeclineReason
from jobs.models import Document, Quote
from jobs.tasks import draw_failed_documents, draw_waiting_documents
from tests import factories
from tests.factories import NOW
from tests.jobs.offer_samples import offered, ready

pytestmark = pytest.mark.django_db

LATER = NOW + dt.timedelta(hours=3)


@pytest.fixture
def quote() -> Quote:
    factories.PersonFactory(name="Olive Harrow")
    return ready()


def letter(kind: str) -> Letter:
    return registry.message_kinds[kind].write(Message.objects.get(kind=kind))


def plain(text: str) -> str:
    return " ".join(text.replace("\xa0", " ").split())


def test_the_client_is_sent_what_was_agreed_and_the_owner_a_note(quote: Quote) -> None:
    link = offered(quote).link
    assert link is not None
    agree_by_link(link_id=link.pk, name="Dana Quill", now=LATER)
    draw_waiting_documents()
    thanks = letter("quote agreed")
    assert thanks.subject == "Thank you: Q-2026-0001.1 is agreed"
    assert "Dear Dana Quill," in thanks.text
    assert "Total: $2,104.25, any tax included." in plain(thanks.text)
    # 18:00 in UTC is 1 pm at the firm.
    assert "Mon 2 Mar 2026, 1:00 pm" in plain(thanks.text)
    assert plain(thanks.html).count("$2,104.25") == 1
    [(name, content, _media)] = thanks.files
    assert name == "Q-2026-0001.1.pdf"
    assert "Q-2026-0001.1" in PdfReader(io.BytesIO(content)).pages[0].extract_text()
    note = letter("quote agreed note")
    client = quote.garden.client.name
    assert note.subject == f"Agreed: Q-2026-0001.1, {client}"
    assert f"Planting job {quote.job.number} is open" in note.text
    assert f"/quotes/{quote.pk}/" in note.text
    assert note.files == ()


def test_the_owner_is_told_of_a_no_in_the_clients_words(quote: Quote) -> None:
    link = offered(quote).link
    assert link is not None
    decline_by_link(
        link_id=link.pk, no=No(why=DeclineReason.PRICE, words="Too dear"), now=LATER
    )
    note = letter("quote declined note")
    assert note.subject == f"Declined: Q-2026-0001.1, {quote.garden.client.name}"
    assert "Why: it costs too much." in note.text
    assert "Why: it costs too much." in note.html
    assert "In their words: Too dear" in note.text
    assert "In their words: Too dear" in note.html


def test_without_an_address_of_the_firm_the_first_owner_gets_the_note(
    quote: Quote,
) -> None:
    Firm.objects.filter(pk=1).update(email="")
    link = offered(quote).link
    assert link is not None
    decline_by_link(link_id=link.pk, no=No(), now=LATER)
    message = Message.objects.get(kind="quote declined note")
    assert message.recipient.startswith("person")


def test_a_paper_that_failed_is_tried_again_later_and_holds_up_no_other(
    quote: Quote,
) -> None:
    failed = offered(quote).document
    note_pdf_failure(document=failed, reason="no font")
    other = offered(ready(number="Q-2026-0002")).document
    draw_waiting_documents()
    drawn = dict(Document.objects.values_list("number", "pdf_drawn_at"))
    assert drawn[failed.number] is None
    assert drawn[other.number] is not None
    draw_failed_documents()
    failed.refresh_from_db()
    assert (failed.pdf_drawn_at is not None, failed.pdf_error) == (True, "")


def test_a_currency_without_cents_has_none(quote: Quote) -> None:
    Firm.objects.filter(pk=1).update(currency="JPY")
    keep_lines(
        quote_id=quote.pk,
        version=1,
        details=[
            LineDetails(
                kind="other",
                description="Everything",
                quantity=Decimal(1),
                unit="lot",
                unit_cost=Decimal(1000),
            )
        ],
        instead_of=list(quote.lines.order_by("id").values_list("pk", flat=True)),
        by=factories.PersonFactory(),
        now=NOW,
    )
    quote.refresh_from_db()
    # 1,000 at 40 % is 1,666.67, in whole yen 1,667; 6 % of it is 100.02, so 100.
    assert (quote.net, quote.tax) == (Decimal(1667), Decimal(100))
