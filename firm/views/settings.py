"""The firm's settings: letterhead and prices, tax, labour, mail."""

import uuid

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.setup import (
    KindOfWorkTaken,
    NoSuchRow,
    NotSetUp,
    RateTaken,
    add_tax_rate,
    change_firm,
    end_tax_rate,
    save_labour_rate,
    save_tax_region,
)
from firm.forms.settings import (
    FirmForm,
    KnownMailServerForm,
    LabourRateForm,
    RateEndForm,
    TaxRateForm,
    TaxRegionForm,
)
from firm.permissions import Permission
from firm.queries import firm_or_blank
from firm.queries.setup import (
    first_steps,
    labour_rate,
    labour_rates,
    last_numbers,
    tax_rate,
    tax_rates,
    tax_region,
    tax_regions,
)

FORM_METHODS = ["GET", "HEAD", "POST"]


@needs(Permission.RUN_FIRM)
@require_http_methods(FORM_METHODS)
def firm(request: StaffRequest) -> HttpResponse:
    """The firm's letterhead, units and prices, and the way to its other settings."""
    form = FirmForm(
        request.POST if request.method == "POST" else None, instance=firm_or_blank()
    )
    if request.method == "POST" and form.is_valid():
        try:
            change_firm(changes=form.cleaned_data, by=request.user, now=clock.now())
        except NotSetUp:
            raise Http404 from None
        messages.success(request, _("The settings were kept."))
        return redirect("firm")
    return render(
        request,
        "firm/firm.html",
        {"form": form, "numbers": last_numbers(), "first_steps": first_steps()},
    )


@needs(Permission.RUN_FIRM)
@require_http_methods(FORM_METHODS)
def tax(request: StaffRequest) -> HttpResponse:
    """The rates of the sales tax by day, and a form for the next one."""
    form = TaxRateForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            add_tax_rate(tax=form.answers(), by=request.user, now=clock.now())
        except RateTaken as taken:
            form.add_error("valid_from", str(taken))
        else:
            messages.success(request, _("The rate was kept."))
            return redirect("firm-tax")
    return render(
        request,
        "firm/tax.html",
        {"form": form, "rates": tax_rates(), "regions": tax_regions()},
    )


@needs(Permission.RUN_FIRM)
@require_http_methods(FORM_METHODS)
def tax_rate_end(request: StaffRequest, pk: int) -> HttpResponse:
    """The last day of a rate."""
    rate = tax_rate(rate_id=pk)
    if rate is None:
        raise Http404
    form = RateEndForm(
        request.POST if request.method == "POST" else None, instance=rate
    )
    if request.method == "POST" and form.is_valid():
        try:
            end_tax_rate(
                rate_id=pk,
                valid_until=form.cleaned_data["valid_until"],
                by=request.user,
                now=clock.now(),
            )
        except NoSuchRow:
            raise Http404 from None
        messages.success(request, _("The rate was kept."))
        return redirect("firm-tax")
    return render(request, "firm/tax_rate.html", {"form": form, "rate": rate})


@needs(Permission.RUN_FIRM)
@require_http_methods(FORM_METHODS)
def tax_place(request: StaffRequest, pk: int | None = None) -> HttpResponse:
    """A place with a tax of its own: what is taxed there, caps, notices."""
    region = tax_region(region_id=pk) if pk else None
    if pk and region is None:
        raise Http404
    form = TaxRegionForm(
        request.POST if request.method == "POST" else None, instance=region
    )
    if request.method == "POST" and form.is_valid():
        try:
            save_tax_region(
                region_id=pk, values=form.cleaned_data, by=request.user, now=clock.now()
            )
        except NoSuchRow:
            raise Http404 from None
        messages.success(request, _("The place was kept."))
        return redirect("firm-tax")
    return render(request, "firm/tax_region.html", {"form": form, "region": region})


@needs(Permission.RUN_FIRM)
@require_http_methods(FORM_METHODS)
def labour(request: StaffRequest, pk: int | None = None) -> HttpResponse:
    """The labour rates, and a form for a new one or for the one of PK."""
    changed = labour_rate(rate_id=pk) if pk else None
    if pk and changed is None:
        raise Http404
    form = LabourRateForm(
        request.POST if request.method == "POST" else None, instance=changed
    )
    if request.method == "POST" and form.is_valid():
        try:
            save_labour_rate(
                rate_id=pk, **form.cleaned_data, by=request.user, now=clock.now()
            )
        except KindOfWorkTaken as taken:
            form.add_error("name", str(taken))
        else:
            messages.success(request, _("The rate was kept."))
            return redirect("firm-labour")
    return render(
        request,
        "firm/labour.html",
        {"form": form, "rates": labour_rates(), "changed": pk},
    )


@needs(Permission.RUN_FIRM)
@sensitive_post_parameters("mail_password")
@require_http_methods(FORM_METHODS)
def mail(request: StaffRequest) -> HttpResponse:
    """The mail server; its password is written and never shown."""
    form = KnownMailServerForm(
        request.POST if request.method == "POST" else None, instance=firm_or_blank()
    )
    if request.method == "POST" and form.is_valid():
        try:
            change_firm(
                changes=form.cleaned_data,
                mail_password=form.new_password(),
                by=request.user,
                now=clock.now(),
            )
        except NotSetUp:
            raise Http404 from None
        messages.success(request, _("The mail server was kept."))
        return redirect("firm-mail")
    return render(request, "firm/mail.html", {"form": form, "key": uuid.uuid4()})
