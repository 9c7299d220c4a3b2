"""Whether the ground suits a plant: its pH now and after treatment, and its water.

Where one verdict ends and the next begins is common practice, no source; doses come
from plants.soil with their own sources.
"""

from decimal import Decimal
from functools import lru_cache

from firm.units import Display, plain
from plants.fit.place import MOISTURES, Needs, Site
from plants.fit.verdicts import (
    NOT_RECORDED,
    Criterion,
    Verdict,
    alternatives,
    missing,
    plant_missing,
)
from plants.soil import Change, Direction, Ph, change_ph, ph_words


def soil_ph(site: Site, needs: Needs) -> Criterion:
    """The pH as it is; of a range the end that suits the plant less decides."""
    here = site.ph_range
    if needs.ph is None:
        there = NOT_RECORDED if here is None else plain(here.low, places=1)
        return plant_missing("ph", "soil pH", there, "soil pH")
    low, high = needs.ph
    needed = f"pH {plain(low, places=1)} to {plain(high, places=1)}"
    if here is None:
        return missing("ph", "soil pH", needed, "The soil's pH")
    found = here.words
    if low <= here.low and here.high <= high:
        said = f"The soil's {found} suits it."
        return Criterion("ph", "soil pH", needed, found, Verdict.RIGHT, said)
    too_sour, too_limy = low - here.low, here.high - high
    apart = max(too_sour, too_limy)
    side = "sour" if too_sour >= too_limy else "limy"
    if apart <= Decimal("0.5") and not (site.has_free_lime and side == "limy"):
        verdict = Verdict.BEARABLE
    elif apart <= 2:
        verdict = Verdict.WRONG
    else:
        verdict = Verdict.DEADLY
    end = here.low if side == "sour" else here.high
    help_words = ph_words(ph=end, wanted=needs.ph, has_free_lime=site.has_free_lime)
    if here.low <= high and low <= here.high:
        help_words = "It may be right: a laboratory's figure decides."
    may = "may be" if here.is_range else "is"
    said = (
        f"It wants {needed}; the soil's {found} {may} {plain(apart, places=1)} too "
        f"{side}. {help_words}"
    )
    return Criterion("ph", "soil pH", needed, found, verdict, said)


def change_for(site: Site, needs: Needs, display: Display) -> Change | None:
    """What would bring the soil to the plant's pH; None where too little is known."""
    here = site.ph_range
    if here is None or needs.ph is None or site.area_m2 is None:
        return None
    return _change(
        here,
        Ph(low=needs.ph[0], high=needs.ph[1]),
        site.texture,
        site.area_m2,
        site.is_planted,
        site.has_free_lime,
        display,
    )


@lru_cache(maxsize=4096)
def _change(
    soil: Ph,
    wanted: Ph,
    texture: str | None,
    area_m2: Decimal,
    planted: bool,
    has_free_lime: bool | None,
    display: Display,
) -> Change:
    """Many plants want the same pH, so that a ranking reckons each range once."""
    return change_ph(
        soil=soil,
        wanted=wanted,
        texture=texture,
        area_m2=area_m2,
        planted=planted,
        has_free_lime=has_free_lime,
        display=display,
    )


def ph_after(site: Site, needs: Needs, display: Display) -> Criterion | None:
    """The pH as it would be once the soil was treated; told, but it does not decide."""
    change = change_for(site, needs, display)
    if change is None or needs.ph is None or change.direction == Direction.NONE:
        return None
    low, high = needs.ph
    needed = f"pH {plain(low, places=1)} to {plain(high, places=1)}"
    if change.direction == Direction.TEST:
        verdict, found = Verdict.UNKNOWN, "a laboratory test first"
    elif not change.doses:
        verdict, found = Verdict.WRONG, "no dose is printed for it"
    else:
        # Lime lasts for years; what makes soil sour wears off and has to be kept up.
        raised = change.direction == Direction.RAISE
        verdict = Verdict.RIGHT if raised else Verdict.BEARABLE
        dose = change.doses[0]
        found = f"pH {plain(change.target, places=1)} with {dose.product}"
    said = change.words
    if change.doses:
        # The amount alone: the remedies below the table tell all of it.
        said = f"{change.doses[0].words.partition('. ')[0]}."
        if verdict == Verdict.BEARABLE:
            said += " It wears off and has to be kept up."
    return Criterion(
        "ph-after", "soil pH once treated", needed, found, verdict, said, decides=False
    )


def first_water(site: Site, needs: Needs) -> Criterion:
    """Who waters while it roots in; told, but it does not decide."""
    needed = "water until its roots have left the ball, one to two years and more"
    if site.is_irrigated:
        found, verdict = "irrigated", Verdict.RIGHT
        said = "The irrigation can carry it through its first summers."
    elif site.is_irrigated is None:
        return missing("first-water", "first water", needed, "Whether it is irrigated")
    else:
        found, verdict = "rain only", Verdict.BEARABLE
        said = "Somebody has to water it by hand until it has rooted in."
    return Criterion(
        "first-water", "first water", needed, found, verdict, said, decides=False
    )


def moisture(site: Site, needs: Needs) -> Criterion:
    if not needs.moisture:
        there = site.moisture or NOT_RECORDED
        return plant_missing("moisture", "moisture", there, "moisture")
    needed = f"{alternatives(needs.moisture)} soil"
    if site.moisture is None:
        return missing("moisture", "moisture", needed, "How moist the soil is")
    found = f"{site.moisture} soil"
    if site.is_irrigated:
        found += ", irrigated"
    here = MOISTURES.index(site.moisture)
    wanted = [MOISTURES.index(each) for each in needs.moisture]
    if here in wanted:
        verdict, said = Verdict.RIGHT, f"The {site.moisture} soil suits it."
    elif here < min(wanted):
        steps = min(wanted) - here
        if site.is_irrigated:
            verdict = Verdict.RIGHT if steps == 1 else Verdict.BEARABLE
            said = (
                f"It wants {needed}; the irrigation makes up for {site.moisture} soil."
            )
        elif site.is_irrigated is None:
            verdict = Verdict.BEARABLE if steps == 1 else Verdict.WRONG
            said = (
                f"It wants {needed}; here it is {site.moisture}, and whether the bed "
                "is irrigated is not recorded."
            )
        else:
            verdict = Verdict.BEARABLE if steps == 1 else Verdict.WRONG
            said = (
                f"It wants {needed}; here it is {site.moisture} and must be watered in "
                "every dry spell."
            )
    else:
        steps = here - max(wanted)
        if steps == 1:
            verdict = Verdict.BEARABLE if site.moisture != "wet" else Verdict.WRONG
            said = f"It wants {needed}; {site.moisture} soil is more than it likes."
        else:
            verdict = Verdict.DEADLY if site.moisture == "wet" else Verdict.WRONG
            said = f"It wants {needed}; in {site.moisture} soil its roots rot."
    return Criterion("moisture", "moisture", needed, found, verdict, said)
