"""Pages of the books: job totals of a period, their exports, receipts."""

import datetime as dt

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
from firm.actions.files import UnusableFile, store_scan
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.actions.receipts import (
    AlreadyStruckOut,
    NoSuchJob,
    ReceiptDoesNotAdd,
    ReceiptIsThere,
    enter_receipt,
    strike_out_receipt,
)
from jobs.exports import totals_csv, totals_xlsx
from jobs.forms.books import PeriodForm, ReceiptForm, ShareFormSet
from jobs.queries.books import (
    Totals,
    job_totals,
    open_bills,
    owners_of_costs,
    receipt_by_id,
    receipts_in,
    sums_of_bills,
    sums_of_receipts,
)
from jobs.queries.to_bill import deposits_to_bill, to_bill


def local_day() -> dt.date:
    """The day it is at the firm."""
    return clock.today(time_zone=firm_or_blank().time_zone)


def asked_period(request: StaffRequest) -> tuple[PeriodForm, dt.date, dt.date]:
    """The period form and its days: this month's when none or wrong ones are asked."""
    month = PeriodForm.for_month_of(local_day())
    if "first" in request.GET or "last" in request.GET:
        form = PeriodForm(request.GET)
        if form.is_valid():
            return form, form.cleaned_data["first"], form.cleaned_data["last"]
        return form, month["first"], month["last"]
    return PeriodForm(initial=month), month["first"], month["last"]


@needs(Permission.SEE_BOOKS)
@require_safe
def books(request: StaffRequest) -> HttpResponse:
    """The job totals of a period, what waits for money and what waits for a bill."""
    form, first, last = asked_period(request)
    today = local_day()
    waiting = list(open_bills())
    return render(
        request,
        "jobs/books.html",
        {
            "form": form,
            "totals": job_totals(first=first, last=last),
            "open_bills": waiting,
            "sums": sums_of_bills(waiting),
            "to_bill": to_bill(day=today),
            "deposits": deposits_to_bill(),
            "today": today,
        },
    )


def _export_period(request: StaffRequest) -> Totals:
    form = PeriodForm(request.GET)
    if not form.is_valid():
        raise Http404
    return job_totals(first=form.cleaned_data["first"], last=form.cleaned_data["last"])


def download(body: bytes, *, media_type: str, file_name: str) -> HttpResponse:
    """The bytes as a file to keep."""
    return HttpResponse(
        body,
        headers={
            "Content-Type": media_type,
            "Content-Disposition": f'attachment; filename="{file_name}"',
            "Cache-Control": "no-store",
        },
    )


@needs(Permission.KEEP_BOOKS)
@require_safe
def totals_as_csv(request: StaffRequest) -> HttpResponse:
    """The job totals of a period as CSV."""
    totals = _export_period(request)
    return download(
        totals_csv(totals, currency=firm_or_blank().currency),
        media_type="text/csv; charset=utf-8",
        file_name=f"job-totals-{totals.first}-{totals.last}.csv",
    )


@needs(Permission.KEEP_BOOKS)
@require_safe
def totals_as_xlsx(request: StaffRequest) -> HttpResponse:
    """The job totals of a period as a workbook."""
    totals = _export_period(request)
    return download(
        totals_xlsx(totals, currency=firm_or_blank().currency),
        media_type=(
            "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
        ),
        file_name=f"job-totals-{totals.first}-{totals.last}.xlsx",
    )


@needs(Permission.SEE_BOOKS)
@require_safe
def receipts(request: StaffRequest) -> HttpResponse:
    """The receipts of a period."""
    form, first, last = asked_period(request)
    found = list(receipts_in(first=first, last=last))
    return render(
        request,
        "jobs/receipts.html",
        {"form": form, "receipts": found, "sums": sums_of_receipts(found)},
    )


@needs(Permission.SEE_BOOKS)
@require_safe
def receipt(request: StaffRequest, pk: int) -> HttpResponse:
    """One receipt and the jobs it was for."""
    found = receipt_by_id(receipt_id=pk)
    if found is None:
        raise Http404
    return render(request, "jobs/receipt.html", {"receipt": found})


@needs(Permission.KEEP_BOOKS)
@require_http_methods(["GET", "HEAD", "POST"])
def receipt_new(request: StaffRequest) -> HttpResponse:
    """The form for a receipt; posted well, it is entered."""
    currency = firm_or_blank().currency
    today = local_day()
    form = ReceiptForm(
        request.POST or None,
        request.FILES or None,
        today=today,
        currency=currency,
        initial={"day": today},
    )
    shares = ShareFormSet(
        request.POST or None,
        prefix="shares",
        form_kwargs={"owners": owners_of_costs(), "currency": currency},
    )
    if request.method == "POST" and form.is_valid() & shares.is_valid():
        found = form.cleaned_data
        try:
            scan = store_scan(found["scan"]) if found["scan"] else ""
            entered = enter_receipt(
                supplier=found["supplier"],
                number=found["number"],
                day=found["day"],
                net=found["net"],
                tax=found["tax"],
                gross=found["gross"],
                note=found["note"],
                scan=scan,
                shares=[part for row in shares if (part := row.share())],
                key=found["key"],
                by=request.user,
                now=clock.now(),
            )
        except UnusableFile as error:
            form.add_error("scan", str(error))
        except ReceiptIsThere as error:
            form.add_error("number", str(error))
        except (ReceiptDoesNotAdd, NoSuchJob) as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("The receipt was entered."))
            return redirect("receipt", pk=entered.pk)
    return render(
        request,
        "jobs/receipt_form.html",
        {"form": form, "shares": shares},
        status=200,
    )


@needs(Permission.KEEP_BOOKS)
@require_POST
def receipt_strike_out(request: StaffRequest, pk: int) -> HttpResponse:
    """Strike a receipt out: it counts no longer but stays readable."""
    found = receipt_by_id(receipt_id=pk)
    if found is None:
        raise Http404
    try:
        strike_out_receipt(receipt=found, by=request.user, now=clock.now())
    except AlreadyStruckOut as error:
        messages.error(request, str(error))
    else:
        messages.success(request, _("The receipt was struck out."))
    return redirect("receipt", pk=pk)
