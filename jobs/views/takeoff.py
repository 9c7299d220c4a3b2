"""Pages of a quote's take-off: the planting plan of a bed."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.record import SomebodyElseChangedIt
from firm.permissions import Permission
from jobs.actions.quotes import QuoteRefused
from jobs.actions.takeoff import lay_out_bed, remove_plan
from jobs.forms.takeoff import PlanForm
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
            # Sending it again is then a decision, not an accident.
            form.data = request.POST.copy()
            form.data["version"] = str(page.quote.version)
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
