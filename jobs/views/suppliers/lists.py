"""Pages of a supplier's list: upload, columns, names, a look, and taking it."""

from typing import Any

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
from jobs.actions.suppliers import (
    ListMoved,
    answer_names,
    choose_columns,
    drop_price_list,
    order_taking,
    upload_list,
)
from jobs.enums import PriceListState
from jobs.forms.suppliers import ColumnsForm, ListForm, NamesForm
from jobs.imports import is_small, work_on_next
from jobs.queries import suppliers as asked
from jobs.queries.price_lists.lists import open_names
from jobs.queries.quotes import plant_labels

# A page of twenty thousand rows helps nobody.
MOST_SHOWN = 100
NAMES_A_PAGE = 25
WAITING = (
    PriceListState.TO_READ,
    PriceListState.READING,
    PriceListState.TO_TAKE,
    PriceListState.TAKING,
)
BEFORE_TAKING = (PriceListState.COLUMNS, PriceListState.PREVIEW)


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def list_new(request: StaffRequest, pk: int) -> HttpResponse:
    """The form for a supplier's list."""
    supplier = asked.supplier_by_id(supplier_id=pk)
    if supplier is None:
        raise Http404
    today = clock.today(time_zone=firm_or_blank().time_zone)
    sent: tuple[Any, ...] = ()
    if request.method == "POST":
        sent = (request.POST, request.FILES)
    form = ListForm(*sent, supplier=supplier, today=today, initial={"priced_on": today})
    if request.method == "POST" and form.is_valid():
        kept = upload_list(
            supplier_id=pk, details=form.details(), by=request.user, now=clock.now()
        )
        return redirect("price-list-columns", pk=kept.pk)
    return render(
        request,
        "jobs/supplier_list_new.html",
        {"form": form, "supplier": supplier},
    )


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def list_columns(request: StaffRequest, pk: int) -> HttpResponse:
    """Which column is what; the answer is kept for the supplier's next list."""
    kept = asked.list_state(list_id=pk)
    if kept is None:
        raise Http404
    if kept.state not in BEFORE_TAKING:
        messages.warning(request, str(ListMoved()))
        return redirect("price-list", pk=pk)
    form = ColumnsForm(
        request.POST if request.method == "POST" else None, columns=kept.columns
    )
    if request.method == "POST" and form.is_valid():
        try:
            choose_columns(
                list_id=pk,
                chosen=form.chosen(),
                remembered=form.remembered(),
                by=request.user,
                now=clock.now(),
            )
        except ListMoved as moved:
            messages.warning(request, str(moved))
        else:
            _work_on_a_small_one(pk)
        return redirect("price-list", pk=pk)
    return render(
        request,
        "jobs/supplier_list_columns.html",
        {"form": form, "list": kept, "supplier": kept.supplier},
    )


@needs(Permission.WRITE_QUOTES)
@require_safe
def price_list(request: StaffRequest, pk: int) -> HttpResponse:
    """How far a list came: what would become of it, or what became of it."""
    kept = asked.list_by_id(list_id=pk)
    if kept is None:
        raise Http404
    if kept.state == PriceListState.COLUMNS:
        return redirect("price-list-columns", pk=pk)
    return render(
        request,
        "jobs/supplier_list.html",
        {
            "list": kept,
            "supplier": kept.supplier,
            "is_waiting": kept.state in WAITING,
            "is_open": kept.state == PriceListState.PREVIEW,
            "lines": kept.lines[:MOST_SHOWN],
            "refused": kept.refused[:MOST_SHOWN],
            "most_shown": MOST_SHOWN,
            "open_names": sum(1 for _name in open_names(kept.lines)),
        },
    )


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def list_names(request: StaffRequest, pk: int) -> HttpResponse:
    """Which plants the unsure names mean, some at a time; the answers are kept."""
    kept = asked.list_by_id(list_id=pk)
    if kept is None:
        raise Http404
    names = list(open_names(kept.lines))
    if kept.state != PriceListState.PREVIEW or not names:
        return redirect("price-list", pk=pk)
    shown = names[:NAMES_A_PAGE]
    ids = [plant for _name, line in shown for plant in line["candidates"]]
    form = NamesForm(
        request.POST if request.method == "POST" else None,
        names=shown,
        labels=asked.plants_by_id(ids),
    )
    if request.method == "POST" and form.is_valid():
        try:
            answer_names(
                list_id=pk, answers=form.answers, by=request.user, now=clock.now()
            )
        except ListMoved as moved:
            messages.warning(request, str(moved))
        else:
            messages.success(request, _("The answers were kept."))
        if form.answers and len(names) > len(form.answers):
            return redirect("price-list-names", pk=pk)
        return redirect("price-list", pk=pk)
    return render(
        request,
        "jobs/supplier_list_names.html",
        {
            "form": form,
            "list": kept,
            "supplier": kept.supplier,
            "count": len(names),
            "plants": plant_labels(),
        },
    )


@needs(Permission.WRITE_QUOTES)
@require_POST
def list_take(request: StaffRequest, pk: int) -> HttpResponse:
    """Take what was read."""
    if asked.list_state(list_id=pk) is None:
        raise Http404
    try:
        order_taking(list_id=pk, by=request.user, now=clock.now())
    except ListMoved as moved:
        messages.warning(request, str(moved))
    else:
        _work_on_a_small_one(pk)
    return redirect("price-list", pk=pk)


@needs(Permission.WRITE_QUOTES)
@require_POST
def list_drop(request: StaffRequest, pk: int) -> HttpResponse:
    """Drop the list; nothing of it was taken."""
    kept = asked.list_state(list_id=pk)
    if kept is None:
        raise Http404
    try:
        drop_price_list(list_id=pk, by=request.user, now=clock.now())
    except ListMoved as moved:
        messages.warning(request, str(moved))
        return redirect("price-list", pk=pk)
    messages.success(request, _("The list was dropped; nothing of it was taken."))
    return redirect("supplier", pk=kept.supplier.pk)


def _work_on_a_small_one(pk: int) -> None:
    """A short list is read or taken at once; a long one off the request."""
    kept = asked.list_state(list_id=pk)
    if kept is not None and is_small(kept):
        work_on_next(now=clock.now(), list_id=pk)
