"""Pages of plantings: recorded, changed, looked at, what was seen on them."""

import datetime as dt
from collections.abc import Sequence

from django.contrib import messages
from django.forms import Form
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from firm import clock
from firm.access import StaffRequest, needs
from firm.permissions import Permission
from firm.queries import firm_or_blank
from plants.actions.plantings import (
    PlantingRefused,
    change_planting,
    forget_bloom,
    log_bloom,
    record_planting,
    set_planting_state,
)
from plants.forms.plantings import BloomForm, PlantingForm, StateForm, planting_values
from plants.queries import gardens as places
from plants.queries.water import water_page


def _today() -> dt.date:
    return clock.today(time_zone=firm_or_blank().time_zone)


def _refuse(form: Form, refused: PlantingRefused) -> None:
    """Write what the action refused beside its field."""
    field = refused.field if refused.field in form.fields else None
    form.add_error(field, str(refused))


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def planting_new(request: StaffRequest, pk: int) -> HttpResponse:
    """The form for plants that already stand in a garden."""
    garden = places.garden(pk=pk)
    if garden is None:
        raise Http404
    form = PlantingForm(
        request.POST if request.method == "POST" else None,
        request.FILES or None,
        garden=garden,
        initial={"bed": request.GET.get("bed")},
    )
    if request.method == "POST" and form.is_valid():
        try:
            planting = record_planting(
                garden=garden,
                details=form.details(),
                photo=form.cleaned_data["photo"],
                day=_today(),
                now=clock.now(),
                by=request.user,
            )
        except PlantingRefused as refused:
            _refuse(form, refused)
        else:
            messages.success(
                request, _("Recorded as number %d on the sketch.") % planting.number
            )
            if "more" in request.POST:
                return redirect("planting-new", pk=pk)
            return redirect("garden", pk=pk)
    return render(
        request, "plants/planting_form.html", {"form": form, "garden": garden}
    )


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def planting_change(request: StaffRequest, pk: int) -> HttpResponse:
    """The form that changes what is known of a planting."""
    planting = places.planting(pk=pk)
    if planting is None:
        raise Http404
    form = PlantingForm(
        request.POST if request.method == "POST" else None,
        request.FILES or None,
        garden=planting.garden,
        planting=planting,
        initial=planting_values(planting),
    )
    if request.method == "POST" and form.is_valid():
        try:
            change_planting(
                planting=planting,
                details=form.details(),
                photo=form.cleaned_data["photo"],
                day=_today(),
                now=clock.now(),
                by=request.user,
            )
        except PlantingRefused as refused:
            _refuse(form, refused)
        else:
            messages.success(request, _("The changes were kept."))
            return redirect("planting", pk=pk)
    return render(
        request,
        "plants/planting_form.html",
        {"form": form, "garden": planting.garden, "planting": planting},
    )


@needs(Permission.SEE_GARDENS)
@require_safe
def planting(request: StaffRequest, pk: int) -> HttpResponse:
    """One planting: its year, what may be done today, what was seen."""
    return _planting_page(request, pk)


@needs(Permission.SEE_GARDENS)
@require_safe
def water(request: StaffRequest, pk: int) -> HttpResponse:
    """The water of a planting, week by week through its first two seasons."""
    today = _today()
    page = water_page(pk=pk, day=today)
    if page is None:
        raise Http404
    return render(request, "plants/planting_water.html", {"page": page, "today": today})


@needs(Permission.EDIT_GARDENS)
@require_POST
def planting_state(request: StaffRequest, pk: int) -> HttpResponse:
    """Says how a planting fares: growing, struggling, lost, removed."""
    found = places.planting(pk=pk)
    if found is None:
        raise Http404
    form = StateForm(request.POST)
    if not form.is_valid():
        return _planting_page(request, pk, state_form=form)
    set_planting_state(
        planting=found,
        state=form.cleaned_data["state"],
        now=clock.now(),
        by=request.user,
    )
    messages.success(request, _("Number %d was written down so.") % found.number)
    return redirect("planting", pk=pk)


@needs(Permission.EDIT_GARDENS)
@require_POST
def planting_bloom(request: StaffRequest, pk: int) -> HttpResponse:
    """Writes down what was seen on a planting; its windows move with it."""
    found = places.planting(pk=pk)
    if found is None:
        raise Http404
    today = _today()
    form = BloomForm(request.POST, today=today)
    if form.is_valid():
        try:
            logged = log_bloom(
                planting=found,
                stage=form.cleaned_data["stage"],
                day=form.cleaned_data["day"],
                today=today,
                now=clock.now(),
                by=request.user,
            )
        except PlantingRefused as refused:
            _refuse(form, refused)
        else:
            messages.success(request, _("Written down."))
            _say(request, logged.said)
            return redirect("planting", pk=pk)
    return _planting_page(request, pk, bloom_form=form)


@needs(Permission.EDIT_GARDENS)
@require_POST
def observation_forget(request: StaffRequest, pk: int) -> HttpResponse:
    """Takes back something that was written down by mistake."""
    found = places.observation(pk=pk)
    if found is None:
        raise Http404
    said = forget_bloom(
        observed=found, today=_today(), now=clock.now(), by=request.user
    )
    messages.success(request, _("Taken back."))
    _say(request, said)
    return redirect("planting", pk=found.planting_id)


def _say(request: StaffRequest, said: Sequence[str]) -> None:
    """What moved in planned work, one message a sentence."""
    for words in said:
        messages.info(request, words)


def _planting_page(
    request: StaffRequest,
    pk: int,
    *,
    state_form: StateForm | None = None,
    bloom_form: BloomForm | None = None,
) -> HttpResponse:
    today = _today()
    page = places.planting_page(pk=pk, day=today, start=today.replace(day=1))
    if page is None:
        raise Http404
    return render(
        request,
        "plants/planting.html",
        {
            "page": page,
            "today": today,
            "state_form": state_form
            or StateForm(initial={"state": page.planting.state}),
            "bloom_form": bloom_form or BloomForm(today=today),
        },
    )
