"""The labour of a quote: a task for each line, its hours, and the whole by crew."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from firm.units import Display, UnitError, convert
from jobs.enums import LineKind, OfferState, OptionKind
from jobs.labour import (
    Around,
    Crewed,
    Estimate,
    LabourError,
    Part,
    Rate,
    Work,
    by_crew,
    estimate,
    part_of,
    task_for_size,
)
from jobs.models import LabourSetting, Overruled, Quote, QuoteLine
from jobs.queries.labour.site import (
    Site,
    Table,
    around_of,
    known_words,
    site_of,
    table,
)
from jobs.queries.quotes import display, quote_by_id
from jobs.queries.takeoff.pieces import caliper_in
from plants.models import Bed
from plants.soil import SoilError, read_size
from plants.soil.stock import Sold

SIZES = (1, 2, 3, 4, 5, 6)
NO_TASK = "none"
# What a line that came out of the take-off is done with.
TAKEN = {
    "spares": "plant-plug",
    "edging": "edge",
    "stakes": "stake",
    "bags": "bag-or-ring",
    "rings": "bag-or-ring",
    "disposal": "load-soil",
}
# Lines of these kinds are no work of the crew's own.
NOT_WORKED = (LineKind.LABOUR, LineKind.DELIVERY)


@dataclass(frozen=True, kw_only=True)
class Piece:
    """One line or further task: what it is reckoned as, and its hours or why none."""

    key: str
    label: str
    task: Rate | None
    proposed: str
    quantity_words: str = ""
    option: str = ""
    part: Part | None = None
    refused: str = ""
    overruled: Overruled | None = None
    is_chosen: bool = False
    # Nobody knows a task for it, and nobody said that there is none.
    is_missing: bool = False

    @property
    def figure(self) -> str:
        """The name of its figure."""
        return f"labour-{self.key}"


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """One line of labour that the quote is to have."""

    key: str
    description: str
    hours: Decimal
    formula: str
    option_id: int | None = None


@dataclass(frozen=True, kw_only=True)
class LabourPage:
    """The labour of a quote with all that made it."""

    quote: Quote
    site: Site
    table: Table
    kept: LabourSetting | None
    pieces: tuple[Piece, ...]
    whole: Estimate | None
    refused: str
    crews: tuple[Crewed, ...]
    wanted: tuple[Wanted, ...]
    lines: dict[str, QuoteLine]
    by_hand: tuple[QuoteLine, ...]
    known: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def is_draft(self) -> bool:
        """Whether anything may still be changed."""
        return self.quote.state == OfferState.DRAFTING

    @property
    def missing(self) -> list[Piece]:
        """Lines without a task."""
        return [piece for piece in self.pieces if piece.is_missing]

    @property
    def around(self) -> list[Part]:
        """The parts beside the work."""
        return (
            [each for each in self.whole.parts if not each.is_work]
            if (self.whole)
            else []
        )

    @property
    def stands(self) -> list[tuple[Wanted, QuoteLine | None]]:
        """What would be written beside what stands in the quote."""
        return [(each, self.lines.get(each.key)) for each in self.wanted]

    def piece(self, figure: str) -> Piece | None:
        """The piece whose figure has that name."""
        return next((each for each in self.pieces if each.figure == figure), None)


def labour_page(*, quote_id: int) -> LabourPage | None:
    """The labour of one quote; None when there is no such quote."""
    quote = quote_by_id(quote_id=quote_id)
    return labour_of(quote) if quote else None


def labour_of(quote: Quote) -> LabourPage:
    """The labour of QUOTE, reckoned with the firm's rates as they are now."""
    shows, rates = display(), table()
    site, kept = site_of(quote)
    lines = list(
        quote.lines.select_related("bed", "plant", "option").order_by("position", "id")
    )
    overruled = {row.figure: row for row in quote.overruled.order_by("id")}
    around, notes = around_of(quote, site, rates, shows)
    done = [
        _piece_of(line, site, rates, overruled, shows)
        for line in lines
        if line.kind not in NOT_WORKED
    ]
    done += [
        _extra_piece(number, site, rates, overruled, shows) for number in site.extras
    ]
    pieces = [piece for piece, _work in done]
    base = [
        (work, piece.overruled.quantity if piece.overruled else None)
        for piece, work in done
        if work is not None and not piece.option
    ]
    whole, refused, crews = _whole(base, around, site, shows)
    beds: dict[int, Bed] = {
        line.bed.pk: line.bed for line in lines if line.bed and line.plant_id
    }
    return LabourPage(
        quote=quote,
        site=site,
        table=rates,
        kept=kept,
        pieces=tuple(pieces),
        whole=whole,
        refused=refused,
        crews=crews,
        wanted=tuple(_wanted(whole, pieces, lines)),
        lines={line.typed["labour"]: line for line in lines if "labour" in line.typed},
        by_hand=tuple(
            line
            for line in lines
            if line.kind == LineKind.LABOUR
            and ("labour" not in line.typed or line.typed.get("is_own"))
        ),
        known=tuple(known_words(list(beds.values()), rates)),
        notes=notes,
    )


