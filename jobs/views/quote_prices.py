"""Pages on which a draft is priced: overhead, what if, options, payments."""

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
from jobs.actions.quotes import (
    DiscountTooLarge,
    QuoteRefused,
    change_prices,
    keep_milestones,
    keep_option,
    keep_tried_out,
    remove_option,
)
from jobs.forms.quote_prices import (
    MilestoneFormSet,
    OptionForm,
    PriceForm,
    TryForm,
    milestone_rows,
)
from jobs.pricing import PricingError
from jobs.queries import quote_prices as asked
from jobs.queries.what_if import Column, Tried, compared, crew_hour_costs
from plants.forms.fields import Versioned, version_in

FORM_METHODS = ["GET", "HEAD", "POST"]


def _priced(pk: int) -> asked.Priced:
    found = asked.priced_by_id(quote_id=pk)
    if found is None:
        raise Http404
    return found


def _again(form: Versioned, request: StaffRequest, version: int) -> None:
    """Sending the form again is then a decision, not an accident."""
    form.data = request.POST.copy()
    form.data["version"] = str(version)


@needs(Permission.WRITE_QUOTES)
@require_http_methods(FORM_METHODS)
def quote_prices(request: StaffRequest, pk: int) -> HttpResponse:
    """What the lines carry beside their cost, and what holds for the whole."""
    priced = _priced(pk)
    form = PriceForm(
        request.POST if request.method == "POST" else None,
        firm=firm_or_blank(),
        initial=PriceForm.values_of(priced.quote),
    )
    if request.method == "POST" and form.is_valid():
        try:
            change_prices(
                quote_id=pk,
                version=form.cleaned_data["version"],
                details=form.details(),
                by=request.user,
                now=clock.now(),
            )
        except SomebodyElseChangedIt as conflict:
            form.add_error(None, str(conflict))
            _again(form, request, _priced(pk).quote.version)
        except QuoteRefused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("The quote is priced anew."))
            return redirect("quote", pk=pk)
    return render(
        request,
        "jobs/quote_prices.html",
        {"form": form, "quote": priced.quote, "totals": priced.totals_with()},
    )


@needs(Permission.WRITE_QUOTES)
@require_http_methods(FORM_METHODS)
def quote_what_if(request: StaffRequest, pk: int) -> HttpResponse:
    """Another margin, discount, crew or choice beside the quote as it stands."""
    priced = _priced(pk)
    firm = firm_or_blank()
    day = clock.today(time_zone=firm.time_zone)
    sent = request.POST if request.method == "POST" else request.GET
    form = TryForm(
        sent if "margin_percent" in sent else None,
        firm=firm,
        crews=crew_hour_costs(day=day),
        options=priced.options,
        initial=TryForm.values_of(priced.quote),
    )
    columns: list[Column] = []
    if form.is_bound and form.is_valid():
        if request.method == "POST" and "look" not in request.POST:
            try:
                keep_tried_out(
                    quote_id=pk,
                    version=form.cleaned_data["version"],
                    tried=form.kept(),
                    by=request.user,
                    now=clock.now(),
                )
            except SomebodyElseChangedIt as conflict:
                form.add_error(None, str(conflict))
                _again(form, request, _priced(pk).quote.version)
            except DiscountTooLarge as refused:
                form.add_error("discount_amount", str(refused))
            except QuoteRefused as refused:
                form.add_error(None, str(refused))
            else:
                messages.success(request, _("Margin and discount were kept."))
                return redirect("quote", pk=pk)
        if not form.errors:
            columns = _columns(priced, form)
    return render(
        request,
        "jobs/quote_what_if.html",
        {
            "form": form,
            "quote": priced.quote,
            "columns": columns or compared(priced.quote, tried=Tried())[:1],
            "may_keep": priced.quote.state == "drafting",
        },
    )


def _columns(priced: asked.Priced, form: TryForm) -> list[Column]:
    """The comparison, or nothing with the reason beside the form."""
    try:
        return compared(priced.quote, tried=form.tried())
    except PricingError as refused:
        form.add_error(None, str(refused))
        return []


@needs(Permission.WRITE_QUOTES)
@require_http_methods(FORM_METHODS)
def quote_option(
    request: StaffRequest, pk: int, option: int | None = None
) -> HttpResponse:
    """An option of the quote: its words, its lines, what it takes the place of."""
    priced = _priced(pk)
    found = next((each for each in priced.options if each.pk == option), None)
    if option is not None and found is None:
        raise Http404
    form = OptionForm(
        request.POST if request.method == "POST" else None,
        lines=priced.rows,
        option=found,
        initial=OptionForm.values_of(priced.quote, found, priced.rows),
    )
    if request.method == "POST" and form.is_valid():
        try:
            keep_option(
                quote_id=pk,
                version=form.cleaned_data["version"],
                option_id=option,
                details=form.details(),
                by=request.user,
                now=clock.now(),
            )
        except SomebodyElseChangedIt as conflict:
            form.add_error(None, str(conflict))
            _again(form, request, _priced(pk).quote.version)
        except QuoteRefused as refused:
            form.add_error("instead_of", str(refused))
        else:
            messages.success(request, _("The option was kept."))
            return redirect("quote", pk=pk)
    return render(
        request,
        "jobs/quote_option.html",
        {"form": form, "quote": priced.quote, "option": found},
    )


@needs(Permission.WRITE_QUOTES)
@require_POST
def quote_option_remove(request: StaffRequest, pk: int, option: int) -> HttpResponse:
    """Take an option off; its lines are in the quote again."""
    try:
        remove_option(
            quote_id=pk,
            version=version_in(request.POST),
            option_id=option,
            by=request.user,
            now=clock.now(),
        )
    except (SomebodyElseChangedIt, QuoteRefused) as refused:
        messages.warning(request, str(refused))
    else:
        messages.success(request, _("The option was taken off."))
    return redirect("quote", pk=pk)


@needs(Permission.WRITE_QUOTES)
@require_http_methods(FORM_METHODS)
def quote_payments(request: StaffRequest, pk: int) -> HttpResponse:
    """When the price is paid, in parts that are 100 per cent together."""
    priced = _priced(pk)
    parts = MilestoneFormSet(
        request.POST if request.method == "POST" else None,
        initial=milestone_rows(priced.quote),
        prefix="parts",
    )
    context: dict[str, Any] = {"version": priced.quote.version}
    if request.method == "POST" and parts.is_valid():
        try:
            keep_milestones(
                quote_id=pk,
                version=version_in(request.POST),
                milestones=parts.details(),  # type: ignore[attr-defined]
                by=request.user,
                now=clock.now(),
            )
        except (SomebodyElseChangedIt, QuoteRefused) as refused:
            context["refused"] = str(refused)
        else:
            messages.success(request, _("The payments were kept."))
            return redirect("quote", pk=pk)
    groups = priced.totals_with().groups
    context["plan"], context["no_plan"] = asked.plan_or_why(
        quote=priced.quote, groups=groups
    )
    return render(
        request,
        "jobs/quote_payments.html",
        {"parts": parts, "quote": priced.quote, **context},
    )
