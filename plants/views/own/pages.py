"""The page of all that the firm wrote, and the form of a source."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from firm import clock
from firm.access import StaffRequest, needs
from firm.permissions import Permission
from plants.actions.own_plants import add_source
from plants.forms.own import SourceForm
from plants.queries import own


@needs(Permission.EDIT_PLANTS)
@require_safe
def everything(request: StaffRequest) -> HttpResponse:
    """The firm's groups, plants and lines, and which of them no longer fit."""
    return render(request, "plants/own.html", {"page": own.own_page()})


@needs(Permission.EDIT_PLANTS)
@require_http_methods(["GET", "HEAD", "POST"])
def source_new(request: StaffRequest) -> HttpResponse:
    """The form of a page or book that the firm rests something on."""
    form = SourceForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        source = add_source(now=clock.now(), by=request.user, **form.cleaned_data)
        messages.success(request, _("%s can now be chosen as a source.") % source)
        return redirect("own")
    return render(request, "plants/own_source.html", {"form": form})
