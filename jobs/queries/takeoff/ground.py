"""What a bed's ground takes: holes, spoil, mix, mulch, edging, fertiliser, pH."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from firm.units import Display, UnitError
from jobs import takeoff
from jobs.enums import LineKind
from jobs.models import QuoteLine
from jobs.queries.quantities import shape_of, soil_mix
from jobs.queries.takeoff.amounts import (
    STEMS,
    Amount,
    name_of,
    summed,
    together,
)
from jobs.queries.takeoff.settings import Settings
from jobs.takeoff import digging
from plants.models import Bed
from plants.queries.fit import facts_of
from plants.soil import SoilError, read_size


def _balls(lines: Sequence[QuoteLine]) -> tuple[list[digging.Ball], list[str]]:
    """The root balls that are put in, and the plants whose size says nothing."""
    balls, unknown = [], []
    for line in lines:
        try:
            size = read_size(line.size_text)
        except (SoilError, UnitError):
            size = None
        if size is None or size.across_m is None or size.depth_m is None:
            unknown.append(name_of(line))
            continue
        balls.append(
            digging.Ball(
                label=name_of(line),
                count=int(line.quantity),
                across_m=size.across_m,
                depth_m=size.depth_m,
            )
        )
    return balls, unknown


def dug_out(
    bed: Bed, lines: Sequence[QuoteLine], settings: Settings, shows: Display
) -> Iterator[Amount]:
    """Holes, and what is left over of the soil, in the ground and loose."""
    balls, unknown = _balls(lines)
    notes = (
        (
            _("Not reckoned, since the size lacks: %(plants)s.")
            % {"plants": ", ".join(unknown)},
        )
        if unknown
        else ()
    )
    if not balls:
        yield Amount(
            key=f"holes-{bed.pk}",
            title=_("Holes"),
            bed=bed,
            figure=None,
            refused=_("Type the size that each plant is sold in, such as #3."),
        )
        return
    dug = [
        digging.holes(ball, hole_times=settings.hole_times, display=shows)
        for ball in balls
    ]
    holes = summed(dug, shows)
    yield Amount(
        key=f"holes-{bed.pk}",
        title=_("Holes, to dig"),
        bed=bed,
        figure=holes,
        steps=tuple(each.formula for each in dug) + together(dug, holes, shows),
        notes=notes,
    )
    out = [digging.displaced(ball, display=shows) for ball in balls]
    steps = [each.formula for each in out]
    if settings.ticks["has_mix"] and bed.depth_m:
        try:
            whole = takeoff.soil_volume(
                shape_of(bed), depth_m=bed.depth_m, display=shows
            )
        except takeoff.TakeoffError:
            whole = None
        gone = 100 - settings.percents["native_percent"]
        if whole is not None and gone:
            (share, _rest) = takeoff.blend(
                whole,
                parts=[(_("replaced"), gone), (_("kept"), 100 - gone)],
                display=shows,
            )
            out.append(share.figure)
            steps.append(
                _("native soil that the mix replaces: %(sum)s")
                % {"sum": share.figure.formula}
            )
    bank = summed(out, shows)
    loose = digging.loosened(
        bank, bulking_percent=settings.percents["bulking_percent"], display=shows
    )
    yield Amount(
        key=f"spoil-{bed.pk}",
        title=_("Soil left over, loose"),
        bed=bed,
        figure=loose,
        steps=(*steps, *together(out, bank, shows), loose.formula),
        notes=notes,
    )


def mix_of(bed: Bed, settings: Settings, shows: Display) -> Iterator[Amount]:
    """The bought parts of the soil mix that fills the bed to its depth."""
    shares = {
        name: settings.percents[name]
        for name in (
            "native_percent",
            "compost_percent",
            "sand_percent",
            "settling_percent",
        )
    }
    titles = {"compost": _("Compost"), "sand": _("Sand")}
    try:
        mix = soil_mix(
            bed=bed, depth_m=bed.depth_m or Decimal(0), display=shows, **shares
        )
    except takeoff.TakeoffError as refused:
        yield Amount(
            key=f"mix-{bed.pk}",
            title=_("Soil mix"),
            bed=bed,
            figure=None,
            refused=str(refused),
        )
        return
    for part in mix.bought:
        yield Amount(
            key=f"{part.name}-{bed.pk}",
            title=titles[part.name],
            bed=bed,
            kind=LineKind.SOIL,
            figure=part.ordered,
            steps=tuple(part.formula.splitlines()),
            description=_("%(what)s for %(bed)s")
            % {"what": titles[part.name], "bed": bed.name},
            form={
                "bed": str(bed.pk),
                "depth": bed.depth_text,
                **{name: str(value) for name, value in shares.items()},
            },
            group=f"takeoff-mix-{bed.pk}",
        )


def mulch_of(
    bed: Bed, lines: Sequence[QuoteLine], settings: Settings, shows: Display
) -> Amount:
    stems = sum(
        int(line.quantity)
        for line in lines
        if line.plant and facts_of(line.plant).get("kind") in STEMS
    )
    facts: dict[str, Any] = {
        "key": f"mulch-{bed.pk}",
        "title": _("Mulch"),
        "kind": LineKind.MULCH,
        "bed": bed,
        "description": _("%(what)s for %(bed)s")
        % {"what": _("Mulch"), "bed": bed.name},
        "form": {
            "bed": str(bed.pk),
            "description": _("Mulch"),
            "depth": shows.depth(settings.mulch_m, places=2),
        },
    }
    try:
        figure = takeoff.mulch(
            shape_of(bed), depth_m=settings.mulch_m, stems=stems, display=shows
        )
        ordered = takeoff.to_order(
            figure,
            settling_percent=settings.percents["mulch_settling_percent"],
            display=shows,
        )
    except takeoff.TakeoffError as refused:
        return Amount(figure=None, refused=str(refused), **facts)
    return Amount(figure=ordered, steps=(figure.formula, ordered.formula), **facts)
