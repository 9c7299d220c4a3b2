"""Sulfur, lime and blends against printed tables; each source stands at its check."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firm.units import Display, convert
from plants.soil import (
    SOURCES,
    TEXTURES,
    Dose,
    SoilError,
    blend,
    ferrous_sulfate_kg,
    lime,
    ph_words,
    sulfur,
)
from plants.soil.tables import LIME_TO_6_5

THOUSAND_SQ_FT = convert(Decimal(1000), unit="sq ft", to="m²")
HUNDRED_SQ_FT = convert(Decimal(100), unit="sq ft", to="m²")


def to_ph(start: str, target: str, texture: str, **changes: object) -> Dose:
    settings = {
        "area_m2": THOUSAND_SQ_FT,
        "planted": True,
        "has_free_lime": False,
    } | changes
    return sulfur(
        start_ph=Decimal(start),
        target_ph=Decimal(target),
        texture=texture,
        **settings,  # type: ignore[arg-type]
    )


@pytest.mark.parametrize(
    ("start", "texture", "pounds"),
    [
        # Michigan State University to pH 4.5, as quoted by a supplier (lb an acre
        # divided by 43.56); small-fruit bulletins print the same within 0.1 lb per
        # 100 sq ft (from memory).
        ("5.0", "sand", "4.0"),
        ("5.5", "sand", "8.0"),
        ("6.0", "sand", "12.2"),
        ("6.5", "sand", "15.2"),
        ("7.0", "sand", "19.3"),
        ("5.0", "loam", "12.2"),
        ("5.5", "loam", "23.6"),
        ("6.0", "loam", "35.4"),
        ("6.5", "loam", "46.4"),
        ("7.0", "loam", "58.8"),
        ("5.0", "clay", "18.4"),
        ("5.5", "clay", "36.7"),
        ("6.0", "clay", "52.8"),
        ("6.5", "clay", "69.6"),
        ("7.0", "clay", "87.9"),
    ],
)
def test_sulfur_to_ph_4_5_is_the_printed_table(
    start: str, texture: str, pounds: str
) -> None:
    dose = to_ph(start, "4.5", texture)
    assert round(dose.lb_per_1000_sq_ft, 1) == Decimal(pounds)
    assert dose.sources[0] == "msu-blueberry"


@pytest.mark.parametrize(
    ("texture", "pounds"), [("sandy loam", 10), ("loam", 15), ("clay", 20)]
)
def test_one_unit_of_ph_takes_what_the_handbook_prints(
    texture: str, pounds: int
) -> None:
    # A garden soil handbook, Make the pH work for you (page read): 10, 15 and 20 lb
    # per 1,000 sq ft for one whole unit in sandy loam, loam and heavy clay loam.
    dose = to_ph("7.5", "6.5", texture)
    assert dose.lb_per_1000_sq_ft == pounds
    assert dose.sources[0] == "soil-handbook"


def test_both_figures_are_told_where_two_sources_differ() -> None:
    # Handbook 20; Michigan (2300 - 800) / 43.56 = 34.4. A Georgia page (R10, read)
    # prints 3 lb per 100 sq ft for clay from 6.0 to 5.0, between the two.
    dose = to_ph("6.0", "5.0", "clay")
    assert dose.lb_per_1000_sq_ft == 20
    other = dose.other_lb_per_1000_sq_ft["msu-blueberry"]
    assert round(other, 1) == Decimal("34.4")
    assert dose.lb_per_1000_sq_ft < 30 < other
    assert "Another source says 34.4 lb per 1,000 sq ft" in dose.words


@pytest.mark.parametrize(("texture", "grams"), [("sand", 135), ("clay", 270)])
def test_the_horticultural_societys_figure_is_shown_beside_the_smaller_one(
    texture: str, grams: int
) -> None:
    # Royal Horticultural Society (page read): 135 g per m² on sand and 270 on clay
    # from pH 7.0-7.5 down to 6.0-6.5; 2.77 and 5.53 lb per 100 sq ft (arithmetic).
    metric = to_ph("7.5", "6.5", texture, display=Display("metric"))
    assert f"Another source says {grams} g per m²" in metric.words
    other = metric.other_lb_per_1000_sq_ft["rhs-acidifying"] / 10
    assert round(other, 2) == {135: Decimal("2.77"), 270: Decimal("5.53")}[grams]
    assert metric.lb_per_1000_sq_ft < other * 10
    loam = to_ph("7.5", "6.5", "loam")
    assert "rhs-acidifying" not in loam.other_lb_per_1000_sq_ft


def test_sulfur_on_planted_ground_is_split_at_ten_pounds() -> None:
    # Clemson University calculator (page read): 5 to 10 lb per 1,000 sq ft at once,
    # two to three months between. 30 lb make three doses over six months.
    dose = to_ph("7.5", "5.5", "loam")
    assert dose.lb_per_1000_sq_ft == 30
    assert (dose.visits, dose.months_between) == (3, 3)
    assert round(convert(dose.kg_each, unit="kg", to="lb"), 6) == 10
    assert dose.words.startswith(
        "30 lb of elemental sulfur in all (30 lb per 1,000 sq ft). "
        "In 3 doses of 10 lb, 3 months apart."
    )


def test_sulfur_in_a_bare_bed_is_split_at_twenty_pounds() -> None:
    # Midwestern extension article (copy): 2 lb per 100 sq ft at once, three months.
    dose = to_ph("7.5", "5.5", "loam", planted=False)
    assert dose.visits == 2
    assert dose.sources == ("soil-handbook", "midwest-bed")


def test_one_small_dose_is_not_split() -> None:
    dose = to_ph("6.0", "5.5", "loam", area_m2=HUNDRED_SQ_FT)
    assert dose.lb_per_1000_sq_ft == Decimal("7.5")
    assert (dose.visits, dose.months_between) == (1, 0)
    assert dose.words.startswith(
        "0.75 lb of elemental sulfur in all (7.5 lb per 1,000 sq ft). In one dose."
    )


@given(
    start=st.decimals("4.6", "7.5", places=1),
    target=st.decimals("4.5", "7.4", places=1),
    texture=st.sampled_from(TEXTURES),
    planted=st.booleans(),
)
def test_no_dose_of_sulfur_passes_its_ceiling(
    start: Decimal, target: Decimal, texture: str, planted: bool
) -> None:
    try:
        dose = sulfur(
            start_ph=start,
            target_ph=target,
            texture=texture,
            area_m2=THOUSAND_SQ_FT,
            planted=planted,
            has_free_lime=False,
        )
    except SoilError:
        assert target >= start or (target == Decimal("4.5") and start > 7)
        return
    assert 0 < dose.lb_per_1000_sq_ft
    assert dose.lb_per_1000_sq_ft / dose.visits <= (10 if planted else 20)


def test_a_soil_with_free_lime_gets_no_sulfur() -> None:
    # Royal Horticultural Society (page read): do not try where free lime is present.
    assert to_ph("7.0", "6.0", "loam").visits == 2
    with pytest.raises(SoilError, match="fizzes with vinegar"):
        to_ph("7.0", "6.0", "loam", has_free_lime=True)


@pytest.mark.parametrize(
    ("start", "target", "texture", "why"),
    [
        ("6.0", "6.0", "loam", "not lower"),
        ("8.0", "6.5", "loam", "laboratory"),
        ("7.2", "4.5", "loam", "ends at a starting pH of 7.0"),
        ("6.0", "4.4", "loam", "lower than pH 4.5"),
        ("15", "6.0", "loam", "outside 3 to 10"),
        ("6.0", "5.5", "gravel", "no soil texture"),
    ],
)
def test_sulfur_out_of_its_tables_is_refused_with_the_reason(
    start: str, target: str, texture: str, why: str
) -> None:
    with pytest.raises(SoilError, match=why):
        to_ph(start, target, texture)


def test_sulfur_for_no_area_is_refused() -> None:
    with pytest.raises(SoilError, match="area must be above nothing"):
        to_ph("6.0", "5.5", "loam", area_m2=Decimal(0))


def test_ferrous_sulfate_is_eight_times_the_sulfur() -> None:
    # Royal Horticultural Society (page read): 1080 for 135, 2160 for 270 g per m².
    assert ferrous_sulfate_kg(Decimal("0.135")) == Decimal("1.080")
    assert ferrous_sulfate_kg(Decimal("0.270")) == Decimal("2.160")


@pytest.mark.parametrize(
    ("start", "texture", "pounds"),
    [
        # Limestone per 1,000 sq ft to pH 6.5, vCalc data set (page read).
        ("4.0", "sand", 100),
        ("4.5", "loam", 150),
        ("5.0", "clay", 150),
        ("5.5", "loam", 75),
        ("6.0", "sand", 20),
        ("6.0", "clay", 50),
        # The same per 100 sq ft (copy), times ten.
        ("4.0", "sandy loam", 115),
        ("5.5", "sandy loam", 60),
        ("4.5", "clay loam", 195),
        ("6.0", "clay loam", 55),
        # Half way between two printed rows (arithmetic): (75 + 35) / 2.
        ("5.75", "loam", 55),
    ],
)
def test_lime_to_ph_6_5_is_the_printed_table(
    start: str, texture: str, pounds: int
) -> None:
    dose = lime(start_ph=Decimal(start), texture=texture, area_m2=THOUSAND_SQ_FT)
    assert dose.lb_per_1000_sq_ft == pounds


def test_lime_is_never_taken_for_sulfur() -> None:
    # A circulating copy prints the lime figures (8 / 10 / 15 lb per 100 sq ft at pH
    # 5.0) under a sulfur heading. As lime they stand, as sulfur they must not.
    assert LIME_TO_6_5["sandy loam"][Decimal("5.0")] == 80
    assert LIME_TO_6_5["clay loam"][Decimal("5.0")] == 150
    assert to_ph("5.0", "4.5", "clay").lb_per_1000_sq_ft < 20


def test_impure_lime_takes_more() -> None:
    # Penn State laboratory (page read): 5 lb per 100 sq ft at 70 % CCE is 7 lb
    # (7.14 exactly). 50 lb per 1,000 sq ft is clay from pH 6.0.
    dose = lime(
        start_ph=Decimal("6.0"),
        texture="clay",
        area_m2=HUNDRED_SQ_FT,
        cce_percent=Decimal(70),
    )
    assert round(convert(dose.kg, unit="kg", to="lb"), 2) == Decimal("7.14")


@pytest.mark.parametrize(
    ("start", "texture", "visits"),
    [
        # Penn State laboratory (page read), per 100 sq ft: 11 to 20 lb in two halves
        # six months apart, 21 lb or more in three parts.
        ("4.0", "sand", 1),
        ("5.0", "loam", 2),
        ("4.5", "clay", 2),
        ("4.0", "clay", 3),
    ],
)
def test_much_lime_is_split_by_the_laboratorys_rule(
    start: str, texture: str, visits: int
) -> None:
    dose = lime(start_ph=Decimal(start), texture=texture, area_m2=THOUSAND_SQ_FT)
    assert dose.visits == visits
    assert dose.months_between == (6 if visits > 1 else 0)


@pytest.mark.parametrize(
    ("start", "target", "why"),
    [
        ("6.5", "6.5", "not higher"),
        ("6.0", "7.0", "higher than pH 6.5"),
        ("3.5", "6.5", "says nothing about 3.5"),
    ],
)
def test_lime_out_of_its_table_is_refused(start: str, target: str, why: str) -> None:
    with pytest.raises(SoilError, match=why):
        lime(
            start_ph=Decimal(start),
            target_ph=Decimal(target),
            texture="loam",
            area_m2=THOUSAND_SQ_FT,
        )


def test_lime_of_an_impossible_purity_is_refused() -> None:
    with pytest.raises(SoilError, match="between 20 and 120"):
        lime(
            start_ph=Decimal("6.0"),
            texture="loam",
            area_m2=THOUSAND_SQ_FT,
            cce_percent=Decimal(0),
        )


def test_a_blend_gives_each_part_its_volume() -> None:
    # Bed of 30 ft x 8 ft, 8 in deep: 160 cu ft as 96 / 40 / 24 (arithmetic).
    whole = convert(Decimal(160), unit="cu ft", to="m³")
    mix = blend(
        volume_m3=whole,
        percents={
            "native soil": Decimal(60),
            "compost": Decimal(25),
            "sand": Decimal(15),
        },
    )
    volumes = [
        round(convert(part.volume_m3, unit="m³", to="cu ft"), 6) for part in mix.parts
    ]
    assert volumes == [96, 40, 24]
    assert mix.warnings == ()
    assert mix.words == (
        "native soil 60 % (3.556 cu yd), compost 25 % (1.481 cu yd), "
        "sand 15 % (0.889 cu yd)."
    )


def test_a_blend_above_thirty_percent_compost_warns() -> None:
    # Common practice, no source.
    half = {"native soil": Decimal(50), "compost": Decimal(50)}
    assert (
        "More than 30 % compost"
        in blend(volume_m3=Decimal(1), percents=half).warnings[0]
    )
    at_limit = {"native soil": Decimal(70), "compost": Decimal(30)}
    assert blend(volume_m3=Decimal(1), percents=at_limit).warnings == ()


@pytest.mark.parametrize(
    ("percents", "volume", "why"),
    [
        ({"native soil": 60, "compost": 30}, 1, "make 90 %, not 100 %"),
        ({"native soil": 110, "compost": -10}, 1, "below nothing"),
        ({"native soil": 100}, 0, "volume above nothing"),
    ],
)
def test_a_blend_that_cannot_be_is_refused(
    percents: dict[str, int], volume: int, why: str
) -> None:
    shares = {name: Decimal(share) for name, share in percents.items()}
    with pytest.raises(SoilError, match=why):
        blend(volume_m3=Decimal(volume), percents=shares)


def test_words_on_ph_follow_the_side_and_the_lime() -> None:
    wanted = (Decimal("5.5"), Decimal("6.5"))
    assert ph_words(ph=Decimal("6.0"), wanted=wanted) == "The pH needs nothing."
    assert ph_words(ph=Decimal("5.0"), wanted=wanted).startswith("Ground limestone")
    assert "free lime and sulfur is wasted" in ph_words(
        ph=Decimal("7.0"), wanted=wanted
    )
    assert "vinegar" not in ph_words(
        ph=Decimal("7.0"), wanted=wanted, has_free_lime=False
    )
    assert "choose another plant" in ph_words(
        ph=Decimal("7.0"), wanted=wanted, has_free_lime=True
    )


def test_every_source_says_how_it_was_read() -> None:
    assert {read for _, read in SOURCES.values()} == {
        "page read",
        "copy",
        "memory",
        "practice",
    }
