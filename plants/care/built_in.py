"""Closed seasons that follow from the wood a group flowers on."""

from plants.care.group import Bloom, ClosedSeason, Moment
from plants.care.vocabulary import CUTS

FLOWER_BUDS = "flower-buds-set"
FLOWERING_SHOOTS = "flowering-shoots-grow"

SHOOT_DAYS = 28
"""Spring shoots are long enough to carry flowers so long after leaf-out; roses and
tender subshrubs are still cut at the last frost before it (common practice)."""

_EXEMPT = ("structure", "renovation", "dead wood", "deadhead", "hygiene")


def built_in_seasons(
    kind: str, wood: str, bloom: Bloom | None
) -> tuple[ClosedSeason, ...]:
    """The season in which a shape or flower cut takes the coming flowers off.

    Fruit is pruned for its crop and knows none of it.
    """
    if bloom is None or kind == "fruit":
        return ()
    if wood == "old":
        return (
            ClosedSeason(
                key=FLOWER_BUDS,
                tasks=CUTS,
                first=Moment("bud_set", 1),
                last=Moment("bloom_start", -1),
                except_purposes=_EXEMPT,
                why=(
                    "The buds of the next flowers sit on the old shoots: a cut now "
                    "takes them off."
                ),
                source="Virginia Cooperative Extension 430-462",
            ),
        )
    if wood == "new":
        return (
            ClosedSeason(
                key=FLOWERING_SHOOTS,
                tasks=CUTS,
                first=Moment("leaf_out", SHOOT_DAYS),
                last=Moment("bloom_end", -1),
                except_purposes=_EXEMPT,
                why="The shoots of this spring carry this year's flowers.",
                source="Virginia Cooperative Extension 430-462",
            ),
        )
    return ()
