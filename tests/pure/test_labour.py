"""Labour: published rates, what slows work, crews and days, and what logs teach."""

from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firm.units import Display
from jobs.labour import (
    FACTORS,
    RATES,
    Around,
    Factor,
    LabourError,
    Mark,
    Rate,
    Touch,
    Work,
    by_crew,
    drive_h,
    estimate,
    hours_of,
    learn,
    task_for_size,
)
from jobs.labour.table import DETOUR, PRACTICE, RIVERBANK

D = Decimal
US = Display("us")
RATE = {rate.key: rate for rate in RATES}
FACTOR = {factor.key: factor for factor in FACTORS}
NO_OTHER = Around()


def work(key: str, quantity: str, *factors: str, times: int = 1) -> Work:
    return Work(
        key=key,
        label=key,
        rate=RATE[key],
        quantity=D(quantity),
        times=times,
        factors=tuple(FACTOR[each] for each in factors),
    )


def reckoned(*works: Work, around: Around = NO_OTHER, size: int = 1) -> Any:
    return estimate(
        [(each, None) for each in works], around=around, size=size, display=US
    )


def test_the_worked_planting_comes_to_11_6_hours_and_3_87_with_three() -> None:
    # Rates: common practice, no source. The sums are arithmetic:
    # 12 x 0.30 + 4 x 0.65 + 6 x 0.9 = 3.6 + 2.6 + 5.4 = 11.6; 11.6 / 3 = 3.87.
    found = reckoned(
        work("plant-3", "12"), work("plant-7", "4"), work("mulch", "6"), size=3
    )
    assert [part.hours for part in found.parts] == [D("3.60"), D("2.60"), D("5.40")]
    assert found.labour_h == D("11.60")
    assert found.crew.clock_h == D("3.87")
    assert found.crew.days == 1
    assert found.parts[0].formula == "12 × 0.3 h = 3.60 h"
    assert found.parts[2].formula == "6 cu yd × 0.9 h = 5.40 h"
    assert found.formula == "11.60 h ÷ crew of 3 = 3.87 h on the clock"


def test_a_bed_weeded_eight_times_comes_to_57_6_hours() -> None:
    # Hours = area x frequency x time standard: University of Michigan Grounds (page
    # read). 250 sq ft an hour: common practice, no source. 7.2 x 8 (arithmetic).
    found = hours_of(work("weed", "1800", times=8), display=US)
    assert found.hours == D("57.60")
    assert found.formula == "1,800 sq ft ÷ 250 sq ft an hour × 8 times = 57.60 h"
    # By the hour the low figure is the slowest: 1,800 / 500 x 8 and 1,800 / 100 x 8.
    assert (found.fast_h, found.slow_h) == (D("28.80"), D("144.00"))


@pytest.mark.parametrize(
    ("key", "printed"),
    [
        # US Army Corps of Engineers, streambank manual, appendix B (page read).
        ("plant-plug", (30, 1000, 30, 1000)),
        ("bare-seedling", (1, 125, 1, 100)),
        ("bare-bank", (8, 400, 8, 200)),
        ("small-container", (1, 40, 1, 20)),
        ("small-balled", (1, 25, 1, 10)),
    ],
)
def test_rates_with_a_source_are_what_their_page_prints(
    key: str, printed: tuple[int, int, int, int]
) -> None:
    hours, plants, slow_hours, slow_plants = printed
    rate = RATE[key]
    assert rate.low == D(hours) / plants
    assert rate.high == D(slow_hours) / slow_plants
    assert rate.mark == Mark.READ
    assert rate.source.startswith(RIVERBANK)


def test_every_other_rate_and_every_factor_says_that_it_has_no_source() -> None:
    practice = [rate for rate in RATES if rate.mark == Mark.PRACTICE]
    assert len(practice) == len(RATES) - 5
    assert {each.source for each in (*practice, *FACTORS)} == {PRACTICE}
    assert {factor.mark for factor in FACTORS} == {Mark.PRACTICE}
    assert len({rate.key for rate in RATES}) == len(RATES)
    # One condition of each is that which changes nothing.
    assert {each.touch for each in FACTORS if each.factor == 1} == set(Touch)


