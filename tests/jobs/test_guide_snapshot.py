"""What a care guide says: the engine's own dates, water, what is shut, poison."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.template.loader import render_to_string
from django.test.utils import CaptureQueriesContext

from jobs.models.documents import plain
from jobs.queries.guides import guide_snapshot
from plants import care, water
from plants.climate import Climate
from plants.models import Garden, Planting, StandingInstruction
from plants.queries.care import engine_group, plantings_in
from tests import factories
from tests.factories import HILL_FIGURES, rule_spec

pytestmark = pytest.mark.django_db
PLANTED = dt.date(2026, 4, 14)
FEED = {
    "key": "feed-in-spring",
    "task": "feed",
    "purpose": "none",
    "window": {"anchor": "bud_swell", "earliest": -14, "best": 7, "latest": 45},
    "conditions": {},
    "drawing": "none",
    "limits": None,
    "how": "A shovel of compost.",
}


@pytest.fixture
def garden(db: None) -> Garden:
    factories.FirmFactory(poison_line_people="555 0122", poison_line_animals="555 0133")
    client = factories.ClientFactory(name="Dana Quill", has_dogs=True)
    factories.ContactFactory(client=client)
    factories.RuleFactory()
    factories.RuleFactory(key="feed-in-spring", task="feed", spec=rule_spec(**FEED))
    factories.RuleFactory(
        key="uncover",
        task="unprotect",
        spec=rule_spec(
            key="uncover",
            task="unprotect",
            purpose="none",
            window={
                "anchor": "last_spring_frost",
                "earliest": -14,
                "best": 0,
                "latest": 7,
            },
            conditions={},
            drawing="none",
            limits=None,
        ),
    )
    factories.ClosedSeasonFactory()
    found: Garden = factories.GardenFactory(client=client, name="Orchard Row")
    return found


def planted(garden: Garden, **changes: Any) -> Planting:
    if "bed" not in changes:
        changes["bed"] = factories.BedFactory(garden=garden, name="Long border")
    options: dict[str, Any] = {
        "garden": garden,
        "plant": factories.PlantFactory(common="Blue mophead"),
        "number": 1,
        "count": 5,
        "origin": "planted",
        "planted_on": PLANTED,
        "age_known": "known",
        "age_years": 0,
        "age_on": PLANTED,
    }
    found: Planting = factories.PlantingFactory(**{**options, **changes})
    return found


def snapshot(garden: Garden, **changes: Any) -> dict[str, Any]:
    options: dict[str, Any] = {
        "garden": garden,
        "plantings": plantings_in(garden),
        "number": "G-2026-0001",
        "start": PLANTED,
        "day": PLANTED,
        "language": "en",
    }
    return plain(guide_snapshot(**{**options, **changes}))


def written(paper: dict[str, Any]) -> str:
    html = render_to_string(
        "documents/care_guide.html", {"paper": paper, "language": "en"}
    )
    return " ".join(html.split())


def engine_year(planting: Planting, **changes: Any) -> list[care.Window]:
    assert planting.plant is not None
    options: dict[str, Any] = {
        "group": engine_group(planting.plant),
        "climate": Climate.from_figures(HILL_FIGURES, lat=38.6),
        "start": dt.date(2026, 4, 1),
        "days": 365,
        "planted_on": PLANTED,
        "irrigated": False,
    }
    return care.care_year(**{**options, **changes})


def test_the_guide_runs_twelve_months_from_the_month_of_planting(
    garden: Garden,
) -> None:
    planted(garden)
    paper = snapshot(garden)
    assert (paper["start"], paper["end"]) == ("2026-04-01", "2027-03-31")
    assert [month["first"] for month in paper["months"]] == [
        f"2026-{month:02d}-01" for month in range(4, 13)
    ] + [f"2027-{month:02d}-01" for month in (1, 2, 3)]


def test_the_dates_are_those_of_the_engine(garden: Garden) -> None:
    planting = planted(garden)
    (plant,) = snapshot(garden)["plants"]
    windows = engine_year(planting)
    told = {
        line["key"]: line["runs"]
        for part in ("pruning", "feeding", "soil", "water", "other", "any_day")
        for line in plant[part]
    }
    by_rule: dict[str, list[list[str]]] = {}
    for window in windows:
        by_rule.setdefault(window.rule.key, []).append(
            [str(window.earliest), str(window.best), str(window.latest)]
        )
    # Uncovering in the spring of planting is left out: nothing was covered.
    uncovered = by_rule.pop("uncover", [])
    assert uncovered
    assert told == by_rule
    assert "feed-in-spring" in told
    in_months = [
        row["run"] for month in snapshot(garden)["months"] for row in month["tasks"]
    ]
    assert sorted(in_months) == sorted(run for runs in by_rule.values() for run in runs)


def test_a_cut_that_waits_for_age_stands_under_later_years_with_its_days(
    garden: Garden,
) -> None:
    planting = planted(garden)
    (plant,) = snapshot(garden)["plants"]
    assert plant["pruning"] == []
    (later,) = plant["later"]
    (grown,) = [
        window
        for window in engine_year(planting, planted_on=None)
        if window.rule.key == "cut-after-bloom"
    ]
    assert later["key"] == "cut-after-bloom"
    assert later["from_years"] == 2
    assert later["runs"] == [[str(grown.earliest), str(grown.best), str(grown.latest)]]
    page = written({**snapshot(garden)})
    assert "Wait until it has stood for 2 years; after that usually" in page
    assert "How far:</strong> a third at most" in page
    assert "Where:</strong> Just above a strong pair of buds." in page


def test_an_old_plant_gets_its_cut_this_year_and_no_water_table(
    garden: Garden,
) -> None:
    planted(garden, origin="there", planted_on=None, age_years=6)
    paper = snapshot(garden)
    (plant,) = paper["plants"]
    assert [line["key"] for line in plant["pruning"]] == ["cut-after-bloom"]
    assert plant["later"] == []
    assert paper["water"] == []
    assert "Water in the first year" not in written(paper)


def test_the_closed_season_is_said_with_dates_and_why(garden: Garden) -> None:
    planting = planted(garden)
    paper = snapshot(garden)
    (plant,) = paper["plants"]
    season = next(row for row in plant["closed"] if row["key"] == "buds-are-set")
    assert planting.plant is not None
    climate = Climate.from_figures(HILL_FIGURES, lat=38.6)
    group = engine_group(planting.plant)
    turns = care.anchors(climate=climate, group=group, year=2026)
    after = care.anchors(climate=climate, group=group, year=2027)
    assert season["spans"][-1] == [str(turns["bud_set"]), str(after["bloom_start"])]
    assert "The flower buds of the coming bloom sit on the wood." in written(paper)
    december = paper["months"][8]
    assert december["first"] == "2026-12-01"
    assert {
        "first": "2026-12-01",
        "last": "2026-12-31",
        "is_whole_month": True,
        "numbers": [1],
    } in [part for row in december["closed"] for part in row["parts"]]


def test_unknown_poison_is_said_as_unknown_and_the_lines_to_call_stand_there(
    garden: Garden,
) -> None:
    planted(garden)
    paper = snapshot(garden)
    (plant,) = paper["plants"]
    assert plant["toxicity"] == {
        "people": "unknown",
        "dogs": "toxic",
        "cats": "toxic",
        "horses": "unknown",
    }
    page = written(paper)
    assert "Toxic to dogs and cats." in page
    assert "Not known for people and horses: treat it as toxic." in page
    assert "dial 911 first" in page
    assert "Poison line for people: 555 0122" in page
    assert "Poison line for animals: 555 0133" in page
    assert "office@fernhollow.example" in page
    silent = {**paper, "firm": {**paper["firm"], "poison_line_people": ""}}
    assert "ask your doctor for the number" in written(silent)


def test_a_plant_is_never_shown_as_safe_where_nothing_is_written(
    garden: Garden,
) -> None:
    group = factories.GroupFactory(key="silent")
    group.facts = {**group.facts, "key": "silent", "toxicity": {}}
    group.save()
    planted(garden, plant=factories.PlantFactory(group=group))
    page = written(snapshot(garden))
    said = "Not known for people, dogs, cats and horses: treat it as toxic."
    assert said in page
    assert "not toxic" not in page


def test_an_instruction_is_said_first_and_shuts_its_tasks(garden: Garden) -> None:
    planting = planted(garden, planted_on=dt.date(2020, 4, 1))
    StandingInstruction.objects.create(
        garden=garden,
        planting=planting,
        text="Never cut: screens the bedroom window",
        forbids=["prune"],
        given_on=dt.date(2026, 4, 10),
    )
    paper = snapshot(garden)
    assert paper["instructions"] == [
        {"text": "Never cut: screens the bedroom window", "number": 1}
    ]
    (plant,) = paper["plants"]
    assert plant["pruning"] == []
    assert "Your own wish for number 1: Never cut" in written(paper)
    before = snapshot(garden, day=dt.date(2026, 4, 9))
    assert before["instructions"] == []
    assert [line["task"] for line in before["plants"][0]["pruning"]] == ["prune"]


def test_an_unidentified_plant_is_said_so(garden: Garden) -> None:
    planted(
        garden,
        plant=None,
        origin="there",
        planted_on=None,
        what_it_looks_like="Tall, grey leaves",
    )
    page = written(snapshot(garden))
    assert "Tall, grey leaves" in page
    assert "Until it is, only dead wood may be cut." in page


# University of Minnesota Extension, Watering newly planted trees and shrubs (page
# read): daily in weeks 1 and 2, every 2 to 3 days in weeks 3 to 12, then weekly.
def test_water_follows_the_published_rhythm_from_the_day_of_planting(
    garden: Garden,
) -> None:
    planted(garden)
    (row,) = snapshot(garden)["water"]
    assert row["how"] == "shrub"
    # The place's means are 0.5 (January), 2, 6.5 and 8, 2.5 °C (December).
    assert [
        (p["first"], p["last"], p["every"], p["is_cold"]) for p in row["phases"]
    ] == [
        ("2026-04-15", "2026-04-28", "day", False),
        ("2026-04-29", "2026-07-07", "2-3 days", False),
        ("2026-07-08", "2026-11-30", "week", False),
        ("2026-12-01", "2027-02-28", "week", True),
        ("2027-03-01", "2027-03-31", "week", False),
    ]
    april = snapshot(garden)["months"][0]["water"]
    assert [(p["last"], p["every"]) for p in april[0]["phases"]] == [
        ("2026-04-28", "day"),
        ("2026-04-30", "2-3 days"),
    ]


# Arithmetic on the same page (a quarter to a third of the container) with one nursery
# catalogue's pot volumes (copy read).
@pytest.mark.parametrize(
    ("container", "low", "high"),
    [
        ("#1", "0.19", "0.25"),
        ("#3", "0.60", "0.80"),
        ("#5", "0.98", "1.30"),
        ("#7", "1.63", "2.17"),
        ("#15", "3.63", "4.83"),
    ],
)
def test_a_shrub_gets_a_quarter_to_a_third_of_its_pot(
    container: str, low: str, high: str
) -> None:
    gallons = [
        litres / water.LITRES_OF_A_GALLON for litres in water.shrub_litres(container)
    ]
    expected = [Decimal(low), Decimal(high)]
    assert [
        abs(a - b) <= Decimal("0.005") for a, b in zip(gallons, expected, strict=True)
    ] == [True, True]


def test_amounts_stand_in_the_firms_units(garden: Garden) -> None:
    planted(garden)
    paper = snapshot(garden)
    assert "0.6 to 0.8 gal" in written(paper)
    metric = {**paper, "firm": {**paper["firm"], "units": "metric"}}
    assert "2.3 to 3.0 L" in written(metric)
    assert "gal<" not in written(metric)


def test_a_guide_asks_no_more_for_twelve_plantings_than_for_two(
    garden: Garden,
) -> None:
    bed = factories.BedFactory(garden=garden)
    for number in (1, 2):
        planted(garden, number=number, bed=bed)
    with CaptureQueriesContext(
        connection,
    ) as two:
        snapshot(garden)
    for number in range(3, 13):
        planted(garden, number=number, bed=bed)
    with CaptureQueriesContext(connection) as twelve:
        snapshot(garden)
    assert len(twelve) == len(two)
