"""Whether a plant can grow in a place: light, cold and heat.

Where one verdict ends and the next begins is common practice, no source.
"""

from datetime import time
from decimal import Decimal

from firm.units import plain
from plants.fit.place import LIGHTS, Needs, Site
from plants.fit.verdicts import (
    NOT_RECORDED,
    Criterion,
    Verdict,
    alternatives,
    missing,
    plant_missing,
)


def light(site: Site, needs: Needs) -> Criterion:
    if site.sun_hours is not None and needs.sun_hours is not None:
        return _sun_hours(site, site.sun_hours, needs.sun_hours)
    needed = alternatives(needs.light_best)
    if not needs.light_best:
        return plant_missing("light", "light", site.light or NOT_RECORDED, "light")
    if site.light is None:
        return missing("light", "light", needed, "The bed's light")
    if site.light in needs.light_best:
        verdict, said = Verdict.RIGHT, f"It has the {site.light} it likes."
    elif site.light in needs.light_bearable:
        verdict = Verdict.BEARABLE
        said = f"It bears {site.light}, but would rather have {needed}."
    else:
        allowed = [
            LIGHTS.index(each) for each in (*needs.light_best, *needs.light_bearable)
        ]
        here = LIGHTS.index(site.light)
        if here > max(allowed):
            # Two steps too bright burns what grew up under trees.
            far = here - max(allowed) >= 2
            verdict = Verdict.DEADLY if far else Verdict.WRONG
            said = f"It wants {needed}; in {site.light} its leaves burn."
        else:
            verdict = Verdict.WRONG
            said = (
                f"It wants {needed}; in {site.light} it grows thin and hardly flowers."
            )
    found = site.told("light", site.light)
    return Criterion("light", "light", needed, found, verdict, said)


def _sun_hours(site: Site, here: Decimal, wanted: tuple[Decimal, Decimal]) -> Criterion:
    low, high = wanted
    needed = f"{plain(low, places=1)} to {plain(high, places=1)} h of direct sun"
    found = f"{plain(here, places=1)} h of direct sun"
    if low <= here <= high:
        verdict, said = Verdict.RIGHT, f"It has {found} a day, which it likes."
    else:
        short = here < low
        apart = low - here if short else here - high
        by = f"{plain(apart, places=1)} h too {'little' if short else 'much'}"
        verdict = Verdict.BEARABLE if apart <= 1 else Verdict.WRONG
        said = f"It wants {needed} a day and has {found}: {by}."
    found = site.told("light", found)
    return Criterion("light", "light", needed, found, verdict, said)


def latest_sun(site: Site, needs: Needs) -> Criterion | None:
    if needs.latest_sun is None:
        return None
    needed = f"no direct sun after {needs.latest_sun:%H:%M}"
    if site.latest_sun is None:
        return missing(
            "latest-sun", "afternoon sun", needed, "The hour of the bed's latest sun"
        )
    found = f"direct sun until {site.latest_sun:%H:%M}"
    late = _minutes(site.latest_sun) - _minutes(needs.latest_sun)
    if late <= 0:
        verdict, said = Verdict.RIGHT, "The sun leaves it early enough."
    elif late <= 120 and (site.is_irrigated or site.moisture in {"moist", "wet"}):
        verdict = Verdict.BEARABLE
        said = f"It has {found}, later than it likes; moist soil helps it through."
    else:
        verdict = Verdict.WRONG
        said = f"It wants {needed}, and has {found}: its leaves wilt and burn."
    found = site.told("latest_sun", found)
    return Criterion("latest-sun", "afternoon sun", needed, found, verdict, said)


def _minutes(clock: time) -> int:
    return clock.hour * 60 + clock.minute


def zone_number(zone: str) -> int:
    """The whole number of a hardiness zone such as 7a."""
    digits = zone.strip().rstrip("abAB")
    if not digits.isdigit() or not 1 <= int(digits) <= 13:
        raise ValueError(f"{zone!r} is no hardiness zone")
    return int(digits)


def hardiness(site: Site, needs: Needs) -> Criterion:
    name = "winter cold"
    if needs.hardiness is None:
        there = f"zone {site.hardiness_zone}" if site.hardiness_zone else NOT_RECORDED
        return plant_missing("hardiness", name, there, "hardiness zone")
    low, high = needs.hardiness
    needed = f"hardiness zones {low} to {high}"
    if site.hardiness_zone is None:
        return missing("hardiness", name, needed, "The garden's hardiness zone")
    found = f"zone {site.hardiness_zone}"
    here = zone_number(site.hardiness_zone)
    if low <= here <= high:
        verdict, said = Verdict.RIGHT, f"It is hardy in {found}."
    elif here < low:
        verdict = Verdict.WRONG if low - here == 1 else Verdict.DEADLY
        said = f"It is hardy from zone {low}; an ordinary winter in {found} kills it."
        if verdict == Verdict.WRONG:
            said = f"It is hardy from zone {low}; {found} kills it in a cold winter."
    else:
        verdict = Verdict.WRONG
        said = (
            f"It needs the winter of zone {high} or colder; {found} is too mild for it."
        )
    return Criterion("hardiness", name, needed, found, verdict, said)


def heat(site: Site, needs: Needs) -> Criterion | None:
    name = "summer heat"
    if needs.heat is None:
        return None
    low, high = needs.heat
    needed = f"heat zones {low} to {high}"
    if site.heat_zone is None:
        return missing("heat", name, needed, "The garden's heat zone")
    found = f"heat zone {site.heat_zone}"
    if low <= site.heat_zone <= high:
        verdict, said = Verdict.RIGHT, f"It bears the summers of {found}."
    elif site.heat_zone > high:
        verdict = Verdict.BEARABLE if site.heat_zone - high == 1 else Verdict.WRONG
        said = f"It bears heat up to zone {high}; {found} is too hot for it."
    else:
        verdict = Verdict.BEARABLE
        said = f"It likes the heat of zone {low}; in {found} it grows and flowers less."
    return Criterion("heat", name, needed, found, verdict, said)
