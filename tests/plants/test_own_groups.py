"""The firm's own groups, plants and sources, through their pages."""

from typing import Any

import pytest
from django.urls import reverse

from firm.models import Entry
from plants.actions.catalogue import load_catalogue
from plants.models import Group, Plant, PlantName, Rule, Source
from plants.queries.care import engine_group, engine_group_of
from plants.queries.catalogue import plants_matching
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW
from tests.plants.own_samples import READ, group_form, load, plant_form, shipped
from tests.plants.test_own_lines import errors, filled, said

pytestmark = pytest.mark.django_db


def new_group(client: StrictClient, **changes: Any) -> Group:
    done = client.post(reverse("own-group-new"), group_form(**changes))
    assert done.status_code == 302, done.context["form"].errors
    return Group.objects.get(layer="firm")


def new_plant(client: StrictClient, group: Group, **changes: Any) -> Plant:
    url = f"{reverse('own-plant-new')}?group={group.key}"
    done = client.post(url, plant_form(group, **changes))
    assert done.status_code == 302, done.context["form"].errors
    return Plant.objects.get(layer="firm")


def test_a_group_from_nothing_is_added_with_its_facts(
    owner_client: StrictClient,
) -> None:
    group = new_group(owner_client, invasive="Hill county\nMoor county")

    assert (group.key, group.name, group.kind) == (
        "own-hill-bluebeard",
        "Hill bluebeard",
        "shrub",
    )
    assert group.facts == {
        "key": "own-hill-bluebeard",
        "name": "Hill bluebeard",
        "kind": "shrub",
        "habit": "mound",
        "evergreen": "no",
        "buds": "opposite",
        "wood": "new",
        "growth": "fast",
        "bloom": {
            "months": [8, 9],
            "region": "mid-atlantic",
            "colour": "blue",
            "source": "common practice",
        },
        "ph": [6, 7.5],
        "hardiness": [5, 9],
        "heat": None,
        "sun_hours": {"min": 6, "max": 14},
        "latest_sun": None,
        "moisture": ["dry", "average"],
        "light": {"best": ["full sun"], "bearable": ["part sun"]},
        # 4 ft, 3 ft 6 in and 36 in by the inch of 1959.
        "mature": {"height_m": 1.2192, "width_m": 1.0668},
        "spacing_m": 0.9144,
        "toxicity": {
            "people": "unknown",
            "dogs": "unknown",
            "cats": "unknown",
            "horses": "unknown",
            "note": "",
            "source": "common practice",
        },
        "invasive": ["Hill county", "Moor county"],
        "planting": {},
        "sources": {},
    }
    assert Entry.objects.get(action="own group added").summary == (
        "Group Hill bluebeard added to the catalogue"
    )
    page = said(owner_client.get(reverse("plant-group", args=[group.key])))
    assert "Whether it is toxic to people, dogs, cats and horses is not known" in page
    assert "Written by the firm" in page


def test_a_group_like_another_takes_its_facts_and_its_rules(
    owner_client: StrictClient,
) -> None:
    like, _plant = load(deer_eat="often", sources={"ph": {"source": READ}})
    url = f"{reverse('own-group-new')}?like={like.key}"

    done = owner_client.post(url, filled(owner_client, url, name="Hill mophead"))

    assert done.status_code == 302
    group = Group.objects.get(layer="firm")
    assert {**like.facts, "key": group.key, "name": "Hill mophead"} == group.facts
    assert [(rule.key, rule.layer) for rule in engine_group_of(group).rules] == [
        ("cut-after-bloom", "firm"),
        ("feed-after-bloom", "firm"),
    ]
    assert {rule.source.key for rule in Rule.objects.filter(group=group)} == {READ}
    assert [rule.layer for rule in engine_group_of(like).rules] == ["shipped"] * 2


def test_a_group_like_another_may_come_without_its_rules(
    owner_client: StrictClient,
) -> None:
    like, _plant = load(sources={"ph": {"source": READ}, "heat": {"source": READ}})
    url = f"{reverse('own-group-new')}?like={like.key}"
    sent = filled(owner_client, url, name="Bare", ph_low="6")
    del sent["with_lines"]

    owner_client.post(url, sent)

    group = Group.objects.get(layer="firm")
    assert engine_group_of(group).rules == ()
    # What was changed no longer comes from where the old figure came.
    assert (group.facts["ph"], group.facts["sources"]) == (
        [6, 6.5],
        {"heat": {"source": READ}},
    )


def test_not_toxic_is_said_only_with_a_page_that_was_read(
    owner_client: StrictClient,
) -> None:
    load()
    for source in ("common practice", "remembered"):
        for look in ({}, {"look": "1"}):
            refused = owner_client.post(
                reverse("own-group-new"),
                group_form(dogs="not toxic", poison_source=source, **look),
            )
            assert errors(refused) == {
                "poison_source": [
                    "Not toxic to dogs is said only with a page that is named and was "
                    "read."
                ]
            }
    assert Group.objects.filter(layer="firm").count() == 0

    group = new_group(owner_client, dogs="not toxic", poison_source=READ)

    page = said(owner_client.get(reverse("plant-group", args=[group.key])))
    assert "Listed as not toxic to dogs." in page


