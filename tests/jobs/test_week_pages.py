"""The pages of the week: board, place, order, one visit."""

import datetime as dt
from typing import Any

import pytest
from django.urls import reverse

from firm import clock
from firm.models import Crew, Person
from jobs.models import HourEntry, Problem, Visit
from jobs.queries.week import monday_of
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW
from tests.jobs.contract_samples import care_garden, running

pytestmark = pytest.mark.django_db


def today() -> dt.date:
    return clock.today(time_zone="America/New_York")


@pytest.fixture
def crew(owner: Person) -> Crew:
    """Two people."""
    found: Crew = factories.CrewFactory(name="Alder crew")
    for _ in range(2):
        factories.CrewMemberFactory(crew=found)
    return found


def a_visit(**changes: Any) -> Visit:
    """A care visit whose window is open today for a month."""
    contract = running(now=clock.now(), starts_on=today())
    visit = Visit.objects.filter(contract=contract).order_by("best_on").first()
    assert visit is not None
    values = {
        "earliest_on": today() - dt.timedelta(days=3),
        "best_on": today(),
        "latest_on": today() + dt.timedelta(days=30),
        **changes,
    }
    Visit.objects.filter(pk=visit.pk).update(**values)
    visit.tasks.update(
        planting=None, earliest_on=None, best_on=None, latest_on=None, task="other"
    )
    visit.refresh_from_db()
    return visit


def test_the_board_shows_crews_hours_and_what_is_to_place(
    owner_client: StrictClient, crew: Crew
) -> None:
    visit = a_visit()
    job = factories.JobFactory(state="to book", title="New border")
    page = owner_client.get(reverse("week"))
    body = page.content.decode()
    assert "Alder crew" in body
    assert "0 of 16 h" in body
    assert f"Orchard Row: {visit.title}" in body
    assert reverse("job", args=[job.pk]) in body
    assert "Hours of the coming weeks" in body


@pytest.mark.parametrize("day", ["yesterday", "2026-02-30", "1026-02-01"])
def test_a_week_that_is_none_is_not_found(
    owner_client: StrictClient, crew: Crew, day: str
) -> None:
    assert owner_client.get(reverse("week"), {"day": day}).status_code == 404


def test_a_visit_is_placed_from_the_board_and_said_where(
    owner_client: StrictClient, crew: Crew
) -> None:
    visit = a_visit()
    answer = owner_client.post(
        reverse("visit-place", args=[visit.pk]),
        {"version": visit.version, "crew": crew.pk, "day": today()},
        follow=True,
    )
    assert answer.redirect_chain == [(f"{reverse('week')}?day={today()}", 302)]
    visit.refresh_from_db()
    assert (visit.crew, visit.day) == (crew, today())
    assert f"{visit.title}: Alder crew" in answer.content.decode()


def test_an_over_full_day_is_said_after_placing(
    owner_client: StrictClient, crew: Crew
) -> None:
    visit = a_visit(planned_hours=20)
    answer = owner_client.post(
        reverse("visit-place", args=[visit.pk]),
        {"version": visit.version, "crew": crew.pk, "day": today()},
        follow=True,
    )
    assert "20 of 16 h, over-full by 4 h" in answer.content.decode()


def test_a_wrong_day_lists_why_and_keeps_what_was_typed(
    owner_client: StrictClient, crew: Crew
) -> None:
    visit = a_visit()
    late = visit.latest_on + dt.timedelta(days=5)  # type: ignore[operator]
    address = reverse("visit-place", args=[visit.pk])
    data = {"version": visit.version, "crew": crew.pk, "day": late, "position": 3}
    page = owner_client.post(address, data)
    assert page.status_code == 200
    body = page.content.decode()
    assert "outside its window" in body
    assert "This day is wrong for what is named above." in body
    assert f'value="{late}"' in body
    visit.refresh_from_db()
    assert visit.day is None
    owner_client.post(address, {**data, "reason": "They are away till then."})
    visit.refresh_from_db()
    assert (visit.day, visit.position) == (late, 3)
    assert visit.owners_reason == "They are away till then."


def test_a_day_in_the_past_is_refused_beside_its_field(
    owner_client: StrictClient, crew: Crew
) -> None:
    visit = a_visit()
    page = owner_client.post(
        reverse("visit-place", args=[visit.pk]),
        {
            "version": visit.version,
            "crew": crew.pk,
            "day": today() - dt.timedelta(days=1),
        },
    )
    assert "This day is over." in page.content.decode()


