"""The private page of a care contract: the client reads it, agrees or declines."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST, require_safe

from firm import clock
from firm.access import by_private_link
from jobs.actions.contracts import (
    ContractRefused,
    agree_to_contract_by_link,
    decline_contract_by_link,
)
from jobs.actions.links import LinkClosed, note_opened
from jobs.forms.contracts import AgreeToContractForm
from jobs.forms.quotes import NoThanksForm
from jobs.queries.contracts.by_link import ContractByLink, contract_by_link
from jobs.queries.links import LinkState
from jobs.views.links import private_page, sealed
from jobs.views.papers import pdf_answer


def _refused(request: HttpRequest, state: LinkState) -> HttpResponse:
    status = 404 if state == LinkState.UNKNOWN else 410
    return private_page(
        request, "jobs/contract_link_refused.html", {"state": str(state)}, status=status
    )


def _page(
    request: HttpRequest,
    found: ContractByLink,
    *,
    key: str,
    agree: AgreeToContractForm | None = None,
    decline: NoThanksForm | None = None,
    status: int = 200,
) -> HttpResponse:
    return private_page(
        request,
        "jobs/contract_link.html",
        {
            "key": key,
            "paper": found.paper,
            "agreement": found.agreement,
            "state": str(found.state),
            "decided_at": found.decided_at,
            "form": agree or AgreeToContractForm(),
            "decline": decline or NoThanksForm(),
            "is_declining": decline is not None,
        },
        status=status,
    )


@by_private_link
@require_safe
def link_contract(request: HttpRequest, key: str) -> HttpResponse:
    """The contract as it was issued; reading it never agrees."""
    found = contract_by_link(key=key, now=clock.now())
    if found.link is None or found.state not in LinkState.readable():
        return _refused(request, found.state)
    if request.method == "GET":
        note_opened(link=found.link, now=clock.now())
    return _page(request, found, key=key)


@by_private_link
@require_POST
def link_contract_agree(request: HttpRequest, key: str) -> HttpResponse:
    """The client's yes, once; a second one is told who agreed and when."""
    now = clock.now()
    found = contract_by_link(key=key, now=now)
    if found.link is None or found.state not in LinkState.readable():
        return _refused(request, found.state)
    if found.state != LinkState.OPEN:
        return _page(request, found, key=key, status=409)
    form = AgreeToContractForm(request.POST)
    if not form.is_valid():
        return _page(request, found, key=key, agree=form)
    try:
        agree_to_contract_by_link(
            link_id=found.link.pk, name=form.cleaned_data["name"], now=now
        )
    except (ContractRefused, LinkClosed):
        return _after_all(request, key)
    return sealed(redirect("link-contract", key=key))


@by_private_link
@require_POST
def link_contract_decline(request: HttpRequest, key: str) -> HttpResponse:
    """The client's no, with a reason if there is one."""
    now = clock.now()
    found = contract_by_link(key=key, now=now)
    if found.link is None or found.state not in LinkState.readable():
        return _refused(request, found.state)
    if found.state != LinkState.OPEN:
        return _page(request, found, key=key, status=409)
    form = NoThanksForm(request.POST)
    if not form.is_valid():
        return _page(request, found, key=key, decline=form)
    try:
        decline_contract_by_link(
            link_id=found.link.pk, reason=form.cleaned_data["reason"], now=now
        )
    except (ContractRefused, LinkClosed):
        return _after_all(request, key)
    return sealed(redirect("link-contract", key=key))


def _after_all(request: HttpRequest, key: str) -> HttpResponse:
    """What stands now, to somebody who came second."""
    found = contract_by_link(key=key, now=clock.now())
    if found.link is None or found.state not in LinkState.readable():
        return _refused(request, found.state)
    return _page(request, found, key=key, status=409)


@by_private_link
@require_safe
def link_contract_pdf(request: HttpRequest, key: str) -> HttpResponse:
    """The same contract as PDF."""
    found = contract_by_link(key=key, now=clock.now())
    if found.link is None or found.state not in LinkState.readable():
        return _refused(request, found.state)
    document = found.link.document
    return sealed(pdf_answer(request, document, file_name=document.number))
