"""Pages for whoever has a private link, and how an offer is read and answered there."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _

from firm import clock
from jobs.actions.links import LinkClosed, note_opened
from jobs.forms.quotes import AgreeForm, AskForm, NoThanksForm
from jobs.pricing import PricingError
from jobs.queries.links import LinkState, OfferByLink
from jobs.views.papers import pdf_answer


def private_page(
    request: HttpRequest, template: str, context: dict[str, Any], *, status: int = 200
) -> HttpResponse:
    """A page for the one who has the link: kept by no cache, found by no search."""
    return sealed(render(request, template, context, status=status))


def sealed(answer: HttpResponse) -> HttpResponse:
    """ANSWER with the headers of a private page.

    Other places never learn the address. Not no-referrer: then browsers send the
    origin of the form as "null", and the client's yes would be refused as foreign.
    """
    answer["Referrer-Policy"] = "same-origin"
    answer["Cache-Control"] = "no-store, private"
    answer["X-Robots-Tag"] = "noindex, nofollow"
    return answer


@dataclass(frozen=True, kw_only=True)
class PrivateOffer:
    """One kind of offer on its private page: how it is found, shown and answered.

    REFUSED is what its actions raise when somebody else was first.
    """

    find: Callable[..., OfferByLink]
    url: str
    template: str
    refused_template: str
    form: type[AgreeForm]
    agree: Callable[..., object]
    decline: Callable[..., object]
    refused: type[Exception]
    # What all comes to with options; None: there are no options.
    whole_of: Callable[..., Decimal] | None = None
    # Asking before answering, and what was asked; None: there is no asking.
    ask: Callable[..., object] | None = None
    asked: Callable[..., Sequence[object]] | None = None

    def read(self, request: HttpRequest, key: str) -> HttpResponse:
        """The offer as it was issued; the first reading is noted."""
        found = self.find(key=key, now=clock.now())
        if found.link is None or found.state not in LinkState.readable():
            return self._closed(request, found)
        if request.method == "GET":
            note_opened(link=found.link, now=clock.now())
        return self._page(request, found, key=key)

    def take_yes(self, request: HttpRequest, key: str) -> HttpResponse:
        """The client's yes, once; a second one is told who agreed and when."""
        now = clock.now()
        found = self.find(key=key, now=now)
        if found.link is None or found.state != LinkState.OPEN:
            return self._as_it_stands(request, found, key=key)
        form = self._form(found, request.POST)
        if not form.is_valid():
            return self._page(request, found, key=key, agree=form)
        chosen: dict[str, Any] = {}
        if self.whole_of is not None and form.taken():
            chosen = {"taken": form.taken()}
            try:
                whole = str(self.whole_of(link=found.link, taken=form.taken()))
            except PricingError:
                form.add_error("taken", _("Two of these exclude each other. Tick one."))
                return self._page(request, found, key=key, agree=form)
            if form.cleaned_data["seen"] != whole:
                # Nobody agrees to a price that they have not read.
                data = request.POST.copy()
                data["seen"] = whole
                again = self._form(found, data)
                return self._page(request, found, key=key, agree=again, whole=whole)
        try:
            self.agree(
                link_id=found.link.pk,
                name=form.cleaned_data["name"],
                now=now,
                **chosen,
            )
        except (self.refused, LinkClosed):
            # Decided by somebody else between the look and the yes.
            found = self.find(key=key, now=clock.now())
            return self._as_it_stands(request, found, key=key)
        return sealed(redirect(self.url, key=key))

    def _form(self, found: OfferByLink, data: Any = None) -> AgreeForm:
        options = found.choices if self.whole_of is not None else []
        return self.form(data, options=options)

    def take_no(self, request: HttpRequest, key: str) -> HttpResponse:
        """The client's no, with a reason if there is one."""
        now = clock.now()
        found = self.find(key=key, now=now)
        if found.link is None or found.state != LinkState.OPEN:
            return self._as_it_stands(request, found, key=key)
        form = NoThanksForm(request.POST)
        if not form.is_valid():
            return self._page(request, found, key=key, decline=form)
        try:
            self.decline(link_id=found.link.pk, no=form.no(), now=now)
        except (self.refused, LinkClosed):
            found = self.find(key=key, now=clock.now())
            return self._as_it_stands(request, found, key=key)
        return sealed(redirect(self.url, key=key))

    def take_question(self, request: HttpRequest, key: str) -> HttpResponse:
        """The client's question, which goes to the owner."""
        now = clock.now()
        found = self.find(key=key, now=now)
        if found.link is None or found.state != LinkState.OPEN or self.ask is None:
            return self._as_it_stands(request, found, key=key)
        form = AskForm(request.POST)
        if form.is_valid():
            try:
                self.ask(link_id=found.link.pk, now=now, **form.cleaned_data)
            except LinkClosed:
                found = self.find(key=key, now=clock.now())
                return self._as_it_stands(request, found, key=key)
            except self.refused as refused:
                form.add_error(None, str(refused))
            else:
                return sealed(redirect(f"{reverse(self.url, args=[key])}#ask"))
        return self._page(request, found, key=key, ask=form)

    def pdf(self, request: HttpRequest, key: str) -> HttpResponse:
        """The same offer as PDF."""
        found = self.find(key=key, now=clock.now())
        if found.link is None or found.state not in LinkState.readable():
            return self._closed(request, found)
        document = found.link.document
        return sealed(pdf_answer(request, document, file_name=document.number))

    def _closed(self, request: HttpRequest, found: OfferByLink) -> HttpResponse:
        """In plain words why the link opens nothing: 404 unknown, 410 once it did."""
        return private_page(
            request,
            self.refused_template,
            {"state": str(found.state)},
            status=404 if found.state == LinkState.UNKNOWN else 410,
        )

    def _as_it_stands(
        self, request: HttpRequest, found: OfferByLink, *, key: str
    ) -> HttpResponse:
        """What stands now, to somebody who came second."""
        if found.state not in LinkState.readable():
            return self._closed(request, found)
        return self._page(request, found, key=key, status=409)

    def _page(
        self,
        request: HttpRequest,
        found: OfferByLink,
        *,
        key: str,
        agree: AgreeForm | None = None,
        whole: str = "",
        decline: NoThanksForm | None = None,
        ask: AskForm | None = None,
        status: int = 200,
    ) -> HttpResponse:
        return private_page(
            request,
            self.template,
            {
                "key": key,
                "paper": found.paper,
                "agreement": found.agreement,
                "state": str(found.state),
                "decided_at": found.decided_at,
                "form": agree or self._form(found),
                "whole": whole,
                "decline": decline or NoThanksForm(),
                "is_declining": decline is not None,
                "ask": ask or AskForm(),
                "is_asking": ask is not None,
                "questions": self.asked(found=found) if self.asked else (),
            },
            status=status,
        )
