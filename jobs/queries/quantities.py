"""Take-off of one line of a quote: from a bed and what was typed to a quantity."""

from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext as _

from firm.units import Display, round_figure
from jobs import takeoff
from jobs.enums import CountRule
from jobs.takeoff import Figure, Portion, Rows
from jobs.takeoff.digging import spares
from plants.enums import BedShape
from plants.models import Bed
from plants.queries.outlines import corners_of

# Volumes are ordered, priced and printed to this many decimals.
VOLUME_PLACES = 3
# The parts of a soil mix; the first is there already and is not bought.
NATIVE, COMPOST, SAND = "native soil", "compost", "sand"


def shape_of(bed: Bed) -> takeoff.BedShape:
    """The measured shape of BED; takeoff.TakeoffError where nothing was measured."""
    if bed.shape == BedShape.CIRCLE and bed.across_m is not None:
        return takeoff.Circle(diameter_m=bed.across_m)
    if bed.shape == BedShape.RECTANGLE and bed.length_m and bed.width_m:
        return takeoff.Rectangle(length_m=bed.length_m, width_m=bed.width_m)
    if bed.shape == BedShape.OUTLINE:
        return takeoff.Outline(corners=corners_of(bed))
    return takeoff.pieces_of(
        [
            (Decimal(str(piece["length_m"])), Decimal(str(piece["width_m"])))
            for piece in bed.pieces
        ]
    )


def area_of(bed: Bed, *, display: Display) -> Figure:
    """The ground of BED with its formula."""
    return takeoff.area(shape_of(bed), display=display)


@dataclass(frozen=True, kw_only=True)
class GridCount:
    """What one grid gives: by area, and in rows where the bed can be laid out."""

    layout: str
    by_area: Figure
    in_rows: Rows | None
    why: str

    @property
    def exact(self) -> Decimal:
        """The count by area before it is made whole, to two decimals."""
        return round_figure(self.by_area.exact, 2)


@dataclass(frozen=True, kw_only=True)
class PlantCount:
    """How many plants are ordered, what was computed beside it, and how."""

    ordered: int
    computed: int | None
    rule: CountRule
    grids: tuple[GridCount, ...]
    no_rows: str
    formula: str

    @property
    def needs_asking(self) -> bool:
        """Whether the number is unusual enough to ask about it."""
        return takeoff.needs_asking(self.ordered)


def grid_counts(
    *, bed: Bed, spacing_m: Decimal, rounding: str, display: Display
) -> tuple[tuple[GridCount, ...], str]:
    """Both grids for BED, and why there are no rows where it cannot be laid out."""
    shape = shape_of(bed)
    grids = []
    no_rows = ""
    for layout in (takeoff.SQUARE, takeoff.TRIANGULAR):
        by_area = takeoff.plants_by_area(
            shape,
            spacing_m=spacing_m,
            layout=layout,
            rounding=rounding,
            display=display,
        )
        in_rows = None
        try:
            if isinstance(shape, takeoff.Rectangle | takeoff.Pieces):
                in_rows = takeoff.plants_in_rows(
                    shape, spacing_m=spacing_m, layout=layout, display=display
                )
            else:
                in_rows = takeoff.plants_set_out(
                    shape, spacing_m=spacing_m, layout=layout, display=display
                )
        except takeoff.TakeoffError as refused:
            no_rows = str(refused)
        why = ""
        if in_rows is not None:
            why = takeoff.why_counts_differ(
                by_area=by_area,
                in_rows=in_rows.figure,
                spacing_m=spacing_m,
                display=display,
            )
        grids.append(
            GridCount(layout=layout, by_area=by_area, in_rows=in_rows, why=why)
        )
    return tuple(grids), no_rows


