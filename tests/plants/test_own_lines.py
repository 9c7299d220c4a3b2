"""The firm's own rules and closed seasons, through their pages and actions."""

from typing import Any

import pytest
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from firm.actions.record import SomebodyElseChangedIt
from firm.models import Entry, Person
from plants import care
from plants.actions.catalogue import load_catalogue
from plants.actions.own_lines import LineRefused, write_line
from plants.care.lines import RULE_PARTS, SEASON_PARTS, plain_rule
from plants.drawings import HABITS
from plants.enums import Anchor, Buds, Drawing, Evergreen, Habit, HowRead
from plants.imports import READINGS
from plants.models import ClosedSeason, Group, Plant, Rule
from plants.queries.care import engine_group, engine_group_of
from plants.queries.own import Target, own_line
from plants.templatetags.own import LABELS
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW, rule_spec
from tests.plants.own_samples import closed_form, load, moment, rule_form, shipped

pytestmark = pytest.mark.django_db
PARTS = {"rules": RULE_PARTS, "closed": SEASON_PARTS}


def new(group: Group | Plant, part: str = "rules") -> str:
    of = "groups" if isinstance(group, Group) else "plants"
    return reverse("own-line-new", args=[of, group.key, part])


def page_of(
    group: Group | Plant, line: str = "cut-after-bloom", part: str = "rules"
) -> str:
    of = "groups" if isinstance(group, Group) else "plants"
    return reverse("own-line", args=[of, group.key, part, line])


def turned(
    client: StrictClient, group: Group | Plant, turn: str, *, version: int, **spot: str
) -> Any:
    return client.post(f"{page_of(group, **spot)}{turn}/", {"version": version})


def filled(client: StrictClient, url: str, **changes: Any) -> dict[str, Any]:
    """What a page's form starts with, with CHANGES."""
    form = client.get(url).context["form"]
    values = {field.name: field.value() for field in form}
    kept = {
        name: value
        for name, value in values.items()
        if value is not None and value is not False
    }
    return {**kept, **changes}


def errors(response: Any) -> dict[str, list[str]]:
    assert response.status_code == 200
    return dict(response.context["form"].errors)


def said(response: Any) -> str:
    return " ".join(response.content.decode().replace("\u00a0", " ").split())


def test_a_rule_of_our_own_is_written_and_holds(
    owner: Person, owner_client: StrictClient
) -> None:
    group, plant = load()

    done = owner_client.post(new(group), rule_form())

    assert done["Location"] == reverse("plant-group", args=["mophead"])
    row = Rule.objects.get(layer="firm")
    assert (row.key, row.task, row.group, row.source) == (
        "own-mulch-1",
        "mulch",
        group,
        None,
    )
    rule = engine_group(plant).rule("own-mulch-1")
    assert (rule.layer, rule.minutes, rule.best) == (
        "firm",
        6,
        care.Moment("leaf_out", 10),
    )
    entry = Entry.objects.get(action="own line written")
    assert (entry.by, entry.summary) == (
        owner,
        "Mophead: own rule own-mulch-1 written",
    )
    assert "the firm's own rule" in said(owner_client.get(done["Location"])).replace(
        "&#x27;", "'"
    )


def test_the_same_rule_sent_twice_is_written_once(owner_client: StrictClient) -> None:
    group, _plant = load()
    sent = rule_form(once="5d0e7f4e-0000-4000-8000-000000000001")

    owner_client.post(new(group), sent)
    owner_client.post(new(group), sent)

    assert Rule.objects.filter(layer="firm").count() == 1


def test_over_a_shipped_rule_only_what_differs_is_kept(
    owner_client: StrictClient,
) -> None:
    group, plant = load()
    shipped_row = Rule.objects.get(key="cut-after-bloom")
    url = page_of(group)

    owner_client.post(url, filled(owner_client, url, minutes=45, share="25"))

    own = Rule.objects.get(layer="firm")
    assert own.spec == {
        "key": "cut-after-bloom",
        "minutes": 45,
        "limits": {"share_removed_max": 0.25, "cut": "above a pair of buds"},
    }
    shipped_row.refresh_from_db()
    assert shipped_row.spec["minutes"] == 20
    rule = engine_group(plant).rule("cut-after-bloom")
    assert (rule.minutes, rule.limits.share_removed_max, rule.how, rule.layer) == (
        45,
        0.25,
        "Shorten the stems that have flowered.",
        "firm",
    )
    page = owner_client.get(url)
    assert page.context["line"].changed == ["limits", "minutes"]
    text = said(page)
    assert "a third at most; above a pair of buds" in text
    assert "a quarter at most; above a pair of buds" in text
    assert '<td class="words">20 min</td> <td class="words">45 min</td>' in text


