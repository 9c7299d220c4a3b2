"""Windows and care years: dates, closed days, conditions, follow-ups."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plants.care import (
    anchors,
    care_year,
    closed_on,
    merge_layers,
    read_group,
    unhung,
    windows,
)
from plants.care.vocabulary import CUTS, SHAPING
from tests.pure.care_gardens import (
    DEAD_WOOD,
    frostless,
    group,
    mirrored,
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


SPANS = st.tuples(st.integers(-10, 20), st.integers(0, 15), st.integers(1, 25)).map(
    lambda at: (at[0], at[0] + at[1], at[0] + at[1] + at[2])
)
ORNAMENTALS = st.sampled_from(["shrub", "tree", "rose", "climber", "hedge"])
MONTHS = st.tuples(st.integers(1, 12), st.integers(0, 2))


@st.composite
def groups(draw, wood: str):
    """A random ornamental with a flower cut that suits its wood, or no group."""
    first, length = draw(MONTHS)
    earliest, best, latest = draw(SPANS)
    anchor = "bloom_end" if wood == "old" else "late_winter"
    spec = group(
        wood,
        kind=draw(ORNAMENTALS),
        rules=[
            rule(
                "cut",
                purpose=draw(st.sampled_from(SHAPING)),
                task=draw(st.sampled_from(["prune", "thin", "shear"])),
                limits={"share_removed_max": 0.2},
                window={
                    "anchor": anchor,
                    "earliest": earliest,
                    "best": best,
                    "latest": latest,
                },
            ),
            DEAD_WOOD,
        ],
    )
    spec["bloom"] = {
        **spec["bloom"],
        "months": [first, (first + length - 1) % 12 + 1],
    }
    return spec


def readable(spec):
    """The group, or None where the cut would fall in its own closed season."""
    try:
        return read_group(spec)
    except ValueError:
        return None


@given(
    spec=groups("old"),
    kelvin=st.floats(-3, 3),
    year=st.integers(2000, 2060),
    southern=st.booleans(),
)
def test_an_old_wood_cut_never_falls_between_bud_set_and_bloom(
    spec, kelvin, year, southern
):
    found = readable(spec)
    if found is None:
        return
    climate = warmer(virginia(), kelvin)
    climate = mirrored(climate) if southern else climate
    closed = [
        (
            anchors(climate=climate, group=found, year=near)["bud_set"],
            anchors(climate=climate, group=found, year=near + 1)["bloom_start"],
        )
        for near in range(year - 3, year + 3)
    ]
    for window in care_year(group=found, climate=climate, start=date(year, 1, 1)):
        if window.rule.task in CUTS:
            for buds, bloom in closed:
                assert window.latest <= buds or window.earliest >= bloom


def test_most_random_old_wood_groups_can_be_read():
    # Else the test above would prove nothing.
    spec = group("old")
    held = 0
    for month in range(1, 13):
        spec["bloom"] = {**spec["bloom"], "months": [month, month]}
        held += readable(spec) is not None
    # July's bloom ends on the day the buds are set and August's after it: a cut two
    # weeks later is refused.
    assert held == 10


@given(spec=groups("new"), year=st.integers(2000, 2060))
def test_a_new_wood_group_is_open_in_late_winter_and_closed_in_its_shoots(spec, year):
    first, last = spec["bloom"]["months"]
    if not 6 <= first <= last <= 10:
        spec["bloom"] = {**spec["bloom"], "months": [7, 9]}
    found = read_group(spec)
    where = {"group": found, "climate": virginia()}
    (cut,) = (
        window for window in windows(year=year, **where) if window.rule.key == "cut"
    )
    for purpose in SHAPING:
        assert closed_on(cut.best, "prune", purpose, **where) is None
        assert closed_on(date(year, 5, 15), "prune", purpose, **where) is not None
        assert closed_on(date(year, 6, 29), "shear", purpose, **where) is not None
    assert closed_on(date(year, 6, 29), "deadhead", "deadhead", **where) is None
    assert closed_on(date(year, 6, 29), "dead wood", "dead wood", **where) is None


@given(
    spec=groups("old"),
    moved=st.integers(-25, 25),
    year=st.integers(2000, 2060),
)
def test_moving_bloom_moves_the_window_after_it_by_as_much(spec, moved, year):
    found = readable(spec)
    if found is None:
        return
    where = {"group": found, "climate": virginia(), "year": year}
    plain = next(w for w in windows(**where) if w.rule.key == "cut")
    anchor = plain.earliest - timedelta(days=plain.rule.first.days)
    start_of = {
        "bloom_start": anchor_day(found, year) + timedelta(days=moved),
    }
    seen = next(w for w in windows(**where, observed=start_of) if w.rule.key == "cut")
    shift = timedelta(days=moved)
    assert days(seen) == tuple(day + shift for day in days(plain))
    assert seen.earliest - timedelta(days=seen.rule.first.days) == anchor + shift


def anchor_day(found, year: int) -> date:
    month = found.bloom.first_month
    return date(year, month, 1)


def test_moving_bloom_by_twenty_days_moves_the_open_window_by_twenty():
    spec = group("old")
    plain = year_of(spec)
    seen = year_of(spec, observed={"bloom_start": date(2026, 4, 21)})
    assert [days(window) for window in seen] == [
        tuple(day + timedelta(days=20) for day in days(window)) for window in plain
    ]


@given(spec=groups("new"), year=st.integers(2000, 2060))
def test_the_same_rules_south_of_the_equator_give_the_mirrored_year(spec, year):
    found = readable(spec)
    if found is None:
        return
    north = windows(group=found, climate=virginia(), year=year)
    south = windows(group=found, climate=mirrored(virginia()), year=year)
    assert keys(north) == keys(south)
    for here, there in zip(north, south, strict=True):
        assert abs((there.best - here.best).days - 182) <= 4


@pytest.mark.parametrize("kelvin", [-3, -1, 1, 3])
def test_windows_move_with_the_climate_by_what_their_anchor_says(kelvin):
    found = read_group(group("old"))
    here, there = virginia(), warmer(virginia(), kelvin)
    moved = (there.leaf_out(2026) - here.leaf_out(2026)).days
    assert (moved < 0) == (kelvin > 0)
    (near,) = windows(group=found, climate=here, year=2026)
    (far,) = windows(group=found, climate=there, year=2026)
    # Bloom ends on the last day of May: the whole shift of spring.
    assert (far.best - near.best).days == moved
