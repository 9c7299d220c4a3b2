"""Pages of problems: noted at a stop, looked at and settled by the owner."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.files import UnusableFile, store_photo
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.actions.today import AlreadySettled, raise_problem, settle_problem
from jobs.forms.today import ProblemForm, SettleForm
from jobs.queries.today import problem_by_id, problems_open, visit_for
from plants.queries.care import plantings_in


@needs(Permission.WORK_ROUND)
@require_http_methods(["GET", "HEAD", "POST"])
def problem_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Note a problem at a stop, with a photo if there is one."""
    today = clock.today(time_zone=firm_or_blank().time_zone)
    visit = visit_for(visit_id=pk, person=request.user, today=today)
    if visit is None:
        raise Http404
    form = ProblemForm(
        request.POST or None,
        request.FILES or None,
        plantings=plantings_in(visit.garden),
    )
    if request.method == "POST" and form.is_valid():
        try:
            photo = form.cleaned_data["photo"]
            raise_problem(
                garden=visit.garden,
                visit=visit,
                planting=form.chosen(),
                text=form.cleaned_data["text"],
                photo=store_photo(photo) if photo else "",
                key=form.cleaned_data["key"],
                by=request.user,
                now=clock.now(),
            )
        except UnusableFile as error:
            form.add_error("photo", str(error))
        else:
            messages.success(request, _("The problem was noted; the office is told."))
            return redirect("stop", pk=pk)
    return render(request, "jobs/problem_form.html", {"form": form, "visit": visit})


@needs(Permission.EDIT_GARDENS)
@require_safe
def problems(request: StaffRequest) -> HttpResponse:
    """Problems that nobody settled."""
    return render(request, "jobs/problems.html", {"problems": problems_open()})


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def problem_settle(request: StaffRequest, pk: int) -> HttpResponse:
    """Settle a problem with a word on how."""
    problem = problem_by_id(problem_id=pk)
    if problem is None:
        raise Http404
    form = SettleForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            settle_problem(
                problem=problem,
                note=form.cleaned_data["note"],
                by=request.user,
                now=clock.now(),
            )
        except AlreadySettled as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("The problem is settled."))
            return redirect("problems")
    return render(
        request, "jobs/problem_settle.html", {"form": form, "problem": problem}
    )
