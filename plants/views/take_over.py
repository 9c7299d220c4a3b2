"""Pages for taking clients and gardens over from a list: upload, look, take over."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.imports import ListSettled, drop_list, keep_list
from firm.enums import ImportState
from firm.permissions import Permission
from firm.queries.imports import list_import, lists_of
from plants.actions.take_over import take_over
from plants.exports import rows_left_out
from plants.forms.take_over import ListForm, TakeOverForm
from plants.queries.take_over import COLUMNS, KIND, has_climate, look_through

# A page of five thousand rows helps nobody.
MOST_SHOWN = 200


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def upload(request: StaffRequest) -> HttpResponse:
    """The form for a list; a list that can be read goes on to its preview."""
    is_sent = request.method == "POST"
    form = ListForm(request.POST, request.FILES) if is_sent else ListForm()
    if is_sent and form.is_valid():
        kept = keep_list(
            kind=KIND,
            file_name=form.file_name(),
            rows=form.rows(),
            by=request.user,
            now=clock.now(),
        )
        if left := form.left_columns():
            messages.warning(
                request, _("These columns are not taken over: %s.") % ", ".join(left)
            )
        return redirect("take-over-list", pk=kept.pk)
    heads = [words for words, _more in COLUMNS.values()]
    return render(
        request,
        "plants/take_over.html",
        {"form": form, "heads": heads, "lists": lists_of(kind=KIND)},
    )


@needs(Permission.EDIT_GARDENS)
@require_http_methods(["GET", "HEAD", "POST"])
def preview(request: StaffRequest, pk: int) -> HttpResponse:
    """What would become of each row; posted, the good rows are taken over."""
    listed = list_import(list_id=pk, kind=KIND)
    if listed is None:
        raise Http404
    form = TakeOverForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            taken = take_over(
                list_id=pk,
                station=form.cleaned_data["station"],
                by=request.user,
                now=clock.now(),
            )
        except ListSettled as settled:
            messages.error(request, str(settled))
        else:
            messages.success(
                request,
                ngettext(
                    "%(gardens)d garden and %(clients)d new clients were taken over.",
                    "%(gardens)d gardens and %(clients)d new clients were taken over.",
                    taken.gardens,
                )
                % {"gardens": taken.gardens, "clients": taken.clients},
            )
        return redirect("take-over-list", pk=pk)
    looked = look_through(listed=listed)
    return render(
        request,
        "plants/take_over_list.html",
        {
            "form": form,
            "listed": listed,
            "has_climate": has_climate(),
            "is_open": listed.state == ImportState.PREVIEW,
            "looked": looked,
            "new": looked.new[:MOST_SHOWN],
            "there": looked.there[:MOST_SHOWN],
            "wrong": looked.wrong[:MOST_SHOWN],
            "most_shown": MOST_SHOWN,
        },
    )


@needs(Permission.EDIT_GARDENS)
@require_POST
def drop(request: StaffRequest, pk: int) -> HttpResponse:
    """Drops the list; nothing of it was taken over."""
    if list_import(list_id=pk, kind=KIND) is None:
        raise Http404
    try:
        drop_list(list_id=pk, by=request.user, now=clock.now())
    except ListSettled as settled:
        messages.error(request, str(settled))
    else:
        messages.success(request, _("The list was dropped."))
    return redirect("take-over")


@needs(Permission.EDIT_GARDENS)
@require_safe
def left_out(request: StaffRequest, pk: int) -> HttpResponse:
    """The rows that are not good, as a CSV to mend and upload again."""
    listed = list_import(list_id=pk, kind=KIND)
    if listed is None:
        raise Http404
    content = rows_left_out(look_through(listed=listed).wrong)
    return HttpResponse(
        content,
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": 'attachment; filename="rows-left-out.csv"'},
    )
