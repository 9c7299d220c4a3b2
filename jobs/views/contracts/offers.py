"""Pages on which a care contract is offered, answered, paused and ended."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.record import SomebodyElseChangedIt
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.actions.agreements import AgreedBeforeOffered, AgreedTooLate
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
from jobs.enums import AgreedHow
from jobs.forms.contracts import EndForm, PauseForm
from jobs.forms.quotes import (
    OfferForm,
    ReasonForm,
    RecordAgreementForm,
    SendAgainForm,
)
from jobs.queries import contracts as asked
from jobs.queries.contracts import ContractPage
from jobs.views.contracts.pages import contract_answer


def _page(pk: int) -> ContractPage:
    page = asked.contract_page(contract_id=pk)
    if page is None:
        raise Http404
    return page


def _answer_page(
    request: StaffRequest, page: ContractPage, form: object, *, title: str, **more: Any
) -> HttpResponse:
    return render(
        request,
        "jobs/contract_answer.html",
        {
            "form": form,
            "page": page,
            "contract": page.contract,
            "title": title,
            **more,
        },
    )


@needs(Permission.RUN_CONTRACTS)
@require_http_methods(["GET", "HEAD", "POST"])
def contract_offer(request: StaffRequest, pk: int) -> HttpResponse:
    """The last look before a contract goes out, and to whom it goes."""
    page = _page(pk)
    firm = firm_or_blank()
    form = OfferForm(
        request.POST or None,
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
    return _answer_page(request, page, form, title=_("Offer it"), is_offer=True)


@needs(Permission.RUN_CONTRACTS)
@require_http_methods(["GET", "HEAD", "POST"])
def contract_send(request: StaffRequest, pk: int) -> HttpResponse:
    """Another private link to the same offer, mailed to a contact."""
    page = _page(pk)
    form = SendAgainForm(
        request.POST or None, contacts=asked.contacts_of(contract=page.contract)
    )
    if request.method == "POST" and form.is_valid():
        try:
            send_contract_again(
                contract_id=pk,
                contact_id=form.contact_id,
                by=request.user,
                now=clock.now(),
            )
        except ContractRefused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("Another letter with a link goes out."))
            return redirect("contract", pk=pk)
    return _answer_page(request, page, form, title=_("Send it again"))


@needs(Permission.RUN_CONTRACTS)
@require_POST
def contract_link_withdraw(request: StaffRequest, pk: int, link: int) -> HttpResponse:
    """Take one private link back; the offer stands."""
    try:
        withdraw_contract_link(
            contract_id=pk, link_id=link, by=request.user, now=clock.now()
        )
    except ContractRefused:
        raise Http404 from None
    messages.success(request, _("The private link opens nothing any more."))
    return redirect("contract", pk=pk)


@needs(Permission.RUN_CONTRACTS)
@require_http_methods(["GET", "HEAD", "POST"])
def contract_withdraw(request: StaffRequest, pk: int) -> HttpResponse:
    """Take the whole offer back before its last day."""
    page = _page(pk)
    form = ReasonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            withdraw_contract_offer(
                contract_id=pk,
                reason=form.cleaned_data["reason"],
                by=request.user,
                now=clock.now(),
            )
        except ContractRefused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("The offer was taken back."))
            return redirect("contract", pk=pk)
    return _answer_page(request, page, form, title=_("Take the offer back"))


@needs(Permission.RUN_CONTRACTS)
@require_http_methods(["GET", "HEAD", "POST"])
def contract_declined(request: StaffRequest, pk: int) -> HttpResponse:
    """Write down that the client said no."""
    page = _page(pk)
    form = ReasonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            record_contract_decline(
                contract_id=pk,
                reason=form.cleaned_data["reason"],
                by=request.user,
                now=clock.now(),
            )
        except ContractRefused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("Written down as declined."))
            return redirect("contract", pk=pk)
    return _answer_page(request, page, form, title=_("The client said no"))


@needs(Permission.RUN_CONTRACTS)
@require_http_methods(["GET", "HEAD", "POST"])
def contract_agreed(request: StaffRequest, pk: int) -> HttpResponse:
    """Write down that the client said yes by telephone or on paper."""
    page = _page(pk)
    now = clock.now()
    form = RecordAgreementForm(
        request.POST or None,
        request.FILES or None,
        contacts=asked.contacts_of(contract=page.contract),
        now=now,
        time_zone=firm_or_blank().time_zone,
    )
    if request.method == "POST" and form.is_valid():
        found = form.cleaned_data
        try:
            record_contract_agreement(
                contract_id=pk,
                how=AgreedHow(found["how"]),
                name=found["name"],
                agreed_at=form.moment,
                agreed_on=found["agreed_on"],
                note=found["note"],
                scan=found["scan"],
                confirm_to=found["confirm_to"],
                by=request.user,
                now=now,
            )
        except (AgreedBeforeOffered, AgreedTooLate) as refused:
            form.add_error("agreed_on", str(refused))
        except ContractRefused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(
                request, _("Agreed. Its visits wait on the week board for their days.")
            )
            return redirect("contract", pk=pk)
    return _answer_page(
        request, page, form, title=_("The client said yes"), is_agreeing=True
    )


@needs(Permission.RUN_CONTRACTS)
@require_http_methods(["GET", "HEAD", "POST"])
def contract_pause(request: StaffRequest, pk: int) -> HttpResponse:
    """Pause a running contract."""
    page = _page(pk)
    form = PauseForm(request.POST or None, initial={"version": page.contract.version})
    if request.method == "POST" and form.is_valid():
        try:
            pause_contract(
                contract_id=pk,
                version=form.cleaned_data["version"],
                reason=form.cleaned_data["reason"],
                by=request.user,
                now=clock.now(),
            )
        except ContractRefused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("Paused. Its visits left the board."))
            return redirect("contract", pk=pk)
    return _answer_page(request, page, form, title=_("Pause it"))


@needs(Permission.RUN_CONTRACTS)
@require_POST
def contract_resume(request: StaffRequest, pk: int) -> HttpResponse:
    """Let a paused contract go on."""
    version = request.POST.get("version", "")
    try:
        resume_contract(
            contract_id=pk,
            version=int(version) if version.isdecimal() else 0,
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
        request.POST or None,
        initial={"version": page.contract.version, "last_on": today},
    )
    if request.method == "POST" and form.is_valid():
        try:
            end_contract(
                contract_id=pk,
                version=form.cleaned_data["version"],
                last_on=form.cleaned_data["last_on"],
                reason=form.cleaned_data["reason"],
                by=request.user,
                now=clock.now(),
            )
        except EndsBeforeItBegins as refused:
            form.add_error("last_on", str(refused))
        except ContractRefused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("Ended. Its open visits were called off."))
            return redirect("contract", pk=pk)
    return _answer_page(request, page, form, title=_("End it"), is_ending=True)
