"""The lines of a care guide: tasks with computed dates, closed seasons, water."""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from django.utils.translation import gettext as _

from plants import care, water
from plants.care.vocabulary import COMMON_PRACTICE, CUTS
from plants.models import Bed, Planting, Source
from plants.queries.care import PlantingYear
from plants.queries.fit import facts_of

# Winter's covers are not taken off a plant that has not stood through a winter yet.
FIRST_COVER_DAYS = 180
PRUNING = (*CUTS, "deadhead", "dead wood")
SOIL = ("acidify", "lime", "mulch")


def source_said(key: str, sources: Mapping[str, Source]) -> str:
    """Where a line comes from, and how it was read."""
    found = sources.get(key)
    if found is not None:
        return f"{found.publisher}, {found.title} ({found.how_read})"
    if not key or key == COMMON_PRACTICE:
        return _("common practice, no source")
    return key


def line_printed(
    rule: care.Rule, windows: Sequence[care.Window], sources: Mapping[str, Source]
) -> dict[str, Any]:
    """One rule with all its windows of the guide's months."""
    limits = rule.limits
    return {
        "key": rule.key,
        "task": rule.task,
        "purpose": rule.purpose,
        "is_always": rule.always,
        "runs": [[window.earliest, window.best, window.latest] for window in windows],
        "share": limits.share_removed_max,
        "heights": list(limits.height_left_m) if limits.height_left_m else None,
        "cut": limits.cut,
        "drawing": rule.drawing,
        "how": rule.how.strip(),
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


# --- water -------------------------------------------------------------------------


def water_printed(
    years: Iterable[PlantingYear], *, end: dt.date
) -> list[dict[str, Any]]:
    """The rhythms of the first year, plants with the same ones together."""
    found: dict[tuple[Any, ...], dict[str, Any]] = {}
    for year in years:
        if year.planted_on is None:
            continue
        kind = year.group.kind
        phases = water.first_year(
            kind=kind, planted_on=year.planted_on, start=year.start, end=end
        )
        if not phases:
            continue
        how = "tree" if kind == "tree" else "shrub" if water.is_woody(kind) else "soft"
        row = found.setdefault(
            (how, year.planted_on),
            {
                "how": how,
                "planted_on": year.planted_on,
                "numbers": [],
                "irrigated": [],
                "phases": [
                    {"first": phase.first, "last": phase.last, "every": phase.every}
                    for phase in phases
                ],
            },
        )
        row["numbers"].append(year.planting.number)
        if year.irrigated:
            row["irrigated"].append(year.planting.number)
    return list(found.values())


# --- months ------------------------------------------------------------------------


def months_printed(
    years: Sequence[PlantingYear], *, start: dt.date, end: dt.date
) -> list[dict[str, Any]]:
    """Each month: tasks whose best day lies in it, water, and what is closed."""
    rows = water_printed(years, end=end)
    months = []
    first = start
    while first <= end:
        after = _next_month(first)
        last = after - dt.timedelta(days=1)
        months.append(
            {
                "first": first,
                "tasks": _tasks_in(years, first, last),
                "water": _water_in(rows, first, last),
                "closed": _closed_in(years, first, last),
                "bloom": [
                    year.planting.number
                    for year in years
                    if any(a <= last and b >= first for a, b in year.bloom)
                ],
            }
        )
        first = after
    return months


def _next_month(first: dt.date) -> dt.date:
    return (first + dt.timedelta(days=31)).replace(day=1)


def _tasks_in(
    years: Iterable[PlantingYear], first: dt.date, last: dt.date
) -> list[dict[str, Any]]:
    """The tasks of a month by best day; plants with the same days stand together."""
    found: dict[tuple[Any, ...], dict[str, Any]] = {}
    for year in years:
        for window in told_windows(year):
            rule = window.rule
            if rule.always:
                continue
            if not first <= window.best <= last:
                continue
            run = (window.earliest, window.best, window.latest)
            row = found.setdefault(
                (rule.task, rule.purpose, run),
                {
                    "task": rule.task,
                    "purpose": rule.purpose,
                    "run": list(run),
                    "plants": [],
                },
            )
            named = {"number": year.planting.number, "common": _name(year.planting)}
            if named not in row["plants"]:
                row["plants"].append(named)
    return sorted(
        found.values(),
        key=lambda row: (row["run"][1], row["run"][0], row["task"], row["purpose"]),
    )


def _name(planting: Planting) -> str:
    return planting.plant.common if planting.plant else planting.what_it_looks_like


def _water_in(
    rows: Iterable[Mapping[str, Any]], first: dt.date, last: dt.date
) -> list[dict[str, Any]]:
    """The rhythms that hold in a month, cut to it; equal ones stand together."""
    found: list[dict[str, Any]] = []
    for row in rows:
        phases = [
            {
                "first": max(phase["first"], first),
                "last": min(phase["last"], last),
                "every": phase["every"],
            }
            for phase in row["phases"]
            if phase["first"] <= last and phase["last"] >= first
        ]
        same = next((one for one in found if one["phases"] == phases), None)
        if same is not None:
            same["numbers"] = sorted([*same["numbers"], *row["numbers"]])
        elif phases:
            found.append({"numbers": sorted(row["numbers"]), "phases": phases})
    return found


def _closed_in(
    years: Iterable[PlantingYear], first: dt.date, last: dt.date
) -> list[dict[str, Any]]:
    """The closed seasons for cuts that touch a month: for all cuts, then for some.

    Each with the days of the month and the plants by number; days that hold for the
    same plants stand once.
    """
    shut: dict[bool, dict[tuple[dt.date, dt.date], set[int]]] = {True: {}, False: {}}
    for year in years:
        for period in closed_from_planting(year):
            tasks = set(period.season.tasks)
            begins, ends = period.first or first, period.last or last
            if not tasks & set(CUTS) or begins > last or ends < first:
                continue
            span = (max(begins, first), min(ends, last))
            of_span = shut[set(CUTS) <= tasks].setdefault(span, set())
            of_span.add(year.planting.number)
    return [
        {
            "is_all_cuts": is_all,
            "parts": [
                {
                    "first": span[0],
                    "last": span[1],
                    "is_whole_month": span == (first, last),
                    "numbers": sorted(numbers),
                }
                for span, numbers in sorted(parts.items())
            ],
        }
        for is_all, parts in shut.items()
        if parts
    ]


# --- beds --------------------------------------------------------------------------


def bed_printed(bed: Bed, plantings: Sequence[Planting]) -> dict[str, Any]:
    """What the sketch of a bed is drawn from: its shape and the plants by number."""
    return {
        "pk": bed.pk,
        "name": bed.name,
        "shape": bed.shape,
        "length_m": bed.length_m,
        "width_m": bed.width_m,
        "across_m": bed.across_m,
        "pieces": bed.pieces,
        "facing": bed.facing,
        "plants": [
            {
                "number": planting.number,
                "common": _name(planting),
                "count": planting.count,
                "spread_m": _spread(planting),
            }
            for planting in plantings
        ],
    }


def _spread(planting: Planting) -> Any:
    if planting.plant is None:
        return None
    return (facts_of(planting.plant).get("mature") or {}).get("width_m")
