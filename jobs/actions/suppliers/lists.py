"""A supplier's list: uploaded, read, answered and taken, or dropped."""

import datetime as dt
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import Q

from firm.actions.record import record
from firm.models import Person
from jobs.actions.suppliers.refusals import ListMoved, NoSuchItem
from jobs.actions.suppliers.taking import MOST_REFUSED, compared, missing
from jobs.enums import PriceListState
from jobs.models import PriceList, Supplier, SupplierName
from plants.models import Plant

# Whoever claimed a list and has not settled it by then was cut off.
CUT_OFF_AFTER = dt.timedelta(minutes=15)


@dataclass(frozen=True, kw_only=True)
class ListDetails:
    """What is said of a list when it is uploaded."""

    file_name: str
    content: bytes
    priced_on: dt.date
    kind: str
    is_whole: bool
    # {"heads": [...], "sample": [[...]], "chosen": [...]}
    columns: dict[str, Any]


@transaction.atomic
def upload_list(
    *, supplier_id: int, details: ListDetails, by: Person, now: dt.datetime
) -> PriceList:
    """The list, kept until somebody says which column is what."""
    supplier = Supplier.objects.filter(pk=supplier_id).first()
    if supplier is None:
        raise NoSuchItem
    kept = PriceList.objects.create(
        supplier=supplier,
        file_name=details.file_name[:200],
        content=zlib.compress(details.content, 1),
        priced_on=details.priced_on,
        kind=details.kind,
        is_whole=details.is_whole,
        columns=details.columns,
        uploaded_by=by,
        uploaded_at=now,
    )
    record(
        action="price list uploaded",
        subject=kept,
        summary=f"{supplier}: {kept.file_name}",
        now=now,
        by=by,
    )
    return kept


@transaction.atomic
def choose_columns(
    *,
    list_id: int,
    chosen: Sequence[str],
    remembered: Mapping[str, str],
    by: Person,
    now: dt.datetime,
) -> PriceList:
    """The list, to be read by these columns, which the supplier's next list has, too.

    A list that was read but not taken yet may be read once more by other columns.
    """
    moved = PriceList.objects.filter(
        pk=list_id, state__in=(PriceListState.COLUMNS, PriceListState.PREVIEW)
    ).update(state=PriceListState.TO_READ, lines=[], refused=[], rows_done=0)
    if moved != 1:
        raise ListMoved
    kept = PriceList.objects.select_related("supplier").get(pk=list_id)
    kept.columns = {**kept.columns, "chosen": list(chosen)}
    kept.save(update_fields=["columns"])
    supplier = kept.supplier
    supplier.columns = {**supplier.columns, **remembered}
    supplier.save(update_fields=["columns"])
    record(
        action="price list columns chosen",
        subject=kept,
        summary=kept.file_name,
        now=now,
        by=by,
    )
    return kept


@transaction.atomic
def claim_list(
    *,
    waits: PriceListState,
    claimed: PriceListState,
    now: dt.datetime,
    list_id: int | None = None,
) -> PriceList | None:
    """The next list that WAITS, now the caller's; None when there is none.

    One whose reader or taker was cut off is claimed anew.
    """
    due = PriceList.objects.filter(
        Q(state=waits) | Q(state=claimed, claimed_at__lt=now - CUT_OFF_AFTER)
    )
    if list_id is not None:
        due = due.filter(pk=list_id)
    found = due.order_by("uploaded_at", "id").first()
    if found is None:
        return None
    won = PriceList.objects.filter(
        pk=found.pk, state=found.state, claimed_at=found.claimed_at
    ).update(state=claimed, claimed_at=now)
    if won != 1:
        return None
    return PriceList.objects.select_related("supplier").get(pk=found.pk)


def note_progress(*, list_id: int, rows_done: int) -> None:
    """The rows read so far, for whoever waits at the page."""
    PriceList.objects.filter(pk=list_id).update(rows_done=rows_done)


