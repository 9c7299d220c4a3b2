"""Reading a group: what is taken, and what is refused with its place named."""

import pytest

from plants.care import Limits, Moment, RuleError, read_group
from tests.pure.care_gardens import DEAD_WOOD, group, rule

AFTER_BLOOM = {"anchor": "bloom_end", "earliest": 0, "best": 14, "latest": 40}


def faults(spec) -> list[str]:
    with pytest.raises(RuleError) as caught:
        read_group(spec)
    return caught.value.messages


def with_rule(wood: str = "old", **changes):
    traits = changes.pop("traits", {})
    return group(wood, rules=[rule("line", **changes)], **traits)


def test_a_group_in_order_is_read_whole():
    found = read_group(
        group(
            "old",
            evergreen=False,  # a bare `no` in a YAML file
            rules=[
                rule(
                    "cut",
                    limits={
                        "share_removed_max": 0.33,
                        "height_left_m": [0.15, 0.3],
                        "cut": "above a pair",
                    },
                    follow_up={"rule": "feed", "within_days": 21},
                ),
                rule("feed", task="feed", purpose="none", limits=None),
                DEAD_WOOD,
            ],
        )
    )
    assert (found.key, found.evergreen, found.wood) == ("old-wood", "no", "old")
    cut, feed, dead = found.rules
    assert cut.limits == Limits(0.33, (0.15, 0.3), "above a pair")
    assert cut.first == Moment("bloom_end", 0)
    assert cut.follow_up == ("feed", 21)
    assert cut.layer == "shipped"
    assert feed.limits == Limits()
    assert dead.always
    assert [season.key for season in found.closed] == ["flower-buds-set"]


def test_one_height_is_both_ends():
    found = read_group(
        with_rule(
            "new",
            limits={"height_left_m": 0.3},
            window={"anchor": "late_winter", "earliest": 0, "best": 10, "latest": 30},
        )
    )
    assert found.rules[0].limits.height_left_m == (0.3, 0.3)


@pytest.mark.parametrize(
    ("changes", "place", "message"),
    [
        ({"task": "topping"}, "task", "'topping' is not one of prune, thin"),
        ({"purpose": "beauty"}, "purpose", "'beauty' is not one of"),
        ({"drawing": "saw"}, "drawing", "'saw' is not one of"),
        ({"minutes": -1}, "minutes", "-1 is not a number from 0 to 1440"),
        ({"minutes": True}, "minutes", "True is not a number"),
        ({"source": ""}, "source", "name a source key or say 'common practice'"),
        ({"colour": "red"}, "rule", "'colour' is not known"),
        ({"limits": {"share": 1}}, "limits", "'share' is not known"),
        (
            {"limits": {"share_removed_max": 1.2}},
            "limits.share_removed_max",
            "1.2 is not a number from 0 to 1",
        ),
        (
            {"limits": {"height_left_m": [0.4, 0.2]}},
            "limits.height_left_m",
            "0.4 m is over 0.2 m",
        ),
        (
            {"conditions": {"age_years_min": 5, "age_years_max": 2}},
            "conditions",
            "no age is over 5 and under 2 years",
        ),
        (
            {"conditions": {"ph_above": 7, "ph_below": 6}},
            "conditions",
            "no pH is over 7 and under 6",
        ),
        (
            {"conditions": {"irrigated": "yes"}},
            "conditions.irrigated",
            "'yes' is not true or false",
        ),
        ({"conditions": {"frost": "some"}}, "conditions.frost", "'some' is not one of"),
        ({"repeat": {}}, "repeat", "say every_years or every_days"),
        ({"repeat": {"every_days": 7.5}}, "repeat.every_days", "7.5 is not a whole"),
        ({"how": 3}, "how", "3 is not a text"),
        ({"limits": "a third"}, "limits", "'a third' does not name its values"),
        (
            {"limits": {"height_left_m": [0.1, 0.2, 0.3]}},
            "limits.height_left_m",
            "give one height or the lowest and the highest",
        ),
        (
            {"follow_up": {"rule": "feed"}},
            "follow_up.within_days",
            "the days are missing",
        ),
        (
            {"window": {**AFTER_BLOOM, "anchor": "month"}},
            "window.anchor",
            "'month' is not one of last_spring_frost",
        ),
        (
            {"window": {**AFTER_BLOOM, "latest": None}},
            "window.latest",
            "days from the anchor are missing",
        ),
        (
            {"window": {**AFTER_BLOOM, "earliest": 14, "latest": 14}},
            "window",
            "it has no days",
        ),
        (
            {"window": {**AFTER_BLOOM, "best": 50}},
            "window",
            "best day 50 is not between earliest 0 and latest 40",
        ),
        ({"window": {"always": False}}, "window.always", "always is true or"),
        ({"window": {"always": True}}, "window", "only dead wood and inspections"),
    ],
)
def test_a_faulty_rule_is_refused_with_group_rule_and_field(changes, place, message):
    assert read_group(with_rule()).rules[0].key == "line"
    first = faults(with_rule(**changes))[0]
    assert first.startswith(f"old-wood / line / {place}")
    assert message in first


