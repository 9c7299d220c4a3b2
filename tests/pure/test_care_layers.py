"""Layers of rules: the nearest wins and says so; instructions forbid."""

from datetime import date

import pytest

from plants.care import (
    RuleError,
    care_year,
    closed_on,
    merge_layers,
    unidentified_group,
    unidentified_rules,
)
from tests.pure.care_gardens import DEAD_WOOD, group, rule, virginia

SHIPPED = group("old", rules=[rule("main-cut"), DEAD_WOOD])
SCREEN = {
    "forbid": [
        {
            "tasks": ["prune", "thin", "shear", "cut down", "renovate"],
            "why": "Never cut: it screens the bedroom window.",
        }
    ]
}


def layers(found) -> dict[str, str]:
    return {line.key: line.layer for line in found.rules}


def test_the_nearest_layer_wins_by_key_and_each_line_says_whose_it_is():
    found = merge_layers(
        SHIPPED,
        firm={
            "rules": [
                rule("main-cut", minutes=20),
                rule("firm-look", task="inspect", purpose="none", limits=None),
            ]
        },
        plant={"rules": [{"key": "main-cut", "limits": {"share_removed_max": 0.2}}]},
        garden={"rules": [{"key": "firm-look", "off": True}]},
    )
    assert layers(found) == {"main-cut": "plant", "dead-wood": "shipped"}
    cut = found.rule("main-cut")
    assert cut.limits.share_removed_max == 0.2
    assert cut.minutes == 20
    assert layers(merge_layers(SHIPPED)) == {
        "main-cut": "shipped",
        "dead-wood": "shipped",
    }


def test_a_field_set_to_nothing_falls_away():
    shipped = group("old", rules=[rule("main-cut", conditions={"age_years_min": 4})])
    kept = merge_layers(shipped, firm={"rules": [{"key": "main-cut", "minutes": 5}]})
    assert kept.rule("main-cut").conditions.age_years_min == 4
    gone = merge_layers(
        shipped, firm={"rules": [{"key": "main-cut", "conditions": None}]}
    )
    assert gone.rule("main-cut").conditions.age_years_min is None


def test_merging_changes_none_of_the_layers():
    firm = {"rules": [{"key": "main-cut", "minutes": 5}]}
    merge_layers(SHIPPED, firm=firm)
    assert SHIPPED["rules"][0]["minutes"] == 10
    assert firm == {"rules": [{"key": "main-cut", "minutes": 5}]}


def test_equal_layers_give_the_very_same_group():
    again = group("old", rules=[rule("main-cut"), DEAD_WOOD])
    assert merge_layers(SHIPPED) is merge_layers(again)
    assert merge_layers(SHIPPED) is not merge_layers(SHIPPED, garden=SCREEN)


def test_a_nearer_line_is_proved_like_a_shipped_one():
    march = {"anchor": "late_winter", "earliest": 0, "best": 13, "latest": 40}
    with pytest.raises(RuleError, match="hangs on bloom_end or bud_set"):
        merge_layers(SHIPPED, firm={"rules": [{"key": "main-cut", "window": march}]})
    with pytest.raises(RuleError, match="old-wood / new-line / window"):
        merge_layers(SHIPPED, planting={"rules": [{"key": "new-line"}]})


def test_a_plant_may_flower_on_other_wood_than_its_group():
    march = {"anchor": "late_winter", "earliest": 0, "best": 13, "latest": 40}
    found = merge_layers(
        SHIPPED,
        plant={"wood": "new", "rules": [{"key": "main-cut", "window": march}]},
    )
    assert found.wood == "new"
    assert found.rule("main-cut").best.anchor == "late_winter"
    # The same override without the wood contradicts the group and is refused.
    with pytest.raises(RuleError):
        merge_layers(SHIPPED, plant={"rules": [{"key": "main-cut", "window": march}]})


def test_an_instruction_forbids_cuts_but_leaves_dead_wood_open():
    found = merge_layers(SHIPPED, garden=SCREEN)
    year = care_year(
        group=found, climate=virginia(), start=date(2026, 1, 1), age_years=6
    )
    assert [window.rule.key for window in year] == ["dead-wood"]
    free = care_year(
        group=merge_layers(SHIPPED),
        climate=virginia(),
        start=date(2026, 1, 1),
        age_years=6,
    )
    assert {window.rule.key for window in free} == {"dead-wood", "main-cut"}
    closed = closed_on(
        date(2026, 6, 14), "prune", "flower", group=found, climate=virginia()
    )
    assert closed is not None
    assert (closed.why, closed.layer, closed.last) == (
        "Never cut: it screens the bedroom window.",
        "garden",
        None,
    )
    assert (
        closed_on(
            date(2026, 6, 14), "dead wood", "dead wood", group=found, climate=virginia()
        )
        is None
    )


def test_an_instruction_that_names_dead_wood_closes_it_too():
    found = merge_layers(
        SHIPPED,
        planting={"forbid": [{"tasks": ["dead wood"], "why": "Left for the owls."}]},
    )
    closed = closed_on(
        date(2026, 2, 1), "dead wood", "dead wood", group=found, climate=virginia()
    )
    assert closed is not None
    assert (closed.why, closed.layer) == ("Left for the owls.", "planting")


def test_a_gardens_closed_season_shuts_a_shipped_rule_without_a_quarrel():
    nesting = {
        "key": "birds-nest",
        "tasks": ["prune", "thin", "shear"],
        "from": {"anchor": "leaf_out", "days": 0},
        "to": {"anchor": "midsummer", "days": 10},
        "why": "The owner wants no cut while birds nest.",
        "source": "instruction",
    }
    found = merge_layers(SHIPPED, garden={"closed": [nesting]})
    (cut,) = (
        window
        for window in care_year(
            group=found, climate=virginia(), start=date(2026, 1, 1), age_years=6
        )
        if window.rule.key == "main-cut"
    )
    # 31 May to 10 July, best 14 June; open again on 2 July.
    assert (cut.earliest, cut.best, cut.latest) == (
        date(2026, 7, 2),
        date(2026, 7, 2),
        date(2026, 7, 10),
    )
    with pytest.raises(RuleError, match="closed season 'birds-nest'"):
        merge_layers({**SHIPPED, "closed": [nesting]})


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ({"tasks": [], "why": "No."}, "name the tasks that are forbidden"),
        ({"tasks": ["prune"]}, "why: a text is missing"),
        ({"tasks": ["cut"], "why": "No."}, "'cut' is not one of"),
    ],
)
def test_an_instruction_must_say_what_and_why(line, message):
    with pytest.raises(RuleError, match=message):
        merge_layers(SHIPPED, garden={"forbid": [line]})


def test_an_unidentified_plant_loses_only_dead_wood():
    (line,) = unidentified_rules()
    assert (line.task, line.purpose) == ("dead wood", "dead wood")
    found = unidentified_group()
    year = care_year(group=found, climate=virginia(), start=date(2026, 1, 1))
    assert [window.rule.task for window in year] == ["dead wood"]
    closed = closed_on(
        date(2026, 6, 1), "prune", "structure", group=found, climate=virginia()
    )
    assert closed is not None
    assert closed.why == "The plant is not identified: only dead wood may be cut."


def test_a_layer_that_is_no_data_is_refused():
    with pytest.raises(RuleError, match="old-wood: Object of type date"):
        merge_layers(SHIPPED, firm={"rules": [rule("x", why=date(2026, 1, 1))]})
