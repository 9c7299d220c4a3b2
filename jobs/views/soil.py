"""The page on which a bed's soil is made right."""

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from firm.access import StaffRequest, needs
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.forms.soil import SoilPageForm
from jobs.queries.quotes import plant_labels
from jobs.queries.soil import soil_bed
from plants.queries.gardens import bed as find_bed
from plants.soil import LOCAL_LAW, SOURCES


@needs(Permission.SEE_GARDENS)
@require_safe
def bed_soil(request: StaffRequest, pk: int) -> HttpResponse:
    """A bed's soil worked out: pH, mix, mulch, fertiliser; nothing is stored."""
    bed = find_bed(pk=pk)
    if bed is None:
        raise Http404
    form = SoilPageForm(request.GET, known=soil_bed(bed), firm=firm_or_blank())
    form.is_valid()
    return render(
        request,
        "jobs/bed_soil.html",
        {
            "bed": bed,
            "form": form,
            "plants": plant_labels(),
            "sources": SOURCES,
            "local_law": LOCAL_LAW,
        },
    )
