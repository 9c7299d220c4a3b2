"""The lines of a care guide: tasks with computed dates, closed seasons."""

from collections.abc import Mapping, Sequence
from typing import Any

from django.utils.translation import gettext as _

from jobs.queries.contracts.planning import turn_words
from plants import care
from plants.care.vocabulary import COMMON_PRACTICE, CUTS
from plants.models import Planting, Source
from plants.queries.care import PlantingYear

# Winter's covers are not taken off a plant that has not stood through a winter yet.
FIRST_COVER_DAYS = 180
PRUNING = (*CUTS, "deadhead", "dead wood")
SOIL = ("acidify", "lime", "mulch")

# Tasks whose own word tells a client too little; a shipped rule's key says the rest.
VAGUE = ("inspect", "water check", "protect", "unprotect", "clear up")
# Keys that do not read as words by themselves.
SHORT_WORDS = {
    "autumn-tidy": "take off spoilt leaves",
    "blanket-of-leaves": "cover with leaves",
    "clear-the-foot": "clear fallen leaves from the foot",
    "clear-wet-leaves": "clear wet leaves off",
    "clippings-and-litter": "bag every clipping",
    "dead-crown-check": "look for the first shoots",
    "deer-guard": "net against deer",
    "galls-and-litter": "lift wet leaves off",
    "inspect-summer": "look over leaves and stems",
    "leaves-as-mulch": "clear the paths of its leaves",
    "leaves-from-the-foot": "clear leaves from the foot",
    "leave-standing": "leave it standing",
    "look-without-feeding": "look for root rot",
    "refer-overhead-work": "look up for broken limbs",
    "slugs-and-deer": "look for slugs and deer",
    "soak-after-pruning": "soak when leaves hang",
    "stop-seedlings": "cut ripe plumes",
    "uncover": "take the cover off",
    "untie": "take cords and nets off",
    "water-divisions": "water new divisions",
    "water-evergreen-before-winter": "soak before winter",
    "water-second-summer": "soak in dry spells",
    "water-tree-second-summer": "soak in dry spells",
}


def common_of(planting: Planting) -> str:
    """What a plant is called in the guide; what it looks like where nobody knows."""
    return planting.plant.common if planting.plant else planting.what_it_looks_like


def source_said(key: str, sources: Mapping[str, Source]) -> str:
    """Where a line comes from, and how it was read."""
    found = sources.get(key)
    if found is not None:
        return f"{found.publisher}, {found.title} ({found.how_read})"
    if not key or key == COMMON_PRACTICE:
        return _("common practice, no source")
    return key


def source_read(
    key: str, line: Mapping[str, Any], sources: Mapping[str, Source]
) -> str:
    """Where a fact comes from, and how it was read for just this plant."""
    found = sources.get(key)
    if found is None or not line.get("read"):
        return source_said(key, sources)
    return f"{found.publisher}, {found.title} ({line['read']})"


def what_of(rule: care.Rule) -> str:
    """What a vague task means in two to five words; empty where its own word will do.

    A firm's own rule keeps the task's word: its key is nobody's wording.
    """
    if rule.task not in VAGUE or rule.layer != "shipped":
        return ""
    return SHORT_WORDS.get(rule.key, rule.key.replace("-", " "))


def line_printed(
    rule: care.Rule, windows: Sequence[care.Window], sources: Mapping[str, Source]
) -> dict[str, Any]:
    """One rule with all its windows of the guide's months."""
    limits = rule.limits
    return {
        "key": rule.key,
        "task": rule.task,
        "purpose": rule.purpose,
        "what": what_of(rule),
        "is_always": rule.always,
        "runs": [[window.earliest, window.best, window.latest] for window in windows],
        "share": limits.share_removed_max,
        "heights": list(limits.height_left_m) if limits.height_left_m else None,
        "cut": limits.cut,
        "drawing": rule.drawing,
        "how": f"{turn_words(windows[0])} {rule.how}".strip(),
        "where": rule.where.strip(),
        "why": rule.why.strip(),
        "harm": rule.harm.strip(),
        "layer": rule.layer,
        "source": source_said(rule.source, sources),
    }


def part_of(rule: care.Rule) -> str:
    """The part of a plant's page that a rule stands in."""
    if rule.always:
        return "any_day"
    if rule.task in PRUNING:
        return "pruning"
    if rule.task == "feed":
        return "feeding"
    if rule.task in SOIL:
        return "soil"
    return "water" if rule.task == "water check" else "other"


def lines_printed(
    year: PlantingYear, *, sources: Mapping[str, Source]
) -> dict[str, list[dict[str, Any]]]:
    """The rules of a planting's year by part, each once, in date order.

    Water in the first year is told by the table of rhythms, not here.
    """
    found: dict[str, list[dict[str, Any]]] = {
        part: [] for part in ("pruning", "any_day", "feeding", "soil", "water", "other")
    }
    by_rule: dict[str, list[care.Window]] = {}
    for window in told_windows(year):
        by_rule.setdefault(window.rule.key, []).append(window)
    for windows in by_rule.values():
        rule = windows[0].rule
        found[part_of(rule)].append(line_printed(rule, windows, sources))
    return found


def told_windows(year: PlantingYear) -> list[care.Window]:
    """The windows of a planting's year that a client is told of.

    Watering counted from the planting day is told as rhythms instead.
    """
    return [
        window
        for window in year.windows
        if not is_first_water(window.rule) and not _uncovers_nothing(window, year)
    ]


def _uncovers_nothing(window: care.Window, year: PlantingYear) -> bool:
    return (
        window.rule.task == "unprotect"
        and year.planted_on is not None
        and (window.best - year.planted_on).days < FIRST_COVER_DAYS
    )


def is_first_water(rule: care.Rule) -> bool:
    """Whether a rule is a watering counted from the planting day."""
    return rule.task == "water check" and rule.hangs_on_planting


def later_printed(
    year: PlantingYear, *, sources: Mapping[str, Source]
) -> list[dict[str, Any]]:
    """Cuts that wait until the plant is older, with the days they fall on here.

    The year is that of a grown plant in the same place; only day and month are meant.
    """
    now = {window.rule.key for window in year.windows}
    if year.planted_on is None and year.age_years is None:
        return []
    grown = care.care_year(
        group=year.group,
        climate=year.climate,
        start=year.start,
        days=year.days,
        irrigated=year.irrigated,
        ph=year.ph,
        observed=year.observed,
    )
    found: dict[str, dict[str, Any]] = {}
    for window in grown:
        rule = window.rule
        waits = rule.conditions.age_years_min
        if waits is None or rule.key in now or rule.key in found or rule.always:
            continue
        if rule.task in PRUNING:
            line = line_printed(rule, [window], sources)
            found[rule.key] = {**line, "from_years": waits}
    return list(found.values())


def closed_from_planting(year: PlantingYear) -> list[care.ClosedPeriod]:
    """The closed seasons of a planting's year that were not over when it was set."""
    set_on = year.planted_on
    return [
        period
        for period in year.closed
        if set_on is None or period.last is None or period.last >= set_on
    ]


def closed_printed(year: PlantingYear) -> list[dict[str, Any]]:
    """What must not be done in the guide's months and why; no end is None."""
    found: dict[str, dict[str, Any]] = {}
    for period in closed_from_planting(year):
        row = found.setdefault(
            period.key,
            {
                "key": period.key,
                "tasks": list(period.season.tasks),
                "spans": [],
                "why": period.why.strip(),
                "layer": period.layer,
            },
        )
        row["spans"].append([period.first, period.last])
    return list(found.values())
