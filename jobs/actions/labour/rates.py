"""The firm's rates and factors: shipped once, changed only by somebody."""

import datetime as dt
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import F, Max
from django.utils.translation import gettext as _

from firm.actions.record import SomebodyElseChangedIt, record
from firm.models import Person
from jobs.enums import RateMark
from jobs.labour import FACTORS, RATES, Factor, LabourError, Rate, Touch
from jobs.labour.table import EVERY
from jobs.models import ConditionFactor, ProductionRate
from jobs.queries.labour.rates import FACTOR_FIGURES, RATE_FIGURES, factor_of, rate_of


class RateRefused(Exception):
    """Why a rate or factor stays as it is."""


class NoSuchRate(RateRefused):
    """No rate or factor has that name."""

    def __init__(self) -> None:
        super().__init__(_("There is no such rate."))


class NothingShipped(RateRefused):
    """The program brings no figures for it along."""

    def __init__(self) -> None:
        super().__init__(_("The program has no figures of its own for this."))


@dataclass(frozen=True, kw_only=True)
class RateDetails:
    """The figures of a rate."""

    unit: str
    is_per_hour: bool
    low: Decimal
    typical: Decimal
    high: Decimal


def _plain(values: dict[str, Any]) -> dict[str, Any]:
    """The figures as JSON keeps them."""
    return {
        name: value if isinstance(value, bool) else str(value)
        for name, value in values.items()
    }


def _shipped_rate(rate: Rate) -> dict[str, Any]:
    return _plain({name: getattr(rate, name) for name in RATE_FIGURES})


def _shipped_factor(factor: Factor) -> dict[str, Any]:
    return _plain({name: getattr(factor, name) for name in FACTOR_FIGURES})


@transaction.atomic
def ship_rates(
    *,
    now: dt.datetime,
    rates: tuple[Rate, ...] = RATES,
    factors: tuple[Factor, ...] = FACTORS,
) -> list[str]:
    """What was added or is shipped otherwise; twice, it is nothing.

    A rate that is there already keeps the figures that the firm reckons with, whoever
    wrote them; other figures of a later version only stand beside them.
    """
    said: list[str] = []
    have = {row.key: row for row in ProductionRate.objects.order_by("id")}
    for position, rate in enumerate(rates, start=1):
        shipped = _shipped_rate(rate)
        row = have.get(rate.key)
        if row is None:
            ProductionRate.objects.create(
                key=rate.key,
                position=position,
                name=rate.name,
                touched_by=[str(each) for each in rate.touched_by],
                shipped=shipped,
                **{name: getattr(rate, name) for name in RATE_FIGURES},
            )
            said.append(f"{rate.name}: {rate.typical}")
        elif row.shipped != shipped:
            said.append(f"{rate.name}: {row.typical} stays, shipped {rate.typical}")
            row.shipped = shipped
            row.save(update_fields=["shipped"])
    there = {row.key: row for row in ConditionFactor.objects.order_by("id")}
    for position, factor in enumerate(factors, start=1):
        shipped = _shipped_factor(factor)
        old = there.get(factor.key)
        if old is None:
            ConditionFactor.objects.create(
                key=factor.key,
                position=position,
                touch=factor.touch,
                name=factor.name,
                shipped=shipped,
                **{name: getattr(factor, name) for name in FACTOR_FIGURES},
            )
            said.append(f"{factor.name}: {factor.factor}")
        elif old.shipped != shipped:
            said.append(f"{factor.name}: {old.factor} stays, shipped {factor.factor}")
            old.shipped = shipped
            old.save(update_fields=["shipped"])
    if said:
        record(
            action="rates shipped",
            subject=ProductionRate.objects.order_by("id")[0],
            summary=f"{len(said)} rates and factors",
            by=None,
            by_words="the program",
            details={"changes": said},
            now=now,
        )
    return said


def take_rate(*, key: str, version: int) -> ProductionRate:
    """The rate, the caller's at its next version."""
    taken = ProductionRate.objects.filter(key=key, version=version).update(
        version=F("version") + 1
    )
    row = ProductionRate.objects.filter(key=key).first()
    if row is None:
        raise NoSuchRate
    if taken != 1:
        raise SomebodyElseChangedIt
    return row


def take_factor(*, key: str, version: int) -> ConditionFactor:
    """The factor, the caller's at its next version."""
    taken = ConditionFactor.objects.filter(key=key, version=version).update(
        version=F("version") + 1
    )
    row = ConditionFactor.objects.filter(key=key).first()
    if row is None:
        raise NoSuchRate
    if taken != 1:
        raise SomebodyElseChangedIt
    return row


def _rate_words(row: ProductionRate) -> str:
    way = f"{row.unit} an hour" if row.is_per_hour else f"h for one ({row.unit})"
    return f"{row.low:f} / {row.typical:f} / {row.high:f} {way}"


