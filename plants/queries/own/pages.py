"""What the pages of the firm's own catalogue show."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from plants import care
from plants.enums import Layer
from plants.models import ClosedSeason, Group, Plant, Rule, Source
from plants.queries.care import layered_specs, layers_of_groups
from plants.queries.own.lines import CLOSED, RULES, Row, Target


@dataclass(frozen=True, kw_only=True)
class OwnRow:
    """One line of the firm with what the engine makes of it.

    SAYS is the rule or closed season as it holds; None where it is off or left out.
    """

    target: Target
    part: str
    key: str
    task: str
    is_off: bool
    says: care.Rule | care.ClosedSeason | None
    reasons: Sequence[str]


@dataclass(frozen=True, kw_only=True)
class OwnPage:
    """All that the firm wrote into the catalogue."""

    groups: Sequence[Group]
    plants: Sequence[Plant]
    lines: Sequence[OwnRow]
    unfit_facts: Sequence[tuple[Plant, care.LeftOut]]


@dataclass(frozen=True, kw_only=True)
class Misfit:
    """A line or fact of the firm that the engine leaves out, and of what it is."""

    name: str
    left: care.LeftOut


def own_page() -> OwnPage:
    """All that the firm wrote, in a fixed number of queries."""
    groups, plants, engines = _engines()
    rows: list[tuple[str, Row]] = []
    for part, found in (
        (RULES, Rule.objects.filter(layer=Layer.FIRM)),
        (CLOSED, ClosedSeason.objects.filter(layer=Layer.FIRM)),
    ):
        rows.extend(
            (part, row)
            for row in found.select_related("group", "plant__group").order_by("id")
        )
    lines = [_row(part, row, engines) for part, row in rows]
    own_groups = [group for group in groups.values() if group.layer == Layer.FIRM]
    own_plants = [plant for plant in plants.values() if plant.layer == Layer.FIRM]
    return OwnPage(
        groups=sorted(own_groups, key=lambda group: (group.name, group.pk)),
        plants=sorted(own_plants, key=lambda plant: (plant.common, plant.pk)),
        lines=sorted(lines, key=lambda line: (line.target.name, line.part, line.key)),
        unfit_facts=[
            (plant, left)
            for plant in own_plants
            for left in engines["plant", plant.pk].left_out
            if left.part == "facts"
        ],
    )


def misfits() -> list[Misfit]:
    """The lines and facts of the firm that no longer fit the catalogue under them."""
    groups, plants, engines = _engines()
    found: list[Misfit] = []
    seen: dict[int, set[care.LeftOut]] = defaultdict(set)
    for pk, group in groups.items():
        for left in engines["group", pk].left_out:
            seen[pk].add(left)
            found.append(Misfit(name=group.name, left=left))
    for pk, plant in plants.items():
        found.extend(
            Misfit(name=plant.common, left=left)
            for left in engines["plant", pk].left_out
            if left not in seen[plant.group_id]
        )
    return found


Engines = dict[tuple[str, int], care.Group]


def _engines() -> tuple[dict[int, Group], dict[int, Plant], Engines]:
    """Groups and plants that the firm wrote something about, merged."""
    own = [
        *Rule.objects.filter(layer=Layer.FIRM).values_list("group_id", "plant_id"),
        *ClosedSeason.objects.filter(layer=Layer.FIRM).values_list(
            "group_id", "plant_id"
        ),
    ]
    with_lines = {pk for pk, _plant in own if pk}
    groups = {
        row.pk: row
        for row in Group.objects.order_by("id")
        if row.layer == Layer.FIRM or row.pk in with_lines
    }
    plant_pks = {pk for _group, pk in own if pk}
    plants = {
        row.pk: row
        for row in Plant.objects.select_related("group").order_by("id")
        if row.layer == Layer.FIRM
        or row.pk in plant_pks
        or (row.overrides and row.group_id in with_lines)
    }
    engines: Engines = {}
    for pk, layers in layers_of_groups(groups.values()).items():
        engines["group", pk] = care.fit_layers(**layers)
    for pk, layers in layered_specs(plants.values()).items():
        engines["plant", pk] = care.fit_layers(**layers)
    return groups, plants, engines


def _row(part: str, row: Row, engines: Engines) -> OwnRow:
    if row.plant is not None:
        target = Target(group=row.plant.group, plant=row.plant)
        engine = engines["plant", row.plant.pk]
    else:
        assert row.group is not None  # noqa: S101 - the database holds one of both
        target = Target(group=row.group)
        engine = engines["group", row.group.pk]
    lines: Sequence[care.Rule | care.ClosedSeason] = (
        engine.rules if part == RULES else engine.closed
    )
    return OwnRow(
        target=target,
        part=part,
        key=row.key,
        task=row.task if isinstance(row, Rule) else "",
        is_off=bool(row.spec.get("off")),
        says=next(
            (
                line
                for line in lines
                if line.key == row.key and line.layer == target.layer
            ),
            None,
        ),
        reasons=[
            reason
            for left in engine.left_out
            if (left.layer, left.part, left.key) == (target.layer, part, row.key)
            for reason in left.reasons
        ],
    )


def groups_by_name() -> list[Group]:
    """Groups that plants may be added to, by name."""
    return list(Group.objects.filter(retired_at=None).order_by("name", "id"))


def group(*, key: str) -> Group | None:
    """One group."""
    return Group.objects.filter(key=key).first()


def plant(*, key: str) -> Plant | None:
    """One plant with its group and other names."""
    return (
        Plant.objects.select_related("group")
        .prefetch_related("names")
        .filter(key=key)
        .first()
    )


def sources_by_title() -> list[Source]:
    """Every source, by who published it."""
    return list(Source.objects.order_by("publisher", "title", "id"))
