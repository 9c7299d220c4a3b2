"""The labour of a draft: its site, single figures, and the lines that come of it."""

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from firm.actions.record import record
from firm.models import Firm, Person
from firm.queries import firm_or_blank
from jobs.actions.quotes.lines import (
    MOST_LINES,
    local_day,
    price_row,
    settle,
    take_draft,
)
from jobs.actions.quotes.refusals import (
    AmountTooLarge,
    LineIsReplaced,
    QuoteRefused,
    TooManyLines,
)
from jobs.actions.takeoff import NoSuchFigure
from jobs.enums import LineKind
from jobs.models import LabourSetting, Overruled, Quote, QuoteLine
from jobs.queries.labour.quote import LabourPage, Wanted, labour_of
from jobs.queries.quote_prices import money_places, way_of

# The column of a line's hours keeps six digits before the point.
MOST_H = Decimal(999_999)


class NoLabour(QuoteRefused):
    """Nothing of the quote comes to any hours."""

    def __init__(self, why: str = "") -> None:
        super().__init__(
            why or _("There is no labour to write: no line of the quote has a task.")
        )


@dataclass(frozen=True, kw_only=True)
class FigureDetails:
    """What a line is reckoned as, and hours typed over the reckoned ones."""

    task: str
    hours: Decimal | None
    note: str


@transaction.atomic
def keep_site(
    *, quote_id: int, version: int, typed: dict[str, Any], by: Person, now: dt.datetime
) -> Quote:
    """The draft whose labour is reckoned with what was typed; its lines stay."""
    quote = take_draft(quote_id=quote_id, version=version)
    kept = LabourSetting.objects.filter(quote=quote).first()
    tasks = kept.typed.get("tasks", {}) if kept else {}
    LabourSetting.objects.update_or_create(
        quote=quote, defaults={"typed": {**typed, "tasks": tasks}}
    )
    record(action="labour changed", subject=quote, summary=str(quote), now=now, by=by)
    return quote


@transaction.atomic
def change_figure(
    *,
    quote_id: int,
    version: int,
    figure: str,
    details: FigureDetails,
    by: Person,
    now: dt.datetime,
) -> Quote:
    """The draft in which one line is reckoned as another task, or has typed hours."""
    quote = take_draft(quote_id=quote_id, version=version)
    piece = labour_of(quote).piece(figure)
    if piece is None:
        raise NoSuchFigure
    if piece.key.startswith("line-"):
        setting, _made = LabourSetting.objects.get_or_create(quote=quote)
        tasks = dict(setting.typed.get("tasks", {}))
        tasks.pop(piece.key, None)
        if details.task != piece.proposed:
            tasks[piece.key] = {"task": details.task, "what": piece.label}
        setting.typed = {**setting.typed, "tasks": tasks}
        setting.save(update_fields=["typed"])
    if details.hours is None:
        Overruled.objects.filter(quote=quote, figure=figure).delete()
    else:
        Overruled.objects.update_or_create(
            quote=quote,
            figure=figure,
            defaults={
                "quantity": details.hours,
                "note": details.note,
                "by": by,
                "overruled_at": now,
            },
        )
    hours = "" if details.hours is None else f", {details.hours} h: {details.note}"
    record(
        action="figure overruled",
        subject=quote,
        summary=f"{quote}: {piece.label}, {details.task}{hours}",
        now=now,
        by=by,
    )
    return quote


@transaction.atomic
def take_figure_back(
    *, quote_id: int, version: int, figure: str, by: Person, now: dt.datetime
) -> Quote:
    """The draft in which the proposed task and its reckoned hours hold again."""
    quote = take_draft(quote_id=quote_id, version=version)
    gone, _rows = Overruled.objects.filter(quote=quote, figure=figure).delete()
    setting = LabourSetting.objects.filter(quote=quote).first()
    tasks = dict(setting.typed.get("tasks", {})) if setting else {}
    chosen = tasks.pop(figure.removeprefix("labour-"), None)
    if not gone and chosen is None:
        raise NoSuchFigure
    if setting and chosen is not None:
        setting.typed = {**setting.typed, "tasks": tasks}
        setting.save(update_fields=["typed"])
    record(
        action="figure computed again",
        subject=quote,
        summary=f"{quote}: {figure}",
        now=now,
        by=by,
    )
    return quote


