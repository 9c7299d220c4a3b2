"""The catalogue and climates through their pages."""

import datetime as dt
from typing import Any
from urllib.parse import urlencode

import pytest
from django.urls import reverse, reverse_lazy
from pytest_django import DjangoAssertNumQueries

from plants import care
from plants.care.vocabulary import DRAWINGS
from plants.enums import Drawing, Kind, LineLayer, Purpose, Task, Wood
from plants.models import PlantName, Source, Station
from plants.queries.care import climate_of_station
from plants.queries.catalogue import group_page
from plants.templatetags.care import flower_words, leaf_words, planting_words
from tests import factories
from tests.conftest import StrictClient
from tests.factories import rule_spec
from tests.plants import shipped

pytestmark = pytest.mark.django_db


def said(response: Any) -> str:
    return " ".join(response.content.decode().replace("\u00a0", " ").split())


def names(client: StrictClient, query: str) -> list[str]:
    page = client.get(f"{reverse('plants')}?{query}").context["page"]
    return [plant.common for plant in page]


def test_the_words_of_pages_are_those_of_the_engine() -> None:
    assert tuple(Task.values) == care.TASKS
    assert tuple(Purpose.values) == care.PURPOSES
    assert tuple(Kind.values) == care.KINDS
    assert {*Drawing.values} == {*DRAWINGS}
    assert tuple(Wood.values) == care.WOODS
    assert tuple(LineLayer.values) == care.LAYERS


def test_a_plant_is_found_by_any_of_its_names(owner_client: StrictClient) -> None:
    plant = factories.PlantFactory(
        common="Blue mophead", botanical="Hydrangea exempli 'Blue'"
    )
    PlantName.objects.create(plant=plant, name="Hortensia exempli", kind="synonym")
    PlantName.objects.create(plant=plant, name="Hortensia altera", kind="synonym")
    factories.PlantFactory(common="Something else")

    assert names(owner_client, "q=mophead") == ["Blue mophead"]
    assert names(owner_client, "q=exempli+blue") == ["Blue mophead"]
    assert names(owner_client, "q=hortensia") == ["Blue mophead"]
    assert names(owner_client, "q=nothing") == []


def test_plants_are_narrowed_by_what_their_group_or_they_themselves_need(
    owner_client: StrictClient,
) -> None:
    factories.PlantFactory(common="Like its group")
    factories.PlantFactory(
        common="Differs",
        overrides={
            "wood": "new",
            "light": {"best": ["full sun"], "bearable": []},
        },
    )

    assert names(owner_client, "wood=old") == ["Like its group"]
    assert names(owner_client, "wood=new") == ["Differs"]
    assert names(owner_client, "light=full sun") == ["Differs"]
    assert names(owner_client, "light=part sun") == ["Like its group"]
    assert names(owner_client, "kind=tree") == []


