"""What the engine is asked: layers, instructions, observed bloom, few queries."""

import datetime as dt
from typing import Any

import pytest
from pytest_django import DjangoAssertNumQueries

from plants.actions.plantings import log_bloom
from plants.models import Planting, StandingInstruction
from plants.queries.care import (
    ask_the_day,
    care_years,
    climate_of,
    closed_for,
    engine_group,
    facts_about,
    planting_windows_for,
    plantings_in,
)
from tests import factories
from tests.factories import NOW, TODAY, rule_spec

pytestmark = pytest.mark.django_db
START = dt.date(2026, 1, 1)


def verdict_of(planting: Planting, task: str, purpose: str, day: dt.date) -> str:
    planting = Planting.objects.select_related(
        "plant__group", "bed", "garden__station"
    ).get(pk=planting.pk)
    for answer in ask_the_day(planting, day=day).answers:
        if (answer.task, answer.purpose) == (task, purpose):
            return answer.verdict
    return "no rule"


def test_the_nearer_layer_wins_and_says_where_it_comes_from() -> None:
    shipped = factories.RuleFactory(layer="shipped", spec=rule_spec(minutes=20))
    plant = factories.PlantFactory(group=shipped.group)
    other = factories.PlantFactory(group=shipped.group)

    def minutes_and_layer(of: Any) -> tuple[float, str]:
        rule = engine_group(of).rule("cut-after-bloom")
        return rule.minutes, rule.layer

    assert minutes_and_layer(plant) == (20, "shipped")

    factories.RuleFactory(group=shipped.group, layer="firm", spec=rule_spec(minutes=35))
    assert minutes_and_layer(plant) == (35, "firm")

    factories.RuleFactory(
        group=None, plant=plant, layer="firm", spec=rule_spec(minutes=50)
    )
    assert minutes_and_layer(plant) == (50, "plant")
    assert minutes_and_layer(other) == (35, "firm")


def test_the_firm_can_take_a_shipped_rule_out() -> None:
    shipped = factories.RuleFactory(layer="shipped")
    factories.RuleFactory(
        group=shipped.group,
        layer="firm",
        spec={"key": "cut-after-bloom", "off": True},
    )

    assert engine_group(factories.PlantFactory(group=shipped.group)).rules == ()


def test_a_plant_may_differ_from_its_group() -> None:
    plant = factories.PlantFactory(overrides={"wood": "new", "ph": [6.0, 7.0]})

    group = engine_group(plant)

    assert (group.wood, group.spec["ph"]) == ("new", [6.0, 7.0])


def test_an_instruction_closes_its_tasks_for_one_planting_only() -> None:
    rule = factories.RuleFactory()
    garden = factories.GardenFactory()
    plant = factories.PlantFactory(group=rule.group)
    screened, free = (
        factories.PlantingFactory(garden=garden, plant=plant, number=number)
        for number in (1, 2)
    )
    StandingInstruction.objects.create(
        garden=garden,
        planting=screened,
        text="Never cut: it screens the bedroom window",
        forbids=["prune"],
        given_on=dt.date(2026, 1, 1),
    )
    in_window = dt.date(2026, 7, 20)

    assert verdict_of(screened, "prune", "flower", in_window) == "closed"
    assert verdict_of(free, "prune", "flower", in_window) == "best now"
    facts = facts_about(plantings_in(garden), day=in_window)[0]
    period = closed_for(facts, task="prune", purpose="flower", day=in_window)
    assert period is not None
    assert period.why == "Never cut: it screens the bedroom window"
    assert period.layer == "planting"


def test_an_ended_instruction_closes_nothing() -> None:
    rule = factories.RuleFactory()
    planting = factories.PlantingFactory(plant__group=rule.group)
    StandingInstruction.objects.create(
        garden=planting.garden,
        text="No cutting at all",
        forbids=["prune"],
        given_on=dt.date(2026, 1, 1),
        ended_on=dt.date(2026, 7, 20),
    )

    assert verdict_of(planting, "prune", "flower", dt.date(2026, 7, 19)) == "closed"
    assert verdict_of(planting, "prune", "flower", dt.date(2026, 7, 20)) == "best now"