def test_factors_multiply_and_touch_only_what_they_slow() -> None:
    # Clay or rock 1.25 to 1.6, slope or long carry 1.2 to 1.5: common practice, no
    # source. 12 x 0.30 x 1.25 x 1.2 = 5.40; mulch does not mind clay: 5.4 x 1.2 = 6.48.
    slowed = ("soil-clay-loam", "carry-far", "roots-none")
    planted = hours_of(work("plant-3", "12", *slowed), display=US)
    assert planted.hours == D("5.40")
    assert planted.formula == (
        "12 × 0.3 h × 1.25 (clay loam) × 1.2 (50 to 150 ft or 15 to 45 m) = 5.40 h"
    )
    assert hours_of(work("mulch", "6", *slowed), display=US).hours == D("6.48")
    assert hours_of(work("prune", "4", *slowed), display=US).hours == D("1.00")


def test_what_is_around_the_work_is_paid_by_crew_and_by_day() -> None:
    # 40 h for three: 13.33 h + 0.5 h of setting up and 0.17 h of the walk-through are
    # 14.0 h in days that hold 8 - 2 = 6 h: three days (arithmetic).
    around = Around(
        mobilise_h=D("0.5"),
        load_out_h=D("0.5"),
        drive_h=D("1"),
        clean_up_h=D("0.5"),
        walk_through_h=D("0.5"),
    )
    found = reckoned(work("prune", "160"), around=around, size=3)
    assert [(part.key, part.hours) for part in found.parts] == [
        ("prune", D("40.00")),
        ("mobilise", D("1.5")),
        ("load-out", D("4.5")),
        ("drive", D("9")),
        ("clean-up", D("4.5")),
        ("walk-through", D("0.5")),
    ]
    assert found.crew.days == 3
    assert found.labour_h == D("60.00")
    assert found.crew.clock_h == D("20.00")
    assert (found.work_h, found.around_h) == (D("40.00"), D("20.0"))


def test_the_drive_is_the_straight_line_by_the_roads_there_and_back() -> None:
    # 16.09344 km are 10 mi by definition; 10 x 1.3 / 25 x 2 = 1.04 h (arithmetic).
    # 1.3 and 25 mi an hour: common practice, no source.
    hours, formula = drive_h(
        km=D("16.09344"), detour=DETOUR, speed=RATE["drive"], display=US
    )
    assert hours == D("1.04")
    assert formula == (
        "2 × 10 mi straight × 1.3 for the roads ÷ 25 mi an hour = 1.04 h there and back"
    )


def test_a_drive_that_takes_the_day_leaves_no_work() -> None:
    with pytest.raises(LabourError, match="no work fits in"):
        reckoned(work("prune", "1"), around=Around(drive_h=D("8")))
    assert reckoned(around=Around(drive_h=D(1))).labour_h == 0


@pytest.mark.parametrize(
    ("gallons", "key"),
    # Printed volumes of the classes from a nursery's catalogue (copy), and a 4 in pot.
    [
        ("0.17", "plant-pot"), ("0.74", "plant-1"), ("1.6", "plant-3"),
        ("2.4", "plant-3"), ("3.9", "plant-5"), ("6.5", "plant-7"),
        ("9.0", "plant-10"), ("14.5", "plant-15"), ("27.6", ""),
    ],
)  # fmt: skip
def test_a_container_is_planted_as_its_class(gallons: str, key: str) -> None:
    assert task_for_size(D(gallons)) == key


@pytest.mark.parametrize(
    ("figures", "said"),
    [
        (("0", "1", "2"), "more than nothing"),
        (("-1", "1", "2"), "more than nothing"),
        (("NaN", "1", "2"), "must be a number"),
        (("1", "1", "Infinity"), "must be a number"),
        (("1", "1", "1e309"), "at most 1,000"),
        (("1", "3", "2"), "in this order"),
    ],
)
def test_a_rate_nobody_could_have_is_refused(
    figures: tuple[str, str, str], said: str
) -> None:
    low, typical, high = (D(each) for each in figures)
    with pytest.raises(LabourError, match=said):
        Rate(key="x", name="x", unit="each", low=low, typical=typical, high=high)


