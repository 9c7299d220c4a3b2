"""Lines of the firm over a catalogue that has changed under them."""

import io
from copy import deepcopy
from typing import Any

import pytest
from django.core.management import call_command
from django.urls import reverse

from plants import care
from plants.actions.catalogue import load_catalogue
from plants.models import CatalogueLoad, Group, Plant, Rule
from plants.queries.care import engine_group, engine_group_of
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW
from tests.plants.own_samples import load, moment, rule_form, shipped
from tests.plants.test_own_groups import new_plant
from tests.plants.test_own_lines import filled, new, page_of, said

pytestmark = pytest.mark.django_db

IN_SPRING = {"anchor": "leaf_out", "earliest": -30, "best": -20, "latest": 0}


def reload(**changes: Any) -> list[str]:
    """What a newer catalogue's report says no longer fits."""
    return load_catalogue(catalogue=shipped(**changes), now=NOW).unfit


def newer_rules(**cut: Any) -> list[dict[str, Any]]:
    """The shipped rules, the cut changed; None takes a part out."""
    rules = deepcopy(shipped().groups["mophead"]["rules"])
    changed = {**rules[0], **cut}
    return [
        {name: value for name, value in changed.items() if value is not None},
        rules[1],
    ]


def pages_of(client: StrictClient, plant: Plant) -> dict[str, int]:
    """The status of each page on which the plant's care is read."""
    planting = factories.PlantingFactory(plant=plant)
    garden = planting.garden
    urls = {
        "group": reverse("plant-group", args=[plant.group.key]),
        "plant": reverse("plant", args=[plant.key]),
        "planting": reverse("planting", args=[planting.pk]),
        "garden": reverse("garden", args=[garden.pk]),
        "year": reverse("garden-year", args=[garden.pk]),
        "bloom": reverse("garden-bloom", args=[garden.pk]),
        "today": reverse("today"),
        "week": reverse("week"),
        "guide": reverse("guide-new", args=[garden.pk]),
        "single visit": reverse("single-visit-new", args=[garden.pk]),
        "own": reverse("own"),
        "instruction": reverse("instruction-new", args=[garden.pk]),
    }
    return {name: client.get(url).status_code for name, url in urls.items()}


def test_a_rule_that_hangs_on_flowers_the_catalogue_took_away_is_left_out(
    owner_client: StrictClient,
) -> None:
    group, plant = load()
    on_bloom = {
        **moment("first", 0, "bloom_end"),
        **moment("best", 5, "bloom_end"),
        **moment("last", 9, "bloom_end"),
    }
    owner_client.post(new(group), rule_form(**on_bloom))
    owner_client.post(new(group), rule_form(minutes=11))
    feed_in_spring = {**shipped().groups["mophead"]["rules"][1], "window": IN_SPRING}
    rules = [{**newer_rules(purpose="structure", window=IN_SPRING)[0]}, feed_in_spring]

    unfit = reload(bloom=None, wood="none", rules=rules)

    assert unfit == [
        "Mophead: own-mulch-1: It hangs on “its bloom ends”, but it is said to have "
        "no flowers that matter."
    ]
    engine = engine_group(Plant.objects.get(pk=plant.pk))
    assert [rule.key for rule in engine.rules] == [
        "cut-after-bloom",
        "feed-after-bloom",
        "own-mulch-2",
    ]
    assert [(left.layer, left.part, left.key) for left in engine.left_out] == [
        ("firm", "rules", "own-mulch-1")
    ]
    assert Rule.objects.filter(layer="firm").count() == 2
    assert CatalogueLoad.objects.latest("id").report["unfit"] == unfit
    assert set(pages_of(owner_client, plant).values()) == {200}
    for url in (reverse("plant-group", args=["mophead"]), reverse("own")):
        assert "said to have no flowers that matter" in said(owner_client.get(url))
    line = owner_client.get(page_of(group, "own-mulch-1"))
    assert "Warning: left out." in said(line)


def test_a_change_of_a_rule_that_is_gone_is_left_out_and_can_be_taken_back(
    owner_client: StrictClient,
) -> None:
    group, plant = load()
    url = page_of(group, "feed-after-bloom")
    owner_client.post(url, filled(owner_client, url, minutes=45))

    unfit = reload(rules=newer_rules(follow_up=None)[:1])

    assert unfit == [
        "Mophead: feed-after-bloom: The shipped line that it changes is no longer "
        "there."
    ]
    assert [rule.key for rule in engine_group(plant).rules] == ["cut-after-bloom"]
    assert set(pages_of(owner_client, plant).values()) == {200}
    # Another line can still be written, and the unfit one taken back.
    assert owner_client.post(new(group), rule_form()).status_code == 302
    assert owner_client.get(url).status_code == 200
    owner_client.post(f"{url}back/", {"version": 1})
    assert engine_group_of(group).left_out == ()


