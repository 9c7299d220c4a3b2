"""Quantities of a quote: reckoned otherwise, typed over, taken into its lines."""

import datetime as dt
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from firm.actions.record import record
from firm.models import Person
from firm.queries import firm_or_blank
from jobs.actions.quotes.lines import (
    MOST_LINES,
    local_day,
    price_row,
    settle,
    take_draft,
)
from jobs.actions.quotes.refusals import QuoteRefused, TooManyLines
from jobs.enums import LineKind
from jobs.models import Overruled, Quote, QuoteLine, TakeoffSetting
from jobs.queries.quote_prices import money_places, way_of
from jobs.queries.takeoff.amounts import Amount
from jobs.queries.takeoff.figures import amounts_of


class NoSuchFigure(QuoteRefused):
    """The take-off has no figure of that name any more."""

    def __init__(self) -> None:
        super().__init__(_("This figure is no longer in the take-off."))


class NothingToTake(QuoteRefused):
    """No figure of the take-off would change a line."""

    def __init__(self) -> None:
        super().__init__(_("There is nothing to take: put plants into a bed first."))


@transaction.atomic
def keep_settings(
    *, quote_id: int, version: int, typed: dict[str, Any], by: Person, now: dt.datetime
) -> Quote:
    """The draft whose quantities are reckoned with what was typed."""
    quote = take_draft(quote_id=quote_id, version=version)
    TakeoffSetting.objects.update_or_create(quote=quote, defaults={"typed": typed})
    record(action="take-off changed", subject=quote, summary=str(quote), now=now, by=by)
    return quote


@transaction.atomic
def overrule(
    *,
    quote_id: int,
    version: int,
    figure: str,
    quantity: Decimal,
    note: str,
    by: Person,
    now: dt.datetime,
) -> Overruled:
    """The quantity typed over a computed one, with its note."""
    quote = take_draft(quote_id=quote_id, version=version)
    amount = next((each for each in amounts_of(quote) if each.key == figure), None)
    if amount is None or amount.figure is None:
        raise NoSuchFigure
    row, _made = Overruled.objects.update_or_create(
        quote=quote,
        figure=figure,
        defaults={"quantity": quantity, "note": note, "by": by, "overruled_at": now},
    )
    record(
        action="figure overruled",
        subject=quote,
        summary=f"{quote}: {amount.title} {amount.computed} → {quantity}, {note}",
        now=now,
        by=by,
    )
    return row


@transaction.atomic
def take_back(
    *, quote_id: int, version: int, figure: str, by: Person, now: dt.datetime
) -> Quote:
    """The draft in which the computed quantity holds again."""
    quote = take_draft(quote_id=quote_id, version=version)
    row = Overruled.objects.filter(quote=quote, figure=figure).first()
    if row is None:
        raise NoSuchFigure
    row.delete()
    record(
        action="figure computed again",
        subject=quote,
        summary=f"{quote}: {figure}",
        now=now,
        by=by,
    )
    return quote


@transaction.atomic
def take_into_quote(
    *, quote_id: int, version: int, by: Person, now: dt.datetime
) -> Quote:
    """The draft with a line for every quantity that is bought or carried.

    Lines taken before are brought up to date, and taken off where nothing is left of
    them; those that were written or changed by hand stay as they are.
    """
    quote = take_draft(quote_id=quote_id, version=version)
    amounts = [each for each in amounts_of(quote) if each.kind and not each.left_alone]
    wanted = [each for each in amounts if each.quantity]
    mine = {
        line.typed["takeoff"]: line
        for line in quote.lines.order_by("position", "id")
        if "takeoff" in line.typed and not line.typed.get("is_own")
    }
    if not wanted and not mine:
        raise NothingToTake
    keys = {each.key for each in wanted}
    for key, line in mine.items():
        if key not in keys:
            line.delete()
    new = sum(1 for each in wanted if each.key not in mine)
    if quote.lines.count() + new > MOST_LINES:
        raise TooManyLines(MOST_LINES)
    last = quote.lines.aggregate(last=Max("position"))["last"] or 0
    for amount in wanted:
        row = mine.get(amount.key)
        if row is None:
            last += 1
            unit_cost, priced_on = _last_cost(amount)
            row = QuoteLine(
                quote=quote,
                position=last,
                unit_cost=unit_cost,
                priced_on=priced_on,
                unit_price=Decimal(0),
            )
        _fill(row, amount)
        price_row(row, way=way_of(quote), places=money_places())
        row.save()
    settle(quote=quote, day=local_day(now, firm_or_blank()))
    record(
        action="take-off taken",
        subject=quote,
        summary=f"{quote}: {len(wanted)} lines",
        now=now,
        by=by,
    )
    return quote


def _last_cost(amount: Amount) -> tuple[Decimal, dt.date | None]:
    """What one of it cost on the latest quote that took it, and of which day that is.

    The day comes along, so that an old cost is not taken for one that was just typed.
    """
    what = amount.key.split("-", 1)[0]
    line = (
        QuoteLine.objects.filter(typed__takeoff__startswith=what, unit=amount.unit)
        .select_related("quote")
        .order_by("-quote__created_at", "-id")
        .first()
    )
    if line is None:
        return Decimal(0), None
    return line.unit_cost, line.priced_on or line.quote.created_at.date()


def _fill(row: QuoteLine, amount: Amount) -> None:
    """What the take-off knows of a line; its cost, price and tax are the owner's."""
    steps = [*amount.steps]
    if amount.overruled:
        steps.append(
            _("typed over it: %(quantity)s, %(note)s")
            % {"quantity": amount.overruled.quantity, "note": amount.overruled.note}
        )
    row.kind = str(amount.kind)
    row.bed = amount.bed
    row.description = amount.description[:250]
    row.quantity = amount.quantity or Decimal(0)
    row.unit = amount.unit
    row.computed_quantity = amount.computed
    row.formula = "\n".join(steps)
    row.typed = {
        "takeoff": amount.key,
        "form": _form(row, amount),
        **({"mix": amount.group, "part": _part(amount)} if amount.group else {}),
    }


def _part(amount: Amount) -> str:
    return amount.key.split("-", 1)[0]


def _form(row: QuoteLine, amount: Amount) -> dict[str, Any]:
    """What stands in the line's own form when it is opened."""
    price = str(row.unit_price) if row.price_is_typed else ""
    if amount.kind == LineKind.SOIL:
        part = _part(amount)
        money = {f"{part}_cost": str(row.unit_cost), f"{part}_price": price}
    else:
        money = {"unit_cost": str(row.unit_cost), "unit_price": price}
    plain = {
        "bed": str(amount.bed.pk) if amount.bed else "",
        "description": row.description,
        "quantity": str(row.quantity.normalize()),
        "unit": row.unit,
    }
    return {**(amount.form or plain), **money, "is_taxed": row.is_taxed}
