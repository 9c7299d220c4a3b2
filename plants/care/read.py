"""Reading a group's specification, with a word on everything that is wrong in it."""

from collections.abc import Mapping
from typing import Any

from plants.care.built_in import built_in_seasons
from plants.care.faults import FaultReader
from plants.care.group import (
    Bloom,
    ClosedSeason,
    Conditions,
    DegreeDays,
    FollowUp,
    Group,
    Limits,
    Moment,
    Repeat,
    Rule,
    RuleError,
    Timing,
)
from plants.care.proof import contradictions
from plants.care.regions import REGIONS
from plants.care.vocabulary import (
    ANCHORS,
    BUDS,
    COMMON_PRACTICE,
    DRAWINGS,
    EVERGREEN,
    FROST,
    GDD_METHODS,
    KINDS,
    LAYERS,
    PURPOSES,
    RENOVATION_AGE_YEARS,
    TASKS,
    WOODS,
)

Spec = Mapping[str, Any]

RULE_FIELDS = (
    "key",
    "task",
    "purpose",
    "window",
    "limits",
    "conditions",
    "repeat",
    "follow_up",
    "drawing",
    "minutes",
    "how",
    "where",
    "why",
    "harm",
    "source",
    "layer",
)
CLOSED_FIELDS = (
    "key",
    "tasks",
    "from",
    "to",
    "except_purposes",
    "why",
    "source",
    "layer",
)
FORBID_FIELDS = ("key", "tasks", "except_purposes", "why", "source", "layer")

_NOWHERE = Moment("year_start", 0)


def read_group(spec: Spec) -> Group:
    """The group of a specification, or RuleError with every fault found.

    Fields that are no matter of care (light, pH, size and so on) are passed over.
    """
    reader = _Reader(str(spec.get("key", "?")))
    rules = [
        rule
        for number, given in enumerate(reader.list(spec.get("rules", ()), "rules"))
        if (rule := reader.rule(given, number)) is not None
    ]
    seasons = [
        season
        for number, given in enumerate(reader.list(spec.get("closed", ()), "closed"))
        if (season := reader.season(given, number)) is not None
    ]
    seasons.extend(
        season
        for number, given in enumerate(reader.list(spec.get("forbid"), "forbid"))
        if (season := reader.forbidden(given, number)) is not None
    )
    reader.one_each([rule.key for rule in rules], "rule")
    reader.one_each([season.key for season in seasons], "closed season")
    kind = reader.word(spec.get("kind"), "kind", KINDS)
    wood = reader.word(spec.get("wood"), "wood", WOODS)
    bloom = reader.bloom(spec.get("bloom"), spec.get("local_bloom"))
    built_in = built_in_seasons(kind, wood, bloom)
    written = {season.key for season in seasons}
    group = Group(
        key=reader.key(spec.get("key"), "key"),
        name=reader.text(spec.get("name"), "name", needed=True),
        kind=kind,
        evergreen=reader.word(spec.get("evergreen"), "evergreen", EVERGREEN),
        buds=reader.word(spec.get("buds"), "buds", BUDS),
        wood=wood,
        bloom=bloom,
        rules=tuple(rules),
        closed=(
            *(season for season in built_in if season.key not in written),
            *seasons,
        ),
        spec=dict(spec),
    )
    # Dates of a half-read group would only repeat the faults already named.
    messages = reader.messages or contradictions(group)
    if messages:
        raise RuleError(messages)
    return group


def read_timing(spec: Spec) -> Timing:
    """What a group's anchors depend on, without its rules; for lists of many plants.

    A bloom that cannot be read is none.
    """
    reader = _Reader(str(spec.get("key", "?")))
    bloom = reader.bloom(spec.get("bloom"), spec.get("local_bloom"))
    return Timing(None if reader.messages else bloom, str(spec.get("wood", "none")))


