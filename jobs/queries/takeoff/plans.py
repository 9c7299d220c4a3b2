"""Planting plans: what is asked to stand in a bed, and the plan as it is shown."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext as _

from firm.units import Display
from jobs import takeoff
from jobs.drawings import plan_svg, plan_words
from jobs.drawings.planting import shortfalls
from jobs.enums import LineKind, OfferState
from jobs.models import BedPlan, Quote, QuoteLine
from jobs.queries.quantities import shape_of
from jobs.queries.quotes import display, quote_by_id
from jobs.takeoff import Kind, Layout, Pattern, SeenFrom
from plants.models import Bed
from plants.queries.fit import facts_of
from plants.queries.sun import looks_to


@dataclass(frozen=True, kw_only=True)
class PlanShown:
    """The plan of one bed: drawing, sentences, and whether the lines have changed."""

    plan: BedPlan
    bed: Bed
    layout: Layout
    svg: str
    words: tuple[str, ...]
    short: tuple[str, ...]
    is_stale: bool
    room_words: str


@dataclass(frozen=True, kw_only=True)
class PlanPage:
    """A bed of a quote with its plan, if it has one."""

    quote: Quote
    bed: Bed
    lines: tuple[QuoteLine, ...]
    shown: PlanShown | None

    @property
    def is_draft(self) -> bool:
        """Whether the plan may still be changed."""
        return self.quote.state == OfferState.DRAFTING


def plant_lines(quote: Quote) -> list[QuoteLine]:
    """The lines of plants in beds that are in the quote whatever the client takes."""
    return list(
        quote.lines.filter(kind=LineKind.PLANTS, bed__isnull=False, option__isnull=True)
        .select_related("bed", "plant__group")
        .order_by("position", "id")
    )


def kinds_of(lines: Sequence[QuoteLine]) -> list[Kind]:
    """The kinds that LINES put into one bed; TakeoffError where a spacing lacks."""
    return [
        Kind(
            key=str(line.plant_id),
            label=line.plant.common if line.plant else line.description,
            spacing_m=float(_spacing_of(line)),
            height_m=_height_of(line),
            wanted=max(int(line.quantity), 1),
        )
        for line in lines
    ]


def _spacing_of(line: QuoteLine) -> Decimal:
    """The line's spacing, else the plant's own."""
    if line.spacing_m:
        return line.spacing_m
    own = facts_of(line.plant).get("spacing_m") if line.plant else None
    if not own:
        raise takeoff.TakeoffError(
            _("Type a spacing for %(plant)s to set it out.")
            % {"plant": line.description}
        )
    return Decimal(str(own))


def _height_of(line: QuoteLine) -> float | None:
    if line.plant is None:
        return None
    height = (facts_of(line.plant).get("mature") or {}).get("height_m")
    return None if height is None else float(height)


def layout_for(
    *,
    quote: Quote,
    bed: Bed,
    pattern: str,
    seen_from: str,
    edge_m: Decimal | None,
    row_gap_m: Decimal | None,
    arrangement: int,
) -> Layout:
    """The plants of the quote set out in BED; TakeoffError says why they cannot be."""
    lines = [line for line in plant_lines(quote) if line.bed_id == bed.pk]
    return takeoff.lay_out(
        takeoff.ground_of(shape_of(bed)),
        kinds_of(lines),
        pattern=Pattern(pattern),
        seen_from=SeenFrom(seen_from),
        edge_m=None if edge_m is None else float(edge_m),
        row_gap_m=None if row_gap_m is None else float(row_gap_m),
        seed=arrangement,
    )


def north_of(bed: Bed) -> float | None:
    """North on the drawing, clockwise from its top; the bed looks downwards."""
    looks = looks_to(bed)
    return None if looks is None else float((180 - looks) % 360)


def shown_plan(
    plan: BedPlan, lines: Sequence[QuoteLine], *, shows: Display, width: float = 340
) -> PlanShown:
    """The plan drawn; LINES are those of its bed as they stand now."""
    layout = takeoff.read_kept(plan.layout)
    seen_from = SeenFrom(plan.seen_from)
    room = ""
    if layout.room is not None and layout.kinds and not layout.short:
        more = layout.room - len(layout.places)
        if more > 0:
            room = _("At this spacing the bed holds %(room)d, so %(more)d more.") % {
                "room": layout.room,
                "more": more,
            }
    return PlanShown(
        plan=plan,
        bed=plan.bed,
        layout=layout,
        svg=plan_svg(
            layout,
            seen_from=seen_from,
            display=shows,
            north=north_of(plan.bed),
            title=_("Planting plan of %(bed)s") % {"bed": plan.bed.name},
            prefix=f"plan-{plan.pk}",
            width=width,
            gettext=_,
        ),
        words=tuple(plan_words(layout, seen_from=seen_from, display=shows, gettext=_)),
        short=tuple(shortfalls(layout, display=shows, gettext=_)),
        is_stale=is_stale(plan, layout, lines),
        room_words=room,
    )


def is_stale(plan: BedPlan, layout: Layout, lines: Sequence[QuoteLine]) -> bool:
    """Whether the bed or its lines have changed since the plan was laid out."""
    try:
        return (
            _asked(kinds_of(lines)) != _asked(layout.kinds)
            or takeoff.ground_of(shape_of(plan.bed)) != layout.ground
        )
    except takeoff.TakeoffError:
        return True


def not_printed(quote: Quote) -> list[tuple[Bed, str]]:
    """The beds whose plan the quote leaves out, and why."""
    plans = BedPlan.objects.filter(quote=quote).select_related("bed")
    lines = plant_lines(quote)
    shows = display()
    found = []
    for plan in plans.order_by("bed__name", "id"):
        layout = takeoff.read_kept(plan.layout)
        own = [line for line in lines if line.bed_id == plan.bed_id]
        words = {"bed": plan.bed.name}
        if is_stale(plan, layout, own):
            why = _("The planting plan of %(bed)s no longer fits its lines.") % words
        elif shortfalls(layout, display=shows, gettext=_):
            why = _("%(bed)s has no room for all of its plants.") % words
        else:
            continue
        found.append((plan.bed, why))
    return found


def _asked(kinds: Sequence[Kind]) -> list[tuple[str, float, int | None]]:
    return [(kind.label, kind.spacing_m, kind.wanted) for kind in kinds]


def plans_of(quote: Quote, *, width: float = 340) -> list[PlanShown]:
    """The plans of the quote's beds by name, drawn; two queries."""
    plans = list(
        BedPlan.objects.filter(quote=quote)
        .select_related("bed")
        .order_by("bed__name", "id")
    )
    if not plans:
        return []
    lines = plant_lines(quote)
    shows = display()
    return [
        shown_plan(
            plan,
            [line for line in lines if line.bed_id == plan.bed_id],
            shows=shows,
            width=width,
        )
        for plan in plans
    ]


def plan_page(*, quote_id: int, bed_id: int) -> PlanPage | None:
    """A bed of the quote's garden with its plan; None when there is no such bed."""
    quote = quote_by_id(quote_id=quote_id)
    bed = (
        Bed.objects.filter(pk=bed_id, garden_id=quote.garden_id).first()
        if quote
        else None
    )
    if quote is None or bed is None:
        return None
    lines = [line for line in plant_lines(quote) if line.bed_id == bed.pk]
    plan = BedPlan.objects.filter(quote=quote, bed=bed).select_related("bed").first()
    return PlanPage(
        quote=quote,
        bed=bed,
        lines=tuple(lines),
        shown=shown_plan(plan, lines, shows=display()) if plan else None,
    )
