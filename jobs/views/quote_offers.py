"""Pages on which a quote is offered, taken back, and its answer written down."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.record import SomebodyElseChangedIt
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.actions.agreements import (
    AgreedBeforeOffered,
    AgreedTooLate,
    record_agreement,
)
from jobs.actions.quotes import (
    LastDayPast,
    QuoteRefused,
    offer,
    record_decline,
    send_again,
    withdraw_offer,
    withdraw_quote_link,
)
from jobs.enums import AgreedHow
from jobs.forms.quotes import (
    OfferForm,
    ReasonForm,
    RecordAgreementForm,
    SendAgainForm,
)
from jobs.queries import quotes as asked
from jobs.queries.quotes import QuotePage


def _page(pk: int) -> QuotePage:
    page = asked.quote_page(quote_id=pk)
    if page is None:
        raise Http404
    return page


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_offer(request: StaffRequest, pk: int) -> HttpResponse:
    """The last look before a quote goes out, and to whom it goes."""
    page = _page(pk)
    firm = firm_or_blank()
    form = OfferForm(
        request.POST if request.method == "POST" else None,
        quote=page.quote,
        contacts=asked.contacts_of(quote=page.quote),
        today=clock.today(time_zone=firm.time_zone),
        valid_days=firm.quote_valid_days,
    )
    refused = ""
    if request.method == "POST" and form.is_valid():
        try:
            offered = offer(
                quote_id=pk,
                version=form.cleaned_data["version"],
                contact_id=form.contact_id,
                valid_until=form.cleaned_data["valid_until"],
                by=request.user,
                now=clock.now(),
            )
        except LastDayPast as late:
            form.add_error("valid_until", str(late))
        except (SomebodyElseChangedIt, QuoteRefused) as refusal:
            refused = str(refusal)
            page = _page(pk)
        else:
            messages.success(
                request,
                _("The quote goes out by mail as soon as its PDF is drawn.")
                if offered.link
                else _(
                    "The quote is offered. Its PDF is being drawn for you to print."
                ),
            )
            return redirect("quote", pk=pk)
    return render(
        request,
        "jobs/quote_offer.html",
        {"form": form, "page": page, "quote": page.quote, "refused": refused},
    )


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_send(request: StaffRequest, pk: int) -> HttpResponse:
    """Another private link to the same offer, mailed to a contact."""
    page = _page(pk)
    form = SendAgainForm(
        request.POST if request.method == "POST" else None,
        contacts=asked.contacts_of(quote=page.quote),
    )
    if request.method == "POST" and form.is_valid():
        try:
            send_again(
                quote_id=pk,
                contact_id=form.contact_id,
                by=request.user,
                now=clock.now(),
            )
        except QuoteRefused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("Another letter with a link goes out."))
            return redirect("quote", pk=pk)
    return _answer_page(request, page, form, title=_("Send it again"))


@needs(Permission.WRITE_QUOTES)
@require_POST
def quote_link_withdraw(request: StaffRequest, pk: int, link: int) -> HttpResponse:
    """Take one private link back; the offer stands."""
    try:
        withdraw_quote_link(quote_id=pk, link_id=link, by=request.user, now=clock.now())
    except QuoteRefused:
        raise Http404 from None
    messages.success(request, _("The private link opens nothing any more."))
    return redirect("quote", pk=pk)


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_withdraw(request: StaffRequest, pk: int) -> HttpResponse:
    """Take the whole offer back before its last day."""
    page = _page(pk)
    form = ReasonForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            withdraw_offer(
                quote_id=pk,
                reason=form.cleaned_data["reason"],
                by=request.user,
                now=clock.now(),
            )
        except QuoteRefused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("The offer was taken back."))
            return redirect("quote", pk=pk)
    return _answer_page(request, page, form, title=_("Take the offer back"))


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_declined(request: StaffRequest, pk: int) -> HttpResponse:
    """Write down that the client said no."""
    page = _page(pk)
    form = ReasonForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            record_decline(
                quote_id=pk,
                reason=form.cleaned_data["reason"],
                by=request.user,
                now=clock.now(),
            )
        except QuoteRefused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("Written down as declined."))
            return redirect("quote", pk=pk)
    return _answer_page(request, page, form, title=_("The client said no"))


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_agreed(request: StaffRequest, pk: int) -> HttpResponse:
    """Write down that the client said yes by telephone or on paper."""
    page = _page(pk)
    now = clock.now()
    form = RecordAgreementForm(
        request.POST if request.method == "POST" else None,
        request.FILES if request.method == "POST" else None,
        contacts=asked.contacts_of(quote=page.quote),
        now=now,
        time_zone=firm_or_blank().time_zone,
    )
    if request.method == "POST" and form.is_valid():
        found = form.cleaned_data
        try:
            record_agreement(
                quote_id=pk,
                how=AgreedHow(found["how"]),
                name=found["name"],
                agreed_at=form.moment,
                agreed_on=found["agreed_on"],
                note=found["note"],
                scan=found["scan"],
                confirm_to=found["confirm_to"],
                by=request.user,
                now=now,
            )
        except (AgreedBeforeOffered, AgreedTooLate) as refused:
            form.add_error("agreed_on", str(refused))
        except QuoteRefused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, _("Agreed. The planting job is open."))
            return redirect("quote", pk=pk)
    return _answer_page(request, page, form, title=_("The client said yes"))


def _answer_page(
    request: StaffRequest, page: QuotePage, form: object, *, title: str
) -> HttpResponse:
    return render(
        request,
        "jobs/quote_answer.html",
        {"form": form, "page": page, "quote": page.quote, "title": title},
    )
