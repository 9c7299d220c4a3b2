"""Pages of care guides, for the owner and by private link for the client."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from firm import clock
from firm.access import StaffRequest, by_private_link, needs
from firm.permissions import Permission
from jobs.actions.guides import (
    GuideRefused,
    issue_guide,
    send_guide,
    withdraw_guide_link,
)
from jobs.actions.links import note_opened
from jobs.forms.work import GuideForm, SendGuideForm
from jobs.queries.guides import (
    GuideByLink,
    growing_in,
    guide_by_link,
    guide_document,
    guides_of,
    links_of_guide,
)
from jobs.views.papers import pdf_answer
from jobs.views.private_pages import private_page, sealed
from jobs.views.work import local_day
from plants.queries.gardens import garden as find_garden


@needs(Permission.PLAN_WORK)
@require_http_methods(["GET", "HEAD", "POST"])
def guide_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Write a new care guide to what grows in a garden."""
    garden = find_garden(pk=pk)
    if garden is None:
        raise Http404
    plantings = growing_in(garden=garden)
    form = GuideForm(
        request.POST if request.method == "POST" else None,
        client=garden.client,
        plantings=plantings,
    )
    if request.method == "POST" and form.is_valid():
        try:
            issued = issue_guide(
                garden=garden,
                planting_ids=[int(each) for each in form.cleaned_data["plantings"]],
                start=local_day(),
                contact=form.cleaned_data["contact"],
                now=clock.now(),
                by=request.user,
            )
        except GuideRefused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(
                request,
                _("The care guide goes to %(address)s.")
                % {"address": issued.message.recipient}
                if issued.message
                else _("The care guide is written; hand it over yourself."),
            )
            return redirect("guide", pk=issued.document.pk)
    return render(
        request,
        "jobs/guide_new.html",
        {
            "form": form,
            "garden": garden,
            "plantings": plantings,
            "guides": guides_of(garden=garden)[:20],
        },
    )


@needs(Permission.PLAN_WORK)
@require_safe
def guide(request: StaffRequest, pk: int) -> HttpResponse:
    """One care guide: its PDF, its private links, sending it again."""
    document = guide_document(pk=pk)
    if document is None:
        raise Http404
    return render(
        request,
        "jobs/guide.html",
        {
            "document": document,
            "garden": document.garden,
            "links": links_of_guide(document=document),
            "form": SendGuideForm(client=document.garden.client),
            "paper": document.snapshot,
        },
    )


@needs(Permission.PLAN_WORK)
@require_safe
def guide_pdf(request: StaffRequest, pk: int) -> HttpResponse:
    """The care guide as PDF."""
    document = guide_document(pk=pk)
    if document is None:
        raise Http404
    return pdf_answer(request, document, file_name=document.number)


@needs(Permission.PLAN_WORK)
@require_POST
def guide_send(request: StaffRequest, pk: int) -> HttpResponse:
    """Send a care guide to a contact, by a new private link."""
    document = guide_document(pk=pk)
    if document is None:
        raise Http404
    form = SendGuideForm(request.POST, client=document.garden.client)
    if form.is_valid():
        message = send_guide(
            document=document,
            contact_id=form.cleaned_data["contact"].pk,
            now=clock.now(),
            by=request.user,
        )
        messages.success(
            request,
            _("The care guide goes to %(address)s.") % {"address": message.recipient},
        )
    else:
        messages.error(request, _("Choose a contact with a mail address."))
    return redirect("guide", pk=pk)


@needs(Permission.PLAN_WORK)
@require_POST
def guide_link_withdraw(request: StaffRequest, pk: int, link: int) -> HttpResponse:
    """Withdraw one private link to a care guide."""
    document = guide_document(pk=pk)
    if document is None:
        raise Http404
    try:
        withdraw_guide_link(
            document=document, link_id=link, now=clock.now(), by=request.user
        )
    except GuideRefused as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, _("The link opens nothing any more."))
    return redirect("guide", pk=pk)


def _unreferred(answer: HttpResponse) -> HttpResponse:
    """ANSWER whose address no other place learns; no form here needs its origin."""
    answer["Referrer-Policy"] = "no-referrer"
    return answer


def _refused(request: HttpRequest, found: GuideByLink) -> HttpResponse:
    """In plain words why the link opens nothing: 404 unknown, 410 once it did."""
    return _unreferred(
        private_page(
            request,
            "jobs/guide_refused.html",
            {"found": found},
            status=410 if found.document else 404,
        )
    )


@by_private_link
@require_safe
def link_guide(request: HttpRequest, key: str) -> HttpResponse:
    """The care guide as it was issued, for the client's phone or desk."""
    found = guide_by_link(key=key, now=clock.now())
    if found.link is None or found.document is None:
        return _refused(request, found)
    if request.method == "GET":
        note_opened(link=found.link, now=clock.now())
    return _unreferred(
        private_page(
            request,
            "jobs/guide_by_link.html",
            {"key": key, "paper": found.document.snapshot, "document": found.document},
        )
    )


@by_private_link
@require_safe
def link_guide_pdf(request: HttpRequest, key: str) -> HttpResponse:
    """The care guide as PDF, by its private link."""
    found = guide_by_link(key=key, now=clock.now())
    if found.link is None or found.document is None:
        return _refused(request, found)
    answer = pdf_answer(request, found.document, file_name=found.document.number)
    return _unreferred(sealed(answer))
