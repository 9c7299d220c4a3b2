"""Whatever is typed into the firm's own forms: never an error, always readable."""

from typing import Any

import pytest
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from plants.enums import Anchor, Drawing, Purpose, Task
from plants.models import ClosedSeason, Group, Plant, Rule
from plants.queries.care import engine_group, engine_group_of
from tests import factories
from tests.conftest import StrictClient
from tests.plants.own_samples import (
    closed_form,
    group_form,
    load,
    plant_form,
    rule_form,
)

pytestmark = pytest.mark.django_db

ODD = st.one_of(
    st.text(max_size=20),
    st.sampled_from(
        ["", "-1", "0", "0.1", "100", "366", "1e9", "NaN", "12 in", "3 ft", "on", "1/0"]
    ),
    st.integers(-1000, 1000).map(str),
)
DAYS = st.integers(-3, 400).map(str)


def mostly(form: dict[str, Any], **parts: Any) -> st.SearchStrategy[dict[str, Any]]:
    """The form with some fields drawn from what fits them and two from anything."""
    names = sorted(form)
    fitting = {
        name: st.one_of(st.just(form.get(name, "")), parts[name]) for name in parts
    }
    return st.tuples(
        st.fixed_dictionaries(fitting),
        st.dictionaries(st.sampled_from([*names, "look", "always"]), ODD, max_size=2),
    ).map(lambda drawn: {**form, **drawn[0], **drawn[1]})


