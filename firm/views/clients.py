"""Pages of clients: list, one client, a new one, changes."""

from typing import cast

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.clients import NoSuchClient, change_client, create_client
from firm.forms.clients import (
    BaseContactFormSet,
    ClientForm,
    ContactFormSet,
    contact_rows,
)
from firm.permissions import Permission
from firm.queries.clients import client_with_contacts, clients_matching


@needs(Permission.SEE_GARDENS)
@require_safe
def clients(request: StaffRequest) -> HttpResponse:
    """The clients, found by words of their name or contacts."""
    words = request.GET.get("q", "")[:100]
    found = clients_matching(words=words)
    return render(request, "firm/clients.html", {"clients": found, "words": words})


@needs(Permission.SEE_GARDENS)
@require_safe
def client(request: StaffRequest, pk: int) -> HttpResponse:
    """One client and the people to speak to."""
    found = client_with_contacts(client_id=pk)
    if found is None:
        raise Http404
    return render(request, "firm/client.html", {"client": found})


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def client_new(request: StaffRequest) -> HttpResponse:
    """The form for a new client; posted well, the client is there."""
    form = ClientForm(request.POST if request.method == "POST" else None)
    contacts = cast(
        BaseContactFormSet,
        ContactFormSet(
            request.POST if request.method == "POST" else None, prefix="contacts"
        ),
    )
    if request.method == "POST" and form.is_valid() & contacts.is_valid():
        made = create_client(
            details=form.details(),
            contacts=contacts.details(),
            by=request.user,
            now=clock.now(),
        )
        messages.success(request, _("%(name)s was added.") % {"name": made.name})
        return redirect("client", pk=made.pk)
    return render(
        request, "firm/client_form.html", {"form": form, "contacts": contacts}
    )


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def client_change(request: StaffRequest, pk: int) -> HttpResponse:
    """The form that changes a client and the contacts."""
    found = client_with_contacts(client_id=pk)
    if found is None:
        raise Http404
    form = ClientForm(
        request.POST if request.method == "POST" else None, instance=found
    )
    contacts = cast(
        BaseContactFormSet,
        ContactFormSet(
            request.POST if request.method == "POST" else None,
            prefix="contacts",
            initial=contact_rows(found),
        ),
    )
    if request.method == "POST" and form.is_valid() & contacts.is_valid():
        try:
            change_client(
                client_id=pk,
                details=form.details(),
                contacts=contacts.details(),
                by=request.user,
                now=clock.now(),
            )
        except NoSuchClient:
            raise Http404 from None
        messages.success(request, _("The changes were kept."))
        return redirect("client", pk=pk)
    return render(
        request,
        "firm/client_form.html",
        {"form": form, "contacts": contacts, "client": found},
    )
