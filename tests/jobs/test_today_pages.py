"""The crew's pages: own rounds near their day, warnings first, nothing of money."""

import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from firm import clock
from firm.models import Crew, Entry, Person
from jobs.actions.bills import bill_job
from jobs.actions.today import end_visit
from jobs.models import HourEntry, Problem, Visit, VisitTask
from tests import factories
from tests.conftest import StrictClient, browser_of
from tests.jobs.work_samples import marked_lines

ZONE = "America/New_York"


def today() -> dt.date:
    return clock.today(time_zone=ZONE)


@pytest.fixture
def visit(crew_member: Person) -> Visit:
    crew = crew_member.memberships.get().crew
    job = factories.JobFactory(
        garden__gate_code="4711#",
        garden__access_notes="By the side gate",
        state="booked",
        day=today(),
        crew=crew,
    )
    made: Visit = factories.VisitFactory(
        job=job, crew=crew, day=today(), title="Spring care"
    )
    return made


def page(client: StrictClient, name: str, *args: Any, **data: Any) -> str:
    response = client.get(reverse(name, args=args), data)
    assert response.status_code == 200
    return response.content.decode()


def test_a_crew_member_sees_the_own_round_with_its_gate_code_only_on_the_day(
    crew_client: StrictClient, visit: Visit
) -> None:
    assert visit.garden.name in page(crew_client, "today")
    assert "4711#" in page(crew_client, "stop", visit.pk)
    Visit.objects.filter(pk=visit.pk).update(day=today() - dt.timedelta(days=1))
    assert "4711#" not in page(crew_client, "stop", visit.pk)


def test_another_crews_stop_and_a_far_day_are_not_found(
    crew_client: StrictClient, visit: Visit
) -> None:
    stranger = factories.PersonFactory(role="crew")
    factories.CrewMemberFactory(person=stranger)
    other = browser_of(stranger)
    assert other.get(reverse("stop", args=[visit.pk])).status_code == 404
    assert visit.garden.name not in page(other, "today")
    Visit.objects.filter(pk=visit.pk).update(day=today() - dt.timedelta(days=8))
    assert crew_client.get(reverse("stop", args=[visit.pk])).status_code == 404
    far = crew_client.get(
        reverse("today"), {"day": (today() + dt.timedelta(days=8)).isoformat()}
    )
    assert far.status_code == 404


def test_instructions_and_closed_seasons_stand_before_the_tasks(
    crew_client: StrictClient, visit: Visit
) -> None:
    # Foliage only: no closed season of its wood, so just this one, all year.
    group = factories.GroupFactory(key="foliage")
    group.facts |= {"wood": "none", "bloom": None}
    group.save()
    closed = factories.ClosedSeasonFactory(
        group=group,
        spec={
            "key": "buds-are-set",
            "tasks": ["prune", "shear"],
            "from": {"anchor": "year_start", "days": 0},
            "to": {"anchor": "year_start", "days": 370},
            "except_purposes": ["dead wood"],
            "why": "The flower buds sit on the wood.",
            "source": "common practice",
        },
    )
    planting = factories.PlantingFactory(
        garden=visit.garden, plant=factories.PlantFactory(group=closed.group), number=7
    )
    factories.PlantingFactory(
        garden=visit.garden, plant=None, number=8, what_it_looks_like="grey leaves"
    )
    visit.garden.instructions.create(text="Mind the roses", given_on=today())
    factories.VisitTaskFactory(
        visit=visit, planting=planting, title="Look over", how="With your eyes."
    )
    text = page(crew_client, "stop", visit.pk)
    order = [
        text.index("Mind the roses"),
        text.index("The flower buds sit on the wood."),
        text.index("Take out dead wood only"),
        text.index("Look over"),
    ]
    assert order == sorted(order)


def test_no_price_and_no_margin_reach_a_crew_page(
    crew_client: StrictClient, visit: Visit
) -> None:
    visit.job.price = "7777.77"  # type: ignore[union-attr, assignment]
    visit.job.save()  # type: ignore[union-attr]
    for text in (
        page(crew_client, "today"),
        page(crew_client, "stop", visit.pk),
    ):
        assert "7777" not in text.replace(",", "")
        assert "margin" not in text.lower()