RULES = mostly(
    rule_form(),
    task=st.sampled_from(Task.values),
    purpose=st.sampled_from(Purpose.values),
    drawing=st.sampled_from(Drawing.values),
    share=st.integers(1, 100).map(str),
    age_from=st.integers(0, 20).map(str),
    age_to=st.integers(0, 20).map(str),
    every_days=st.integers(1, 60).map(str),
    every_years=st.integers(1, 6).map(str),
    for_years=st.integers(2, 5).map(str),
    follow_up=st.sampled_from(["", "cut-after-bloom", "feed-after-bloom"]),
    follow_days=st.integers(1, 30).map(str),
    **{f"{end}_days": DAYS for end in ("first", "best", "last")},
    **{
        f"{end}_side": st.sampled_from(["before", "after"])
        for end in ("first", "best", "last")
    },
    **{
        f"{end}_anchor": st.sampled_from(Anchor.values)
        for end in ("first", "best", "last")
    },
)
SEASONS = mostly(
    closed_form(),
    tasks=st.lists(st.sampled_from(Task.values), max_size=4),
    except_purposes=st.lists(st.sampled_from(Purpose.values), max_size=3),
    from_days=DAYS,
    to_days=DAYS,
    from_anchor=st.sampled_from(Anchor.values),
    to_anchor=st.sampled_from(Anchor.values),
)
PLAIN = settings(
    max_examples=60,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


def is_taken(client: StrictClient, url: str, sent: dict[str, Any]) -> bool:
    """Whether a form was taken; refused with words and a page is the other way."""
    answer = client.post(url, sent)
    assert answer.status_code in (200, 302, 409)
    if answer.status_code == 200 and "look" not in sent:
        assert answer.context["form"].errors
    return bool(answer.status_code == 302)


@pytest.fixture
def place(owner_client: StrictClient) -> tuple[StrictClient, Group, Plant]:
    """The owner's browser, the shipped group, and a planting of its plant."""
    group, plant = load()
    factories.PlantingFactory(plant=plant)
    return owner_client, group, plant


@PLAIN
@given(sent=RULES)
def test_any_rule_is_refused_or_read(
    place: tuple[StrictClient, Group, Plant], sent: dict[str, Any]
) -> None:
    client, group, plant = place
    before = Rule.objects.count()

    taken = is_taken(
        client, reverse("own-line-new", args=["groups", "mophead", "rules"]), sent
    )

    assert Rule.objects.count() == before + taken
    assert (engine_group(plant).left_out, engine_group_of(group).left_out) == ((), ())
    if taken:
        row = Rule.objects.latest("id")
        assert engine_group(plant).rule(row.key).task == row.task
        assert client.get(reverse("plant", args=[plant.key])).status_code == 200
        url = reverse("own-line", args=["groups", "mophead", "rules", row.key])
        assert client.get(url).status_code == 200
    Rule.objects.filter(layer="firm").delete()


@PLAIN
@given(sent=RULES)
def test_any_change_of_a_shipped_rule_is_refused_or_read(
    place: tuple[StrictClient, Group, Plant], sent: dict[str, Any]
) -> None:
    client, _group, plant = place
    shipped = Rule.objects.get(key="cut-after-bloom", layer="shipped").spec

    url = reverse("own-line", args=["plants", plant.key, "rules", "cut-after-bloom"])
    if is_taken(client, url, sent):
        assert client.get(url).status_code == 200

    assert engine_group(plant).left_out == ()
    assert Rule.objects.get(key="cut-after-bloom", layer="shipped").spec == shipped
    Rule.objects.filter(layer="firm").delete()


@PLAIN
@given(sent=SEASONS)
def test_any_closed_season_is_refused_or_read(
    place: tuple[StrictClient, Group, Plant], sent: dict[str, Any]
) -> None:
    client, _group, plant = place

    is_taken(
        client, reverse("own-line-new", args=["groups", "mophead", "closed"]), sent
    )

    assert engine_group(plant).left_out == ()
    assert client.get(reverse("plant", args=[plant.key])).status_code == 200
    ClosedSeason.objects.filter(layer="firm").delete()


@PLAIN
@given(
    sent=mostly(
        group_form(),
        wood=st.sampled_from(["old", "new", "both", "none"]),
        kind=st.sampled_from(["tree", "rose", "fern", "fruit"]),
        bloom_first=st.integers(1, 12).map(str),
        bloom_last=st.integers(1, 12).map(str),
        latest_sun=st.sampled_from(["", "13:00", "7:5", "noon"]),
        dogs=st.sampled_from(["toxic", "not toxic", "unknown"]),
    )
)
def test_any_group_is_refused_or_read(
    place: tuple[StrictClient, Group, Plant], sent: dict[str, Any]
) -> None:
    client = place[0]

    if is_taken(client, reverse("own-group-new"), sent):
        group = Group.objects.get(layer="firm")
        assert engine_group_of(group).left_out == ()
        page = reverse("plant-group", args=[group.key])
        assert client.get(page).status_code == 200
        assert client.get(reverse("own-group", args=[group.key])).status_code == 200
    Group.objects.filter(layer="firm").delete()


@PLAIN
@given(
    sent=st.deferred(
        lambda: mostly(
            {name: value for name, value in plant_form(Group(pk=0)).items()},
            wood=st.sampled_from(["", "old", "new", "both", "none"]),
            kind=st.sampled_from(["", "tree", "rose", "fern", "fruit"]),
            bloom_first=st.integers(1, 12).map(str),
            bloom_last=st.integers(1, 12).map(str),
            height=st.sampled_from(["", "3 ft", "tall"]),
            width=st.sampled_from(["", "1 m", "0"]),
            people=st.sampled_from(["", "toxic", "not toxic", "unknown"]),
        )
    )
)
def test_any_plant_is_refused_or_read(
    place: tuple[StrictClient, Group, Plant], sent: dict[str, Any]
) -> None:
    client, group, _plant = place

    if is_taken(client, reverse("own-plant-new"), {**sent, "group": group.pk}):
        own = Plant.objects.select_related("group").get(layer="firm")
        assert engine_group(own).left_out == ()
        assert client.get(reverse("plant", args=[own.key])).status_code == 200
        assert client.get(reverse("own-plant", args=[own.key])).status_code == 200
    Plant.objects.filter(layer="firm").delete()
