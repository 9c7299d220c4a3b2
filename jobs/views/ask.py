"""The page that says what may be done to a plant on a day."""

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from firm.access import StaffRequest, needs
from firm.enums import Role
from firm.permissions import Permission
from jobs.forms.ask import AskForm
from jobs.queries.ask import (
    NoSuchNumber,
    ask_page,
    gardens_to_ask_about,
    plant_to_ask_about,
)
from jobs.views.today import local_day


@needs(Permission.SEE_TODAY)
@require_safe
def ask(request: StaffRequest) -> HttpResponse:
    """Best now, allowed or closed: for the owner anywhere, for a crew on its round."""
    today = local_day()
    asked = any(request.GET.get(name) for name in ("garden", "number", "day"))
    key = request.GET.get("plant", "")
    plant = None
    if key and request.user.may(Permission.SEE_PLANTS):
        plant = plant_to_ask_about(key=key)
        if plant is None:
            raise Http404
    form = AskForm(
        request.GET if asked else None,
        gardens_on=lambda day: gardens_to_ask_about(
            person=request.user, day=day, today=today
        ),
        today=today,
        is_round=request.user.role != Role.OWNER,
    )
    if plant is not None:
        form.fields["plant"].initial = plant.key
    page = None
    if asked and form.is_valid():
        try:
            page = ask_page(
                garden=form.chosen(),
                number=form.cleaned_data["number"],
                plant=plant,
                day=form.cleaned_data["day"],
            )
        except NoSuchNumber:
            form.add_error("number", _("No planting of this number grows there."))
    return render(
        request,
        "jobs/ask.html",
        {"form": form, "page": page, "plant": plant, "today": today},
    )