def count_plants(
    *,
    bed: Bed | None,
    spacing_m: Decimal | None,
    rule: CountRule,
    typed: int | None,
    is_laid_out: bool,
    rounding: str,
    display: Display,
    hedge_m: Decimal | None = None,
    spare_percent: Decimal = Decimal(0),
) -> PlantCount:
    """The plants of one line: a typed number beats a plan's rows, those beat the area.

    A hedge line is HEDGE_M long, or as long as a rectangular bed. SPARE_PERCENT more
    are ordered of what was computed. takeoff.TakeoffError says what is missing or
    cannot be.
    """
    grids: tuple[GridCount, ...] = ()
    no_rows = ""
    if bed is not None and spacing_m is not None:
        grids, no_rows = grid_counts(
            bed=bed, spacing_m=spacing_m, rounding=rounding, display=display
        )
    by_layout = {grid.layout: grid for grid in grids}
    grid = by_layout.get(str(rule))
    computed = grid.by_area.count if grid else None
    steps = [grid.by_area.formula] if grid else []
    if rule == CountRule.HEDGE and typed is None:
        line = hedge_line(
            bed=bed, spacing_m=spacing_m, hedge_m=hedge_m, display=display
        )
        computed, steps = line.count, [line.formula]
    if typed is not None:
        ordered = takeoff.check_count(typed)
        steps.append(
            _("%(count)s typed") % {"count": display.figure(Decimal(ordered), places=0)}
        )
        rule = CountRule.TYPED
    elif computed is None:
        raise takeoff.TakeoffError(_cannot_count(rule, bed, spacing_m))
    elif is_laid_out and grid is not None:
        if grid.in_rows is None:
            raise takeoff.TakeoffError(no_rows)
        ordered = grid.in_rows.figure.count
        steps += [grid.in_rows.figure.formula, grid.why]
    else:
        ordered = computed
    if spare_percent and typed is None:
        more = spares(
            ordered, percent=spare_percent, label=_("spares"), display=display
        )
        ordered += more.count
        steps.append(more.formula)
    if ordered < 1:
        raise takeoff.TakeoffError(
            _("Not one plant fits at this spacing. Type a number or a closer spacing.")
        )
    return PlantCount(
        ordered=ordered,
        computed=computed,
        rule=rule,
        grids=grids,
        no_rows=no_rows,
        formula="\n".join(step for step in steps if step),
    )


def hedge_line(
    *,
    bed: Bed | None,
    spacing_m: Decimal | None,
    hedge_m: Decimal | None,
    display: Display,
) -> Figure:
    """The plants of a hedge line, as long as was typed or as the bed."""
    if hedge_m is None and bed is not None and bed.shape == BedShape.RECTANGLE:
        hedge_m = max(bed.length_m or Decimal(0), bed.width_m or Decimal(0)) or None
    if hedge_m is None:
        raise takeoff.TakeoffError(_("Type how long the hedge line is."))
    if spacing_m is None:
        raise takeoff.TakeoffError(_("Type a spacing to count along the hedge line."))
    return takeoff.hedge(length_m=hedge_m, spacing_m=spacing_m, display=display)


def _cannot_count(rule: CountRule, bed: Bed | None, spacing_m: Decimal | None) -> str:
    """What is missing to count by area."""
    if rule == CountRule.TYPED:
        return str(_("Type how many plants."))
    if bed is None:
        return str(_("Choose a bed to count by its area, or type how many plants."))
    return str(_("Type a spacing to count by area, or type how many plants."))


def volume_ordered(figure: Figure) -> Decimal:
    """A volume to the decimals it is ordered, priced and printed with."""
    return round_figure(figure.value, VOLUME_PLACES)


@dataclass(frozen=True, kw_only=True)
class Bought:
    """One part of a soil mix that is bought: what goes in and what is ordered."""

    name: str
    portion: Portion
    ordered: Figure
    formula: str

    @property
    def quantity(self) -> Decimal:
        """What is ordered, to the decimals it is priced and printed with."""
        return volume_ordered(self.ordered)


@dataclass(frozen=True, kw_only=True)
class SoilMix:
    """What fills a bed to a depth: all of it, each part, and what is bought."""

    volume: Figure
    portions: tuple[Portion, ...]
    bought: tuple[Bought, ...]
    unit: str


def soil_mix(
    *,
    bed: Bed,
    depth_m: Decimal,
    native_percent: Decimal,
    compost_percent: Decimal,
    sand_percent: Decimal,
    settling_percent: Decimal,
    display: Display,
) -> SoilMix:
    """The mix of a bed; only what is bought is ordered with an allowance to settle."""
    volume = takeoff.soil_volume(shape_of(bed), depth_m=depth_m, display=display)
    portions = takeoff.blend(
        volume,
        parts=[
            (NATIVE, native_percent),
            (COMPOST, compost_percent),
            (SAND, sand_percent),
        ],
        display=display,
    )
    # The first line also says how large the whole is and what of it is there.
    head = (volume.formula, f"{NATIVE}: {portions[0].figure.formula}")
    bought: list[Bought] = []
    for portion in portions[1:]:
        if not portion.percent:
            continue
        ordered = takeoff.to_order(
            portion.figure, settling_percent=settling_percent, display=display
        )
        steps = (*(() if bought else head), portion.figure.formula, ordered.formula)
        bought.append(
            Bought(
                name=portion.name,
                portion=portion,
                ordered=ordered,
                formula="\n".join(steps),
            )
        )
    if not bought:
        raise takeoff.TakeoffError(
            _("A mix of native soil alone needs nothing bought; type a share of it.")
        )
    return SoilMix(
        volume=volume,
        portions=portions,
        bought=tuple(bought),
        unit=display.volume_unit,
    )


def mulch_for(*, bed: Bed, depth_m: Decimal, display: Display) -> Figure:
    """The mulch of a bed; takeoff.TakeoffError past the depth that smothers roots."""
    return takeoff.mulch(shape_of(bed), depth_m=depth_m, display=display)
