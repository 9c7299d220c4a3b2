"""Whether a grown plant has room: in its bed, to walls and to its neighbours.

Where one verdict ends and the next begins is common practice, no source.
"""

from decimal import Decimal

from firm.units import Display
from plants.fit.place import Needs, Site
from plants.fit.verdicts import (
    NOT_RECORDED,
    Criterion,
    Verdict,
    missing,
    plant_missing,
)

PI = Decimal("3.141592653589793")
# A hand's width of air between leaves and a wall (common practice, no source).
AIR_M = Decimal("0.3")


def room(site: Site, needs: Needs, display: Display) -> Criterion:
    name = "room"
    if needs.mature_width_m is None:
        return plant_missing(
            "room",
            name,
            NOT_RECORDED
            if site.width_m is None
            else f"{display.length(site.width_m, places=1, trim=True)} wide",
            "room",
        )
    grown = display.length(needs.mature_width_m, places=1, trim=True)
    needed = f"{grown} when grown"
    if site.width_m is None:
        return missing("room", name, needed, "The bed's width")
    wide = display.length(site.width_m, places=1, trim=True)
    found = f"bed {wide} wide"
    if needs.mature_width_m <= site.width_m:
        verdict, said = Verdict.RIGHT, f"Grown {grown} wide, it stays inside the bed."
    elif needs.mature_width_m <= site.width_m * Decimal("1.25"):
        verdict = Verdict.BEARABLE
        said = f"It grows {grown} wide in a bed of {wide}: it will hang over the edge."
    else:
        verdict = Verdict.WRONG
        said = f"It grows {grown} wide; the bed is {wide}, so it is cut every year."
    return Criterion("room", name, needed, found, verdict, said)


def walls(site: Site, needs: Needs, display: Display) -> Criterion | None:
    """Room to the nearest wall or fence for a plant in the middle of the bed."""
    if not site.walls or needs.mature_width_m is None:
        return None
    wall = min(site.walls, key=lambda each: each.distance_m)
    half = needs.mature_width_m / 2
    here = wall.distance_m + (site.width_m or Decimal(0)) / 2
    wants = display.length(half + AIR_M, places=1, trim=True)
    has = display.length(here, places=1, trim=True)
    needed = f"{wants} from a wall"
    found = f"{has} from the {wall.name} to the middle of the bed"
    if here >= half + AIR_M:
        verdict, said = Verdict.RIGHT, f"It keeps off the {wall.name}."
    elif here >= half * Decimal("0.8"):
        verdict = Verdict.BEARABLE
        said = f"Grown, it touches the {wall.name} and is cut back there every year."
    else:
        verdict = Verdict.WRONG
        said = (
            f"Grown, it presses against the {wall.name}: no air behind it and no way "
            "to reach the wall."
        )
    return Criterion("walls", "room to walls", needed, found, verdict, said)


def spread_m2(width_m: Decimal) -> Decimal:
    """The ground under a grown plant."""
    return PI * width_m * width_m / 4


def neighbours(site: Site, needs: Needs, display: Display) -> Criterion | None:
    """Room beside what grows in the bed, each at its grown size."""
    if site.area_m2 is None or not site.taken_m2 or needs.mature_width_m is None:
        return None
    wants = spread_m2(needs.mature_width_m)
    left = max(site.area_m2 - site.taken_m2, Decimal(0))
    needed = f"{display.area(wants, places=0)} of ground"
    found = (
        f"{display.area(left, places=0)} of {display.area(site.area_m2, places=0)} left"
    )
    if left >= wants:
        verdict = Verdict.RIGHT
        said = "What grows there leaves it room when all are grown."
    elif left >= wants * Decimal("0.6"):
        verdict = Verdict.BEARABLE
        said = "What grows there leaves it little room when all are grown."
    else:
        verdict = Verdict.WRONG
        said = (
            "What grows there fills the bed when it is grown: something has to go or "
            "to be cut every year."
        )
    return Criterion("neighbours", "room to neighbours", needed, found, verdict, said)
