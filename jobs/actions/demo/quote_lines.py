"""Lines of invented quotes, worked out from the beds as the quote's forms do it."""

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from firm.units import Display, parse_length
from jobs.actions.demo.story import Story
from jobs.actions.labour import keep_site, write_labour
from jobs.actions.quotes import LineDetails
from jobs.enums import CountRule, LineKind
from jobs.models import Quote
from jobs.queries.labour.site import first_site
from jobs.queries.quantities import (
    count_plants,
    mulch_for,
    soil_mix,
    volume_ordered,
)
from plants.models import Bed, Plant

US = Display("us")
SETTLES = Decimal(15)


# As what each kind is sold in the demo.
SIZES = {
    "tree": "2 in balled",
    "perennial": "#1",
    "grass": "#1",
    "sedge": "#1",
    "fern": "#1",
    "groundcover": "4 in pot",
    "bulb": "4 in pot",
}


def _metres(text: str) -> Decimal:
    return parse_length(text, default_unit="in")


def plants(
    bed: Bed,
    plant: Plant,
    *,
    cost: str,
    spacing: str = "",
    rule: CountRule = CountRule.TRIANGULAR,
    count: int | None = None,
    laid_out: bool = False,
    size: str = "",
) -> list[LineDetails]:
    """Plants by the bed's area, by its rows or by a typed number."""
    counted = count_plants(
        bed=bed,
        spacing_m=_metres(spacing) if spacing else None,
        rule=CountRule.TYPED if count else rule,
        typed=count,
        is_laid_out=laid_out,
        rounding="half up",
        display=US,
    )
    return [
        LineDetails(
            kind=LineKind.PLANTS,
            bed=bed,
            plant=plant,
            description=str(plant)[:250],
            size_text=size or SIZES.get(plant.group.kind, "#3"),
            count_rule=counted.rule,
            spacing_text=spacing,
            spacing_m=_metres(spacing) if spacing else None,
            quantity=Decimal(counted.ordered),
            unit="plants",
            computed_quantity=None
            if counted.computed is None
            else Decimal(counted.computed),
            formula=counted.formula,
            unit_cost=Decimal(cost),
            typed=_typed(
                bed=bed,
                plant=str(plant),
                rule=str(counted.rule),
                spacing=spacing,
                is_laid_out=laid_out,
                size=size or SIZES.get(plant.group.kind, "#3"),
                count=str(count or ""),
                unit_cost=cost,
                unit_price="",
                is_taxed=True,
            ),
        )
    ]


def soil(
    bed: Bed,
    *,
    depth: str,
    shares: Sequence[int] = (60, 25, 15),
    compost_cost: str = "38.00",
    sand_cost: str = "44.00",
) -> list[LineDetails]:
    """Compost and sand for a mix that fills BED to DEPTH."""
    native, compost, sand = (Decimal(share) for share in shares)
    mix = soil_mix(
        bed=bed,
        depth_m=_metres(depth),
        native_percent=native,
        compost_percent=compost,
        sand_percent=sand,
        settling_percent=SETTLES,
        display=US,
    )
    costs = {"compost": compost_cost, "sand": sand_cost}
    form = _typed(
        bed=bed,
        depth=depth,
        native_percent=str(native),
        compost_percent=str(compost),
        sand_percent=str(sand),
        settling_percent=str(SETTLES),
        compost_cost=compost_cost,
        compost_price="",
        sand_cost=sand_cost,
        sand_price="",
        is_taxed=True,
    )
    return [
        LineDetails(
            kind=LineKind.SOIL,
            bed=bed,
            description=f"{part.name.capitalize()} for {bed.name}",
            quantity=part.quantity,
            unit=mix.unit,
            formula=part.formula,
            unit_cost=Decimal(costs[part.name]),
            typed={**form, "mix": f"demo-{bed.pk}", "part": part.name},
        )
        for part in mix.bought
    ]


def mulch(bed: Bed, *, depth: str = "3 in", cost: str = "34.00") -> list[LineDetails]:
    """Mulch on BED."""
    figure = mulch_for(bed=bed, depth_m=_metres(depth), display=US)
    return [
        LineDetails(
            kind=LineKind.MULCH,
            bed=bed,
            description=f"Shredded bark mulch for {bed.name}",
            quantity=volume_ordered(figure),
            unit=figure.unit,
            formula=figure.formula,
            unit_cost=Decimal(cost),
            typed=_typed(
                bed=bed,
                description="Shredded bark mulch",
                depth=depth,
                unit_cost=cost,
                unit_price="",
                is_taxed=True,
            ),
        )
    ]


def labour(words: str, hours: str) -> list[LineDetails]:
    """Hours at the firm's rates; labour is not taxed at this firm."""
    return _plain(
        LineKind.LABOUR,
        words,
        quantity=hours,
        unit="h",
        cost="38.00",
        price="60.00",
        is_taxed=False,
    )


def delivery(words: str = "Delivery", *, cost: str = "85.00") -> list[LineDetails]:
    """One load brought there."""
    return _plain(LineKind.DELIVERY, words, quantity="1", unit="load", cost=cost)


def other(words: str, *, quantity: str, unit: str, cost: str) -> list[LineDetails]:
    """Anything else."""
    return _plain(LineKind.OTHER, words, quantity=quantity, unit=unit, cost=cost)


def _plain(
    kind: LineKind,
    words: str,
    *,
    quantity: str,
    unit: str,
    cost: str,
    price: str = "",
    is_taxed: bool = True,
) -> list[LineDetails]:
    return [
        LineDetails(
            kind=kind,
            description=words,
            quantity=Decimal(quantity),
            unit=unit,
            unit_cost=Decimal(cost),
            unit_price=Decimal(price) if price else None,
            is_taxed=is_taxed,
            typed=_typed(
                description=words,
                quantity=quantity,
                unit=unit,
                unit_cost=cost,
                unit_price=price,
                is_taxed=is_taxed,
            ),
        )
    ]


def _typed(*, bed: Bed | None = None, **words: Any) -> dict[str, Any]:
    """What the line's form would be filled with again."""
    return {"form": {"bed": str(bed.pk) if bed else "", **words}}


def reckoned_labour(story: Story, quote: Quote, *, now: dt.datetime) -> None:
    """Its labour reckoned for three people who carry far, and written into it."""
    quote = keep_site(
        quote_id=quote.pk,
        version=quote.version,
        typed={
            **first_site(),
            "carry": "carry-far",
            "crew_size": "3",
            "extra_task_1": "load-soil",
            "extra_quantity_1": "6",
        },
        by=story.owner,
        now=now,
    )
    write_labour(quote_id=quote.pk, version=quote.version, by=story.owner, now=now)
