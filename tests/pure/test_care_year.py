"""Windows and care years: dates, closed days, conditions, follow-ups."""

from datetime import date

import pytest

from plants.care import (
    RuleError,
    care_year,
    closed_on,
    merge_layers,
    read_group,
    unhung,
    windows,
)
from tests.pure.care_gardens import (
    DEAD_WOOD,
    frostless,
    group,
    rule,
    virginia,
    warmer,
)

NEW_YEAR = date(2026, 1, 1)


def days(window) -> tuple[date, date, date]:
    return window.earliest, window.best, window.latest


def work(key: str, task: str, anchor: str, at: tuple[int, int, int], **changes):
    """A rule that is no cut, hung on an anchor."""
    first, best, last = at
    return rule(
        key,
        task=task,
        purpose="none",
        limits=None,
        drawing="none",
        window={"anchor": anchor, "earliest": first, "best": best, "latest": last},
        **changes,
    )


def year_of(spec, **changes):
    given_ = {"climate": virginia(), "start": NEW_YEAR, "age_years": 6.0, **changes}
    return care_year(group=read_group(spec), **given_)


def keys(found) -> list[str]:
    return [window.rule.key for window in found]


def test_a_window_is_so_many_days_from_its_anchor():
    # Bloom April-May ends on 31 May in its region.
    (cut,) = windows(group=read_group(group("old")), climate=virginia(), year=2026)
    assert days(cut) == (date(2026, 5, 31), date(2026, 6, 14), date(2026, 7, 10))
    assert (cut.layer, cut.year) == ("shipped", 2026)


def test_three_moments_may_hang_on_three_anchors():
    cut = rule(
        "cut",
        window={
            "from": {"anchor": "bloom_end", "days": -7},
            "best": {"anchor": "bloom_end", "days": 7},
            "to": {"anchor": "bud_set", "days": 0},
        },
    )
    (found,) = windows(
        group=read_group(group("old", rules=[cut])), climate=virginia(), year=2026
    )
    assert days(found) == (date(2026, 5, 24), date(2026, 6, 7), date(2026, 7, 31))


def test_a_window_may_cross_the_new_year():
    # Best November to March: Virginia Cooperative Extension 430-462, beautyberry.
    cut = rule(
        "cut",
        window={
            "from": {"anchor": "dormancy", "days": 0},
            "best": {"anchor": "late_winter", "days": 0},
            "to": {"anchor": "bud_swell", "days": 7},
        },
    )
    spec = group("new", rules=[cut])
    (found,) = windows(group=read_group(spec), climate=virginia(), year=2026)
    assert days(found) == (date(2026, 11, 30), date(2027, 2, 17), date(2027, 3, 17))
    # Each calendar year holds it once, by its best day.
    assert [window.best for window in year_of(spec)] == [date(2026, 2, 17)]
    assert [window.best for window in year_of(spec, start=date(2026, 2, 18))] == [
        date(2027, 2, 17)
    ]


def test_a_window_over_a_leap_day_keeps_its_length():
    cut = work("look", "inspect", "late_winter", (0, 10, 20))
    spec = group("none", rules=[cut])
    (leap,) = windows(group=read_group(spec), climate=virginia(), year=2028)
    (plain,) = windows(group=read_group(spec), climate=virginia(), year=2027)
    assert days(plain) == (date(2027, 2, 17), date(2027, 2, 27), date(2027, 3, 9))
    # Bud swell is 10 March in both years; late winter lies 21 days before it.
    assert days(leap) == (date(2028, 2, 18), date(2028, 2, 28), date(2028, 3, 9))


def test_a_year_from_a_leap_day_holds_each_yearly_rule_once():
    spec = group(
        "old", rules=[rule("cut"), work("mulch", "mulch", "leaf_out", (0, 9, 30))]
    )
    assert keys(year_of(spec, start=date(2028, 2, 29))) == ["mulch", "cut"]