def test_an_unidentified_plant_only_loses_dead_wood() -> None:
    planting = factories.PlantingFactory(plant=None, what_it_looks_like="tall, glossy")

    assert verdict_of(planting, "dead wood", "dead wood", TODAY) == "allowed"
    group = facts_about(plantings_in(planting.garden), day=TODAY)[0].group
    assert [rule.task for rule in group.rules] == ["dead wood"]
    assert {task for season in group.closed for task in season.tasks} >= {
        "prune",
        "shear",
        "cut down",
    }


def test_bloom_seen_in_the_garden_moves_its_windows() -> None:
    rule = factories.RuleFactory()
    planting = factories.PlantingFactory(plant__group=rule.group)
    garden = planting.garden
    computed = care_years(garden, start=START)[0]
    start = computed.anchors["bloom_start"]
    assert start is not None
    later = start + dt.timedelta(days=12)

    log_bloom(
        planting=planting,
        stage="first bloom",
        day=later,
        today=later,
        now=NOW,
        by=factories.PersonFactory(),
    )
    moved = care_years(garden, start=START)[0]

    assert moved.anchors["bloom_start"] == later
    assert [window.best for window in moved.windows] == [
        window.best + dt.timedelta(days=12) for window in computed.windows
    ]


def test_full_bloom_is_kept_but_moves_nothing() -> None:
    rule = factories.RuleFactory()
    planting = factories.PlantingFactory(plant__group=rule.group)
    before = care_years(planting.garden, start=START)[0].windows

    log_bloom(
        planting=planting,
        stage="full bloom",
        day=dt.date(2026, 6, 1),
        today=dt.date(2026, 6, 1),
        now=NOW,
        by=factories.PersonFactory(),
    )

    assert care_years(planting.garden, start=START)[0].windows == before
    assert planting.observations.count() == 1


def test_a_young_plant_is_spared_a_cut_for_older_ones() -> None:
    rule = factories.RuleFactory(
        spec=rule_spec(conditions={"age_years_min": 4}),
    )
    garden = factories.GardenFactory()
    plant = factories.PlantFactory(group=rule.group)
    for number, age in ((1, 1), (2, 6)):
        factories.PlantingFactory(
            garden=garden, plant=plant, number=number, age_years=age
        )
    factories.PlantingFactory(
        garden=garden,
        plant=plant,
        number=3,
        age_known="unknown",
        age_years=None,
        age_on=None,
    )

    windows = [len(year.windows) for year in care_years(garden, start=TODAY)]

    assert windows == [0, 1, 1]


def test_lost_plants_need_no_care() -> None:
    planting = factories.PlantingFactory(state="lost")

    assert care_years(planting.garden, start=START) == []


@pytest.mark.parametrize("count", [1, 3, 30])
def test_care_years_ask_the_same_questions_for_any_number(
    count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    rule = factories.RuleFactory()
    garden = factories.GardenFactory()
    for number in range(1, count + 1):
        factories.PlantingFactory(
            garden=garden,
            number=number,
            plant__group=rule.group,
            bed=factories.BedFactory(garden=garden),
        )

    # Plantings, plants, groups; rules, closed seasons, instructions, what was seen.
    with django_assert_num_queries(9):
        years = care_years(garden, start=START)

    assert len(years) == count


def test_an_evergreen_may_not_be_planted_in_winter() -> None:
    plant = factories.PlantFactory(overrides={"evergreen": "yes"})
    garden = factories.GardenFactory()

    garden_spring = climate_of(garden).bud_swell(2026)

    winter, spring = (
        planting_windows_for([plant], garden=garden, day=day)[0]
        for day in (dt.date(2026, 1, 10), dt.date(2026, 4, 20))
    )

    assert (winter.is_outside, spring.is_outside) == (True, False)
    assert winter.verdict.key == "evergreen-winter"
    assert winter.next is not None
    assert winter.next.first == garden_spring
    assert spring.next is None


def test_summer_planting_hangs_on_irrigation() -> None:
    plant = factories.PlantFactory()
    garden = factories.GardenFactory()
    july = dt.date(2026, 7, 15)

    dry, watered = (
        planting_windows_for([plant], garden=garden, day=july, irrigated=irrigated)[0]
        for irrigated in (False, {plant.pk: True})
    )

    assert (dry.verdict.verdict, watered.verdict.verdict) == ("wrong", "bearable")
