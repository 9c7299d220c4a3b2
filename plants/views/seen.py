"""Pages of what was seen in flower, and the degree days taken from it."""

import datetime as dt
from collections.abc import Sequence

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from firm import clock
from firm.access import StaffRequest, needs
from firm.permissions import Permission
from firm.queries import firm_or_blank
from plants.actions.station_blooms import BloomRefused, correct_bloom, take_back_bloom
from plants.forms.seen import DegreeDaysForm, SeenFilterForm
from plants.queries import seen as log
from plants.queries.seen import SeenPage

PAIRS_PER_PAGE = 10


def _today() -> dt.date:
    return clock.today(time_zone=firm_or_blank().time_zone)


@needs(Permission.SEE_PLANTS)
@require_safe
def seen(request: StaffRequest) -> HttpResponse:
    """What was seen in flower against what was computed, by climate and group."""
    form = SeenFilterForm(request.GET, years=log.seen_years())
    asked = form.asked()
    page = Paginator(log.seen_pairs(**asked), PAIRS_PER_PAGE).get_page(
        request.GET.get("page")
    )
    return render(
        request,
        "plants/seen.html",
        {
            "form": form,
            "page": page,
            "groups": log.seen_groups(pairs=list(page), year=asked["year"]),
            "asked": any(value is not None for value in asked.values()),
        },
    )


@needs(Permission.SEE_PLANTS)
@require_safe
def seen_group(request: StaffRequest, pk: int, key: str) -> HttpResponse:
    """One group in one climate: every year, and the degree days the log speaks for."""
    return _group_page(request, _found(pk, key))


@needs(Permission.EDIT_PLANTS)
@require_POST
def seen_correct(request: StaffRequest, pk: int, key: str) -> HttpResponse:
    """Lets a group flower by these degree days in one climate from now on."""
    page = _found(pk, key)
    form = DegreeDaysForm(request.POST)
    if form.is_valid():
        try:
            corrected = correct_bloom(
                group=page.seen.group,
                station=page.seen.station,
                first=form.cleaned_data["first"],
                last=form.cleaned_data["last"],
                today=_today(),
                now=clock.now(),
                by=request.user,
            )
        except BloomRefused as refused:
            form.add_error(refused.field, str(refused))
        else:
            messages.success(
                request,
                _("%(group)s goes by these degree days at %(place)s from now on.")
                % {"group": page.seen.group.name, "place": page.seen.station.name},
            )
            _say(request, corrected.said)
            return redirect("seen-group", pk=pk, key=key)
    return _group_page(request, page, form=form)


@needs(Permission.EDIT_PLANTS)
@require_POST
def seen_take_back(request: StaffRequest, pk: int, key: str) -> HttpResponse:
    """Lets a group flower as it was computed before."""
    page = _found(pk, key)
    taken_back = take_back_bloom(
        group=page.seen.group,
        station=page.seen.station,
        today=_today(),
        now=clock.now(),
        by=request.user,
    )
    if taken_back is not None:
        messages.success(
            request, _("Taken back: bloom is computed there as it was before.")
        )
        _say(request, taken_back.said)
    return redirect("seen-group", pk=pk, key=key)


def _say(request: StaffRequest, said: Sequence[str]) -> None:
    """What moved in planned work, one message a sentence."""
    for words in said:
        messages.info(request, words)


def _found(pk: int, key: str) -> SeenPage:
    page = log.seen_page(station_id=pk, key=key)
    if page is None:
        raise Http404
    return page


def _group_page(
    request: StaffRequest, page: SeenPage, *, form: DegreeDaysForm | None = None
) -> HttpResponse:
    if form is None:
        row, told = page.correction, page.suggestion
        initial = {
            "first": row.gdd50_first if row else told and told.first.middle,
            "last": row.gdd50_last if row else told and told.last and told.last.middle,
        }
        form = DegreeDaysForm(initial=initial)
    return render(request, "plants/seen_group.html", {"page": page, "form": form})
