"""What every template knows: the firm and the menu of the one who looks."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest
from django.utils.functional import SimpleLazyObject
from django.utils.translation import gettext_lazy as _

from firm.models import Person
from firm.permissions import Permission
from firm.queries import firm_or_blank


@dataclass(frozen=True)
class MenuItem:
    """One word of the menu."""

    words: Any
    url_name: str
    permission: Permission


MENU = (
    MenuItem(_("Today"), "today", Permission.SEE_TODAY),
    MenuItem(_("Gardens"), "gardens", Permission.SEE_GARDENS),
    MenuItem(_("Plants"), "plants", Permission.SEE_PLANTS),
    MenuItem(_("Week"), "week", Permission.PLAN_WORK),
    MenuItem(_("Books"), "books", Permission.SEE_BOOKS),
)


def firm_and_menu(request: HttpRequest) -> dict[str, Any]:
    """The firm's row (read once, when a template asks) and the menu for this person."""
    user = getattr(request, "user", None)
    menu = (
        [item for item in MENU if user.may(item.permission)]
        if isinstance(user, Person)
        else []
    )
    return {"firm": SimpleLazyObject(firm_or_blank), "menu": menu}
