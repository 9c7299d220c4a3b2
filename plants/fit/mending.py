"""What would make a plant fit: what can be mended, how, and what cannot."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from firm.units import Display
from plants.fit.ground import change_for
from plants.fit.place import MOISTURES, Needs, Site
from plants.fit.verdicts import Criterion, Verdict
from plants.fit.whole import Fit, fit
from plants.soil import Direction

US = Display("us")


class Means(StrEnum):
    """What is done about a trouble."""

    SOIL = "treat the soil"
    WATER = "irrigate"
    GUARD = "guard it"
    RECORD = "find out"
    NOTHING = "cannot be mended"


@dataclass(frozen=True, kw_only=True)
class Remedy:
    """One trouble of a plant in a place and what is done about it."""

    key: str
    name: str
    means: Means
    words: str


@dataclass(frozen=True, kw_only=True)
class Mending:
    """All remedies of a plant in a place, and the fit once those that can be are done.

    AFTER is None where nothing can be done to the place.
    """

    remedies: tuple[Remedy, ...]
    after: Fit | None

    @property
    def helps(self) -> bool:
        """Whether the place would then be right or bearable."""
        return self.after is not None and self.after.verdict in {
            Verdict.RIGHT,
            Verdict.BEARABLE,
        }


# Common practice, no source, where nothing else is named.
LOST: Mapping[str, str] = {
    "light": "Light cannot be made: another bed, or another plant. Thinning a crown "
    "that shades it is work for an arborist.",
    "hardiness": "Winter cold cannot be mended: choose a plant that is hardy here, or "
    "keep it in a pot that goes under cover.",
    "heat": "Summer heat cannot be mended: choose a plant that bears it, or a cooler "
    "bed.",
    "room": "Room cannot be mended: a smaller variety, or a wider bed.",
    "walls": "The wall stays: a smaller variety, or a bed farther from it.",
    "neighbours": "Something that grows there has to go, or this goes elsewhere.",
    "invasive": "Nothing makes it fit: choose another plant, and look up the law.",
}
GUARDS: Mapping[str, str] = {
    "deer": "A fence of 8 ft (2.4 m) keeps deer off, and repellents for a while.",
    "salt": "A board or a hedge that takes the spray, much water in spring, and no "
    "salt where it can be helped.",
    "wind": "A hedge or a slatted fence to windward, and burlap in the first winters.",
}
ASK: Mapping[str, str] = {
    "light": "Note the bed's light in the growing season.",
    "latest-sun": "Note at what hour the sun leaves the bed.",
    "ph": "Test the soil; a strip will do to begin with.",
    "moisture": "Note how moist the soil usually is.",
    "hardiness": "Give the garden a climate with its lowest temperature.",
    "heat": "Give the garden a climate with its summer.",
    "room": "Measure the bed.",
    "invasive": "Note the garden's state or region.",
}


def mend(
    site: Site, needs: Needs, *, found: Fit | None = None, display: Display = US
) -> Mending:
    """What would make the plant fit the place, trouble by trouble."""
    judged = found or fit(site, needs, display=display)
    remedies = []
    better = site
    for each in judged.criteria:
        if not each.decides or each.verdict == Verdict.RIGHT:
            continue
        remedy, better = _remedy(each, site, better, needs, display)
        if remedy is not None:
            remedies.append(remedy)
    after = None if better == site else fit(better, needs, display=display)
    return Mending(remedies=tuple(remedies), after=after)


def _remedy(
    trouble: Criterion, site: Site, better: Site, needs: Needs, display: Display
) -> tuple[Remedy | None, Site]:
    """The remedy of one trouble, and the place once it was done."""

    def said(means: Means, words: str) -> Remedy:
        return Remedy(key=trouble.key, name=trouble.name, means=means, words=words)

    key = trouble.key
    if trouble.verdict == Verdict.UNKNOWN:
        # What the catalogue does not say nobody can find out in the garden.
        asked = ASK.get(key) if trouble.found == "not recorded" else None
        return (said(Means.RECORD, asked) if asked else None), better
    if key == "ph":
        return _for_ph(said, site, better, needs, display)
    if key == "moisture":
        return _for_moisture(said, site, better, needs)
    if key == "latest-sun":
        if site.is_irrigated or site.moisture in {"moist", "wet"}:
            return said(
                Means.NOTHING, "The hour cannot be mended: a bed that is shaded sooner."
            ), better
        return said(
            Means.WATER,
            "Irrigation helps it through two more hours of sun; past that only a bed "
            "that is shaded sooner.",
        ), replace(better, is_irrigated=True)
    if key in GUARDS:
        return said(Means.GUARD, GUARDS[key]), better
    if key.startswith("poison"):
        return said(
            Means.NOTHING,
            "Poison cannot be mended: choose another plant, or one place nobody "
            "reaches, agreed with the client.",
        ), better
    return said(Means.NOTHING, LOST.get(key, "It cannot be mended here.")), better


def _for_ph(
    said: Callable[[Means, str], Remedy],
    site: Site,
    better: Site,
    needs: Needs,
    display: Display,
) -> tuple[Remedy | None, Site]:
    change = change_for(site, needs, display)
    if change is None or needs.ph is None:
        return said(
            Means.RECORD, "Measure the bed, so that a dose can be told."
        ), better
    if change.direction == Direction.TEST:
        return said(Means.RECORD, change.words), better
    if not change.doses:
        return said(
            Means.NOTHING,
            f"{change.refused} The other way is a raised bed or a pot.",
        ), better
    low, high = needs.ph
    target = min(max(change.target, low), high)
    assumed = " ".join(change.assumed)
    return said(Means.SOIL, f"{change.words} {assumed}".strip()), replace(
        better, ph=target, ph_high=target
    )


def _for_moisture(
    said: Callable[[Means, str], Remedy], site: Site, better: Site, needs: Needs
) -> tuple[Remedy | None, Site]:
    here = MOISTURES.index(site.moisture) if site.moisture else 0
    driest = min(MOISTURES.index(each) for each in needs.moisture)
    if here < driest:
        if site.is_irrigated:
            return said(
                Means.NOTHING, "The irrigation alone does not make it moist enough."
            ), better
        return said(
            Means.WATER, "Irrigate the bed, or water it in every dry spell for good."
        ), replace(better, is_irrigated=True)
    return said(
        Means.NOTHING,
        "Wet soil is not mended by a dose: raise the bed by a hand's width or more, or "
        "drain it, or choose a plant that likes it.",
    ), better
