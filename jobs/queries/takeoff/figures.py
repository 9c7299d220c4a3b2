"""Every quantity of a quote with the sum that made it, bed by bed."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from firm.units import Display
from jobs import takeoff
from jobs.enums import LineKind, OfferState
from jobs.models import Overruled, Quote, QuoteLine
from jobs.queries.quantities import shape_of
from jobs.queries.quotes import beds_of, display, quote_by_id
from jobs.queries.takeoff.amounts import Amount, tried
from jobs.queries.takeoff.feeding import fertiliser_of, ph_of
from jobs.queries.takeoff.ground import dug_out, mix_of, mulch_of
from jobs.queries.takeoff.loads import of_garden
from jobs.queries.takeoff.pieces import counts, held_up
from jobs.queries.takeoff.plans import plant_lines
from jobs.queries.takeoff.settings import Settings, settings_of, typed_settings
from jobs.takeoff import digging
from plants.models import Bed, Rule


@dataclass(frozen=True, kw_only=True)
class Part:
    """The amounts of one bed; bed None: those of the whole garden."""

    bed: Bed | None
    ground: str
    has_plan: bool
    amounts: tuple[Amount, ...]


@dataclass(frozen=True, kw_only=True)
class TakeoffPage:
    """All quantities of a quote."""

    quote: Quote
    typed: dict[str, Any]
    parts: tuple[Part, ...]

    @property
    def amounts(self) -> tuple[Amount, ...]:
        """All of them in order."""
        return tuple(amount for part in self.parts for amount in part.amounts)

    @property
    def is_draft(self) -> bool:
        """Whether anything may still be changed."""
        return self.quote.state == OfferState.DRAFTING

    @property
    def without_cost(self) -> tuple[QuoteLine, ...]:
        """Lines taken from here that have no cost yet."""
        return tuple(
            amount.line
            for amount in self.amounts
            if amount.line is not None and not amount.line.unit_cost
        )

    def amount(self, key: str) -> Amount | None:
        """The amount of that key."""
        return next((each for each in self.amounts if each.key == key), None)


def takeoff_page(*, quote_id: int) -> TakeoffPage | None:
    """The quantities of one quote; None when there is no such quote."""
    quote = quote_by_id(quote_id=quote_id)
    if quote is None:
        return None
    shows = display()
    return TakeoffPage(
        quote=quote,
        typed=typed_settings(quote, shows),
        parts=_parts(quote, settings_of(quote, shows), shows),
    )


def amounts_of(quote: Quote) -> list[Amount]:
    """The quantities of the quote in order."""
    shows = display()
    return [
        amount
        for part in _parts(quote, settings_of(quote, shows), shows)
        for amount in part.amounts
    ]


def _parts(quote: Quote, settings: Settings, shows: Display) -> tuple[Part, ...]:
    lines = list(
        quote.lines.select_related("bed", "plant__group").order_by("position", "id")
    )
    planted = plant_lines(quote)
    ringed = set(
        Rule.objects.filter(
            task="stake",
            group_id__in=[line.plant.group_id for line in planted if line.plant],
        ).values_list("group_id", flat=True)
    )
    plans = set(quote.plans.values_list("bed_id", flat=True))
    raw: list[tuple[Bed | None, str, list[Amount]]] = []
    for bed in beds_of(quote.garden):
        mine = [line for line in planted if line.bed_id == bed.pk]
        if not mine:
            continue
        try:
            ground = takeoff.area(shape_of(bed), display=shows).formula
        except takeoff.TakeoffError:
            ground = ""
        raw.append((bed, ground, list(_of_bed(bed, mine, ringed, settings, shows))))
    every = [amount for _bed, _ground, amounts in raw for amount in amounts]
    raw.append((None, "", list(of_garden(planted, every, settings, shows))))
    overruled = {each.figure: each for each in quote.overruled.order_by("id")}
    taken = {line.typed["takeoff"]: line for line in lines if "takeoff" in line.typed}
    return tuple(
        Part(
            bed=bed,
            ground=ground,
            has_plan=bed is not None and bed.pk in plans,
            amounts=tuple(
                _beside(amount, lines, taken.get(amount.key), overruled)
                for amount in amounts
            ),
        )
        for bed, ground, amounts in raw
    )


def _beside(
    amount: Amount,
    lines: Sequence[QuoteLine],
    line: QuoteLine | None,
    overruled: dict[str, Overruled],
) -> Amount:
    """The amount with its line, what was typed over it and why it is left alone."""
    own = ""
    if line is not None and line.typed.get("is_own"):
        own = _("The line was changed by hand and is left alone.")
    elif line is None and amount.kind in (LineKind.SOIL, LineKind.MULCH):
        if any(
            each.kind == amount.kind
            and each.bed_id == (amount.bed.pk if amount.bed else None)
            and "takeoff" not in each.typed
            for each in lines
        ):
            own = _("The quote has a line of its own for this; it is left alone.")
    return Amount(
        **{
            **vars(amount),
            "line": line,
            "overruled": overruled.get(amount.key),
            "left_alone": own,
        }
    )


def _of_bed(
    bed: Bed,
    lines: Sequence[QuoteLine],
    ringed: set[int],
    settings: Settings,
    shows: Display,
) -> Iterator[Amount]:
    yield from counts(bed, lines, settings, shows)
    yield from dug_out(bed, lines, settings, shows)
    if settings.ticks["has_mix"] and bed.depth_m:
        yield from mix_of(bed, settings, shows)
    if settings.ticks["has_mulch"]:
        yield mulch_of(bed, lines, settings, shows)
    if settings.ticks["has_edging"]:
        yield tried(
            lambda: digging.edging(
                shape_of(bed),
                waste_percent=settings.percents["edging_waste_percent"],
                display=shows,
            ),
            key=f"edging-{bed.pk}",
            title=_("Edging"),
            kind=LineKind.OTHER,
            bed=bed,
            description=_("Edging of %(bed)s") % {"bed": bed.name},
        )
    if settings.analysis and settings.nitrogen:
        yield fertiliser_of(bed, lines, settings, shows)
    if settings.ticks["corrects_ph"]:
        yield from ph_of(bed, lines, shows)
    yield from held_up(bed, lines, ringed, settings)
