"""The page of what every price must carry."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.setup import NotSetUp, change_firm
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.forms.pricing_settings import PricingSettingsForm


@needs(Permission.RUN_FIRM)
@require_http_methods(["GET", "HEAD", "POST"])
def pricing_settings(request: StaffRequest) -> HttpResponse:
    """Overhead, reserves, least price and deposit of every new quote."""
    firm = firm_or_blank()
    form = PricingSettingsForm(
        request.POST if request.method == "POST" else None,
        firm=firm,
        initial=PricingSettingsForm.of_firm(firm),
    )
    if request.method == "POST" and form.is_valid() and "look" not in request.POST:
        try:
            change_firm(changes=form.changes(), by=request.user, now=clock.now())
        except NotSetUp:
            raise Http404 from None
        messages.success(request, _("The settings were kept."))
        return redirect("firm-pricing")
    return render(
        request,
        "jobs/pricing_settings.html",
        {"form": form, "worked": form.worked()},
    )
