"""What is carted away from a garden and what is brought to it, in loads."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from firm.units import Display
from jobs.enums import LineKind
from jobs.models import QuoteLine
from jobs.queries.takeoff.amounts import PRACTICE, Amount, name_of, summed
from jobs.queries.takeoff.settings import Settings
from jobs.takeoff import Figure
from jobs.takeoff.weights import Weight, material_weight, plant_weight, truckload


def of_garden(
    lines: Sequence[QuoteLine],
    amounts: Sequence[Amount],
    settings: Settings,
    shows: Display,
) -> Iterator[Amount]:
    """What is carted away and what is brought, in loads."""
    spoil = [
        amount.figure
        for amount in amounts
        if amount.key.startswith("spoil-") and amount.figure and amount.figure.value
    ]
    if spoil and settings.ticks["is_carted_away"]:
        whole = summed(spoil, shows)
        parts = " + ".join(shows.figure(each.value, places=3) for each in spoil)
        yield Amount(
            key="disposal",
            title=_("Soil to cart away, loose"),
            figure=whole,
            steps=(f"{parts} = {shows.measure(whole.value, whole.unit, places=3)}",),
            kind=LineKind.OTHER,
            description=_("Carting soil away"),
        )
        heavy = material_weight("soil", quantity=whole.value, unit=whole.unit)
        yield from _loads(
            [(_("soil"), heavy)],
            settings,
            shows,
            key="away-loads",
            title=_("Loads away"),
            description=_("Loads of soil away"),
        )
    brought: list[tuple[str, Weight | None]] = []
    for line in lines:
        each = plant_weight(line.size_text)
        brought.append((name_of(line), each.times(line.quantity) if each else None))
    for amount in amounts:
        if amount.kind in (LineKind.SOIL, LineKind.MULCH) and amount.quantity:
            weight = material_weight(
                amount.description, quantity=amount.quantity, unit=amount.unit
            )
            brought.append((amount.title, weight))
    yield from _loads(
        brought,
        settings,
        shows,
        key="loads",
        title=_("Delivery loads"),
        description=_("Delivery"),
        kind=LineKind.DELIVERY,
    )


def _loads(
    items: Sequence[tuple[str, Weight | None]],
    settings: Settings,
    shows: Display,
    *,
    kind: LineKind = LineKind.OTHER,
    **facts: Any,
) -> Iterator[Amount]:
    """Loads by the heavier weight; none where nothing is to be carried."""
    load = truckload(items, payload_kg=settings.payload_kg, display=shows)
    if load is None:
        return
    notes = (
        (_("Not weighed: %(items)s.") % {"items": ", ".join(load.unweighed)},)
        if load.unweighed
        else ()
    )
    if load.trips is None:
        yield Amount(
            figure=None,
            refused=_("Type what a load of the truck weighs."),
            notes=notes,
            **facts,
        )
        return
    trips = Decimal(load.trips)
    parts = [
        f"{name} {shows.weight(weight.most_kg)}" for name, weight in items if weight
    ]
    yield Amount(
        figure=Figure(value=trips, unit=_("loads"), formula="", exact=trips),
        steps=(" + ".join(parts), load.words) if parts else (load.words,),
        kind=kind,
        notes=(
            *notes,
            _("Weights are %s; the truck's own plate decides.") % PRACTICE,
        ),
        **facts,
    )
