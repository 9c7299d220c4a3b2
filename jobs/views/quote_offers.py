"""Pages on which a quote is offered, taken back, and its answer written down."""

from functools import partial

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
from jobs.actions.agreements import record_agreement
from jobs.actions.quotes import (
    LastDayPast,
    QuoteRefused,
    answer_question,
    offer,
    record_decline,
    send_again,
    withdraw_offer,
    withdraw_quote_link,
)
from jobs.forms.quotes import AnswerForm, OfferForm
from jobs.queries import quotes as asked
from jobs.queries.quote_paper import changes_to_come
from jobs.queries.quote_prices import option_choices
from jobs.queries.quotes import QuotePage
from jobs.queries.suppliers import prices_open
from jobs.queries.takeoff.plans import not_printed
from jobs.views.answers import (
    Desk,
    agreed_page,
    answer_page,
    declined_page,
    link_withdrawn,
    send_again_page,
    sent,
    withdraw_page,
)


def _page(pk: int) -> QuotePage:
    today = clock.today(time_zone=firm_or_blank().time_zone)
    page = asked.quote_page(quote_id=pk, day=today)
    if page is None:
        raise Http404
    return page


def _desk(page: QuotePage) -> Desk:
    return Desk(
        template="jobs/quote_answer.html",
        context={"page": page, "quote": page.quote},
        url="quote",
        pk=page.quote.pk,
        refused=QuoteRefused,
    )


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_offer(request: StaffRequest, pk: int) -> HttpResponse:
    """The last look before a quote goes out, and to whom it goes."""
    page = _page(pk)
    firm = firm_or_blank()
    form = OfferForm(
        sent(request),
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
        {
            "form": form,
            "page": page,
            "quote": page.quote,
            "refused": refused,
            "prices_open": prices_open(
                quote_id=pk, day=clock.today(time_zone=firm.time_zone)
            ),
            "not_printed": not_printed(page.quote),
            "paper": changes_to_come(
                quote=page.quote, day=clock.today(time_zone=firm.time_zone)
            ),
        },
    )


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_send(request: StaffRequest, pk: int) -> HttpResponse:
    """Another private link to the same offer, mailed to a contact."""
    page = _page(pk)
    return send_again_page(
        request,
        _desk(page),
        partial(send_again, quote_id=pk),
        contacts=asked.contacts_of(quote=page.quote),
    )


@needs(Permission.WRITE_QUOTES)
@require_POST
def quote_link_withdraw(request: StaffRequest, pk: int, link: int) -> HttpResponse:
    """Take one private link back; the offer stands."""
    act = partial(withdraw_quote_link, quote_id=pk, link_id=link)
    return link_withdrawn(request, act, refused=QuoteRefused, url="quote", pk=pk)


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_withdraw(request: StaffRequest, pk: int) -> HttpResponse:
    """Take the whole offer back before its last day."""
    return withdraw_page(
        request, _desk(_page(pk)), partial(withdraw_offer, quote_id=pk)
    )


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_declined(request: StaffRequest, pk: int) -> HttpResponse:
    """Write down that the client said no."""
    return declined_page(
        request, _desk(_page(pk)), partial(record_decline, quote_id=pk)
    )


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_agreed(request: StaffRequest, pk: int) -> HttpResponse:
    """Write down that the client said yes by telephone or on paper."""
    page = _page(pk)
    return agreed_page(
        request,
        _desk(page),
        partial(record_agreement, quote_id=pk),
        contacts=asked.contacts_of(quote=page.quote),
        done=_("Agreed. The planting job is open."),
        options=option_choices(page.quote),
    )


@needs(Permission.WRITE_QUOTES)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_question(request: StaffRequest, pk: int, question: int) -> HttpResponse:
    """Answer what a client has asked about an offer."""
    found = asked.question_of(quote_id=pk, question_id=question)
    if found is None:
        raise Http404
    desk = _desk(_page(pk))
    form = AnswerForm(sent(request))
    return answer_page(
        request,
        desk,
        form,
        lambda: answer_question(
            quote_id=pk,
            question_id=question,
            words=form.cleaned_data["words"],
            by=request.user,
            now=clock.now(),
        ),
        title=_("Answer the question"),
        done=_("The answer goes out by mail and stands on the private page."),
        question=found,
    )
