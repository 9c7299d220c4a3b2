"""A care guide's calendar: rhythms of water, and month by month what to do."""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from jobs.queries.guide_lines import (
    closed_from_planting,
    common_of,
    told_windows,
    what_of,
)
from plants import water
from plants.care.vocabulary import CUTS
from plants.queries.care import PlantingYear

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
            kind=kind,
            planted_on=year.planted_on,
            start=year.start,
            end=end,
            climate=year.climate,
        )
        if not phases:
            continue
        keeps_leaves = year.group.evergreen != "no"
        how = "tree" if kind == "tree" else "shrub" if water.is_woody(kind) else "soft"
        row = found.setdefault(
            (how, keeps_leaves, year.planted_on),
            {
                "how": how,
                "keeps_leaves": keeps_leaves,
                "planted_on": year.planted_on,
                "numbers": [],
                "irrigated": [],
                "phases": [
                    {
                        "first": phase.first,
                        "last": phase.last,
                        "every": phase.every,
                        "is_cold": phase.is_cold,
                    }
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
                (rule.task, rule.purpose, what_of(rule), run),
                {
                    "task": rule.task,
                    "purpose": rule.purpose,
                    "what": what_of(rule),
                    "run": list(run),
                    "plants": [],
                },
            )
            named = {"number": year.planting.number, "common": common_of(year.planting)}
            if named not in row["plants"]:
                row["plants"].append(named)
    return sorted(
        found.values(),
        key=lambda row: (row["run"][1], row["run"][0], row["task"], row["purpose"]),
    )


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
                "is_cold": phase["is_cold"],
            }
            for phase in row["phases"]
            if phase["first"] <= last and phase["last"] >= first
        ]
        # What keeps its leaves differs from bare plants in the cold only.
        keeps_leaves = row["keeps_leaves"] and any(one["is_cold"] for one in phases)
        same = next(
            (
                one
                for one in found
                if (one["keeps_leaves"], one["phases"]) == (keeps_leaves, phases)
            ),
            None,
        )
        if same is not None:
            same["numbers"] = sorted([*same["numbers"], *row["numbers"]])
        elif phases:
            found.append(
                {
                    "numbers": sorted(row["numbers"]),
                    "keeps_leaves": keeps_leaves,
                    "phases": phases,
                }
            )
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