def test_a_task_is_ticked_left_out_with_reason_and_the_visit_ended(
    crew_client: StrictClient, visit: Visit
) -> None:
    first = factories.VisitTaskFactory(visit=visit, title="Mulch")
    second = factories.VisitTaskFactory(visit=visit, title="Feed", position=2)
    ticked = crew_client.post(reverse("task", args=[first.pk]), {"state": "done"})
    assert ticked["Location"].endswith(f"#task-{first.pk}")
    refused = crew_client.post(
        reverse("task", args=[second.pk]), {"state": "left out", "note": "dry"}
    ).content.decode()
    assert "Say in a few words why it is left out." in refused
    assert "dry" in refused
    stays = crew_client.post(reverse("stop-end", args=[visit.pk])).content.decode()
    assert "1 task is still open." in stays
    done = crew_client.post(
        reverse("stop-end", args=[visit.pk]), {"left_out_reason": "no fertiliser"}
    )
    assert done.status_code == 302
    assert list(
        VisitTask.objects.order_by("position").values_list("state", "left_out_reason")
    ) == [("done", ""), ("left out", "no fertiliser")]
    assert Visit.objects.get().state == "done"


def test_rain_moves_the_open_tasks_to_a_visit_without_a_day(
    crew_client: StrictClient, visit: Visit
) -> None:
    factories.VisitTaskFactory(visit=visit)
    no_reason = crew_client.post(reverse("stop-rain", args=[visit.pk]))
    assert "This field is required." in no_reason.content.decode()
    crew_client.post(reverse("stop-rain", args=[visit.pk]), {"reason": "storm"})
    old, new = Visit.objects.order_by("id")
    assert (old.state, new.state, new.day) == ("rained off", "planned", None)
    assert new.tasks.count() == 1
    again = crew_client.post(
        reverse("stop-rain", args=[visit.pk]), {"reason": "x"}, follow=True
    )
    assert "can no longer be rained off" in again.content.decode()


def test_hours_of_everyone_are_written_down_at_once(
    crew_client: StrictClient, crew_member: Person, visit: Visit
) -> None:
    mate = factories.PersonFactory(role="crew", name="Mo Fern")
    factories.CrewMemberFactory(crew=visit.crew, person=mate)
    data = {
        "key": str(uuid.uuid4()),
        f"hours-{crew_member.pk}-work": "3.25",
        f"hours-{mate.pk}-rain": "1",
    }
    refused = crew_client.post(reverse("hours-new"), data).content.decode()
    assert "Which stop were the hours in the garden for?" in refused
    assert 'value="3.25"' in refused
    crew_client.post(reverse("hours-new"), {**data, "visit": visit.pk})
    assert sorted(HourEntry.objects.values_list("person__name", "kind", "visit")) == [
        ("Cal Reed", "work", visit.pk),
        ("Mo Fern", "rain", visit.pk),
    ]


def test_a_problem_is_noted_with_its_planting(
    crew_client: StrictClient, visit: Visit
) -> None:
    planting = factories.PlantingFactory(garden=visit.garden)
    elsewhere = factories.PlantingFactory()
    url = reverse("problem-new", args=[visit.pk])
    data = {"key": str(uuid.uuid4()), "text": "Scale", "planting": elsewhere.pk}
    assert "Select a valid choice" in crew_client.post(url, data).content.decode()
    crew_client.post(url, {**data, "planting": planting.pk})
    assert Problem.objects.get().planting == planting


@pytest.mark.parametrize("count", [1, 3])
def test_the_round_needs_the_same_queries_for_one_stop_as_for_three(
    count: int,
    crew_client: StrictClient,
    crew_member: Person,
    django_assert_num_queries: Any,
) -> None:
    crew = crew_member.memberships.get().crew
    for _number in range(count):
        visit = factories.VisitFactory(crew=crew, day=today())
        factories.VisitTaskFactory(
            visit=visit, planting=factories.PlantingFactory(garden=visit.garden)
        )
    with django_assert_num_queries(13):
        page(crew_client, "today")


