"""Soil known as a range, room to walls and neighbours, salt, wind, and mending."""

from dataclasses import replace
from datetime import time
from decimal import Decimal

import pytest

from plants.fit import (
    Fit,
    Means,
    Needs,
    Site,
    Verdict,
    Wall,
    fit,
    mend,
    needs_of,
    spread_m2,
)
from tests.pure.test_fit import NEEDS, SITE, judged, verdict_of, words_of

D = Decimal
RIGHT, BEARABLE, WRONG, DEADLY, UNKNOWN = (
    Verdict.RIGHT,
    Verdict.BEARABLE,
    Verdict.WRONG,
    Verdict.DEADLY,
    Verdict.UNKNOWN,
)
MEASURED = {"texture": "loam", "area_m2": D(20)}


def keys(found: Fit) -> set[str]:
    return {each.key for each in found.criteria}


def site(**changes: object) -> Site:
    return replace(Site(**SITE), **changes)  # type: ignore[arg-type]


def needs(**changes: object) -> Needs:
    return replace(Needs(**NEEDS), **changes)  # type: ignore[arg-type]


# --- the soil ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("low", "high", "verdict"),
    [
        # Wanted 5.5 to 6.5: the end that suits it less decides.
        ("5.5", "6.5", RIGHT),
        ("6.0", "7.0", BEARABLE),
        ("6.0", "7.1", WRONG),
        ("5.0", "6.0", BEARABLE),
        ("6.0", "8.6", DEADLY),
    ],
)
def test_of_a_range_the_worse_end_is_judged(
    low: str, high: str, verdict: Verdict
) -> None:
    found = judged({"ph": D(low), "ph_high": D(high)})
    assert verdict_of(found, "ph") == verdict


def test_a_range_that_may_be_right_asks_for_a_laboratory() -> None:
    words = words_of(judged({"ph": D("6.0"), "ph_high": D("7.0")}), "ph")
    assert words == (
        "It wants pH 5.5 to 6.5; the soil's pH 6 to 7 may be 0.5 too limy. It may be "
        "right: a laboratory's figure decides."
    )


def test_the_ph_once_treated_stands_beside_the_ph_now_with_its_dose() -> None:
    found = judged({"ph": D("7.5"), **MEASURED})
    assert verdict_of(found, "ph") == WRONG
    # Sulfur wears off, so that it stays a matter of care.
    assert verdict_of(found, "ph-after") == BEARABLE
    # 15 lb per 1,000 sq ft on 20 m² are 3.23 lb (handbook, page read).
    assert "3.23 lb of elemental sulfur in all" in words_of(found, "ph-after")
    limed = judged({"ph": D("5.0"), **MEASURED})
    assert verdict_of(limed, "ph-after") == RIGHT
    assert "ground limestone" in words_of(limed, "ph-after")


def test_treatment_is_told_only_where_it_is_needed_and_can_be_reckoned() -> None:
    assert "ph-after" not in keys(judged({"ph": D("6.0"), **MEASURED}))
    assert "ph-after" not in keys(judged({"ph": D("7.5"), "area_m2": None}))
    limy = judged({"ph": D("7.0"), "has_free_lime": True, **MEASURED})
    assert verdict_of(limy, "ph-after") == WRONG
    assert "fizzes with vinegar" in words_of(limy, "ph-after")


def test_treatment_is_told_but_does_not_decide() -> None:
    found = judged({"ph": D("7.5"), **MEASURED})
    after = next(each for each in found.criteria if each.key == "ph-after")
    assert not after.decides
    assert found.words.startswith("Wrong here: soil pH.")


# --- room --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("distance", "verdict"),
    [
        # Grown 1.5 m wide with 0.3 m of air wants 1.05 m; the middle of a bed of
        # 0.8 m lies 0.4 m farther than the bed's edge.
        ("0.65", RIGHT),
        ("0.64", BEARABLE),
        ("0.2", BEARABLE),
        ("0.19", WRONG),
    ],
)
def test_room_to_a_wall_is_reckoned_from_the_middle_of_the_bed(
    distance: str, verdict: Verdict
) -> None:
    wall = Wall(name="house", distance_m=D(distance))
    far = Wall(name="fence", distance_m=D(9))
    found = judged({"walls": (far, wall), "width_m": D("0.8")})
    assert verdict_of(found, "walls") == verdict
    assert "house" in words_of(found, "walls")
    assert "walls" not in keys(judged())


