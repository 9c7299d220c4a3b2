"""The year that would follow from a change, beside the year as it is."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.db.models import QuerySet

from plants import care
from plants.models import (
    Garden,
    Group,
    Plant,
    Planting,
    Station,
)
from plants.queries.care import (
    IN_THE_GROUND,
    PlantingFacts,
    PlantYear,
    climate_of_station,
    facts_about,
    firm_climate,
    layered_specs,
    plant_year,
    planting_year,
)
from plants.queries.care.layers import forbid_lines
from plants.queries.care.local_bloom import local_blooms
from plants.queries.own.lines import Target, as_laid, target_layers
from plants.queries.own.proof import with_facts, with_line

NEW, MOVED, REWRITTEN, SAME, GONE = "new", "moved", "rewritten", "same", "gone"


@dataclass(frozen=True, kw_only=True)
class YearLine:
    """A window of the year after a change, and how it differs from the year before."""

    window: care.Window
    change: str
    was: care.Window | None = None

    @property
    def rule(self) -> care.Rule:
        """The rule of the window."""
        return self.window.rule


@dataclass(frozen=True, kw_only=True)
class ClosedYearLine:
    """A closed period after a change, and how it differs from the year before."""

    period: care.ClosedPeriod
    change: str
    was: care.ClosedPeriod | None = None


@dataclass(frozen=True, kw_only=True)
class Preview:
    """A year after a change: where it was reckoned, its lines, what differs.

    APART are windows of the changed line that this plant does not get, as its
    conditions do not hold for it. YEAR is None where no climate is written down.
    """

    station: Station | None
    garden: Garden | None
    planting: Planting | None
    year: PlantYear | None
    lines: Sequence[YearLine]
    closed: Sequence[ClosedYearLine]
    apart: Sequence[care.Window]

    @property
    def differs(self) -> bool:
        """Whether anything is different from the year before."""
        changes = [line.change for line in self.lines]
        changes.extend(line.change for line in self.closed)
        return any(change != SAME for change in changes)


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where a year is reckoned: a climate, a garden of it, what stands there."""

    station: Station
    garden: Garden | None = None
    facts: PlantingFacts | None = None


def gardens_to_show() -> list[Garden]:
    """The gardens a year may be shown for, by name."""
    return list(
        Garden.objects.filter(left_at=None)
        .select_related("station")
        .order_by("name", "id")
    )


def garden_with(*, target: Target) -> Garden | None:
    """The first garden in which the plant, or one of the group, stands."""
    return (
        Garden.objects.filter(
            plantings__in=_plantings_of(target.group, target.plant), left_at=None
        )
        .order_by("id")
        .first()
    )


def _plantings_of(group: Group, plant: Plant | None) -> QuerySet[Planting]:
    found = Planting.objects.filter(state__in=IN_THE_GROUND)
    if plant is not None:
        return found.filter(plant=plant)
    return found.filter(plant__group=group)


def _plant_at(place: Place | None, plant: Plant | None) -> Plant | None:
    """The plant whose year is shown: the target's own, or the one that stands there."""
    if plant is not None or place is None or place.facts is None:
        return plant
    return place.facts.planting.plant


def _place_of(
    garden: Garden | None, group: Group | None, plant: Plant | None, day: dt.date
) -> Place | None:
    """Where the year of a group or plant is shown; None without any climate."""
    if garden is None:
        here = firm_climate()
        return Place(station=here[0]) if here else None
    if group is None:
        return Place(station=garden.station, garden=garden)
    planting = (
        _plantings_of(group, plant)
        .filter(garden=garden)
        .select_related("plant__group", "bed", "garden__station")
        .order_by("number", "id")
        .first()
    )
    facts = facts_about([planting], day=day)[0] if planting else None
    return Place(station=garden.station, garden=garden, facts=facts)


def layers_at(*, place: Place | None, target: Target) -> dict[str, Any]:
    """The layers whose year is shown: of the plant of the group that stands there.

    Where none stands there, those of the target itself.
    """
    plant = place.facts.planting.plant if place and place.facts else None
    if target.plant is not None or plant is None:
        return target_layers(target)
    return layered_specs([plant])[plant.pk]


def compare(
    *,
    place: Place | None,
    plant: Plant | None,
    group: Group | None,
    before: Mapping[str, Any] | None,
    after: Mapping[str, Any],
    day: dt.date,
    key: str = "",
) -> Preview:
    """The year that follows from the layers AFTER beside that of the layers BEFORE.

    KEY names the line that was changed; before is None for something new.
    """
    if place is None:
        return Preview(
            station=None,
            garden=None,
            planting=None,
            year=None,
            lines=[],
            closed=[],
            apart=[],
        )
    start = day.replace(day=1)
    year = _year(place, plant, group, after, start)
    old = None if before is None else _year(place, plant, group, before, start)
    lines = lines_of(old.windows if old else (), year.windows)
    shown = {line.window.rule.key for line in lines if line.change != GONE}
    return Preview(
        station=place.station,
        garden=place.garden,
        planting=place.facts.planting if place.facts else None,
        year=year,
        lines=lines,
        closed=closed_of(old.closed if old else (), year.closed),
        apart=[
            window
            for window in care.windows(
                group=year.group,
                climate=year.climate,
                year=year.climate.year_of(start),
            )
            if window.rule.key == key and key not in shown
        ],
    )