@pytest.mark.parametrize("count", [1, 3])
def test_a_stop_needs_the_same_queries_for_one_task_as_for_three(
    count: int,
    crew_client: StrictClient,
    visit: Visit,
    django_assert_num_queries: Any,
) -> None:
    for number in range(count):
        planting = factories.PlantingFactory(garden=visit.garden, number=number + 1)
        factories.VisitTaskFactory(visit=visit, planting=planting, how="Well.")
    with django_assert_num_queries(19):
        page(crew_client, "stop", visit.pk)


def test_the_round_sheet_is_a_pdf_with_the_stops(
    crew_client: StrictClient, visit: Visit
) -> None:
    factories.VisitTaskFactory(visit=visit)
    sheet = crew_client.get(reverse("round-sheet"))
    assert sheet["Content-Type"] == "application/pdf"
    assert sheet.content[:5] == b"%PDF-"


def test_tasks_of_one_planting_stand_together_under_its_photo(
    crew_client: StrictClient, visit: Visit
) -> None:
    name = f"photo-{'a' * 32}.jpg"
    planting = factories.PlantingFactory(garden=visit.garden, number=7, photo=name)
    plant = planting.plant.common
    for position, title in enumerate((f"clear up: {plant}", "Rake", "feed"), start=1):
        factories.VisitTaskFactory(
            visit=visit,
            planting=None if title == "Rake" else planting,
            title=title,
            position=position,
        )
    text = page(crew_client, "stop", visit.pk)
    order = [
        text.index(f'src="/files/{name}?small"'),
        text.index("<strong>Clear up</strong>"),
        text.index("<strong>Feed</strong>"),
        text.index("In the whole garden"),
        text.index("<strong>Rake</strong>"),
    ]
    assert order == sorted(order)
    assert text.count(f"/files/{name}?small") == 1


def test_a_day_to_come_can_be_read_but_not_ticked(
    crew_client: StrictClient, visit: Visit
) -> None:
    task = factories.VisitTaskFactory(visit=visit)
    Visit.objects.filter(pk=visit.pk).update(day=today() + dt.timedelta(days=1))
    text = page(crew_client, "stop", visit.pk)
    assert "To read ahead" in text
    assert reverse("task", args=[task.pk]) not in text
    refused = crew_client.post(reverse("task", args=[task.pk]), {"state": "done"})
    assert "This day is still to come." in refused.content.decode()
    for name in ("stop-start", "stop-end"):
        crew_client.post(
            reverse(name, args=[visit.pk]), {"left_out_reason": "x"}, follow=True
        )
    assert Visit.objects.get().state == "planned"
    assert VisitTask.objects.get().state == "open"


def test_a_planting_that_its_crew_ended_waits_for_the_owner(
    crew_client: StrictClient, owner_client: StrictClient, visit: Visit
) -> None:
    job = visit.job
    assert job is not None
    job.kind, job.quote = "planting", factories.QuoteFactory(garden=job.garden)
    job.save()
    Visit.objects.filter(pk=visit.pk).update(kind="planting")
    marked_lines(job, by=factories.PersonFactory())
    factories.VisitTaskFactory(
        visit=visit, state="part done", note="Two fescues came broken."
    )
    assert "The owner then records the plantings" in page(crew_client, "stop", visit.pk)
    assert "still to record" not in page(owner_client, "today")
    crew_client.post(
        reverse("stop-end", args=[visit.pk]), {"left_out_reason": "too few"}
    )
    job.refresh_from_db()
    assert job.state == "under way"
    told = page(owner_client, "job-finish", job.pk)
    assert "Two fescues came broken." in told
    assert "Left out: too few" in told
    text = page(owner_client, "today")
    assert "Planted, and still to record" in text
    assert reverse("job-finish", args=[job.pk]) in text


def test_hours_of_everyone_are_typed_once_and_one_persons_own_count_instead(
    crew_client: StrictClient, crew_member: Person, visit: Visit
) -> None:
    mate = factories.PersonFactory(role="crew", name="Mo Fern")
    late = factories.PersonFactory(role="crew", name="Ann Moss")
    for person in (mate, late):
        factories.CrewMemberFactory(crew=visit.crew, person=person)
    crew_client.post(
        reverse("hours-new"),
        {
            "key": str(uuid.uuid4()),
            "visit": visit.pk,
            "hours-everyone-work": "3",
            f"hours-{mate.pk}-work": "2.5",
            f"hours-{late.pk}-work": "0",
        },
    )
    assert [
        (name, str(hours))
        for name, hours in HourEntry.objects.order_by("person__name").values_list(
            "person__name", "hours"
        )
    ] == [("Cal Reed", "3.00"), ("Mo Fern", "2.50")]


