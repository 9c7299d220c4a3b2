"""Water week by week, and the gardens whose young plants are dry."""

import datetime as dt
from collections.abc import Iterator
from typing import Any

import pytest
import time_machine
from django.urls import reverse

from firm.models import Firm
from jobs.models import Visit
from jobs.queries.dry import dry_page
from plants.models import Planting, RecordYear
from tests import factories
from tests.conftest import StrictClient

pytestmark = pytest.mark.django_db

DAY = dt.date(2026, 8, 20)


@pytest.fixture
def august() -> Iterator[None]:
    """Noon of DAY."""
    with time_machine.travel("2026-08-20T16:00:00Z", tick=False):
        yield


def young(**changes: Any) -> Planting:
    values: dict[str, Any] = {
        "origin": "planted",
        "planted_on": dt.date(2026, 7, 15),
        "size_text": "#3",
        "count": 4,
    }
    return factories.PlantingFactory(**{**values, **changes})


def rainless(planting: Planting, *, but: dict[dt.date, int] | None = None) -> None:
    """Daily records of 2026 up to DAY: 31 and 18 °C, rain in tenths of a mm."""
    length = 365
    read = (DAY - dt.date(2026, 1, 1)).days + 1
    rain: list[int | None] = [0] * read + [None] * (length - read)
    for day, amount in (but or {}).items():
        rain[(day - dt.date(2026, 1, 1)).days] = amount
    RecordYear.objects.create(
        station=planting.garden.station,
        year=2026,
        days={
            "tmax": [310] * read + [None] * (length - read),
            "tmin": [180] * read + [None] * (length - read),
            "rain": rain,
        },
    )


def text_of(client: StrictClient, name: str, *args: Any) -> str:
    answer = client.get(reverse(name, args=args))
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


@pytest.mark.usefixtures("august")
def test_the_weeks_tell_times_and_amounts_beside_the_published_rhythm(
    owner_client: StrictClient,
) -> None:
    planting = young()
    page = text_of(owner_client, "planting-water", planting.pk)
    assert "This week" in page
    assert "every two or three days" in page
    assert " gal a plant" in page
    assert "this climate has no daily records of these weeks" in page
    assert "The bed&#x27;s soil is not known: reckoned as loam." in page
    Firm.objects.update(units="metric")
    assert " L a plant" in text_of(owner_client, "planting-water", planting.pk)


@pytest.mark.usefixtures("august")
def test_recorded_rain_goes_before_the_usual(owner_client: StrictClient) -> None:
    planting = young()
    dry = owner_client.get(reverse("planting-water", args=[planting.pk]))
    usual = dry.context["page"]
    rainless(planting)
    page = owner_client.get(reverse("planting-water", args=[planting.pk])).context[
        "page"
    ]
    assert page.recorded_until == DAY
    assert [each.is_recorded for each in page.weeks[:6]] == [True] * 5 + [False]
    assert page.weeks[2].week.lacking_litres > usual.weeks[2].week.lacking_litres
    # After the last recorded week both stand on the same usual days.
    assert page.weeks[90].week == usual.weeks[90].week


@pytest.mark.usefixtures("august")
def test_what_stood_there_before_is_taken_as_grown_in(
    owner_client: StrictClient,
) -> None:
    planting = factories.PlantingFactory()
    page = text_of(owner_client, "planting-water", planting.pk)
    assert "taken as grown in" in page
    assert "Once it is grown in" in page
    assert owner_client.get(reverse("planting-water", args=[99999])).status_code == 404


def test_a_size_that_says_nothing_is_refused_beside_its_field(
    owner_client: StrictClient,
) -> None:
    planting = young()
    url = reverse("planting-change", args=[planting.pk])
    form = owner_client.get(url).context["form"]
    typed = {
        name: value
        for name, value in ((field.html_name, field.value()) for field in form)
        if value not in (None, "", False) and name != "photo"
    }
    assert typed["size_text"] == "#3"
    refused = owner_client.post(url, {**typed, "size_text": "a big one"})
    assert "does not say how it is sold" in str(
        refused.context["form"].errors["size_text"]
    )
    assert owner_client.post(url, {**typed, "size_text": "#5"}).status_code == 302
    planting.refresh_from_db()
    assert planting.size_text == "#5"


def test_only_young_plantings_outside_irrigation_that_are_dry_are_listed() -> None:
    planting = young()
    watered_bed = factories.BedFactory(garden=planting.garden, is_irrigated=True)
    young(garden=planting.garden, bed=watered_bed)
    young(garden=planting.garden, state="lost")
    young(garden=planting.garden, planted_on=dt.date(2024, 4, 1))
    factories.PlantingFactory(garden=planting.garden)
    left = young()
    left.garden.left_at = factories.NOW
    left.garden.save()
    rainless(planting)
    page = dry_page(day=DAY)
    assert page.looked_at == 1
    assert [row.planting for garden in page.gardens for row in garden.plantings] == [
        planting
    ]
    assert page.recorded == [(planting.garden.station.name, DAY)]
    (garden,) = page.gardens
    # Never watered since 15 July: half of the ball was dry on the third evening.
    assert garden.dry_days == 34
    assert garden.watered_on is None
    assert garden.plantings[0].is_new


def test_a_visit_that_looked_after_the_water_and_rain_end_the_dryness() -> None:
    planting = young()
    rainless(planting)
    visit = factories.VisitFactory(
        job=factories.JobFactory(garden=planting.garden),
        garden=planting.garden,
        day=DAY - dt.timedelta(days=3),
        state="done",
    )
    task = factories.VisitTaskFactory(visit=visit, planting=planting)
    assert dry_page(day=DAY).gardens[0].dry_days == 34
    type(task).objects.filter(pk=task.pk).update(task="water check", state="done")
    (garden,) = dry_page(day=DAY).gardens
    assert (garden.watered_on, garden.dry_days) == (visit.day, 2)
    RecordYear.objects.all().delete()
    rainless(planting, but={DAY: 400})
    assert dry_page(day=DAY).gardens == []


@pytest.mark.usefixtures("august")
def test_the_list_names_the_next_visit_and_leads_to_a_new_one(
    owner_client: StrictClient, crew_client: StrictClient
) -> None:
    planting = young()
    rainless(planting)
    page = text_of(owner_client, "gardens-dry")
    assert "Enter a watering visit" in page
    assert "Planned" not in page.split("How this is reckoned")[0].split("Planted")[1]
    factories.VisitFactory(
        job=factories.JobFactory(garden=planting.garden),
        garden=planting.garden,
        title="Watering call",
        day=DAY + dt.timedelta(days=2),
    )
    assert Visit.objects.get().state == "planned"
    assert "Watering call" in text_of(owner_client, "gardens-dry")
    assert crew_client.get(reverse("gardens-dry")).status_code == 403


@pytest.mark.parametrize("count", [1, 3])
def test_the_list_takes_the_same_queries_for_one_garden_as_for_three(
    owner_client: StrictClient, django_assert_num_queries: Any, count: int, august: None
) -> None:
    for _number in range(count):
        planting = young()
    rainless(planting)
    with django_assert_num_queries(8):
        answer = owner_client.get(reverse("gardens-dry"))
    assert len(answer.context["page"].gardens) == count
