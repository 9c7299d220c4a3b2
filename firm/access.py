"""Who may open a page: every view says so with one of these three."""

from collections.abc import Callable
from functools import wraps
from typing import Any, cast

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponseBase

from firm.models import Person
from firm.permissions import Permission

View = Callable[..., HttpResponseBase]
PUBLIC = "public"
PRIVATE_LINK = "private link"
# No row has a greater number, and SQLite cannot even be asked for one.
MOST_ID = 2**63 - 1


class StaffRequest(HttpRequest):
    """A request by somebody who is logged in."""

    user: Person


def needs(permission: Permission) -> Callable[[View], View]:
    """A view that only roles with PERMISSION reach; others are refused with 403."""

    def gate(view: View) -> View:
        @wraps(view)
        def gated(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if not cast(Person, request.user).may(permission):
                raise PermissionDenied
            if any(
                isinstance(part, int) and part > MOST_ID for part in kwargs.values()
            ):
                raise Http404
            response = view(request, *args, **kwargs)
            # What somebody saw stays out of a shared machine's caches.
            response.headers.setdefault("Cache-Control", "no-store")
            return response

        gated.permission = permission  # type: ignore[attr-defined]
        return gated

    return gate


def public(view: View) -> View:
    """A view that anybody reaches: login, password reset, first run, health."""
    opened = login_not_required(view)
    opened.permission = PUBLIC  # type: ignore[attr-defined]
    return opened


def by_private_link(view: View) -> View:
    """A view that is reached with a private link's key instead of an account."""
    opened = login_not_required(view)
    opened.permission = PRIVATE_LINK  # type: ignore[attr-defined]
    return opened