def test_an_untouched_form_changes_nothing(owner_client: StrictClient) -> None:
    group, _plant = load()
    url = page_of(group)

    owner_client.post(url, filled(owner_client, url))

    assert Rule.objects.filter(layer="firm").count() == 0
    assert Entry.objects.filter(action__startswith="own line").count() == 0


def test_what_is_set_back_to_the_shipped_words_is_taken_back(
    owner_client: StrictClient,
) -> None:
    group, _plant = load()
    url = page_of(group)
    owner_client.post(url, filled(owner_client, url, minutes=45))

    owner_client.post(url, filled(owner_client, url, minutes=20))

    assert Rule.objects.filter(layer="firm").count() == 0
    assert Entry.objects.filter(action="own line taken back").count() == 1


def test_a_part_that_falls_away_is_kept_so(owner_client: StrictClient) -> None:
    group, plant = load()
    url = page_of(group)

    owner_client.post(url, filled(owner_client, url, age_from="", follow_up=""))

    assert Rule.objects.get(layer="firm").spec == {
        "key": "cut-after-bloom",
        "conditions": None,
        "follow_up": None,
    }
    rule = engine_group(plant).rule("cut-after-bloom")
    assert (rule.conditions.age_years_min, rule.follow_up) == (None, None)


def test_a_line_is_switched_off_and_on_again_with_its_changes(
    owner_client: StrictClient,
) -> None:
    group, plant = load()
    url = page_of(group)
    owner_client.post(url, filled(owner_client, url, minutes=45))

    turned(owner_client, group, "off", version=1)

    assert [rule.key for rule in engine_group(plant).rules] == ["feed-after-bloom"]
    assert "switched off" in said(owner_client.get(url))

    turned(owner_client, group, "on", version=2)

    assert engine_group(plant).rule("cut-after-bloom").minutes == 45
    turned(owner_client, group, "back", version=3)
    assert engine_group(plant).rule("cut-after-bloom").minutes == 20
    assert Rule.objects.filter(layer="firm").count() == 0
    assert list(
        Entry.objects.filter(action__startswith="own line")
        .order_by("id")
        .values_list("action", flat=True)
    ) == [
        "own line changed",
        "own line switched off",
        "own line switched on",
        "own line taken back",
    ]


def test_a_shipped_rule_that_others_are_followed_by_can_be_switched_off(
    owner_client: StrictClient,
) -> None:
    group, plant = load()

    turned(owner_client, group, "off", version=0, line="feed-after-bloom")

    engine = engine_group(plant)
    assert [rule.key for rule in engine.rules] == ["cut-after-bloom"]
    assert engine.rules[0].follow_up is None
    assert engine.left_out == ()
    page = owner_client.get(reverse("plant-group", args=["mophead"]))
    assert page.context["page"].off == [("rules", "feed-after-bloom")]
    assert "Feed after bloom" in said(page)


def test_a_button_pressed_twice_does_its_work_once(owner_client: StrictClient) -> None:
    group, _plant = load()

    for _press in range(2):
        turned(owner_client, group, "off", version=0)

    assert Entry.objects.filter(action="own line switched off").count() == 1
    turned(owner_client, group, "back", version=1)
    again = turned(owner_client, group, "back", version=1)
    assert "no such line" in said(owner_client.get(again["Location"]))
    assert Entry.objects.filter(action="own line taken back").count() == 1


def test_a_rule_of_one_plant_stands_above_its_group(
    owner_client: StrictClient,
) -> None:
    group, plant = load()
    other = factories.PlantFactory(group=group)
    owner_client.post(page_of(group), filled(owner_client, page_of(group), minutes=45))

    owner_client.post(page_of(plant), filled(owner_client, page_of(plant), minutes=50))

    assert Rule.objects.get(plant=plant).spec == {
        "key": "cut-after-bloom",
        "minutes": 50,
    }
    found = {
        one.pk: (rule.minutes, rule.layer)
        for one in (plant, other)
        for rule in [engine_group(one).rule("cut-after-bloom")]
    }
    assert found == {plant.pk: (50, "plant"), other.pk: (45, "firm")}


