"""Forms that are taken once, however often a browser sends them."""

from collections.abc import Callable
from hashlib import sha256
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import redirect
from django.utils.translation import gettext as _

KEPT = 20
IN_SESSION = "forms taken"


def content_of(request: HttpRequest) -> str:
    """A fingerprint of the form's key and of all that was typed into it.

    Somebody who goes back, changes a word and sends again sends another form.
    """
    typed = sorted(
        (name, request.POST.getlist(name))
        for name in request.POST
        if name != "csrfmiddlewaretoken"
    )
    files = sorted(
        (name, str(file.name), file.size or 0)
        for name in request.FILES
        for file in request.FILES.getlist(name)
    )
    return sha256(repr((request.path, typed, files)).encode()).hexdigest()


class TakenOnce:
    """Answers the second sending of the same form as it did the first.

    Only what makes a row without a key of its own needs it (`{% once %}` in the form).
    Two sendings at the same instant are held apart in the browser (notebook.js).
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """The answer; where a form was taken, the session keeps where it led."""
        response = self.get_response(request)
        key = getattr(request, "form_key", "")
        if key and response.status_code == 302:
            taken = request.session.get(IN_SESSION, [])
            where = response.headers["Location"]
            request.session[IN_SESSION] = [*taken, [key, where]][-KEPT:]
        return response

    def process_view(
        self, request: HttpRequest, view: Any, args: Any, kwargs: Any
    ) -> HttpResponseBase | None:
        """The way to what the first sending made; nothing for a new form."""
        if request.method != "POST" or not request.POST.get("once"):
            return None
        key = content_of(request)
        for taken, where in request.session.get(IN_SESSION, []):
            if taken == key:
                messages.info(request, _("This was sent twice and taken once."))
                return redirect(where)
        request.form_key = key  # type: ignore[attr-defined]
        return None
