"""What a plant does to people, animals and the wild; deer, salt and wind to it."""

import re

from plants.fit.place import STANDS, Needs, Site
from plants.fit.verdicts import NOT_RECORDED, Criterion, Verdict, listed, missing

WHO = {
    "people": ("children", "people", "children use the garden"),
    "dogs": ("dogs", "dogs", "dogs use the garden"),
    "cats": ("cats", "cats", "cats use the garden"),
    "horses": ("horses", "horses", "horses reach the garden"),
}


def poison(site: Site, needs: Needs) -> list[Criterion]:
    """One criterion for people and each kind of animal; unknown is never safe."""
    out = []
    noted = False
    for who, (field, named, there_words) in WHO.items():
        there = getattr(site, field)
        known = (needs.toxicity or {}).get(who, "unknown")
        name = f"poison to {named}"
        found = {
            True: there_words,
            False: f"no {field} recorded here",
            None: f"{field} not recorded",
        }[there]
        needed = "not toxic" if there is not False else "no matter"
        # The note says it all once; a second time nobody reads it.
        note = f" {needs.toxicity_note}" if needs.toxicity_note and not noted else ""
        noted = noted or (known == "toxic" and bool(note))
        if known == "toxic":
            if there:
                verdict = Verdict.WRONG
                said = f"Toxic to {named}, and {there_words}.{note}"
            elif there is None:
                verdict = Verdict.UNKNOWN
                said = f"Toxic to {named}; whether {there_words} is not recorded.{note}"
            else:
                verdict = Verdict.BEARABLE
                said = f"Toxic to {named}; {found}. Tell the client all the same.{note}"
        elif known == "not toxic":
            verdict, said = Verdict.RIGHT, f"Listed as not toxic to {named}."
        else:
            # Nobody there to be harmed does not make the plant known to be safe.
            verdict = Verdict.UNKNOWN
            said = f"Whether it is toxic to {named} is not known: treat it as toxic."
        out.append(
            Criterion(
                f"poison-{who}",
                name,
                needed,
                found,
                verdict,
                said,
                decides=there is not False,
            )
        )
    return out


def invasive(site: Site, needs: Needs) -> Criterion | None:
    if not needs.invasive:
        return None
    places = listed(needs.invasive)
    name = "spreading into the wild"
    needed = f"not to be planted where it is invasive: {places}"
    if site.place is None:
        return missing("invasive", name, needed, "The garden's state or region")
    # The whole name at the start: Virginia is not West Virginia.
    name_here = re.compile(rf"(the )?{re.escape(site.place)}\b", re.IGNORECASE)
    if any(name_here.match(each) for each in needs.invasive):
        verdict = Verdict.WRONG
        said = f"Invasive in {site.place}: do not plant it; local law may forbid it."
    else:
        verdict = Verdict.BEARABLE
        said = f"Invasive in {places}: look at the local list before planting it."
    return Criterion("invasive", name, needed, site.place, verdict, said)


def deer(site: Site, needs: Needs) -> Criterion | None:
    if site.deer is False:
        return None
    name = "deer"
    found = "deer come here" if site.deer else NOT_RECORDED
    if site.deer is None:
        if needs.deer_eat not in {"sometimes", "often"}:
            return None
        return Criterion(
            "deer",
            name,
            f"deer eat it {needs.deer_eat}",
            NOT_RECORDED,
            Verdict.UNKNOWN,
            "Whether deer come is not recorded.",
            decides=False,
        )
    if needs.deer_eat not in {"seldom", "sometimes", "often"}:
        return Criterion(
            "deer",
            name,
            NOT_RECORDED,
            found,
            Verdict.UNKNOWN,
            "Deer come here, and whether they eat this plant is not known.",
        )
    verdict, said = {
        "seldom": (Verdict.RIGHT, "Deer come here and seldom eat it."),
        "sometimes": (Verdict.BEARABLE, "Deer come here and sometimes eat it."),
        "often": (Verdict.WRONG, "Deer come here and often eat it: it needs a fence."),
    }[needs.deer_eat]
    return Criterion(
        "deer", name, f"deer eat it {needs.deer_eat}", found, verdict, said
    )


def salt(site: Site, needs: Needs) -> Criterion | None:
    """Salt of winter roads or of the sea."""
    return _exposure("salt", "salt", site.salt, needs.salt, "salt reaches it")


def wind(site: Site, needs: Needs) -> Criterion | None:
    """Wind that dries and breaks."""
    return _exposure("wind", "wind", site.wind, needs.wind, "it is windy here")


def _exposure(
    key: str, name: str, there: bool | None, stands: str | None, found: str
) -> Criterion | None:
    if there is False:
        return None
    if there is None:
        if stands != "badly":
            return None
        return Criterion(
            key,
            name,
            f"no {name}",
            NOT_RECORDED,
            Verdict.UNKNOWN,
            f"It stands {name} badly; whether {found} is not recorded.",
            decides=False,
        )
    if stands not in STANDS:
        return Criterion(
            key,
            name,
            NOT_RECORDED,
            found,
            Verdict.UNKNOWN,
            f"Here {found}; how this plant stands {name} is not known.",
        )
    verdict = {
        "well": Verdict.RIGHT,
        "somewhat": Verdict.BEARABLE,
        "badly": Verdict.WRONG,
    }[stands]
    said = f"Here {found}; it stands {name} {stands}."
    return Criterion(key, name, f"stands {name} {stands}", found, verdict, said)
