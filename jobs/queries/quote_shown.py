"""Lines, beds and options of a quote as its page shows them."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from firm.money import margin_of, markup_from
from firm.queries import firm_or_blank
from firm.units import Display
from jobs import takeoff
from jobs.enums import LineKind
from jobs.models import QuoteLine, QuoteOption
from jobs.pricing import Totals
from jobs.queries.quantities import area_of
from jobs.queries.quote_prices import Priced
from plants import fit
from plants.models import Bed
from plants.queries.fit import facts_of, site_of


@dataclass(frozen=True, kw_only=True)
class LineShown:
    """A line as the page shows it, with how its plant suits its bed."""

    row: QuoteLine
    steps: tuple[str, ...]
    fit: fit.Fit | None

    @property
    def full_cost(self) -> Decimal:
        """Cost with the overhead and the reserve that it carries."""
        return self.row.cost + self.row.overhead + self.row.reserve

    @property
    def margin_percent(self) -> Decimal | None:
        """The per cent of its price that is left over its full cost."""
        return margin_of(cost=self.full_cost, price=self.row.price)

    @property
    def markup_percent(self) -> Decimal | None:
        """The per cent put on its full cost."""
        return markup_from(cost=self.full_cost, price=self.row.price)

    @property
    def is_below_cost(self) -> bool:
        """Whether its price does not carry what it costs."""
        return self.row.price < self.full_cost

    @property
    def is_harmful(self) -> bool:
        """Whether the plant must not be put there without a thought."""
        return self.fit is not None and self.fit.verdict in (
            fit.Verdict.WRONG,
            fit.Verdict.DEADLY,
        )


@dataclass(frozen=True, kw_only=True)
class BedShown:
    """The lines of one bed; bed None: those of the whole garden."""

    bed: Bed | None
    ground: str
    lines: tuple[LineShown, ...]
    price: Decimal


@dataclass(frozen=True, kw_only=True)
class OptionShown:
    """An option with its lines and what taking it alone adds to the price."""

    row: QuoteOption
    lines: tuple[LineShown, ...]
    adds: Decimal
    price: Decimal
    totals: Totals
    instead_of: QuoteLine | None


def options_shown(
    priced: Priced, beds: Sequence[Bed], shows: Display, base: Totals
) -> list[OptionShown]:
    """Each option with the price of the whole when it alone is taken."""
    by_id = {row.pk: row for row in priced.rows}
    found = []
    for option in priced.options:
        totals = priced.totals_with([option.pk])
        rows = [row for row in priced.rows if row.option_id == option.pk]
        lines = [line for bed in by_bed(rows, beds, shows) for line in bed.lines]
        found.append(
            OptionShown(
                row=option,
                lines=tuple(lines),
                adds=totals.net - base.net,
                price=sum((row.price for row in rows), Decimal(0)),
                totals=totals,
                instead_of=by_id.get(option.instead_of_id or 0),
            )
        )
    return found


def by_bed(
    rows: Sequence[QuoteLine], beds: Sequence[Bed], shows: Display
) -> tuple[BedShown, ...]:
    """The lines under their beds, every bed of the garden among them."""
    firm = firm_or_blank()
    sites = {bed.pk: site_of(bed, firm=firm) for bed in beds}
    by_bed: dict[int | None, list[LineShown]] = defaultdict(list)
    kinds = list(LineKind)
    for row in sorted(rows, key=lambda row: kinds.index(LineKind(row.kind))):
        suits = None
        if row.plant is not None and row.bed_id in sites:
            suits = fit.fit(
                sites[row.bed_id], fit.needs_of(facts_of(row.plant)), display=shows
            )
        by_bed[row.bed_id].append(
            LineShown(row=row, steps=tuple(row.formula.splitlines()), fit=suits)
        )
    parts: list[Bed | None] = [*beds, None]
    return tuple(
        BedShown(
            bed=bed,
            ground=ground_words(bed, shows),
            lines=tuple(by_bed[bed.pk if bed else None]),
            price=sum(
                (line.row.price for line in by_bed[bed.pk if bed else None]), Decimal(0)
            ),
        )
        for bed in parts
    )


def ground_words(bed: Bed | None, shows: Display) -> str:
    """The bed's area with its formula; nothing where it was not measured."""
    if bed is None:
        return ""
    try:
        return area_of(bed, display=shows).formula
    except takeoff.TakeoffError:
        return ""