class _Reader(FaultReader):
    """Reads the parts of a group."""

    def source(self, value: object) -> str:
        """A source key or the words that there is none."""
        if value is None or value == "":
            self.say("source", f"name a source key or say {COMMON_PRACTICE!r}")
            return COMMON_PRACTICE
        return self.text(value, "source", needed=True)

    def layer(self, value: object) -> str:
        """Who wrote the line; the shipped catalogue when it does not say."""
        return "shipped" if value is None else self.word(value, "layer", LAYERS)

    def bloom(self, value: object, local: object = None) -> Bloom | None:
        """When the group flowers; None when it does not matter."""
        if value is None:
            return None
        if not isinstance(value, Mapping):
            self.say("bloom", f"{value!r} does not name its values")
            return None
        months = self.list(value.get("months"), "bloom.months")
        if len(months) != 2:
            self.say("bloom.months", "the first and the last month are needed")
            return None
        first = self.whole(months[0], "bloom.months", 1, 12)
        last = self.whole(months[1], "bloom.months", 1, 12)
        region = self.word(value.get("region"), "bloom.region", tuple(REGIONS))
        gdd_first = self.number(value.get("gdd50_first"), "bloom.gdd50_first", 0, 6000)
        gdd_last = self.number(value.get("gdd50_last"), "bloom.gdd50_last", 0, 6000)
        if gdd_last is not None and (gdd_first is None or gdd_last <= gdd_first):
            self.say("bloom.gdd50_last", "bloom ends after gdd50_first, not before it")
        if first is None or last is None:
            return None
        return Bloom(
            first_month=first,
            last_month=last,
            region=region,
            gdd50_first=gdd_first,
            gdd50_last=gdd_last,
            source=self.text(value.get("source"), "bloom.source"),
            local=None if local is None else self.degree_days(local),
        )

    def degree_days(self, value: object) -> DegreeDays | None:
        """The degree days of one place."""
        field = "local_bloom"
        given = self.mapping(value, field, DegreeDays._fields)
        first = self.number(given.get("first"), f"{field}.first", 0, 6000)
        last = self.number(given.get("last"), f"{field}.last", 0, 6000)
        method = self.word(given.get("method"), f"{field}.method", GDD_METHODS)
        if first is None:
            self.say(f"{field}.first", "the total at the first flowers is missing")
            return None
        if last is not None and last <= first:
            self.say(f"{field}.last", "bloom ends after its first flowers")
        return DegreeDays(
            first=first,
            last=last,
            method="modified" if method == "modified" else "average",
            layer=self.layer(given.get("layer")),
            place=self.text(given.get("place"), f"{field}.place", needed=True),
            source=self.source(given.get("source")),
            seen=self.whole(given.get("seen", 0), f"{field}.seen", 0, 100_000) or 0,
        )

    def moment(self, value: object, field: str) -> Moment:
        """Days from an anchor."""
        given = self.mapping(value, field, ("anchor", "days"))
        return self._moment(
            given.get("anchor"), given.get("days"), field, f"{field}.days"
        )

    def _moment(
        self, anchor: object, days: object, field: str, days_field: str
    ) -> Moment:
        name = self.word(anchor, f"{field}.anchor", ANCHORS)
        if days is None:
            self.say(days_field, "days from the anchor are missing")
        return Moment(name, self.whole(days, days_field, -366, 800) or 0)

    def window(self, value: object) -> tuple[Moment, Moment, Moment, bool]:
        """Earliest, best and latest moment, and whether it is always open."""
        nothing = (_NOWHERE, _NOWHERE, _NOWHERE)
        if not isinstance(value, Mapping) or not value:
            self.say("window", "a window is missing")
            return *nothing, True
        if "always" in value:
            self.mapping(value, "window", ("always",))
            if value["always"] is not True:
                self.say("window.always", "always is true or is left out")
            return *nothing, True
        if "anchor" in value:
            names = ("earliest", "best", "latest")
            given = self.mapping(value, "window", ("anchor", *names))
            first, best, last = (
                self._moment(
                    given.get("anchor"), given.get(name), "window", f"window.{name}"
                )
                for name in names
            )
            return first, best, last, False
        given = self.mapping(value, "window", ("from", "best", "to"))
        first, best, last = (
            self.moment(given.get(name), f"window.{name}")
            for name in ("from", "best", "to")
        )
        return first, best, last, False

    def limits(self, value: object) -> Limits:
        """How much may come off and what stays."""
        names = ("share_removed_max", "height_left_m", "cut")
        given = self.mapping(value, "limits", names)
        height = given.get("height_left_m")
        field = "limits.height_left_m"
        heights: tuple[float, float] | None = None
        if height is not None:
            ends = self.list(height, field) if isinstance(height, list) else [height]
            read = [self.number(end, field, 0, 20) for end in ends]
            low, high = (read[0], read[-1]) if read else (None, None)
            if len(read) not in (1, 2):
                self.say(field, "give one height or the lowest and the highest")
            elif low is not None and high is not None:
                if low > high:
                    self.say(field, f"{low} m is over {high} m")
                heights = low, high
        return Limits(
            share_removed_max=self.number(
                given.get("share_removed_max"), "limits.share_removed_max", 0, 1
            ),
            height_left_m=heights,
            cut=self.text(given.get("cut"), "limits.cut"),
        )

    def conditions(self, value: object, *, renovates: bool) -> Conditions:
        """What must hold for the planting."""
        given = self.mapping(value, "conditions", Conditions._fields)
        least = self.number(
            given.get("age_years_min"), "conditions.age_years_min", 0, 500
        )
        most = self.number(
            given.get("age_years_max"), "conditions.age_years_max", 0, 500
        )
        above = self.number(given.get("ph_above"), "conditions.ph_above", 3, 10)
        below = self.number(given.get("ph_below"), "conditions.ph_below", 3, 10)
        if least is not None and most is not None and least > most:
            self.say("conditions", f"no age is over {least} and under {most} years")
        if above is not None and below is not None and above >= below:
            self.say("conditions", f"no pH is over {above} and under {below}")
        irrigated = given.get("irrigated")
        if irrigated is not None and not isinstance(irrigated, bool):
            self.say("conditions.irrigated", f"{irrigated!r} is not true or false")
            irrigated = None
        frost = given.get("frost")
        if frost is not None:
            frost = self.word(frost, "conditions.frost", FROST)
        if renovates and least is None and most is None:
            least = RENOVATION_AGE_YEARS
        return Conditions(least, most, irrigated, above, below, frost)

    def repeat(self, value: object) -> Repeat | None:
        """Every so many years, or days inside the window."""
        if value is None:
            return None
        given = self.mapping(value, "repeat", Repeat._fields)
        years = self.whole(given.get("every_years"), "repeat.every_years", 1, 50)
        days = self.whole(given.get("every_days"), "repeat.every_days", 1, 366)
        if years is None and days is None:
            self.say("repeat", "say every_years or every_days")
            return None
        shares = self.whole(given.get("for_years"), "repeat.for_years", 2, 10) or 1
        apart = self.whole(given.get("years_apart"), "repeat.years_apart", 1, 5) or 1
        span = (shares - 1) * apart + 1
        if span > 1 and (years is None or years <= span):
            self.say(
                "repeat.for_years",
                f"{shares} shares take {span} years: every_years must be more",
            )
        return Repeat(years, days, shares, apart)

    def follow_up(self, value: object) -> FollowUp | None:
        """The rule that is due after this one."""
        if value is None:
            return None
        given = self.mapping(value, "follow_up", FollowUp._fields)
        days = self.whole(given.get("within_days"), "follow_up.within_days", 1, 366)
        if given.get("within_days") is None:
            self.say("follow_up.within_days", "the days are missing")
        return FollowUp(self.key(given.get("rule"), "follow_up.rule"), days or 1)

    def rule(self, value: object, number: int) -> Rule | None:
        """One rule, or None when it is no rule at all."""
        if not isinstance(value, Mapping):
            self.say(f"rules[{number}]", f"{value!r} is not a rule")
            return None
        self.where.append(str(value.get("key") or f"rules[{number}]"))
        given = self.mapping(value, "rule", RULE_FIELDS)
        task = self.word(given.get("task"), "task", TASKS)
        purpose = self.word(given.get("purpose", "none"), "purpose", PURPOSES)
        first, best, last, always = self.window(given.get("window"))
        rule = Rule(
            key=self.key(given.get("key"), "key"),
            task=task,
            purpose=purpose,
            first=first,
            best=best,
            last=last,
            always=always,
            limits=self.limits(given.get("limits")),
            conditions=self.conditions(
                given.get("conditions"), renovates="renovat" in f"{task} {purpose}"
            ),
            repeat=self.repeat(given.get("repeat")),
            follow_up=self.follow_up(given.get("follow_up")),
            drawing=self.word(given.get("drawing", "none"), "drawing", DRAWINGS),
            minutes=self.number(given.get("minutes", 0), "minutes", 0, 1440) or 0,
            how=self.text(given.get("how"), "how"),
            where=self.text(given.get("where"), "where"),
            why=self.text(given.get("why"), "why"),
            harm=self.text(given.get("harm"), "harm"),
            source=self.source(given.get("source")),
            layer=self.layer(given.get("layer")),
        )
        self.where.pop()
        return rule

    def forbidden(self, value: object, number: int) -> ClosedSeason | None:
        """Tasks that an instruction forbids all year, as a season without ends."""
        if not isinstance(value, Mapping):
            self.say(f"forbid[{number}]", f"{value!r} is not an instruction")
            return None
        key = value.get("key") or f"forbid-{number + 1}"
        self.where.append(str(key))
        given = self.mapping(value, "forbid", FORBID_FIELDS)
        tasks = self.words(given.get("tasks"), "tasks", TASKS)
        if not tasks:
            self.say("tasks", "name the tasks that are forbidden")
        season = ClosedSeason(
            key=self.key(key, "key"),
            tasks=tasks,
            first=None,
            last=None,
            except_purposes=self.words(
                given.get("except_purposes"), "except_purposes", PURPOSES
            ),
            why=self.text(given.get("why"), "why", needed=True),
            source=self.text(given.get("source"), "source") or "instruction",
            layer=self.layer(given.get("layer")),
        )
        self.where.pop()
        return season

    def season(self, value: object, number: int) -> ClosedSeason | None:
        """One closed season, or None when it is none at all."""
        if not isinstance(value, Mapping):
            self.say(f"closed[{number}]", f"{value!r} is not a closed season")
            return None
        self.where.append(str(value.get("key") or f"closed[{number}]"))
        given = self.mapping(value, "closed", CLOSED_FIELDS)
        tasks = self.words(given.get("tasks"), "tasks", TASKS)
        if not tasks:
            self.say("tasks", "name the tasks that do harm")
        season = ClosedSeason(
            key=self.key(given.get("key"), "key"),
            tasks=tasks,
            first=self.moment(given.get("from"), "from"),
            last=self.moment(given.get("to"), "to"),
            except_purposes=self.words(
                given.get("except_purposes"), "except_purposes", PURPOSES
            ),
            why=self.text(given.get("why"), "why", needed=True),
            source=self.source(given.get("source")),
            layer=self.layer(given.get("layer")),
        )
        self.where.pop()
        return season
