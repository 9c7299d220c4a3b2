"""Words of a care guide's calendar: water, months, and what matters now."""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from django import template
from django.utils.translation import gettext

from firm.templatetags.notebook import day_month
from firm.units import Display, convert
from jobs.templatetags.guides import guide_title, numbers_said
from plants import water
from plants.care.vocabulary import CUTS

register = template.Library()

Line = Mapping[str, Any]

EVERY = {
    "day": "every day",
    "2-3 days": "every two to three days",
    "week": "once a week",
}
IN_THE_COLD = {
    True: "once or twice a month, if dry and not frozen",
    False: "only in a dry thaw",
}
# How far ahead the first page looks.
SOON_DAYS = 21
# The best days of one task that a single round of the garden may serve.
NEAR_DAYS = 14


def _day(value: Any) -> dt.date:
    return dt.date.fromisoformat(value) if isinstance(value, str) else value


# --- water ---------------------------------------------------------------------------


def _rhythm(phase: Line, row: Line) -> str:
    """What is poured in a phase, where roots rest in the cold as where they grow."""
    if phase.get("is_cold"):
        return gettext(IN_THE_COLD[bool(row.get("keeps_leaves"))])
    if row.get("how") == "soft" and phase["every"] == "2-3 days":
        return gettext("every two to three days, daily in heat")
    return gettext(EVERY[phase["every"]])


def _run_on(parts: Sequence[tuple[str, Any]]) -> str:
    """Rhythms in a row: every day to 14 Apr, then every two to three days."""
    said = [
        gettext("%(every)s to %(day)s") % {"every": every, "day": day_month(last)}
        for every, last in parts[:-1]
    ]
    return gettext(", then ").join([*said, parts[-1][0]])


def _merged(phases: Iterable[Line], row: Line) -> list[tuple[str, list[Line]]]:
    """Phases by what is said of them; those that follow with the same words are one."""
    found: list[tuple[str, list[Line]]] = []
    for phase in phases:
        words = _rhythm(phase, row)
        if found and found[-1][0] == words:
            found[-1][1].append(phase)
        else:
            found.append((words, [phase]))
    return found


@register.simple_tag
def water_rows(row: Line) -> list[dict[str, Any]]:
    """The rhythms of a year with their days; cold ones with the printed rhythm too."""
    return [
        {
            "first": phases[0]["first"],
            "last": phases[-1]["last"],
            "words": words,
            "printed": _run_on(
                [(gettext(EVERY[one["every"]]), one["last"]) for one in phases]
            )
            if phases[0].get("is_cold")
            else "",
        }
        for words, phases in _merged(row["phases"], row)
    ]


@register.filter
def has_cold(rows: Iterable[Line]) -> bool:
    """Whether any plant's water falls into months in which roots rest."""
    return any(phase.get("is_cold") for row in rows for phase in row["phases"])


@register.filter
def water_first_words(row: Line) -> str:
    """The first rhythm of a guide, for its letter: every day until 26 October."""
    words, phases = _merged(row["phases"], row)[0]
    return gettext("%(every)s until %(day)s") % {
        "every": words,
        "day": day_month(phases[-1]["last"]),
    }


@register.filter
def water_in_month(row: Line) -> str:
    """The rhythms of a month: every day to 14 Apr, then every two to three days."""
    merged = _merged(row["phases"], row)
    return _run_on([(words, phases[-1]["last"]) for words, phases in merged])


@register.simple_tag
def water_amount(row: Line, firm: Line) -> str:
    """How much each time, by the rule for that sort of plant."""
    us = firm["units"] == "us"
    if row["how"] == "tree":
        return (
            gettext("each time 1 to 1.5 gal for every inch of trunk thickness")
            if us
            else gettext(
                "each time 1.5 to 2.2 L for every centimetre of trunk thickness"
            )
        )
    if row["how"] == "shrub":
        return gettext("each time a quarter to a third of the pot it came in")
    return (
        gettext("about 1 in a week, rain and hose together")
        if us
        else gettext("about 25 mm (25 L on a square metre) a week, rain and hose")
    )


