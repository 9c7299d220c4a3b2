"""What is typed about soil, fertiliser and stock, and what it comes to."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firm.units import Display, convert
from plants import water
from plants.soil import (
    CONTAINERS,
    TEXTURES,
    Analysis,
    Direction,
    Ph,
    SoilError,
    Sold,
    change_ph,
    feed,
    read_analysis,
    read_ph,
    read_size,
    size_words,
)

D = Decimal
US, METRIC = Display("us"), Display("metric")
AREA = convert(D(1000), unit="sq ft", to="m²")


def ph(low: str, high: str | None = None) -> Ph:
    return Ph(low=D(low), high=D(high or low))


@pytest.mark.parametrize(
    ("typed", "low", "high"),
    [
        ("6.5", "6.5", "6.5"),
        ("6,5", "6.5", "6.5"),
        ("pH 6", "6.0", "6.0"),
        ("6 1/2", "6.5", "6.5"),
        ("6½", "6.5", "6.5"),
        ("six and a half", "6.5", "6.5"),
        ("6-6.5", "6.0", "6.5"),
        ("6 to 6 and a half", "6.0", "6.5"),
        ("between 6 and 6.5", "6.0", "6.5"),
        ("7 – 6", "6.0", "7.0"),
        # Half a unit either way on a strip: common practice, no source.
        ("about 6 and a half", "6.0", "7.0"),
        ("~6", "5.5", "6.5"),
        ("6 by the strip", "5.5", "6.5"),
        ("about 6 to 6.5", "6.0", "6.5"),
        ("about 3", "3.0", "3.5"),
        # Two decimals widen to the tenths around them.
        ("6.25", "6.2", "6.3"),
    ],
)
def test_a_ph_is_read_as_it_is_written_down(typed: str, low: str, high: str) -> None:
    assert read_ph(typed) == ph(low, high)


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("", "Write a pH"),
        ("sour", "is not read as a pH"),
        ("6.5.5", "is not read as a pH"),
        ("6 banana", "is not read as a pH"),
        ("-3", "is not read as a pH"),
        ("15", "between 3 and 10"),
        ("1 to 2", "between 3 and 10"),
        ("9 to 11", "between 3 and 10"),
    ],
)
def test_what_is_no_ph_is_refused(typed: str, why: str) -> None:
    with pytest.raises(SoilError, match=why):
        read_ph(typed)


@given(st.text(max_size=30))
def test_any_text_is_a_ph_or_refused(typed: str) -> None:
    try:
        found = read_ph(typed)
    except SoilError:
        return
    assert 3 <= found.low <= found.high <= 10


def change(soil: Ph, wanted: Ph, **settings: object):
    return change_ph(
        soil=soil,
        wanted=wanted,
        **(
            {
                "texture": "loam",
                "area_m2": AREA,
                "planted": True,
                "has_free_lime": False,
            }
            | settings
        ),
    )


def test_a_range_is_dosed_from_its_careful_end() -> None:
    sour = change(ph("6.5", "7.5"), ph("4.5", "5.5"))
    # From 6.5 and not from 7.5: one unit on loam is 15 lb (handbook, read).
    assert (sour.direction, sour.start, sour.target) == (
        Direction.LOWER,
        D("6.5"),
        D("5.5"),
    )
    assert sour.doses[0].lb_per_1000_sq_ft == 15
    assert "known as pH 6.5 to 7.5 only" in sour.assumed[0]
    limed = change(ph("4.5", "5.5"), ph("6.0", "7.0"))
    # From 5.5 to 6.0: 75 - 35 (vCalc, read).
    assert (limed.direction, limed.doses[0].lb_per_1000_sq_ft) == (Direction.RAISE, 40)


def test_a_range_that_meets_the_wanted_one_is_tested_first() -> None:
    found = change(ph("6.0", "7.0"), ph("5.5", "6.5"))
    assert (found.direction, found.doses, found.is_possible) == (
        Direction.TEST,
        (),
        False,
    )
    assert "have a laboratory test it" in found.words
    right = change(ph("6.0"), ph("5.5", "6.5"))
    assert (right.direction, right.is_possible) == (Direction.NONE, True)


def test_what_is_not_recorded_is_assumed_aloud_and_takes_the_smallest_dose() -> None:
    unknown = change(ph("7.0"), ph("6.0"), texture=None, has_free_lime=None)
    doses = [
        change(ph("7.0"), ph("6.0"), texture=each).doses[0].kg for each in TEXTURES
    ]
    assert unknown.doses[0].kg == min(doses)
    assert unknown.assumed[0].startswith("The soil's texture is not recorded")
    assert "drop vinegar" in unknown.assumed[1]
    assert change(ph("7.0"), ph("6.0")).assumed == ()


def test_free_lime_refuses_both_products() -> None:
    found = change(ph("7.0"), ph("6.0"), has_free_lime=True)
    assert (found.doses, found.is_possible) == ((), False)
    assert "fizzes with vinegar" in found.refused


def test_sour_soil_has_only_sulfur_where_the_other_table_begins_later() -> None:
    both = change(ph("7.0"), ph("6.0"))
    one = change(ph("5.5"), ph("5.0"))
    assert [dose.product for dose in both.doses] == [
        "elemental sulfur",
        "aluminium sulfate",
    ]
    assert [dose.product for dose in one.doses] == ["elemental sulfur"]


def test_an_analysis_is_read_from_the_bag() -> None:
    assert read_analysis("28-3-6") == Analysis(n=D(28), p2o5=D(3), k2o=D(6))
    assert read_analysis(" 5 - 10 - 15 ").words == "5-10-15"
    for typed, why in (
        ("10-10", "not read"),
        ("ten", "not read"),
        ("60-30-20", "more than"),
    ):
        with pytest.raises(SoilError, match=why):
            read_analysis(typed)


def fed(n: str, kind: str = "evergreen", **settings: object):
    return feed(
        kind=kind,
        analysis=read_analysis("10-10-10"),
        n_lb_per_1000=D(n),
        area_m2=AREA,
        **settings,
    )


def test_feeding_stops_at_what_twelve_months_may_bring() -> None:
    # Virginia (copy): evergreens 1 to 3 lb N, deciduous 3 to 6 per 1,000 sq ft.
    assert fed("3").product_lb_per_1000_sq_ft == 30
    with pytest.raises(SoilError, match="more than the 3 lb"):
        fed("3.1")
    assert fed("6", kind="deciduous").times == 6
    with pytest.raises(SoilError, match="more than the 6 lb"):
        fed("6.1", kind="deciduous")
    assert fed("1", given_lb_per_1000=D(2)).times == 1
    with pytest.raises(SoilError, match="still left of 3 lb"):
        fed("1.1", given_lb_per_1000=D(2))


def test_quick_nitrogen_comes_in_pounds_and_slow_at_once() -> None:
    assert (fed("3").times, fed("3", is_slow=True).times) == (3, 1)


def test_feeding_always_tells_of_the_local_law_and_of_young_plants_when_asked() -> None:
    assert any("fertiliser law" in each for each in fed("1").cautions)
    assert not any("first season" in each for each in fed("1").cautions)
    assert any("first season" in each for each in fed("1", is_young=True).cautions)


def test_a_liquid_is_measured_by_its_weight() -> None:
    # 10 lb of product at 1.2 kg a litre: 3.78 L, about a gallon (arithmetic).
    found = fed("1", liquid_kg_per_l=D("1.2"))
    assert found.litres is not None and round(found.litres, 2) == D("3.78")
    assert found.words.startswith("1 gal (10 lb) of 10-10-10")
    assert fed("1").litres is None
    with pytest.raises(SoilError, match=r"0\.8 to 2\.2"):
        fed("1", liquid_kg_per_l=D(5))


def test_an_analysis_without_nitrogen_is_refused() -> None:
    with pytest.raises(SoilError, match="no nitrogen"):
        feed(
            kind="evergreen",
            analysis=read_analysis("0-20-0"),
            n_lb_per_1000=D(1),
            area_m2=AREA,
        )


@pytest.mark.parametrize(
    ("typed", "sold", "gallons"),
    [
        ("#3", Sold.CONTAINER, "2.4"),
        ("No. 5", Sold.CONTAINER, "3.9"),
        # In the trade three gallons are a class, not a volume.
        ("3 gal", Sold.CONTAINER, "2.4"),
        ("2.8 gal", Sold.CONTAINER, "2.8"),
        # The supplier's own volume goes before the class.
        ("#3 (2.8 gal)", Sold.CONTAINER, "2.8"),
        ("10 L", Sold.CONTAINER, "2.6"),
        ("4 in pot", Sold.CONTAINER, "0.2"),
        # 24 in ball, 60 % deep: π 12² 14.4 / 231 (arithmetic on ANSI Z60.1).
        ("2 in B&B", Sold.BALLED, "28.2"),
        ("balled, 24 in", Sold.BALLED, "28.2"),
    ],
)
def test_a_size_is_read_as_it_is_sold(typed: str, sold: Sold, gallons: str) -> None:
    size = read_size(typed)
    assert size.sold == sold and size.volume_m3 is not None
    assert round(convert(size.volume_m3, unit="m³", to="gal"), 1) == D(gallons)


def test_bare_roots_have_no_volume_and_nonsense_no_size() -> None:
    assert read_size("2 yr bare root").sold == Sold.BARE
    assert read_size("bare root").volume_m3 is None
    assert read_size("balled in burlap").volume_m3 is None
    for typed in ("", "large", "#99", "9 ft"):
        with pytest.raises(SoilError):
            read_size(typed)


def test_a_size_is_told_in_the_firms_units() -> None:
    size = read_size("#3")
    assert size_words(size, US) == "in a container, 2.4 gal, roots 8.9 in deep"
    assert size_words(size, METRIC) == "in a container, 9.1 L, roots 22.6 cm deep"
    assert size_words(read_size("bare root"), US) == "bare root"


def test_containers_agree_with_those_that_water_is_reckoned_by() -> None:
    assert {
        key: CONTAINERS[key].seen_gal for key in water.CONTAINER_GALLONS
    } == water.CONTAINER_GALLONS
