"""What the pages of the catalogue show."""

import datetime as dt
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Q

from plants import care
from plants.care.vocabulary import CUTS
from plants.climate import Climate
from plants.enums import Layer
from plants.models import ClosedSeason, Group, Plant, Rule, Source, Station
from plants.queries.care import (
    PlantYear,
    engine_group,
    engine_group_of,
    firm_climate,
    plant_year,
    sources_by_key,
)
from plants.queries.fit import facts_of

# The sorts of work in the order in which a page tells them.
PARTS = {
    "cutting": (
        *CUTS,
        "deadhead",
        "dead wood",
    ),
    "soil": ("feed", "acidify", "lime", "mulch"),
    "water": ("water check",),
    "looking after": tuple(care.TASKS),
}


@dataclass(frozen=True, kw_only=True)
class RuleLine:
    """A rule with its windows in one climate and where it comes from."""

    rule: care.Rule
    windows: Sequence[care.Window]
    source: Source | None


@dataclass(frozen=True, kw_only=True)
class RulePart:
    """The rules of one sort of work."""

    key: str
    lines: Sequence[RuleLine]


@dataclass(frozen=True, kw_only=True)
class ClosedLine:
    """A closed season with its days in one climate and where it comes from."""

    season: care.ClosedSeason
    periods: Sequence[care.ClosedPeriod]
    source: Source | None


@dataclass(frozen=True, kw_only=True)
class CataloguePage:
    """A group or a plant as the catalogue's page shows it.

    Without any station there is no climate, and rules stand there without dates.
    """

    group: Group
    plant: Plant | None
    facts: Mapping[str, Any]
    engine: care.Group
    station: Station | None
    year: PlantYear | None
    parts: Sequence[RulePart]
    closed: Sequence[ClosedLine]
    plants: Sequence[Plant]
    sources: Mapping[str, Source]
    # Closed seasons that somebody wrote, apart from what follows from the wood.
    written: Collection[str]
    # Part and key of the lines that the firm switched off.
    off: Sequence[tuple[str, str]]

    @property
    def of(self) -> str:
        """The word for it in addresses of the firm's own lines."""
        return "plants" if self.plant else "groups"

    @property
    def key(self) -> str:
        """Its own key."""
        return self.plant.key if self.plant else self.group.key

    @property
    def layer(self) -> str:
        """Who wrote it down: the catalogue or the firm."""
        return self.plant.layer if self.plant else self.group.layer

    @property
    def layer_of_own(self) -> str:
        """The engine's layer for what the firm says of it."""
        return "plant" if self.plant else "firm"

    @property
    def is_retired(self) -> bool:
        """Whether it is no longer offered."""
        retired = self.plant.retired_at if self.plant else self.group.retired_at
        return retired is not None


def plants_matching(
    *, words: str = "", kind: str = "", wood: str = "", light: str = ""
) -> list[Plant]:
    """Plants of the catalogue by common name; WORDS match any of their names.

    The facts are matched here and not by the database, which could not search inside
    of them on every engine; a catalogue has hundreds of plants, not thousands.
    """
    found = Plant.objects.filter(retired_at=None).select_related("group")
    for word in words.split():
        found = found.filter(
            Q(common__icontains=word)
            | Q(botanical__icontains=word)
            | Q(group__name__icontains=word)
            | Q(names__name__icontains=word)
        )
    plants = list(found.order_by("common", "id").distinct())
    return [
        plant
        for plant in plants
        if _matches(facts_of(plant), kind=kind, wood=wood, light=light)
    ]


def _matches(facts: Mapping[str, Any], *, kind: str, wood: str, light: str) -> bool:
    lights = facts.get("light") or {}
    return (
        (not kind or facts.get("kind") == kind)
        and (not wood or facts.get("wood") == wood)
        and (
            not light
            or light in lights.get("best", ())
            or light in lights.get("bearable", ())
        )
    )


def group_page(*, key: str, start: dt.date) -> CataloguePage | None:
    """The page of the group KEY with a year from START; None when there is none."""
    group = Group.objects.filter(key=key).first()
    if group is None:
        return None
    here = firm_climate()
    engine = engine_group_of(group, station=here[0] if here else None)
    return _page(group, None, group.facts, engine, start, here)


