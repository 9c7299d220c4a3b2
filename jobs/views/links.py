"""Pages that a private link opens: the client reads the quote, agrees or declines."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from firm import clock
from firm.access import by_private_link
from jobs.actions.agreements import AlreadyAgreed, agree_by_link
from jobs.actions.links import LinkClosed, note_opened
from jobs.actions.quotes import NotOffered, decline_by_link
from jobs.forms.quotes import AgreeForm, NoThanksForm
from jobs.queries.links import LinkState, QuoteByLink, quote_by_link
from jobs.views.papers import pdf_answer


def private_page(
    request: HttpRequest, template: str, context: dict[str, Any], *, status: int = 200
) -> HttpResponse:
    """A page for the one who has the link: kept by no cache, found by no search."""
    return sealed(render(request, template, context, status=status))


def sealed(answer: HttpResponse) -> HttpResponse:
    """ANSWER with the headers of a private page.

    Other places never learn the address. Not no-referrer: then browsers send the
    origin of the form as "null", and the client's yes would be refused as foreign.
    """
    answer["Referrer-Policy"] = "same-origin"
    answer["Cache-Control"] = "no-store, private"
    answer["X-Robots-Tag"] = "noindex, nofollow"
    return answer


def refused_page(request: HttpRequest, state: LinkState) -> HttpResponse:
    """In plain words why the link opens nothing: 404 unknown, 410 once it did."""
    status = 404 if state == LinkState.UNKNOWN else 410
    return private_page(
        request, "jobs/link_refused.html", {"state": str(state)}, status=status
    )


def _quote_page(
    request: HttpRequest,
    found: QuoteByLink,
    *,
    key: str,
    agree: AgreeForm | None = None,
    decline: NoThanksForm | None = None,
    status: int = 200,
) -> HttpResponse:
    return private_page(
        request,
        "jobs/link_quote.html",
        {
            "key": key,
            "paper": found.paper,
            "agreement": found.agreement,
            "state": str(found.state),
            "decided_at": found.decided_at,
            "form": agree or AgreeForm(),
            "decline": decline or NoThanksForm(),
            "is_declining": decline is not None,
        },
        status=status,
    )


@by_private_link
@require_safe
def link_quote(request: HttpRequest, key: str) -> HttpResponse:
    """The quote as it was issued; reading it never agrees."""
    found = quote_by_link(key=key, now=clock.now())
    if found.link is None or found.state not in LinkState.readable():
        return refused_page(request, found.state)
    if request.method == "GET":
        note_opened(link=found.link, now=clock.now())
    return _quote_page(request, found, key=key)


@by_private_link
@require_POST
def link_quote_agree(request: HttpRequest, key: str) -> HttpResponse:
    """The client's yes, once; a second one is told who agreed and when."""
    now = clock.now()
    found = quote_by_link(key=key, now=now)
    if found.link is None or found.state not in LinkState.readable():
        return refused_page(request, found.state)
    if found.state != LinkState.OPEN:
        return _quote_page(request, found, key=key, status=409)
    form = AgreeForm(request.POST)
    if not form.is_valid():
        return _quote_page(request, found, key=key, agree=form)
    try:
        agree_by_link(link_id=found.link.pk, name=form.cleaned_data["name"], now=now)
    except (AlreadyAgreed, NotOffered, LinkClosed):
        # Decided by somebody else between the look and the yes.
        return _after_all(request, key)
    return sealed(redirect("link-quote", key=key))


@by_private_link
@require_POST
def link_quote_decline(request: HttpRequest, key: str) -> HttpResponse:
    """The client's no, with a reason if there is one."""
    now = clock.now()
    found = quote_by_link(key=key, now=now)
    if found.link is None or found.state not in LinkState.readable():
        return refused_page(request, found.state)
    if found.state != LinkState.OPEN:
        return _quote_page(request, found, key=key, status=409)
    form = NoThanksForm(request.POST)
    if not form.is_valid():
        return _quote_page(request, found, key=key, decline=form)
    try:
        decline_by_link(
            link_id=found.link.pk, reason=form.cleaned_data["reason"], now=now
        )
    except (NotOffered, LinkClosed):
        return _after_all(request, key)
    return sealed(redirect("link-quote", key=key))


def _after_all(request: HttpRequest, key: str) -> HttpResponse:
    """What stands now, to somebody who came second."""
    found = quote_by_link(key=key, now=clock.now())
    if found.link is None or found.state not in LinkState.readable():
        return refused_page(request, found.state)
    return _quote_page(request, found, key=key, status=409)


@by_private_link
@require_safe
def link_quote_pdf(request: HttpRequest, key: str) -> HttpResponse:
    """The same quote as PDF."""
    found = quote_by_link(key=key, now=clock.now())
    if found.link is None or found.state not in LinkState.readable():
        return refused_page(request, found.state)
    document = found.link.document
    return sealed(pdf_answer(request, document, file_name=document.number))
