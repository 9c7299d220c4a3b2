"""The labour of a quote: site, single figures, and writing it into the lines."""

from django.contrib import messages
from django.http import Http404, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.record import SomebodyElseChangedIt
from firm.permissions import Permission
from jobs.actions.labour import (
    change_figure,
    keep_site,
    take_figure_back,
    write_labour,
)
from jobs.actions.quotes import QuoteRefused
from jobs.forms.labour.quotes import LabourFigureForm, SiteForm
from jobs.queries.labour.quote import labour_page
from plants.forms.fields import version_in


def _with_version(request: StaffRequest, version: int) -> QueryDict:
    """What was sent, so that sending it again is a decision and not an accident."""
    data = request.POST.copy()
    data["version"] = str(version)
    return data


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_labour(request: StaffRequest, pk: int) -> HttpResponse:
    """The labour of a quote with its sums, and the form of the site."""
    page = labour_page(quote_id=pk)
    if page is None:
        raise Http404
    form = SiteForm(request.POST if request.method == "POST" else None, page=page)
    if request.method == "POST" and form.is_valid():
        try:
            keep_site(
                quote_id=pk,
                version=form.cleaned_data["version"],
                typed=form.typed(),
                by=request.user,
                now=clock.now(),
            )
        except SomebodyElseChangedIt as refused:
            form.add_error(None, str(refused))
            form.data = _with_version(request, page.quote.version)
        except QuoteRefused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("The labour was reckoned anew."))
            return redirect("quote-labour", pk=pk)
    return render(
        request,
        "jobs/labour.html",
        {"page": page, "quote": page.quote, "form": form},
    )


@needs(Permission.WRITE_QUOTES)
@require_POST
def quote_labour_write(request: StaffRequest, pk: int) -> HttpResponse:
    """Make or update the quote's lines of labour."""
    try:
        write_labour(
            quote_id=pk,
            version=version_in(request.POST),
            by=request.user,
            now=clock.now(),
        )
    except (SomebodyElseChangedIt, QuoteRefused) as refused:
        messages.warning(request, str(refused))
    else:
        messages.success(request, _("The labour was written into the quote."))
    return redirect("quote-labour", pk=pk)


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_labour_figure(request: StaffRequest, pk: int, figure: str) -> HttpResponse:
    """The form that reckons one line otherwise, or lets the reckoned hours hold."""
    page = labour_page(quote_id=pk)
    piece = page.piece(figure) if page else None
    if page is None or piece is None:
        raise Http404
    goes_back = "back" in request.POST
    form = LabourFigureForm(
        request.POST if request.method == "POST" and not goes_back else None,
        page=page,
        piece=piece,
    )
    refused = ""
    if request.method == "POST" and (goes_back or form.is_valid()):
        try:
            if goes_back:
                take_figure_back(
                    quote_id=pk,
                    version=version_in(request.POST),
                    figure=figure,
                    by=request.user,
                    now=clock.now(),
                )
            else:
                change_figure(
                    quote_id=pk,
                    version=form.cleaned_data["version"],
                    figure=figure,
                    details=form.details(),
                    by=request.user,
                    now=clock.now(),
                )
        except (SomebodyElseChangedIt, QuoteRefused) as why:
            refused = str(why)
            if form.is_bound:
                form.data = _with_version(request, page.quote.version)
        else:
            messages.success(request, _("The figure was kept."))
            return redirect("quote-labour", pk=pk)
    return render(
        request,
        "jobs/labour_figure.html",
        {
            "page": page,
            "quote": page.quote,
            "piece": piece,
            "form": form,
            "refused": refused,
        },
    )
