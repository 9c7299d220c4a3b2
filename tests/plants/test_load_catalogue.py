"""Taking the shipped catalogue over."""

import copy
import datetime as dt

import pytest
from django.core.management import CommandError, call_command

from firm.models import Entry
from plants.actions.catalogue import CatalogueRefused, load_catalogue
from plants.imports import Catalogue
from plants.models import CatalogueLoad, Group, Plant, PlantName, Rule
from plants.queries.care import engine_group, engine_group_of
from tests import factories
from tests.factories import NOW, rule_spec

pytestmark = pytest.mark.django_db


def small_catalogue() -> Catalogue:
    """One source, one old-wood group with one rule, one plant."""
    facts = factories.GroupFactory.build(key="mophead", name="Mophead").facts
    rule = rule_spec(source="an-extension")
    rule["limits"] = {"share_removed_max": 0.33, "cut": "above a pair of buds"}
    return Catalogue(
        sources={
            "an-extension": {
                "key": "an-extension",
                "publisher": "An extension",
                "title": "Pruning shrubs",
                "address": "extension.example/pruning",
                "read": "memory",
            }
        },
        groups={
            "mophead": {
                **facts,
                "key": "mophead",
                "name": "Mophead",
                "kind": "shrub",
                "rules": [rule],
                "closed": [],
            }
        },
        plants={
            "mophead-blue": {
                "key": "mophead-blue",
                "group": "mophead",
                "botanical": "Hydrangea exempli 'Blue'",
                "common": "Blue mophead",
                "synonyms": ["Hortensia exempli"],
                "overrides": {"ph": [5.0, 5.5]},
            }
        },
    )


def changed(catalogue: Catalogue) -> Catalogue:
    return copy.deepcopy(catalogue)


def test_a_second_load_changes_nothing() -> None:
    first = load_catalogue(catalogue=small_catalogue(), now=NOW)
    second = load_catalogue(catalogue=small_catalogue(), now=NOW)

    assert first.added == [
        "source an-extension",
        "group mophead",
        "plant mophead-blue",
        "name Hortensia exempli",
        "rule mophead/cut-after-bloom",
    ]
    assert second.changes == 0
    assert CatalogueLoad.objects.count() == 1
    assert Entry.objects.filter(action="catalogue loaded").count() == 1


def test_a_changed_rule_and_a_vanished_plant_are_told() -> None:
    load_catalogue(catalogue=small_catalogue(), now=NOW)
    newer = changed(small_catalogue())
    newer.groups["mophead"]["rules"][0]["how"] = "Shorten only what flowered."
    del newer.plants["mophead-blue"]  # type: ignore[attr-defined]
    later = NOW + dt.timedelta(days=30)

    report = load_catalogue(catalogue=newer, now=later)

    assert (report.added, report.changed, report.retired) == (
        [],
        ["rule mophead/cut-after-bloom"],
        ["plant mophead-blue"],
    )
    assert Plant.objects.get().retired_at == later
    assert Rule.objects.get().spec["how"] == "Shorten only what flowered."


def test_a_rule_of_one_plant_holds_for_it_alone_and_goes_with_the_catalogue() -> None:
    ring = {
        **rule_spec(key="ring", task="stake", purpose="none", source="an-extension"),
        "window": {"anchor": "bloom_start", "earliest": -30, "best": -20, "latest": 0},
        "limits": {},
        "drawing": "none",
    }
    catalogue = small_catalogue()
    catalogue.plants["mophead-blue"]["rules"] = [ring]

    first = load_catalogue(catalogue=catalogue, now=NOW)
    second = load_catalogue(catalogue=catalogue, now=NOW)

    plant = Plant.objects.get(key="mophead-blue")
    assert "rule mophead-blue/ring" in first.added
    assert second.changes == 0
    rule = engine_group(plant).rule("ring")
    assert (rule.task, rule.layer, rule.best.days) == ("stake", "plant", -20)
    assert [one.key for one in engine_group_of(plant.group).rules] == [
        "cut-after-bloom"
    ]

    report = load_catalogue(catalogue=small_catalogue(), now=NOW)

    assert report.retired == ["rule ring"]
    assert Rule.objects.filter(plant=plant).count() == 0


def test_a_plants_own_rule_that_contradicts_its_group_is_refused() -> None:
    wrong = {
        **rule_spec(key="winter-cut", source="an-extension"),
        "window": {"anchor": "late_winter", "earliest": 0, "best": 5, "latest": 9},
    }
    catalogue = small_catalogue()
    catalogue.plants["mophead-blue"]["rules"] = [wrong]

    with pytest.raises(CatalogueRefused, match="mophead-blue: mophead / winter-cut"):
        load_catalogue(catalogue=catalogue, now=NOW)

    assert Plant.objects.count() == 0


def test_a_plant_that_comes_back_is_no_longer_retired() -> None:
    load_catalogue(catalogue=small_catalogue(), now=NOW)
    without = changed(small_catalogue())
    del without.plants["mophead-blue"]  # type: ignore[attr-defined]
    load_catalogue(catalogue=without, now=NOW)

    report = load_catalogue(catalogue=small_catalogue(), now=NOW)

    assert report.changed == ["plant mophead-blue"]
    assert Plant.objects.get().retired_at is None
    assert [row.name for row in PlantName.objects.all()] == ["Hortensia exempli"]


def test_what_the_firm_wrote_is_left_alone() -> None:
    load_catalogue(catalogue=small_catalogue(), now=NOW)
    group = Group.objects.get(key="mophead")
    factories.RuleFactory(group=group, layer="firm", spec=rule_spec(minutes=99))
    own = factories.GroupFactory(key="our-hedge", name="Our hedge", layer="firm")
    newer = changed(small_catalogue())
    newer.groups["our-hedge"] = {  # type: ignore[index]
        **newer.groups["mophead"],
        "key": "our-hedge",
        "name": "Their hedge",
    }
    newer.groups["mophead"]["rules"] = []

    report = load_catalogue(catalogue=newer, now=NOW)

    own.refresh_from_db()
    assert own.name == "Our hedge"
    assert report.kept == ["group our-hedge"]
    assert [(rule.layer, rule.spec["minutes"]) for rule in Rule.objects.all()] == [
        ("firm", 99)
    ]


def test_a_catalogue_that_contradicts_itself_writes_nothing() -> None:
    bad = changed(small_catalogue())
    bad.groups["mophead"]["rules"][0]["window"]["anchor"] = "late_winter"

    with pytest.raises(CatalogueRefused, match="mophead / cut-after-bloom"):
        load_catalogue(catalogue=bad, now=NOW)

    assert Group.objects.count() == 0


def test_the_command_loads_the_shipped_catalogue_and_again_nothing(
    capsys: pytest.CaptureFixture[str],
) -> None:
    call_command("load_catalogue")
    groups = Group.objects.filter(retired_at=None).count()
    call_command("load_catalogue")

    assert groups >= 12
    lines = capsys.readouterr().out.splitlines()
    assert lines[-1] == "0 added, 0 changed, 0 retired"


def test_the_command_refuses_an_empty_folder(tmp_path: object) -> None:
    with pytest.raises(CommandError, match="Nothing was loaded"):
        call_command("load_catalogue", folder=tmp_path)
