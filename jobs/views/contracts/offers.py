"""Pages on which a care contract is offered, answered, paused and ended."""

from functools import partial

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.record import SomebodyElseChangedIt
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.actions.contracts import (
    ContractOfferPast,
    ContractRefused,
    EndsBeforeItBegins,
    end_contract,
    offer_contract,
    pause_contract,
    record_contract_agreement,
    record_contract_decline,
    resume_contract,
    send_contract_again,
    withdraw_contract_link,
    withdraw_contract_offer,
)
from jobs.forms.contracts import EndForm, PauseForm
from jobs.forms.quotes import OfferForm
from jobs.queries import contracts as asked
from jobs.queries.contracts import ContractPage
from jobs.views.answers import (
    Desk,
    agreed_page,
    answer_page,
    declined_page,
    link_withdrawn,
    send_again_page,
    sent,
    withdraw_page,
)
from jobs.views.contracts.pages import contract_answer
from plants.forms.fields import version_in


def _page(pk: int) -> ContractPage:
    page = asked.contract_page(contract_id=pk)
    if page is None:
        raise Http404
    return page


def _desk(page: ContractPage) -> Desk:
    return Desk(
        template="jobs/contract_answer.html",
        context={"page": page, "contract": page.contract},
        url="contract",
        pk=page.contract.pk,
        refused=ContractRefused,
    )


@needs(Permission.RUN_CONTRACTS)
@require_http_methods(["GET", "HEAD", "POST"])
def contract_offer(request: StaffRequest, pk: int) -> HttpResponse:
    """The last look before a contract goes out, and to whom it goes."""
    page = _page(pk)
    firm = firm_or_blank()
    form = OfferForm(
        sent(request),
        quote=page.contract,
        contacts=asked.contacts_of(contract=page.contract),
        today=clock.today(time_zone=firm.time_zone),
        valid_days=firm.quote_valid_days,
    )
    if request.method == "POST" and form.is_valid():
        try:
            offered = offer_contract(
                contract_id=pk,
                version=form.cleaned_data["version"],
                contact_id=form.contact_id,
                valid_until=form.cleaned_data["valid_until"],
                by=request.user,
                now=clock.now(),
            )
        except ContractOfferPast as late:
            form.add_error("valid_until", str(late))
        except (SomebodyElseChangedIt, ContractRefused) as refused:
            form.add_error(None, str(refused))
            page = _page(pk)
        else:
            messages.success(
                request,
                _("The contract goes out by mail as soon as its PDF is drawn.")
                if offered.link
                else _("It is offered. Its PDF is being drawn for you to print."),
            )
            return redirect("contract", pk=pk)
    return _desk(page).show(request, form, title=_("Offer it"), is_offer=True)


@needs(Permission.RUN_CONTRACTS)
@require_http_methods(["GET", "HEAD", "POST"])
def contract_send(request: StaffRequest, pk: int) -> HttpResponse:
    """Another private link to the same offer, mailed to a contact."""
    page = _page(pk)
    return send_again_page(
        request,
        _desk(page),
        partial(send_contract_again, contract_id=pk),
        contacts=asked.contacts_of(contract=page.contract),
    )


@needs(Permission.RUN_CONTRACTS)
@require_POST
def contract_link_withdraw(request: StaffRequest, pk: int, link: int) -> HttpResponse:
    """Take one private link back; the offer stands."""
    act = partial(withdraw_contract_link, contract_id=pk, link_id=link)
    return link_withdrawn(request, act, refused=ContractRefused, url="contract", pk=pk)


@needs(Permission.RUN_CONTRACTS)
@require_http_methods(["GET", "HEAD", "POST"])
def contract_withdraw(request: StaffRequest, pk: int) -> HttpResponse:
    """Take the whole offer back before its last day."""
    return withdraw_page(
        request, _desk(_page(pk)), partial(withdraw_contract_offer, contract_id=pk)
    )


@needs(Permission.RUN_CONTRACTS)
@require_http_methods(["GET", "HEAD", "POST"])
def contract_declined(request: StaffRequest, pk: int) -> HttpResponse:
    """Write down that the client said no."""
    return declined_page(
        request, _desk(_page(pk)), partial(record_contract_decline, contract_id=pk)
    )


@needs(Permission.RUN_CONTRACTS)
@require_http_methods(["GET", "HEAD", "POST"])
def contract_agreed(request: StaffRequest, pk: int) -> HttpResponse:
    """Write down that the client said yes by telephone or on paper."""
    page = _page(pk)
    return agreed_page(
        request,
        _desk(page),
        partial(record_contract_agreement, contract_id=pk),
        contacts=asked.contacts_of(contract=page.contract),
        done=_("Agreed. Its visits wait on the week board for their days."),
    )


@needs(Permission.RUN_CONTRACTS)
@require_http_methods(["GET", "HEAD", "POST"])
def contract_pause(request: StaffRequest, pk: int) -> HttpResponse:
    """Pause a running contract."""
    page = _page(pk)
    form = PauseForm(sent(request), initial={"version": page.contract.version})
    return answer_page(
        request,
        _desk(page),
        form,
        lambda: pause_contract(
            contract_id=pk,
            version=form.cleaned_data["version"],
            reason=form.cleaned_data["reason"],
            by=request.user,
            now=clock.now(),
        ),
        title=_("Pause it"),
        done=_("Paused. Its visits left the board."),
    )


@needs(Permission.RUN_CONTRACTS)
@require_POST
def contract_resume(request: StaffRequest, pk: int) -> HttpResponse:
    """Let a paused contract go on."""
    try:
        resume_contract(
            contract_id=pk,
            version=version_in(request.POST),
            by=request.user,
            now=clock.now(),
        )
    except ContractRefused as refused:
        return contract_answer(request, pk, refused=str(refused), status=409)
    messages.success(request, _("It goes on. Its visits are to be placed again."))
    return redirect("contract", pk=pk)


@needs(Permission.RUN_CONTRACTS)
@require_http_methods(["GET", "HEAD", "POST"])
def contract_end(request: StaffRequest, pk: int) -> HttpResponse:
    """End a running contract before its time."""
    page = _page(pk)
    today = clock.today(time_zone=firm_or_blank().time_zone)
    form = EndForm(
        sent(request),
        initial={"version": page.contract.version, "last_on": today},
    )
    return answer_page(
        request,
        _desk(page),
        form,
        lambda: end_contract(
            contract_id=pk,
            version=form.cleaned_data["version"],
            last_on=form.cleaned_data["last_on"],
            reason=form.cleaned_data["reason"],
            by=request.user,
            now=clock.now(),
        ),
        title=_("End it"),
        done=_("Ended. Its open visits were called off."),
        beside={EndsBeforeItBegins: "last_on"},
        is_ending=True,
    )