def test_the_firm_changes_one_field_of_a_shipped_plants_own_rule(
    owner_client: StrictClient,
) -> None:
    _group, plant = load()
    Rule.objects.create(
        plant=plant,
        layer="shipped",
        key="late-cut",
        task="prune",
        spec=rule_spec(key="late-cut", minutes=8),
    )
    url = page_of(plant, "late-cut")

    owner_client.post(url, filled(owner_client, url, minutes=9))

    assert Rule.objects.get(layer="firm").spec == {"key": "late-cut", "minutes": 9}
    rule = engine_group(plant).rule("late-cut")
    assert (rule.minutes, rule.how) == (9, "Shorten the stems that have flowered.")


def test_a_closed_season_of_our_own_closes_its_tasks(
    owner_client: StrictClient,
) -> None:
    group, plant = load()

    owner_client.post(new(group, "closed"), closed_form())

    row = ClosedSeason.objects.get(layer="firm")
    assert row.spec == {
        "key": "own-closed-1",
        "tasks": ["divide"],
        "from": {"anchor": "midsummer", "days": 0},
        "to": {"anchor": "midsummer", "days": 40},
        "why": "Roots dry out in the heat.",
        "source": "common practice",
    }
    season = next(one for one in engine_group(plant).closed if one.layer == "firm")
    assert season.tasks == ("divide",)


def test_a_shipped_closed_season_is_changed_and_switched_off(
    owner_client: StrictClient,
) -> None:
    group, plant = load()
    url = page_of(group, "wet-leaves", "closed")

    owner_client.post(url, filled(owner_client, url, to_days=50))

    assert ClosedSeason.objects.get(layer="firm").spec == {
        "key": "wet-leaves",
        "to": {"anchor": "leaf_out", "days": 50},
    }
    turned(owner_client, group, "off", version=1, line="wet-leaves", part="closed")
    assert [one.key for one in engine_group(plant).closed] == ["flower-buds-set"]


def test_what_follows_from_the_wood_cannot_be_switched_off(
    owner_client: StrictClient,
) -> None:
    group, _plant = load()

    assert owner_client.get(
        page_of(group, "flower-buds-set", "closed")
    ).status_code == (404)
    assert owner_client.get(page_of(group, "wet-leaves", "closed")).status_code == 200


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        (
            {**moment("best", 40, "leaf_out")},
            "best_days",
            "Best day 40 is not between earliest 0 and latest 30.",
        ),
        (
            {
                **moment("first", 0, "bloom_end"),
                **moment("best", 0, "leaf_out"),
                **moment("last", 20, "bloom_end"),
            },
            "best_days",
            "Its best day is not between the earliest and the latest in the region's "
            "year.",
        ),
        (
            {**moment("best", 0, "leaf_out"), **moment("last", 0, "leaf_out")},
            "last_days",
            "It has no days, earliest and latest are the same.",
        ),
        (
            {
                "task": "prune",
                "purpose": "shape",
                "share": "35",
                **moment("first", 0, "bloom_end"),
                **moment("best", 7, "bloom_end"),
                **moment("last", 14, "bloom_end"),
            },
            "share",
            "35 % is more than the 33 % that one cut may take from a shrub; a harder "
            "cut is a task of its own: cut down, or renovate.",
        ),
        (
            {"task": "prune", "purpose": "flower"},
            "first_anchor",
            "A shape or flower cut of old wood hangs on “its bloom ends” or “next "
            "year&#x27;s flower buds are set”, not on “leaves unfold”.",
        ),
        ({"always": "on"}, "always", "Only dead wood and inspections are always open."),
        ({"first_anchor": "moon"}, "first_anchor", "moon is not one of the available"),
        ({"first_days": ""}, "first_days", "Say how many days; 0 is the day itself."),
        ({"best_days": "-4"}, "best_days", "This must be at least 0."),
        ({"task": "frobnicate"}, "task", "frobnicate is not one of the available"),
        ({"follow_up": "feed-after-bloom"}, "follow_days", "Say within how many days."),
        (
            {"age_from": "6", "age_to": "3"},
            "age_from",
            "No age is over 6 and under 3 years.",
        ),
        (
            {"ph_above": "7", "ph_below": "6"},
            "ph_above",
            "No pH is over 7 and under 6.",
        ),
        (
            {"height_low": "12", "height_high": "6"},
            "height_low",
            "0.3048 m is over 0.1524 m.",
        ),
        ({"height_low": "a foot"}, "height_low", "is not read as a length"),
        ({"source": "nobody"}, "source", "nobody is not one of the available"),
        ({"minutes": "2000"}, "minutes", "This must be at most 1440."),
    ],
)
def test_a_rule_that_contradicts_itself_is_refused_beside_its_field(
    owner_client: StrictClient, changes: dict[str, Any], field: str, words: str
) -> None:
    group, _plant = load()

    for look in ({}, {"look": "1"}):
        refused = owner_client.post(new(group), rule_form(**changes, **look))
        found = errors(refused)
        assert list(found) == [field]
        assert words.replace("&#x27;", "'") in found[field][0]
        assert refused.context["preview"] is None
    assert Rule.objects.filter(layer="firm").count() == 0
    assert owner_client.post(new(group), rule_form()).status_code == 302


