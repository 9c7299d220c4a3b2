"""The private page of a quote: the client reads it, asks, agrees or declines."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_POST, require_safe

from firm.access import by_private_link
from jobs.actions.agreements import agree_by_link
from jobs.actions.quotes import QuoteRefused, ask_by_link, decline_by_link
from jobs.forms.quotes import AgreeForm
from jobs.queries.links import questions_by_link, quote_by_link, whole_by_link
from jobs.views.private_pages import PrivateOffer

QUOTE = PrivateOffer(
    find=quote_by_link,
    url="link-quote",
    template="jobs/link_quote.html",
    refused_template="jobs/link_refused.html",
    form=AgreeForm,
    agree=agree_by_link,
    decline=decline_by_link,
    refused=QuoteRefused,
    whole_of=whole_by_link,
    ask=ask_by_link,
    asked=questions_by_link,
)


@by_private_link
@require_safe
def link_quote(request: HttpRequest, key: str) -> HttpResponse:
    """The quote as it was issued; reading it never agrees."""
    return QUOTE.read(request, key)


@by_private_link
@require_POST
def link_quote_agree(request: HttpRequest, key: str) -> HttpResponse:
    """The client's yes, once; a second one is told who agreed and when."""
    return QUOTE.take_yes(request, key)


@by_private_link
@require_POST
def link_quote_decline(request: HttpRequest, key: str) -> HttpResponse:
    """The client's no, with a reason if there is one."""
    return QUOTE.take_no(request, key)


@by_private_link
@require_safe
def link_quote_pdf(request: HttpRequest, key: str) -> HttpResponse:
    """The same quote as PDF."""
    return QUOTE.pdf(request, key)


@by_private_link
@require_POST
def link_quote_ask(request: HttpRequest, key: str) -> HttpResponse:
    """The client's question before a yes or a no."""
    return QUOTE.take_question(request, key)
