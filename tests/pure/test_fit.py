"""A plant against a place: verdicts, words, and unknown never taken for right."""

from datetime import time
from decimal import Decimal

import pytest

from plants.fit import Fit, Needs, Site, Verdict, fit, needs_of, rank

RIGHT, BEARABLE, WRONG, DEADLY, UNKNOWN = (
    Verdict.RIGHT,
    Verdict.BEARABLE,
    Verdict.WRONG,
    Verdict.DEADLY,
    Verdict.UNKNOWN,
)

# An invented place and an invented plant.
SITE = {
    "light": "part shade",
    "latest_sun": time(9),
    "ph": Decimal("6.0"),
    "has_free_lime": False,
    "moisture": "moist",
    "is_irrigated": False,
    "hardiness_zone": "7a",
    "heat_zone": 7,
    "width_m": Decimal("2.4"),
    "place": "Virginia",
    "children": False,
    "dogs": False,
    "cats": False,
    "horses": False,
    "deer": False,
}
NEEDS = {
    "light_best": ("part shade",),
    "light_bearable": ("part sun",),
    "latest_sun": time(11),
    "ph": (Decimal("5.5"), Decimal("6.5")),
    "moisture": ("moist",),
    "hardiness": (5, 8),
    "heat": (3, 8),
    "mature_width_m": Decimal("1.5"),
    "toxicity": {
        "people": "not toxic",
        "dogs": "not toxic",
        "cats": "not toxic",
        "horses": "not toxic",
    },
}


def judged(site: dict[str, object] | None = None, **needs: object) -> Fit:
    return fit(
        Site(**(SITE | (site or {}))),  # type: ignore[arg-type]
        Needs(**(NEEDS | needs)),  # type: ignore[arg-type]
    )


def verdict_of(found: Fit, key: str) -> Verdict:
    return next(each.verdict for each in found.criteria if each.key == key)


def words_of(found: Fit, key: str) -> str:
    return next(each.words for each in found.criteria if each.key == key)


def test_a_plant_whose_needs_are_all_met_is_right_in_every_respect() -> None:
    found = judged()
    assert found.verdict == RIGHT
    assert found.words == "Right here in every respect."
    assert found.reasons == ()


def test_nothing_recorded_is_never_right() -> None:
    found = fit(Site(), Needs(**NEEDS))  # type: ignore[arg-type]
    keys = {each.key for each in found.criteria if each.verdict == RIGHT}
    assert keys == {"poison-people", "poison-dogs", "poison-cats", "poison-horses"}
    assert found.verdict == UNKNOWN
    empty = fit(Site(), Needs())
    assert {each.verdict for each in empty.criteria} == {UNKNOWN}
    assert empty.words == "Nothing is recorded yet that this could be judged by."


@pytest.mark.parametrize(
    ("field", "key"),
    [
        ("light", "light"),
        ("latest_sun", "latest-sun"),
        ("ph", "ph"),
        ("moisture", "moisture"),
        ("hardiness_zone", "hardiness"),
        ("heat_zone", "heat"),
        ("width_m", "room"),
    ],
)
def test_each_thing_not_recorded_is_said_and_keeps_the_whole_from_right(
    field: str, key: str
) -> None:
    found = judged({field: None})
    assert verdict_of(found, key) == UNKNOWN
    assert words_of(found, key).endswith("is not recorded.")
    assert found.verdict == UNKNOWN
    assert found.words.startswith("Right as far as it is recorded. Not known yet: ")


@pytest.mark.parametrize(
    ("light", "verdict"),
    [
        ("part shade", RIGHT),
        ("part sun", BEARABLE),
        ("full sun", WRONG),
        ("shade", WRONG),
    ],
)
def test_light_is_judged_by_its_word(light: str, verdict: Verdict) -> None:
    assert verdict_of(judged({"light": light}), "light") == verdict


def test_a_plant_of_deep_shade_dies_in_full_sun() -> None:
    found = judged({"light": "full sun"}, light_best=("shade",), light_bearable=())
    assert verdict_of(found, "light") == DEADLY
    assert found.words == "Would not live here: light."


@pytest.mark.parametrize(
    ("hours", "verdict"),
    [("3", RIGHT), ("6", RIGHT), ("2", BEARABLE), ("7", BEARABLE), ("7.1", WRONG)],
)
def test_computed_hours_of_sun_go_before_the_word(hours: str, verdict: Verdict) -> None:
    found = judged(
        {"sun_hours": Decimal(hours), "light": "shade"},
        sun_hours=(Decimal(3), Decimal(6)),
    )
    assert verdict_of(found, "light") == verdict


