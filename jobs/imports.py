"""Works on suppliers' lists that wait: reads one, or takes one."""

import datetime as dt
import zlib

from django.core.files.base import ContentFile
from django.utils.translation import gettext as _

from firm.imports import UnreadableList, plain_head, read_table
from jobs.actions.suppliers import (
    claim_list,
    give_up_list,
    keep_read,
    note_progress,
    take_list,
)
from jobs.enums import ItemKind, PriceListState
from jobs.models import PriceList
from jobs.queries.price_lists.columns import known_heads
from jobs.queries.price_lists.lists import read_list
from jobs.queries.price_lists.names import Catalogue, Known
from jobs.queries.suppliers import answers_of, catalogue_names

MOST_ROWS = 20_000
# Lists up to so many packed bytes are worked on while their page waits.
SMALL_BYTES = 40_000


def work_on_next(*, now: dt.datetime, list_id: int | None = None) -> bool:
    """Whether a list waited: the next one, or the one of LIST_ID, is read or taken."""
    to_read = claim_list(
        waits=PriceListState.TO_READ,
        claimed=PriceListState.READING,
        now=now,
        list_id=list_id,
    )
    if to_read is not None:
        _read(to_read, now)
        return True
    to_take = claim_list(
        waits=PriceListState.TO_TAKE,
        claimed=PriceListState.TAKING,
        now=now,
        list_id=list_id,
    )
    if to_take is not None:
        take_list(list_id=to_take.pk, now=now)
        return True
    return False


def is_small(kept: PriceList) -> bool:
    """Whether the list is so short that nobody has to come back for it."""
    return len(kept.content or b"") <= SMALL_BYTES


def _read(kept: PriceList, now: dt.datetime) -> None:
    try:
        table = read_table(
            ContentFile(zlib.decompress(kept.content or b"")),
            known_heads=[*known_heads(), *kept.columns["heads"]],
            most_rows=MOST_ROWS,
        )
    except UnreadableList as error:
        give_up_list(list_id=kept.pk, why_not=str(error), now=now)
        return
    heads = [plain_head(head) for head in table.headers]
    if heads != [plain_head(head) for head in kept.columns["heads"]]:
        give_up_list(
            list_id=kept.pk, why_not=_("The heads of its columns changed."), now=now
        )
        return
    catalogue = Catalogue(
        Known(plant_id=plant, names=names) for plant, names in catalogue_names()
    )
    found = read_list(
        table,
        columns=kept.columns["chosen"],
        kind=ItemKind(kept.kind),
        catalogue=catalogue,
        answers=answers_of(supplier_id=kept.supplier_id),
        note=lambda done: note_progress(list_id=kept.pk, rows_done=done),
    )
    keep_read(
        list_id=kept.pk,
        lines=found.lines,
        refused=found.refused,
        rows=found.rows,
        now=now,
    )
