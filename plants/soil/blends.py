"""Soil mixes by volume."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from firm.units import Display, plain
from plants.soil.tables import COMPOST_MOST_PERCENT, SoilError

US = Display("us")


@dataclass(frozen=True, kw_only=True)
class BlendPart:
    """One part of a soil mix and its volume before settling."""

    name: str
    percent: Decimal
    volume_m3: Decimal


@dataclass(frozen=True, kw_only=True)
class Blend:
    """A soil mix by volume with its cautions."""

    parts: tuple[BlendPart, ...]
    warnings: tuple[str, ...]
    words: str


def blend(
    *, volume_m3: Decimal, percents: Mapping[str, Decimal], display: Display = US
) -> Blend:
    """The parts of a mix by volume; shares that do not make 100 % are refused."""
    if volume_m3 <= 0:
        raise SoilError("A mix needs a volume above nothing.")
    if any(share < 0 for share in percents.values()):
        raise SoilError("A share of a mix cannot be below nothing.")
    total = sum(percents.values(), Decimal(0))
    if total != 100:
        raise SoilError(
            f"The parts of the mix make {plain(total, places=2)} %, not 100 %."
        )
    parts = tuple(
        BlendPart(name=name, percent=share, volume_m3=volume_m3 * share / 100)
        for name, share in percents.items()
        if share
    )
    warnings = []
    if percents.get("compost", Decimal(0)) > COMPOST_MOST_PERCENT:
        warnings.append(
            f"More than {COMPOST_MOST_PERCENT} % compost by volume settles more and "
            "may hold too much salt and phosphorus (common practice, no source): ask "
            "for the compost's analysis and order for the settling."
        )
    listed = ", ".join(
        f"{part.name} {plain(part.percent, places=1)} % "
        f"({display.volume(part.volume_m3)})"
        for part in parts
    )
    return Blend(parts=parts, warnings=tuple(warnings), words=f"{listed}.")
