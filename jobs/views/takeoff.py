"""Pages of a quote's take-off: its quantities, and the planting plan of a bed."""

from django.contrib import messages
from django.http import Http404, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.record import SomebodyElseChangedIt
from firm.permissions import Permission
from jobs.actions.quotes import QuoteRefused
from jobs.actions.takeoff import (
    keep_settings,
    lay_out_bed,
    overrule,
    remove_plan,
    take_back,
    take_into_quote,
)
from jobs.forms.takeoff import OverruleForm, PlanForm, SettingsForm
from jobs.queries import takeoff as asked
from jobs.queries.quotes import display
from jobs.takeoff import TakeoffError
from plants.forms.fields import version_in


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_plan(request: StaffRequest, pk: int, bed: int) -> HttpResponse:
    """The plan of a bed, and the form that lays it out anew."""
    page = asked.plan_page(quote_id=pk, bed_id=bed)
    if page is None:
        raise Http404
    form = PlanForm(
        request.POST if request.method == "POST" else None,
        quote=page.quote,
        plan=page.shown.plan if page.shown else None,
        display=display(),
    )
    if request.method == "POST" and form.is_valid():
        try:
            lay_out_bed(
                quote_id=pk,
                version=form.cleaned_data["version"],
                bed_id=bed,
                details=form.details(),
                by=request.user,
                now=clock.now(),
            )
        except TakeoffError as refused:
            form.add_error("pattern", str(refused))
        except SomebodyElseChangedIt as refused:
            form.add_error(None, str(refused))
            form.data = _with_version(request, page.quote.version)
        except QuoteRefused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("The bed was laid out."))
            return redirect("quote-plan", pk=pk, bed=bed)
    return render(
        request,
        "jobs/takeoff_plan.html",
        {"page": page, "quote": page.quote, "form": form},
    )


@needs(Permission.WRITE_QUOTES)
@require_POST
def quote_plan_remove(request: StaffRequest, pk: int, bed: int) -> HttpResponse:
    """Take the plan of a bed out of the quote."""
    try:
        remove_plan(
            quote_id=pk,
            version=version_in(request.POST),
            bed_id=bed,
            by=request.user,
            now=clock.now(),
        )
    except (SomebodyElseChangedIt, QuoteRefused) as refused:
        messages.warning(request, str(refused))
    else:
        messages.success(request, _("The plan was taken out."))
    return redirect("quote", pk=pk)


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_takeoff(request: StaffRequest, pk: int) -> HttpResponse:
    """Every quantity of a quote, and the form for what it is reckoned with."""
    page = asked.takeoff_page(quote_id=pk)
    if page is None:
        raise Http404
    form = SettingsForm(
        request.POST if request.method == "POST" else None,
        quote=page.quote,
        display=display(),
        typed=page.typed,
    )
    if request.method == "POST" and form.is_valid():
        try:
            keep_settings(
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
            messages.success(request, _("The quantities were reckoned anew."))
            return redirect("quote-takeoff", pk=pk)
    return render(
        request,
        "jobs/takeoff.html",
        {"page": page, "quote": page.quote, "form": form},
    )


@needs(Permission.WRITE_QUOTES)
@require_POST
def quote_takeoff_take(request: StaffRequest, pk: int) -> HttpResponse:
    """Make or update the quote's lines from its quantities."""
    try:
        take_into_quote(
            quote_id=pk,
            version=version_in(request.POST),
            by=request.user,
            now=clock.now(),
        )
    except (SomebodyElseChangedIt, QuoteRefused) as refused:
        messages.warning(request, str(refused))
    else:
        messages.success(request, _("The quantities were taken into the quote."))
    return redirect("quote-takeoff", pk=pk)


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_takeoff_figure(request: StaffRequest, pk: int, figure: str) -> HttpResponse:
    """The form that types a quantity over a computed one, or lets that hold again."""
    page = asked.takeoff_page(quote_id=pk)
    amount = page.amount(figure) if page else None
    if page is None or amount is None or amount.figure is None:
        raise Http404
    over = amount.overruled
    goes_back = "back" in request.POST
    form = OverruleForm(
        request.POST if request.method == "POST" and not goes_back else None,
        unit=amount.unit,
        initial={
            "version": page.quote.version,
            "quantity": amount.quantity.normalize() if amount.quantity else 0,
            "note": over.note if over else "",
        },
    )
    refused = ""
    if request.method == "POST" and (goes_back or form.is_valid()):
        try:
            if goes_back:
                take_back(
                    quote_id=pk,
                    version=version_in(request.POST),
                    figure=figure,
                    by=request.user,
                    now=clock.now(),
                )
            else:
                overrule(
                    quote_id=pk,
                    version=form.cleaned_data["version"],
                    figure=figure,
                    quantity=form.cleaned_data["quantity"],
                    note=form.cleaned_data["note"],
                    by=request.user,
                    now=clock.now(),
                )
        except (SomebodyElseChangedIt, QuoteRefused) as why:
            refused = str(why)
            if form.is_bound:
                form.data = _with_version(request, page.quote.version)
        else:
            messages.success(request, _("The figure was kept."))
            return redirect("quote-takeoff", pk=pk)
    return render(
        request,
        "jobs/takeoff_figure.html",
        {
            "page": page,
            "quote": page.quote,
            "amount": amount,
            "form": form,
            "refused": refused,
        },
    )


def _with_version(request: StaffRequest, version: int) -> QueryDict:
    """What was sent, so that sending it again is a decision and not an accident."""
    data = request.POST.copy()
    data["version"] = str(version)
    return data
