"""Pages on which the owner writes down what a client answered to an offer."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from firm import clock
from firm.access import StaffRequest
from firm.queries import firm_or_blank
from jobs.actions.agreements import AgreedBeforeOffered, AgreedTooLate
from jobs.enums import AgreedHow
from jobs.forms.quotes import (
    DeclinedForm,
    ReasonForm,
    RecordAgreementForm,
    SendAgainForm,
)

if TYPE_CHECKING:
    from firm.models import Contact

# Called with what was typed; the view has said already of which offer.
Act = Callable[..., object]


@dataclass(frozen=True, kw_only=True)
class Desk:
    """One offer on the owner's desk: how its answers are shown, and its own page.

    REFUSED is what its actions raise.
    """

    template: str
    context: Mapping[str, Any]
    url: str
    pk: int
    refused: type[Exception]

    def show(
        self, request: StaffRequest, form: object, *, title: str, **more: Any
    ) -> HttpResponse:
        """The page with FORM."""
        return render(
            request,
            self.template,
            {"form": form, "title": title, **self.context, **more},
        )


def sent(request: StaffRequest) -> QueryDict | None:
    """What a form sent; None on the way to it."""
    return request.POST if request.method == "POST" else None


def answer_page(
    request: StaffRequest,
    desk: Desk,
    form: forms.Form,
    act: Callable[[], object],
    *,
    title: str,
    done: str,
    beside: Mapping[type[Exception], str] | None = None,
    **more: Any,
) -> HttpResponse:
    """The page of FORM; once it is sent and holds, ACT, then the offer's own page.

    A refusal stands over the form, or beside the field that BESIDE names for it.
    """
    fields = beside or {}
    if request.method == "POST" and form.is_valid():
        try:
            act()
        except (desk.refused, *fields) as refused:
            form.add_error(fields.get(type(refused)), str(refused))
        else:
            messages.success(request, done)
            return redirect(desk.url, pk=desk.pk)
    return desk.show(request, form, title=title, **more)


def send_again_page(
    request: StaffRequest, desk: Desk, act: Act, *, contacts: Sequence["Contact"]
) -> HttpResponse:
    """Another private link to the same offer, mailed to a contact."""
    form = SendAgainForm(sent(request), contacts=contacts)
    return answer_page(
        request,
        desk,
        form,
        lambda: act(contact_id=form.contact_id, by=request.user, now=clock.now()),
        title=_("Send it again"),
        done=_("Another letter with a link goes out."),
    )


def link_withdrawn(
    request: StaffRequest, act: Act, *, refused: type[Exception], url: str, pk: int
) -> HttpResponse:
    """One private link taken back; the offer stands."""
    try:
        act(by=request.user, now=clock.now())
    except refused:
        raise Http404 from None
    messages.success(request, _("The private link opens nothing any more."))
    return redirect(url, pk=pk)


def withdraw_page(request: StaffRequest, desk: Desk, act: Act) -> HttpResponse:
    """The whole offer taken back before its last day."""
    return _reason_page(
        request,
        desk,
        act,
        title=_("Take the offer back"),
        done=_("The offer was taken back."),
    )


def declined_page(request: StaffRequest, desk: Desk, act: Act) -> HttpResponse:
    """The client's no, written down."""
    form = DeclinedForm(sent(request))
    return answer_page(
        request,
        desk,
        form,
        lambda: act(no=form.no(), by=request.user, now=clock.now()),
        title=_("The client said no"),
        done=_("Written down as declined."),
    )


def _reason_page(
    request: StaffRequest, desk: Desk, act: Act, *, title: str, done: str
) -> HttpResponse:
    form = ReasonForm(sent(request))
    return answer_page(
        request,
        desk,
        form,
        lambda: act(
            reason=form.cleaned_data["reason"], by=request.user, now=clock.now()
        ),
        title=title,
        done=done,
    )


def agreed_page(
    request: StaffRequest,
    desk: Desk,
    act: Act,
    *,
    contacts: Sequence["Contact"],
    done: str,
    options: Sequence[tuple[int, str]] = (),
) -> HttpResponse:
    """The client's yes by telephone or on paper, written down."""
    now = clock.now()
    form = RecordAgreementForm(
        sent(request),
        request.FILES if request.method == "POST" else None,
        contacts=contacts,
        now=now,
        time_zone=firm_or_blank().time_zone,
        options=options,
    )

    def agree() -> object:
        found = form.cleaned_data
        return act(
            how=AgreedHow(found["how"]),
            name=found["name"],
            agreed_at=form.moment,
            agreed_on=found["agreed_on"],
            note=found["note"],
            scan=found["scan"],
            confirm_to=found["confirm_to"],
            by=request.user,
            now=now,
            **({"taken": form.taken()} if options else {}),
        )

    return answer_page(
        request,
        desk,
        form,
        agree,
        title=_("The client said yes"),
        done=done,
        beside={AgreedBeforeOffered: "agreed_on", AgreedTooLate: "agreed_on"},
        is_agreeing=True,
    )
