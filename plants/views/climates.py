"""Pages of one climate: its figures, its daily records, and the files of those."""

import datetime as dt

from django.contrib import messages
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
from firm.units import Display
from plants.actions.records import (
    FileSettled,
    RecordsRefused,
    UnlikeTyped,
    choose_figures,
    drop_record_file,
    name_columns,
    upload_records,
)
from plants.forms.records import (
    ColumnsForm,
    FiguresForm,
    NewPlaceForm,
    RecordsForm,
    figures_values,
)
from plants.queries import records


def _today() -> dt.date:
    return clock.today(time_zone=firm_or_blank().time_zone)


@needs(Permission.SEE_GARDENS)
@require_safe
def station(request: StaffRequest, pk: int) -> HttpResponse:
    """A climate: zones, frost, warmth, rain, each with its period and method."""
    page = records.station_page(pk=pk)
    if page is None:
        raise Http404
    return render(request, "plants/station.html", {"page": page})


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def station_records(request: StaffRequest, pk: int) -> HttpResponse:
    """The form for a file of daily weather, and the files so far."""
    page = records.station_page(pk=pk)
    if page is None:
        raise Http404
    is_sent = request.method == "POST"
    is_doubted = False
    form = RecordsForm(request.POST, request.FILES) if is_sent else RecordsForm()
    if is_sent and form.is_valid():
        try:
            file = upload_records(
                station=page.station,
                file_name=form.file_name,
                content=form.cleaned_data["file"],
                is_sure=form.cleaned_data["is_sure"],
                by=request.user,
                today=_today(),
                now=clock.now(),
            )
        except RecordsRefused as refused:
            form.add_error("file", str(refused))
            is_doubted = isinstance(refused, UnlikeTyped)
        else:
            return redirect("record-file", pk=file.pk)
    if not is_doubted:
        del form.fields["is_sure"]
    context = {"page": page, "form": form}
    if page.kept:
        context["figures_form"] = FiguresForm(
            initial=figures_values(page.kept, is_typed=page.station.is_typed)
        )
    return render(request, "plants/station_records.html", context)


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def station_from_records(request: StaffRequest) -> HttpResponse:
    """The form for a new climate out of a file of daily weather."""
    display = Display(firm_or_blank().units)
    is_sent = request.method == "POST"
    form = (
        NewPlaceForm(request.POST, request.FILES, display=display)
        if is_sent
        else NewPlaceForm(display=display)
    )
    if is_sent and form.is_valid():
        try:
            file = upload_records(
                station=None,
                place=form.place(),
                file_name=form.file_name,
                content=form.cleaned_data["file"],
                by=request.user,
                today=_today(),
                now=clock.now(),
            )
        except RecordsRefused as refused:
            form.add_error("file", str(refused))
        else:
            return redirect("record-file", pk=file.pk)
    return render(
        request,
        "plants/station_from_records.html",
        {"form": form, "waiting": records.waiting_files()},
    )


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def record_file(request: StaffRequest, pk: int) -> HttpResponse:
    """What was read of a file; one that waits asks for its columns and is read then."""
    file = records.record_file(pk=pk)
    if file is None:
        raise Http404
    asked = records.columns_asked(file)
    form = None
    is_doubted = False
    if asked is not None:
        sent = request.POST if request.method == "POST" else None
        form = ColumnsForm(sent, asked=asked)
        if sent is not None and form.is_valid():
            try:
                name_columns(
                    file_id=pk,
                    columns=form.columns(),
                    is_sure=form.cleaned_data["is_sure"],
                    by=request.user,
                    today=_today(),
                    now=clock.now(),
                )
            except RecordsRefused as refused:
                form.add_error(None, str(refused))
                is_doubted = isinstance(refused, UnlikeTyped)
            else:
                return redirect("record-file", pk=pk)
    elif request.method == "POST":
        messages.error(request, str(FileSettled()))
        return redirect("record-file", pk=pk)
    return render(
        request,
        "plants/record_file.html",
        {
            "file": file,
            "asked": asked,
            "form": form,
            "is_doubted": is_doubted,
            "place": records.place_name(file),
            "lines": records.report_lines(file.report) if file.report else [],
        },
    )


@needs(Permission.EDIT_GARDENS)
@require_POST
def record_file_drop(request: StaffRequest, pk: int) -> HttpResponse:
    """Drops a file that waits for its columns."""
    file = records.record_file(pk=pk)
    if file is None:
        raise Http404
    try:
        drop_record_file(file_id=pk, by=request.user, now=clock.now())
    except FileSettled as settled:
        messages.error(request, str(settled))
    else:
        messages.success(request, _("The file was dropped."))
    if file.station is None:
        return redirect("station-from-records")
    return redirect("station-records", pk=file.station.pk)


@needs(Permission.EDIT_GARDENS)
@require_POST
def station_figures(request: StaffRequest, pk: int) -> HttpResponse:
    """Says which figures a climate works with."""
    page = records.station_page(pk=pk)
    if page is None or page.kept is None:
        raise Http404
    form = FiguresForm(request.POST)
    if not form.is_valid():
        upload = RecordsForm()
        del upload.fields["is_sure"]
        return render(
            request,
            "plants/station_records.html",
            {"page": page, "form": upload, "figures_form": form},
        )
    try:
        chosen = choose_figures(
            station=page.station,
            by=request.user,
            today=_today(),
            now=clock.now(),
            **form.choice(),
        )
    except RecordsRefused as refused:
        messages.error(request, str(refused))
        return redirect("station-records", pk=pk)
    messages.success(request, _("The figures were computed anew."))
    for words in chosen.said:
        messages.info(request, words)
    return redirect("station", pk=pk)
