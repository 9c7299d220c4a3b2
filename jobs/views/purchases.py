"""What a week needs, to be ordered."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from firm import clock
from firm.access import StaffRequest, needs
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.forms.purchases import WeekForm
from jobs.queries.purchases import purchases


@needs(Permission.WRITE_QUOTES)
@require_safe
def to_buy(request: StaffRequest) -> HttpResponse:
    """The week's plants and materials by supplier, all its jobs together."""
    today = clock.today(time_zone=firm_or_blank().time_zone)
    day = WeekForm(request.GET).asked(today=today)
    return render(
        request,
        "jobs/to_buy.html",
        {"page": purchases(day=day, today=today), "today": today},
    )
