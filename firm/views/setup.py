"""The first run, which closes itself."""

from django.contrib import messages
from django.contrib.auth import login as open_session
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from firm import clock
from firm.access import public
from firm.actions.setup import AlreadySetUp, set_up_firm
from firm.forms.setup import FirstRun
from firm.queries.setup import first_owner, is_set_up
from firm.views.accounts import BACKEND


@public
@sensitive_post_parameters()
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def first_run(request: HttpRequest) -> HttpResponse:
    """The questions of the first run; not found once the firm is set up."""
    if is_set_up():
        raise Http404
    forms = FirstRun(request.POST if request.method == "POST" else None)
    if request.method == "POST" and forms.is_valid():
        zone = forms.measures.cleaned_data["time_zone"]
        answers = forms.answers(today=clock.today(time_zone=zone))
        try:
            set_up_firm(**answers, now=clock.now())
        except AlreadySetUp:
            raise Http404 from None
        open_session(request, first_owner(), backend=BACKEND)
        messages.success(
            request, _("The firm is set up. All of it can be changed here, later.")
        )
        return redirect("firm")
    return render(request, "firm/first_run.html", {"parts": forms.parts()})