def test_a_source_that_the_firm_read_can_be_named(owner_client: StrictClient) -> None:
    source = {
        "publisher": "The county office",
        "title": "Plants and dogs",
        "address": "county.example/dogs",
        "how_read": "page read",
    }
    for _turn in range(2):
        assert owner_client.post(reverse("own-source-new"), source).status_code == 302

    assert [one.key for one in Source.objects.all()] == ["own-the-county-office"]
    assert Entry.objects.filter(action="own source added").count() == 1
    load_catalogue(catalogue=shipped(), now=NOW)
    assert Source.objects.get(key="own-the-county-office").how_read == "page read"
    new_group(owner_client, dogs="not toxic", poison_source="own-the-county-office")


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"name": ""}, "name", "This field is required."),
        ({"ph_high": "5"}, "ph_high", "This is less than the figure before it."),
        ({"heat_low": "6"}, "heat_high", "Both figures belong together."),
        ({"bloom_last": ""}, "bloom_last", "Both figures belong together."),
        ({"dogs": "harmless"}, "dogs", "harmless is not one of the available"),
        ({"kind": "weed"}, "kind", "weed is not one of the available"),
        ({"light_best": []}, "light_best", "This field is required."),
        ({"height": "tall"}, "height", "is not read as a length"),
        ({"hardiness_low": "0"}, "hardiness_low", "This must be at least 1."),
        ({"latest_sun": "25:00"}, "latest_sun", "Enter a valid time."),
    ],
)
def test_a_wrong_fact_is_refused_beside_its_field(
    owner_client: StrictClient, changes: dict[str, Any], field: str, words: str
) -> None:
    found = errors(owner_client.post(reverse("own-group-new"), group_form(**changes)))
    assert list(found) == [field]
    assert words in found[field][0]
    assert Group.objects.count() == 0


def test_facts_that_the_groups_own_rules_contradict_are_refused(
    owner_client: StrictClient,
) -> None:
    like, _plant = load()
    start = f"{reverse('own-group-new')}?like={like.key}"
    owner_client.post(start, filled(owner_client, start, name="Hill mophead"))
    group = Group.objects.get(layer="firm")
    url = reverse("own-group", args=[group.key])

    refused = owner_client.post(
        url, filled(owner_client, url, bloom_first="", bloom_last="")
    )

    assert errors(refused) == {
        "bloom_first": [
            "Cut after bloom: It hangs on “its bloom ends”, but it is said to have no "
            "flowers that matter.",
            "Feed after bloom: It hangs on “its bloom ends”, but it is said to have no "
            "flowers that matter.",
        ]
    }
    group.refresh_from_db()
    assert group.facts["bloom"]["months"] == [6, 7]
    taken = owner_client.post(url, filled(owner_client, url, bloom_last=8))
    assert taken.status_code == 302
    group.refresh_from_db()
    assert (group.facts["bloom"]["months"], group.version) == ([6, 8], 2)


def test_of_two_who_change_a_group_the_second_is_told(
    owner_client: StrictClient,
) -> None:
    group = new_group(owner_client)
    url = reverse("own-group", args=[group.key])
    mine = filled(owner_client, url, growth="slow")
    owner_client.post(url, filled(owner_client, url, growth="medium"))

    refused = owner_client.post(url, mine)

    assert refused.status_code == 409
    assert [
        (line.label, line.stands, line.typed) for line in refused.context["differences"]
    ] == [("growth", "medium", "slow")]
    group.refresh_from_db()
    assert group.facts["growth"] == "medium"


def test_a_shipped_group_is_not_changed_or_retired(owner_client: StrictClient) -> None:
    load()

    assert owner_client.get(reverse("own-group", args=["mophead"])).status_code == 404
    owner_client.post(reverse("own-group-turn", args=["mophead", "retire"]))
    owner_client.post(reverse("own-plant-turn", args=["mophead-blue", "retire"]))

    assert Group.objects.get().retired_at is None
    assert Plant.objects.get().retired_at is None
    assert (
        owner_client.get(reverse("own-plant", args=["mophead-blue"])).status_code == 404
    )


def test_a_plant_keeps_only_what_differs_from_its_group(
    owner_client: StrictClient,
) -> None:
    group, _blue = load()

    plant = new_plant(owner_client, group, ph_low="5.5", ph_high="6.5", people="toxic")

    assert plant.key == "own-hydrangea-exempli-hill"
    assert plant.overrides == {
        "ph": [5.5, 6.5],
        "toxicity": {
            "people": "toxic",
            "dogs": "toxic",
            "cats": "toxic",
            "horses": "unknown",
            "note": "",
            "source": "common practice",
        },
    }
    assert sorted(PlantName.objects.values_list("name", flat=True)) == [
        "Grey mophead",
        "Moor mophead",
    ]
    assert [one.pk for one in plants_matching(words="moor")] == [plant.pk]
    assert [rule.key for rule in engine_group(plant).rules] == [
        "cut-after-bloom",
        "feed-after-bloom",
    ]
    page = said(owner_client.get(reverse("plant", args=[plant.key])))
    assert "differs from its group in soil pH , poison" in page.replace(",", " ,")


