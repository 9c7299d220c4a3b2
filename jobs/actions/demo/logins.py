"""The three logins of the demo, and the mark that it is one."""

import datetime as dt

from django.db import transaction

from firm.actions.accounts import set_password
from firm.models import Firm, Person

# One for each role, in the order they are printed.
LOGINS = {
    "owner": "olive@fernhollow.example",
    "crew": "reed@fernhollow.example",
    "bookkeeper": "bea@fernhollow.example",
}


class NotADemo(Exception):
    """A database that holds something else; nothing in it was touched."""

    def __init__(self) -> None:
        super().__init__(
            "This database is not marked as a demo. Nothing in it was touched."
        )


def refuse_unless_demo() -> None:
    """Raise NotADemo unless the firm in the database is marked as the demo."""
    if not Firm.objects.filter(pk=1, is_demo=True).exists():
        raise NotADemo


def mark_as_demo() -> None:
    """Mark the firm, which was just invented, as the demo."""
    Firm.objects.filter(pk=1).update(is_demo=True)


@transaction.atomic
def set_demo_passwords(*, passwords: dict[str, str], now: dt.datetime) -> None:
    """Give the demo's logins these passwords, by role; the old ones end."""
    refuse_unless_demo()
    for role, email in LOGINS.items():
        set_password(
            person=Person.objects.get(email=email),
            password=passwords[role],
            by=None,
            now=now,
        )
