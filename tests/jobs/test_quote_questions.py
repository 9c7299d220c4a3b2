"""Before a yes or a no: questions, answers, reminders, and why a client declines."""

import datetime as dt
import uuid

import pytest
import time_machine
from django.urls import reverse

from firm.models import Entry, Firm, Message, Person
from firm.registry import registry
from jobs.actions.links import LinkClosed, key_of, withdraw_link
from jobs.actions.offering import No
from jobs.actions.quotes import (
    AlreadyAnswered,
    NotOffered,
    Offered,
    TooManyQuestions,
    answer_question,
    ask_by_link,
    record_decline,
    remind_of_offers,
)
from jobs.enums import DeclineReason
from jobs.models import PrivateLink, QuoteQuestion
from jobs.queries.quotes import quotes_open, why_declined
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW, TODAY
from tests.jobs.offer_samples import LAST, offered, ready

pytestmark = pytest.mark.django_db

LATER = NOW + dt.timedelta(hours=3)


@pytest.fixture
def owner(db: None) -> Person:
    made: Person = factories.PersonFactory(name="Olive Harrow")
    return made


@pytest.fixture
def out(owner: Person) -> Offered:
    return offered(ready())


def link_of(out: Offered) -> PrivateLink:
    assert out.link is not None
    return out.link


def ask(out: Offered, words: str = "Will the path stay?") -> QuoteQuestion:
    return ask_by_link(
        link_id=link_of(out).pk,
        name="Dana Quill",
        words=words,
        key=uuid.uuid4(),
        now=LATER,
    )


def test_a_question_asked_twice_is_one_and_the_owner_gets_one_note(
    out: Offered,
) -> None:
    key = uuid.uuid4()
    for _twice in range(2):
        ask_by_link(
            link_id=link_of(out).pk, name="Dana", words="When?", key=key, now=LATER
        )
    question = QuoteQuestion.objects.get()
    assert (question.quote_id, question.words) == (out.quote.pk, "When?")
    assert Message.objects.filter(kind="quote question").count() == 1
    assert Entry.objects.filter(action="quote question asked").count() == 1
    letter = registry.message_kinds["quote question"].write(
        Message.objects.get(kind="quote question")
    )
    assert letter.subject == "Dana asks about Q-2026-0001.1"
    assert "When?" in letter.text
    assert f"/quotes/{out.quote.pk}/questions/{question.pk}/" in letter.text


def test_the_answer_goes_to_whom_the_link_went_and_stands_on_the_private_page(
    out: Offered, owner_client: StrictClient
) -> None:
    address = reverse("link-quote", args=[key_of(link_of(out))])
    with time_machine.travel(LATER, tick=False):
        page = owner_client.get(address)
        sent = owner_client.post(
            f"{address}ask/",
            {
                "key": str(page.context["ask"].initial.get("key") or uuid.uuid4()),
                "name": "Dana Quill",
                "words": "Will the path stay?",
            },
        )
        assert (sent.status_code, sent["Location"]) == (302, f"{address}#ask")
    question = QuoteQuestion.objects.get()
    assert [quote.to_answer for quote in quotes_open()] == [1]
    url = reverse("quote-question", args=[out.quote.pk, question.pk])
    assert (
        url in owner_client.get(reverse("quote", args=[out.quote.pk])).content.decode()
    )
    blank = owner_client.post(url, {"words": "  "})
    assert blank.status_code == 200
    assert "words" in blank.context["form"].errors
    assert owner_client.post(url, {"words": "Yes, all of it."}).status_code == 302
    again = owner_client.post(url, {"words": "No."})
    assert "Somebody has answered this question meanwhile." in again.content.decode()
    question.refresh_from_db()
    assert question.answer == "Yes, all of it."
    assert [quote.to_answer for quote in quotes_open()] == [0]
    with time_machine.travel(LATER, tick=False):
        page = owner_client.get(address)
    assert "Will the path stay?" in page.content.decode()
    assert "Yes, all of it." in page.content.decode()
    message = Message.objects.get(kind="quote answer")
    assert message.recipient == link_of(out).recipient
    letter = registry.message_kinds["quote answer"].write(message)
    assert letter.subject == "Your question about our quote Q-2026-0001.1"
    for said in ("Will the path stay?", "Yes, all of it.", address):
        assert said in letter.text
        assert said in letter.html


def test_an_answered_question_needs_no_note_and_a_withdrawn_link_is_not_named(
    out: Offered, owner: Person
) -> None:
    question = ask(out)
    kind = registry.message_kinds["quote question"]
    note = Message.objects.get(kind="quote question")
    assert kind.still_wanted(note, LATER)
    answer_question(
        quote_id=out.quote.pk,
        question_id=question.pk,
        words="Yes.",
        by=owner,
        now=LATER,
    )
    assert not kind.still_wanted(note, LATER)
    with pytest.raises(AlreadyAnswered):
        answer_question(
            quote_id=out.quote.pk,
            question_id=question.pk,
            words="No.",
            by=owner,
            now=LATER,
        )
    withdraw_link(link=link_of(out), now=LATER, by=owner)
    letter = registry.message_kinds["quote answer"].write(
        Message.objects.get(kind="quote answer")
    )
    assert "/quote/" not in letter.text