def test_a_rule_without_a_window_is_refused():
    assert faults(with_rule(window=None)) == [
        "old-wood / line / window: a window is missing"
    ]


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"wood": "dead"}, "wood: 'dead' is not one of old, new, both, none"),
        ({"buds": "opposed"}, "buds: 'opposed' is not one of"),
        ({"kind": "bush"}, "kind: 'bush' is not one of"),
        ({"evergreen": "maybe"}, "evergreen: 'maybe' is not one of"),
        ({"name": " "}, "name: a text is missing"),
        ({"key": "Old Wood"}, "key: 'Old Wood' is not a key"),
        ({"bloom": {"months": [4], "region": "mid-atlantic"}}, "bloom.months: the"),
        (
            {"bloom": {"months": [4, 13], "region": "mid-atlantic"}},
            "bloom.months: 13 is not a number from 1 to 12",
        ),
        (
            {"bloom": {"months": [4, 5], "region": "the moon"}},
            "bloom.region: 'the moon' is not one of mid-atlantic",
        ),
        (
            {
                "bloom": {
                    "months": [4, 5],
                    "region": "mid-atlantic",
                    "gdd50_first": 300,
                    "gdd50_last": 200,
                }
            },
            "bloom.gdd50_last: bloom ends after gdd50_first",
        ),
        ({"bloom": "spring"}, "bloom: 'spring' does not name its values"),
        ({"rules": "prune"}, "rules: 'prune' is not a list"),
        ({"closed": ["May"]}, "closed[0]: 'May' is not a closed season"),
        ({"forbid": ["never"]}, "forbid[0]: 'never' is not an instruction"),
        ({"rules": [3]}, "rules[0]: 3 is not a rule"),
        ({"rules": [rule("a"), rule("a")]}, "a: the rule stands there twice"),
    ],
)
def test_a_faulty_group_is_refused(changes, message):
    assert any(message in fault for fault in faults(group("old", **changes)))


def test_every_fault_is_named_at_once():
    found = faults(
        group("old", wood="dead", rules=[rule("a", task="x"), rule("b", purpose="y")])
    )
    assert len(found) == 3


@pytest.mark.parametrize(
    "anchor", ["late_winter", "leaf_out", "midsummer", "bloom_start", "leaf_fall"]
)
def test_an_old_wood_flower_cut_hangs_on_bloom_end_or_bud_set_only(anchor):
    window = {"anchor": anchor, "earliest": 0, "best": 5, "latest": 20}
    for task, purpose in (("prune", "flower"), ("shear", "shape")):
        found = faults(with_rule(task=task, purpose=purpose, window=window))
        assert "hangs on bloom_end or bud_set, not on " + anchor in found[0]
        assert read_group(with_rule(task=task, purpose=purpose, window=AFTER_BLOOM))
    # Structure cuts, renovation, dead wood and fruit are exempt.
    winter = {"anchor": "late_winter", "earliest": 0, "best": 5, "latest": 20}
    assert read_group(with_rule(purpose="structure", window=winter))
    assert read_group(with_rule(task="renovate", purpose="renovation", window=winter))
    assert read_group(with_rule(window=winter, traits={"kind": "fruit"}))


def test_an_old_wood_cut_before_bud_set_is_read_and_after_it_refused():
    before = {"anchor": "bud_set", "earliest": -40, "best": -30, "latest": 0}
    after = {"anchor": "bud_set", "earliest": 0, "best": 5, "latest": 20}
    assert read_group(with_rule(window=before)).rules[0].best == ("bud_set", -30)
    assert (
        "after bud_set a cut takes next year's flowers"
        in faults(with_rule(window=after))[0]
    )


def test_a_new_wood_shape_cut_in_the_growing_season_is_refused():
    # Best months of Virginia Cooperative Extension 430-462 for new wood: November to
    # March; open in late winter, closed from the spring shoots to the end of bloom.
    winter = {"anchor": "late_winter", "earliest": 0, "best": 13, "latest": 40}
    june = {"anchor": "midsummer", "earliest": -20, "best": 0, "latest": 10}
    assert read_group(with_rule("new", window=winter))
    found = faults(with_rule("new", window=june))
    assert "the whole window (21 Jun in the region)" in found[0]
    assert "'flowering-shoots-grow'" in found[0]
    deadhead = with_rule("new", task="deadhead", purpose="deadhead", window=june)
    assert read_group(deadhead)


def test_roses_and_tender_subshrubs_may_be_cut_at_the_last_frost():
    frost = {"anchor": "last_spring_frost", "earliest": -21, "best": -7, "latest": 3}
    assert read_group(with_rule("new", window=frost, traits={"kind": "rose"}))


