"""Another plant than was agreed, put into a job."""

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
from jobs.actions.work import WorkRefused, reprice, substitute
from jobs.forms.substitutions import SubstituteForm
from jobs.queries.quotes import plant_labels
from jobs.queries.work import job_plant
from jobs.views.work import local_day, refuse


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def job_substitute(request: StaffRequest, pk: int, row: int) -> HttpResponse:
    """Another plant, size or number in a job, once the client has said yes."""
    found = job_plant(job_id=pk, row_id=row)
    if found is None:
        raise Http404
    form = SubstituteForm(
        request.POST if request.method == "POST" else None,
        row=found,
        today=local_day(),
        currency=firm_or_blank().currency,
    )
    looked = None
    if request.method == "POST" and form.is_valid():
        try:
            looked = reprice(row=found, instead=form.instead())
            if "look" not in request.POST:
                kept = substitute(
                    job_plant_id=row,
                    version=form.cleaned_data["version"],
                    instead=form.instead(),
                    consent=form.consent(),
                    key=form.cleaned_data["key"],
                    by=request.user,
                    now=clock.now(),
                )
                messages.success(
                    request,
                    _("%(count)s × %(plant)s will be planted instead.")
                    % {"count": kept.count, "plant": kept.plant.common},
                )
                return redirect("job", pk=pk)
        except (WorkRefused, SomebodyElseChangedIt) as refused:
            refuse(form, refused)
            looked = None
    return render(
        request,
        "jobs/substitute.html",
        {
            "form": form,
            "row": found,
            "job": found.job,
            "looked": looked,
            "plants": plant_labels(),
        },
    )