def test_late_sun_is_borne_in_moist_soil_and_wrong_in_dry() -> None:
    assert verdict_of(judged({"latest_sun": time(11)}), "latest-sun") == RIGHT
    moist = judged({"latest_sun": time(13)})
    dry = judged({"latest_sun": time(13), "moisture": "average"})
    late = judged({"latest_sun": time(13, 1)})
    assert verdict_of(moist, "latest-sun") == BEARABLE
    assert verdict_of(dry, "latest-sun") == WRONG
    assert verdict_of(late, "latest-sun") == WRONG


@pytest.mark.parametrize(
    ("ph", "verdict"),
    [
        ("5.5", RIGHT),
        ("6.5", RIGHT),
        ("5.0", BEARABLE),
        ("7.0", BEARABLE),
        ("4.9", WRONG),
        ("7.1", WRONG),
        ("8.6", DEADLY),
    ],
)
def test_ph_is_judged_by_its_distance(ph: str, verdict: Verdict) -> None:
    assert verdict_of(judged({"ph": Decimal(ph)}), "ph") == verdict


def test_words_on_ph_say_what_could_be_done() -> None:
    assert words_of(judged({"ph": Decimal("6.8")}), "ph") == (
        "It wants pH 5.5 to 6.5; the soil's pH 6.8 is 0.3 too limy. Sulfur could lower "
        "the pH over three to six months, in small doses with a new test before each, "
        "and has to be kept up for good."
    )


def test_free_lime_makes_a_slightly_high_ph_wrong() -> None:
    assert verdict_of(judged({"ph": Decimal("6.8")}), "ph") == BEARABLE
    limy = judged({"ph": Decimal("6.8"), "has_free_lime": True})
    assert verdict_of(limy, "ph") == WRONG
    assert "choose another plant" in words_of(limy, "ph")


@pytest.mark.parametrize(
    ("moisture", "irrigated", "verdict"),
    [
        ("moist", False, RIGHT),
        ("average", False, BEARABLE),
        ("average", True, RIGHT),
        ("average", None, BEARABLE),
        ("dry", False, WRONG),
        ("dry", True, BEARABLE),
        ("wet", False, WRONG),
    ],
)
def test_moisture_counts_the_irrigation(
    moisture: str, irrigated: bool | None, verdict: Verdict
) -> None:
    found = judged({"moisture": moisture, "is_irrigated": irrigated})
    assert verdict_of(found, "moisture") == verdict


def test_wet_soil_kills_a_plant_of_dry_soil() -> None:
    found = judged({"moisture": "wet"}, moisture=("dry", "average"))
    assert verdict_of(found, "moisture") == DEADLY


@pytest.mark.parametrize(
    ("zone", "verdict"),
    [
        # Zones 5 to 8 take sites from 5a to 8b (USDA half-zones).
        ("5a", RIGHT),
        ("8b", RIGHT),
        ("4b", WRONG),
        ("3b", DEADLY),
        ("9a", WRONG),
    ],
)
def test_hardiness_takes_both_half_zones(zone: str, verdict: Verdict) -> None:
    assert verdict_of(judged({"hardiness_zone": zone}), "hardiness") == verdict


def test_a_zone_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="'14a' is no hardiness zone"):
        judged({"hardiness_zone": "14a"})


@pytest.mark.parametrize(
    ("zone", "verdict"), [(8, RIGHT), (9, BEARABLE), (10, WRONG), (2, BEARABLE)]
)
def test_heat_is_judged_by_its_zone(zone: int, verdict: Verdict) -> None:
    assert verdict_of(judged({"heat_zone": zone}), "heat") == verdict


@pytest.mark.parametrize(
    ("width", "verdict"), [("1.5", RIGHT), ("1.2", BEARABLE), ("1.1", WRONG)]
)
def test_room_is_the_grown_width_against_the_bed(width: str, verdict: Verdict) -> None:
    assert verdict_of(judged({"width_m": Decimal(width)}), "room") == verdict


def test_unknown_toxicity_is_said_as_unknown_and_never_right() -> None:
    for toxicity in (None, {}, {"dogs": "unknown"}, {"dogs": "probably fine"}):
        found = judged({"dogs": True}, toxicity=toxicity)
        assert verdict_of(found, "poison-dogs") == UNKNOWN
        assert words_of(found, "poison-dogs") == (
            "Whether it is toxic to dogs is not known: treat it as toxic."
        )
        assert found.verdict == UNKNOWN


def test_a_toxic_plant_is_wrong_where_the_animal_is() -> None:
    toxic = {"toxicity": NEEDS["toxicity"] | {"horses": "toxic"}}  # type: ignore[operator]
    there = judged({"horses": True}, **toxic)
    unsaid = judged({"horses": None}, **toxic)
    away = judged({"horses": False}, **toxic)
    assert (verdict_of(there, "poison-horses"), there.verdict) == (WRONG, WRONG)
    assert (verdict_of(unsaid, "poison-horses"), unsaid.verdict) == (UNKNOWN, UNKNOWN)
    # Told all the same, but it does not decide.
    assert (verdict_of(away, "poison-horses"), away.verdict) == (BEARABLE, RIGHT)
    assert words_of(away, "poison-horses").startswith("Toxic to horses; ")


