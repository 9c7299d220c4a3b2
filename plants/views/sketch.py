"""The sketch of a bed: what shades it, placed by numbers or taps, and its shadows."""

import datetime as dt
from collections.abc import Mapping
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
from plants.actions.shades import (
    ShadeGone,
    ShadeRefused,
    from_kept,
    kept_words,
    place_shade,
    remove_shade,
    turn_bed,
)
from plants.forms.fields import version_in
from plants.forms.sketch import (
    BedTurnForm,
    MomentForm,
    SketchShadeForm,
    sketch_shade_values,
)
from plants.queries import gardens as places
from plants.queries.sketch import shade_in, sketch_of

MOST_STEPS = 20
AFTERNOON = dt.time(15)


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def sketch(request: StaffRequest, pk: int) -> HttpResponse:
    """The plan with the shadows of a moment, and the form for one thing more."""
    bed = places.bed(pk=pk)
    if bed is None:
        raise Http404
    if request.method != "POST":
        return _page(request, pk)
    form = SketchShadeForm(
        request.POST, bed=bed, display=Display(firm_or_blank().units)
    )
    if not form.is_valid():
        return _page(request, pk, form=form)
    try:
        placed = place_shade(
            bed=bed,
            version=form.cleaned_data["version"],
            details=form.details(),
            row=form.cleaned_data["row"],
            now=clock.now(),
            by=request.user,
        )
    except SomebodyElseChangedIt as refused:
        return _page(request, pk, form=form, refused=str(refused), status=409)
    except (ShadeRefused, ShadeGone) as refused:
        form.add_error(None, str(refused))
        return _page(request, pk, form=form)
    _remember(
        request,
        pk,
        row=placed.row,
        before=kept_words(placed.before) if placed.before else None,
    )
    messages.success(request, _("It stands on the sketch now."))
    return redirect("bed-sketch", pk=pk)


@needs(Permission.EDIT_GARDENS)
@require_POST
def shade_remove(request: StaffRequest, pk: int, row: int) -> HttpResponse:
    """Takes one thing off the sketch; it can be put back."""
    bed = places.bed(pk=pk)
    if bed is None:
        raise Http404
    try:
        gone = remove_shade(
            bed=bed,
            version=version_in(request.POST),
            row=row,
            now=clock.now(),
            by=request.user,
        )
    except SomebodyElseChangedIt as refused:
        return _page(request, pk, refused=str(refused), status=409)
    except ShadeGone as refused:
        messages.error(request, str(refused))
        return redirect("bed-sketch", pk=pk)
    _remember(request, pk, row=None, before=kept_words(gone))
    messages.success(request, _("It was removed. Undo puts it back."))
    return redirect("bed-sketch", pk=pk)


@needs(Permission.EDIT_GARDENS)
@require_POST
def sketch_undo(request: StaffRequest, pk: int) -> HttpResponse:
    """Takes back this person's last step on the sketch."""
    bed = places.bed(pk=pk)
    if bed is None:
        raise Http404
    steps = _steps(request, pk)
    if not steps:
        messages.error(request, _("There is nothing to undo."))
        return redirect("bed-sketch", pk=pk)
    last = steps[-1]
    common: dict[str, Any] = {
        "bed": bed,
        "version": version_in(request.POST),
        "now": clock.now(),
        "by": request.user,
    }
    try:
        if last["before"] is None:
            remove_shade(row=last["row"], **common)
        else:
            place_shade(details=from_kept(last["before"]), row=last["row"], **common)
    except SomebodyElseChangedIt as refused:
        return _page(request, pk, refused=str(refused), status=409)
    except (ShadeGone, ShadeRefused) as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, _("The last step was taken back."))
    request.session[_key(pk)] = steps[:-1]
    return redirect("bed-sketch", pk=pk)


@needs(Permission.EDIT_GARDENS)
@require_POST
def bed_turn(request: StaffRequest, pk: int) -> HttpResponse:
    """Which way the bed looks."""
    bed = places.bed(pk=pk)
    if bed is None:
        raise Http404
    form = BedTurnForm(request.POST)
    if not form.is_valid():
        return _page(request, pk, turn=form)
    try:
        turn_bed(
            bed=bed,
            version=form.cleaned_data["version"],
            facing=form.cleaned_data["facing"],
            bearing_deg=form.cleaned_data["bearing_deg"],
            now=clock.now(),
            by=request.user,
        )
    except SomebodyElseChangedIt as refused:
        return _page(request, pk, turn=form, refused=str(refused), status=409)
    except ShadeRefused as refused:
        form.add_error(None, str(refused))
        return _page(request, pk, turn=form)
    messages.success(request, _("The bed was turned."))
    return redirect("bed-sketch", pk=pk)


def _key(pk: int) -> str:
    return f"sketch-{pk}"


def _steps(request: StaffRequest, pk: int) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = request.session.get(_key(pk), [])
    return found


def _remember(
    request: StaffRequest,
    pk: int,
    *,
    row: int | None,
    before: dict[str, Any] | None,
) -> None:
    """Keep a step of the sketch in the session, so that it can be undone."""
    step = {"row": row, "before": before}
    request.session[_key(pk)] = [*_steps(request, pk), step][-MOST_STEPS:]


def _with_version(sent: Mapping[str, Any], version: int) -> dict[str, Any]:
    return {**{name: sent[name] for name in sent}, "version": str(version)}


def _page(
    request: StaffRequest,
    pk: int,
    *,
    form: SketchShadeForm | None = None,
    turn: BedTurnForm | None = None,
    refused: str = "",
    status: int = 200,
) -> HttpResponse:
    """The sketch as it stands, with forms as they were typed."""
    firm = firm_or_blank()
    display = Display(firm.units)
    today = clock.today(time_zone=firm.time_zone)
    asked = MomentForm(request.GET if "day" in request.GET else None)
    day, hour = today, AFTERNOON
    if asked.is_bound and asked.is_valid():
        day, hour = asked.cleaned_data["day"], asked.cleaned_data["hour"]
    if not asked.is_bound:
        asked = MomentForm(initial={"day": day, "hour": hour})
    page = sketch_of(pk=pk, firm=firm, day=day, hour=hour, display=display)
    if page is None:
        raise Http404
    version = page.bed.version
    if form is None:
        wanted = request.GET.get("shade", "")
        is_number = wanted.isascii() and wanted.isdecimal() and len(wanted) < 19
        changed = shade_in(page, row=int(wanted)) if is_number else None
        values = sketch_shade_values(changed) if changed else {}
        form = SketchShadeForm(
            bed=page.bed, display=display, initial={**values, "version": version}
        )
    elif refused:
        # To send it again after looking is a decision and no accident.
        form.data = {
            **{name: form.data[name] for name in form.data},
            "version": str(version),
        }
    if turn is None:
        turn = BedTurnForm(
            initial={
                "facing": page.bed.facing,
                "bearing_deg": page.bed.bearing_deg,
                "version": version,
            }
        )
    elif refused:
        turn.data = {
            **{name: turn.data[name] for name in turn.data},
            "version": str(version),
        }
    return render(
        request,
        "plants/bed_sketch.html",
        {
            "page": page,
            "bed": page.bed,
            "form": form,
            "turn": turn,
            "moment": asked,
            "day": day,
            "hour": hour,
            "steps": len(_steps(request, pk)),
            "refused": refused,
        },
        status=status,
    )