def _whole(
    works: Sequence[tuple[Work, Decimal | None]],
    around: Around,
    site: Site,
    shows: Display,
) -> tuple[Estimate | None, str, tuple[Crewed, ...]]:
    """The whole job, or why none comes, and the same work with other crews."""
    if not works:
        return None, "", ()
    try:
        whole = estimate(
            works,
            around=around,
            size=site.crew_size,
            day_h=site.day_h,
            display=shows,
        )
        crews = by_crew(
            work_h=whole.work_h, around=around, sizes=SIZES, day_h=site.day_h
        )
    except LabourError as error:
        return None, str(error), ()
    return whole, "", crews


# --- one piece ---------------------------------------------------------------------


def proposed_task(line: QuoteLine) -> str:
    """The key of the task that a line asks for; "none" for no work, "" for unknown."""
    if line.kind == LineKind.SOIL:
        return "soil-mix"
    if line.kind == LineKind.MULCH:
        return "mulch"
    if line.kind != LineKind.PLANTS:
        what = str(line.typed.get("takeoff", "")).split("-", 1)[0]
        return TAKEN.get(what, NO_TASK)
    said = line.size_text.lower()
    if any(word in said for word in ("plug", "cell", "tray")):
        return "plant-plug"
    try:
        size = read_size(line.size_text)
    except (SoilError, UnitError):
        return ""
    if size.sold == Sold.BALLED:
        return "plant-balled"
    if size.sold == Sold.BARE or size.volume_m3 is None:
        return ""
    return task_for_size(convert(size.volume_m3, unit="m³", to="gal"))


def _quantity(
    line: QuoteLine, rate: Rate, shows: Display
) -> tuple[Decimal, tuple[str, ...]]:
    """How much of the rate's unit the line holds, and the sum where it is turned."""
    if rate.unit in ("each", "job", "crew day"):
        return line.quantity, ()
    shown = shows.measure(line.quantity, line.unit, places=3, trim=True)
    if rate.unit == "in of trunk":
        trunk = caliper_in(line)
        if trunk is None:
            raise LabourError(
                _("Type the trunk in the line's size, such as 2 in balled.")
            )
        whole = line.quantity * trunk
        each = shows.figure(trunk, places=2, trim=True)
        total = shows.figure(whole, places=2, trim=True)
        count = shows.figure(line.quantity, places=0)
        return whole, (f"{count} × {each} in = {total} in of trunk",)
    value = rate.quantity_in(line.quantity, line.unit)
    if line.unit == rate.unit:
        return value, ()
    turned = shows.measure(value, rate.unit, places=3, trim=True)
    return value, (f"{shown} = {turned}",)