def test_the_second_planner_is_shown_where_the_visit_stands_now(
    owner_client: StrictClient, crew: Crew
) -> None:
    visit = a_visit()
    address = reverse("visit-place", args=[visit.pk])
    data = {"version": visit.version, "crew": crew.pk, "day": today()}
    owner_client.post(address, data)
    other = today() + dt.timedelta(days=1)
    page = owner_client.post(address, {**data, "day": other})
    assert page.status_code == 409
    body = page.content.decode()
    assert "Somebody else changed this" in body
    assert "It now stands with Alder crew" in body
    assert f'value="{other}"' in body
    assert f'name="version" value="{visit.version + 1}"' in body
    visit.refresh_from_db()
    assert visit.day == today()


def test_a_visit_is_taken_off_and_called_off(
    owner_client: StrictClient, crew: Crew
) -> None:
    visit = a_visit(crew=crew, day=today())
    owner_client.post(
        reverse("visit-take-off", args=[visit.pk]), {"version": visit.version}
    )
    visit.refresh_from_db()
    assert visit.day is None
    owner_client.post(
        reverse("visit-call-off", args=[visit.pk]),
        {"version": visit.version, "reason": "too wet"},
    )
    visit.refresh_from_db()
    assert visit.state == "called off"


def test_stops_are_put_in_order_on_their_page(
    owner_client: StrictClient, crew: Crew
) -> None:
    first, second = (
        factories.VisitFactory(crew=crew, day=today(), position=n) for n in (1, 2)
    )
    address = reverse("week-order", args=[crew.pk, str(today())])
    assert owner_client.get(address).status_code == 200
    owner_client.post(address, {f"stop_{first.pk}": 2, f"stop_{second.pk}": 1})
    second.refresh_from_db()
    assert second.position == 1
    wrong = owner_client.post(address, {f"stop_{first.pk}": 0, f"stop_{second.pk}": 1})
    assert "must be at least 1" in wrong.content.decode()


def test_the_page_of_a_visit_says_where_each_line_comes_from(
    owner_client: StrictClient, crew: Crew
) -> None:
    contract = running(now=clock.now(), starts_on=today())
    visit = Visit.objects.get(contract=contract, title="Prune")
    person = factories.PersonFactory(name="Cal Reed", role="crew")
    HourEntry.objects.create(
        person=person,
        day=today(),
        kind="work",
        hours=2,
        hour_cost=30,
        visit=visit,
        logged_by=person,
        logged_at=NOW,
    )
    Problem.objects.create(
        garden=visit.garden, visit=visit, text="scale insects", raised_at=NOW
    )
    body = owner_client.get(reverse("visit", args=[visit.pk])).content.decode()
    for words in (
        "Prune, for its flowers",
        "the firm&#x27;s own rule",
        "common practice, no source",
        "Next year&#x27;s flowers form on this year&#x27;s wood.",
        "Cal Reed",
        "scale insects",
    ):
        assert words in body
    assert owner_client.get(reverse("visit", args=[visit.pk + 99])).status_code == 404


@pytest.mark.parametrize("count", [1, 3])
def test_the_week_needs_the_same_queries_for_one_row_as_for_three(
    owner_client: StrictClient,
    crew: Crew,
    count: int,
    django_assert_num_queries: Any,
) -> None:
    for number in range(count):
        garden = care_garden(name=f"Garden of row {number}")
        running(garden, now=clock.now(), starts_on=today())
        factories.JobFactory(garden=garden, state="to book")
        job = factories.JobFactory(
            garden=garden, state="booked", day=today(), crew=crew
        )
        factories.VisitFactory(job=job, crew=crew, day=today())
        member = factories.CrewFactory()
        factories.CrewMemberFactory(crew=member)
    Visit.objects.filter(kind="care").update(
        earliest_on=today(), best_on=today(), latest_on=today()
    )
    owner_client.get(reverse("week"))
    with django_assert_num_queries(11):
        page = owner_client.get(reverse("week"))
    assert len(page.context["board"].to_place) == 2 * count
    assert monday_of(today()) == page.context["board"].monday


@pytest.mark.parametrize("count", [1, 3])
def test_a_visit_needs_the_same_queries_for_one_task_as_for_three(
    owner_client: StrictClient, count: int, django_assert_num_queries: Any
) -> None:
    garden = care_garden(plantings=count)
    contract = running(garden, now=clock.now(), starts_on=today())
    visit = Visit.objects.get(contract=contract, title="Prune")
    owner_client.get(reverse("visit", args=[visit.pk]))
    with django_assert_num_queries(10):
        page = owner_client.get(reverse("visit", args=[visit.pk]))
    assert len(page.context["page"].tasks) == count