@transaction.atomic
def keep_read(
    *,
    list_id: int,
    lines: list[dict[str, Any]],
    refused: list[dict[str, Any]],
    rows: int,
    now: dt.datetime,
) -> PriceList:
    """The list with what was read, to be looked at before any of it is taken."""
    kept = (
        PriceList.objects.select_related("supplier")
        .defer("content", "lines", "refused")
        .get(pk=list_id)
    )
    new, changed, same = compared(kept.supplier, lines)
    moved = PriceList.objects.filter(pk=list_id, state=PriceListState.READING).update(
        state=PriceListState.PREVIEW,
        lines=lines,
        refused=refused[:MOST_REFUSED],
        rows_read=rows,
        rows_done=rows,
        rows_new=new,
        rows_changed=changed,
        rows_same=same,
        rows_refused=len(refused),
        rows_unlisted=len(missing(kept, lines=lines, refused=refused)),
    )
    if moved != 1:
        raise ListMoved
    kept.state, kept.rows_read = PriceListState.PREVIEW, rows
    record(
        action="price list read",
        subject=kept,
        summary=f"{kept.file_name}: {rows} rows, {len(refused)} refused",
        now=now,
        by=None,
    )
    return kept


@transaction.atomic
def give_up_list(*, list_id: int, why_not: str, now: dt.datetime) -> PriceList:
    """The list that could not be read, with the reason."""
    PriceList.objects.filter(pk=list_id).update(
        state=PriceListState.FAILED,
        why_not=why_not[:300],
        content=None,
        settled_at=now,
    )
    kept = PriceList.objects.get(pk=list_id)
    record(
        action="price list not read",
        subject=kept,
        summary=f"{kept.file_name}: {why_not}",
        now=now,
        by=None,
    )
    return kept


@transaction.atomic
def answer_names(
    *, list_id: int, answers: Mapping[str, Plant | None], by: Person, now: dt.datetime
) -> PriceList:
    """The list with these names' plants; the supplier's next list has them, too.

    None: no plant of the catalogue.
    """
    kept = (
        PriceList.objects.select_for_update(of=("self",))
        .select_related("supplier")
        .filter(pk=list_id, state=PriceListState.PREVIEW)
        .first()
    )
    if kept is None:
        raise ListMoved
    SupplierName.objects.bulk_create(
        [
            SupplierName(supplier=kept.supplier, name=name[:200], plant=plant)
            for name, plant in answers.items()
        ],
        update_conflicts=True,
        unique_fields=["supplier", "name"],
        update_fields=["plant"],
    )
    for line in kept.lines:
        if line["asked"] in answers:
            plant = answers[line["asked"]]
            line["plant"] = plant.pk if plant else None
            line["asked"] = ""
    kept.save(update_fields=["lines"])
    record(
        action="names of a price list answered",
        subject=kept,
        summary=f"{kept.supplier}: {len(answers)} names",
        now=now,
        by=by,
    )
    return kept


@transaction.atomic
def order_taking(*, list_id: int, by: Person, now: dt.datetime) -> PriceList:
    """The list, to be taken; whoever comes second is refused."""
    moved = PriceList.objects.filter(pk=list_id, state=PriceListState.PREVIEW).update(
        state=PriceListState.TO_TAKE, claimed_at=None
    )
    if moved != 1:
        raise ListMoved
    kept = PriceList.objects.get(pk=list_id)
    record(
        action="price list taken",
        subject=kept,
        summary=f"{kept.file_name}: {kept.rows_new} new, {kept.rows_changed} changed",
        now=now,
        by=by,
    )
    return kept


@transaction.atomic
def drop_price_list(*, list_id: int, by: Person, now: dt.datetime) -> PriceList:
    """The list, dropped and emptied; nothing of it was taken."""
    moved = PriceList.objects.filter(
        pk=list_id, state__in=(PriceListState.COLUMNS, PriceListState.PREVIEW)
    ).update(state=PriceListState.DROPPED, lines=[], content=None, settled_at=now)
    if moved != 1:
        raise ListMoved
    kept = PriceList.objects.get(pk=list_id)
    record(
        action="price list dropped",
        subject=kept,
        summary=kept.file_name,
        now=now,
        by=by,
    )
    return kept