def _piece_of(
    line: QuoteLine,
    site: Site,
    rates: Table,
    overruled: dict[str, Overruled],
    shows: Display,
) -> tuple[Piece, Work | None]:
    key = f"line-{line.position}"
    proposed = proposed_task(line)
    chosen = site.tasks.get(key)
    # A line that took the place of another is asked about anew.
    is_chosen = chosen is not None and chosen["what"] == line.description
    task = chosen["task"] if chosen is not None and is_chosen else proposed
    rate = rates.rates.get(task)
    facts: dict[str, Any] = {
        "key": key,
        "label": line.description,
        "task": rate,
        "proposed": proposed,
        "quantity_words": shows.measure(line.quantity, line.unit, places=3, trim=True),
        "overruled": overruled.get(f"labour-{key}"),
        "is_chosen": is_chosen,
        "option": line.option.title if line.option else "",
    }
    if line.option and line.option.kind == OptionKind.INSTEAD:
        facts["refused"] = _(
            "Taken instead of another line: its labour is not reckoned; write a line"
            " of labour into the option where it differs."
        )
        return Piece(**facts), None
    if rate is None:
        lacks = task != NO_TASK
        words = _("No task is known for it: choose one.") if lacks else ""
        return Piece(refused=words, is_missing=lacks, **facts), None
    try:
        quantity, steps = _quantity(line, rate, shows)
        work = Work(
            key=key,
            label=line.description,
            rate=rate,
            quantity=quantity,
            factors=site.factors_for(line.bed, rates),
            steps=steps,
        )
    except LabourError as refused:
        return Piece(refused=str(refused), is_missing=True, **facts), None
    return _reckoned(work, facts, shows), work


def _extra_piece(
    number: int,
    site: Site,
    rates: Table,
    overruled: dict[str, Overruled],
    shows: Display,
) -> tuple[Piece, Work | None]:
    extra, key = site.extras[number], f"extra-{number}"
    rate = rates.rates.get(extra.task)
    facts: dict[str, Any] = {
        "key": key,
        "label": rate.name if rate else extra.task,
        "task": rate,
        "proposed": extra.task,
        "overruled": overruled.get(f"labour-{key}"),
    }
    if rate is None:
        return Piece(refused=_("There is no such rate."), is_missing=True, **facts), (
            None
        )
    work = Work(
        key=key,
        label=rate.name,
        rate=rate,
        quantity=extra.quantity,
        times=extra.times,
        factors=site.factors_for(None, rates),
    )
    facts["quantity_words"] = shows.measure(
        extra.quantity, rate.unit, places=3, trim=True
    )
    return _reckoned(work, facts, shows), work


def _reckoned(work: Work, facts: dict[str, Any], shows: Display) -> Piece:
    typed = facts["overruled"].quantity if facts["overruled"] else None
    return Piece(part=part_of(work, typed, display=shows), **facts)


# --- what is written ---------------------------------------------------------------


def _wanted(
    whole: Estimate | None, pieces: Sequence[Piece], lines: Sequence[QuoteLine]
) -> list[Wanted]:
    found = []
    if whole is not None:
        parts = [part for part in whole.parts if part.is_work]
        found.append(_line("work", _("Planting work"), parts))
        found.append(
            _line(
                "around",
                _("Setting up, loading, driving and clearing up"),
                [part for part in whole.parts if not part.is_work],
            )
        )
    titles = {line.option.pk: line.option for line in lines if line.option}
    of_line = {f"line-{line.position}": line for line in lines}
    for option in titles.values():
        mine = [
            piece.part
            for piece in pieces
            if piece.part
            and piece.key in of_line
            and of_line[piece.key].option_id == option.pk
        ]
        found.append(
            _line(
                f"option-{option.position}",
                _("Work for %(option)s") % {"option": option.title},
                mine,
                option_id=option.pk,
            )
        )
    return [each for each in found if each.hours]


def _line(
    key: str, words: str, parts: Sequence[Part], *, option_id: int | None = None
) -> Wanted:
    return Wanted(
        key=key,
        description=words[:250],
        hours=sum((part.hours for part in parts), Decimal(0)),
        formula="\n".join(f"{part.label}: {part.formula}" for part in parts),
        option_id=option_id,
    )