def test_closed_days_are_cut_off_a_window():
    late = rule(
        "cut",
        window={"anchor": "bloom_end", "earliest": 0, "best": 20, "latest": 90},
    )
    (found,) = year_of(group("old", rules=[late]))
    # Buds are set on 31 July; Virginia 430-462 has no best mark from August on.
    assert days(found) == (date(2026, 5, 31), date(2026, 6, 20), date(2026, 7, 31))


def test_a_window_split_by_a_closed_season_keeps_the_part_near_its_best_day():
    heat = {
        "key": "heat",
        "tasks": ["divide"],
        "from": {"anchor": "midsummer", "days": 0},
        "to": {"anchor": "midsummer", "days": 60},
        "why": "Divisions dry out.",
        "source": "common practice",
    }
    spec = group(
        "none",
        kind="perennial",
        rules=[work("split", "divide", "leaf_out", (0, 20, 200))],
    )
    found = care_year(
        group=merge_layers(spec, garden={"closed": [heat]}),
        climate=virginia(),
        start=NEW_YEAR,
        age_years=6,
    )
    assert [days(window) for window in found] == [
        (date(2026, 4, 2), date(2026, 4, 22), date(2026, 6, 20))
    ]


def test_closed_seasons_cross_the_new_year():
    azalea = read_group(group("old"))

    def closed(day: date, purpose: str = "shape"):
        return closed_on(day, "prune", purpose, group=azalea, climate=virginia())

    assert closed(date(2026, 7, 31)) is None
    autumn, winter = closed(date(2026, 8, 1)), closed(date(2027, 3, 31))
    assert autumn is not None and winter is not None
    assert autumn == winter
    assert (autumn.first, autumn.last) == (date(2026, 8, 1), date(2027, 3, 31))
    assert closed(date(2027, 4, 1)) is None
    assert closed(date(2026, 10, 1), "structure") is None
    assert (
        closed_on(date(2026, 10, 1), "dead wood", group=azalea, climate=virginia())
        is None
    )


def test_dead_wood_is_open_all_year_unless_a_disease_rule_closes_it():
    wilt = {
        "key": "oak-wilt",
        "tasks": ["prune", "thin", "dead wood"],
        "from": {"anchor": "bud_swell", "days": 0},
        "to": {"anchor": "midsummer", "days": 60},
        "except_purposes": [],
        "why": "Beetles carry oak wilt to fresh cuts.",
        "source": "vce-430-460",
    }
    free = read_group(group("none", rules=[DEAD_WOOD]))
    oak = read_group(group("none", kind="tree", rules=[DEAD_WOOD], closed=[wilt]))
    day = date(2026, 5, 1)
    args = ("dead wood", "dead wood")
    assert closed_on(day, *args, group=free, climate=virginia()) is None
    found = closed_on(day, *args, group=oak, climate=virginia())
    assert found is not None and found.key == "oak-wilt"
    assert closed_on(date(2026, 11, 15), *args, group=oak, climate=virginia()) is None


CHECKS = [
    # conditions, planting, held
    ({"age_years_min": 3}, {"age_years": 4}, True),
    ({"age_years_min": 3}, {"age_years": 1}, False),
    ({"age_years_max": 2}, {"age_years": 1}, True),
    ({"age_years_max": 2}, {"age_years": 4}, False),
    # Neither age nor day known: an established plant.
    ({"age_years_min": 3}, {"age_years": None}, True),
    ({"age_years_max": 2}, {"age_years": None}, False),
    ({"age_years_min": 1}, {"planted_on": date(2025, 3, 1)}, True),
    ({"age_years_min": 1}, {"planted_on": date(2025, 10, 1)}, False),
    ({"irrigated": True}, {"irrigated": True}, True),
    ({"irrigated": True}, {"irrigated": None}, False),
    ({"irrigated": False}, {"irrigated": None}, True),
    ({"irrigated": False}, {"irrigated": True}, False),
    ({"ph_above": 6.2}, {"ph": 6.3}, True),
    ({"ph_above": 6.2}, {"ph": 6.2}, False),
    ({"ph_above": 6.2}, {"ph": None}, False),
    ({"ph_below": 5.5}, {"ph": 5.4}, True),
    ({"ph_below": 5.5}, {"ph": 6.0}, False),
    ({"frost": "needed"}, {}, True),
    ({"frost": "free"}, {}, False),
    ({"frost": "needed"}, {"climate": frostless()}, False),
    ({"frost": "free"}, {"climate": frostless()}, True),
]


