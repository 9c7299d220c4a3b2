"""Pages of quotes: the open ones, a new one, one quote, its words, its lines."""

from typing import Any, cast

from django.contrib import messages
from django.http import Http404, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.record import SomebodyElseChangedIt
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.actions.quotes import (
    AmountTooLarge,
    NotDrafting,
    QuoteRefused,
    TooManyLines,
    change_quote,
    create_quote,
    keep_lines,
    remove_lines,
    revise,
)
from jobs.forms.quote_lines import LINE_FORMS, LineForm
from jobs.forms.quotes import ChangeQuoteForm, NewQuoteForm
from jobs.queries import quotes as asked
from jobs.queries.suppliers import PriceSeen, prices_open
from jobs.views.papers import pdf_answer
from plants.forms.conflicts import differences
from plants.forms.fields import version_in


@needs(Permission.WRITE_QUOTES)
@require_safe
def quotes(request: StaffRequest) -> HttpResponse:
    """The drafts and offers that stand, and those answered last."""
    return render(
        request,
        "jobs/quotes.html",
        {
            "open": asked.quotes_open(),
            "decided": asked.quotes_decided(),
            "declined": asked.why_declined(
                day=clock.today(time_zone=firm_or_blank().time_zone)
            ),
        },
    )


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_new(request: StaffRequest, pk: int) -> HttpResponse:
    """The form that begins a quote for a garden."""
    garden = asked.garden_to_quote(garden_id=pk)
    if garden is None:
        raise Http404
    firm = firm_or_blank()
    form = NewQuoteForm(
        request.POST if request.method == "POST" else None,
        today=clock.today(time_zone=firm.time_zone),
        initial={"margin_percent": firm.margin_percent},
    )
    if request.method == "POST" and form.is_valid():
        made = create_quote(
            garden_id=pk,
            key=form.cleaned_data["key"],
            details=form.details(),
            by=request.user,
            now=clock.now(),
        )
        return redirect("quote", pk=made.pk)
    return render(request, "jobs/quote_form.html", {"form": form, "garden": garden})


@needs(Permission.SEE_MONEY)
@require_safe
def quote(request: StaffRequest, pk: int) -> HttpResponse:
    """One quote: lines by bed, totals, what became of it."""
    today = clock.today(time_zone=firm_or_blank().time_zone)
    page = asked.quote_page(quote_id=pk, day=today)
    if page is None:
        raise Http404
    return render(
        request,
        "jobs/quote.html",
        {
            "page": page,
            "quote": page.quote,
            "may_write": request.user.may(Permission.WRITE_QUOTES),
            "prices_open": _prices_open(pk) if page.is_draft else [],
        },
    )


def _prices_open(quote_id: int) -> list[PriceSeen]:
    today = clock.today(time_zone=firm_or_blank().time_zone)
    return prices_open(quote_id=quote_id, day=today)


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_change(request: StaffRequest, pk: int) -> HttpResponse:
    """The form for title, words, terms, margin; of two people the second is told."""
    found = asked.quote_by_id(quote_id=pk)
    if found is None:
        raise Http404
    form = ChangeQuoteForm(
        request.POST if request.method == "POST" else None,
        today=clock.today(time_zone=firm_or_blank().time_zone),
        initial=ChangeQuoteForm.values_of(found),
    )
    conflict: dict[str, Any] = {}
    if request.method == "POST" and form.is_valid():
        try:
            change_quote(
                quote_id=pk,
                version=form.cleaned_data["version"],
                details=form.details(),
                by=request.user,
                now=clock.now(),
            )
        except SomebodyElseChangedIt as refused:
            stands = asked.quote_by_id(quote_id=pk)
            if stands is None:
                raise Http404 from None
            conflict = {
                "refused": str(refused),
                "differences": differences(form, ChangeQuoteForm.values_of(stands)),
            }
        except AmountTooLarge as refused:
            form.add_error("margin_percent", str(refused))
        except NotDrafting as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("The changes were kept."))
            return redirect("quote", pk=pk)
    return render(
        request,
        "jobs/quote_form.html",
        {"form": form, "quote": found, "garden": found.garden, **conflict},
    )


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_line_new(request: StaffRequest, pk: int, kind: str) -> HttpResponse:
    """The form for a new line."""
    if kind not in LINE_FORMS:
        raise Http404
    return _line_page(request, quote_id=pk, kind=kind, line=None)


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_line(request: StaffRequest, pk: int, line: int) -> HttpResponse:
    """The form that changes a line and what was worked out together with it."""
    found = asked.line_of(quote_id=pk, line_id=line)
    if found is None:
        if request.method == "POST" and request.POST.get("kind") in LINE_FORMS:
            # Taken off by somebody else: what was typed is kept, as a new line.
            return _line_page(
                request, quote_id=pk, kind=request.POST["kind"], line=None, is_gone=True
            )
        raise Http404
    return _line_page(request, quote_id=pk, kind=found.kind, line=found)


