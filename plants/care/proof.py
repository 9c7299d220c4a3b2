"""Proof that the rules of a group do not contradict it or one another."""

from dataclasses import replace

from plants.care.group import Group, Rule
from plants.care.regions import MID_ATLANTIC, REGIONS
from plants.care.vocabulary import CUTS, LAYERS, SHAPING, SHARE_LIMITS
from plants.care.windows import (
    ClosedPeriod,
    Window,
    best_too_late,
    closures_about,
    open_part,
    raw_windows,
)

PROOF_YEAR = 2025
"""Windows are laid out in this year of the region for the proof."""

ROUND_SHARE = 0.005
"""A third may be written as 0.33 or 0.334."""


def contradictions(group: Group) -> list[str]:
    """Every fault of a group whose fields are each in order.

    Rules are proved against the region's bloom: a place's own degree days move bloom
    and closed season alike, and prove nothing about the rules.
    """
    if group.bloom is not None and group.bloom.local is not None:
        group = replace(group, bloom=group.bloom._replace(local=None))
    found: list[str] = []
    for rule in group.rules:
        found.extend(
            f"{group.key} / {rule.key} / {fault}" for fault in _rule_faults(group, rule)
        )
    found.extend(f"{group.key} / {fault}" for fault in _follow_faults(group))
    return found or [f"{group.key} / {fault}" for fault in _closed_faults(group)]


def _rule_faults(group: Group, rule: Rule) -> list[str]:
    faults = []
    if rule.always:
        if not rule.takes_dead_wood and rule.task != "inspect":
            faults.append("window: only dead wood and inspections are always open")
        return faults
    moments = (rule.first, rule.best, rule.last)
    if len({moment.anchor for moment in moments}) == 1:
        first, best, last = (moment.days for moment in moments)
        if first == last:
            faults.append("window: it has no days, earliest and latest are the same")
        elif not first <= best <= last:
            faults.append(
                f"window: best day {best} is not between earliest {first} and latest "
                f"{last}"
            )
    for moment in moments:
        if moment.anchor.startswith("bloom") and group.bloom is None:
            faults.append(f"window: it hangs on {moment.anchor}, but bloom is null")
            break
        if moment.anchor == "bud_set" and (
            group.bloom is None or group.wood not in ("old", "both")
        ):
            faults.append("window: it hangs on bud_set, but no old wood flowers")
            break
    faults.extend(_old_wood_faults(group, rule))
    limit = SHARE_LIMITS.get(group.kind)
    share = rule.limits.share_removed_max
    if (
        limit is not None
        and share is not None
        and share > limit + ROUND_SHARE
        and rule.task in ("prune", "thin", "shear")
        and rule.purpose in (*SHAPING, "structure")
    ):
        faults.append(
            f"limits.share_removed_max: {share:g} is more than the {limit:.2g} that "
            f"one cut may take from a {group.kind}; a hard cut is the task 'cut down' "
            "or 'renovate'"
        )
    return faults


def _old_wood_faults(group: Group, rule: Rule) -> list[str]:
    """A shape or flower cut of an old-wood ornamental comes after its flowers."""
    if (
        group.wood != "old"
        or group.bloom is None
        or group.kind == "fruit"
        or rule.task not in CUTS
        or rule.purpose not in SHAPING
    ):
        return []
    moments = (rule.first, rule.best, rule.last)
    wrong = {moment.anchor for moment in moments} - {"bloom_end", "bud_set"}
    if wrong:
        return [
            "window: a shape or flower cut of old wood hangs on bloom_end or bud_set, "
            f"not on {', '.join(sorted(wrong))}"
        ]
    if any(moment.anchor == "bud_set" and moment.days > 0 for moment in moments):
        return ["window: after bud_set a cut takes next year's flowers"]
    return []


def _follow_faults(group: Group) -> list[str]:
    """Follow-ups that lead nowhere or round in a circle."""
    after = {
        rule.key: rule.follow_up.rule
        for rule in group.rules
        if rule.follow_up is not None
    }
    keys = {rule.key for rule in group.rules}
    faults = [
        f"{key} / follow_up.rule: there is no rule {target!r}"
        for key, target in after.items()
        if target not in keys
    ]
    for start in sorted(after):
        path = [start]
        while path[-1] in after and after[path[-1]] not in path:
            path.append(after[path[-1]])
        if after.get(path[-1]) == start and start == min(path):
            faults.append(
                f"{start} / follow_up: follow-ups run in a circle, "
                f"{' > '.join([*path, start])}"
            )
    return faults


def _closed_faults(group: Group) -> list[str]:
    """Windows that their own closed season swallows, or its best day."""
    region = group.bloom.region if group.bloom is not None else MID_ATLANTIC
    climate = REGIONS[region]()
    closures = closures_about(group, climate, PROOF_YEAR, ())
    faults = [
        f"{rule.key} / window: its best day is not between the earliest and the latest "
        "in the region's year"
        for rule in best_too_late(group, climate, PROOF_YEAR)
    ]
    hung = set()
    for window in raw_windows(group, climate, PROOF_YEAR, ()):
        hung.add(window.rule.key)
        if window.rule.always:
            continue
        in_the_way = _closes_best(window, closures)
        if in_the_way is not None:
            part = open_part(window, closures)
            what = "the whole window" if part is None else "its best day"
            faults.append(
                f"{window.rule.key} / window: {what} ({window.best:%d %b} in the "
                f"region) lies in the closed season {in_the_way.key!r}: "
                f"{in_the_way.why}"
            )
    faults.extend(
        f"{rule.key} / window: it ends before it begins in the region's year"
        for rule in group.rules
        if not rule.hangs_on_planting and rule.key not in hung
    )
    return faults


def _closes_best(
    window: Window, closures: tuple[ClosedPeriod, ...]
) -> ClosedPeriod | None:
    """The season that holds on the best day.

    A season of a nearer layer shuts a farther rule without a word: that is what
    standing instructions are for.
    """
    rule = window.rule
    for period in closures:
        if (
            LAYERS.index(period.layer) <= LAYERS.index(rule.layer)
            and period.season.holds_for(rule.task, rule.purpose)
            and period.holds_on(window.best)
        ):
            return period
    return None
