"""The record of who did what, and the numbers of documents."""

import datetime as dt
from typing import Any

from django.db import models, transaction
from django.db.models import F

from firm.models import Counter, Entry, Person


class SomebodyElseChangedIt(Exception):
    """A row was changed by somebody else since the page was opened."""

    def __init__(self) -> None:
        super().__init__(
            "Somebody else changed this since you opened the page. "
            "Nothing of theirs was overwritten; look at it again below."
        )


def record(
    *,
    action: str,
    subject: models.Model,
    summary: str,
    now: dt.datetime,
    by: Person | None,
    by_words: str = "",
    details: dict[str, Any] | None = None,
) -> Entry:
    """The new line of the record; call it inside the action's transaction."""
    return Entry.objects.create(
        at=now,
        by=by,
        by_words=by_words,
        action=action,
        subject_kind=subject._meta.label_lower,
        subject_id=subject.pk,
        summary=summary[:300],
        details=details or {},
    )


@transaction.atomic
def next_number(*, kind: str, prefix: str, year: int) -> str:
    """The next document number of KIND in YEAR, such as Q-2026-0007, without gaps."""
    Counter.objects.get_or_create(kind=kind, year=year)
    Counter.objects.filter(kind=kind, year=year).update(value=F("value") + 1)
    value = Counter.objects.values_list("value", flat=True).get(kind=kind, year=year)
    return f"{prefix}-{year}-{value:04d}"