@pytest.mark.parametrize("count", [1, 3])
def test_the_list_of_plants_asks_the_same_questions_for_any_number(
    count: int,
    owner_client: StrictClient,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    for _number in range(count):
        factories.PlantFactory()

    # Session, person, plants, firm.
    with django_assert_num_queries(4):
        page = owner_client.get(reverse("plants"))

    assert len(page.context["page"]) == count


def test_a_group_shows_its_rules_with_their_layer_and_unknown_poison_as_unknown(
    owner_client: StrictClient,
) -> None:
    factories.StationFactory()
    rule = factories.RuleFactory()
    factories.ClosedSeasonFactory()

    page = said(owner_client.get(reverse("plant-group", args=[rule.group.key])))

    assert "Toxic to dogs and cats." in page
    assert "Whether it is toxic to people and horses is not known" in page
    assert "not toxic to" not in page
    assert "the firm&#x27;s own rule · common practice, no source" in page
    assert "The flower buds of the coming bloom sit on the wood." in page
    assert 'class="drawing care-year"' in page


def test_a_group_shows_both_sides_where_sources_differ(
    owner_client: StrictClient,
) -> None:
    group = factories.RuleFactory().group
    page = said(owner_client.get(reverse("plant-group", args=[group.key])))
    assert "Where sources differ" not in page

    Source.objects.create(key="one-page", publisher="One garden", title="A list")
    group.facts["disagreements"] = [
        {
            "about": "the month",
            "says": "In late winter.",
            "source": "one-page",
            "instead": "Right after bloom.",
            "source_instead": "common practice",
            "here": "After bloom.",
        }
    ]
    group.save(update_fields=["facts"])

    page = said(owner_client.get(reverse("plant-group", args=[group.key])))
    assert "Sources differ on the month." in page
    assert 'In late winter. <span class="origin">One garden: A list' in page
    assert (
        'Right after bloom. <span class="origin">common practice, no source</span>'
        in page
    )
    assert "<dt>Done here</dt> <dd> After bloom. </dd>" in page


def test_what_has_no_wood_is_said_and_drawn_so(owner_client: StrictClient) -> None:
    group = factories.RuleFactory().group
    page = said(owner_client.get(reverse("plant-group", args=[group.key])))
    assert "shrub, leafless in winter" in page
    assert "<dd> on old wood </dd>" in page

    group.facts |= {"kind": "perennial", "wood": "none", "habit": "mound"}
    group.facts["bloom"]["colour"] = "lavender"
    group.kind = "perennial"
    group.save(update_fields=["facts", "kind"])
    group.rules.all().delete()

    page = said(owner_client.get(reverse("plant-group", args=[group.key])))
    assert "perennial, dies down in winter" in page
    assert "<dt>Flowers</dt> <dd> lavender </dd>" in page
    assert "rounded clump of leaves, dies down in winter, flowers lavender" in page


@pytest.mark.parametrize(
    ("key", "leaves", "flowers"),
    [
        ("daffodil", "rests underground for part of the year", "yellow, white, orange"),
        ("hosta", "dies down in winter", "lavender or white"),
        ("hardy-fern", "half-evergreen", "none, as it is a fern"),
        ("oak", "leafless in winter", "its flowers do not matter"),
        ("aucuba", "evergreen", "on old wood, small, maroon"),
    ],
)
def test_leaves_and_flowers_are_told_as_they_are(
    key: str, leaves: str, flowers: str
) -> None:
    facts = shipped.catalogue().groups[key]
    assert leaf_words(facts) == leaves
    assert flower_words(facts).startswith(flowers)


def test_seasons_of_planting_are_not_said_twice() -> None:
    assert planting_words({"seasons": ["spring"], "note": "Spring, small."}) == (
        "Spring, small."
    )
    assert planting_words({"seasons": ["spring", "autumn"], "note": "Set it."}) == (
        "Spring, autumn. Set it."
    )
    assert planting_words({}) == ""


def test_rules_of_young_plants_show_days_that_are_still_to_come() -> None:
    factories.StationFactory()
    young = rule_spec(key="while-young", conditions={"age_years_max": 1})
    rule = factories.RuleFactory(key="while-young", spec=young)

    page = group_page(key=rule.group.key, start=dt.date(2026, 11, 1))

    assert page is not None
    lines = [line for part in page.parts for line in part.lines]
    windows = next(one.windows for one in lines if one.rule.key == "while-young")
    assert [window.best.year for window in windows] == [2027]


def test_a_group_says_what_is_not_known_of_it(owner_client: StrictClient) -> None:
    group = factories.RuleFactory().group
    page = said(owner_client.get(reverse("plant-group", args=[group.key])))
    for what in ("Heat zones", "Deer", "Bears salt", "Bears wind", "At home in"):
        assert f"<dt>{what}</dt> <dd> not known </dd>" in page

    group.facts |= {
        "heat": [3, 8],
        "deer_eat": "often",
        "salt": "well",
        "wind": "badly",
        "native": ["Europe", "Western Asia"],
    }
    group.save(update_fields=["facts"])

    page = said(owner_client.get(reverse("plant-group", args=[group.key])))
    assert "<dt>Heat zones</dt> <dd> 3 to 8 </dd>" in page
    assert "<dt>Deer</dt> <dd> eat it often </dd>" in page
    assert "<dt>Bears salt</dt> <dd> well </dd>" in page
    assert "<dt>Bears wind</dt> <dd> badly </dd>" in page
    assert "<dt>At home in</dt> <dd> Europe, Western Asia </dd>" in page


def test_a_catalogue_without_a_climate_shows_its_rules_without_dates(
    owner_client: StrictClient,
) -> None:
    rule = factories.RuleFactory()

    page = owner_client.get(reverse("plant-group", args=[rule.group.key]))

    assert page.context["page"].year is None
    assert "No climate is written down yet" in said(page)


def test_a_plant_that_is_not_there_is_not_found(owner_client: StrictClient) -> None:
    assert owner_client.get(reverse("plant", args=["no-such"])).status_code == 404
    assert owner_client.get(reverse("plant-group", args=["no-such"])).status_code == 404


# --- climates ----------------------------------------------------------------------

# Ashford is invented, as are its figures, in the range of a temperate place.
LOWS_F = (23, 25, 32, 42, 52, 61, 66, 64, 57, 44, 34, 28)
HIGHS_F = (44, 47, 56, 67, 75, 83, 88, 86, 79, 68, 58, 48)


def typed(**changes: str) -> dict[str, str]:
    data = {
        "name": "Ashford",
        "latitude": "38.6",
        "longitude": "-77.8",
        "elevation": "410",
        "lowest": "2.5",
    }
    for month in range(12):
        data[f"low_{month + 1}"] = str(LOWS_F[month])
        data[f"high_{month + 1}"] = str(HIGHS_F[month])
        data[f"rain_{month + 1}"] = "4.0"
    frosts = {
        "spring_10": (5, 8),
        "spring_50": (4, 25),
        "spring_90": (4, 12),
        "autumn_10": (10, 13),
        "autumn_50": (10, 26),
        "autumn_90": (11, 8),
    }
    for name, (month, day) in frosts.items():
        data |= {f"{name}_day": str(day), f"{name}_month": str(month)}
    return {**data, **changes}


def test_a_climate_is_typed_in_the_firms_units(owner_client: StrictClient) -> None:
    response = owner_client.post(reverse("station-new"), typed())

    station = Station.objects.get()
    assert response["Location"] == reverse("stations")
    # 23 F is -5 C and 4 in are 101.6 mm: exact by definition.
    assert station.figures["tmin_c"][0] == -5.0
    assert station.figures["rain_mm"] == [101.6] * 12
    assert station.figures["last_spring_frost"] == {
        "10": [5, 8],
        "50": [4, 25],
        "90": [4, 12],
    }
    # 2.5 F lies in the half-zone from 0 to 5 F, which is 7a (USDA map of 2023).
    assert climate_of_station(station).hardiness_zone() == "7a"


def test_a_climate_opened_and_saved_again_stays_the_same(
    owner_client: StrictClient,
) -> None:
    owner_client.post(reverse("station-new"), typed())
    station = Station.objects.get()
    url = reverse("station-change", args=[station.pk])
    form = owner_client.get(url).context["form"]
    data: dict[str, Any] = {}
    for field in form:
        value = field.value()
        if field.name.startswith(("spring", "autumn")):
            day, month = field.field.widget.decompress(value)
            data |= {f"{field.name}_day": day, f"{field.name}_month": month}
        else:
            data[field.name] = "" if value is None else value

    owner_client.post(url, data)

    again = Station.objects.get()
    assert again.figures == station.figures
    assert again.elevation_m == station.elevation_m


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"low_3": "70"}, "low_3"),
        ({"rain_5": "-1"}, "rain_5"),
        ({"latitude": "80"}, "latitude"),
        ({"spring_50_day": "31"}, "spring_50"),
        ({"spring_50_day": ""}, "spring_50"),
        ({"high_7": ""}, "high_7"),
        ({"high_7": "900"}, "__all__"),
        ({"spring_10_month": "2", "spring_10_day": "1"}, "__all__"),
    ],
)
def test_a_climate_that_cannot_be_is_refused_and_nothing_is_lost(
    changes: dict[str, str], field: str, owner_client: StrictClient
) -> None:
    response = owner_client.post(reverse("station-new"), typed(**changes))

    assert list(response.context["form"].errors) == [field]
    assert 'value="Ashford"' in said(response)
    assert Station.objects.count() == 0


