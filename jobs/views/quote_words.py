"""The page of the firm's words that every quote prints."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from firm import clock
from firm.access import StaffRequest, needs
from firm.actions.setup import NotSetUp, change_firm
from firm.permissions import Permission
from firm.queries import firm_or_blank
from jobs.forms.quote_words import WORDS, QuoteWordsForm


@needs(Permission.RUN_FIRM)
@require_http_methods(["GET", "HEAD", "POST"])
def quote_words(request: StaffRequest) -> HttpResponse:
    """What quotes say of their bounds and of the warranty; ?proposed fills blanks."""
    firm = firm_or_blank()
    form = QuoteWordsForm(
        request.POST if request.method == "POST" else None,
        initial=QuoteWordsForm.of_firm(firm, proposed="proposed" in request.GET),
    )
    if request.method == "POST" and form.is_valid():
        try:
            change_firm(changes=form.cleaned_data, by=request.user, now=clock.now())
        except NotSetUp:
            raise Http404 from None
        messages.success(request, _("The settings were kept."))
        return redirect("firm-quote-words")
    return render(
        request,
        "jobs/quote_words.html",
        {
            "form": form,
            "has_blanks": not all(getattr(firm, name) for name in WORDS)
            and "proposed" not in request.GET,
        },
    )