CLOSED = {
    "key": "sap-runs",
    "tasks": ["prune", "thin"],
    "from": {"anchor": "late_winter", "days": -10},
    "to": {"anchor": "leaf_out", "days": 0},
    "except_purposes": ["hygiene"],
    "why": "Cuts bleed.",
    "source": "common practice",
}


def test_a_window_in_its_own_closed_season_is_refused():
    def maple(best: int):
        return with_rule(
            "none",
            purpose="structure",
            window={"anchor": "leaf_out", "earliest": -30, "best": best, "latest": 60},
            limits={"share_removed_max": 0.25},
            traits={"kind": "tree", "closed": [CLOSED]},
        )

    found = faults(maple(-10))
    assert "its best day (23 Mar in the region)" in found[0]
    assert "closed season 'sap-runs': Cuts bleed." in found[0]
    assert read_group(maple(45)).closed[0].key == "sap-runs"


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"why": ""}, "why: a text is missing"),
        ({"tasks": []}, "tasks: name the tasks that do harm"),
        ({"tasks": ["sing"]}, "tasks: 'sing' is not one of"),
        ({"from": {"anchor": "may", "days": 0}}, "from.anchor: 'may' is not one of"),
        ({"to": {"anchor": "leaf_out"}}, "to.days: days from the anchor are missing"),
        ({"source": None}, "source: name a source key"),
    ],
)
def test_a_faulty_closed_season_is_refused(changes, message):
    found = faults(group("none", rules=[], closed=[{**CLOSED, **changes}]))
    assert found[0].startswith(f"none-wood / sap-runs / {message}")
    assert read_group(group("none", rules=[], closed=[CLOSED]))


@pytest.mark.parametrize(
    ("kind", "share", "refused"),
    [
        # Rule of thirds for shrubs (common practice): panicle types lose a third at
        # most, 35 % is refused.
        ("shrub", 0.33, False),
        ("shrub", 0.35, True),
        # ANSI A300 Part 1, from memory: a quarter of a tree's live crown in a season.
        ("tree", 0.25, False),
        ("tree", 0.3, True),
        # Fruit is pruned for its crop: grapes lose about nine tenths (memory).
        ("fruit", 0.9, False),
    ],
)
def test_a_cut_that_takes_more_than_the_limit_is_refused(kind, share, refused):
    winter = {"anchor": "late_winter", "earliest": 0, "best": 13, "latest": 40}
    spec = with_rule(
        "new",
        window=winter,
        limits={"share_removed_max": share},
        traits={"kind": kind},
    )
    if refused:
        assert f"{share} is more than the" in faults(spec)[0]
    else:
        assert read_group(spec).rules[0].limits.share_removed_max == share


def test_a_hard_cut_is_called_cutting_down():
    # Smooth hydrangea goes down to about 12 in each spring (common practice).
    winter = {"anchor": "late_winter", "earliest": 0, "best": 13, "latest": 40}
    hard = {"share_removed_max": 0.8, "height_left_m": 0.3}
    assert "'cut down'" in faults(with_rule("new", window=winter, limits=hard))[0]
    assert read_group(with_rule("new", task="cut down", window=winter, limits=hard))


def test_follow_ups_must_lead_somewhere_and_not_in_a_circle():
    def chain(*links):
        return group(
            "none",
            rules=[
                rule(
                    key,
                    task="feed",
                    purpose="none",
                    limits=None,
                    window={
                        "anchor": "leaf_out",
                        "earliest": 0,
                        "best": 5,
                        "latest": 30,
                    },
                    follow_up=after and {"rule": after, "within_days": 9},
                )
                for key, after in links
            ],
        )

    assert len(read_group(chain(("a", "b"), ("b", "c"), ("c", None))).rules) == 3
    assert faults(chain(("a", "z"))) == [
        "none-wood / a / follow_up.rule: there is no rule 'z'"
    ]
    assert faults(chain(("a", "b"), ("b", "c"), ("c", "a"))) == [
        "none-wood / a / follow_up: follow-ups run in a circle, a > b > c > a"
    ]
    assert faults(chain(("a", "a"))) == [
        "none-wood / a / follow_up: follow-ups run in a circle, a > a"
    ]


def test_a_rule_cannot_hang_on_a_bloom_that_is_not_there():
    found = faults(group("none", bloom=None, rules=[rule("line", task="deadhead")]))
    assert "hangs on bloom_end, but bloom is null" in found[0]
    buds = {"anchor": "bud_set", "earliest": -30, "best": -20, "latest": 0}
    assert "no old wood flowers" in faults(with_rule("new", window=buds))[0]


def test_renovation_waits_for_an_age_unless_the_rule_says_so():
    winter = {"anchor": "late_winter", "earliest": 0, "best": 13, "latest": 40}
    cut = {"task": "renovate", "purpose": "renovation", "window": winter}
    assert read_group(with_rule(**cut)).rules[0].conditions.age_years_min == 3
    sooner = read_group(with_rule(**cut, conditions={"age_years_min": 1}))
    assert sooner.rules[0].conditions.age_years_min == 1
