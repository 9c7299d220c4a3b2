"""The private page of a care contract: the client reads it, agrees or declines."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_POST, require_safe

from firm.access import by_private_link
from jobs.actions.contracts import (
    ContractRefused,
    agree_to_contract_by_link,
    decline_contract_by_link,
)
from jobs.forms.contracts import AgreeToContractForm
from jobs.queries.links import contract_by_link
from jobs.views.private_pages import PrivateOffer

CONTRACT = PrivateOffer(
    find=contract_by_link,
    url="link-contract",
    template="jobs/contract_link.html",
    refused_template="jobs/contract_link_refused.html",
    form=AgreeToContractForm,
    agree=agree_to_contract_by_link,
    decline=decline_contract_by_link,
    refused=ContractRefused,
)


@by_private_link
@require_safe
def link_contract(request: HttpRequest, key: str) -> HttpResponse:
    """The contract as it was issued; reading it never agrees."""
    return CONTRACT.read(request, key)


@by_private_link
@require_POST
def link_contract_agree(request: HttpRequest, key: str) -> HttpResponse:
    """The client's yes, once; a second one is told who agreed and when."""
    return CONTRACT.take_yes(request, key)


@by_private_link
@require_POST
def link_contract_decline(request: HttpRequest, key: str) -> HttpResponse:
    """The client's no, with a reason if there is one."""
    return CONTRACT.take_no(request, key)


@by_private_link
@require_safe
def link_contract_pdf(request: HttpRequest, key: str) -> HttpResponse:
    """The same contract as PDF."""
    return CONTRACT.pdf(request, key)
