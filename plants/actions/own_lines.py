"""The firm's own rules and closed seasons: written, switched off and on, taken back."""

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import F
from django.utils.text import slugify

from firm.actions.record import SomebodyElseChangedIt, record
from firm.models import Person
from plants.care.lines import Line, over
from plants.enums import Layer
from plants.models import Group, Source
from plants.queries.own import (
    MODELS,
    RULES,
    OwnLine,
    Row,
    Target,
    change_to,
    faults_of_line,
    keys_in_use,
    own_line,
)

WORDS = {"rules": "rule", "closed": "closed season"}
KEY_LENGTH = 60


class LineRefused(Exception):
    """A line that contradicts itself or others; MESSAGES are the engine's.

    KEY is the line's own, which a new one has got from the action.
    """

    def __init__(self, messages: Sequence[str], *, key: str) -> None:
        self.key = key
        self.messages = list(messages)
        super().__init__("\n".join(messages))


class NoSuchLine(Exception):
    """A line that nobody wrote."""

    def __init__(self) -> None:
        super().__init__("There is no such line any more.")


@transaction.atomic
def write_line(
    *,
    target: Target,
    part: str,
    key: str,
    wanted: Line,
    version: int,
    now: dt.datetime,
    by: Person,
) -> Row | None:
    """The firm's row that makes WANTED hold; None where the line below says the same.

    An empty KEY is a new line. Over a shipped line only what differs is kept, so that
    its other parts still follow the catalogue. VERSION is that of the firm's row that
    the page was made from, 0 where there was none.
    """
    _hold(target)
    if not key:
        key = _new_key(target, part, wanted)
        stands = None
    else:
        stands = own_line(target=target, part=part, key=key)
        if stands is None:
            raise NoSuchLine
    below = stands.below if stands else None
    change = change_to(stands, part, wanted)
    # Also a line that is switched off is proved: it may be switched on again.
    _prove(target, part, key, change)
    if stands is not None and stands.is_off:
        change = {**(change or {}), "off": True}
    if change is None:
        if stands is not None and stands.row is not None:
            _delete(stands, version)
            _record("taken back", target, part, stands.row, now, by)
        return None
    values = _values(part, key, change, below)
    if stands is None or stands.row is None:
        if version != 0:
            raise SomebodyElseChangedIt
        row = _create(target, part, key, values)
    else:
        row = _update(stands, version, values)
    _record("written" if below is None else "changed", target, part, row, now, by)
    return row


@transaction.atomic
def switch_line(
    *,
    target: Target,
    part: str,
    key: str,
    on: bool,
    version: int,
    now: dt.datetime,
    by: Person,
) -> Row | None:
    """The firm's row of a line that is switched off, or on again; None if none is left.

    What the firm changed in the line is kept for the day it is switched on again.
    """
    _hold(target)
    stands = own_line(target=target, part=part, key=key)
    if stands is None:
        raise NoSuchLine
    if stands.is_off is not on:
        # It is already as it should be: a button that was pressed twice.
        return stands.row
    said = dict(stands.row.spec) if stands.row else {"key": key}
    said.pop("off", None)
    if not on:
        said["off"] = True
    left = said if set(said) - {"key"} else None
    _prove(target, part, key, left)
    row: Row | None
    if left is None:
        _delete(stands, version)
        row = stands.row
        _record("switched on", target, part, row, now, by)
        return None
    values = _values(part, key, said, stands.below)
    if stands.row is None:
        if version != 0:
            raise SomebodyElseChangedIt
        row = _create(target, part, key, values)
    else:
        row = _update(stands, version, values)
    _record("switched on" if on else "switched off", target, part, row, now, by)
    return row


@transaction.atomic
def take_line_back(
    *,
    target: Target,
    part: str,
    key: str,
    version: int,
    now: dt.datetime,
    by: Person,
) -> None:
    """Delete what the firm says, so that the line below holds again or nothing does."""
    _hold(target)
    stands = own_line(target=target, part=part, key=key)
    if stands is None or stands.row is None:
        raise NoSuchLine
    _prove(target, part, key, None)
    _delete(stands, version)
    _record("taken back", target, part, stands.row, now, by)


def _hold(target: Target) -> None:
    """Let one person at a time change a group's lines, as they hang on each other."""
    list(Group.objects.select_for_update().filter(pk=target.group.pk).values("pk"))


def _prove(target: Target, part: str, key: str, line: Mapping[str, Any] | None) -> None:
    faults = faults_of_line(target=target, part=part, key=key, line=line)
    if faults:
        raise LineRefused(faults, key=key)


def _new_key(target: Target, part: str, wanted: Line) -> str:
    """A key that no line of the target has, and none of the catalogue's begin so."""
    word = wanted["task"] if part == RULES else "closed"
    start = f"own-{slugify(word)}"[:KEY_LENGTH]
    taken = keys_in_use(target)
    number = 1
    while f"{start}-{number}" in taken:
        number += 1
    return f"{start}-{number}"


def _values(
    part: str, key: str, change: Mapping[str, Any], below: Mapping[str, Any] | None
) -> dict[str, Any]:
    whole = over(below, change)
    values: dict[str, Any] = {
        "spec": {**change, "key": key},
        "source": Source.objects.filter(key=whole.get("source", "")).first(),
    }
    if part == RULES:
        values["task"] = str(whole.get("task", ""))
    return values


def _create(target: Target, part: str, key: str, values: Mapping[str, Any]) -> Row:
    try:
        with transaction.atomic():
            return MODELS[part]._default_manager.create(
                **target.kept_with, layer=Layer.FIRM, key=key, **values
            )
    except IntegrityError:
        raise SomebodyElseChangedIt from None


def _update(stands: OwnLine, version: int, values: Mapping[str, Any]) -> Row:
    row = stands.row
    assert row is not None  # noqa: S101 - the callers asked
    changed = (
        MODELS[stands.part]
        ._default_manager.filter(pk=row.pk, version=version)
        .update(version=F("version") + 1, **values)
    )
    if changed != 1:
        raise SomebodyElseChangedIt
    row.refresh_from_db()
    return row


def _delete(stands: OwnLine, version: int) -> None:
    row = stands.row
    assert row is not None  # noqa: S101 - the callers asked
    deleted, _rows = (
        MODELS[stands.part]._default_manager.filter(pk=row.pk, version=version).delete()
    )
    if deleted != 1:
        raise SomebodyElseChangedIt


def _record(
    what: str,
    target: Target,
    part: str,
    row: Row | None,
    now: dt.datetime,
    by: Person,
) -> None:
    assert row is not None  # noqa: S101 - the callers asked
    record(
        action=f"own line {what}",
        subject=target.plant or target.group,
        summary=f"{target.name}: own {WORDS[part]} {row.key} {what}",
        now=now,
        by=by,
        details={"part": part, "key": row.key, "says": row.spec},
    )
