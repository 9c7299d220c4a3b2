"""The crew writes down what flowers, at its own stop and in one line a planting."""

import datetime as dt
from typing import Any

import pytest
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from firm import clock
from firm.models import Entry, Person
from jobs.models import Visit
from plants.models import ObservedBloom, Planting
from tests import factories
from tests.conftest import StrictClient, browser_of

DAY = dt.timedelta(days=1)


def today() -> dt.date:
    return clock.today(time_zone="America/New_York")


@pytest.fixture
def visit(crew_member: Person) -> Visit:
    crew = crew_member.memberships.get().crew
    found: Visit = factories.VisitFactory(crew=crew, day=today())
    return found


@pytest.fixture
def planting(visit: Visit) -> Planting:
    """A planting with a task of the visit."""
    found: Planting = factories.PlantingFactory(garden=visit.garden, number=4)
    factories.VisitTaskFactory(visit=visit, planting=found)
    return found


def send(browser: StrictClient, visit: Visit, **data: Any) -> Any:
    return browser.post(
        reverse("stop-seen", args=[visit.pk]),
        {"stage": "first bloom", "day": str(today()), **data},
    )


def said(browser: StrictClient, visit: Visit) -> str:
    answer = browser.get(reverse("stop", args=[visit.pk]))
    return " ".join(answer.content.decode().split())


def test_what_flowers_is_written_down_from_the_stop(
    crew_client: StrictClient, crew_member: Person, visit: Visit, planting: Planting
) -> None:
    answer = send(crew_client, visit, planting=planting.pk)

    assert answer["Location"] == (
        reverse("stop", args=[visit.pk]) + f"#seen-{planting.pk}"
    )
    observed = ObservedBloom.objects.get()
    assert (observed.planting, observed.stage, observed.day, observed.seen_by) == (
        planting,
        "first bloom",
        today(),
        crew_member,
    )
    page = said(crew_client, visit)
    assert "Number 4: written down." in page
    assert "first flowers " in page


def test_sent_twice_it_is_one_row_and_one_line_of_the_record(
    crew_client: StrictClient, visit: Visit, planting: Planting
) -> None:
    for _time in range(2):
        assert send(crew_client, visit, planting=planting.pk).status_code == 302

    assert ObservedBloom.objects.count() == 1
    assert Entry.objects.filter(action="bloom seen").count() == 1


def test_today_is_filled_in_and_the_line_is_folded_below_the_tasks(
    crew_client: StrictClient, visit: Visit, planting: Planting
) -> None:
    page = said(crew_client, visit)

    line = page.index(f'<details class="seen" id="seen-{planting.pk}">')
    assert page.index('<ul class="tasks">') < line
    assert f'id="seen-day-{planting.pk}" max="{today()}" value="{today()}"' in page


def test_a_planting_without_a_task_stands_in_a_folded_list(
    crew_client: StrictClient, visit: Visit, planting: Planting
) -> None:
    other = factories.PlantingFactory(garden=visit.garden, number=7)
    unidentified = factories.PlantingFactory(
        garden=visit.garden, number=8, plant=None, what_it_looks_like="tall, glossy"
    )

    page = said(crew_client, visit)

    assert page.index("Something else in flower?") < page.index(f"seen-{other.pk}")
    assert f"seen-{unidentified.pk}" not in page
    assert send(crew_client, visit, planting=other.pk).status_code == 302
    assert ObservedBloom.objects.get().planting == other


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"day": "2999-06-01"}, "This day is still to come"),
        ({"day": "1926-06-01"}, "more than 30 years ago"),
        ({"day": "some day"}, "Enter a valid date"),
        ({"day": ""}, "This field is required"),
        ({"stage": "wilted"}, "Select a valid choice"),
    ],
)
def test_what_cannot_be_is_told_in_the_line_and_nothing_is_lost(
    crew_client: StrictClient,
    visit: Visit,
    planting: Planting,
    typed: dict[str, str],
    words: str,
) -> None:
    answer = send(
        crew_client, visit, **{"stage": "bloom over", "planting": planting.pk, **typed}
    )

    page = " ".join(answer.content.decode().split())
    assert answer.status_code == 200
    assert words in page
    assert f'id="seen-{planting.pk}" open' in page
    if "day" in typed:
        assert f'value="{typed["day"]}"' in page
        assert '<option value="bloom over" selected>' in page
    assert ObservedBloom.objects.count() == 0


def test_only_plants_of_that_garden_are_taken(
    crew_client: StrictClient, visit: Visit, planting: Planting
) -> None:
    elsewhere = factories.PlantingFactory()

    for wrong in (elsewhere.pk, 999_999, "", "x", 10**30):
        assert send(crew_client, visit, planting=wrong).status_code == 404

    assert ObservedBloom.objects.count() == 0


def test_another_crews_stop_a_far_day_and_a_day_to_come_take_nothing(
    crew_client: StrictClient, visit: Visit, planting: Planting
) -> None:
    stranger = factories.PersonFactory(role="crew")
    factories.CrewMemberFactory(person=stranger)
    assert send(browser_of(stranger), visit, planting=planting.pk).status_code == 404

    for off in (1, -8):
        Visit.objects.filter(pk=visit.pk).update(day=today() + off * DAY)
        assert send(crew_client, visit, planting=planting.pk).status_code == 404
    Visit.objects.filter(pk=visit.pk).update(day=today() + DAY)
    assert "Seen in bloom?" not in said(crew_client, visit)

    assert ObservedBloom.objects.count() == 0


@pytest.mark.parametrize("count", [1, 3])
def test_a_stop_asks_the_same_questions_for_any_number_of_things_seen(
    count: int,
    crew_client: StrictClient,
    visit: Visit,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    for number in range(count):
        row = factories.PlantingFactory(garden=visit.garden, number=number + 1)
        factories.VisitTaskFactory(visit=visit, planting=row, how="Well.")
        ObservedBloom.objects.create(
            planting=row, stage="first bloom", day=today() - DAY
        )

    with django_assert_num_queries(19):
        page = said(crew_client, visit)

    assert page.count("Seen in bloom?") == count
