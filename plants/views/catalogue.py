"""Pages of the catalogue and of climates."""

import datetime as dt

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from firm import clock
from firm.access import StaffRequest, needs
from firm.permissions import Permission
from firm.queries import firm_or_blank
from firm.units import Display
from plants.actions.stations import StationRefused, write_station
from plants.forms.search import PlantSearchForm
from plants.forms.stations import StationForm, station_values
from plants.queries import catalogue
from plants.queries.records import typed_figures

PER_PAGE = 50


@needs(Permission.SEE_PLANTS)
@require_safe
def plants(request: StaffRequest) -> HttpResponse:
    """The plants of the catalogue, found by any of their names."""
    form = PlantSearchForm(request.GET)
    asked = dict(form.cleaned_data) if form.is_valid() else {}
    found = catalogue.plants_matching(
        words=asked.get("q", ""),
        kind=asked.get("kind", ""),
        wood=asked.get("wood", ""),
        light=asked.get("light", ""),
    )
    page = Paginator(found, PER_PAGE).get_page(request.GET.get("page"))
    return render(
        request,
        "plants/plants.html",
        {"form": form, "page": page, "asked": any(asked.values())},
    )


@needs(Permission.SEE_PLANTS)
@require_safe
def group(request: StaffRequest, key: str) -> HttpResponse:
    """A group: its facts, its care year here, every rule with its source."""
    today = clock.today(time_zone=firm_or_blank().time_zone)
    page = catalogue.group_page(key=key, start=today.replace(day=1))
    if page is None:
        raise Http404
    return _catalogue_page(request, page, today)


@needs(Permission.SEE_PLANTS)
@require_safe
def plant(request: StaffRequest, key: str) -> HttpResponse:
    """A plant: its group's care with what differs for it."""
    today = clock.today(time_zone=firm_or_blank().time_zone)
    page = catalogue.plant_page(key=key, start=today.replace(day=1))
    if page is None:
        raise Http404
    return _catalogue_page(request, page, today)


def _catalogue_page(
    request: StaffRequest, page: catalogue.CataloguePage, today: dt.date
) -> HttpResponse:
    may_edit = request.user.may(Permission.EDIT_PLANTS)
    return render(
        request,
        "plants/group.html",
        {"page": page, "today": today, "may_edit": may_edit},
    )


@needs(Permission.SEE_GARDENS)
@require_safe
def stations(request: StaffRequest) -> HttpResponse:
    """The climates that gardens lie in."""
    return render(
        request, "plants/stations.html", {"stations": catalogue.stations_by_name()}
    )


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def station_new(request: StaffRequest) -> HttpResponse:
    """The form for a climate typed by hand."""
    return _station_page(request, None)


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def station_change(request: StaffRequest, pk: int) -> HttpResponse:
    """The form that changes a climate."""
    return _station_page(request, pk)


def _way_back(request: StaffRequest) -> str:
    """The page of this site that sent here for a climate; empty without one."""
    where = request.GET.get("back", "")
    is_ours = url_has_allowed_host_and_scheme(where, allowed_hosts=None)
    return where if is_ours else ""


def _station_page(request: StaffRequest, pk: int | None) -> HttpResponse:
    station = catalogue.station(pk=pk) if pk is not None else None
    if pk is not None and station is None:
        raise Http404
    display = Display(firm_or_blank().units)
    typed = typed_figures(station) if station else {}
    form = StationForm(
        request.POST if request.method == "POST" else None,
        display=display,
        initial=station_values(station, display, typed) if station else None,
    )
    if request.method == "POST" and form.is_valid():
        try:
            written = write_station(
                name=form.cleaned_data["name"],
                latitude=form.cleaned_data["latitude"],
                longitude=form.cleaned_data["longitude"],
                elevation_m=form.elevation_m(),
                figures=form.figures(kept=typed),
                today=clock.today(time_zone=firm_or_blank().time_zone),
                now=clock.now(),
                by=request.user,
                station=station,
                bloom_table=form.cleaned_data["bloom_table"],
            )
        except StationRefused as refused:
            form.add_error(refused.field or "name", str(refused))
        else:
            made = written.station
            messages.success(request, _("The climate of %s was kept.") % made.name)
            for words in written.said:
                messages.info(request, words)
            if not made.is_typed:
                messages.info(
                    request,
                    _("Its dates still hang on the figures of its daily records."),
                )
            return redirect(_way_back(request) or "stations")
    return render(
        request, "plants/station_form.html", {"form": form, "station": station}
    )
