"""The year that would follow, beside the form that would bring it about."""

import datetime as dt
from typing import Any

import pytest
from django.urls import reverse

from firm import clock
from plants.models import Garden, Group, Rule, StandingInstruction
from plants.queries.own import group_preview, line_preview, target
from tests import factories
from tests.conftest import StrictClient
from tests.factories import TODAY
from tests.plants.own_samples import (
    closed_form,
    group_form,
    load,
    moment,
    plant_form,
    rule_form,
)
from tests.plants.test_own_lines import errors, filled, new, page_of, said

pytestmark = pytest.mark.django_db

DAY = dt.timedelta(days=1)


@pytest.fixture(autouse=True)
def in_march(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pages are asked for on 2 March 2026."""
    monkeypatch.setattr(clock, "today", lambda *, time_zone: TODAY)


def lines(response: Any) -> list[tuple[str, str, str, str]]:
    """Rule, change, days and layer of each line of the year that follows."""
    assert response.status_code == 200
    return [
        (
            line.rule.key,
            line.change,
            f"{line.window.earliest:%d %b} {line.window.best:%d %b} "
            f"{line.window.latest:%d %b}",
            line.window.layer,
        )
        for line in response.context["preview"].lines
    ]


def garden_with_one(plant: Any, **changes: Any) -> Garden:
    garden: Garden = factories.GardenFactory()
    factories.PlantingFactory(garden=garden, plant=plant, number=4, **changes)
    return garden


# In the climate of Fernhollow leaves unfold on 5 April 2026 and bloom ends on 1 August.
# The cut runs from 21 days before to 7 after, but buds are set on 1 August and close it
# from the day after; feeding follows within 14 days of its best day.
CUT = ("cut-after-bloom", "same", "11 Jul 25 Jul 01 Aug", "shipped")
FEED = ("feed-after-bloom", "same", "01 Aug 06 Aug 08 Aug", "shipped")


def test_the_year_as_it_stands_is_shown_before_anything_is_typed(
    owner_client: StrictClient,
) -> None:
    group, plant = load()
    garden_with_one(plant)

    page = owner_client.get(page_of(group))

    assert lines(page) == [CUT, FEED]
    assert not page.context["preview"].differs
    text = said(page)
    assert "Computed for number 4 in " in text
    assert "Nothing is different from the year as it stands." in text
    assert 'hx-target="#preview"' in text


def test_a_moved_window_and_its_follow_up_are_marked(
    owner_client: StrictClient,
) -> None:
    group, plant = load()
    garden_with_one(plant)
    url = page_of(group)

    page = owner_client.post(
        url, filled(owner_client, url, best_days=1, best_side="before", look="1")
    )

    assert lines(page) == [
        ("cut-after-bloom", "moved", "11 Jul 31 Jul 01 Aug", "firm"),
        ("feed-after-bloom", "moved", "01 Aug 06 Aug 14 Aug", "shipped"),
    ]
    text = said(page)
    assert "<strong>moved</strong> (11 Jul to 1 Aug 2026, best about 25 Jul)" in text
    assert Rule.objects.filter(layer="firm").count() == 0


def test_a_new_rule_shows_to_the_day_with_its_layer(
    owner_client: StrictClient,
) -> None:
    group, plant = load()
    garden_with_one(plant)

    page = owner_client.post(new(group), rule_form(look="1"))

    # Leaves unfold on 5 April: 0, 10 and 30 days after.
    assert lines(page) == [
        ("own-new", "new", "05 Apr 15 Apr 05 May", "firm"),
        CUT,
        FEED,
    ]
    assert "<strong>new</strong>" in said(page)
    assert [
        line.change for line in page.context["preview"].closed if line.change != "same"
    ] == []


def test_a_line_for_young_plants_shows_apart_for_an_old_one(
    owner_client: StrictClient,
) -> None:
    group, plant = load()
    garden_with_one(plant)

    page = owner_client.post(new(group), rule_form(look="1", age_to="2"))

    assert lines(page) == [CUT, FEED]
    (apart,) = page.context["preview"].apart
    assert apart.best == dt.date(2026, 4, 15)
    assert "This line does not hold for the plant shown." in said(page)
    assert "in its first 2 years" in said(page)


def test_a_rule_that_only_says_something_else_is_marked_as_changed(
    owner_client: StrictClient,
) -> None:
    group, plant = load()
    garden_with_one(plant)
    url = page_of(group)

    page = owner_client.post(url, filled(owner_client, url, minutes=45, look="1"))

    assert lines(page)[0] == (
        "cut-after-bloom",
        "rewritten",
        "11 Jul 25 Jul 01 Aug",
        "firm",
    )
    assert "changed, same days" in said(page)


def test_a_closed_season_shows_what_it_takes_out(owner_client: StrictClient) -> None:
    group, plant = load()
    garden_with_one(plant)
    # Nearer than the shipped rule: the firm's season shuts it without a word.
    over = {
        "tasks": ["feed"],
        **moment("from", 0, "bloom_end"),
        **moment("to", 60, "bloom_end"),
    }

    page = owner_client.post(new(group, "closed"), closed_form(**over, look="1"))

    assert lines(page) == [
        CUT,
        ("feed-after-bloom", "gone", "01 Aug 06 Aug 08 Aug", "shipped"),
    ]
    closed = [
        (line.period.key, line.change, line.period.first, line.period.last)
        for line in page.context["preview"].closed
        if line.change != "same"
    ]
    assert closed == [
        ("own-new", "new", dt.date(2026, 8, 1), dt.date(2026, 9, 30)),
    ]


def test_the_year_is_that_of_the_chosen_garden(owner_client: StrictClient) -> None:
    group, plant = load()
    garden_with_one(plant)
    figures = dict(factories.HILL_FIGURES)
    figures["tmin_c"] = [value - 3 for value in figures["tmin_c"]]
    figures["tmax_c"] = [value - 3 for value in figures["tmax_c"]]
    cold = factories.GardenFactory(
        name="High moor",
        station=factories.StationFactory(name="High moor", figures=figures),
    )

    here = owner_client.post(new(group), rule_form(look="1"))
    there = owner_client.post(new(group), rule_form(look="1", garden=cold.pk))

    best = {
        where: next(
            line.window.best
            for line in page.context["preview"].lines
            if line.rule.key == "own-new"
        )
        for where, page in (("here", here), ("there", there))
    }
    assert best == {"here": dt.date(2026, 4, 15), "there": dt.date(2026, 5, 2)}
    assert "in High moor, where none stands yet" in said(there)


def test_without_any_climate_the_page_says_so(owner_client: StrictClient) -> None:
    group, _plant = load()

    page = owner_client.post(new(group), rule_form(look="1"))

    assert "No climate is written down yet" in said(page)
    assert page.status_code == 200


def test_without_a_garden_it_is_the_first_climate(owner_client: StrictClient) -> None:
    group, _plant = load()
    factories.StationFactory()

    page = owner_client.post(new(group), rule_form(look="1"))

    assert lines(page)[0][:2] == ("own-new", "new")
    assert "for a grown plant in the climate of Fernhollow" in said(page)


def test_an_instruction_for_the_planting_shows_in_the_year_too(
    owner_client: StrictClient,
) -> None:
    group, plant = load()
    garden = garden_with_one(plant)
    StandingInstruction.objects.create(
        garden=garden, text="Never feed", forbids=["feed"], given_on=TODAY
    )

    assert lines(owner_client.get(page_of(group))) == [CUT]


def test_a_new_group_shows_the_year_of_the_rules_it_takes(
    owner_client: StrictClient,
) -> None:
    like, _plant = load()
    factories.StationFactory()
    url = f"{reverse('own-group-new')}?like={like.key}"

    page = owner_client.post(url, filled(owner_client, url, name="Own", look="1"))
    bare = owner_client.post(reverse("own-group-new"), group_form(look="1"))

    assert [(key, change, layer) for key, change, _days, layer in lines(page)] == [
        ("cut-after-bloom", "new", "firm"),
        ("feed-after-bloom", "new", "firm"),
    ]
    assert lines(bare) == []
    assert "No work falls into this year." in said(bare)
    assert Group.objects.filter(layer="firm").count() == 0


def test_a_plant_that_flowers_later_is_set_beside_its_group(
    owner_client: StrictClient,
) -> None:
    group, _plant = load()
    factories.StationFactory()
    url = f"{reverse('own-plant-new')}?group={group.key}"

    page = owner_client.post(
        url, plant_form(group, bloom_first=7, bloom_last=8, look="1")
    )

    changes = {line.rule.key: line for line in page.context["preview"].lines}
    assert {key: line.change for key, line in changes.items()} == {
        "cut-after-bloom": "moved",
        "feed-after-bloom": "moved",
    }
    feed = changes["feed-after-bloom"]
    assert feed.was is not None
    assert (feed.was.earliest, feed.window.earliest) == (
        dt.date(2026, 8, 1),
        dt.date(2026, 8, 31),
    )


def test_an_instruction_shows_what_is_no_longer_planned(
    owner_client: StrictClient,
) -> None:
    _group, plant = load()
    garden = garden_with_one(plant)
    other = factories.PlantingFactory(garden=garden, plant=plant, number=5)
    url = reverse("instruction-new", args=[garden.pk])
    sent = {"text": "Never cut", "given_on": str(TODAY), "forbids": ["prune"]}

    page = owner_client.post(url, {**sent, "look": "1"})

    assert [
        (one.planting.number, [(line.rule.key, line.change) for line in one.lines])
        for one in page.context["preview"]
    ] == [
        (number, [("cut-after-bloom", "gone"), ("feed-after-bloom", "moved")])
        for number in (4, 5)
    ]
    assert "<strong>no longer</strong>" in said(page)
    assert StandingInstruction.objects.count() == 0
    one = owner_client.post(url, {**sent, "planting": other.pk, "look": "1"})
    assert [row.planting.number for row in one.context["preview"]] == [5]
    read = owner_client.post(url, {**sent, "forbids": [], "look": "1"})
    assert "Nothing of the garden’s year changes" in said(read)
    wrong = owner_client.post(url, {**sent, "text": "", "look": "1"})
    assert errors(wrong) == {"text": ["This field is required."]}
    assert owner_client.post(url, sent).status_code == 302
    assert StandingInstruction.objects.get().forbids == ["prune"]


def test_a_preview_of_nothing_changed_is_the_year_as_it_stands() -> None:
    group, _plant = load()
    factories.StationFactory()
    found = target(of="groups", key=group.key)
    assert found is not None

    unchanged = line_preview(
        target=found,
        part="rules",
        key="cut-after-bloom",
        line=None,
        is_changed=False,
        garden=None,
        day=TODAY,
    )
    whole = group_preview(group=group, facts=None, garden=None, day=TODAY)

    assert not unchanged.differs
    assert [line.window for line in unchanged.lines] == [
        line.window for line in whole.lines
    ]