@pytest.mark.parametrize(("conditions", "planting", "held"), CHECKS)
def test_a_rule_comes_only_where_its_conditions_hold(conditions, planting, held):
    line = work("line", "feed", "leaf_out", (0, 10, 30), conditions=conditions)
    found = year_of(group("none", rules=[line]), **planting)
    assert keys(found) == (["line"] if held else [])


def test_a_plant_ages_within_the_year():
    young = work(
        "young", "mulch", "leaf_out", (0, 10, 30), conditions={"age_years_max": 1}
    )
    old = work(
        "old", "mulch", "leaf_fall", (0, 10, 30), conditions={"age_years_min": 1}
    )
    spec = group("none", rules=[young, old])
    assert keys(year_of(spec, age_years=0.5)) == ["young", "old"]


def test_work_counted_from_planting_comes_once():
    spec = group(
        "none",
        rules=[
            work("stake-off", "unstake", "planting_day", (330, 365, 395)),
            work("mulch", "mulch", "leaf_out", (0, 9, 30)),
        ],
    )
    planted = date(2025, 10, 20)
    found = year_of(spec, planted_on=planted)
    assert keys(found) == ["mulch", "stake-off"]
    assert found[1].best == date(2026, 10, 20)
    assert keys(year_of(spec, planted_on=planted, start=date(2027, 1, 1))) == ["mulch"]
    assert keys(year_of(spec)) == ["mulch"]


def test_nothing_is_due_before_the_plant_stands_there():
    spec = group(
        "old",
        rules=[
            work("mulch", "mulch", "leaf_out", (0, 9, 30)),
            work("rake", "clear up", "leaf_fall", (0, 9, 30)),
        ],
    )
    assert keys(year_of(spec, planted_on=date(2026, 6, 1))) == ["rake"]


def test_a_task_returns_inside_its_window():
    check = work(
        "water", "water check", "planting_day", (0, 0, 29), repeat={"every_days": 7}
    )
    found = year_of(group("none", rules=[check]), planted_on=date(2026, 4, 1))
    assert [(window.earliest, window.latest) for window in found] == [
        (date(2026, 4, 1), date(2026, 4, 7)),
        (date(2026, 4, 8), date(2026, 4, 14)),
        (date(2026, 4, 15), date(2026, 4, 21)),
        # The last two days are no return of their own.
        (date(2026, 4, 22), date(2026, 4, 30)),
    ]


def test_a_task_of_every_three_years_comes_in_its_turn():
    split = work("split", "divide", "bud_swell", (0, 10, 30), repeat={"every_years": 3})
    spec = group("none", kind="perennial", rules=[split])
    planted = date(2025, 4, 1)
    held = [
        keys(year_of(spec, planted_on=planted, start=date(year, 1, 1)))
        for year in range(2026, 2030)
    ]
    assert held == [[], [], ["split"], []]


RENEWAL = rule(
    "renew",
    task="renovate",
    purpose="renovation",
    conditions={"age_years_min": 8},
    repeat={"every_years": 10, "for_years": 3},
)


def shares(spec, years, **planting) -> dict[int, int]:
    """The year of each share that comes, with its number."""
    return {
        window.best.year: window.share
        for year in years
        for window in year_of(spec, start=date(year, 1, 1), age_years=None, **planting)
        if window.rule.key == "renew"
    }


