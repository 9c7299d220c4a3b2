"""What may be done today: best now, allowed, closed, each with its reason."""

from datetime import date

from plants.care import ask, merge_layers, read_group
from tests.pure.care_gardens import DEAD_WOOD, group, rule, virginia

AZALEA = group(
    "old",
    rules=[
        rule("cut"),
        rule("young", purpose="structure", conditions={"age_years_max": 2}),
        DEAD_WOOD,
    ],
)


def asked(day: date, spec=AZALEA, **changes):
    found = ask(day, group=read_group(spec), climate=virginia(), age_years=6, **changes)
    return {(answer.task, answer.purpose): answer for answer in found}


def test_inside_its_window_a_cut_is_best_now():
    # Azalea: best May to July (Virginia Cooperative Extension 430-462).
    answer = asked(date(2026, 6, 20))["prune", "flower"]
    assert answer.verdict == "best now"
    assert answer.reason == (
        "Its window runs from 31 May 2026 to 10 July 2026, best about 14 June 2026."
    )
    assert answer.until == date(2026, 7, 10)
    assert answer.layer == "shipped"


def test_on_the_edges_of_the_window():
    verdicts = [
        asked(day)["prune", "flower"].verdict
        for day in (
            date(2026, 5, 30),
            date(2026, 5, 31),
            date(2026, 7, 10),
            date(2026, 7, 11),
            date(2026, 7, 31),
            date(2026, 8, 1),
        )
    ]
    assert verdicts == [
        "allowed",
        "best now",
        "best now",
        "allowed",
        "allowed",
        "closed",
    ]


def test_before_its_window_a_harmless_cut_is_allowed_and_told_when_it_is_better():
    answer = asked(date(2026, 5, 10))["prune", "flower"]
    assert answer.verdict == "allowed"
    assert answer.reason == (
        "It does no harm now; the next window opens on 31 May 2026, best about "
        "14 June 2026."
    )
    assert answer.until == date(2026, 5, 30)


def test_with_the_buds_set_a_cut_is_closed_and_says_until_when():
    answer = asked(date(2026, 10, 5))["prune", "flower"]
    assert answer.verdict == "closed"
    assert answer.reason == (
        "The buds of the next flowers sit on the old shoots: a cut now takes them off. "
        "Closed to 31 March 2027."
    )
    assert answer.closed is not None
    assert answer.until == date(2027, 3, 31)


def test_dead_wood_is_allowed_on_every_day():
    for month in range(1, 13):
        assert asked(date(2026, month, 15))["dead wood", "dead wood"].verdict == (
            "allowed"
        )
    bare = group("none", rules=[])
    assert asked(date(2026, 6, 1), bare)["dead wood", "dead wood"].reason == (
        "Dead, damaged and diseased wood may come off on any day."
    )


def test_what_a_planting_does_not_need_is_said():
    answer = asked(date(2026, 6, 20))["prune", "structure"]
    assert answer.verdict == "allowed"
    assert answer.reason == "It does no harm now; this planting does not need it."


def test_the_answers_come_with_the_work_of_the_day_first():
    found = ask(
        date(2026, 6, 20), group=read_group(AZALEA), climate=virginia(), age_years=6
    )
    assert [answer.verdict for answer in found] == ["best now", "allowed", "allowed"]


def test_an_instruction_closes_a_cut_on_its_best_day():
    held = merge_layers(
        AZALEA,
        garden={"forbid": [{"tasks": ["prune"], "why": "It screens the window."}]},
    )
    found = ask(date(2026, 6, 20), group=held, climate=virginia(), age_years=6)
    cut = next(answer for answer in found if answer.purpose == "flower")
    assert (cut.verdict, cut.reason, cut.until, cut.layer) == (
        "closed",
        "It screens the window.",
        None,
        "garden",
    )


def test_a_late_spring_moves_the_verdict():
    late = {"bloom_start": date(2026, 4, 21)}
    assert asked(date(2026, 6, 10))["prune", "flower"].verdict == "best now"
    assert asked(date(2026, 6, 10), observed=late)["prune", "flower"].verdict == (
        "allowed"
    )


def aged(age_years: float | None, day: date = date(2026, 6, 20)):
    """What is said of work that waits for its third or second year."""
    waiting = group(
        "old",
        rules=[
            rule("cut", conditions={"age_years_min": 3}),
            rule("young", purpose="structure", conditions={"age_years_max": 2}),
            rule("feed", task="feed", purpose="none", conditions={"age_years_min": 2}),
            rule(
                "look", task="inspect", purpose="none", conditions={"age_years_min": 2}
            ),
            DEAD_WOOD,
        ],
    )
    found = ask(day, group=read_group(waiting), climate=virginia(), age_years=age_years)
    return {(answer.task, answer.purpose): answer for answer in found}


def test_a_plant_that_is_too_young_is_left_alone_and_told_from_when():
    answer = aged(2.5)["prune", "flower"]
    assert (answer.verdict, answer.ground) == ("closed", "too young")
    assert answer.reason == (
        "It is too young: this is done from 3 years of age on, that is from "
        "20 December 2026."
    )
    assert answer.until == date(2026, 12, 19)
    assert answer.closed is None
    assert answer.rule is not None
    # The first window in which it is three years old.
    assert answer.ahead is not None
    assert answer.ahead.earliest == date(2027, 5, 31)


def test_youth_closes_cuts_and_feeding_and_nothing_else():
    assert {about: answer.verdict for about, answer in aged(0.4).items()} == {
        ("prune", "structure"): "best now",
        ("prune", "flower"): "closed",
        ("feed", "none"): "closed",
        ("inspect", "none"): "allowed",
        ("dead wood", "dead wood"): "allowed",
    }


def test_of_youth_and_closed_season_the_longer_one_is_told():
    # The season opens on 1 April 2027; three years old it is sooner or later than that.
    october = date(2026, 10, 5)
    soon = aged(2.8, october)["prune", "flower"]
    assert (soon.ground, soon.until) == ("closed season", date(2027, 3, 31))
    late = aged(0.5, october)["prune", "flower"]
    assert (late.verdict, late.ground) == ("closed", "too young")
    assert late.until == date(2029, 4, 5)


def test_an_established_plant_and_one_of_unknown_age_need_not_wait():
    for age in (3.1, 12.0, None):
        assert aged(age)["prune", "flower"].verdict == "best now"


def test_a_closed_cut_names_the_next_window_and_its_source():
    answer = asked(date(2026, 10, 5))["prune", "flower"]
    assert answer.ahead is not None
    assert answer.ahead.earliest == date(2027, 5, 31)
    assert answer.ground == "closed season"
    assert answer.source == answer.closed.source
    free = asked(date(2026, 6, 20))["dead wood", "dead wood"]
    assert (free.ahead, free.ground) == (None, "on any day")