def _year(
    place: Place,
    plant: Plant | None,
    group: Group | None,
    layers: Mapping[str, Any],
    start: dt.date,
) -> PlantYear:
    local = local_blooms([place.station])
    at = place.station.pk
    if plant is not None:
        known = local.of(at, plant)
    else:
        known = local.of_whole_group(at, group.pk) if group else None
    if place.facts is None:
        return plant_year(
            plant,
            care.fit_layers(**layers, local=known),
            climate=climate_of_station(place.station),
            start=start,
        )
    given = place.facts.instructions
    whole = forbid_lines(one for one in given if one.planting_id is None)
    own = forbid_lines(one for one in given if one.planting_id is not None)
    merged = care.fit_layers(
        **layers,
        local=known,
        garden={"forbid": whole} if whole else None,
        planting={"forbid": own} if own else None,
    )
    return planting_year(replace(place.facts, group=merged), start=start)


def lines_of(
    before: Sequence[care.Window], after: Sequence[care.Window]
) -> list[YearLine]:
    """The windows after a change in date order, those that fell away among them."""
    waiting: dict[str, list[care.Window]] = {}
    for window in before:
        waiting.setdefault(window.rule.key, []).append(window)
    found = []
    for window in after:
        same = waiting.get(window.rule.key)
        was = same.pop(0) if same else None
        found.append(YearLine(window=window, change=_change_of(was, window), was=was))
    found.extend(
        YearLine(window=window, change=GONE)
        for windows in waiting.values()
        for window in windows
    )
    return sorted(found, key=lambda line: (line.window.best, line.window.rule.key))


def _change_of(was: care.Window | None, window: care.Window) -> str:
    if was is None:
        return NEW
    days = [(one.earliest, one.best, one.latest) for one in (was, window)]
    if days[0] != days[1]:
        return MOVED
    return SAME if _said(was.rule) == _said(window.rule) else REWRITTEN


def _said(rule: care.Rule) -> tuple[Any, ...]:
    """All that a rule says, and who says it."""
    return tuple(getattr(rule, name) for name in care.Rule.__dataclass_fields__)


def closed_of(
    before: Sequence[care.ClosedPeriod], after: Sequence[care.ClosedPeriod]
) -> list[ClosedYearLine]:
    """The closed periods after a change in date order."""
    waiting: dict[str, list[care.ClosedPeriod]] = {}
    for period in before:
        waiting.setdefault(period.key, []).append(period)
    found = []
    for period in after:
        same = waiting.get(period.key)
        was = same.pop(0) if same else None
        if was is None:
            change = NEW
        elif (was.first, was.last) != (period.first, period.last):
            change = MOVED
        else:
            change = SAME if _closes(was) == _closes(period) else REWRITTEN
        found.append(ClosedYearLine(period=period, change=change, was=was))
    found.extend(
        ClosedYearLine(period=period, change=GONE)
        for periods in waiting.values()
        for period in periods
    )
    return sorted(
        found,
        key=lambda line: (line.period.first or dt.date.min, line.period.key),
    )


def _closes(period: care.ClosedPeriod) -> tuple[Any, ...]:
    season = period.season
    return season.tasks, season.except_purposes, season.why, season.layer, season.source


def line_preview(
    *,
    target: Target,
    part: str,
    key: str,
    line: Mapping[str, Any] | None,
    is_changed: bool = True,
    garden: Garden | None,
    day: dt.date,
) -> Preview:
    """The year once the target says LINE under KEY, or no longer anything.

    As it stands where nothing IS_CHANGED.
    """
    place = _place_of(garden, target.group, target.plant, day)
    before = layers_at(place=place, target=target)
    after = before
    if is_changed:
        laid = as_laid(target, part, key, line)
        after = with_line(before, layer=target.layer, part=part, key=key, line=laid)
    return compare(
        place=place,
        plant=_plant_at(place, target.plant),
        group=target.group,
        before=before,
        after=after,
        day=day,
        key=key,
    )


def group_preview(
    *,
    group: Group | None,
    facts: Mapping[str, Any] | None,
    lines: Mapping[str, Any] | None = None,
    garden: Garden | None,
    day: dt.date,
) -> Preview:
    """The year of a group once it has FACTS; a new one has only LINES of its own."""
    if group is None:
        layers = {"shipped": dict(facts or {}), "firm": dict(lines or {})}
        return compare(
            place=_place_of(garden, None, None, day),
            plant=None,
            group=None,
            before=None,
            after=layers,
            day=day,
        )
    place = _place_of(garden, group, None, day)
    before = layers_at(place=place, target=Target(group=group))
    return compare(
        place=place,
        plant=_plant_at(place, None),
        group=group,
        before=before,
        after=before if facts is None else with_facts(before, facts),
        day=day,
    )


def plant_preview(
    *,
    group: Group,
    plant: Plant | None,
    overrides: Mapping[str, Any] | None,
    garden: Garden | None,
    day: dt.date,
) -> Preview:
    """The year of a plant once it differs from its group by OVERRIDES.

    A new plant is set beside its group.
    """
    place = _place_of(garden, group if plant else None, plant, day)
    before = target_layers(Target(group=group, plant=plant))
    after = before
    if overrides is not None:
        after = {**before, "overrides": dict(overrides)}
    return compare(
        place=place,
        plant=plant or Plant(group=group, overrides=dict(overrides or {})),
        group=group,
        before=before,
        after=after,
        day=day,
    )
