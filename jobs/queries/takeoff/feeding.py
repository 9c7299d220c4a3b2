"""What a bed is fed and how its pH is brought to what its plants want."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from firm.units import Display
from jobs import takeoff
from jobs.enums import LineKind
from jobs.models import QuoteLine
from jobs.queries.quantities import shape_of
from jobs.queries.soil import feeding_for, plant_ph
from jobs.queries.takeoff.amounts import STEMS, Amount, weighed
from jobs.queries.takeoff.settings import Settings
from plants.enums import Kind
from plants.models import Bed
from plants.queries.fit import facts_of
from plants.soil import Ph, SoilError, change_ph


def _feeding_kind(lines: Sequence[QuoteLine]) -> str:
    """The kind with the lowest ceiling among the plants of a bed."""
    found = set()
    for line in lines:
        facts = facts_of(line.plant) if line.plant else {}
        if facts.get("kind") in (Kind.GROUNDCOVER,):
            found.add("groundcover")
        elif facts.get("kind") in STEMS or facts.get("kind") == Kind.CLIMBER:
            found.add("deciduous" if facts.get("evergreen") == "no" else "evergreen")
        else:
            found.add("perennial")
    return next(
        kind
        for kind in ("groundcover", "perennial", "evergreen", "deciduous")
        if kind in found
    )


def fertiliser_of(
    bed: Bed, lines: Sequence[QuoteLine], settings: Settings, shows: Display
) -> Amount:
    facts: dict[str, Any] = {
        "key": f"fertiliser-{bed.pk}",
        "title": _("Fertiliser"),
        "kind": LineKind.OTHER,
        "bed": bed,
        "description": _("Fertiliser %(analysis)s for %(bed)s")
        % {"analysis": settings.analysis, "bed": bed.name},
    }
    try:
        feeding = feeding_for(
            kind=_feeding_kind(lines),
            analysis=settings.analysis,
            n_rate=settings.nitrogen or Decimal(0),
            given=Decimal(0),
            is_slow=settings.ticks["is_slow"],
            is_young=True,
            liquid_weight=None,
            area_m2=shape_of(bed).area_m2,
            display=shows,
        )
    except (SoilError, takeoff.TakeoffError) as refused:
        return Amount(figure=None, refused=str(refused), **facts)
    ground = takeoff.area(shape_of(bed), display=shows)
    return Amount(
        figure=weighed(feeding.kg, shows),
        steps=(ground.formula, feeding.words),
        notes=feeding.cautions,
        **facts,
    )


def ph_of(bed: Bed, lines: Sequence[QuoteLine], shows: Display) -> Iterator[Amount]:
    """The first dose of what brings the soil to what all plants of the bed want."""
    wanted = [ph for line in lines if line.plant and (ph := plant_ph(line.plant))]
    facts: dict[str, Any] = {
        "key": f"ph-{bed.pk}",
        "title": _("Changing the pH"),
        "bed": bed,
    }
    if not wanted:
        return
    if bed.ph is None:
        yield Amount(figure=None, refused=_("The pH of the bed was not read."), **facts)
        return
    low, high = max(ph.low for ph in wanted), min(ph.high for ph in wanted)
    if low > high:
        yield Amount(
            figure=None,
            refused=_("The plants of this bed want soils that do not agree."),
            **facts,
        )
        return
    soil = Ph(
        low=bed.ph if bed.ph_low is None else bed.ph_low,
        high=bed.ph if bed.ph_high is None else bed.ph_high,
    )
    try:
        change = change_ph(
            soil=soil,
            wanted=Ph(low=low, high=high),
            texture=bed.texture or None,
            area_m2=shape_of(bed).area_m2,
            planted=False,
            has_free_lime=bed.has_free_lime if bed.is_lime_tested else None,
            display=shows,
        )
    except (SoilError, takeoff.TakeoffError) as refused:
        yield Amount(figure=None, refused=str(refused), **facts)
        return
    if not change.doses:
        yield Amount(figure=None, refused=change.refused or change.words, **facts)
        return
    dose = change.doses[0]
    yield Amount(
        figure=weighed(dose.kg, shows),
        steps=(change.words, dose.words),
        kind=LineKind.OTHER,
        description=_("%(product)s for %(bed)s")
        % {"product": dose.product.capitalize(), "bed": bed.name},
        notes=tuple(change.assumed),
        **facts,
    )
