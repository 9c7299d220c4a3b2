"""Pages on which beds are measured and plants held against them."""

from typing import cast

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.record import SomebodyElseChangedIt
from firm.permissions import Permission
from firm.queries import firm_or_blank
from firm.units import Display
from plants.actions.beds import BedNameTaken, add_bed, change_bed
from plants.forms.beds import (
    BaseShadeFormSet,
    BedForm,
    ShadeFormSet,
    bed_values,
    shade_values,
)
from plants.forms.conflicts import differences
from plants.forms.search import FitSearchForm, SizeForm
from plants.queries import gardens as places
from plants.queries.fit_search import natives, rank_for

PER_PAGE = 50


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def bed_new(request: StaffRequest, pk: int) -> HttpResponse:
    """The form for a new bed of a garden."""
    garden = places.garden(pk=pk)
    if garden is None:
        raise Http404
    display = Display(firm_or_blank().units)
    posted = request.POST if request.method == "POST" else None
    form = BedForm(posted, garden=garden, display=display)
    shades = cast(
        BaseShadeFormSet,
        ShadeFormSet(posted, prefix="shades", form_kwargs={"display": display}),
    )
    if request.method == "POST" and form.is_valid() & shades.is_valid():
        try:
            bed = add_bed(
                garden=garden,
                details=form.details(),
                shades=shades.details(),
                now=clock.now(),
                by=request.user,
            )
        except BedNameTaken as refused:
            form.add_error("name", str(refused))
        else:
            messages.success(request, _("%s was added.") % bed.name)
            return redirect("bed", pk=bed.pk)
    return render(
        request,
        "plants/bed_form.html",
        {"form": form, "shades": shades, "garden": garden},
    )


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def bed_change(request: StaffRequest, pk: int) -> HttpResponse:
    """The form that changes a bed; of two people the second is told."""
    bed = places.bed(pk=pk)
    if bed is None:
        raise Http404
    display = Display(firm_or_blank().units)
    posted = request.POST if request.method == "POST" else None
    form = BedForm(
        posted, garden=bed.garden, bed=bed, display=display, initial=bed_values(bed)
    )
    shades = cast(
        BaseShadeFormSet,
        ShadeFormSet(
            posted,
            prefix="shades",
            form_kwargs={"display": display},
            initial=shade_values(bed),
        ),
    )
    conflict: dict[str, object] = {}
    if request.method == "POST" and form.is_valid() & shades.is_valid():
        try:
            change_bed(
                bed=bed,
                version=form.cleaned_data["version"],
                details=form.details(),
                shades=shades.details(),
                now=clock.now(),
                by=request.user,
            )
        except SomebodyElseChangedIt as refused:
            conflict = {
                "refused": str(refused),
                "differences": differences(form, bed_values(bed)),
                "their_shades": bed.shades.all(),
            }
        except BedNameTaken as refused:
            form.add_error("name", str(refused))
        else:
            messages.success(request, _("The changes were kept."))
            return redirect("bed", pk=pk)
    return render(
        request,
        "plants/bed_form.html",
        {
            "form": form,
            "shades": shades,
            "garden": bed.garden,
            "bed": bed,
            **conflict,
        },
        status=409 if conflict else 200,
    )


@needs(Permission.SEE_GARDENS)
@require_safe
def bed_fit(request: StaffRequest, pk: int) -> HttpResponse:
    """Which plants suit a bed and why, the best first."""
    bed = places.bed(pk=pk)
    if bed is None:
        raise Http404
    firm = firm_or_blank()
    display = Display(firm.units)
    form = FitSearchForm(request.GET, display=display, natives=natives())
    ranking = rank_for(
        bed=bed,
        wanted=form.wanted(),
        day=clock.today(time_zone=firm.time_zone),
        display=display,
    )
    page = Paginator(ranking.found, PER_PAGE).get_page(request.GET.get("page"))
    return render(
        request,
        "plants/bed_fit.html",
        {"bed": bed, "form": form, "page": page, "not_noted": ranking.not_noted},
    )


@needs(Permission.SEE_GARDENS)
@require_safe
def bed_fit_plant(request: StaffRequest, pk: int, key: str) -> HttpResponse:
    """One plant against a bed, criterion by criterion, and when to plant it."""
    firm = firm_or_blank()
    today = clock.today(time_zone=firm.time_zone)
    form = SizeForm(request.GET)
    page = places.verdict_page(
        bed_pk=pk,
        key=key,
        day=today,
        size=form.cleaned_data["size"] if form.is_valid() else None,
        display=Display(firm.units),
    )
    if page is None:
        raise Http404
    return render(
        request,
        "plants/bed_fit_plant.html",
        {"page": page, "today": today, "form": form},
    )
