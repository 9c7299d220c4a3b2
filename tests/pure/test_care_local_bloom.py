"""Bloom by the degree days of one place, laid over the region's months."""

from datetime import date, timedelta

import pytest

from plants.care import (
    Bloom,
    Group,
    RuleError,
    anchors,
    degree_days_here,
    merge_layers,
    moves,
    read_group,
)
from tests.pure.care_gardens import mirrored, virginia

SPEC = {
    "key": "old-shrub",
    "name": "Old-wood shrub",
    "kind": "shrub",
    "evergreen": "no",
    "buds": "opposite",
    "wood": "old",
    "bloom": {"months": [4, 5], "region": "mid-atlantic", "source": "a-page"},
    "rules": [
        {
            "key": "cut",
            "task": "prune",
            "purpose": "flower",
            "window": {"anchor": "bloom_end", "earliest": 0, "best": 7, "latest": 21},
            "source": "common practice",
        }
    ],
}
LOCAL = {
    "first": 150,
    "last": 420,
    "method": "average",
    "layer": "firm",
    "place": "Fernhollow",
    "source": "common practice",
    "seen": 4,
}


def bloom_of(group: Group) -> Bloom:
    assert group.bloom is not None
    return group.bloom


def test_a_places_own_degree_days_go_before_the_regions_months() -> None:
    here = virginia()
    months = anchors(climate=here, group=merge_layers(SPEC), year=2026)
    own = anchors(climate=here, group=merge_layers(SPEC, local=LOCAL), year=2026)

    assert months["bloom_start"] == date(2026, 4, 1)
    assert own["bloom_start"] == here.degree_days_reached(150, 2026)
    assert own["bloom_end"] == here.degree_days_reached(420, 2026)
    assert own["bloom_start"] != months["bloom_start"]


def test_without_a_last_total_the_length_of_bloom_stays_that_of_the_months() -> None:
    here = virginia()
    months = anchors(climate=here, group=merge_layers(SPEC), year=2026)
    local = {**LOCAL, "last": None}
    own = anchors(climate=here, group=merge_layers(SPEC, local=local), year=2026)

    length = months["bloom_end"] - months["bloom_start"]  # type: ignore[operator]
    assert own["bloom_end"] - own["bloom_start"] == length  # type: ignore[operator]


def test_a_place_that_never_gets_so_warm_keeps_the_months() -> None:
    here = virginia()
    local = {**LOCAL, "first": 5900, "last": None}

    assert anchors(climate=here, group=merge_layers(SPEC, local=local), year=2026) == (
        anchors(climate=here, group=merge_layers(SPEC), year=2026)
    )


def test_the_method_of_counting_belongs_to_the_total() -> None:
    here = virginia()
    lifted = {**LOCAL, "method": "modified"}
    day = anchors(climate=here, group=merge_layers(SPEC, local=lifted), year=2026)

    assert day["bloom_start"] == here.degree_days_reached(150, 2026, method="modified")
    assert day["bloom_start"] < here.degree_days_reached(150, 2026)  # type: ignore[operator]


def test_south_of_the_equator_the_totals_count_from_july() -> None:
    south = mirrored(virginia())
    found = anchors(climate=south, group=merge_layers(SPEC, local=LOCAL), year=2026)

    assert found["bloom_start"] == south.degree_days_reached(150, 2026)
    assert date(2026, 9, 1) < found["bloom_start"] < date(2026, 12, 1)  # type: ignore[operator]


def test_it_is_said_who_put_the_degree_days_down() -> None:
    own = bloom_of(merge_layers(SPEC, local=LOCAL))
    known = degree_days_here(virginia(), own)

    assert known is not None
    assert (known.layer, known.place, known.seen) == ("firm", "Fernhollow", 4)
    assert degree_days_here(virginia(), bloom_of(merge_layers(SPEC))) is None


def test_equal_degree_days_give_the_very_same_group() -> None:
    assert merge_layers(SPEC, local=dict(LOCAL)) is merge_layers(SPEC, local=LOCAL)
    assert merge_layers(SPEC, local=LOCAL) is not merge_layers(SPEC)


def test_a_group_whose_flowers_do_not_matter_takes_no_degree_days() -> None:
    plain = {**SPEC, "bloom": None, "wood": "none", "rules": []}

    assert merge_layers(plain, local=LOCAL).bloom is None


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"first": None}, "local_bloom.first: the total at the first flowers"),
        ({"last": 100}, "local_bloom.last: bloom ends after its first flowers"),
        ({"method": "guess"}, "local_bloom.method"),
        ({"place": ""}, "local_bloom.place"),
        ({"first": 9000}, "local_bloom.first"),
        ({"colour": "red"}, "local_bloom"),
    ],
)
def test_degree_days_that_cannot_be_are_refused(
    change: dict[str, object], fault: str
) -> None:
    with pytest.raises(RuleError) as refused:
        read_group({**SPEC, "local_bloom": {**LOCAL, **change}})

    assert any(fault in message for message in refused.value.messages)


def test_rules_are_proved_against_the_region_and_not_against_one_place() -> None:
    # In its region's months the cut is sound; far off degree days prove nothing.
    assert merge_layers(SPEC, local={**LOCAL, "first": 3000, "last": None}).rules


def test_a_move_says_how_far_what_was_seen_lies_from_what_was_computed() -> None:
    group = merge_layers(SPEC)
    here = virginia()
    plain = anchors(climate=here, group=group, year=2026)
    start, end = plain["bloom_start"], plain["bloom_end"]
    assert start is not None
    assert end is not None
    seen = {
        "bloom_start": start + timedelta(days=9),
        "bloom_end": end + timedelta(days=12),
    }

    found = moves(climate=here, group=group, year=2026, observed=seen)

    assert [(move.anchor, move.days) for move in found] == [
        ("bloom_start", 9),
        # Not the three days more than the seen start had moved it already.
        ("bloom_end", 12),
    ]
    assert (found[0].computed, found[1].computed) == (start, end)
    assert anchors(climate=here, group=group, year=2026, observed=seen)[
        "bloom_end"
    ] == end + timedelta(days=12)
    assert moves(climate=here, group=group, year=2027, observed=seen) == []
    assert moves(climate=here, group=group, year=2026, observed=None) == []
