"""All criteria of a plant in a place, the verdict they come to, and a ranking."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from firm.units import Display
from plants.fit.ground import first_water, moisture, ph_after, soil_ph
from plants.fit.growing import hardiness, heat, latest_sun, light
from plants.fit.living import deer, invasive, poison, salt, wind
from plants.fit.place import Needs, Site
from plants.fit.space import neighbours, room, walls
from plants.fit.verdicts import SEVERITY, Criterion, Verdict, listed

US = Display("us")


@dataclass(frozen=True, kw_only=True)
class Fit:
    """All criteria of one plant in one bed, with the verdict they come to."""

    criteria: tuple[Criterion, ...]
    verdict: Verdict
    words: str

    @property
    def known(self) -> Verdict:
        """The verdict of what is known; UNKNOWN only where nothing is."""
        return _worst(
            [
                each
                for each in self.criteria
                if each.decides and each.verdict != Verdict.UNKNOWN
            ]
        )

    @property
    def reasons(self) -> tuple[str, ...]:
        """The words of all criteria that are not right, the worst first."""
        troubled = [
            each
            for each in self.criteria
            if each.decides and each.verdict != Verdict.RIGHT
        ]
        troubled.sort(key=lambda each: -SEVERITY[each.verdict])
        return tuple(each.words for each in troubled)


@dataclass(frozen=True, kw_only=True)
class Ranked:
    """A plant's place in a list with the reason why it stands there."""

    key: str
    fit: Fit
    reason: str


def fit(site: Site, needs: Needs, *, display: Display = US) -> Fit:
    """Every criterion of a plant in a place, and the verdict they come to."""
    found = [
        light(site, needs),
        latest_sun(site, needs),
        soil_ph(site, needs),
        ph_after(site, needs, display),
        moisture(site, needs),
        first_water(site, needs),
        hardiness(site, needs),
        heat(site, needs),
        room(site, needs, display),
        walls(site, needs, display),
        neighbours(site, needs, display),
        *poison(site, needs),
        invasive(site, needs),
        deer(site, needs),
        salt(site, needs),
        wind(site, needs),
    ]
    criteria = tuple(each for each in found if each is not None)
    deciding = [each for each in criteria if each.decides]
    return Fit(criteria=criteria, verdict=_worst(deciding), words=_summary(deciding))


def rank(plants: Iterable[tuple[str, Fit]]) -> list[Ranked]:
    """Plants from the best to the worst suited, each with the reason for its place."""
    ordered = sorted(plants, key=lambda each: (*_order(each[1]), each[0]))
    return [Ranked(key=key, fit=found, reason=_reason(found)) for key, found in ordered]


def _order(found: Fit) -> tuple[int, ...]:
    """Worst verdict first, then how many there are of each, from the worst down."""
    counts = [
        sum(each.decides and each.verdict == verdict for each in found.criteria)
        for verdict in reversed(Verdict)
        if verdict != Verdict.RIGHT
    ]
    return (SEVERITY[found.verdict], *counts)


def _reason(found: Fit) -> str:
    return " ".join([found.words, *found.reasons[:2]])


def _worst(criteria: Sequence[Criterion]) -> Verdict:
    return max(
        (each.verdict for each in criteria),
        key=lambda verdict: SEVERITY[verdict],
        default=Verdict.UNKNOWN,
    )


def _summary(criteria: Sequence[Criterion]) -> str:
    by: dict[Verdict, list[str]] = {verdict: [] for verdict in Verdict}
    for each in criteria:
        by[each.verdict].append(each.name)
    known = [each for each in criteria if each.verdict != Verdict.UNKNOWN]
    if by[Verdict.DEADLY]:
        said = f"Would not live here: {listed(by[Verdict.DEADLY])}."
    elif by[Verdict.WRONG]:
        said = f"Wrong here: {listed(by[Verdict.WRONG])}."
    elif not known:
        return "Nothing is recorded yet that this could be judged by."
    elif by[Verdict.BEARABLE]:
        said = f"Bearable here, with care: {listed(by[Verdict.BEARABLE])}."
    elif by[Verdict.UNKNOWN]:
        said = "Right as far as it is recorded."
    else:
        said = "Right here in every respect."
    if by[Verdict.UNKNOWN]:
        said += f" Not known yet: {listed(by[Verdict.UNKNOWN])}."
    return said
