"""What may be done to a plant on a day: the answers, who may ask, what is refused."""

import datetime as dt
from typing import Any

import pytest
from django.core.management import call_command
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from firm import clock
from firm.models import Person
from jobs.models import Visit
from plants.models import Garden, Plant, Planting
from tests import factories
from tests.conftest import StrictClient, browser_of
from tests.factories import rule_spec

pytestmark = pytest.mark.django_db
ZONE = "America/New_York"


def today() -> dt.date:
    return clock.today(time_zone=ZONE)


def ask(client: StrictClient, **asked: Any) -> Any:
    response = client.get(reverse("ask"), asked)
    assert response.status_code == 200
    return response


def said(response: Any) -> str:
    return " ".join(response.content.decode().split())


def verdicts(response: Any) -> dict[tuple[str, str], str]:
    return {
        (answer.task, answer.purpose): answer.verdict
        for answer in response.context["page"].answers
    }


def flowering(garden: Garden, number: int = 1, **changes: Any) -> Planting:
    """A shrub on old wood that flowers from 4 June to 1 August here."""
    rule = factories.RuleFactory(spec=rule_spec(**changes))
    made: Planting = factories.PlantingFactory(
        garden=garden, number=number, plant__group=rule.group, plant__common="Sample"
    )
    return made


# --- answers -----------------------------------------------------------------------


def test_inside_its_window_a_cut_is_best_now_and_says_until_when(
    owner_client: StrictClient,
) -> None:
    planting = flowering(factories.GardenFactory())
    response = ask(owner_client, garden=planting.garden_id, number=1, day="2026-07-20")
    assert verdicts(response)["prune", "flower"] == "best now"
    words = said(response)
    assert "Its time is 11 Jul to 1 Aug 2026, best about 25 Jul." in words
    assert "There is time until Sat 1 Aug 2026." in words
    assert "What may I do to this plant on Mon 20 Jul 2026?" in words


def test_before_its_window_it_is_told_to_wait(owner_client: StrictClient) -> None:
    planting = flowering(factories.GardenFactory())
    response = ask(owner_client, garden=planting.garden_id, number=1, day="2026-06-20")
    assert verdicts(response)["prune", "flower"] == "allowed"
    assert "Wait until Sat 11 Jul 2026; best about Sat 25 Jul 2026." in said(response)


def test_in_its_closed_season_it_says_why_until_when_and_who_says_so(
    owner_client: StrictClient,
) -> None:
    planting = flowering(factories.GardenFactory())
    response = ask(owner_client, garden=planting.garden_id, number=1, day="2026-10-05")
    assert verdicts(response)["prune", "flower"] == "closed"
    words = said(response)
    assert "Closed season" in words
    assert "The buds of the next flowers sit on the old shoots" in words
    assert "Wait until Sun 11 Jul 2027; best about Sun 25 Jul 2027." in words
    assert "Take out dead wood" in words
    assert "shipped catalogue" in words


def test_an_instruction_stands_first_and_closes_even_the_best_day(
    owner_client: StrictClient,
) -> None:
    planting = flowering(factories.GardenFactory())
    planting.garden.instructions.create(
        planting=planting,
        text="Never cut: it screens the bedroom window",
        forbids=["prune", "shear"],
        given_on=dt.date(2026, 1, 5),
        given_by="Dana Quill",
    )
    asked = {"garden": planting.garden_id, "number": 1}
    response = ask(owner_client, **asked, day="2026-07-20")
    assert verdicts(response)["prune", "flower"] == "closed"
    words = said(response)
    first = words.index("<strong>Instruction:</strong> Never cut")
    assert first < words.index("Best now") < words.index("Forbidden")
    assert "this planting's instruction" in words.replace("&#x27;", "'")
    # The day before it was given nothing forbade it.
    before = ask(owner_client, **asked, day="2026-01-04")
    assert "Never cut" not in said(before)


def test_of_an_unidentified_plant_only_dead_wood_may_be_cut(
    owner_client: StrictClient,
) -> None:
    planting = factories.PlantingFactory(
        plant=None,
        number=4,
        what_it_looks_like="grey leaves",
        age_known="unknown",
        age_years=None,
        age_on=None,
    )
    response = ask(owner_client, garden=planting.garden_id, number=4, day="2026-07-20")
    assert verdicts(response) == {("dead wood", "dead wood"): "allowed"}
    assert "Nobody knows what it is: only dead wood may be cut." in said(response)


