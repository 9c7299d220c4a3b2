"""What logged hours say of the rates, taken or left with one click."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.record import SomebodyElseChangedIt
from firm.permissions import Permission
from jobs.actions.labour import RateRefused, leave_learned, take_learned
from jobs.forms.labour.rates import LearnedForm
from jobs.queries.labour.learned import is_known, learned_page


@needs(Permission.RUN_FIRM)
@require_safe
def labour_learned(request: StaffRequest) -> HttpResponse:
    """Quoted hours against logged ones, and what that suggests."""
    return render(request, "jobs/labour_learned.html", {"page": learned_page()})


@needs(Permission.RUN_FIRM)
@require_POST
def labour_learned_answer(request: StaffRequest, key: str) -> HttpResponse:
    """Take what the hours suggest for one rate, or leave it."""
    if not is_known(key=key):
        raise Http404
    form = LearnedForm(request.POST)
    if not form.is_valid():
        messages.warning(request, _("Nothing was changed: press one of the buttons."))
        return redirect("work-learned")
    takes = form.cleaned_data["answer"] == "take"
    try:
        (take_learned if takes else leave_learned)(
            key=key,
            version=form.cleaned_data["version"],
            becomes=form.cleaned_data["becomes"],
            by=request.user,
            now=clock.now(),
        )
    except (SomebodyElseChangedIt, RateRefused) as refused:
        messages.warning(request, str(refused))
    else:
        messages.success(
            request, _("The rate was changed.") if takes else _("The rate stays.")
        )
    return redirect("work-learned")
