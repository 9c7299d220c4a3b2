"""Pages on which gardens are found, opened and changed."""

from django.contrib import messages
from django.core.paginator import Paginator
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
from firm.actions.record import SomebodyElseChangedIt
from firm.permissions import Permission
from firm.queries import firm_or_blank
from plants.actions.gardens import (
    InstructionRefused,
    change_garden,
    end_instruction,
    give_instruction,
    open_garden,
)
from plants.forms.conflicts import differences
from plants.forms.gardens import (
    GardenChangeForm,
    GardenNewForm,
    InstructionForm,
    garden_values,
)
from plants.forms.search import GardenSearchForm
from plants.queries import catalogue
from plants.queries import gardens as places
from plants.queries.own import instruction_preview

PER_PAGE = 50


@needs(Permission.SEE_GARDENS)
@require_safe
def gardens(request: StaffRequest) -> HttpResponse:
    """The gardens, found by name, address or client."""
    form = GardenSearchForm(request.GET)
    asked = form.criteria()
    found = places.gardens_matching(**asked)
    page = Paginator(found, PER_PAGE).get_page(request.GET.get("page"))
    return render(
        request,
        "plants/gardens.html",
        {"form": form, "page": page, "asked": any(asked.values())},
    )


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def garden_new(request: StaffRequest) -> HttpResponse:
    """The form for a new garden of a client who is there or comes with it."""
    form = GardenNewForm(
        request.POST if request.method == "POST" else None,
        initial={"client": request.GET.get("client")},
    )
    if request.method == "POST" and form.is_valid():
        garden = open_garden(
            client=form.cleaned_data["client"],
            new_client=form.new_client_details(),
            contacts=form.contacts(),
            details=form.details(),
            now=clock.now(),
            by=request.user,
        )
        messages.success(request, _("%s was opened.") % garden.name)
        return redirect("garden", pk=garden.pk)
    return render(
        request,
        "plants/garden_form.html",
        {"form": form, "has_climate": bool(catalogue.stations_by_name())},
    )


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def garden_change(request: StaffRequest, pk: int) -> HttpResponse:
    """The form that changes a garden; of two people the second is told."""
    garden = places.garden(pk=pk)
    if garden is None:
        raise Http404
    form = GardenChangeForm(
        request.POST if request.method == "POST" else None,
        initial=garden_values(garden),
    )
    conflict: dict[str, object] = {}
    if request.method == "POST" and form.is_valid():
        try:
            change_garden(
                garden=garden,
                version=form.cleaned_data["version"],
                details=form.details(),
                now=clock.now(),
                by=request.user,
            )
        except SomebodyElseChangedIt as refused:
            conflict = {
                "refused": str(refused),
                "differences": differences(form, garden_values(garden)),
            }
        else:
            messages.success(request, _("The changes were kept."))
            return redirect("garden", pk=pk)
    return render(
        request,
        "plants/garden_form.html",
        {"form": form, "garden": garden, "has_climate": True, **conflict},
        status=409 if conflict else 200,
    )


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def instruction_new(request: StaffRequest, pk: int) -> HttpResponse:
    """The form for something a client insists on."""
    garden = places.garden(pk=pk)
    if garden is None:
        raise Http404
    today = clock.today(time_zone=firm_or_blank().time_zone)
    form = InstructionForm(
        request.POST if request.method == "POST" else None,
        garden=garden,
        today=today,
        initial={"planting": request.GET.get("planting")},
    )
    look = "look" in request.POST
    if request.method == "POST" and form.is_valid() and not look:
        data = form.cleaned_data
        try:
            give_instruction(
                garden=garden,
                planting=data["planting"],
                text=data["text"],
                forbids=tuple(data["forbids"]),
                given_by=data["given_by"],
                day=data["given_on"],
                now=clock.now(),
                by=request.user,
            )
        except InstructionRefused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("The instruction stands."))
            return redirect("garden", pk=pk)
    preview = None
    if look and form.is_valid():
        preview = instruction_preview(
            garden=garden,
            planting=form.cleaned_data["planting"],
            text=form.cleaned_data["text"],
            forbids=form.cleaned_data["forbids"],
            day=today,
        )
    return render(
        request,
        "plants/instruction_form.html",
        {"form": form, "garden": garden, "preview": preview, "today": today},
    )


@needs(Permission.EDIT_GARDENS)
@require_POST
def instruction_end(request: StaffRequest, pk: int) -> HttpResponse:
    """Ends an instruction today."""
    instruction = places.instruction(pk=pk)
    if instruction is None:
        raise Http404
    try:
        end_instruction(
            instruction=instruction,
            day=clock.today(time_zone=firm_or_blank().time_zone),
            now=clock.now(),
            by=request.user,
        )
    except InstructionRefused as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, _("The instruction no longer stands."))
    return redirect("garden", pk=instruction.garden_id)
