"""What is counted in a bed: plants, spares, stakes, ties, bags, rings."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from django.utils.translation import gettext as _

from firm.units import Display, UnitError, convert
from jobs.enums import LineKind
from jobs.models import QuoteLine
from jobs.queries.takeoff.amounts import PRACTICE, TREES, Amount, name_of, tried
from jobs.queries.takeoff.settings import Settings
from jobs.takeoff import Figure, digging
from plants.enums import Kind
from plants.models import Bed
from plants.queries.fit import facts_of
from plants.soil import SoilError, read_size
from plants.soil.stock import Sold

SMALL_SPACING_M = Decimal("0.46")


def counts(
    bed: Bed, lines: Sequence[QuoteLine], settings: Settings, shows: Display
) -> Iterator[Amount]:
    """The plants as their lines count them, and spares of the small ones."""
    total = sum((line.quantity for line in lines), Decimal(0))
    parts = " + ".join(
        f"{shows.figure(line.quantity, places=0)} {name_of(line)}" for line in lines
    )
    shown = shows.figure(total, places=0)
    yield Amount(
        key=f"plants-{bed.pk}",
        title=_("Plants"),
        bed=bed,
        figure=Figure(value=total, unit=_("plants"), formula="", exact=total),
        steps=(f"{parts} = {shown}",),
    )
    percent = settings.percents["spare_percent"]
    for line in lines:
        if percent and _is_small(line):
            yield tried(
                lambda line=line: digging.spares(  # type: ignore[misc]
                    int(line.quantity),
                    percent=percent,
                    label=name_of(line),
                    display=shows,
                ),
                key=f"spares-{bed.pk}-{line.plant_id}",
                title=_("Spare %(plant)s") % {"plant": name_of(line)},
                kind=LineKind.OTHER,
                bed=bed,
                description=_("Spare %(plant)s for %(bed)s")
                % {"plant": name_of(line), "bed": bed.name},
            )


def _is_small(line: QuoteLine) -> bool:
    """Whether it is sold as a plug, or set as close as ground covers are, and no
    spares were ordered with its own line.
    """
    if line.typed.get("form", {}).get("spare_percent"):
        return False
    if any(word in line.size_text.lower() for word in ("plug", "cell", "tray")):
        return True
    return not line.size_text and bool(
        line.spacing_m and line.spacing_m <= SMALL_SPACING_M
    )


def caliper_in(line: QuoteLine) -> Decimal | None:
    """The trunk in inches of a balled tree, as its size says it."""
    try:
        size = read_size(line.size_text)
        if size.sold != Sold.BALLED or size.across_m is None:
            return None
        across = convert(size.across_m, unit="m", to="in")
    except (SoilError, UnitError):
        return None
    # A ball of 24 in is the least of a trunk of 2 in, one of 32 in that of 3 in.
    return next((caliper for caliper, ball in _CALIPERS if across <= ball), Decimal(5))


_CALIPERS = tuple(
    (Decimal(caliper), Decimal(ball))
    for caliper, ball in (
        ("1", 16), ("1.5", 20), ("2", 24), ("2.5", 28), ("3", 32), ("4", 42), ("5", 54)
    )
)  # fmt: skip


def held_up(
    bed: Bed, lines: Sequence[QuoteLine], ringed: set[int], settings: Settings
) -> Iterator[Amount]:
    """Stakes, ties and watering bags of trees, rings of perennials that fall over."""
    trees = [
        (int(line.quantity), caliper_in(line), name_of(line))
        for line in lines
        if line.plant and facts_of(line.plant).get("kind") in TREES
    ]
    if trees and settings.ticks["has_stakes"]:
        off = _("Take them off after one growing season (Nebraska extension).")
        for key, title in (("stakes", _("Stakes")), ("ties", _("Ties"))):
            yield _whole(
                [
                    (count, digging.stakes_for(trunk), name)
                    for count, trunk, name in trees
                ],
                key=f"{key}-{bed.pk}",
                title=title,
                bed=bed,
                notes=(off, _("Two to a trunk of 2 in, three above: %s.") % PRACTICE),
            )
    if trees and settings.ticks["has_bags"]:
        yield _whole(
            [(count, digging.bags_for(trunk), name) for count, trunk, name in trees],
            key=f"bags-{bed.pk}",
            title=_("Watering bags"),
            bed=bed,
            notes=(_("One to a trunk of 3 in, two above: %s.") % PRACTICE,),
        )
    falling = [
        (int(line.quantity), 1, name_of(line))
        for line in lines
        if line.plant
        and line.plant.group_id in ringed
        and facts_of(line.plant).get("kind") in (Kind.PERENNIAL, Kind.GRASS, Kind.BULB)
    ]
    if falling:
        yield _whole(
            falling,
            key=f"rings-{bed.pk}",
            title=_("Support rings"),
            bed=bed,
            notes=(_("For plants whose care has a stake or a ring in it."),),
        )


def _whole(
    parts: Sequence[tuple[int, int, str]],
    *,
    key: str,
    title: str,
    bed: Bed,
    notes: tuple[str, ...],
) -> Amount:
    """So many to each of so many plants."""
    total = Decimal(sum(count * each for count, each, _named in parts))
    steps = " + ".join(f"{count} {name} × {each}" for count, each, name in parts)
    return Amount(
        key=key,
        title=title,
        bed=bed,
        kind=LineKind.OTHER,
        description=_("%(what)s for %(bed)s") % {"what": title, "bed": bed.name},
        figure=Figure(value=total, unit=_("pieces"), formula="", exact=total),
        steps=(f"{steps} = {total:f}",),
        notes=notes,
    )