def test_a_disease_closes_even_dead_wood_of_an_oak_in_may(
    owner_client: StrictClient,
) -> None:
    call_command("load_catalogue", verbosity=0)
    # Fresh cuts draw the beetles of oak wilt in spring; the shipped group names its
    # source.
    oak = Plant.objects.filter(group__key="oak").order_by("id")[0]
    planting = factories.PlantingFactory(plant=oak, number=1)
    asked = {"garden": planting.garden_id, "number": 1}
    may = ask(owner_client, **asked, day="2026-05-15")
    assert verdicts(may)["dead wood", "dead wood"] == "closed"
    winter = ask(owner_client, **asked, day="2026-01-15")
    assert verdicts(winter)["dead wood", "dead wood"] == "best now"
    assert "Beetles carry oak wilt to fresh wounds" in said(may)
    assert "Beetles carry oak wilt" not in said(winter)


def test_a_planting_not_yet_a_year_old_is_too_young_for_the_cut(
    owner_client: StrictClient,
) -> None:
    planting = flowering(factories.GardenFactory())
    Planting.objects.filter(pk=planting.pk).update(
        origin="planted", planted_on=dt.date(2025, 11, 1)
    )
    asked = {"garden": planting.garden_id, "number": 1}
    young = ask(owner_client, **asked, day="2026-07-20")
    assert verdicts(young)["prune", "flower"] == "closed"
    words = said(young)
    assert "Too young" in words
    assert "It is too young for this, which waits until it has stood 2 years." in words
    # Years are reckoned as 365.25 days, so its second is full a day later.
    assert "It is old enough from Tue 2 Nov 2027." in words
    grown = ask(owner_client, **asked, day="2028-07-20")
    assert verdicts(grown)["prune", "flower"] == "best now"


def test_a_plant_of_the_catalogue_is_asked_about_without_standing_there(
    owner_client: StrictClient,
) -> None:
    planting = flowering(factories.GardenFactory())
    elsewhere = factories.GardenFactory()
    elsewhere.instructions.create(
        text="No shears", forbids=["prune"], given_on=dt.date(2026, 1, 5)
    )
    key = planting.plant.key  # type: ignore[union-attr]
    chosen = ask(owner_client, plant=key)
    assert chosen.context["page"] is None
    assert "Sample, as a grown plant in the garden that you choose." in said(chosen)
    there = ask(owner_client, plant=key, garden=planting.garden_id, day="2026-07-20")
    assert verdicts(there)["prune", "flower"] == "best now"
    assert "It does not stand here yet" in said(there)
    forbidden = ask(owner_client, plant=key, garden=elsewhere.pk, day="2026-07-20")
    assert verdicts(forbidden)["prune", "flower"] == "closed"
    missing = owner_client.get(reverse("ask"), {"plant": "no-such-plant"})
    assert missing.status_code == 404


# --- choosing and refusing ---------------------------------------------------------


def test_a_garden_without_a_number_lists_its_plants(owner_client: StrictClient) -> None:
    garden = factories.GardenFactory()
    flowering(garden, 3)
    flowering(garden, 7)
    response = ask(owner_client, garden=garden.pk)
    assert [one.number for one in response.context["page"].plantings] == [3, 7]
    link = f"{reverse('ask')}?garden={garden.pk}&amp;number=7&amp;day={today()}"
    assert link in said(response)


@pytest.mark.parametrize(
    ("asked", "field", "told"),
    [
        (
            {"day": "31 February"},
            "day",
            "There is no such day. Write it as 2026-07-24.",
        ),
        ({"day": "2026-02-31"}, "day", "There is no such day. Write it as 2026-07-24."),
        ({"day": "1066-10-14"}, "day", "Days are reckoned from 2000 to 2200."),
        ({"number": "12"}, "number", "No planting of this number grows there."),
        ({"number": "seven"}, "number", "Type the number in figures, such as 7."),
        ({"garden": "999999"}, "garden", "There is no such garden."),
        ({"garden": ""}, "garden", "Choose a garden."),
    ],
)
def test_what_makes_no_sense_is_told_beside_its_field(
    owner_client: StrictClient, asked: dict[str, str], field: str, told: str
) -> None:
    planting = flowering(factories.GardenFactory())
    whole = {"garden": planting.garden_id, "number": 1, "day": "2026-07-20"}
    response = ask(owner_client, **{**whole, **asked})
    assert response.context["form"].errors == {field: [told]}
    assert response.context["page"] is None
    assert ask(owner_client, **whole).context["form"].errors == {}