def test_a_changed_window_that_the_new_wood_forbids_is_left_out(
    owner_client: StrictClient,
) -> None:
    group, plant = load(wood="none")
    url = page_of(group)
    spring = {
        **moment("first", -30, "leaf_out"),
        **moment("best", -20, "leaf_out"),
        **moment("last", 0, "leaf_out"),
    }
    owner_client.post(url, filled(owner_client, url, **spring))
    assert engine_group(plant).rule("cut-after-bloom").best == ("leaf_out", -20)

    reload(wood="old")

    engine = engine_group(Plant.objects.select_related("group").get(pk=plant.pk))
    assert engine.rule("cut-after-bloom").best == ("bloom_end", -7)
    assert engine.rule("cut-after-bloom").layer == "shipped"
    assert len(engine.left_out) == 1
    reload(wood="none")
    found = engine_group(Plant.objects.select_related("group").get(pk=plant.pk))
    assert (found.left_out, found.rule("cut-after-bloom").layer) == ((), "firm")


def test_a_fact_of_our_own_plant_that_no_longer_fits_is_left_out(
    owner_client: StrictClient,
) -> None:
    group, _blue = load()
    plant = new_plant(owner_client, group, bloom_first=7, bloom_last=8)
    own_wood = new_plant_of(owner_client, group)

    unfit = reload(wood="none", rules=newer_rules(window=IN_SPRING))

    engine = engine_group(Plant.objects.select_related("group").get(pk=own_wood.pk))
    assert engine.wood == "none"
    assert [(left.part, left.key) for left in engine.left_out] == [("facts", "wood")]
    assert [line.split(":")[:2] for line in unfit] == [["Moor mophead", " wood"]]
    assert engine_group(plant).left_out == ()
    assert set(pages_of(owner_client, own_wood).values()) == {200}
    page = said(owner_client.get(reverse("plant", args=[own_wood.key])))
    assert "the wood it flowers on no longer fits its group" in page


def new_plant_of(client: StrictClient, group: Group) -> Plant:
    url = f"{reverse('own-plant-new')}?group={group.key}"
    client.post(
        url,
        {
            "version": 0,
            "group": group.pk,
            "common": "Moor mophead",
            "botanical": "Hydrangea exempli 'Moor'",
            "wood": "old",
        },
    )
    return Plant.objects.get(common="Moor mophead")


def test_rows_that_nothing_can_read_leave_dead_wood_only(
    owner_client: StrictClient,
) -> None:
    _group, plant = load()
    Group.objects.update(facts={"wood": "green", "bloom": {"months": "May"}})

    engine = engine_group(Plant.objects.select_related("group").get(pk=plant.pk))

    assert engine.rules == ()
    assert [season.tasks for season in engine.closed] == [
        ("prune", "thin", "shear", "cut down", "renovate")
    ]
    planting = factories.PlantingFactory(plant=plant)
    page = owner_client.get(reverse("planting", args=[planting.pk]))
    assert page.status_code == 200
    assert "only dead wood may be cut" in said(page)


def test_the_command_names_what_no_longer_fits(owner_client: StrictClient) -> None:
    group, _plant = load()
    Rule.objects.create(
        group=group,
        layer="firm",
        key="gone",
        task="feed",
        spec={"key": "gone", "minutes": 3},
    )
    out = io.StringIO()

    call_command("load_catalogue", stdout=out)

    assert (
        "left out, as it no longer fits: Mophead: gone: The shipped line that it"
        in (out.getvalue())
    )


def test_lines_that_lean_on_each_other_are_kept_together() -> None:
    spec = {**shipped().groups["mophead"]}
    follower = {**spec["rules"][1], "key": "own-feed-1"}
    leader = {
        **spec["rules"][1],
        "key": "own-mulch-1",
        "task": "mulch",
        "follow_up": {"rule": "own-feed-1", "within_days": 9},
    }
    misfit = {"key": "own-gone-1", "minutes": 4}

    found = care.fit_layers(spec, firm={"rules": [leader, misfit, follower]})

    assert [left.key for left in found.left_out] == ["own-gone-1"]
    follow = found.rule("own-mulch-1").follow_up
    assert follow is not None
    assert follow.rule == "own-feed-1"


def test_layers_that_fit_give_the_very_same_group() -> None:
    spec = {**shipped().groups["mophead"]}
    firm = {"rules": [{"key": "cut-after-bloom", "minutes": 5}]}

    assert care.fit_layers(spec, firm=firm) is care.merge_layers(spec, firm=firm)
    assert care.fit_layers(spec, firm=firm) is care.fit_layers(spec, firm=firm)
