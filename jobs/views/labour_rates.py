"""Pages of the firm's rates of labour and of what makes work slower."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.record import SomebodyElseChangedIt
from firm.permissions import Permission
from jobs.actions.labour import (
    RateRefused,
    add_rate,
    change_factor,
    change_rate,
    take_shipped_factor,
    take_shipped_rate,
)
from jobs.forms.labour.rates import FactorForm, OwnTaskForm, RateForm
from jobs.queries.labour import rates as asked
from plants.forms.fields import version_in


@needs(Permission.RUN_FIRM)
@require_safe
def labour_rates(request: StaffRequest) -> HttpResponse:
    """Every rate and factor with its source."""
    return render(request, "jobs/labour_rates.html", {"page": asked.rates_page()})


@needs(Permission.RUN_FIRM)
@require_http_methods(["GET", "HEAD", "POST"])
def labour_rate(request: StaffRequest, rate: str) -> HttpResponse:
    """One rate, and the form that changes it or takes the shipped one back."""
    row = asked.rate_by_key(key=rate)
    if row is None:
        raise Http404
    goes_back = "back" in request.POST
    form = RateForm(
        request.POST if request.method == "POST" and not goes_back else None, row=row
    )
    refused = ""
    if request.method == "POST" and (goes_back or form.is_valid()):
        try:
            if goes_back:
                take_shipped_rate(
                    key=rate,
                    version=version_in(request.POST),
                    by=request.user,
                    now=clock.now(),
                )
            else:
                change_rate(
                    key=rate,
                    version=form.cleaned_data["version"],
                    details=form.details(),
                    note=form.cleaned_data["note"],
                    by=request.user,
                    now=clock.now(),
                )
        except (SomebodyElseChangedIt, RateRefused) as why:
            refused = str(why)
        else:
            messages.success(request, _("The rate was kept."))
            return redirect("work-rates")
    return render(
        request,
        "jobs/labour_rate.html",
        {
            "row": row,
            "form": form,
            "refused": refused,
            "shipped": asked.shipped_otherwise(row),
        },
    )


@needs(Permission.RUN_FIRM)
@require_http_methods(["GET", "HEAD", "POST"])
def labour_task_new(request: StaffRequest) -> HttpResponse:
    """A task of the firm's own."""
    form = OwnTaskForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            add_rate(
                form_key=form.cleaned_data["key"],
                name=form.cleaned_data["name"],
                details=form.details(),
                touched_by=form.touches(),
                note=form.cleaned_data["note"],
                by=request.user,
                now=clock.now(),
            )
        except RateRefused as why:
            form.add_error(getattr(why, "field", None), str(why))
        else:
            messages.success(request, _("The task is in the table."))
            return redirect("work-rates")
    return render(request, "jobs/labour_task_new.html", {"form": form})


@needs(Permission.RUN_FIRM)
@require_http_methods(["GET", "HEAD", "POST"])
def labour_factor(request: StaffRequest, factor: str) -> HttpResponse:
    """One factor, and the form that changes it or takes the shipped one back."""
    row = asked.factor_by_key(key=factor)
    if row is None:
        raise Http404
    goes_back = "back" in request.POST
    form = FactorForm(
        request.POST if request.method == "POST" and not goes_back else None, row=row
    )
    refused = ""
    if request.method == "POST" and (goes_back or form.is_valid()):
        try:
            if goes_back:
                take_shipped_factor(
                    key=factor,
                    version=version_in(request.POST),
                    by=request.user,
                    now=clock.now(),
                )
            else:
                change_factor(
                    key=factor,
                    version=form.cleaned_data["version"],
                    factor=form.cleaned_data["factor"],
                    note=form.cleaned_data["note"],
                    by=request.user,
                    now=clock.now(),
                )
        except (SomebodyElseChangedIt, RateRefused) as why:
            refused = str(why)
        else:
            messages.success(request, _("The factor was kept."))
            return redirect("work-rates")
    return render(
        request,
        "jobs/labour_factor.html",
        {
            "row": row,
            "form": form,
            "refused": refused,
            "shipped": asked.shipped_otherwise(row),
        },
    )