def test_a_plant_that_contradicts_its_group_is_refused(
    owner_client: StrictClient,
) -> None:
    cut, feed = shipped().groups["mophead"]["rules"]
    in_spring = {"anchor": "leaf_out", "earliest": -30, "best": -20, "latest": 0}
    group, _blue = load(wood="new", rules=[{**cut, "window": in_spring}, feed])
    url = f"{reverse('own-plant-new')}?group={group.key}"

    refused = owner_client.post(url, plant_form(group, wood="old"))

    assert errors(refused) == {
        "wood": [
            "Cut after bloom: A shape or flower cut of old wood hangs on “its bloom "
            "ends” or “next year's flower buds are set”, not on “leaves unfold”."
        ]
    }
    assert Plant.objects.filter(layer="firm").count() == 0
    new_plant(owner_client, group, evergreen="semi")


def test_a_plant_is_changed_and_loses_what_is_as_its_group_again(
    owner_client: StrictClient,
) -> None:
    group, _blue = load()
    plant = new_plant(owner_client, group, ph_low="5.5", ph_high="6.5")
    url = reverse("own-plant", args=[plant.key])

    owner_client.post(
        url,
        filled(owner_client, url, ph_low="", ph_high="", other_names="Moor mophead"),
    )

    plant.refresh_from_db()
    assert (plant.overrides, plant.version, plant.group) == ({}, 2, group)
    assert [name.name for name in plant.names.all()] == ["Moor mophead"]


def test_a_group_is_retired_with_its_plants_and_brought_back(
    owner_client: StrictClient,
) -> None:
    group = new_group(owner_client)
    plant = new_plant(owner_client, group)
    before = factories.PlantFactory(group=group, retired_at=NOW)
    planting = factories.PlantingFactory(plant=plant)
    turn = reverse("own-group-turn", args=[group.key, "retire"])

    owner_client.post(turn)

    assert [one.pk for one in plants_matching()] == []
    planting.refresh_from_db()
    assert planting.plant == plant
    page = said(owner_client.get(reverse("planting", args=[planting.pk])))
    assert "Hill mophead" in page
    shown = said(owner_client.get(reverse("plant-group", args=[group.key])))
    assert "Retired by the firm" in shown
    assert "Bring it back" in shown
    again = owner_client.post(turn)
    assert "not retired can be retired" in said(owner_client.get(again["Location"]))

    owner_client.post(reverse("own-group-turn", args=[group.key, "back"]))

    assert [one.pk for one in plants_matching()] == [plant.pk]
    before.refresh_from_db()
    assert before.retired_at == NOW
    assert Entry.objects.filter(action__startswith="own group ").count() == 3


def test_a_plant_is_retired_and_comes_back_only_with_its_group(
    owner_client: StrictClient,
) -> None:
    group = new_group(owner_client)
    plant = new_plant(owner_client, group)
    owner_client.post(reverse("own-plant-turn", args=[plant.key, "retire"]))
    owner_client.post(reverse("own-group-turn", args=[group.key, "retire"]))
    back = reverse("own-plant-turn", args=[plant.key, "back"])

    owner_client.post(back)
    plant.refresh_from_db()
    assert plant.retired_at is not None
    url = f"{reverse('own-plant-new')}?group={group.key}"
    refused = owner_client.post(url, plant_form(group))
    assert errors(refused)["__all__"] == [
        "This group is retired; bring it back or choose another."
    ]

    owner_client.post(reverse("own-group-turn", args=[group.key, "back"]))
    owner_client.post(back)
    plant.refresh_from_db()
    assert plant.retired_at is None


def test_a_load_touches_no_group_plant_or_source_of_ours(
    owner_client: StrictClient,
) -> None:
    group, _blue = load()
    own = new_group(owner_client)
    new_plant(owner_client, group, ph_low="5.5", ph_high="6.5")
    kept = [
        *Group.objects.filter(layer="firm").values(),
        *Plant.objects.filter(layer="firm").values(),
        *PlantName.objects.order_by("id").values(),
    ]
    newer = shipped(ph=[4.5, 6.0])

    report = load_catalogue(catalogue=newer, now=NOW)

    assert (report.changed, report.retired) == (["group mophead"], [])
    assert kept == [
        *Group.objects.filter(layer="firm").values(),
        *Plant.objects.filter(layer="firm").values(),
        *PlantName.objects.order_by("id").values(),
    ]
    assert own.key == "own-hill-bluebeard"