# A third of the oldest stems in each of three years (newspaper copy of extension
# advice).
def test_a_renovation_takes_a_share_in_each_of_three_years():
    spec = group("old", rules=[RENEWAL, rule("cut")])
    found = shares(spec, range(2020, 2050), planted_on=date(2018, 4, 10))
    # Eight years old in April 2026, cut in June; the next renewal ten years later.
    assert found == {2026: 1, 2027: 2, 2028: 3, 2036: 1, 2037: 2, 2038: 3} | {
        2046: 1,
        2047: 2,
        2048: 3,
    }
    year = year_of(spec, age_years=None, planted_on=date(2018, 4, 10))
    told = {window.rule.key: (window.share, window.shares) for window in year}
    assert told == {"renew": (1, 3), "cut": (0, 1)}


def test_no_share_is_lost_to_a_plant_that_comes_of_age_after_its_window():
    # Planted in October: not yet eight in June 2026.
    spec = group("old", rules=[RENEWAL])
    found = shares(spec, range(2020, 2035), planted_on=date(2018, 10, 10))
    assert found == {2027: 1, 2028: 2, 2029: 3}


def test_shares_may_lie_two_years_apart():
    halves = {**RENEWAL, "repeat": {"every_years": 10, "for_years": 2}}
    halves["repeat"] = {**halves["repeat"], "years_apart": 2}
    spec = group("old", rules=[halves])
    found = shares(spec, range(2020, 2035), planted_on=date(2018, 4, 10))
    assert found == {2026: 1, 2028: 2}


def test_an_old_plant_of_unknown_day_takes_its_shares_one_after_another():
    spec = group("old", rules=[RENEWAL])
    found = shares(spec, range(2026, 2036))
    assert found == {2030: 1, 2031: 2, 2032: 3}


@pytest.mark.parametrize(
    ("repeat", "message"),
    [
        (
            {"every_years": 3, "for_years": 3},
            "3 shares take 3 years: every_years must be more",
        ),
        (
            {"every_days": 20, "for_years": 2},
            "2 shares take 2 years: every_years must be more",
        ),
    ],
)
def test_shares_must_end_before_they_begin_again(repeat, message):
    with pytest.raises(RuleError) as caught:
        read_group(group("old", rules=[{**RENEWAL, "repeat": repeat}]))
    assert caught.value.messages == [f"old-wood / renew / repeat.for_years: {message}"]


def test_feeding_follows_pruning():
    spec = group(
        "old",
        rules=[
            rule("cut", follow_up={"rule": "feed", "within_days": 21}),
            work("feed", "feed", "leaf_out", (0, 30, 100)),
        ],
    )
    cut, feed = year_of(spec)
    assert (cut.rule.key, cut.best) == ("cut", date(2026, 6, 14))
    assert days(feed) == (date(2026, 6, 14), date(2026, 6, 14), date(2026, 7, 5))
    assert feed.follows == "cut"
    # A young plant is not cut, so it is fed in its own time.
    young = group(
        "old",
        rules=[
            rule(
                "cut",
                conditions={"age_years_min": 3},
                follow_up={"rule": "feed", "within_days": 21},
            ),
            work("feed", "feed", "leaf_out", (0, 30, 100)),
        ],
    )
    (own,) = year_of(young, age_years=1)
    assert (own.rule.key, own.best, own.follows) == ("feed", date(2026, 5, 2), "")


def test_a_late_cut_is_fed_the_next_spring():
    # Feeding only while eight weeks remain to the median first frost (common
    # practice): 26 October less 56 days is 31 August.
    def year(bloom_last: int):
        cut = rule(
            "cut",
            task="deadhead",
            purpose="deadhead",
            follow_up={"rule": "feed", "within_days": 21},
        )
        spec = group("both", rules=[cut, work("feed", "feed", "leaf_out", (0, 10, 30))])
        spec["bloom"] = {**spec["bloom"], "months": [6, bloom_last]}
        return {window.rule.key: window for window in year_of(spec)}

    soon = year(7)
    assert soon["cut"].best == date(2026, 8, 14)
    assert days(soon["feed"])[0] == date(2026, 8, 14)
    assert days(soon["feed"])[2] == date(2026, 8, 31)
    late = year(9)
    assert late["cut"].best == date(2026, 10, 14)
    assert days(late["feed"])[1] == date(2026, 4, 12)
    assert late["feed"].follows == ""