def test_a_second_climate_of_the_same_name_is_refused(
    owner_client: StrictClient,
) -> None:
    owner_client.post(reverse("station-new"), typed())

    response = owner_client.post(reverse("station-new"), typed())

    assert list(response.context["form"].errors) == ["name"]
    assert Station.objects.count() == 1


@pytest.mark.parametrize(
    ("back", "lands"),
    [
        ("/gardens/new/", "/gardens/new/"),
        ("https://elsewhere.example/", reverse_lazy("stations")),
        ("//elsewhere.example/", reverse_lazy("stations")),
    ],
)
def test_a_climate_leads_back_to_the_page_that_needed_it_and_to_no_other_site(
    owner_client: StrictClient, back: str, lands: str
) -> None:
    where = f"{reverse('station-new')}?{urlencode({'back': back})}"
    response = owner_client.post(where, typed())
    assert (response.status_code, response["Location"]) == (302, str(lands))


def test_work_of_seconds_is_never_said_to_take_no_time(
    owner_client: StrictClient,
) -> None:
    group = factories.GroupFactory()
    for key, minutes in (("quick", 0.3), ("slow", 4)):
        spec = {**rule_spec(), "key": key, "minutes": minutes}
        factories.RuleFactory(group=group, key=key, spec=spec)
    page = owner_client.get(reverse("plant-group", args=[group.key])).content.decode()
    assert "less than a minute a plant" in page
    assert "about 4 min a plant" in page
    assert "about 0 min" not in page
