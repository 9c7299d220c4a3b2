"""Where the cut goes: what stays solid, what comes off dashed, the cut in red-brown."""

from plants.drawings.buds import BUDS, DISTANCE, above_buds
from plants.drawings.svg import Gettext, as_written
from plants.drawings.whole import cut_down, dead_tips, grass, shear, thin_base

CUTS = (
    "above-pair",
    "above-bud",
    "thin-base",
    "cut-down",
    "dead-tips",
    "shear",
    "grass",
)


def cut_drawing(
    kind: str,
    *,
    buds: str | None = None,
    measure_words: str = "",
    title: str = "",
    prefix: str = "cut",
    gettext: Gettext = as_written,
) -> str:
    """A drawing of one cut.

    `buds` says how the buds sit; the two close-ups follow it, whichever was asked for
    (buds at the base only have no say in it).
    `measure_words` is the distance above the bud, the height left or the share taken.
    """
    if kind not in CUTS:
        raise ValueError(f"{kind!r} is no cut; known are {', '.join(CUTS)}")
    if buds == "basal":
        buds = None
    if buds is not None and buds not in BUDS:
        raise ValueError(f"{buds!r} is no bud arrangement; known are {', '.join(BUDS)}")
    if kind in {"above-pair", "above-bud"}:
        natural = "opposite" if kind == "above-pair" else "alternate"
        return above_buds(
            buds or natural,
            measure_words=measure_words or gettext(DISTANCE),
            title=title,
            prefix=prefix,
            gettext=gettext,
        )
    whole = {
        "thin-base": thin_base,
        "cut-down": cut_down,
        "dead-tips": dead_tips,
        "shear": shear,
        "grass": grass,
    }[kind]
    return whole(
        measure_words=measure_words, title=title, prefix=prefix, gettext=gettext
    )
