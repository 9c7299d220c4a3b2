"""Pages for people, crews and free days."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.accounts import (
    AddressTaken,
    InvitationOver,
    invite,
    withdraw_invitation,
)
from firm.actions.people import (
    AlreadyInCrew,
    DayAlreadyOff,
    EndsBeforeStart,
    LastOwner,
    NameTaken,
    add_day_off,
    add_person,
    change_person,
    end_stay_in_crew,
    put_in_crew,
    remove_day_off,
    save_crew,
)
from firm.forms.people import (
    CrewForm,
    DayOffForm,
    EndStayForm,
    HandForm,
    InviteForm,
    PersonForm,
    StayForm,
)
from firm.permissions import Permission
from firm.queries import firm_or_blank
from firm.queries import people as ask

FORM_METHODS = ["GET", "HEAD", "POST"]


def _or_404(row: Any) -> Any:
    if row is None:
        raise Http404
    return row


def _today() -> Any:
    return clock.today(time_zone=firm_or_blank().time_zone)


@needs(Permission.RUN_FIRM)
@require_http_methods(FORM_METHODS)
def people(request: StaffRequest) -> HttpResponse:
    """Everybody of the firm, open invitations, and the form for a new one."""
    now = clock.now()
    form = InviteForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            invited = invite(**form.cleaned_data, by=request.user, now=now)
        except AddressTaken as taken:
            form.add_error("email", str(taken))
        else:
            messages.success(
                request,
                _("%(name)s is invited; the letter is on its way.")
                % {"name": invited.name},
            )
            return redirect("people")
    return render(
        request,
        "firm/people.html",
        {
            "form": form,
            "people": ask.people(),
            "invitations": ask.open_invitations(now=now),
        },
    )


@needs(Permission.RUN_FIRM)
@require_POST
def invitation_withdraw(request: StaffRequest, pk: int) -> HttpResponse:
    """Withdraws an invitation; its link no longer works."""
    _or_404(ask.invitation_by_id(invitation_id=pk))
    try:
        withdraw_invitation(invitation_id=pk, by=request.user, now=clock.now())
    except InvitationOver as over:
        messages.error(request, str(over))
    else:
        messages.success(request, _("The invitation was withdrawn."))
    return redirect("people")


@needs(Permission.RUN_FIRM)
@require_http_methods(FORM_METHODS)
def person_new(request: StaffRequest) -> HttpResponse:
    """The form for somebody who works with a crew and never logs in."""
    form = HandForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        added = add_person(details=form.details(), by=request.user, now=clock.now())
        messages.success(request, _("%(name)s was added.") % {"name": added.name})
        return redirect("people")
    return render(request, "firm/person.html", {"form": form})


@needs(Permission.RUN_FIRM)
@require_http_methods(FORM_METHODS)
def person(request: StaffRequest, pk: int) -> HttpResponse:
    """The form that changes a person's role or switches them off."""
    # Asked twice: a form writes into its row even when it is refused.
    shown = _or_404(ask.person(person_id=pk))
    form = PersonForm(
        request.POST if request.method == "POST" else None,
        instance=ask.person(person_id=pk),
    )
    if request.method == "POST" and form.is_valid():
        try:
            change_person(
                person_id=pk, details=form.details(), by=request.user, now=clock.now()
            )
        except LastOwner as last:
            was_owner_off = (
                "is_active" if not form.cleaned_data["is_active"] else "role"
            )
            form.add_error(was_owner_off, str(last))
        else:
            messages.success(request, _("The changes were kept."))
            return redirect("people")
    return render(request, "firm/person.html", {"form": form, "person": shown})


@needs(Permission.RUN_FIRM)
@require_http_methods(FORM_METHODS)
def crews(request: StaffRequest) -> HttpResponse:
    """The crews with who is in them, and the form for a new one."""
    form = CrewForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            save_crew(
                crew_id=None, details=form.details(), by=request.user, now=clock.now()
            )
        except NameTaken as taken:
            form.add_error("name", str(taken))
        else:
            messages.success(request, _("The crew was added."))
            return redirect("crews")
    return render(
        request,
        "firm/crews.html",
        {"form": form, "crews": ask.crews_with_members(), "today": _today()},
    )


