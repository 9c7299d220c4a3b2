"""A garden's care for twelve months as the tasks that a contract is drawn from."""

import datetime as dt
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from django.utils import translation
from django.utils.translation import gettext as _

from firm.money import round_half_up
from firm.queries import firm_or_blank
from firm.units import Display
from jobs.yearplan import PlannedVisit, Span, plan_year
from jobs.yearplan import Task as PlanTask
from plants import care
from plants.care.vocabulary import COMMON_PRACTICE
from plants.enums import Purpose, Task
from plants.models import Garden, Source
from plants.queries.care import PlantingYear, care_years, sources_by_key

Plan = dict[str, Any]
"""What Contract.plan holds: tasks with all their words, visits that name them by key,
and the rules that have no days here. Days are ISO text, minutes whole numbers."""

NAMED_IN_TITLE = 3


def draw_plan(
    *,
    garden: Garden,
    starts_on: dt.date,
    ends_on: dt.date,
    day: dt.date,
    out: Collection[str] = (),
    free: Sequence[Mapping[str, Any]] = (),
) -> Plan:
    """The plan of GARDEN's care between two days, drawn on DAY from what grows there.

    Tasks in OUT stay ticked out; FREE are visits that were typed.
    """
    firm = firm_or_blank()
    with translation.override(firm.language):
        years = care_years(garden, start=starts_on, days=(ends_on - starts_on).days + 1)
        sources = sources_by_key()
        tasks = [
            written
            for year in years
            for written in _tasks_of(
                year, sources, Display(firm.units), starts_on, ends_on
            )
        ]
        return {
            "drawn_on": str(day),
            "plantings": {str(year.planting.pk): year.planting.count for year in years},
            "unidentified": [
                year.planting.number for year in years if year.planting.plant is None
            ],
            "unhung": _unhung(years, starts_on, ends_on),
            **gathered(tasks, free=free, out=out, starts_on=starts_on, ends_on=ends_on),
        }


def gathered(
    tasks: Sequence[Mapping[str, Any]],
    *,
    free: Sequence[Mapping[str, Any]],
    out: Collection[str],
    starts_on: dt.date,
    ends_on: dt.date,
) -> Plan:
    """The tasks in visits, those ticked OUT in none, beside the FREE visits."""
    planned = plan_year(
        [task_of(one) for one in tasks if one["key"] not in out],
        starts_on=starts_on,
        ends_on=ends_on,
    )
    gone = {left.task for left in planned.left}
    by_key = {one["key"]: one for one in tasks}
    return {
        "tasks": [
            {**one, "is_out": one["key"] in out, "has_no_day": one["key"] in gone}
            for one in tasks
        ],
        "visits": numbered(
            [
                *(_written(visit, by_key) for visit in planned.visits),
                *(dict(one) for one in free),
            ]
        ),
    }


def task_of(written: Mapping[str, Any]) -> PlanTask:
    """A task of a stored plan as the planner and the proof take it."""
    return PlanTask(
        key=written["key"],
        planting=written["planting"],
        rule=written["rule_key"],
        earliest=dt.date.fromisoformat(written["earliest"]),
        best=dt.date.fromisoformat(written["best"]),
        latest=dt.date.fromisoformat(written["latest"]),
        minutes=written["minutes"],
        follows=written["follows"],
        closed=tuple(
            Span(
                first=dt.date.fromisoformat(span["first"]) if span["first"] else None,
                last=dt.date.fromisoformat(span["last"]) if span["last"] else None,
                why=span["why"],
            )
            for span in written["closed"]
        ),
    )


def visit_of(written: Mapping[str, Any]) -> PlannedVisit:
    """A visit of a stored plan as the proof takes it."""
    return PlannedVisit(
        earliest=dt.date.fromisoformat(written["earliest"]),
        best=dt.date.fromisoformat(written["best"]),
        latest=dt.date.fromisoformat(written["latest"]),
        tasks=tuple(written["tasks"]),
    )


