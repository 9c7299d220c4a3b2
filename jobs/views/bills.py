"""Pages of bills: list, one bill, new ones, sending one."""

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
from jobs.actions.bills import (
    DepositTooLarge,
    NobodyToSendTo,
    NothingToBill,
    bill_addition,
    bill_instalment,
    bill_job,
    bill_part,
    send_bill,
)
from jobs.documents import pdf_of
from jobs.forms.books import BillForm
from jobs.queries.bill_pages import bill_page
from jobs.queries.books import bill_by_id, bills_in, sums_of_bills
from jobs.queries.parts import addition_to_bill, job_bills, job_parts
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
    page = bill_page(bill_id=pk)
    if page is None:
        raise Http404
    return render(
        request,
        "jobs/bill.html",
        {"page": page, "bill": page.bill, "today": local_day()},
    )


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


@needs(Permission.SEE_BOOKS)
@require_safe
def of_job(request: StaffRequest, pk: int) -> HttpResponse:
    """What of a job's price is billed: its parts, additions, bills and credits."""
    page = job_bills(job_id=pk, day=local_day())
    if page is None:
        raise Http404
    return render(
        request,
        "jobs/job_bills.html",
        {"page": page, "job": page.parts.job, "today": local_day()},
    )


@needs(Permission.KEEP_BOOKS)
@require_http_methods(["GET", "HEAD", "POST"])
def part_bill_new(request: StaffRequest, pk: int, place: int) -> HttpResponse:
    """Bill one part of a job's agreed price, due or not."""
    job = job_to_bill(job_id=pk)
    if job is None:
        raise Http404
    plan = job_parts(job=job, day=local_day())
    if not 1 <= place <= len(plan.parts):
        raise Http404
    form = BillForm(request.POST or None, today=local_day(), deposit=False)
    if request.method == "POST" and form.is_valid():
        try:
            made = bill_part(
                job=job,
                place=place,
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
    return render(
        request,
        "jobs/bill_form.html",
        {"form": form, "job": job, "part": plan.parts[place - 1]},
    )


@needs(Permission.KEEP_BOOKS)
@require_http_methods(["GET", "HEAD", "POST"])
def addition_bill_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Bill by itself what was agreed on top of a job."""
    quote = addition_to_bill(quote_id=pk)
    if quote is None:
        raise Http404
    form = BillForm(request.POST or None, today=local_day(), deposit=False)
    if request.method == "POST" and form.is_valid():
        try:
            made = bill_addition(
                quote=quote,
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
    return render(
        request,
        "jobs/bill_form.html",
        {"form": form, "job": quote.addition_to, "addition": quote},
    )


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
