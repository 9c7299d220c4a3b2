"""From a soil's pH to a wanted one: which product, how much, and what was assumed."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from firm.units import Display, convert, plain
from plants.soil.acidity import Ph, times_as_acid
from plants.soil.doses import (
    Dose,
    aluminium_sulfate,
    check_ph,
    ferrous_sulfate_kg,
    lime,
    sulfur,
)
from plants.soil.tables import LIME_TARGET, SULFUR_TARGET, SoilError

US = Display("us")
SMALLEST_DOSE_TEXTURE = "sand"


class Direction(StrEnum):
    """Which way the pH has to go."""

    NONE = "nothing"
    LOWER = "lower"
    RAISE = "raise"
    TEST = "test first"


@dataclass(frozen=True, kw_only=True)
class Change:
    """What it takes to bring a soil to a pH: doses that do it, or why none does.

    DOSES are alternatives, the mildest first. START and TARGET are the careful ends of
    the soil's and of the wanted range, so that the dose is the smallest that may do.
    """

    direction: Direction
    start: Decimal
    target: Decimal
    doses: tuple[Dose, ...]
    refused: str
    assumed: tuple[str, ...]
    words: str

    @property
    def is_possible(self) -> bool:
        """Whether the soil is right, or a printed table says how to make it so."""
        return self.direction == Direction.NONE or bool(self.doses)


def change_ph(
    *,
    soil: Ph,
    wanted: Ph,
    texture: str | None,
    area_m2: Decimal,
    planted: bool,
    has_free_lime: bool | None,
    cce_percent: Decimal = Decimal(100),
    display: Display = US,
) -> Change:
    """What brings SOIL into the WANTED range, reckoned from the careful ends.

    A texture that is not known is reckoned as sand, which takes the least; free lime
    that nobody looked for is taken as absent, and said so.
    """
    for ph in (soil.low, soil.high, wanted.low, wanted.high):
        check_ph(ph)
    if wanted.low <= soil.low and soil.high <= wanted.high:
        return _change(Direction.NONE, soil.low, soil.low, "The pH needs nothing.")
    if soil.high < wanted.low:
        return _raise(soil, wanted, texture, area_m2, cce_percent, display)
    if soil.low > wanted.high:
        return _lower(soil, wanted, texture, area_m2, planted, has_free_lime, display)
    return _change(
        Direction.TEST,
        soil.low,
        wanted.low,
        f"The soil's {soil.words} may already lie in {wanted.words}: have a laboratory "
        "test it before anything is spread.",
    )


def _change(
    direction: Direction, start: Decimal, target: Decimal, words: str, refused: str = ""
) -> Change:
    return Change(
        direction=direction,
        start=start,
        target=target,
        doses=(),
        refused=refused,
        assumed=(),
        words=words,
    )


def _reckoned_as(texture: str | None) -> tuple[str, list[str]]:
    if texture:
        return texture, []
    return SMALLEST_DOSE_TEXTURE, [
        "The soil's texture is not recorded: reckoned as sand, which takes the least."
    ]


def _range_words(soil: Ph, end: Decimal) -> list[str]:
    if not soil.is_range:
        return []
    return [
        f"The soil is known as {soil.words} only: reckoned from "
        f"{plain(end, places=1)}, which takes the least."
    ]


def _raise(
    soil: Ph,
    wanted: Ph,
    texture: str | None,
    area_m2: Decimal,
    cce_percent: Decimal,
    display: Display,
) -> Change:
    start, target = soil.high, wanted.low
    said, assumed = _reckoned_as(texture)
    assumed += _range_words(soil, start)
    if target > LIME_TARGET:
        target = LIME_TARGET
        assumed.append(
            f"Printed tables end at pH {LIME_TARGET}; a laboratory says what is "
            "needed past it."
        )
    if cce_percent == 100:
        assumed.append("Reckoned as pure lime (100 % calcium carbonate equivalent).")
    try:
        dose = lime(
            start_ph=start,
            target_ph=target,
            texture=said,
            area_m2=area_m2,
            cce_percent=cce_percent,
            display=display,
        )
    except SoilError as refused:
        return _change(Direction.RAISE, start, target, str(refused), str(refused))
    return Change(
        direction=Direction.RAISE,
        start=start,
        target=target,
        doses=(dose,),
        refused="",
        assumed=tuple(assumed),
        words=_how_far(start, target) + f" {dose.words}",
    )


def _lower(
    soil: Ph,
    wanted: Ph,
    texture: str | None,
    area_m2: Decimal,
    planted: bool,
    has_free_lime: bool | None,
    display: Display,
) -> Change:
    start, target = soil.low, wanted.high
    said, assumed = _reckoned_as(texture)
    assumed += _range_words(soil, start)
    if has_free_lime is None:
        assumed.append(
            "Whether the soil holds free lime is not recorded: drop vinegar on it "
            "first. Where it fizzes, sulfur is wasted."
        )
    try:
        first = sulfur(
            start_ph=start,
            target_ph=target,
            texture=said,
            area_m2=area_m2,
            planted=planted,
            has_free_lime=bool(has_free_lime),
            display=display,
        )
    except SoilError as refused:
        return _change(Direction.LOWER, start, target, str(refused), str(refused))
    doses = [first]
    try:
        doses.append(
            aluminium_sulfate(
                start_ph=start,
                target_ph=max(target, SULFUR_TARGET),
                texture=said,
                area_m2=area_m2,
                has_free_lime=bool(has_free_lime),
                display=display,
            )
        )
    except SoilError:
        # Its table begins at pH 6; below it there is only sulfur.
        pass
    return Change(
        direction=Direction.LOWER,
        start=start,
        target=target,
        doses=tuple(doses),
        refused="",
        assumed=tuple(assumed),
        words=_how_far(start, target) + f" {first.words}",
    )


def _how_far(start: Decimal, target: Decimal) -> str:
    low, high = sorted((start, target))
    times = plain(times_as_acid(low, high), places=0)
    return (
        f"From pH {plain(start, places=1)} to {plain(target, places=1)}; pH "
        f"{plain(low, places=1)} is about {times} times as acid as "
        f"{plain(high, places=1)}."
    )


def iron_words(dose: Dose, display: Display = US) -> str:
    """The ferrous sulfate that would do the work of a dose of sulfur."""
    kilograms = ferrous_sulfate_kg(dose.kg)
    value = convert(kilograms, unit="kg", to=display.weight_unit)
    return display.measure(value, display.weight_unit, places=1, trim=True)