def _line_page(
    request: StaffRequest,
    *,
    quote_id: int,
    kind: str,
    line: Any,
    is_gone: bool = False,
) -> HttpResponse:
    found = asked.quote_by_id(quote_id=quote_id)
    if found is None:
        raise Http404
    form = LINE_FORMS[kind](
        request.POST if request.method == "POST" else None,
        quote=found,
        firm=firm_or_blank(),
        line=line,
        initial={"bed": request.GET.get("bed", "")},
    )
    refused = ""
    if is_gone:
        refused = _("Somebody took this line off meanwhile. It can be put back:")
        form.is_valid()
    elif request.method == "POST" and "look" in request.POST:
        _only_look(form)
    elif request.method == "POST" and form.is_valid():
        try:
            keep_lines(
                quote_id=quote_id,
                version=form.cleaned_data["version"],
                details=form.details(),
                instead_of=[row.pk for row in asked.lines_with(line)] if line else [],
                by=request.user,
                now=clock.now(),
            )
        except SomebodyElseChangedIt as conflict:
            refused = str(conflict)
        except (AmountTooLarge, TooManyLines, NotDrafting) as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The line was kept."))
            return redirect("quote", pk=quote_id)
    page = asked.quote_page(quote_id=quote_id) if refused else None
    if page is not None:
        # Sending it again is then a decision, not an accident.
        form.data = _with_version(form, page.quote.version)
    return render(
        request,
        "jobs/quote_line_form.html",
        {
            "form": form,
            "kind": kind,
            "quote": found,
            "line": line,
            "refused": refused,
            "page": page,
            "plants": asked.plant_labels() if kind == "plants" else [],
        },
    )


def _only_look(form: LineForm) -> None:
    """Work the line out without asking for what is still empty."""
    form.is_valid()
    for name, faults in list(form.errors.as_data().items()):
        if all(fault.code == "required" for fault in faults):
            del form.errors[name]


def _with_version(form: LineForm, version: int) -> QueryDict:
    data = cast(QueryDict, form.data).copy()
    data["version"] = str(version)
    return data


@needs(Permission.WRITE_QUOTES)
@require_POST
def quote_line_remove(request: StaffRequest, pk: int, line: int) -> HttpResponse:
    """Take a line off, with what was worked out together with it."""
    found = asked.line_of(quote_id=pk, line_id=line)
    if found is None:
        messages.warning(request, _("This line was taken off before."))
        return redirect("quote", pk=pk)
    try:
        remove_lines(
            quote_id=pk,
            version=version_in(request.POST),
            lines=[row.pk for row in asked.lines_with(found)],
            by=request.user,
            now=clock.now(),
        )
    except (SomebodyElseChangedIt, QuoteRefused) as refused:
        messages.warning(request, str(refused))
    else:
        messages.success(request, _("The line was taken off."))
    return redirect("quote", pk=pk)


@needs(Permission.WRITE_QUOTES)
@require_POST
def quote_revise(request: StaffRequest, pk: int) -> HttpResponse:
    """Draw the next revision; the present one stands until that is offered."""
    try:
        new = revise(quote_id=pk, by=request.user, now=clock.now())
    except QuoteRefused as refused:
        messages.warning(request, str(refused))
        return redirect("quote", pk=pk)
    return redirect("quote", pk=new.pk)


@needs(Permission.SEE_MONEY)
@require_safe
def quote_pdf(request: StaffRequest, pk: int) -> HttpResponse:
    """The PDF of an offered quote."""
    found = asked.quote_with_agreement(quote_id=pk)
    document = asked.paper_of(found) if found else None
    if found is None or document is None:
        raise Http404
    return pdf_answer(request, document, file_name=str(found))
