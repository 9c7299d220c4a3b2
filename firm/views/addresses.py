"""Addresses as they come in, before any page reads them."""

from collections.abc import Callable

from django.core.exceptions import BadRequest
from django.http import HttpRequest, HttpResponseBase

NUL = "\0"


class NoNul:
    """Refuses a question that holds a NUL: no letter to a database, typed by nobody."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """The page, or the refusal; forms say it of their own fields."""
        for name, values in request.GET.lists():
            if NUL in name or any(NUL in value for value in values):
                raise BadRequest("A NUL in the question of an address.")
        return self.get_response(request)
