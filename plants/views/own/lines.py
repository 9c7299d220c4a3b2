"""Pages of the firm's own rules and closed seasons."""

import datetime as dt
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.record import SomebodyElseChangedIt
from firm.permissions import Permission
from firm.queries import firm_or_blank
from firm.units import Display
from plants.actions.own_lines import (
    LineRefused,
    NoSuchLine,
    switch_line,
    take_line_back,
    write_line,
)
from plants.forms.conflicts import differences
from plants.forms.fields import version_in
from plants.forms.own import ClosedForm, LineForm, RuleForm
from plants.queries import own
from plants.queries.care import sources_by_key
from plants.queries.own import OwnLine, Target
from plants.queries.own.words import fault_of

BOTH = (own.RULES, own.CLOSED)
# The key of a line that is only looked at.
NEW = "own-new"


def _target(of: str, key: str, part: str) -> Target:
    found = own.target(of=of, key=key)
    if found is None or part not in BOTH:
        raise Http404
    return found


def _back_to(target: Target) -> HttpResponse:
    name = "plant" if target.plant else "plant-group"
    return redirect(name, key=target.key)


def _today() -> dt.date:
    return clock.today(time_zone=firm_or_blank().time_zone)


@needs(Permission.EDIT_PLANTS)
@require_http_methods(["GET", "HEAD", "POST"])
def line_new(request: StaffRequest, of: str, key: str, part: str) -> HttpResponse:
    """The form of a new rule or closed season."""
    return _line_page(request, _target(of, key, part), part, None)


@needs(Permission.EDIT_PLANTS)
@require_http_methods(["GET", "HEAD", "POST"])
def line_change(
    request: StaffRequest, of: str, key: str, part: str, line: str
) -> HttpResponse:
    """One line: what the shipped one says, what the firm says, and the form."""
    target = _target(of, key, part)
    stands = own.own_line(target=target, part=part, key=line)
    if stands is None:
        raise Http404
    return _line_page(request, target, part, stands)


def _line_page(
    request: StaffRequest, target: Target, part: str, stands: OwnLine | None
) -> HttpResponse:
    key = stands.key if stands else ""
    form = _form(request, target, part, stands)
    shown: dict[str, Any] = {}
    look = "look" in request.POST
    status = 200
    change = None
    if request.method == "POST" and form.is_valid():
        try:
            if look:
                change = own.change_to(stands, part, form.line())
                faults = own.faults_of_line(
                    target=target, part=part, key=key or NEW, line=change
                )
                form.refuse(faults, key=key or NEW)
            else:
                return _written(request, target, part, key, form)
        except LineRefused as refused:
            form.refuse(refused.messages, key=refused.key)
        except NoSuchLine as refused:
            form.add_error(None, str(refused))
        except SomebodyElseChangedIt as refused:
            status = 409
            now = own.own_line(target=target, part=part, key=key)
            values = form.values(now.holds) if now else {}
            values["version"] = now.version if now else 0
            values["garden"] = form.cleaned_data["garden"]
            shown = {
                "refused": str(refused),
                "differences": differences(form, values),
            }
    if change is not None and stands is not None and stands.is_off:
        change["off"] = True
    return render(
        request,
        "plants/own_line.html",
        {
            "form": form,
            "target": target,
            "part": part,
            "line": stands,
            "sources": sources_by_key(),
            "today": _today(),
            "is_look": look or request.method != "POST",
            "preview": None
            if form.is_bound and form.errors
            else own.line_preview(
                target=target,
                part=part,
                key=key or NEW,
                line=change,
                is_changed=form.is_bound,
                garden=form.garden_shown(),
                day=_today(),
            ),
            **shown,
        },
        status=status,
    )


def _form(
    request: StaffRequest, target: Target, part: str, stands: OwnLine | None
) -> LineForm:
    data = request.POST if request.method == "POST" else None
    display = Display(firm_or_blank().units)
    garden = own.garden_with(target=target)
    if part == own.CLOSED:
        return ClosedForm(data, stands=stands, display=display, garden=garden)
    return RuleForm(
        data,
        stands=stands,
        display=display,
        garden=garden,
        engine=own.engine_of(target),
    )


def _written(
    request: StaffRequest, target: Target, part: str, key: str, form: LineForm
) -> HttpResponse:
    row = write_line(
        target=target,
        part=part,
        key=key,
        wanted=form.line(),
        version=form.cleaned_data["version"],
        now=clock.now(),
        by=request.user,
    )
    if row is None:
        messages.info(request, _("That is what already stands below; nothing is kept."))
    else:
        messages.success(request, _("The firm’s own line stands."))
    return _back_to(target)


@needs(Permission.EDIT_PLANTS)
@require_POST
def line_switch(
    request: StaffRequest, of: str, key: str, part: str, line: str, turn: str
) -> HttpResponse:
    """Switches a line off, on again, or takes the firm's own back."""
    target = _target(of, key, part)
    told = {
        "off": _("The line is switched off."),
        "on": _("The line is switched on again."),
        "back": _("The firm’s own line was taken back."),
    }
    if turn not in told:
        raise Http404
    spot: dict[str, Any] = {"target": target, "part": part, "key": line}
    done: dict[str, Any] = {
        "version": version_in(request.POST),
        "now": clock.now(),
        "by": request.user,
    }
    try:
        if turn == "back":
            take_line_back(**spot, **done)
        else:
            switch_line(**spot, on=turn == "on", **done)
    except (NoSuchLine, SomebodyElseChangedIt) as refused:
        messages.error(request, str(refused))
    except LineRefused as refused:
        for message in refused.messages:
            messages.error(request, fault_of(message).words)
    else:
        messages.success(request, told[turn])
    return _back_to(target)
