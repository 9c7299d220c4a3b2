"""What must hold for every group, place and year."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plants.care import anchors, care_year, closed_on, read_group, windows
from plants.care.vocabulary import CUTS, SHAPING
from tests.pure.care_gardens import (
    DEAD_WOOD,
    group,
    mirrored,
    rule,
    virginia,
    warmer,
)


def days(window) -> tuple[date, date, date]:
    return window.earliest, window.best, window.latest


def keys(found) -> list[str]:
    return [window.rule.key for window in found]


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
    where = {
        "group": read_group(spec),
        "climate": virginia(),
        "start": date(2026, 1, 1),
    }
    plain = care_year(**where)
    seen = care_year(**where, observed={"bloom_start": date(2026, 4, 21)})
    assert plain[0].best == date(2026, 6, 14)
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