@transaction.atomic
def change_rate(
    *,
    key: str,
    version: int,
    details: RateDetails,
    note: str,
    mark: RateMark = RateMark.FIRM,
    by: Person,
    now: dt.datetime,
) -> ProductionRate:
    """The rate with the firm's own figures, marked as such."""
    row = take_rate(key=key, version=version)
    before = _rate_words(row)
    for name, value in vars(details).items():
        setattr(row, name, value)
    try:
        rate_of(row)
    except LabourError as error:
        raise RateRefused(str(error)) from error
    row.mark, row.source, row.note = mark, "", note
    row.changed_at, row.changed_by = now, by
    row.save(
        update_fields=[
            *vars(details),
            "mark",
            "source",
            "note",
            *("changed_at",),
            "changed_by",
        ]
    )
    record(
        action="rate changed",
        subject=row,
        summary=f"{row.name}: {before} → {_rate_words(row)}",
        details={"note": note},
        now=now,
        by=by,
    )
    return row


class NameIsTaken(RateRefused):
    """Another task has that name."""

    field = "name"

    def __init__(self) -> None:
        super().__init__(_("A task of that name is in the table already."))


@transaction.atomic
def add_rate(
    *,
    form_key: uuid.UUID,
    name: str,
    details: RateDetails,
    touched_by: Sequence[Touch],
    note: str,
    by: Person,
    now: dt.datetime,
) -> ProductionRate:
    """The firm's own task, last in the table; a form that is sent twice adds one.

    What makes every task slower (season, crew, pace) makes this one slower, too.
    """
    key = f"own-{form_key.hex}"
    kept = ProductionRate.objects.filter(key=key).first()
    if kept is not None:
        return kept
    if ProductionRate.objects.filter(name__iexact=name).exists():
        raise NameIsTaken
    last = ProductionRate.objects.aggregate(last=Max("position"))["last"] or 0
    touches = [each for each in Touch if each in {*touched_by, *EVERY}]
    row = ProductionRate(
        key=key,
        position=last + 1,
        name=name,
        mark=RateMark.FIRM,
        note=note,
        touched_by=[str(each) for each in touches],
        changed_at=now,
        changed_by=by,
        **vars(details),
    )
    try:
        rate_of(row)
    except LabourError as error:
        raise RateRefused(str(error)) from error
    row.save()
    record(
        action="rate added",
        subject=row,
        summary=f"{name}: {_rate_words(row)}",
        details={"note": note},
        now=now,
        by=by,
    )
    return row


@transaction.atomic
def take_shipped_rate(
    *, key: str, version: int, by: Person, now: dt.datetime
) -> ProductionRate:
    """The rate with the figures that the program brings along."""
    row = take_rate(key=key, version=version)
    if not row.shipped:
        raise NothingShipped
    before = _rate_words(row)
    for name in RATE_FIGURES:
        value = row.shipped[name]
        is_figure = name in ("low", "typical", "high")
        setattr(row, name, Decimal(value) if is_figure else value)
    row.note, row.changed_at, row.changed_by = "", now, by
    row.save(update_fields=[*RATE_FIGURES, "note", "changed_at", "changed_by"])
    record(
        action="rate taken back",
        subject=row,
        summary=f"{row.name}: {before} → {_rate_words(row)}",
        now=now,
        by=by,
    )
    return row


@transaction.atomic
def change_factor(
    *,
    key: str,
    version: int,
    factor: Decimal,
    note: str,
    mark: RateMark = RateMark.FIRM,
    by: Person,
    now: dt.datetime,
) -> ConditionFactor:
    """The factor as the firm reckons with it, marked as its own."""
    row = take_factor(key=key, version=version)
    before, row.factor = row.factor, factor
    try:
        factor_of(row)
    except LabourError as error:
        raise RateRefused(str(error)) from error
    row.mark, row.source, row.note = mark, "", note
    row.changed_at, row.changed_by = now, by
    row.save(
        update_fields=["factor", "mark", "source", "note", "changed_at", "changed_by"]
    )
    record(
        action="factor changed",
        subject=row,
        summary=f"{row.get_touch_display()}, {row.name}: {before:f} → {factor:f}",
        details={"note": note},
        now=now,
        by=by,
    )
    return row


@transaction.atomic
def take_shipped_factor(
    *, key: str, version: int, by: Person, now: dt.datetime
) -> ConditionFactor:
    """The factor that the program brings along."""
    row = take_factor(key=key, version=version)
    if not row.shipped:
        raise NothingShipped
    before = row.factor
    row.factor = Decimal(row.shipped["factor"])
    row.mark, row.source = row.shipped["mark"], row.shipped["source"]
    row.note, row.changed_at, row.changed_by = "", now, by
    row.save(
        update_fields=["factor", "mark", "source", "note", "changed_at", "changed_by"]
    )
    record(
        action="factor taken back",
        subject=row,
        summary=f"{row.get_touch_display()}, {row.name}: {before:f} → {row.factor:f}",
        now=now,
        by=by,
    )
    return row
