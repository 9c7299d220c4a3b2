"""Groups of plants that share their care, their rules and closed seasons."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from plants.care.vocabulary import COMMON_PRACTICE
from plants.climate import GddMethod


class RuleError(ValueError):
    """A group that contradicts itself; MESSAGES name group, rule and field."""

    def __init__(self, messages: list[str]) -> None:
        super().__init__("\n".join(messages))
        self.messages = messages


class Moment(NamedTuple):
    """So many days after an anchor, or before it when negative."""

    anchor: str
    days: int


class FollowUp(NamedTuple):
    """The rule whose work is due within so many days after this one."""

    rule: str
    within_days: int


class Repeat(NamedTuple):
    """Every so many years, or every so many days inside the window.

    Work spread over FOR_YEARS begins every so many years and takes a share in each of
    them, YEARS_APART of one another.
    """

    every_years: int | None
    every_days: int | None
    for_years: int = 1
    years_apart: int = 1


class DegreeDays(NamedTuple):
    """Bloom by the warmth of one place: totals at first flowers and at their end.

    Base 50 F from the new year of the hemisphere, counted by METHOD. LAYER says who
    put them down: "shipped" for a region's table, "firm" for what was seen. PLACE
    names the region or the climate, SEEN how many observations stand behind it.
    """

    first: float
    last: float | None
    method: GddMethod
    layer: str
    place: str
    source: str = COMMON_PRACTICE
    seen: int = 0


class Bloom(NamedTuple):
    """When a group flowers in the region its figures are from.

    LOCAL is how the place itself is known; it goes before the region's figures.
    """

    first_month: int
    last_month: int
    region: str
    gdd50_first: float | None = None
    gdd50_last: float | None = None
    source: str = COMMON_PRACTICE
    local: DegreeDays | None = None


class Timing(NamedTuple):
    """All that a group's own anchors depend on."""

    bloom: Bloom | None
    wood: str


class Limits(NamedTuple):
    """How much a cut may take and what it leaves."""

    share_removed_max: float | None = None
    height_left_m: tuple[float, float] | None = None
    cut: str = ""


class Conditions(NamedTuple):
    """What must be true of a planting for a rule to hold."""

    age_years_min: float | None = None
    age_years_max: float | None = None
    irrigated: bool | None = None
    ph_above: float | None = None
    ph_below: float | None = None
    frost: str | None = None


NO_LIMITS = Limits()
NO_CONDITIONS = Conditions()


@dataclass(frozen=True, eq=False, slots=True)
class Rule:
    """One line of care: a task, when, how far, under which conditions, and why."""

    key: str
    task: str
    purpose: str
    first: Moment
    best: Moment
    last: Moment
    always: bool = False
    limits: Limits = NO_LIMITS
    conditions: Conditions = NO_CONDITIONS
    repeat: Repeat | None = None
    follow_up: FollowUp | None = None
    drawing: str = "none"
    minutes: float = 0
    how: str = ""
    where: str = ""
    why: str = ""
    harm: str = ""
    source: str = COMMON_PRACTICE
    layer: str = "shipped"

    @property
    def takes_dead_wood(self) -> bool:
        """Whether only dead, damaged or diseased wood comes off."""
        return self.task == "dead wood" or self.purpose == "dead wood"

    @property
    def hangs_on_planting(self) -> bool:
        """Whether it comes once, counted from the day of planting."""
        return "planting_day" in (
            self.first.anchor,
            self.best.anchor,
            self.last.anchor,
        )


@dataclass(frozen=True, eq=False, slots=True)
class ClosedSeason:
    """Days on which tasks do harm, both ends in it; without moments all year."""

    key: str
    tasks: tuple[str, ...]
    first: Moment | None
    last: Moment | None
    except_purposes: tuple[str, ...] = ()
    why: str = ""
    source: str = COMMON_PRACTICE
    layer: str = "shipped"

    def holds_for(self, task: str, purpose: str) -> bool:
        """Whether it closes the task for the purpose.

        Dead wood stays open unless a season (a disease, an instruction) names it.
        """
        if task == "dead wood" or purpose == "dead wood":
            return "dead wood" in self.tasks
        return task in self.tasks and purpose not in self.except_purposes


class LeftOut(NamedTuple):
    """A stored line that no longer fits what it was laid over, and why.

    PART is "rules", "closed" or "facts"; KEY is the line's key or the fact's name. PART
    is "group" where not even the group itself can be read.
    """

    layer: str
    part: str
    key: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, eq=False, slots=True)
class Group:
    """Plants that share their care; its rules carry the layer they come from."""

    key: str
    name: str
    kind: str
    evergreen: str
    buds: str
    wood: str
    bloom: Bloom | None
    rules: tuple[Rule, ...]
    closed: tuple[ClosedSeason, ...]
    spec: Mapping[str, Any] = field(repr=False)
    left_out: tuple[LeftOut, ...] = ()

    @property
    def timing(self) -> Timing:
        """What its anchors depend on, the key they are cached under."""
        return Timing(self.bloom, self.wood)

    def rule(self, key: str) -> Rule:
        """The rule of that key; KeyError when there is none."""
        for rule in self.rules:
            if rule.key == key:
                return rule
        raise KeyError(key)
