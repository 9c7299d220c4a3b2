"""What could be done about a pH, in sentences."""

from decimal import Decimal

from plants.soil.tables import LIME_TARGET, SULFUR_HIGHEST_START


def ph_words(
    *,
    ph: Decimal,
    wanted: tuple[Decimal, Decimal],
    has_free_lime: bool | None = None,
) -> str:
    """What could be done about a pH outside what a plant wants, in one or two
    sentences."""
    low, high = wanted
    if low <= ph <= high:
        return "The pH needs nothing."
    if ph < low:
        if low > LIME_TARGET:
            return (
                "Ground limestone raises the pH slowly, but no printed table goes past "
                f"{LIME_TARGET}: have a laboratory say how much."
            )
        return (
            "Ground limestone could raise the pH over six to twelve months; the amount "
            "follows from the soil's texture and a new test comes before a second dose."
        )
    if has_free_lime:
        return (
            "The soil holds free lime, so sulfur would not keep it sour: choose "
            "another plant, or a raised bed of sour soil."
        )
    if ph > SULFUR_HIGHEST_START:
        return (
            "At this pH have a laboratory look for free lime first; with it, sulfur "
            "does not keep the soil sour."
        )
    untested = (
        " Drop vinegar on the soil first: where it fizzes there is free lime and "
        "sulfur is wasted."
        if has_free_lime is None
        else ""
    )
    return (
        "Sulfur could lower the pH over three to six months, in small doses with a new "
        f"test before each, and has to be kept up for good.{untested}"
    )
