"""Facts that the trade takes for granted, on the shipped data.

They are check values only: each is marked "common practice, no source" where nothing
better is named beside it.
"""

import copy
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from plants import care
from plants.care.regions import mid_atlantic
from plants.drawings import cut_drawing
from plants.soil import blend
from tests.plants.shipped import catalogue, groups
from tests.pure.care_gardens import virginia, warmer

HYDRANGEAS = sorted(key for key in groups() if "hydrangea" in key)
# Their flowers turn blue or pink with the soil.
COLOUR_DECIDES = {
    "bigleaf-hydrangea",
    "mountain-hydrangea",
    "repeat-bigleaf-hydrangea",
}


def first_year(key: str, **where: Any) -> dict[str, care.Window]:
    """The windows of a year of the group's established plant by rule."""
    given = {"climate": mid_atlantic(), "start": date(2026, 1, 1), **where}
    return {
        window.rule.key: window
        for window in care.care_year(group=groups()[key], **given)
    }


def spec_with_share(key: str, rule_key: str, share: float) -> dict[str, Any]:
    spec = copy.deepcopy(dict(catalogue().groups[key]))
    (rule,) = (rule for rule in spec["rules"] if rule["key"] == rule_key)
    rule["limits"]["share_removed_max"] = share
    return spec


# -- panicle types lose about a third of height and width at most (common practice, no
# source)


def test_a_panicle_hydrangea_may_lose_a_third_and_not_thirty_five_percent() -> None:
    spot = ("panicle-hydrangea", "shorten-in-late-winter")
    assert groups()[spot[0]].rule(spot[1]).limits.share_removed_max == 0.33
    assert care.read_group(spec_with_share(*spot, 1 / 3)).key == spot[0]
    with pytest.raises(care.RuleError) as caught:
        care.read_group(spec_with_share(*spot, 0.35))
    assert caught.value.messages == [
        "panicle-hydrangea / shorten-in-late-winter / limits.share_removed_max: 0.35 "
        "is more than the 0.33 that one cut may take from a shrub; a hard cut is the "
        "task 'cut down' or 'renovate'"
    ]


# -- the cut lies about a quarter inch above the buds, straight across above a pair and
# slanted above a single bud (Kansas State horticulture, hybrid tea roses, page read;
# the pair common practice, no source)


@pytest.mark.parametrize(
    ("drawing", "buds", "words"),
    [
        ("above-pair", "opposite", "straight across"),
        ("above-bud", "alternate", "45"),
    ],
)
def test_the_drawing_says_how_far_above_the_buds_and_how_the_cut_lies(
    drawing: str, buds: str, words: str
) -> None:
    text = cut_drawing(drawing, buds=buds)
    assert "1/4\u00a0in (6\u00a0mm)" in text
    assert words in text


@pytest.mark.parametrize("key", groups())
def test_a_group_of_paired_buds_is_not_shown_a_cut_above_a_single_one(key: str) -> None:
    group = groups()[key]
    wrong = {"opposite": "above-bud", "alternate": "above-pair"}.get(group.buds)
    assert [rule.key for rule in group.rules if rule.drawing == wrong] == []


# -- smooth types go down to about 12 in, weak-stemmed older kinds want a ring (common
# practice, no source)


def test_a_smooth_hydrangea_goes_down_to_twelve_inches() -> None:
    limits = groups()["smooth-hydrangea"].rule("cut-back-in-late-winter").limits
    assert limits.height_left_m is not None
    low, high = (Decimal(str(height)) / Decimal("0.0254") for height in limits[1])
    assert round(low) == 12
    assert round(high) == 18


@pytest.mark.parametrize(
    ("key", "has_ring"),
    [
        ("hydrangea-arborescens-annabelle", True),
        ("hydrangea-arborescens-grandiflora", True),
        ("hydrangea-arborescens-haas-halo", False),
    ],
)
def test_weak_stemmed_older_kinds_want_a_support_ring(key: str, has_ring: bool) -> None:
    rules = catalogue().plants[key].get("rules", [])
    rings = [rule for rule in rules if rule["task"] == "stake"]
    assert bool(rings) == has_ring
    if has_ring:
        assert "ring" in rings[0]["how"]


# -- oak-leaved types are pruned as the flowers brown, in a warm humid zone 7 about the
# end of July, a third at most, and fed soon after while eight weeks remain to the
# median first frost (common practice, no source)


def test_an_oakleaf_hydrangea_is_cut_by_a_third_at_most_at_the_end_of_july() -> None:
    cut = first_year("oakleaf-hydrangea")["shape-after-bloom"]
    assert date(2026, 7, 20) <= cut.best <= date(2026, 7, 31)
    assert cut.latest <= date(2026, 7, 31)
    assert cut.rule.limits.share_removed_max == 0.33
    assert "brown" in cut.rule.how


def test_it_is_fed_soon_after_the_cut() -> None:
    year = first_year("oakleaf-hydrangea")
    cut, feed = year["shape-after-bloom"], year["feed-after-pruning"]
    assert feed.follows == "shape-after-bloom"
    assert timedelta() <= feed.best - cut.best <= timedelta(days=14)
    # Median first frost 26 October (Opal, Virginia): eight weeks before is 31 August.
    assert feed.latest <= date(2026, 8, 31)


