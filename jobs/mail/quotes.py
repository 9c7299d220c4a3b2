"""Letters about quotes: the offer, the confirmation, the notes to the owner."""

import datetime as dt

from django.conf import settings
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from firm.mail import always_wanted, compose
from firm.models import Message
from firm.registry import Letter, MessageKind, registry
from firm.templatetags.notebook import day_words
from jobs.actions.links import key_of
from jobs.mail.offers import (
    agreed_note,
    attached,
    confirmation,
    declined_note,
    still_opens,
)
from jobs.models import PrivateLink, Quote, QuoteQuestion
from jobs.queries.quotes import question_by_id, quote_link, quote_with_agreement


class QuoteGone(LookupError):
    """The quote or link that a letter is about is not there any more."""


def private_address(link: PrivateLink) -> str:
    """Where the client reads, asks and answers."""
    return f"{settings.SITE_URL}{reverse('link-quote', args=[key_of(link)])}"


def write_quote_offered(message: Message) -> Letter:
    """The letter with the private link at which the client agrees, and the PDF."""
    link = quote_link(link_id=message.payload["link"])
    quote = link.document.quote if link else None
    if link is None or quote is None:
        raise QuoteGone(_("The offer is gone."))
    return compose(
        subject=_("Our quote %(number)s: %(title)s")
        % {"number": quote, "title": quote.title},
        template="quote_offered",
        context={
            "name": message.payload["name"],
            "quote": quote,
            "link": private_address(link),
        },
        files=(attached(link.document),),
    )


def quote_offered_wanted(message: Message, now: dt.datetime) -> bool:
    """True while the offer stands and its link opens it."""
    link = quote_link(link_id=message.payload["link"])
    return still_opens(link, link.document.quote if link else None)


def _quote(message: Message) -> Quote:
    quote = quote_with_agreement(quote_id=message.payload["quote"])
    if quote is None:
        raise QuoteGone(_("The quote is gone."))
    return quote


def write_quote_reminder(message: Message) -> Letter:
    """The reminder of an offer that soon runs out, with the private link again."""
    link = quote_link(link_id=message.payload["link"])
    quote = link.document.quote if link else None
    if link is None or quote is None:
        raise QuoteGone(_("The offer is gone."))
    return compose(
        subject=_("Our quote %(number)s stands until %(day)s")
        % {"number": quote, "day": day_words(quote.valid_until)},
        template="quote_reminder",
        context={"quote": quote, "link": private_address(link)},
    )


def _question(message: Message) -> QuoteQuestion:
    question = question_by_id(question_id=message.payload["question"])
    if question is None:
        raise QuoteGone(_("The question is gone."))
    return question


def write_quote_question(message: Message) -> Letter:
    """The owner's note that a client asks something before deciding."""
    question = _question(message)
    path = reverse("quote-question", args=[question.quote_id, question.pk])
    return compose(
        subject=_("%(name)s asks about %(number)s")
        % {"name": question.name, "number": question.quote},
        template="quote_question",
        context={"question": question, "link": f"{settings.SITE_URL}{path}"},
    )


def write_quote_answer(message: Message) -> Letter:
    """The answer to whom the link went that the question came by."""
    question = _question(message)
    return compose(
        subject=_("Your question about our quote %(number)s")
        % {"number": question.quote},
        template="quote_answer",
        context={
            "question": question,
            "link": private_address(question.link)
            if still_opens(question.link, question.quote)
            else "",
        },
    )


def question_waits(message: Message, _now: dt.datetime) -> bool:
    """True until somebody has answered."""
    question = question_by_id(question_id=message.payload["question"])
    return question is not None and question.answered_at is None


def write_quote_agreed(message: Message) -> Letter:
    """The confirmation to the client, with the paper that was agreed to."""
    return confirmation(_quote(message), word="quote")


def write_quote_agreed_note(message: Message) -> Letter:
    """The owner's note that a client said yes on the private page."""
    return agreed_note(_quote(message), word="quote")


def write_quote_declined_note(message: Message) -> Letter:
    """The owner's note that a client said no on the private page."""
    return declined_note(_quote(message), word="quote")


def register() -> None:
    """Make the letters about quotes and the words of the record known."""
    registry.add_message_kind(
        MessageKind(
            name="quote offered",
            words=gettext_lazy("quote offered"),
            write=write_quote_offered,
            still_wanted=quote_offered_wanted,
            # The same offer twice does no harm; an offer that never came does.
            after_crash="send again",
        )
    )
    registry.add_message_kind(
        MessageKind(
            name="quote reminder",
            words=gettext_lazy("reminder of a quote"),
            write=write_quote_reminder,
            still_wanted=quote_offered_wanted,
        )
    )
    registry.add_message_kind(
        MessageKind(
            name="quote question",
            words=gettext_lazy("question about a quote"),
            write=write_quote_question,
            still_wanted=question_waits,
            after_crash="send again",
        )
    )
    registry.add_message_kind(
        MessageKind(
            name="quote answer",
            words=gettext_lazy("answer about a quote"),
            write=write_quote_answer,
            still_wanted=always_wanted,
            after_crash="send again",
        )
    )
    for name, named, write in (
        ("quote agreed", gettext_lazy("quote agreed"), write_quote_agreed),
        (
            "quote agreed note",
            gettext_lazy("note of a quote agreed"),
            write_quote_agreed_note,
        ),
        (
            "quote declined note",
            gettext_lazy("note of a quote declined"),
            write_quote_declined_note,
        ),
    ):
        registry.add_message_kind(
            MessageKind(name=name, words=named, write=write, still_wanted=always_wanted)
        )
    for action, words in {
        "quote begun": "began a quote",
        "quote changed": "changed a quote",
        "quote priced": "priced a quote anew",
        "quote option kept": "wrote an option of a quote",
        "quote option removed": "took an option off a quote",
        "quote payments kept": "said when a quote is paid",
        "quote line kept": "wrote a line of a quote",
        "quote line removed": "took a line off a quote",
        "bed laid out": "laid out a bed of a quote",
        "take-off changed": "changed what a take-off is reckoned with",
        "figure overruled": "typed a quantity over the computed one",
        "figure computed again": "let the computed quantity hold again",
        "take-off taken": "took quantities into a quote",
        "plan of a bed removed": "took the plan of a bed out of a quote",
        "quote offered": "offered a quote",
        "quote sent again": "sent a quote again",
        "quote question asked": "asked about a quote",
        "quote question answered": "answered a question about a quote",
        "quote revised": "revised a quote",
        "quote withdrawn": "took an offer back",
        "quote declined": "wrote down that a quote was declined",
        "quote lapsed": "an offer ran out",
        "quote agreed": "agreed to a quote",
    }.items():
        registry.add_audit_label(action, words)
