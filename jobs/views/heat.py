"""The page on work in heat."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from firm.access import StaffRequest, needs
from firm.permissions import Permission
from firm.queries import firm_or_blank
from firm.units import Display
from jobs.forms.heat import HeatForm


@needs(Permission.SEE_TODAY)
@require_safe
def work_in_heat(request: StaffRequest) -> HttpResponse:
    """The heat index of an hour, and the work and rest it asks for."""
    form = HeatForm(request.GET, display=Display(firm_or_blank().units))
    return render(
        request, "jobs/work_in_heat.html", {"form": form, "answer": form.answer()}
    )