def test_the_note_on_poison_is_said_once() -> None:
    toxic = dict.fromkeys(("people", "dogs", "cats", "horses"), "toxic")
    found = judged({"dogs": True}, toxicity=toxic, toxicity_note="All parts harm.")
    told = [each.words for each in found.criteria if "All parts harm." in each.words]
    assert len(told) == 1


def test_an_invasive_plant_is_wrong_where_it_is_listed() -> None:
    here = judged(invasive=("Virginia", "Maryland"))
    elsewhere = judged({"place": "Ohio"}, invasive=("Virginia", "Maryland"))
    assert verdict_of(here, "invasive") == WRONG
    west = judged({"place": "West Virginia"}, invasive=("Virginia", "Maryland"))
    assert verdict_of(west, "invasive") == BEARABLE
    assert verdict_of(elsewhere, "invasive") == BEARABLE
    assert words_of(elsewhere, "invasive") == (
        "Invasive in Virginia and Maryland: look at the local list before planting it."
    )
    assert (
        verdict_of(judged({"place": None}, invasive=("Ohio",)), "invasive") == UNKNOWN
    )


def test_deer_count_only_where_they_come() -> None:
    assert "deer" not in {each.key for each in judged().criteria}
    assert verdict_of(judged({"deer": True}), "deer") == UNKNOWN
    assert verdict_of(judged({"deer": True}, deer_eat="often"), "deer") == WRONG
    assert verdict_of(judged({"deer": True}, deer_eat="seldom"), "deer") == RIGHT
    # Where nobody has asked, only what they eat is told of, and it does not decide.
    unasked = judged({"deer": None}, deer_eat="often")
    assert (verdict_of(unasked, "deer"), unasked.verdict) == (UNKNOWN, RIGHT)
    safe = judged({"deer": None}, deer_eat="seldom")
    assert "deer" not in {each.key for each in safe.criteria}


def test_what_is_known_has_a_verdict_of_its_own() -> None:
    found = judged({"ph": None, "light": "part sun"})
    assert (found.verdict, found.known) == (UNKNOWN, BEARABLE)
    assert judged().known == RIGHT
    assert fit(Site(), Needs()).known == UNKNOWN


def test_ranking_goes_from_right_to_deadly_and_says_why() -> None:
    order = rank(
        [
            ("frozen", judged(hardiness=(10, 11))),
            ("dry", judged({"moisture": "dry"})),
            ("good", judged()),
            ("untold", judged({"ph": None})),
            ("so-so", judged({"light": "part sun"})),
            ("also good", judged()),
        ]
    )
    assert [each.key for each in order] == [
        "also good",
        "good",
        "so-so",
        "untold",
        "dry",
        "frozen",
    ]
    assert order[2].reason == (
        "Bearable here, with care: light. "
        "It bears part sun, but would rather have part shade."
    )
    assert order[5].reason == (
        "Would not live here: winter cold. "
        "It is hardy from zone 10; an ordinary winter in zone 7a kills it."
    )


def test_of_two_wrong_plants_the_one_with_fewer_faults_stands_first() -> None:
    one = judged({"moisture": "dry"})
    two = judged({"moisture": "dry", "width_m": Decimal(1)})
    assert [each.key for each in rank([("a", two), ("b", one)])] == ["b", "a"]


def test_needs_are_read_from_a_groups_facts() -> None:
    facts = {
        "light": {"best": ["part shade"], "bearable": ["part sun"]},
        "sun_hours": {"min": 3, "max": 6},
        "latest_sun": "14:00",
        "ph": [4.5, 6.0],
        "moisture": ["moist"],
        "hardiness": [5, 8],
        "heat": None,
        "mature": {"height_m": 1.3, "width_m": 1.5},
        "toxicity": {"people": "toxic", "dogs": "unknown", "note": "All parts."},
        "invasive": [],
    }
    assert needs_of(facts) == Needs(
        light_best=("part shade",),
        light_bearable=("part sun",),
        sun_hours=(Decimal(3), Decimal(6)),
        latest_sun=time(14),
        ph=(Decimal("4.5"), Decimal("6.0")),
        moisture=("moist",),
        hardiness=(5, 8),
        mature_width_m=Decimal("1.5"),
        toxicity={"people": "toxic", "dogs": "unknown"},
        toxicity_note="All parts.",
    )
    assert needs_of({}) == Needs(toxicity={})
