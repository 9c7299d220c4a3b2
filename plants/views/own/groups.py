"""Pages of the firm's own groups."""

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
from plants.actions.own_plants import (
    FactsRefused,
    NotOurs,
    add_group,
    bring_group_back,
    change_group,
    retire_group,
)
from plants.forms.conflicts import differences
from plants.forms.own import GroupForm
from plants.queries import own


def _today() -> dt.date:
    return clock.today(time_zone=firm_or_blank().time_zone)


@needs(Permission.EDIT_PLANTS)
@require_http_methods(["GET", "HEAD", "POST"])
def group_new(request: StaffRequest) -> HttpResponse:
    """The form of a new group, from nothing or like another."""
    like = own.group(key=request.GET.get("like", "")[:80])
    form = GroupForm(
        request.POST if request.method == "POST" else None,
        display=Display(firm_or_blank().units),
        like=like,
        group=None,
        garden=None,
    )
    look = "look" in request.POST
    preview = None
    if request.method == "POST" and form.is_valid():
        facts = form.facts_said()
        with_lines = bool(form.cleaned_data.get("with_lines"))
        if not look:
            try:
                made = add_group(
                    facts=facts,
                    like=like,
                    with_lines=with_lines,
                    now=clock.now(),
                    by=request.user,
                )
            except FactsRefused as refused:
                form.refuse(refused.messages)
            else:
                messages.success(request, _("%s stands in your catalogue.") % made.name)
                return redirect("plant-group", key=made.key)
        else:
            lines = own.whole_lines(like) if like and with_lines else {}
            facts["key"] = "own-new"
            form.refuse(own.faults_of_new_group(facts=facts, lines=lines))
            if not form.errors:
                preview = own.group_preview(
                    group=None,
                    facts=facts,
                    lines=lines,
                    garden=form.garden_shown(),
                    day=_today(),
                )
    return render(
        request,
        "plants/own_group.html",
        {
            "form": form,
            "like": like,
            "groups": own.groups_by_name(),
            "preview": preview,
            "today": _today(),
            "is_look": look,
        },
    )


@needs(Permission.EDIT_PLANTS)
@require_http_methods(["GET", "HEAD", "POST"])
def group_change(request: StaffRequest, key: str) -> HttpResponse:
    """The form that changes the facts of one of the firm's groups."""
    group = own.group(key=key)
    if group is None or group.layer != "firm":
        raise Http404
    form = GroupForm(
        request.POST if request.method == "POST" else None,
        display=Display(firm_or_blank().units),
        like=None,
        group=group,
        garden=own.garden_with(target=own.Target(group=group)),
    )
    shown: dict[str, Any] = {}
    look = "look" in request.POST
    facts = None
    if request.method == "POST" and form.is_valid():
        facts = {**form.facts_said(), "key": key}
        if look:
            form.refuse(own.faults_of_group(group=group, facts=facts))
        else:
            try:
                change_group(
                    group=group,
                    version=form.cleaned_data["version"],
                    facts=facts,
                    now=clock.now(),
                    by=request.user,
                )
            except (FactsRefused, NotOurs) as refused:
                form.refuse(getattr(refused, "messages", [str(refused)]))
            except SomebodyElseChangedIt as refused:
                shown = {
                    "refused": str(refused),
                    "differences": differences(form, _stands_now(form, key)),
                }
            else:
                messages.success(request, _("The changes were kept."))
                return redirect("plant-group", key=key)
    return render(
        request,
        "plants/own_group.html",
        {
            "form": form,
            "group": group,
            "today": _today(),
            "is_look": look or request.method != "POST",
            "preview": None
            if form.is_bound and form.errors
            else own.group_preview(
                group=group, facts=facts, garden=form.garden_shown(), day=_today()
            ),
            **shown,
        },
        status=409 if shown else 200,
    )


def _stands_now(form: GroupForm, key: str) -> dict[str, Any]:
    """The values of the group as somebody else left it."""
    now = GroupForm(
        None, display=form.display, like=None, group=own.group(key=key), garden=None
    )
    return {**now.initial, "garden": form.cleaned_data["garden"]}


@needs(Permission.EDIT_PLANTS)
@require_POST
def group_turn(request: StaffRequest, key: str, turn: str) -> HttpResponse:
    """Retires one of the firm's groups, or brings it back."""
    group = own.group(key=key)
    if group is None or turn not in ("retire", "back"):
        raise Http404
    done = retire_group if turn == "retire" else bring_group_back
    try:
        done(group=group, now=clock.now(), by=request.user)
    except NotOurs as refused:
        messages.error(request, str(refused))
    else:
        messages.success(
            request,
            _("%s is retired; plantings keep it.") % group.name
            if turn == "retire"
            else _("%s is back.") % group.name,
        )
    return redirect("plant-group", key=key)
