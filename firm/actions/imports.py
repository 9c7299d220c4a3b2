"""Uploaded lists: kept as read, then taken over or dropped, once."""

import datetime as dt
from collections.abc import Collection
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from firm.actions.record import record
from firm.enums import ImportState
from firm.models import ListImport, Person


class ListSettled(Exception):
    """The list was taken over or dropped already."""

    def __init__(self) -> None:
        super().__init__(_("This list was taken over or dropped already."))


@transaction.atomic
def keep_list(
    *,
    kind: str,
    file_name: str,
    rows: list[dict[str, Any]],
    by: Person,
    now: dt.datetime,
) -> ListImport:
    """The list as it was read, to be looked at; nothing of it is taken over yet."""
    kept = ListImport.objects.create(
        kind=kind,
        file_name=file_name[:200],
        rows=rows,
        uploaded_by=by,
        uploaded_at=now,
    )
    record(
        action="list uploaded",
        subject=kept,
        summary=f"{file_name}: {len(rows)} rows read",
        now=now,
        by=by,
    )
    return kept


@transaction.atomic
def settle_list(
    *,
    list_id: int,
    state: ImportState,
    summary: str,
    by: Person,
    now: dt.datetime,
) -> ListImport:
    """The list, now in STATE; whoever comes second is refused."""
    settled = ListImport.objects.filter(pk=list_id, state=ImportState.PREVIEW).update(
        state=state, settled_at=now
    )
    if settled != 1:
        raise ListSettled
    kept = ListImport.objects.get(pk=list_id)
    record(
        action="list taken over" if state == ImportState.TAKEN_OVER else "list dropped",
        subject=kept,
        summary=summary or kept.file_name,
        now=now,
        by=by,
    )
    return kept


@transaction.atomic
def keep_rows(*, list_id: int, numbers: Collection[int]) -> ListImport:
    """The list with only the rows of those NUMBERS left."""
    kept = ListImport.objects.get(pk=list_id)
    kept.rows = [row for row in kept.rows if row["row"] in numbers]
    kept.save(update_fields=["rows"])
    return kept


@transaction.atomic
def drop_list(*, list_id: int, by: Person, now: dt.datetime) -> ListImport:
    """The list, dropped and emptied; nothing of it was taken over."""
    settle_list(list_id=list_id, state=ImportState.DROPPED, summary="", by=by, now=now)
    return keep_rows(list_id=list_id, numbers=())