def test_a_planting_crew_loads_its_plants_and_its_mulch_and_reads_counts(
    crew_client: StrictClient, visit: Visit
) -> None:
    job = visit.job
    assert job is not None
    job.kind, job.quote = "planting", factories.QuoteFactory(garden=job.garden)
    job.save()
    row = job.plants.create(plant=factories.PlantFactory(common="Blue fescue"), count=9)
    job.quote.lines.create(
        position=1,
        kind="mulch",
        description="shredded bark",
        quantity="1.728",
        unit="cu yd",
        unit_cost=1,
        unit_price=1,
        cost=1,
        price=1,
    )
    Visit.objects.filter(pk=visit.pk).update(kind="planting")
    factories.VisitTaskFactory(
        visit=visit, rule_key="locate-lines", title="Lines", how="Call 811."
    )
    factories.VisitTaskFactory(
        visit=visit, rule_key=f"plant-{row.pk}", title="Plant 9 x it", position=2
    )
    round_page = " ".join(page(crew_client, "today").split())
    assert "Blue fescue: 9 plants · Shredded bark: 1.73 cu yd" in round_page
    # 1.728 cu yd at 400 to 800 lb; no size was written for the plants.
    assert "About 691 lb to 1,382 lb, dry to wet." in round_page
    assert "Not weighed: Blue fescue" in round_page
    Crew.objects.update(vehicle="Green tipper", payload_kg="500")
    round_page = " ".join(page(crew_client, "today").split())
    assert (
        "Green tipper: About 691 lb to 1,382 lb, dry to wet: more than the 1,102 lb"
        " that the truck carries. Make 2 trips or have it delivered." in round_page
    )
    text = page(crew_client, "stop", visit.pk)
    assert text.index("Warning: underground lines.") < text.index("Call 811.")
    assert text.index("Call 811.") < text.index("9 × Blue fescue")
    assert "<strong>Plant</strong>" in text


def test_wrong_hours_are_taken_back_by_the_own_crew_until_they_are_billed(
    crew_client: StrictClient, crew_member: Person, owner: Person, visit: Visit
) -> None:
    def log() -> HourEntry:
        data = {"key": str(uuid.uuid4()), "visit": visit.pk}
        data[f"hours-{crew_member.pk}-work"] = "3"
        crew_client.post(reverse("hours-new"), data)
        return HourEntry.objects.get()

    entry = log()
    assert reverse("hours-back", args=[entry.pk]) in page(crew_client, "today")
    stranger = factories.PersonFactory(role="crew")
    factories.CrewMemberFactory(person=stranger)
    refused = browser_of(stranger).post(reverse("hours-back", args=[entry.pk]))
    assert refused.status_code == 404
    assert HourEntry.objects.count() == 1
    crew_client.post(reverse("hours-back", args=[entry.pk]))
    assert not HourEntry.objects.exists()
    record = Entry.objects.get(action="hours taken back")
    assert (record.by, record.details["hours"]) == (crew_member, "3.00")

    job = visit.job
    assert job is not None
    job.price, job.hour_price = None, Decimal("60.00")
    job.save()
    entry = log()
    end_visit(visit=visit, left_out_reason="", by=crew_member, now=clock.now())
    job.refresh_from_db()
    bill_job(job=job, deposit_percent=None, day=today(), by=owner, now=clock.now())
    told = crew_client.post(reverse("hours-back", args=[entry.pk]), follow=True)
    assert "These hours are on a bill." in told.content.decode()
    assert HourEntry.objects.count() == 1


def test_an_owner_without_crews_or_with_an_empty_one_is_led_to_them(
    owner_client: StrictClient,
) -> None:
    alone = owner_client.get(reverse("today")).content.decode()
    assert reverse("crews") in alone and "Ask the office" not in alone
    crew = factories.CrewFactory()
    empty = owner_client.get(reverse("today")).content.decode()
    assert "Put somebody into it" in empty
    assert reverse("crew", args=[crew.pk]) in empty