@register.simple_tag
def pot_amounts(firm: Line) -> list[tuple[str, str]]:
    """What a quarter to a third of a pot comes to, by its class."""
    us = firm["units"] == "us"
    shown = []
    for container in ("#1", "#3", "#5", "#7", "#15"):
        low, high = water.shrub_litres(container)
        if us:
            low, high = (convert(each, unit="L", to="gal") for each in (low, high))
        display = Display(firm["units"])
        figures = [
            display.figure(each, places=2 if us else 1, trim=us) for each in (low, high)
        ]
        joined = gettext("%(low)s to %(high)s") % {
            "low": figures[0],
            "high": figures[1],
        }
        shown.append((container, f"{joined} {'gal' if us else 'L'}"))
    return shown


# --- rows: plants first, then what and when ------------------------------------------


def _row(
    kind: str, numbers: Sequence[int], plants: Sequence[Line], what: str, when: str
) -> dict[str, Any]:
    """A row of the calendar; a plant that stands alone in it is named."""
    names = {plant["number"]: plant["common"] for plant in plants}
    return {
        "kind": kind,
        "numbers": numbers,
        "name": names.get(numbers[0], "") if len(numbers) == 1 else "",
        "said": numbers_said(numbers),
        "what": what,
        "when": when,
    }


@register.simple_tag
def month_rows(month: Line, plants: Sequence[Line]) -> list[dict[str, Any]]:
    """All that a month holds: bloom, water, tasks, what is closed."""
    rows = []
    if month.get("bloom"):
        rows.append(_row("bloom", month["bloom"], plants, gettext("In flower"), ""))
    rows += [
        _row("water", one["numbers"], plants, gettext("Water"), water_in_month(one))
        for one in month["water"]
    ]
    rows += _task_rows(month["tasks"], plants)
    for shut in month["closed"]:
        what = (
            gettext("Closed season: cut no living wood")
            if shut["is_all_cuts"]
            else gettext("Closed season for some cuts: see the plant")
        )
        rows += [
            _row("closed", part["numbers"], plants, what, _part_days(part))
            for part in shut["parts"]
        ]
    return rows


def _part_days(part: Line) -> str:
    """The days of a month on which something is closed; empty for all of it."""
    first, last = _day(part["first"]), _day(part["last"])
    if part["is_whole_month"]:
        return ""
    if first.day == 1:
        return gettext("until %(last)s") % {"last": day_month(last)}
    if (last + dt.timedelta(days=1)).day == 1:
        return gettext("from %(first)s") % {"first": day_month(first)}
    return _between(first, last)


def _task_rows(tasks: Iterable[Line], plants: Sequence[Line]) -> list[dict[str, Any]]:
    """Tasks with their days; plants that one round serves stand in one row."""
    bunches: list[_Bunch] = []
    for task in tasks:
        title = guide_title(task)
        numbers = [plant["number"] for plant in task["plants"]]
        run = (_day(task["run"][0]), _day(task["run"][1]), _day(task["run"][2]))
        bunch = next((one for one in bunches if one.takes(title, numbers, run)), None)
        if bunch is None:
            bunches.append(_Bunch(title, numbers, run))
        else:
            bunch.add(numbers, run)
    bunches.sort(key=lambda one: (one.bests[0], one.title))
    return [
        _row("task", sorted(one.numbers), plants, one.title, one.days())
        for one in bunches
    ]


Run = tuple[dt.date, dt.date, dt.date]


