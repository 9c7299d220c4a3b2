"""Where the cut goes: what stays solid, what comes off dashed, the cut in red-brown."""

from collections.abc import Callable
from typing import Any

from plants.drawings.buds import BUDS, DISTANCE, above_buds
from plants.drawings.collar import at_collar
from plants.drawings.svg import Gettext, as_written
from plants.drawings.thirds import take_a_third
from plants.drawings.whole import cut_down, dead_tips, grass, shear, thin_base

CUTS = (
    "above-pair",
    "above-bud",
    "take-a-third",
    "at-collar",
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
    distance_words: str = "",
    title: str = "",
    prefix: str = "cut",
    in_flower_bud: bool = True,
    gettext: Gettext = as_written,
) -> str:
    """A drawing of one cut.

    `buds` says how the buds sit; the two close-ups follow it, whichever was asked for
    (buds at the base only have no say in it).
    `measure_words` is the height left or the share taken, `distance_words` how far
    above the bud the cut goes, `in_flower_bud` whether the tips hold the next bloom.
    """
    if kind not in CUTS:
        raise ValueError(f"{kind!r} is no cut; known are {', '.join(CUTS)}")
    if buds == "basal":
        buds = None
    if buds is not None and buds not in BUDS:
        raise ValueError(f"{buds!r} is no bud arrangement; known are {', '.join(BUDS)}")
    distance = distance_words or gettext(DISTANCE)
    natural = "alternate" if kind == "above-bud" else "opposite"
    words: dict[str, Any] = {"title": title, "prefix": prefix, "gettext": gettext}
    if kind in {"above-pair", "above-bud"}:
        # Of a single cut the distance is the measure, unless another is given.
        return above_buds(
            buds or natural, measure_words=measure_words or distance, **words
        )
    words["measure_words"] = measure_words
    if kind == "take-a-third":
        return take_a_third(buds=buds or natural, distance_words=distance, **words)
    if kind == "dead-tips":
        return dead_tips(
            buds=buds or natural,
            distance_words=distance,
            in_flower_bud=in_flower_bud,
            **words,
        )
    whole: dict[str, Callable[..., str]] = {
        "at-collar": at_collar,
        "thin-base": thin_base,
        "cut-down": cut_down,
        "shear": shear,
        "grass": grass,
    }
    return whole[kind](**words)