def test_a_planting_that_is_gone_is_not_answered_for(
    owner_client: StrictClient,
) -> None:
    planting = flowering(factories.GardenFactory())
    Planting.objects.filter(pk=planting.pk).update(state="removed")
    response = ask(owner_client, garden=planting.garden_id, number=1)
    assert "No planting of this number grows there." in said(response)


# --- who may ask -------------------------------------------------------------------


@pytest.fixture
def stop(crew_member: Person) -> Visit:
    crew = crew_member.memberships.get().crew
    job = factories.JobFactory(state="booked", day=today(), crew=crew)
    made: Visit = factories.VisitFactory(job=job, crew=crew, day=today())
    return made


def test_a_crew_asks_about_the_gardens_of_its_round_that_day_only(
    crew_client: StrictClient, stop: Visit
) -> None:
    flowering(stop.garden)
    other = flowering(factories.GardenFactory(name="Another client's place"))
    form = ask(crew_client).context["form"]
    assert form.fields["garden"].choices == [(str(stop.garden_id), stop.garden.name)]

    answered = ask(crew_client, garden=stop.garden_id, number=1)
    assert answered.context["page"].answers
    refused = ask(crew_client, garden=other.garden_id, number=1)
    assert refused.context["form"].errors == {
        "garden": ["This garden is not on your round on that day."]
    }
    assert "Another client" not in said(refused)
    # Tomorrow the crew is elsewhere.
    tomorrow = ask(
        crew_client,
        garden=stop.garden_id,
        number=1,
        day=today() + dt.timedelta(days=1),
    )
    assert tomorrow.context["page"] is None
    assert stop.garden.name not in said(tomorrow)


def test_another_crew_and_a_far_day_are_not_answered(
    crew_client: StrictClient, stop: Visit
) -> None:
    flowering(stop.garden)
    stranger = factories.PersonFactory(role="crew")
    factories.CrewMemberFactory(person=stranger)
    assert ask(browser_of(stranger)).context["form"].gardens == {}
    assert "No garden is on your round today." in said(ask(browser_of(stranger)))
    near, far = today() - dt.timedelta(days=7), today() - dt.timedelta(days=8)
    asked = {"garden": stop.garden_id, "number": 1}
    Visit.objects.filter(pk=stop.pk).update(day=near)
    assert ask(crew_client, **asked, day=near).context["page"] is not None
    Visit.objects.filter(pk=stop.pk).update(day=far)
    assert ask(crew_client, **asked, day=far).context["page"] is None


def test_a_crew_asks_nothing_about_the_catalogue(
    crew_client: StrictClient, stop: Visit
) -> None:
    plant = factories.PlantFactory()
    response = ask(crew_client, plant=plant.key, garden=stop.garden_id)
    assert response.context["plant"] is None
    assert plant.common not in said(response)


def test_the_stop_leads_to_the_answers_of_each_planting(
    crew_client: StrictClient, stop: Visit
) -> None:
    planting = flowering(stop.garden, 5)
    factories.VisitTaskFactory(visit=stop, planting=planting)
    page = said(crew_client.get(reverse("stop", args=[stop.pk])))
    link = f"{reverse('ask')}?garden={stop.garden_id}&amp;number=5&amp;day={today()}"
    assert link in page
    followed = crew_client.get(link.replace("&amp;", "&"))
    assert followed.context["page"].planting == planting


def test_the_bookkeeper_may_not_ask(bookkeeper_client: StrictClient) -> None:
    assert bookkeeper_client.get(reverse("ask")).status_code == 403


@pytest.mark.parametrize("count", [1, 3])
def test_the_page_asks_the_same_questions_for_any_number(
    count: int,
    owner_client: StrictClient,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    garden = factories.GardenFactory()
    for number in range(1, count + 1):
        flowering(garden, number)
        factories.GardenFactory()
    # Session, person, firm for its day and its name, gardens; plantings, plants,
    # groups; instructions, observed bloom, rules, closed seasons, degree days of the
    # climate and of its region; sources.
    with django_assert_num_queries(15):
        ask(owner_client, garden=garden.pk, number=1, day="2026-07-20")