@needs(Permission.RUN_FIRM)
@require_http_methods(FORM_METHODS)
def crew(request: StaffRequest, pk: int) -> HttpResponse:
    """One crew: its working day, who is in it, and who comes into it."""
    shown = _or_404(ask.crew(crew_id=pk))
    form = CrewForm(
        request.POST if request.method == "POST" else None,
        instance=ask.crew(crew_id=pk),
    )
    if request.method == "POST" and form.is_valid():
        try:
            save_crew(
                crew_id=pk, details=form.details(), by=request.user, now=clock.now()
            )
        except NameTaken as taken:
            form.add_error("name", str(taken))
        else:
            messages.success(request, _("The changes were kept."))
            return redirect("crew", pk=pk)
    stay_form = StayForm(people=_choosable(), initial={"starts_on": _today()})
    return render(
        request,
        "firm/crew.html",
        {"form": form, "stay_form": stay_form, "crew": shown, "today": _today()},
    )


def _choosable() -> list[Any]:
    return [each for each in ask.people() if each.is_active]


@needs(Permission.RUN_FIRM)
@require_POST
def crew_join(request: StaffRequest, pk: int) -> HttpResponse:
    """Puts a person in the crew; errors stand beside the fields."""
    shown = _or_404(ask.crew(crew_id=pk))
    stay_form = StayForm(request.POST, people=_choosable())
    if stay_form.is_valid():
        typed = stay_form.cleaned_data
        try:
            put_in_crew(
                crew_id=pk,
                person_id=typed["person"],
                starts_on=typed["starts_on"],
                ends_on=typed["ends_on"],
                is_lead=typed["is_lead"],
                by=request.user,
                now=clock.now(),
            )
        except AlreadyInCrew as already:
            stay_form.add_error("person", str(already))
        except EndsBeforeStart as wrong:
            stay_form.add_error("ends_on", str(wrong))
        else:
            messages.success(request, _("The crew was changed."))
            return redirect("crew", pk=pk)
    form = CrewForm(instance=ask.crew(crew_id=pk))
    return render(
        request,
        "firm/crew.html",
        {"form": form, "stay_form": stay_form, "crew": shown, "today": _today()},
    )


@needs(Permission.RUN_FIRM)
@require_http_methods(FORM_METHODS)
def stay_end(request: StaffRequest, pk: int) -> HttpResponse:
    """The form for the last day of a person in a crew."""
    shown = _or_404(ask.stay(member_id=pk))
    initial = {"ends_on": shown.ends_on or _today()}
    form = EndStayForm(
        request.POST if request.method == "POST" else None, initial=initial
    )
    if request.method == "POST" and form.is_valid():
        try:
            end_stay_in_crew(
                member_id=pk, **form.cleaned_data, by=request.user, now=clock.now()
            )
        except (EndsBeforeStart, AlreadyInCrew) as wrong:
            form.add_error("ends_on", str(wrong))
        else:
            messages.success(request, _("The crew was changed."))
            return redirect("crew", pk=shown.crew_id)
    return render(request, "firm/stay_end.html", {"form": form, "stay": shown})


@needs(Permission.RUN_FIRM)
@require_http_methods(FORM_METHODS)
def days_off(request: StaffRequest) -> HttpResponse:
    """The free days ahead, and the form for another."""
    form = DayOffForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        try:
            add_day_off(
                day=typed["day"],
                crew_id=typed["crew"].pk if typed["crew"] else None,
                reason=typed["reason"],
                by=request.user,
                now=clock.now(),
            )
        except DayAlreadyOff as already:
            form.add_error("day", str(already))
        else:
            messages.success(request, _("The free day was kept."))
            return redirect("days-off")
    return render(
        request,
        "firm/days_off.html",
        {"form": form, "days_off": ask.days_off(since=_today())},
    )


@needs(Permission.RUN_FIRM)
@require_POST
def day_off_remove(request: StaffRequest, pk: int) -> HttpResponse:
    """Takes a free day away again."""
    _or_404(ask.day_off(day_off_id=pk))
    remove_day_off(day_off_id=pk, by=request.user, now=clock.now())
    messages.success(request, _("This is a working day again."))
    return redirect("days-off")