def test_quantities_factors_crews_and_units_nobody_could_have_are_refused() -> None:
    for quantity in ("0", "-1", "NaN", "1e309"):
        with pytest.raises(LabourError):
            work("plant-3", quantity)
    for factor in ("0", "0.05", "-2", "11", "NaN"):
        with pytest.raises(LabourError):
            Factor(key="x", touch=Touch.SOIL, name="x", factor=D(factor))
    for size in (0, -1, 21):
        with pytest.raises(LabourError, match="between 1 and 20"):
            reckoned(work("plant-3", "1"), size=size)
    with pytest.raises(LabourError, match="not counted in cu yd"):
        RATE["mulch"].quantity_in(D(3), "load")
    with pytest.raises(LabourError, match="more than 1,000 days"):
        reckoned(work("plant-15", "1000000"))
    assert RATE["mulch"].quantity_in(D("0.764554857984"), "m³") == 1


quantities = st.decimals(D("0.01"), D(2000), places=2)
factors = st.decimals(D("0.5"), D(3), places=2)
hours = st.decimals(D(0), D("1.5"), places=2)
arounds = st.builds(
    Around,
    mobilise_h=hours,
    load_out_h=hours,
    drive_h=hours,
    clean_up_h=hours,
    walk_through_h=hours,
)


def slowed(quantity: Decimal, key: str, by: Decimal) -> Work:
    return Work(
        key=key,
        label=key,
        rate=RATE[key],
        quantity=quantity,
        factors=(Factor(key="s", touch=Touch.SEASON, name="s", factor=by),),
    )


@given(
    quantity=quantities,
    key=st.sampled_from(("plant-3", "mulch", "weed", "edge")),
    one=factors,
    more=st.decimals(D(0), D(2), places=2),
    around=arounds,
    size=st.integers(1, 12),
)
def test_hours_never_fall_when_a_factor_rises(
    quantity: Decimal, key: str, one: Decimal, more: Decimal, around: Around, size: int
) -> None:
    easy, hard = (
        reckoned(slowed(quantity, key, by), around=around, size=size)
        for by in (one, one + more)
    )
    assert easy.labour_h <= hard.labour_h
    assert easy.crew.clock_h <= hard.crew.clock_h
    assert easy.fast_h <= easy.labour_h <= easy.slow_h


@given(work_h=st.decimals(D("0.01"), D(3000), places=2), around=arounds)
def test_a_bigger_crew_never_has_more_hours_on_the_clock(
    work_h: Decimal, around: Around
) -> None:
    crews = by_crew(work_h=work_h, around=around, sizes=range(1, 21))
    for smaller, bigger in pairwise(crews):
        assert bigger.clock_h <= smaller.clock_h
        assert bigger.days <= smaller.days


@given(
    quantities=st.lists(quantities, min_size=1, max_size=6),
    around=arounds,
    size=st.integers(1, 12),
)
def test_the_parts_add_up_to_the_whole_and_each_day_holds_its_hours(
    quantities: list[Decimal], around: Around, size: int
) -> None:
    found = reckoned(
        *(work("plant-3", str(each)) for each in quantities), around=around, size=size
    )
    assert sum(part.hours for part in found.parts) == found.labour_h
    assert found.work_h + found.around_h == found.labour_h
    assert abs(found.crew.clock_h * size - found.labour_h) <= D("0.005") * size
    assert found.crew.clock_h <= 8 * found.crew.days + D("0.005")
    assert found.crew.clock_h > 8 * (found.crew.days - 1) - D("0.005")


def test_three_jobs_teach_their_median_and_fewer_say_nothing() -> None:
    # Ratios 1.10, 1.25 and 1.60: the middle one (arithmetic).
    three = [(D(10), D(11)), (D(8), D(10)), (D(5), D(8))]
    found = learn(three)
    assert (found.jobs, found.ratio) == (3, D("1.250"))
    assert (found.least, found.most) == (D("1.100"), D("1.600"))
    assert found.suggested == D("1.250")
    assert learn(three[:2]).suggested is None
    assert learn([]).ratio is None
    # An even number: half way between the two in the middle.
    assert learn([*three, (D(10), D(12))]).ratio == D("1.225")
    # Within 5 % nothing is suggested.
    assert learn([(D(10), D(10)), (D(10), D("10.4")), (D(10), D(12))]).suggested is None
    with pytest.raises(LabourError):
        learn([(D(0), D(1))])