def test_a_window_inside_its_own_closed_season_is_refused(
    owner_client: StrictClient,
) -> None:
    group, _plant = load()
    shear = {"task": "shear", "purpose": "hygiene"}

    refused = owner_client.post(new(group), rule_form(**shear))

    # Leaves unfold on 2 April in the Virginia Piedmont of the reference climate.
    assert errors(refused) == {
        "best_days": [
            "The whole window (12 Apr in the region) lies in the closed season: "
            "Leaf spot spreads."
        ]
    }
    later = moment("first", 40, "leaf_out") | moment("best", 45, "leaf_out")
    later |= moment("last", 60, "leaf_out")
    assert owner_client.post(new(group), rule_form(**shear, **later)).status_code == 302


def test_a_closed_season_over_our_own_rule_is_refused(
    owner_client: StrictClient,
) -> None:
    group, _plant = load()
    owner_client.post(new(group), rule_form())
    over = {
        "tasks": ["mulch"],
        **moment("from", 0, "leaf_out"),
        **moment("to", 30, "leaf_out"),
    }

    refused = owner_client.post(new(group, "closed"), closed_form(**over))

    assert errors(refused)["__all__"] == [
        "Own mulch 1: The whole window (12 Apr in the region) lies in the closed "
        "season: Roots dry out in the heat."
    ]
    assert ClosedSeason.objects.filter(layer="firm").count() == 0


def test_follow_ups_in_a_circle_are_refused(owner_client: StrictClient) -> None:
    group, _plant = load()
    url = page_of(group, "feed-after-bloom")

    refused = owner_client.post(
        url, filled(owner_client, url, follow_up="cut-after-bloom", follow_days=9)
    )

    assert errors(refused)["__all__"] == [
        "Cut after bloom: The work that follows runs in a circle, cut-after-bloom > "
        "feed-after-bloom > cut-after-bloom."
    ]
    owner_client.post(new(group), rule_form())
    taken = owner_client.post(
        url, filled(owner_client, url, follow_up="own-mulch-1", follow_days=9)
    )
    assert taken.status_code == 302


def test_a_rule_that_a_plant_of_the_group_contradicts_is_refused(
    owner_client: StrictClient,
) -> None:
    group, plant = load()
    Plant.objects.filter(pk=plant.pk).update(overrides={"bloom": None})
    after = {
        **moment("first", 0, "bloom_end"),
        **moment("best", 5, "bloom_end"),
        **moment("last", 9, "bloom_end"),
    }
    # That plant cannot carry the shipped rules either: they are left out of account.
    Rule.objects.filter(group=group).delete()

    refused = owner_client.post(new(group), rule_form(**after))

    assert errors(refused)["__all__"] == [
        "Blue mophead, own mulch 1: It hangs on “its bloom ends”, but it is said to "
        "have no flowers that matter."
    ]
    Plant.objects.filter(pk=plant.pk).update(overrides={})
    assert owner_client.post(new(group), rule_form(**after)).status_code == 302


def test_of_two_people_the_second_is_told_what_the_first_wrote(
    owner_client: StrictClient,
) -> None:
    group, _plant = load()
    url = page_of(group)
    mine = filled(owner_client, url, minutes=45)
    owner_client.post(url, filled(owner_client, url, minutes=30))

    refused = owner_client.post(url, mine)

    assert refused.status_code == 409
    assert [
        (line.label, line.stands, line.typed) for line in refused.context["differences"]
    ] == [("work for each plant", "30", "45")]
    assert Rule.objects.get(layer="firm").spec["minutes"] == 30
    again = {field.name: field.value() for field in refused.context["form"]}
    kept = {
        name: value
        for name, value in again.items()
        if value is not None and value is not False
    }
    assert owner_client.post(url, kept).status_code == 302
    assert Rule.objects.get(layer="firm").spec["minutes"] == 45