@pytest.mark.parametrize("kelvin", [0, -1, -2, -3, -4, -5, -6])
def test_it_is_never_fed_with_less_than_eight_weeks_to_frost(kelvin: int) -> None:
    # Each degree colder brings frost five days earlier here.
    place = warmer(virginia(), kelvin, kelvin * 6)
    frost = place.first_autumn(2026)
    assert frost is not None
    year = first_year("oakleaf-hydrangea", climate=place)
    feeds = [window for window in year.values() if window.rule.task == "feed"]
    assert all(frost - window.latest >= timedelta(days=56) for window in feeds)
    # Next spring's feed is there wherever the summer is too short.
    assert "feed-deciduous-shrub" in year
    cut = year["shape-after-bloom"]
    in_time = frost - cut.best >= timedelta(days=56)
    assert ("feed-after-pruning" in year) == in_time
    assert in_time == (kelvin > -5)


# -- bigleaf types only lose dead tips in spring, late frost being common, and bear
# direct sun until about 9 in the morning in such a place (common practice, no source)


def test_a_bigleaf_hydrangea_loses_only_dead_tips_and_old_heads_in_spring() -> None:
    year = first_year("bigleaf-hydrangea")
    spring = {
        window.rule.key: window.rule.purpose
        for window in year.values()
        if window.rule.task in (*care.CUTS, "deadhead", "dead wood")
        and window.earliest < date(2026, 6, 1)
    }
    assert spring == {"old-heads-in-spring": "deadhead", "frosted-tips": "dead wood"}
    tips = year["frosted-tips"]
    # Two weeks of open leaves first, and the late frosts of April past the middle.
    assert tips.best > date(2026, 4, 25)
    for day in (date(2026, 3, 1), date(2026, 4, 10), date(2026, 5, 20)):
        for task in care.CUTS:
            for purpose in ("shape", "flower"):
                closed = care.closed_on(
                    day,
                    task,
                    purpose,
                    group=groups()["bigleaf-hydrangea"],
                    climate=mid_atlantic(),
                )
                assert closed is not None


def test_a_bigleaf_hydrangea_bears_sun_until_nine_and_others_longer() -> None:
    facts = catalogue().groups
    assert facts["bigleaf-hydrangea"]["latest_sun"] == "09:00"
    assert facts["smooth-hydrangea"]["latest_sun"] == "14:00"
    assert facts["panicle-hydrangea"]["latest_sun"] is None


# -- a pH near 5.8 to 6.2 serves the genus where flower colour does not decide (common
# practice, no source)


@pytest.mark.parametrize("key", HYDRANGEAS)
def test_a_ph_of_5_8_to_6_2_serves_every_hydrangea(key: str) -> None:
    low, high = catalogue().groups[key]["ph"]
    assert low <= 5.8
    assert high >= 6.2
    if key in COLOUR_DECIDES:
        assert high == 6.2


def test_nearly_every_species_of_hydrangea_in_trade_is_a_group_of_its_own() -> None:
    assert set(HYDRANGEAS) >= COLOUR_DECIDES
    assert len(HYDRANGEAS) >= 12


# -- spring, autumn and mild winter are for planting, midsummer only with irrigation
# (common practice, no source)


@pytest.mark.parametrize("key", ["bigleaf-hydrangea", "panicle-hydrangea", "lilac"])
@pytest.mark.parametrize(
    ("day", "irrigated", "verdict"),
    [
        (date(2026, 4, 10), False, "right"),
        (date(2026, 10, 1), False, "right"),
        (date(2026, 7, 10), False, "wrong"),
        (date(2026, 7, 10), True, "bearable"),
    ],
)
def test_spring_and_autumn_are_for_planting_and_midsummer_only_with_irrigation(
    key: str, day: date, irrigated: bool, verdict: str
) -> None:
    found = care.planting_verdict(
        day, climate=mid_atlantic(), group=groups()[key], irrigated=irrigated
    )
    assert found.verdict == verdict


def test_a_mild_winter_is_for_planting_and_frozen_ground_is_not() -> None:
    lilac = groups()["lilac"]
    mild, cold = warmer(virginia(), 4, 20), warmer(virginia(), -4, -20)
    day = date(2026, 1, 20)
    found = care.planting_verdict(day, climate=mild, group=lilac)
    assert (found.verdict, found.key) == ("bearable", "mild-winter")
    found = care.planting_verdict(day, climate=cold, group=lilac)
    assert (found.verdict, found.key) == ("wrong", "frozen")


@pytest.mark.parametrize("key", HYDRANGEAS)
def test_no_hydrangea_is_said_to_be_planted_in_summer(key: str) -> None:
    planting = catalogue().groups[key]["planting"]
    assert "spring" in planting["seasons"]
    assert "summer" not in planting["seasons"]


# -- shallow-rooted thirsty kinds do well in half native soil, half compost or castings;
# a warning above 30 % compost by volume still shows (common practice, no source)


def test_half_soil_half_compost_is_blended_and_still_warned_of() -> None:
    mix = blend(
        volume_m3=Decimal(1),
        percents={"native soil": Decimal(50), "compost": Decimal(50)},
    )
    assert [part.volume_m3 for part in mix.parts] == [Decimal("0.5"), Decimal("0.5")]
    assert [warning[:22] for warning in mix.warnings] == ["More than 30 % compost"]
    note = catalogue().groups["bigleaf-hydrangea"]["planting"]["note"]
    assert "half native soil and half compost" in note
    assert "30 %" in note


# A third at most of a shrub's living wood in a year (rule of thirds, common practice,
# no source): a renovation beside the year's thinning would take more.
def test_every_renovation_says_that_it_takes_the_place_of_other_cuts() -> None:
    said = {
        f"{spec['key']} / {rule['key']}": "other cuts out" in rule["how"]
        for spec in catalogue().groups.values()
        for rule in spec["rules"]
        if rule["task"] == "renovate"
    }
    assert len(said) == 23
    assert [name for name, told in said.items() if not told] == []