def plant_page(*, key: str, start: dt.date) -> CataloguePage | None:
    """The page of the plant KEY with a year from START; None when there is none."""
    plant = (
        Plant.objects.select_related("group")
        .prefetch_related("names")
        .filter(key=key)
        .first()
    )
    if plant is None:
        return None
    here = firm_climate()
    engine = engine_group(plant, station=here[0] if here else None)
    facts = _facts_shown(plant, engine)
    return _page(plant.group, plant, facts, engine, start, here)


def _page(
    group: Group,
    plant: Plant | None,
    facts: Mapping[str, Any],
    engine: care.Group,
    start: dt.date,
    here: tuple[Station, Climate] | None,
) -> CataloguePage:
    sources = sources_by_key()
    year = plant_year(plant, engine, climate=here[1], start=start) if here else None
    return CataloguePage(
        group=group,
        plant=plant,
        facts=facts,
        engine=engine,
        station=here[0] if here else None,
        year=year,
        parts=_parts(rule_lines(engine, year, sources)),
        closed=[
            ClosedLine(
                season=season,
                periods=[
                    period
                    for period in (year.closed if year else ())
                    if period.season is season
                ],
                source=sources.get(season.source),
            )
            for season in engine.closed
        ],
        plants=list(group.plants.filter(retired_at=None).order_by("common", "id")),
        sources=sources,
        written={line["key"] for line in engine.spec.get("closed", ())},
        off=_switched_off(group, plant),
    )


def _switched_off(group: Group, plant: Plant | None) -> list[tuple[str, str]]:
    """Part and key of each line of the group or plant that the firm switched off."""
    own = {"plant": plant} if plant else {"group": group}
    return [
        (part, row.key)
        for part, rows in (("rules", Rule.objects), ("closed", ClosedSeason.objects))
        for row in rows.filter(**own, layer=Layer.FIRM).order_by("key")
        if row.spec.get("off")
    ]


def _facts_shown(plant: Plant, engine: care.Group) -> dict[str, Any]:
    """The plant's facts without those left out, and without sources not their own."""
    left = {line.key for line in engine.left_out if line.part == "facts"}
    own = {name: said for name, said in plant.overrides.items() if name not in left}
    facts = {**plant.group.facts, **own}
    if plant.layer == Layer.FIRM and "sources" not in own:
        facts["sources"] = {
            name: line
            for name, line in (plant.group.facts.get("sources") or {}).items()
            if name not in own
        }
    return facts


def rule_lines(
    engine: care.Group, year: PlantYear | None, sources: Mapping[str, Source]
) -> list[RuleLine]:
    """The group's rules, those of the year first and in its order.

    A rule that holds only for young plants or for some soils shows the days it would
    fall on.
    """
    windows: dict[str, list[care.Window]] = {}
    if year is not None:
        for window in year.windows:
            windows.setdefault(window.rule.key, []).append(window)
        this = year.climate.year_of(year.start)
        for coming in (this, this + 1):
            for window in care.windows(group=engine, climate=year.climate, year=coming):
                if window.latest >= year.start:
                    windows.setdefault(window.rule.key, [window])
    lines = [
        RuleLine(
            rule=rule,
            windows=windows.get(rule.key, ()),
            source=sources.get(rule.source),
        )
        for rule in engine.rules
    ]
    return sorted(
        lines,
        key=lambda line: (
            not line.windows,
            line.windows[0].best if line.windows else dt.date.max,
            line.rule.first.days,
            line.rule.key,
        ),
    )


def _parts(lines: Sequence[RuleLine]) -> list[RulePart]:
    """The lines by sort of work, each in one part."""
    left = list(lines)
    parts = []
    for key, tasks in PARTS.items():
        own = [line for line in left if line.rule.task in tasks]
        left = [line for line in left if line.rule.task not in tasks]
        if own:
            parts.append(RulePart(key=key, lines=own))
    return parts


def stations_by_name() -> list[Station]:
    """All climates by name."""
    return list(Station.objects.order_by("name", "id"))


def station(*, pk: int) -> Station | None:
    """One climate."""
    return Station.objects.filter(pk=pk).first()
