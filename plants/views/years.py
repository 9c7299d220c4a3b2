"""Pages of a garden's year: what flowers, and what is done when."""

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from firm import clock
from firm.access import StaffRequest, needs
from firm.permissions import Permission
from firm.queries import firm_or_blank
from firm.units import Display
from plants.forms.years import YearForm
from plants.queries.bloom import bloom_page
from plants.queries.garden_year import garden_year as garden_year_of


@needs(Permission.SEE_GARDENS)
@require_safe
def bloom(request: StaffRequest, pk: int) -> HttpResponse:
    """What flowers in a garden by week, the gaps, and what would fill them."""
    firm = firm_or_blank()
    today = clock.today(time_zone=firm.time_zone)
    form = YearForm(request.GET)
    page = bloom_page(pk=pk, year=form.asked(), day=today, display=Display(firm.units))
    if page is None:
        raise Http404
    return render(
        request,
        "plants/bloom.html",
        {
            "page": page,
            "garden": page.garden,
            "today": today,
            "form": form.showing(page.year),
        },
    )


@needs(Permission.SEE_GARDENS)
@require_safe
def garden_year(request: StaffRequest, pk: int) -> HttpResponse:
    """A garden's year of care, by planting or by task."""
    today = clock.today(time_zone=firm_or_blank().time_zone)
    form = YearForm(request.GET)
    by_task = request.GET.get("by") == "task"
    year = garden_year_of(
        pk=pk,
        year=form.asked(),
        day=today,
        by_task=by_task,
        page=request.GET.get("page"),
    )
    if year is None:
        raise Http404
    return render(
        request,
        "plants/garden_year.html",
        {
            "year": year,
            "page": year.page,
            "garden": year.garden,
            "today": today,
            "form": form.showing(year.year),
            "by_task": by_task,
        },
    )