def test_an_action_refuses_an_old_version_and_an_unknown_anchor(owner: Person) -> None:
    group, _plant = load()
    target = Target(group=group)
    stands = own_line(target=target, part="rules", key="cut-after-bloom")
    assert stands is not None
    spot: dict[str, Any] = {
        "target": target,
        "part": "rules",
        "key": "cut-after-bloom",
        "now": NOW,
        "by": owner,
    }
    with pytest.raises(SomebodyElseChangedIt):
        write_line(wanted={**stands.holds, "minutes": 45}, version=3, **spot)
    moon = {end: {"anchor": "moon", "days": 1} for end in ("from", "best", "to")}
    with pytest.raises(LineRefused, match="'moon' is not one of"):
        write_line(wanted={**stands.holds, "window": moon}, version=0, **spot)
    assert Rule.objects.filter(layer="firm").count() == 0
    write_line(wanted={**stands.holds, "minutes": 45}, version=0, **spot)
    assert Rule.objects.get(layer="firm").version == 1


def test_a_load_touches_none_of_our_own_rows(owner_client: StrictClient) -> None:
    group, plant = load()
    for where, minutes in ((group, 45), (plant, 50)):
        owner_client.post(
            page_of(where), filled(owner_client, page_of(where), minutes=minutes)
        )
        owner_client.post(new(where), rule_form())
        owner_client.post(new(where, "closed"), closed_form())
    turned(owner_client, group, "off", version=0, line="feed-after-bloom")
    own_rows = [
        *Rule.objects.filter(layer="firm").order_by("id").values(),
        *ClosedSeason.objects.filter(layer="firm").order_by("id").values(),
    ]
    newer = shipped()
    newer.groups["mophead"]["rules"][0]["how"] = "Shorten only what flowered."
    newer.groups["mophead"]["rules"][0]["minutes"] = 21

    report = load_catalogue(catalogue=newer, now=NOW)

    assert report.changed == ["rule mophead/cut-after-bloom"]
    assert report.unfit == []
    assert own_rows == [
        *Rule.objects.filter(layer="firm").order_by("id").values(),
        *ClosedSeason.objects.filter(layer="firm").order_by("id").values(),
    ]
    assert len(own_rows) == 7
    rule = engine_group_of(group).rule("cut-after-bloom")
    assert (rule.how, rule.minutes) == ("Shorten only what flowered.", 45)


@pytest.mark.parametrize("count", [1, 3])
def test_the_page_of_our_own_asks_the_same_questions_for_any_number(
    owner_client: StrictClient,
    django_assert_num_queries: DjangoAssertNumQueries,
    count: int,
) -> None:
    group, plant = load()
    for number in range(count):
        own = factories.GroupFactory(key=f"own-{number}")
        factories.PlantFactory(group=own)
        for where in ({"group": group}, {"plant": plant}):
            Rule.objects.create(
                **where,
                key=f"own-{number}",
                layer="firm",
                task="mulch",
                spec={**plain_rule(MULCH), "key": f"own-{number}"},
            )
            ClosedSeason.objects.create(
                **where,
                key=f"own-closed-{number}",
                layer="firm",
                spec={"key": f"own-closed-{number}", "off": True},
            )
    url = reverse("own")
    owner_client.get(url)

    # Session, person, firm; lines of whom, groups, plants, their rules and closed
    # seasons twice; the lines.
    with django_assert_num_queries(13):
        page = owner_client.get(url)

    assert len(page.context["page"].lines) == 4 * count


MULCH = {
    **rule_spec(task="mulch", purpose="none", limits=None, conditions=None),
    "window": {"anchor": "leaf_out", "earliest": 0, "best": 5, "latest": 9},
    "repeat": None,
}


def test_the_words_of_our_own_forms_are_those_of_the_engine() -> None:
    assert sorted(Anchor.values) == sorted(care.ANCHORS)
    assert sorted(Drawing.values) == sorted(care.DRAWINGS)
    assert sorted(Buds.values) == sorted(care.BUDS)
    assert sorted(Evergreen.values) == sorted(care.EVERGREEN)
    assert sorted(Habit.values) == sorted(HABITS)
    assert HowRead.values == list(READINGS)
    assert {name: set(LABELS) >= {*parts} for name, parts in PARTS.items()} == {
        "rules": True,
        "closed": True,
    }


def test_only_the_owner_is_led_to_our_own_pages(
    owner_client: StrictClient, crew_client: StrictClient
) -> None:
    group, _plant = load()

    shown = said(owner_client.get(reverse("plant-group", args=["mophead"])))

    assert new(group) in shown
    assert page_of(group) in shown
    assert crew_client.get(new(group)).status_code == 403