class _Bunch:
    """Plants with one task whose days suit all of them, or one plant's repeats."""

    def __init__(self, title: str, numbers: Sequence[int], run: Run) -> None:
        self.title = title
        self.numbers = set(numbers)
        self.bests = [run[1]]
        self.first, self.last = run[0], run[2]
        self.is_repeat = False

    def takes(self, title: str, numbers: Sequence[int], run: Run) -> bool:
        """Whether one round of the garden can do this too."""
        if title != self.title:
            return False
        if set(numbers) == self.numbers:
            return True
        bests = [*self.bests, run[1]]
        first, last = max(self.first, run[0]), min(self.last, run[2])
        return (
            not self.is_repeat
            and not self.numbers & set(numbers)
            and (max(bests) - min(bests)).days <= NEAR_DAYS
            and first <= min(bests)
            and max(bests) <= last
        )

    def add(self, numbers: Sequence[int], run: Run) -> None:
        """Take the plants in; only the days that suit all of them are left."""
        if set(numbers) == self.numbers:
            self.is_repeat = True
            self.first, self.last = min(self.first, run[0]), max(self.last, run[2])
        else:
            self.numbers |= set(numbers)
            self.first, self.last = max(self.first, run[0]), min(self.last, run[2])
        self.bests = sorted({*self.bests, run[1]})

    def days(self) -> str:
        """The days: 18 Mar to 13 May, best about 8 Apr."""
        if self.first == self.last:
            return day_month(self.first)
        if self.is_repeat:
            best = gettext(" and ").join(day_month(each) for each in self.bests)
        else:
            best = _between(self.bests[0], self.bests[-1])
        return gettext("%(days)s, best about %(best)s") % {
            "days": _between(self.first, self.last),
            "best": best,
        }


def _between(first: dt.date, last: dt.date) -> str:
    """Days of the guide's own year: 8 to 12 Apr, 28 Mar to 2 Apr."""
    if first == last:
        return day_month(first)
    begun = day_month(first)
    if (first.year, first.month) == (last.year, last.month):
        begun = str(first.day)
    return gettext("%(first)s to %(last)s") % {"first": begun, "last": day_month(last)}


# --- now -----------------------------------------------------------------------------


@register.simple_tag
def now_rows(paper: Line) -> list[dict[str, Any]]:
    """What matters on the day of issue: water, what is closed, what comes up soon."""
    day = max(_day(paper["issued_on"]), _day(paper["start"]))
    plants = paper["plants"]
    rows = []
    for row in paper["water"]:
        left = [phase for phase in row["phases"] if _day(phase["last"]) >= day]
        if left:
            merged = _merged(left, row)
            said = _run_on([(words, part[-1]["last"]) for words, part in merged[:2]])
            rows.append(_row("water", row["numbers"], plants, gettext("Water"), said))
    shut: dict[dt.date | None, list[int]] = {}
    for plant in plants:
        for last in _closed_until(plant, day)[:1]:
            shut.setdefault(last, []).append(plant["number"])
    rows += [
        _row(
            "closed",
            numbers,
            plants,
            gettext("Closed season: cut no living wood"),
            gettext("until %(last)s") % {"last": day_month(last)} if last else "",
        )
        for last, numbers in sorted(shut.items(), key=lambda one: one[0] or dt.date.max)
    ]
    soon = [
        {**line, "run": run, "plants": [plant]}
        for plant in plants
        for part in ("pruning", "feeding", "soil", "water", "other")
        for line in plant[part]
        for run in line["runs"]
        if _day(run[0]) <= day + dt.timedelta(days=SOON_DAYS) and _day(run[2]) >= day
    ]
    soon.sort(key=lambda line: (_day(line["run"][1]), line["task"]))
    return rows + _task_rows(soon, plants)


def _closed_until(plant: Line, day: dt.date) -> list[dt.date | None]:
    """The last days of closed seasons for all cuts that hold; None is without end."""
    return [
        _day(last) if last else None
        for season in plant["closed"]
        if set(CUTS) <= set(season["tasks"])
        for first, last in season["spans"]
        if (first is None or _day(first) <= day) and (last is None or _day(last) >= day)
    ]