@transaction.atomic
def write_labour(*, quote_id: int, version: int, by: Person, now: dt.datetime) -> Quote:
    """The draft with its lines of labour, each with its hours and the sum behind them.

    Lines written before are brought up to date, and taken off where no hours are left;
    those that were written or changed by hand stay as they are.
    """
    quote = take_draft(quote_id=quote_id, version=version)
    page = labour_of(quote)
    if page.refused:
        raise NoLabour(page.refused)
    mine = {
        key: line for key, line in page.lines.items() if not line.typed.get("is_own")
    }
    own = page.lines.keys() - mine.keys()
    wanted = [each for each in page.wanted if each.key not in own]
    if not page.wanted and not mine:
        raise NoLabour
    _take_off(
        [line for key, line in mine.items() if key not in {w.key for w in wanted}]
    )
    new = sum(1 for each in wanted if each.key not in mine)
    if quote.lines.count() + new > MOST_LINES:
        raise TooManyLines(MOST_LINES)
    firm = firm_or_blank()
    last = quote.lines.aggregate(last=Max("position"))["last"] or 0
    for each in wanted:
        row = mine.get(each.key)
        if row is None:
            last += 1
            row = _new_line(quote, last, firm)
            row.priced_on = local_day(now, firm)
        _fill(row, each)
        price_row(row, way=way_of(quote), places=money_places())
        row.save()
    settle(quote=quote, day=local_day(now, firm))
    LabourSetting.objects.update_or_create(
        quote=quote, defaults={"written": _written(page), "written_at": now}
    )
    hours = sum((each.hours for each in wanted), Decimal(0))
    record(
        action="labour written",
        subject=quote,
        summary=f"{quote}: {hours} h in {len(wanted)} lines",
        now=now,
        by=by,
    )
    return quote


def _take_off(rows: list[QuoteLine]) -> None:
    gone = QuoteLine.objects.filter(pk__in=[row.pk for row in rows])
    if gone.filter(alternates__isnull=False).exists():
        raise LineIsReplaced
    gone.delete()


def _new_line(quote: Quote, position: int, firm: Firm) -> QuoteLine:
    """A line of labour at the firm's cost and, where it has one, price of an hour."""
    return QuoteLine(
        quote=quote,
        position=position,
        kind=LineKind.LABOUR,
        unit="h",
        unit_cost=firm.hour_cost,
        unit_price=firm.hour_price,
        price_is_typed=bool(firm.hour_price),
    )


def _fill(row: QuoteLine, wanted: Wanted) -> None:
    """What the labour knows of a line; its cost, price and tax are the owner's."""
    if wanted.hours > MOST_H:
        raise AmountTooLarge
    row.description = wanted.description
    row.option_id = wanted.option_id
    row.quantity = row.computed_quantity = row.hours = wanted.hours
    row.formula = wanted.formula
    row.typed = {
        "labour": wanted.key,
        "form": {
            "bed": "",
            "description": row.description,
            "quantity": f"{row.quantity:f}",
            "unit_cost": str(row.unit_cost),
            "unit_price": str(row.unit_price) if row.price_is_typed else "",
        },
    }


def _written(page: LabourPage) -> list[dict[str, Any]]:
    """The parts as they went into the lines, to be held against logged hours later."""
    found = [
        {
            "key": piece.key,
            "task": piece.task.key,
            "hours": str(piece.part.hours),
            "option": piece.option,
        }
        for piece in page.pieces
        if piece.part and piece.task
    ]
    return found + [
        {"key": part.key, "task": part.key, "hours": str(part.hours), "option": ""}
        for part in page.around
    ]
