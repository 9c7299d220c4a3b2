"""Pages of bills: list, one bill, new ones, payments, credits."""

from decimal import Decimal

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
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.actions.bills import (
    BillIsClosed,
    DepositTooLarge,
    NobodyToSendTo,
    NothingToBill,
    PaymentTooLarge,
    bill_instalment,
    bill_job,
    credit_bill,
    send_bill,
    take_payment,
)
from jobs.documents import pdf_of
from jobs.forms.books import BillForm, CreditForm, PaymentForm
from jobs.queries.books import bill_by_id, bills_in, sums_of_bills
from jobs.queries.to_bill import instalment_to_bill, job_to_bill
from jobs.views.books import asked_period, local_day


@needs(Permission.SEE_BOOKS)
@require_safe
def bills(request: StaffRequest) -> HttpResponse:
    """The bills of a period."""
    form, first, last = asked_period(request)
    found = list(bills_in(first=first, last=last))
    return render(
        request,
        "jobs/bills.html",
        {
            "form": form,
            "bills": found,
            "sums": sums_of_bills(found),
            "today": local_day(),
        },
    )


@needs(Permission.SEE_BOOKS)
@require_safe
def bill(request: StaffRequest, pk: int) -> HttpResponse:
    """One bill, what was paid for it and what is open."""
    found = bill_by_id(bill_id=pk)
    if found is None:
        raise Http404
    return render(request, "jobs/bill.html", {"bill": found, "today": local_day()})


@needs(Permission.SEE_BOOKS)
@require_safe
def bill_pdf(request: StaffRequest, pk: int) -> HttpResponse:
    """The bill as PDF."""
    found = bill_by_id(bill_id=pk)
    if found is None:
        raise Http404
    return HttpResponse(
        pdf_of(document=found.document, now=clock.now()),
        headers={
            "Content-Type": "application/pdf",
            "Content-Disposition": f'inline; filename="{found.number}.pdf"',
            "Cache-Control": "no-store",
        },
    )


def _job_bill(request: StaffRequest, pk: int, *, deposit: bool) -> HttpResponse:
    job = job_to_bill(job_id=pk)
    if job is None:
        raise Http404
    form = BillForm(request.POST or None, today=local_day(), deposit=deposit)
    if request.method == "POST" and form.is_valid():
        share: Decimal | None = form.cleaned_data.get("deposit_percent")
        try:
            made = bill_job(
                job=job,
                deposit_percent=share,
                day=form.cleaned_data["day"],
                by=request.user,
                now=clock.now(),
            )
        except DepositTooLarge as error:
            form.add_error("deposit_percent", str(error))
        except NothingToBill as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request, _("Bill %(number)s was written.") % {"number": made.number}
            )
            return redirect("bill", pk=made.pk)
    return render(
        request,
        "jobs/bill_form.html",
        {"form": form, "job": job, "deposit": deposit},
    )


@needs(Permission.KEEP_BOOKS)
@require_http_methods(["GET", "HEAD", "POST"])
def job_bill_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Bill what is left of a finished job."""
    return _job_bill(request, pk, deposit=False)


@needs(Permission.KEEP_BOOKS)
@require_http_methods(["GET", "HEAD", "POST"])
def deposit_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Bill a deposit before a job."""
    return _job_bill(request, pk, deposit=True)


@needs(Permission.KEEP_BOOKS)
@require_http_methods(["GET", "HEAD", "POST"])
def instalment_bill_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Bill one instalment of a care contract."""
    part = instalment_to_bill(instalment_id=pk)
    if part is None:
        raise Http404
    form = BillForm(request.POST or None, today=local_day(), deposit=False)
    if request.method == "POST" and form.is_valid():
        try:
            made = bill_instalment(
                instalment=part,
                day=form.cleaned_data["day"],
                by=request.user,
                now=clock.now(),
            )
        except NothingToBill as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request, _("Bill %(number)s was written.") % {"number": made.number}
            )
            return redirect("bill", pk=made.pk)
    return render(request, "jobs/bill_form.html", {"form": form, "instalment": part})


@needs(Permission.KEEP_BOOKS)
@require_http_methods(["GET", "HEAD", "POST"])
def payment_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Enter money received for a bill."""
    found = bill_by_id(bill_id=pk)
    if found is None:
        raise Http404
    today = local_day()
    form = PaymentForm(
        request.POST or None,
        today=today,
        currency=firm_or_blank().currency,
        initial={"day": today, "amount": found.open_amount},  # type: ignore[attr-defined]
    )
    if request.method == "POST" and form.is_valid():
        try:
            take_payment(
                bill=found,
                amount=form.cleaned_data["amount"],
                day=form.cleaned_data["day"],
                how=form.cleaned_data["how"],
                key=form.cleaned_data["key"],
                by=request.user,
                now=clock.now(),
            )
        except PaymentTooLarge as error:
            form.add_error("amount", str(error))
        except BillIsClosed as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("The payment was entered."))
            return redirect("bill", pk=pk)
    return render(request, "jobs/payment_form.html", {"form": form, "bill": found})


@needs(Permission.KEEP_BOOKS)
@require_http_methods(["GET", "HEAD", "POST"])
def credit_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Take a bill back by a credit."""
    found = bill_by_id(bill_id=pk)
    if found is None:
        raise Http404
    form = CreditForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            made = credit_bill(
                bill=found,
                reason=form.cleaned_data["reason"],
                day=local_day(),
                by=request.user,
                now=clock.now(),
            )
        except BillIsClosed as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request, _("Credit %(number)s was written.") % {"number": made.number}
            )
            return redirect("bill", pk=made.pk)
    return render(request, "jobs/credit_form.html", {"form": form, "bill": found})


@needs(Permission.KEEP_BOOKS)
@require_POST
def bill_send(request: StaffRequest, pk: int) -> HttpResponse:
    """Send a bill to the client by mail."""
    found = bill_by_id(bill_id=pk)
    if found is None:
        raise Http404
    try:
        message = send_bill(bill=found, by=request.user, now=clock.now())
    except NobodyToSendTo as error:
        messages.error(request, str(error))
    else:
        messages.success(
            request,
            _("The bill goes to %(address)s.") % {"address": message.recipient},
        )
    return redirect("bill", pk=pk)
