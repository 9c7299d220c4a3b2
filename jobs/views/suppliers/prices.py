"""Pages of a quote's bought lines: whose price each has, and which want a look."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.record import SomebodyElseChangedIt
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.actions.quotes import QuoteRefused
from jobs.actions.suppliers import look_at_prices, take_price
from jobs.enums import OfferState
from jobs.forms.suppliers import ChoiceForm, LookForm
from jobs.queries import quotes as quotes_asked
from jobs.queries import suppliers as asked


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_bought(request: StaffRequest, pk: int) -> HttpResponse:
    """The bought lines of a quote; posted, one or all were looked at."""
    quote = quotes_asked.quote_by_id(quote_id=pk)
    if quote is None:
        raise Http404
    today = clock.today(time_zone=firm_or_blank().time_zone)
    seen = asked.prices_seen(quote_id=pk, day=today)
    form = LookForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        waiting = [row.line.pk for row in seen if row.is_open]
        only = form.cleaned_data["line"]
        try:
            look_at_prices(
                quote_id=pk,
                lines=waiting if only is None else [n for n in waiting if n == only],
                note=form.cleaned_data["note"],
                by=request.user,
                now=clock.now(),
            )
        except QuoteRefused as refused:
            messages.warning(request, str(refused))
        else:
            messages.success(request, _("The prices were looked at."))
        return redirect("quote-bought", pk=pk)
    return render(
        request,
        "jobs/supplier_quote_prices.html",
        {
            "quote": quote,
            "seen": seen,
            "waiting": sum(row.is_open for row in seen),
            "form": form,
            "is_draft": quote.state == OfferState.DRAFTING,
        },
    )


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def line_price(request: StaffRequest, pk: int, line: int) -> HttpResponse:
    """What the suppliers ask for a line, by size; posted, one of them is taken."""
    found = quotes_asked.line_of(quote_id=pk, line_id=line)
    quote = quotes_asked.quote_by_id(quote_id=pk)
    if found is None or quote is None:
        raise Http404
    today = clock.today(time_zone=firm_or_blank().time_zone)
    choices = asked.choices_for(line=found, day=today)
    form = ChoiceForm(
        request.POST if request.method == "POST" else None,
        items=[choice.item for choice in choices],
        initial={"version": quote.version, "item": found.supplier_item_id},
    )
    refused = ""
    if request.method == "POST" and form.is_valid():
        try:
            take_price(
                quote_id=pk,
                version=form.cleaned_data["version"],
                line_id=line,
                item_id=int(form.cleaned_data["item"]),
                by=request.user,
                now=clock.now(),
            )
        except (QuoteRefused, SomebodyElseChangedIt) as refusal:
            refused = str(refusal)
        else:
            messages.success(request, _("The line has the supplier's price now."))
            return redirect("quote-bought", pk=pk)
    return render(
        request,
        "jobs/supplier_line_price.html",
        {
            "quote": quote,
            "line": found,
            "choices": choices,
            "form": form,
            "refused": refused,
            "is_draft": quote.state == OfferState.DRAFTING,
        },
    )