def test_nothing_is_asked_by_a_closed_link_of_a_decided_offer_or_without_end(
    out: Offered, owner: Person
) -> None:
    for number in range(10):
        ask(out, words=f"Question {number}")
    with pytest.raises(TooManyQuestions):
        ask(out)
    record_decline(quote_id=out.quote.pk, no=No(), by=owner, now=LATER)
    with pytest.raises(NotOffered):
        ask(out)
    withdraw_link(link=link_of(out), now=LATER, by=owner)
    with pytest.raises(LinkClosed):
        ask(out)
    assert QuoteQuestion.objects.count() == 10


def test_a_key_of_another_quotes_question_asks_nothing(out: Offered) -> None:
    question = ask(out)
    other = offered(ready(number="Q-2026-0002"))
    with pytest.raises(LinkClosed):
        ask_by_link(
            link_id=link_of(other).pk,
            name="Dana",
            words="When?",
            key=question.key,
            now=LATER,
        )


def test_an_offer_is_reminded_of_once_within_the_firms_days_before_its_end(
    out: Offered,
) -> None:
    """LAST is thirty days on; the firm reminds five days before."""
    day = dt.timedelta(days=1)
    assert Firm.objects.get().quote_reminder_days == 5
    assert remind_of_offers(now=NOW + 24 * day) == 0
    assert remind_of_offers(now=NOW + 25 * day) == 1
    remind_of_offers(now=NOW + 26 * day)
    message = Message.objects.get(kind="quote reminder")
    assert message.recipient == link_of(out).recipient
    kind = registry.message_kinds["quote reminder"]
    assert kind.still_wanted(message, NOW + 26 * day)
    letter = kind.write(message)
    assert letter.subject == "Our quote Q-2026-0001.1 stands until Wed 1 Apr 2026"
    assert reverse("link-quote", args=[key_of(link_of(out))]) in letter.text
    assert remind_of_offers(now=NOW + 31 * day) == 0


def test_no_reminder_goes_to_paper_to_the_decided_the_asking_or_where_none_is_wanted(
    out: Offered, owner: Person
) -> None:
    moment = NOW + dt.timedelta(days=27)
    question = ask(out)
    assert remind_of_offers(now=moment) == 0
    answer_question(
        quote_id=out.quote.pk,
        question_id=question.pk,
        words="Yes.",
        by=owner,
        now=LATER,
    )
    assert remind_of_offers(now=moment) == 1
    offered(ready(number="Q-2026-0002"), by_mail=False)
    offered(ready(number="Q-2026-0003"), last=TODAY + dt.timedelta(days=4))
    assert remind_of_offers(now=moment) == 1
    assert remind_of_offers(now=NOW + dt.timedelta(days=1)) == 0
    Firm.objects.update(quote_reminder_days=0)
    assert remind_of_offers(now=moment) == 0
    Firm.objects.update(quote_reminder_days=5)
    message = Message.objects.get(kind="quote reminder")
    record_decline(quote_id=out.quote.pk, no=No(), by=owner, now=moment)
    assert remind_of_offers(now=moment) == 0
    assert not registry.message_kinds["quote reminder"].still_wanted(message, moment)
    assert moment.date() <= LAST


def test_a_no_keeps_its_reason_and_the_quotes_page_counts_them(
    out: Offered, owner: Person, owner_client: StrictClient
) -> None:
    with time_machine.travel(LATER, tick=False):
        answer = owner_client.post(
            reverse("link-quote-decline", args=[key_of(link_of(out))]),
            {"why": "price", "reason": "Twice\nthe other one"},
        )
    assert answer.status_code == 302
    out.quote.refresh_from_db()
    assert (out.quote.declined_as, out.quote.declined_reason) == (
        "price",
        "Twice the other one",
    )
    second = offered(ready(number="Q-2026-0002"))
    record_decline(
        quote_id=second.quote.pk,
        no=No(why=DeclineReason.PRICE),
        by=owner,
        now=LATER,
    )
    third = offered(ready(number="Q-2026-0003"))
    record_decline(quote_id=third.quote.pk, no=No(), by=owner, now=LATER)
    assert why_declined(day=TODAY) == [
        ("it costs too much", 2),
        ("no reason given", 1),
    ]
    assert why_declined(day=TODAY + dt.timedelta(days=366)) == []
    with time_machine.travel(LATER, tick=False):
        page = owner_client.get(reverse("quotes")).content.decode()
    assert "It costs too much" in page
    refused = owner_client.post(
        reverse("quote-declined", args=[out.quote.pk]), {"why": "dear"}
    )
    assert "why" in refused.context["form"].errors
