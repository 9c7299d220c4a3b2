"""Pages of single items: a new one, and one with the prices it had."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.record import SomebodyElseChangedIt
from firm.money import CURRENCY_SIGNS
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.actions.suppliers import SupplierRefused, change_item, create_item
from jobs.forms.suppliers import ItemForm
from jobs.queries import suppliers as asked
from jobs.queries.quotes import plant_labels
from plants.forms.conflicts import differences


def _form(request: StaffRequest, initial: dict[str, Any]) -> ItemForm:
    firm = firm_or_blank()
    return ItemForm(
        request.POST if request.method == "POST" else None,
        initial=initial,
        today=clock.today(time_zone=firm.time_zone),
        currency=CURRENCY_SIGNS.get(firm.currency, firm.currency),
    )


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def item_new(request: StaffRequest, pk: int) -> HttpResponse:
    """The form for an item written by hand."""
    supplier = asked.supplier_by_id(supplier_id=pk)
    if supplier is None:
        raise Http404
    form = _form(request, {"version": 1})
    if request.method == "POST" and form.is_valid():
        try:
            made = create_item(
                supplier_id=pk,
                details=form.details(),
                by=request.user,
                now=clock.now(),
            )
        except SupplierRefused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("The item was kept."))
            return redirect("supplier-item", pk=made.pk)
    return render(
        request,
        "jobs/supplier_item.html",
        {"form": form, "supplier": supplier, "plants": plant_labels()},
    )


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def item(request: StaffRequest, pk: int) -> HttpResponse:
    """An item with every price it had, and its form."""
    found = asked.item_by_id(item_id=pk)
    if found is None:
        raise Http404
    form = _form(request, ItemForm.values_of(found))
    conflict: dict[str, Any] = {}
    if request.method == "POST" and form.is_valid():
        try:
            change_item(
                item_id=pk,
                version=form.cleaned_data["version"],
                details=form.details(),
                by=request.user,
                now=clock.now(),
            )
        except SupplierRefused as refused:
            form.add_error(None, str(refused))
        except SomebodyElseChangedIt as refused:
            stands = asked.item_by_id(item_id=pk)
            if stands is None:
                raise Http404 from None
            conflict = {
                "refused": str(refused),
                "differences": differences(form, ItemForm.values_of(stands)),
            }
        else:
            messages.success(request, _("The changes were kept."))
            return redirect("supplier-item", pk=pk)
    return render(
        request,
        "jobs/supplier_item.html",
        {
            "form": form,
            "supplier": found.supplier,
            "item": found,
            "prices": asked.prices_of(item_id=pk),
            "plants": plant_labels(),
            **conflict,
        },
    )