@pytest.mark.parametrize(
    ("left", "verdict"), [("1.77", RIGHT), ("1.1", BEARABLE), ("1.0", WRONG)]
)
def test_neighbours_leave_what_they_do_not_cover_when_they_are_grown(
    left: str, verdict: Verdict
) -> None:
    # 1.5 m across covers π 0.75² = 1.767 m².
    assert round(spread_m2(D("1.5")), 3) == D("1.767")
    found = judged({"area_m2": D(20), "taken_m2": D(20) - D(left)})
    assert verdict_of(found, "neighbours") == verdict


def test_an_empty_or_unmeasured_bed_has_no_neighbours_to_judge() -> None:
    assert "neighbours" not in keys(judged({"area_m2": D(20)}))
    assert "neighbours" not in keys(judged({"taken_m2": D(5)}))


# --- salt and wind -----------------------------------------------------------------


@pytest.mark.parametrize("what", ["salt", "wind"])
def test_salt_and_wind_count_only_where_they_come(what: str) -> None:
    assert what not in keys(judged({what: False}, **{what: "badly"}))
    for stands, verdict in (("well", RIGHT), ("somewhat", BEARABLE), ("badly", WRONG)):
        found = judged({what: True}, **{what: stands})
        assert verdict_of(found, what) == verdict
    assert verdict_of(judged({what: True}), what) == UNKNOWN


@pytest.mark.parametrize("what", ["salt", "wind"])
def test_what_nobody_looked_for_is_told_of_sensitive_plants_only(what: str) -> None:
    found = judged({what: None}, **{what: "badly"})
    assert (verdict_of(found, what), found.verdict) == (UNKNOWN, RIGHT)
    assert what not in keys(judged({what: None}, **{what: "well"}))


def test_salt_and_wind_are_read_from_the_facts() -> None:
    read = needs_of({"salt": "badly", "wind": "well"})
    assert (read.salt, read.wind) == ("badly", "well")


# --- what would make it fit --------------------------------------------------------


def test_a_dose_and_water_make_the_place_fit() -> None:
    here = site(ph=D("7.5"), moisture="dry", **MEASURED)
    found = mend(here, needs())
    assert [(each.key, each.means) for each in found.remedies] == [
        ("ph", Means.SOIL),
        ("moisture", Means.WATER),
    ]
    assert "elemental sulfur" in found.remedies[0].words
    assert found.after is not None and found.after.verdict == BEARABLE
    assert found.helps
    assert fit(here, needs()).verdict == WRONG


def test_what_cannot_be_mended_is_said_so() -> None:
    found = mend(site(light="full sun"), needs(hardiness=(9, 10)))
    assert [(each.key, each.means) for each in found.remedies] == [
        ("light", Means.NOTHING),
        ("hardiness", Means.NOTHING),
    ]
    assert "Winter cold cannot be mended" in found.remedies[1].words
    assert (found.after, found.helps) == (None, False)


def test_a_soil_with_free_lime_is_not_dosed() -> None:
    found = mend(site(ph=D("7.2"), has_free_lime=True, **MEASURED), needs())
    assert [each.means for each in found.remedies] == [Means.NOTHING]
    assert "raised bed or a pot" in found.remedies[0].words


def test_what_is_not_known_is_to_be_found_out_but_only_in_the_garden() -> None:
    found = mend(site(ph=None), needs())
    assert [(each.key, each.means) for each in found.remedies] == [("ph", Means.RECORD)]
    assert "strip will do" in found.remedies[0].words
    # What the catalogue does not say nobody can find out by looking.
    assert mend(site(), needs(ph=None)).remedies == ()


def test_a_range_is_tested_before_it_is_dosed() -> None:
    found = mend(site(ph=D("6.0"), ph_high=D("7.1"), **MEASURED), needs())
    assert [(each.key, each.means) for each in found.remedies] == [("ph", Means.RECORD)]


def test_deer_salt_and_wind_are_kept_off_but_change_no_verdict() -> None:
    found = mend(
        site(deer=True, salt=True, wind=True),
        needs(deer_eat="often", salt="badly", wind="somewhat"),
    )
    assert [each.means for each in found.remedies] == [Means.GUARD] * 3
    assert found.after is None


def test_irrigation_helps_against_late_sun_only_where_there_is_none() -> None:
    late = site(latest_sun=time(13), moisture="average", is_irrigated=False)
    found = mend(late, needs(moisture=("average", "moist")))
    assert [(each.key, each.means) for each in found.remedies] == [
        ("latest-sun", Means.WATER)
    ]
    assert found.after is not None and found.after.verdict == BEARABLE
    watered = replace(late, is_irrigated=True, latest_sun=time(15))
    again = mend(watered, needs(moisture=("average", "moist")))
    assert [each.means for each in again.remedies] == [Means.NOTHING]


def test_a_place_that_suits_needs_nothing() -> None:
    found = mend(site(), needs())
    assert (found.remedies, found.after) == ((), None)