def numbered(visits: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """The visits by their days, each with a number as its key."""
    ordered = sorted(visits, key=lambda one: (one["best"], one["is_free"]))
    for number, one in enumerate(ordered, start=1):
        one["key"] = str(number)
    return ordered


def title_of(tasks: Sequence[Mapping[str, Any]]) -> str:
    """What a visit is for, the longest work first: Prune, feed, mulch and 2 more."""
    minutes: dict[str, int] = defaultdict(int)
    for one in tasks:
        minutes[one["task"]] += one["minutes"]
    names = [
        str(Task(task).label) if task in Task.values else task
        for task in sorted(minutes, key=lambda task: (-minutes[task], task))
    ]
    said = ", ".join(names[:NAMED_IN_TITLE])
    more = len(names) - NAMED_IN_TITLE
    if more > 0:
        said = _("%(work)s and %(more)d more") % {"work": said, "more": more}
    return said[:1].upper() + said[1:]


def _written(
    visit: PlannedVisit, by_key: Mapping[str, Mapping[str, Any]]
) -> dict[str, Any]:
    return {
        "title": title_of([by_key[key] for key in visit.tasks]),
        "earliest": str(visit.earliest),
        "best": str(visit.best),
        "latest": str(visit.latest),
        "tasks": list(visit.tasks),
        "is_free": False,
        "is_out": False,
        "minutes": 0,
        "work": [],
    }


def _tasks_of(
    year: PlantingYear,
    sources: Mapping[str, Source],
    shows: Display,
    starts_on: dt.date,
    ends_on: dt.date,
) -> list[dict[str, Any]]:
    """The tasks of one planting, each return of a rule numbered."""
    planting = year.planting
    times: dict[str, int] = defaultdict(int)
    found = []
    keys: list[str] = []
    for window in year.windows:
        times[window.rule.key] += 1
        keys.append(f"{planting.pk}-{window.rule.key}-{times[window.rule.key]}")
    for window, key in zip(year.windows, keys, strict=True):
        rule = window.rule
        earliest, latest = max(window.earliest, starts_on), min(window.latest, ends_on)
        found.append(
            {
                "key": key,
                "planting": planting.pk,
                "number": planting.number,
                "plant": plant_words(year),
                "count": planting.count,
                "task": rule.task,
                "purpose": rule.purpose,
                "rule_key": rule.key,
                "layer": rule.layer,
                "title": rule_words(rule),
                "how": " ".join(
                    filter(
                        None, (turn_words(window), rule.how, limit_words(rule, shows))
                    )
                ),
                "where": rule.where,
                "why": rule.why,
                "harm": rule.harm,
                "drawing": rule.drawing,
                "source": source_words(sources.get(rule.source, rule.source))[:300],
                "earliest": str(earliest),
                "best": str(min(max(window.best, earliest), latest)),
                "latest": str(latest),
                # Minutes of a rule are for one plant.
                "minutes": max(
                    1,
                    int(round_half_up(Decimal(str(rule.minutes)) * planting.count, 0)),
                ),
                "follows": _lead_of(window, year.windows, keys),
                "closed": [
                    {
                        "first": str(period.first) if period.first else None,
                        "last": str(period.last) if period.last else None,
                        "why": period.why,
                    }
                    for period in year.closed
                    if period.season.holds_for(rule.task, rule.purpose)
                ],
            }
        )
    return found


def _lead_of(
    window: care.Window, windows: Sequence[care.Window], keys: Sequence[str]
) -> str:
    """The key of the work that a window follows: that rule's nearest return."""
    leads = [
        (abs(window.best - other.best), key)
        for other, key in zip(windows, keys, strict=True)
        if window.follows and other.rule.key == window.follows
    ]
    return min(leads)[1] if leads else ""


def plant_words(year: PlantingYear) -> str:
    """What a planting is called; the unidentified by what it looks like."""
    planting = year.planting
    if planting.plant is not None:
        return planting.plant.common
    looks = planting.what_it_looks_like
    return (
        _("unidentified: %(looks)s") % {"looks": looks}
        if looks
        else _("unidentified plant")
    )


def rule_words(rule: care.Rule) -> str:
    """A task with its purpose where a cut can have several: Prune, for its flowers."""
    said = str(Task(rule.task).label) if rule.task in Task.values else rule.task
    plain = ("none", "hygiene", "dead wood", rule.task)
    if rule.purpose not in plain and rule.task != "renovate":
        said = f"{said}, {Purpose(rule.purpose).label}"
    return said[:1].upper() + said[1:]


def turn_words(window: care.Window) -> str:
    """Which year it is of work spread over several, and what it takes the place of."""
    said = []
    if window.share:
        said.append(
            _("Year %(this)d of %(all)d.")
            % {"this": window.share, "all": window.shares}
        )
    if window.replaces:
        said.append(_("It takes the place of this year's thinning and shaping."))
    return " ".join(said)


def limit_words(rule: care.Rule, shows: Display) -> str:
    """How much may come off, what stays and where the cut goes, as sentences."""
    limits, said = rule.limits, []
    if limits.share_removed_max is not None:
        said.append(
            _("Take off %(percent)d %% at the most.")
            % {"percent": round(limits.share_removed_max * 100)}
        )
    if limits.height_left_m is not None:
        low, high = (
            shows.depth(Decimal(str(height)), places=0)
            for height in limits.height_left_m
        )
        said.append(
            _("Leave %(height)s standing.") % {"height": low}
            if low == high
            else _("Leave %(low)s to %(high)s standing.") % {"low": low, "high": high}
        )
    if limits.cut:
        said.append(_("Cut %(where)s.") % {"where": limits.cut})
    return " ".join(said)


def source_words(source: Source | str) -> str:
    """Where a line comes from and how it was read."""
    if isinstance(source, Source):
        return f"{source.publisher}: {source.title} ({source.how_read})"
    if not source or source == COMMON_PRACTICE:
        return _("common practice, no source")
    return source


# --- what is not planned ------------------------------------------------------------


def anchor_words(anchor: str) -> str:
    """What a place does not have, so that a rule has no days there."""
    words = {
        "last_spring_frost": _("there is no last frost of spring in this climate"),
        "last_spring_frost_early": _(
            "there is no last frost of spring in this climate"
        ),
        "first_autumn_frost": _("there is no first frost of autumn in this climate"),
        "leaf_out": _("there is no time of leafing out in this climate"),
        "bud_swell": _("there is no time of swelling buds in this climate"),
        "leaf_fall": _("leaves do not fall at a time of their own in this climate"),
        "dormancy": _("plants do not go dormant in this climate"),
        "late_winter": _("there is no winter in this climate"),
        "bloom_start": _("nobody wrote down when this plant flowers"),
        "bloom_end": _("nobody wrote down when this plant flowers"),
        "bud_set": _("nobody wrote down when its flower buds are set"),
    }
    return words.get(anchor, _("the day it hangs on does not exist in this climate"))


def _unhung(
    years: Sequence[PlantingYear], starts_on: dt.date, ends_on: dt.date
) -> list[dict[str, Any]]:
    """Rules whose anchors the place lacks in every growing year of the contract."""
    found: dict[tuple[str, str], dict[str, Any]] = {}
    for year in years:
        span = range(year.climate.year_of(starts_on), year.climate.year_of(ends_on) + 1)
        lacking = [
            {
                rule.key: (rule, anchor)
                for rule, anchor in care.unhung(
                    group=year.group, climate=year.climate, year=number
                )
            }
            for number in span
        ]
        for key, (rule, anchor) in lacking[0].items():
            if not all(key in other for other in lacking):
                continue
            line = found.setdefault(
                (plant_words(year), key),
                {
                    "plant": plant_words(year),
                    "title": rule_words(rule),
                    "numbers": [],
                    "why": anchor_words(anchor),
                },
            )
            line["numbers"].append(year.planting.number)
    return list(found.values())
