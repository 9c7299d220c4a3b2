"""The page on work in heat."""

from typing import Any

import pytest
from django.urls import reverse

from tests import factories
from tests.conftest import StrictClient

pytestmark = pytest.mark.django_db


def ask(client: StrictClient, **asked: str) -> Any:
    return client.get(reverse("work-in-heat"), asked)


def said(page: Any) -> str:
    return " ".join(page.content.decode().split())


def test_a_crew_reads_what_an_hour_of_heat_asks_for(crew_client: StrictClient) -> None:
    # 90 F at 50 %: index 94.6 (chart, read). In full sun 109 F: light 30/30, the rest
    # put off (NIOSH).
    page = ask(crew_client, temperature="90", humidity="50", sky="full sun", people="4")
    hours = [hour.work_min for _words, hour in page.context["answer"].hours]
    assert hours == [30, 0, 0]
    words = said(page)
    assert "It feels like 95 °F in the shade" in words.replace(
        "\N{NO-BREAK SPACE}", " "
    )
    # Two scales are published, so that the page names the one it goes by.
    assert "danger from 103 °F and extreme danger from 125 °F" in words.replace(
        "\N{NO-BREAK SPACE}", " "
    )
    assert "30 min of work, 30 min of rest" in words
    assert words.count("Put it off") == 2
    assert "4 quarts an hour together" in words
    assert "Rest 15 minutes at least every two hours" in words


def test_a_cool_hour_asks_for_nothing(crew_client: StrictClient) -> None:
    page = ask(crew_client, temperature="68", humidity="50", sky="shade")
    assert all(hour.is_normal for _words, hour in page.context["answer"].hours)
    assert "no warning" in said(page)
    assert "Rest 15 minutes" not in said(page)


def test_a_metric_firm_types_celsius(owner_client: StrictClient) -> None:
    factories.FirmFactory().__class__.objects.update(units="metric")
    page = ask(owner_client, temperature="35", humidity="30", sky="shade")
    # 35 °C are 95 F: heavy work 45 and 15.
    assert [hour.work_min for _w, hour in page.context["answer"].hours] == [60, 60, 45]


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"temperature": "900"}, "temperature"),
        ({"temperature": "-5"}, "temperature"),
        ({"temperature": "hot"}, "temperature"),
        ({"humidity": "101"}, "humidity"),
        ({"sky": "stormy"}, "sky"),
        ({"people": "0"}, "people"),
    ],
)
def test_what_cannot_be_is_told_beside_its_field(
    asked: dict[str, str], field: str, crew_client: StrictClient
) -> None:
    good = {"temperature": "90", "humidity": "50", "sky": "shade", "people": "3"}
    page = ask(crew_client, **{**good, **asked})
    assert list(page.context["form"].errors) == [field]
    assert page.context["answer"] is None


def test_the_empty_page_judges_nothing(crew_client: StrictClient) -> None:
    page = ask(crew_client)
    assert page.context["answer"] is None
    assert not page.context["form"].errors
    assert "Signs that it is too much" in said(page)
