"""Pages of suppliers: all of them, one with its items, and its form."""

from typing import Any

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
from jobs.actions.suppliers import NameTaken, change_supplier, create_supplier
from jobs.forms.suppliers import SupplierForm
from jobs.queries import suppliers as asked
from plants.forms.conflicts import differences

PER_PAGE = 50


@needs(Permission.SEE_MONEY)
@require_safe
def suppliers(request: StaffRequest) -> HttpResponse:
    """Every supplier with its number of items and its newest prices."""
    return render(request, "jobs/suppliers.html", {"suppliers": asked.suppliers()})


@needs(Permission.SEE_MONEY)
@require_safe
def supplier(request: StaffRequest, pk: int) -> HttpResponse:
    """One supplier: its items, found by words, and its lists."""
    found = asked.supplier_by_id(supplier_id=pk)
    if found is None:
        raise Http404
    words = request.GET.get("q", "").replace("\x00", "")[:200]
    items = asked.items_of(supplier_id=pk, words=words)
    return render(
        request,
        "jobs/supplier.html",
        {
            "supplier": found,
            "page": Paginator(items, PER_PAGE).get_page(request.GET.get("page")),
            "words": words,
            "lists": asked.lists_of(supplier_id=pk),
        },
    )


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def supplier_new(request: StaffRequest) -> HttpResponse:
    """The form for a new supplier."""
    form = SupplierForm(
        request.POST if request.method == "POST" else None, initial={"version": 1}
    )
    if request.method == "POST" and form.is_valid():
        try:
            made = create_supplier(
                details=form.details(), by=request.user, now=clock.now()
            )
        except NameTaken as taken:
            form.add_error("name", str(taken))
        else:
            return redirect("supplier", pk=made.pk)
    return render(request, "jobs/supplier_form.html", {"form": form})


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def supplier_change(request: StaffRequest, pk: int) -> HttpResponse:
    """The form of a supplier; of two people the second is told."""
    found = asked.supplier_by_id(supplier_id=pk)
    if found is None:
        raise Http404
    form = SupplierForm(
        request.POST if request.method == "POST" else None,
        initial=SupplierForm.values_of(found),
    )
    conflict: dict[str, Any] = {}
    if request.method == "POST" and form.is_valid():
        try:
            change_supplier(
                supplier_id=pk,
                version=form.cleaned_data["version"],
                details=form.details(),
                by=request.user,
                now=clock.now(),
            )
        except NameTaken as taken:
            form.add_error("name", str(taken))
        except SomebodyElseChangedIt as refused:
            stands = asked.supplier_by_id(supplier_id=pk)
            if stands is None:
                raise Http404 from None
            conflict = {
                "refused": str(refused),
                "differences": differences(form, SupplierForm.values_of(stands)),
            }
        else:
            messages.success(request, _("The changes were kept."))
            return redirect("supplier", pk=pk)
    return render(
        request,
        "jobs/supplier_form.html",
        {"form": form, "supplier": found, **conflict},
    )
