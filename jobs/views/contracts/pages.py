"""Pages on which a care contract is drawn, looked at and changed."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.record import SomebodyElseChangedIt
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.actions.contracts import (
    ContractRefused,
    add_free_visit,
    change_contract,
    choose_work,
    draw_anew,
    draw_contract,
    renew,
    revise_contract,
)
from jobs.forms.contracts import (
    ChangeContractForm,
    FreeVisitForm,
    NewContractForm,
    WorkForm,
)
from jobs.queries import contracts as asked
from jobs.views.papers import pdf_answer
from plants.forms.conflicts import differences
from plants.forms.fields import version_in


@needs(Permission.RUN_CONTRACTS)
@require_http_methods(["GET", "HEAD", "POST"])
def contract_new(request: StaffRequest, pk: int) -> HttpResponse:
    """The form that draws a care contract for a garden."""
    garden = asked.garden_to_care_for(garden_id=pk)
    if garden is None:
        raise Http404
    firm = firm_or_blank()
    today = clock.today(time_zone=firm.time_zone)
    form = NewContractForm(
        request.POST or None,
        today=today,
        currency=firm.currency,
        initial={
            "title": _("Care of %(garden)s") % {"garden": garden.name},
            "starts_on": today,
            "visit_minutes": asked.usual_visit_minutes(),
            "is_taxed": firm.tax_on_labour,
            "instalment_count": 12,
            "instalment_months": 1,
            "terms": _(
                "Materials such as mulch, compost and fertiliser are billed as used."
            ),
        },
    )
    if request.method == "POST" and form.is_valid():
        try:
            made = draw_contract(
                garden_id=pk,
                key=form.cleaned_data["key"],
                details=form.details(),
                by=request.user,
                now=clock.now(),
            )
        except ContractRefused as refused:
            form.add_error(None, str(refused))
        else:
            return redirect("contract", pk=made.pk)
    return render(
        request,
        "jobs/contract_form.html",
        {"form": form, "garden": garden, "firm": firm},
    )


def contract_answer(
    request: StaffRequest,
    pk: int,
    *,
    free: FreeVisitForm | None = None,
    refused: str = "",
    status: int = 200,
) -> HttpResponse:
    """The page of one contract, with a form that was not taken if there is one."""
    page = asked.contract_page(contract_id=pk)
    if page is None:
        raise Http404
    if free is None and page.is_draft:
        free = FreeVisitForm(contract=page.contract, auto_id="free_%s")
    return render(
        request,
        "jobs/contract.html",
        {
            "page": page,
            "contract": page.contract,
            "today": clock.today(time_zone=firm_or_blank().time_zone),
            "free": free,
            "refused": refused,
            "may_run": request.user.may(Permission.RUN_CONTRACTS),
        },
        status=status,
    )


@needs(Permission.SEE_MONEY)
@require_safe
def contract(request: StaffRequest, pk: int) -> HttpResponse:
    """One care contract: visits, hours, price, instalments, what became of it."""
    return contract_answer(request, pk)


@needs(Permission.RUN_CONTRACTS)
@require_http_methods(["GET", "HEAD", "POST"])
def contract_change(request: StaffRequest, pk: int) -> HttpResponse:
    """The form for words, days and price; of two people the second is told."""
    found = asked.contract_by_id(contract_id=pk)
    if found is None:
        raise Http404
    firm = firm_or_blank()
    form = ChangeContractForm(
        request.POST or None,
        today=clock.today(time_zone=firm.time_zone),
        currency=firm.currency,
        initial=ChangeContractForm.values_of(found),
    )
    conflict: dict[str, Any] = {}
    if request.method == "POST" and form.is_valid():
        try:
            change_contract(
                contract_id=pk,
                version=form.cleaned_data["version"],
                details=form.details(),
                by=request.user,
                now=clock.now(),
            )
        except SomebodyElseChangedIt as refused:
            stands = asked.contract_by_id(contract_id=pk)
            if stands is None:
                raise Http404 from None
            conflict = {
                "refused": str(refused),
                "differences": differences(form, ChangeContractForm.values_of(stands)),
            }
        except ContractRefused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("The changes were kept."))
            return redirect("contract", pk=pk)
    return render(
        request,
        "jobs/contract_form.html",
        {
            "form": form,
            "contract": found,
            "garden": found.garden,
            "firm": firm,
            **conflict,
        },
    )


@needs(Permission.RUN_CONTRACTS)
@require_POST
def contract_work(request: StaffRequest, pk: int) -> HttpResponse:
    """Tick visits and tasks in and out."""
    found = asked.contract_by_id(contract_id=pk)
    if found is None:
        raise Http404
    form = WorkForm(request.POST, contract=found)
    if not form.is_valid():
        return contract_answer(
            request, pk, refused=str(SomebodyElseChangedIt()), status=409
        )
    try:
        choose_work(
            contract_id=pk,
            version=form.cleaned_data["version"],
            tasks=form.cleaned_data["task"],
            visits=form.cleaned_data["visit"],
            by=request.user,
            now=clock.now(),
        )
    except (SomebodyElseChangedIt, ContractRefused) as refused:
        return contract_answer(request, pk, refused=str(refused), status=409)
    messages.success(request, _("The visits were gathered anew from what is ticked."))
    return redirect("contract", pk=pk)


@needs(Permission.RUN_CONTRACTS)
@require_POST
def contract_draw(request: StaffRequest, pk: int) -> HttpResponse:
    """Draw the plan anew from what grows in the garden now."""
    try:
        draw_anew(
            contract_id=pk,
            version=version_in(request.POST),
            by=request.user,
            now=clock.now(),
        )
    except (SomebodyElseChangedIt, ContractRefused) as refused:
        return contract_answer(request, pk, refused=str(refused), status=409)
    messages.success(request, _("Planned anew from what grows there now."))
    return redirect("contract", pk=pk)


@needs(Permission.RUN_CONTRACTS)
@require_POST
def contract_visit_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Add a visit of one's own to the draft."""
    found = asked.contract_by_id(contract_id=pk)
    if found is None:
        raise Http404
    form = FreeVisitForm(request.POST, contract=found, auto_id="free_%s")
    if form.is_valid():
        try:
            add_free_visit(
                contract_id=pk,
                version=form.cleaned_data["version"],
                visit=form.visit(),
                by=request.user,
                now=clock.now(),
            )
        except (SomebodyElseChangedIt, ContractRefused) as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("The visit was added."))
            return redirect("contract", pk=pk)
    return contract_answer(request, pk, free=form)


@needs(Permission.RUN_CONTRACTS)
@require_POST
def contract_revise(request: StaffRequest, pk: int) -> HttpResponse:
    """Begin the next revision."""
    return _drawn_from(request, pk, revise_contract)


@needs(Permission.RUN_CONTRACTS)
@require_POST
def contract_renew(request: StaffRequest, pk: int) -> HttpResponse:
    """Draw the year after this one."""
    return _drawn_from(request, pk, renew)


def _drawn_from(request: StaffRequest, pk: int, action: Any) -> HttpResponse:
    try:
        made = action(contract_id=pk, by=request.user, now=clock.now())
    except ContractRefused as refused:
        return contract_answer(request, pk, refused=str(refused), status=409)
    messages.success(
        request, _("%(number)s is a draft. Look it through.") % {"number": made}
    )
    return redirect("contract", pk=made.pk)


@needs(Permission.SEE_MONEY)
@require_safe
def contract_pdf(request: StaffRequest, pk: int) -> HttpResponse:
    """The contract as PDF."""
    found = asked.contract_by_id(contract_id=pk)
    document = asked.paper_of(found) if found else None
    if document is None:
        raise Http404
    return pdf_answer(request, document, file_name=document.number)
