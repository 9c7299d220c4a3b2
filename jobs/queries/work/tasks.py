"""Tasks a single visit may hold: what the garden's plantings need around a day."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from jobs.queries.work.cautions import task_label
from plants import care
from plants.enums import Purpose
from plants.models import Garden, Planting, Source
from plants.queries.care import (
    PlantingFacts,
    closed_for,
    facts_about,
    planting_year,
    plantings_in,
    sources_by_key,
)

LOOK_BACK = dt.timedelta(days=60)
NEAR_DAYS = 14
SPAN_DAYS = 425


@dataclass(frozen=True, kw_only=True)
class TaskChoice:
    """One rule of a planting with its window nearest to a day, and if it is closed."""

    planting: Planting
    rule: care.Rule
    window: care.Window
    days_away: int
    closed: care.ClosedPeriod | None
    source: str

    @property
    def value(self) -> str:
        """How the form names it."""
        return f"{self.planting.pk}:{self.rule.key}"

    @property
    def title(self) -> str:
        """The task with its purpose: prune, for its flowers."""
        return task_title(self.rule.task, self.rule.purpose)

    @property
    def is_near(self) -> bool:
        """Whether its window holds the day or lies within two weeks of it."""
        return self.days_away <= NEAR_DAYS and self.closed is None


@dataclass(frozen=True, kw_only=True)
class PlantingTasks:
    """A planting with everything that can be done to it, the nearest first."""

    planting: Planting
    choices: Sequence[TaskChoice]


def task_title(task: str, purpose: str) -> str:
    """A task with its purpose where there are several."""
    said = task_label(task)
    if purpose in ("", "none", task, "hygiene", "dead wood") or task == "renovate":
        return said
    label = Purpose(purpose).label if purpose in Purpose.values else purpose
    return f"{said}, {label}"


def task_choices(*, garden: Garden, day: dt.date) -> list[PlantingTasks]:
    """What may be done in GARDEN around DAY, planting by planting, by number."""
    sources = sources_by_key()
    return [
        PlantingTasks(
            planting=facts.planting, choices=_choices(facts, day=day, sources=sources)
        )
        for facts in facts_about(plantings_in(garden), day=day)
    ]


def chosen_tasks(
    *, garden: Garden, day: dt.date, values: Sequence[str]
) -> list[TaskChoice]:
    """The choices named by VALUES, in the order of the page; unknown ones left out."""
    wanted = set(values)
    return [
        choice
        for each in task_choices(garden=garden, day=day)
        for choice in each.choices
        if choice.value in wanted
    ]


def _choices(
    facts: PlantingFacts, *, day: dt.date, sources: Mapping[str, Source]
) -> list[TaskChoice]:
    nearest: dict[str, care.Window] = {}
    year = planting_year(facts, start=day - LOOK_BACK, days=SPAN_DAYS)
    for window in year.windows:
        held = nearest.get(window.rule.key)
        if held is None or _away(window, day) < _away(held, day):
            nearest[window.rule.key] = window
    found = [
        TaskChoice(
            planting=facts.planting,
            rule=window.rule,
            window=window,
            days_away=0 if window.rule.always else _away(window, day),
            closed=closed_for(
                facts, task=window.rule.task, purpose=window.rule.purpose, day=day
            ),
            source=_source(window.rule.source, sources),
        )
        for window in nearest.values()
    ]
    return sorted(found, key=lambda each: (each.days_away, each.rule.key))


def _away(window: care.Window, day: dt.date) -> int:
    """Days from DAY to the window, 0 inside it."""
    if day < window.earliest:
        return (window.earliest - day).days
    return max((day - window.latest).days, 0)


def _source(key: str, sources: Mapping[str, Source]) -> str:
    found = sources.get(key)
    if found is None:
        return key if key != "common practice" else _("common practice, no source")
    return f"{found.publisher}: {found.title} ({found.how_read})"[:300]
