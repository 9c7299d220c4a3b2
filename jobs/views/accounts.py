"""Pages of what is open: by age, one client's statement, letters, tax totals."""

import datetime as dt

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.record import SomebodyElseChangedIt
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.actions.bills import (
    LetterWasSent,
    NobodyToSendTo,
    NotOverdue,
    ask_for_overdue,
)
from jobs.documents import draw_pdf
from jobs.exports import tax_csv
from jobs.forms.bills import AsOfForm, LetterForm
from jobs.forms.books import PeriodForm
from jobs.queries.ageing import ageing
from jobs.queries.books import bill_by_id
from jobs.queries.overdue import reminder
from jobs.queries.statement import Statement, statement, statement_paper
from jobs.queries.tax_totals import tax_totals
from jobs.views.books import asked_period, download, local_day


@needs(Permission.SEE_BOOKS)
@require_safe
def open_bills(request: StaffRequest) -> HttpResponse:
    """What is open as of a day, by client and age."""
    today = local_day()
    form = AsOfForm(
        request.GET if "day" in request.GET else None, initial={"day": today}
    )
    day = form.cleaned_data["day"] if form.is_bound and form.is_valid() else today
    return render(
        request,
        "jobs/open_bills.html",
        {"form": form, "page": ageing(day=day), "today": today},
    )


def _year_to(day: dt.date) -> dict[str, dt.date]:
    """From the first of the month a year ago to DAY."""
    return {"first": day.replace(year=day.year - 1, day=1), "last": day}


@needs(Permission.SEE_BOOKS)
@require_safe
def client_statement(request: StaffRequest, pk: int) -> HttpResponse:
    """One client's account over a period."""
    days = _year_to(local_day())
    form = PeriodForm(initial=days)
    if "first" in request.GET or "last" in request.GET:
        form = PeriodForm(request.GET)
        if form.is_valid():
            days = {name: form.cleaned_data[name] for name in ("first", "last")}
    found = statement(client_id=pk, **days)
    if found is None:
        raise Http404
    return render(request, "jobs/statement.html", {"form": form, "page": found})


def _asked_statement(request: StaffRequest, pk: int) -> Statement:
    form = PeriodForm(request.GET)
    if not form.is_valid():
        raise Http404
    found = statement(
        client_id=pk,
        first=form.cleaned_data["first"],
        last=form.cleaned_data["last"],
    )
    if found is None:
        raise Http404
    return found


@needs(Permission.SEE_BOOKS)
@require_safe
def statement_pdf(request: StaffRequest, pk: int) -> HttpResponse:
    """One client's account over a period as PDF, drawn anew."""
    found = _asked_statement(request, pk)
    pdf = draw_pdf(
        template="documents/statement.html",
        context={"paper": statement_paper(found)},
        language=found.client.language,
    )
    return HttpResponse(
        pdf,
        headers={
            "Content-Type": "application/pdf",
            "Content-Disposition": (
                f'inline; filename="statement-{found.client.pk}-{found.last}.pdf"'
            ),
            "Cache-Control": "no-store",
        },
    )


@needs(Permission.KEEP_BOOKS)
@require_http_methods(["GET", "HEAD", "POST"])
def overdue_letter(request: StaffRequest, pk: int) -> HttpResponse:
    """Read the next letter about an overdue bill and send it."""
    bill = bill_by_id(bill_id=pk)
    if bill is None or bill.credits_id is not None:
        raise Http404
    today = local_day()
    found = reminder(bill=bill, day=today)
    form = LetterForm(request.POST or None, initial={"step": found.step})
    if request.method == "POST" and form.is_valid():
        try:
            message = ask_for_overdue(
                bill=bill,
                step=form.cleaned_data["step"],
                day=today,
                by=request.user,
                now=clock.now(),
            )
        except (
            NotOverdue,
            LetterWasSent,
            NobodyToSendTo,
            SomebodyElseChangedIt,
        ) as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request,
                _("The letter goes to %(address)s.") % {"address": message.recipient},
            )
            return redirect("bill", pk=pk)
    return render(
        request,
        "jobs/overdue_letter.html",
        {
            "form": form,
            "bill": bill,
            "reminder": found,
            "step": found.step,
            "today": today,
        },
    )


@needs(Permission.SEE_BOOKS)
@require_safe
def taxes(request: StaffRequest) -> HttpResponse:
    """The tax of the bills and credits of a period."""
    form, first, last = asked_period(request)
    return render(
        request,
        "jobs/tax_totals.html",
        {"form": form, "totals": tax_totals(first=first, last=last)},
    )


@needs(Permission.KEEP_BOOKS)
@require_safe
def taxes_as_csv(request: StaffRequest) -> HttpResponse:
    """The tax of the bills and credits of a period as CSV."""
    form = PeriodForm(request.GET)
    if not form.is_valid():
        raise Http404
    totals = tax_totals(
        first=form.cleaned_data["first"], last=form.cleaned_data["last"]
    )
    return download(
        tax_csv(totals, currency=firm_or_blank().currency),
        media_type="text/csv; charset=utf-8",
        file_name=f"tax-{totals.first}-{totals.last}.csv",
    )