def test_feeding_with_a_window_of_its_own_stops_eight_weeks_before_frost_too():
    cut = rule("cut", follow_up={"rule": "feed", "within_days": 60})
    spec = group("old", rules=[cut, work("feed", "feed", "bloom_end", (0, 20, 120))])
    spec["bloom"] = {**spec["bloom"], "months": [6, 6]}
    found = {window.rule.key: window for window in year_of(spec)}
    assert found["cut"].best == date(2026, 7, 14)
    assert days(found["feed"]) == (
        date(2026, 7, 14),
        date(2026, 7, 20),
        date(2026, 8, 31),
    )


def test_a_mild_place_leaves_out_what_hangs_on_frost():
    wrap = work("wrap", "protect", "first_autumn_frost", (-20, -10, 10))
    spec = group("none", rules=[wrap])
    assert keys(year_of(spec)) == ["wrap"]
    assert keys(year_of(spec, climate=frostless())) == []
    missing = unhung(group=read_group(spec), climate=frostless(), year=2026)
    assert [(line.key, anchor) for line, anchor in missing] == [
        ("wrap", "first_autumn_frost")
    ]
    assert unhung(group=read_group(spec), climate=virginia(), year=2026) == []


def test_always_open_work_comes_once_a_year_with_the_main_cut():
    spec = group("old", rules=[rule("cut"), DEAD_WOOD])
    found = {window.rule.key: window for window in year_of(spec)}
    assert days(found["dead-wood"]) == (
        date(2026, 1, 1),
        date(2026, 6, 14),
        date(2026, 12, 31),
    )
    assert found["cut"].best == date(2026, 6, 14)


def test_a_window_that_ends_before_it_begins_elsewhere_is_left_out():
    # Bloom of April and May is over by midsummer in Virginia, not in the far north.
    line = rule(
        "look",
        task="inspect",
        purpose="none",
        limits=None,
        window={
            "from": {"anchor": "bloom_end", "days": 0},
            "best": {"anchor": "bloom_end", "days": 7},
            "to": {"anchor": "midsummer", "days": 0},
        },
    )
    spec = group("old", rules=[line])
    (here,) = year_of(spec)
    assert days(here) == (date(2026, 5, 31), date(2026, 6, 7), date(2026, 6, 21))
    cold = warmer(virginia(), -6)
    bloom_end = date(2026, 5, 31) + (cold.leaf_out(2026) - virginia().leaf_out(2026))
    assert bloom_end > date(2026, 6, 21)
    assert year_of(spec, climate=cold) == []


def test_a_closed_period_tells_whose_it_is_and_where_it_comes_from():
    found = closed_on(
        date(2026, 10, 1),
        "prune",
        "shape",
        group=read_group(group("old")),
        climate=virginia(),
    )
    assert found is not None
    assert (found.key, found.layer, found.source) == (
        "flower-buds-set",
        "shipped",
        "Virginia Cooperative Extension 430-462",
    )


def test_a_closed_season_that_hangs_on_frost_is_not_there_without_it():
    late = {
        "key": "too-late",
        "tasks": ["feed"],
        "from": {"anchor": "first_autumn_frost", "days": -56},
        "to": {"anchor": "bud_swell", "days": 0},
        "why": "Soft growth freezes.",
        "source": "common practice",
    }
    found = read_group(group("none", rules=[], closed=[late]))
    day = date(2026, 11, 1)
    closed = closed_on(day, "feed", group=found, climate=virginia())
    assert closed is not None
    assert (closed.first, closed.last) == (date(2026, 8, 31), date(2027, 3, 10))
    assert closed_on(day, "feed", group=found, climate=frostless()) is None
