"""From what is known of a planting to the figures of its water balance.

What nobody wrote down is taken as usual, and its name is handed back so that a page can
say so.
"""

from typing import Literal

from plants.soil import SoilError
from plants.soil.stock import Size, Sold, read_size
from plants.water.plant_factors import PLANTING_ROWS
from plants.water.schedule import is_woody
from plants.water.seasons import NewPlant
from plants.water.soils import TABLE_19, soil_of

Assumed = Literal["size", "soil", "width"]

TREES = frozenset({"tree", "conifer"})

USUAL_SIZE = {"tree": "2 in balled", "conifer": "#7", "woody": "#3", "soft": "#1"}
"""What a plant is taken to have come as where nobody wrote it; common practice, no
source."""

BARE_ACROSS_M, BARE_DEPTH_M = 0.30, 0.25
"""The ground that the roots of a bare plant fill; common practice, no source."""

CROWN_TIMES = {"tree": 2.5, "other": 1.5}
"""How much wider the leaves of a new plant reach than its ball; common practice, no
source."""

FACTOR, DRY_FACTOR = 0.7, 0.5
"""Use of water against short grass: woody plants and perennials of humid and of dry
climates (ASABE S623, from memory)."""

USUAL_WIDTH_M = 1.2


def roots_m(kind: str) -> float:
    """How deep the roots go once they are established: FAO-56, table 22, the row that
    lies nearest, its lower end.
    """
    if kind in TREES:
        row = "conifers"
    else:
        row = "berry bushes" if is_woody(kind) else "cool-season turf"
    return PLANTING_ROWS[row].roots_m[0]


def size_or_usual(size_text: str, *, kind: str) -> tuple[Size, bool]:
    """How the plant came, and whether that had to be assumed."""
    try:
        size = read_size(size_text)
    except SoilError:
        size = None
    if size is not None and (size.across_m is not None or size.sold == Sold.BARE):
        return size, False
    sort = kind if kind in USUAL_SIZE else "woody" if is_woody(kind) else "soft"
    return read_size(USUAL_SIZE[sort]), True


def new_plant(
    *,
    kind: str,
    size_text: str,
    width_m: float | None,
    texture: str,
    likes_dry: bool = False,
) -> tuple[NewPlant, tuple[Assumed, ...]]:
    """The plant for `two_seasons`, and what of it was not known."""
    assumed: list[Assumed] = []
    size, is_guess = size_or_usual(size_text, kind=kind)
    if is_guess:
        assumed.append("size")
    across = float(size.across_m) if size.across_m is not None else BARE_ACROSS_M
    depth = float(size.depth_m) if size.depth_m is not None else BARE_DEPTH_M
    if texture not in TABLE_19 and texture != "clay loam":
        assumed.append("soil")
        texture = "loam"
    if width_m is None:
        assumed.append("width")
    wide = USUAL_WIDTH_M if width_m is None else width_m
    times = CROWN_TIMES["tree" if kind in TREES else "other"]
    crown = min(times * across, max(wide, across))
    return (
        NewPlant(
            kind=kind,
            ball_depth_m=depth,
            ball_across_m=across,
            leaves_m2=0.7854 * crown * crown,
            roots_depth_m=max(roots_m(kind), depth),
            roots_across_m=max(wide, across),
            factor=DRY_FACTOR if likes_dry else FACTOR,
            soil=soil_of(texture),
        ),
        tuple(assumed),
    )
