"""Questions that a client asks about an offer, and the firm's answers."""

import datetime as dt
import uuid

from django.db import transaction
from django.utils.translation import gettext as _

from firm.actions.messages import queue
from firm.actions.record import record
from firm.models import Person
from firm.queries import firm_or_blank
from jobs.actions.links import LinkClosed, take_link
from jobs.actions.quotes.refusals import NoSuchQuote, NotOffered, QuoteRefused
from jobs.enums import LinkPurpose, OfferState
from jobs.models import QuoteQuestion
from jobs.queries.quotes import owner_address

# Unanswered ones of a quote; more is no conversation.
MOST_OPEN = 10


class TooManyQuestions(QuoteRefused):
    """So many questions of a quote wait for an answer that no other is taken."""

    def __init__(self) -> None:
        super().__init__(
            _("Your earlier questions are still being answered. Please ring us.")
        )


class AlreadyAnswered(QuoteRefused):
    """Somebody else has answered the question."""

    def __init__(self) -> None:
        super().__init__(_("Somebody has answered this question meanwhile."))


@transaction.atomic
def ask_by_link(
    *, link_id: int, name: str, words: str, key: uuid.UUID, now: dt.datetime
) -> QuoteQuestion:
    """The question of an open offer, and the owner's note of it; asked twice, one.

    LinkClosed where the link opens nothing; NotOffered once the offer is decided.
    """
    link = take_link(link_id=link_id, purpose=LinkPurpose.QUOTE, now=now)
    asked = QuoteQuestion.objects.filter(key=key).first()
    quote = link.document.quote
    if quote is None or (asked is not None and asked.quote_id != quote.pk):
        raise LinkClosed
    if asked is not None:
        return asked
    if quote.state != OfferState.OFFERED:
        raise NotOffered(quote.get_state_display())
    if quote.questions.filter(answered_at__isnull=True).count() >= MOST_OPEN:
        raise TooManyQuestions
    question = QuoteQuestion.objects.create(
        quote=quote, link=link, name=name, words=words, asked_at=now, key=key
    )
    record(
        action="quote question asked",
        subject=quote,
        summary=f"{name} asked about {quote}",
        now=now,
        by=None,
        by_words=link.recipient,
    )
    address = owner_address()
    if address:
        queue(
            key=f"quote question:{question.pk}",
            kind="quote question",
            recipient=address,
            payload={"question": question.pk},
            due_at=now,
            language=firm_or_blank().language,
            now=now,
        )
    return question


@transaction.atomic
def answer_question(
    *, quote_id: int, question_id: int, words: str, by: Person, now: dt.datetime
) -> QuoteQuestion:
    """The question with its one answer, which goes by mail to whom the link went."""
    answered = QuoteQuestion.objects.filter(
        pk=question_id, quote=quote_id, answered_at__isnull=True
    ).update(answer=words, answered_at=now, answered_by=by)
    question = (
        QuoteQuestion.objects.select_related("quote", "link__document")
        .filter(pk=question_id, quote=quote_id)
        .first()
    )
    if question is None:
        raise NoSuchQuote
    if answered != 1:
        raise AlreadyAnswered
    record(
        action="quote question answered",
        subject=question.quote,
        summary=f"answered {question.name} about {question.quote}",
        now=now,
        by=by,
    )
    if question.link.recipient:
        queue(
            key=f"quote answer:{question.pk}",
            kind="quote answer",
            recipient=question.link.recipient,
            payload={"question": question.pk},
            due_at=now,
            language=question.link.document.language,
            now=now,
        )
    return question
