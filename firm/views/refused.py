"""Pages for what was refused or not found; our own words instead of bare ones."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def csrf_refused(request: HttpRequest, reason: str = "") -> HttpResponse:
    """The page for a form that was sent without its token."""
    return render(request, "firm/refused_form.html", status=403)
