"""Pages of the firm's own plants."""

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
    add_plant,
    bring_plant_back,
    change_plant,
    retire_plant,
)
from plants.forms.conflicts import differences
from plants.forms.own import PlantForm
from plants.queries import own


def _today() -> dt.date:
    return clock.today(time_zone=firm_or_blank().time_zone)


@needs(Permission.EDIT_PLANTS)
@require_http_methods(["GET", "HEAD", "POST"])
def plant_new(request: StaffRequest) -> HttpResponse:
    """The form of a new plant of a group."""
    group = own.group(key=request.GET.get("group", "")[:80])
    form = PlantForm(
        request.POST if request.method == "POST" else None,
        display=Display(firm_or_blank().units),
        group=group,
        plant=None,
        garden=None,
    )
    look = "look" in request.POST
    preview = None
    chosen = form.chosen_group() if form.is_bound and form.is_valid() else None
    if chosen is not None:
        details = form.details(group=chosen)
        if look:
            form.refuse(
                own.faults_of_plant(
                    group=chosen, plant=None, overrides=details.overrides
                )
            )
        else:
            try:
                made = add_plant(
                    group=chosen, details=details, now=clock.now(), by=request.user
                )
            except (FactsRefused, NotOurs) as refused:
                form.refuse(getattr(refused, "messages", [str(refused)]))
            else:
                messages.success(
                    request, _("%s stands in your catalogue.") % made.common
                )
                return redirect("plant", key=made.key)
        if not form.errors:
            preview = own.plant_preview(
                group=chosen,
                plant=None,
                overrides=details.overrides,
                garden=form.garden_shown(),
                day=_today(),
            )
    return render(
        request,
        "plants/own_plant.html",
        {
            "form": form,
            "group": group,
            "preview": preview,
            "today": _today(),
            "is_look": look,
        },
    )


@needs(Permission.EDIT_PLANTS)
@require_http_methods(["GET", "HEAD", "POST"])
def plant_change(request: StaffRequest, key: str) -> HttpResponse:
    """The form that changes one of the firm's plants."""
    plant = own.plant(key=key)
    if plant is None or plant.layer != "firm":
        raise Http404
    form = PlantForm(
        request.POST if request.method == "POST" else None,
        display=Display(firm_or_blank().units),
        group=plant.group,
        plant=plant,
        garden=own.garden_with(target=own.Target(group=plant.group, plant=plant)),
    )
    shown: dict[str, Any] = {}
    look = "look" in request.POST
    overrides = None
    if request.method == "POST" and form.is_valid():
        details = form.details(group=plant.group)
        overrides = details.overrides
        if look:
            form.refuse(
                own.faults_of_plant(group=plant.group, plant=plant, overrides=overrides)
            )
        else:
            try:
                change_plant(
                    plant=plant,
                    version=form.cleaned_data["version"],
                    details=details,
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
                return redirect("plant", key=key)
    return render(
        request,
        "plants/own_plant.html",
        {
            "form": form,
            "group": plant.group,
            "plant": plant,
            "today": _today(),
            "is_look": look or request.method != "POST",
            "preview": None
            if form.is_bound and form.errors
            else own.plant_preview(
                group=plant.group,
                plant=plant,
                overrides=overrides,
                garden=form.garden_shown(),
                day=_today(),
            ),
            **shown,
        },
        status=409 if shown else 200,
    )


def _stands_now(form: PlantForm, key: str) -> dict[str, Any]:
    """The values of the plant as somebody else left it."""
    plant = own.plant(key=key)
    group = plant.group if plant else None
    now = PlantForm(None, display=form.display, group=group, plant=plant, garden=None)
    return {**now.initial, "garden": form.cleaned_data["garden"]}


@needs(Permission.EDIT_PLANTS)
@require_POST
def plant_turn(request: StaffRequest, key: str, turn: str) -> HttpResponse:
    """Retires one of the firm's plants, or brings it back."""
    plant = own.plant(key=key)
    if plant is None or turn not in ("retire", "back"):
        raise Http404
    done = retire_plant if turn == "retire" else bring_plant_back
    try:
        done(plant=plant, now=clock.now(), by=request.user)
    except NotOurs as refused:
        messages.error(request, str(refused))
    else:
        messages.success(
            request,
            _("%s is retired; plantings keep it.") % plant.common
            if turn == "retire"
            else _("%s is back.") % plant.common,
        )
    return redirect("plant", key=key)
