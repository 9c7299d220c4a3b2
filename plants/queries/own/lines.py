"""The firm's own lines of care: over which line they lie and how they stand."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from plants import care
from plants.care.lines import Line, change_of, over, plain_line
from plants.enums import Layer
from plants.models import ClosedSeason, Group, Plant, Rule
from plants.queries.care import layered_specs, layers_of

GROUPS, PLANTS = "groups", "plants"
RULES, CLOSED = "rules", "closed"

Row = Rule | ClosedSeason
MODELS: Mapping[str, type[Rule] | type[ClosedSeason]] = {
    RULES: Rule,
    CLOSED: ClosedSeason,
}


@dataclass(frozen=True, kw_only=True)
class Target:
    """The group, or the one plant, whose care a line is about."""

    group: Group
    plant: Plant | None = None

    @property
    def of(self) -> str:
        """The word for it in an address."""
        return PLANTS if self.plant else GROUPS

    @property
    def key(self) -> str:
        """Its own key."""
        return self.plant.key if self.plant else self.group.key

    @property
    def name(self) -> str:
        """How it is called."""
        return self.plant.common if self.plant else self.group.name

    @property
    def layer(self) -> str:
        """The layer of the engine that its own lines are in."""
        return "plant" if self.plant else "firm"

    @property
    def kept_with(self) -> dict[str, Any]:
        """By what its rows are found."""
        return {"plant": self.plant} if self.plant else {"group": self.group}


@dataclass(frozen=True, kw_only=True)
class OwnLine:
    """One line as it stands: what lies below, what the firm says, what holds.

    BELOW is None for a line that only the firm wrote; ROW is None where the firm says
    nothing; HOLDS is the whole line as it would be if it were switched on.
    """

    target: Target
    part: str
    key: str
    below: Mapping[str, Any] | None
    below_layer: str
    row: Row | None
    holds: Line
    reasons: Sequence[str]

    @property
    def version(self) -> int:
        """The version of the firm's row; 0 where there is none."""
        return self.row.version if self.row else 0

    @property
    def is_off(self) -> bool:
        """Whether the firm switched it off."""
        return bool(self.row and self.row.spec.get("off"))

    @property
    def is_new(self) -> bool:
        """Whether there is no line below that it changes."""
        return self.below is None

    @property
    def changed(self) -> list[str]:
        """The parts in which the firm says something else than the line below."""
        if self.row is None or self.below is None:
            return []
        return list(change_of(self.part, self.below, self.holds))

    @property
    def stands(self) -> Line | None:
        """The line below with every part written out."""
        return None if self.below is None else plain_line(self.part, self.below)


def change_to(stands: OwnLine | None, part: str, wanted: Line) -> Line | None:
    """What the firm has to say so that WANTED holds; None where it is said below."""
    change = change_of(part, stands.below if stands else None, wanted)
    return change or None


def target(*, of: str, key: str) -> Target | None:
    """The group or the plant of that key; None when there is none."""
    if of == GROUPS:
        group = Group.objects.filter(key=key).first()
        return Target(group=group) if group else None
    if of == PLANTS:
        plant = Plant.objects.select_related("group").filter(key=key).first()
        return Target(group=plant.group, plant=plant) if plant else None
    return None


def target_layers(target: Target) -> dict[str, Any]:
    """What each layer says about it."""
    if target.plant is None:
        return layers_of(target.group)
    return layered_specs([target.plant])[target.plant.pk]


def engine_of(target: Target) -> care.Group:
    """The target's care as it holds now."""
    return care.fit_layers(**target_layers(target))


def lines_below(target: Target, part: str) -> dict[str, tuple[Line, str]]:
    """What stands below the target's own lines, by key, with the layer of each."""
    return _below(target, part, target_layers(target))


def _below(
    target: Target, part: str, layers: Mapping[str, Any]
) -> dict[str, tuple[Line, str]]:
    found = {
        line["key"]: (dict(line), "shipped") for line in layers["shipped"].get(part, ())
    }
    if target.plant is None:
        return found
    base = {name: spec for name, spec in layers.items() if name != "plant"}
    unfit = {line.key for line in care.fit_layers(**base).left_out if line.part == part}
    for line in (layers.get("firm") or {}).get(part, ()):
        key = line["key"]
        if key in unfit:
            continue
        if line.get("off"):
            found.pop(key, None)
            continue
        found[key] = (over(found.get(key, ({}, ""))[0], line), "firm")
    for row in MODELS[part]._default_manager.filter(
        plant=target.plant, layer=Layer.SHIPPED
    ):
        found[row.key] = (over(found.get(row.key, ({}, ""))[0], row.spec), "plant")
    return found


def as_laid(
    target: Target, part: str, key: str, line: Mapping[str, Any] | None
) -> Line | None:
    """The line KEY as its layer has it: with what the catalogue says of the plant."""
    if target.plant is None:
        return None if line is None else {**line, "key": key}
    shipped = (
        MODELS[part]
        ._default_manager.filter(plant=target.plant, layer=Layer.SHIPPED, key=key)
        .first()
    )
    if shipped is None:
        return None if line is None else {**line, "key": key}
    return {**shipped.spec, **(line or {}), "key": key}


def own_line(*, target: Target, part: str, key: str) -> OwnLine | None:
    """The line KEY of the target; None when neither a catalogue nor the firm has it."""
    layers = target_layers(target)
    below, layer = _below(target, part, layers).get(key, (None, ""))
    row = (
        MODELS[part]
        ._default_manager.filter(**target.kept_with, layer=Layer.FIRM, key=key)
        .first()
    )
    if below is None and row is None:
        return None
    left = care.fit_layers(**layers).left_out
    return OwnLine(
        target=target,
        part=part,
        key=key,
        below=below,
        below_layer=layer,
        row=row,
        holds=plain_line(part, over(below, row.spec if row else {})),
        reasons=[
            reason
            for line in left
            if (line.layer, line.part, line.key) == (target.layer, part, key)
            for reason in line.reasons
        ],
    )


def keys_in_use(target: Target) -> set[str]:
    """Every key of a line of the target, of any layer and either part."""
    layers = target_layers(target)
    return {
        line["key"]
        for name in ("shipped", "firm", "plant")
        for part in (RULES, CLOSED)
        for line in (layers.get(name) or {}).get(part, ())
    }


def whole_lines(group: Group) -> dict[str, list[Line]]:
    """The rules and closed seasons of a group as they hold, each written out whole.

    What follows from the wood it flowers on is written nowhere and left out.
    """
    layers = layers_of(group)
    engine = care.fit_layers(**layers)
    unfit = {(left.layer, left.part, left.key) for left in engine.left_out}
    holding = {
        RULES: [rule.key for rule in engine.rules],
        CLOSED: [season.key for season in engine.closed],
    }
    found: dict[str, list[Line]] = {RULES: [], CLOSED: []}
    for part, keys in holding.items():
        for key in keys:
            said: Line = {}
            for layer in ("shipped", "firm"):
                for line in (layers.get(layer) or {}).get(part, ()):
                    if line.get("key") == key and (layer, part, key) not in unfit:
                        said = over(said, line)
            if said:
                whole = change_of(part, None, plain_line(part, said))
                found[part].append({**whole, "key": key})
    return found
