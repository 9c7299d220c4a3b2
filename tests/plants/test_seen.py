"""What was seen against what was computed, and the degree days taken from it."""

import datetime as dt
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from firm.models import Entry, Person
from plants.actions.plantings import PlantingRefused, log_bloom
from plants.actions.station_blooms import BloomRefused, correct_bloom, take_back_bloom
from plants.models import Garden, ObservedBloom, Planting, StationBloom
from plants.queries.care import care_years, climate_of
from plants.queries.seen import SeenGroup, seen_groups, seen_page, seen_pairs
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW

pytestmark = pytest.mark.django_db

TODAY = dt.date(2026, 11, 2)
START = dt.date(2026, 1, 1)
# The months of the invented group begin on 1 June; the invented climate's spring moves
# that by a few days. The tests reckon from the computed day.
DAY = dt.timedelta(days=1)


def planting_of(garden: Garden | None = None, **values: object) -> Planting:
    rule = factories.RuleFactory()
    found: Planting = factories.PlantingFactory(
        garden=garden or factories.GardenFactory(),
        plant=factories.PlantFactory(group=rule.group),
        **values,
    )
    return found


def computed(planting: Planting, anchor: str = "bloom_start") -> dt.date:
    year = next(
        each
        for each in care_years(planting.garden, start=START)
        if each.planting.pk == planting.pk
    )
    found = year.anchors[anchor]
    assert found is not None
    return found


def saw(planting: Planting, day: dt.date, stage: str = "first bloom") -> ObservedBloom:
    return log_bloom(
        planting=planting,
        stage=stage,
        day=day,
        today=TODAY,
        now=NOW,
        by=factories.PersonFactory(name="Cal Reed", role="crew"),
    ).observed


def log_of(planting: Planting) -> SeenGroup:
    pair = planting.garden.station_id, planting.plant.group_id  # type: ignore[union-attr]
    return seen_groups(pairs=[pair])[0]


# --- the comparison ----------------------------------------------------------------


def test_each_thing_seen_is_held_against_the_day_computed_without_it() -> None:
    planting = planting_of()
    start, end = computed(planting), computed(planting, "bloom_end")
    saw(planting, start + 9 * DAY)
    saw(planting, end + 4 * DAY, "bloom over")
    saw(planting, start + 15 * DAY, "full bloom")

    rows = log_of(planting).rows

    assert [(row.observed.stage, row.computed, row.days) for row in rows] == [
        ("bloom over", end, 4),
        ("full bloom", None, None),
        ("first bloom", start, 9),
    ]


def test_the_mean_difference_comes_with_the_number_of_observations() -> None:
    planting = planting_of()
    start, end = computed(planting), computed(planting, "bloom_end")
    last_year = start.replace(year=2025)
    saw(planting, start + 9 * DAY)
    saw(planting, last_year + 2 * DAY)
    saw(planting, end - 3 * DAY, "bloom over")

    seen = log_of(planting)

    assert [(mean.stage, mean.days, mean.count) for mean in seen.means] == [
        ("first bloom", 5.5, 2),
        # The seen start does not move the computed end here.
        ("bloom over", -3.0, 1),
    ]
    assert [(year.year, year.computed, list(year.seen)) for year in seen.years] == [
        (2025, last_year, [last_year + 2 * DAY]),
        (2026, start, [start + 9 * DAY]),
    ]


def test_a_plant_with_a_bloom_of_its_own_does_not_count_for_its_group() -> None:
    usual = planting_of(number=1)
    own = factories.PlantingFactory(
        garden=usual.garden,
        number=2,
        plant__group=usual.plant.group,  # type: ignore[union-attr]
        plant__overrides={
            "bloom": {
                "months": [8, 9],
                "region": "mid-atlantic",
                "source": "common practice",
            }
        },
    )
    saw(usual, computed(usual) + 2 * DAY)
    saw(own, computed(own) + 20 * DAY)

    seen = log_of(usual)

    assert [(row.days, row.counts) for row in seen.rows] == [(20, False), (2, True)]
    assert [(mean.days, mean.count) for mean in seen.means] == [(2.0, 1)]


def test_what_was_seen_years_ago_counts_in_the_log_and_moves_nothing() -> None:
    planting = planting_of()
    before = computed(planting)

    saw(planting, before.replace(year=2019) + 9 * DAY)

    assert computed(planting) == before
    assert [mean.days for mean in log_of(planting).means] == [9.0]
    with pytest.raises(PlantingRefused, match="more than 30 years ago"):
        saw(planting, dt.date(1926, 6, 1))


# --- the correction ----------------------------------------------------------------


def correct(
    planting: Planting, first: float, last: float | None = None
) -> StationBloom:
    assert planting.plant is not None
    row = correct_bloom(
        group=planting.plant.group,
        station=planting.garden.station,
        first=Decimal(str(first)),
        last=None if last is None else Decimal(str(last)),
        today=TODAY,
        now=NOW,
        by=Person.objects.filter(role="owner").first() or factories.PersonFactory(),
    ).row
    assert row is not None
    return row


def told(planting: Planting) -> tuple[float, float | None]:
    assert planting.plant is not None
    page = seen_page(
        station_id=planting.garden.station_id, key=planting.plant.group.key
    )
    assert page is not None
    assert page.suggestion is not None
    last = page.suggestion.last
    return page.suggestion.first.middle, last.middle if last else None


def test_what_the_log_suggests_moves_bloom_to_the_middle_of_what_was_seen() -> None:
    planting = planting_of()
    start = computed(planting)
    for year, off in ((2024, 3), (2025, 8), (2026, 14)):
        saw(planting, start.replace(year=year) + off * DAY)
    other = factories.PlantingFactory(
        garden=factories.GardenFactory(), plant=planting.plant
    )

    row = correct(planting, *told(planting))

    assert (row.n_first, row.n_last, row.is_typed) == (3, 0, False)
    # A garden in the same climate in which nothing was seen: eight days later.
    assert computed(other) == start + 8 * DAY
    bloom = care_years(other.garden, start=START)[0].bloom_by
    assert bloom is not None
    assert (bloom.layer, bloom.place, bloom.seen) == ("firm", "Fernhollow", 3)


def test_gardens_of_another_climate_keep_their_days() -> None:
    planting = planting_of()
    elsewhere = factories.PlantingFactory(
        garden=factories.GardenFactory(
            station=factories.StationFactory(name="Stonewater")
        ),
        plant=planting.plant,
    )
    start = computed(planting)
    saw(planting, start + 9 * DAY)

    correct(planting, *told(planting))

    assert computed(elsewhere) == start


def test_the_end_of_bloom_is_corrected_from_its_own_observations() -> None:
    planting = planting_of()
    start, end = computed(planting), computed(planting, "bloom_end")
    saw(planting, start + 2 * DAY)
    saw(planting, end - 10 * DAY, "bloom over")
    saw(planting, end - 14 * DAY, "bloom over")
    other = factories.PlantingFactory(
        garden=factories.GardenFactory(), plant=planting.plant
    )

    row = correct(planting, *told(planting))

    # Of one planting in one year the last day on which it was over counts.
    assert (row.n_first, row.n_last) == (1, 1)
    assert computed(other, "bloom_end") == end - 10 * DAY


def test_typed_figures_are_marked_and_have_no_observations_behind_them() -> None:
    planting = planting_of()
    first = climate_of(planting.garden).degree_days(computed(planting) + 5 * DAY)

    row = correct(planting, first)

    assert (row.is_typed, row.n_first) == (True, 0)


def test_pressed_twice_it_is_one_row_and_one_line_of_the_record() -> None:
    planting = planting_of()
    saw(planting, computed(planting) + 9 * DAY)
    totals = told(planting)

    assert correct(planting, *totals) == correct(planting, *totals)

    assert StationBloom.objects.count() == 1
    assert Entry.objects.filter(action="bloom corrected").count() == 1


def test_the_database_keeps_one_row_for_a_group_and_a_climate() -> None:
    planting = planting_of()
    row = correct(planting, climate_of(planting.garden).degree_days(computed(planting)))
    row.pk = None
    row._state.adding = True

    with pytest.raises(IntegrityError), transaction.atomic():
        row.save()


def test_taken_back_bloom_is_computed_as_before() -> None:
    planting = planting_of()
    start = computed(planting)
    saw(planting, start.replace(year=2025) + 9 * DAY)
    row = correct(planting, *told(planting))
    assert computed(planting) == start + 9 * DAY

    for expected in (True, False):
        assert planting.plant is not None
        gone = take_back_bloom(
            group=planting.plant.group,
            station=planting.garden.station,
            today=TODAY,
            now=NOW,
            by=row.made_by,
        )
        assert (gone is not None) is expected

    assert computed(planting) == start
    assert Entry.objects.filter(action="bloom correction taken back").count() == 1


@pytest.mark.parametrize(
    ("first", "last", "field", "words"),
    [
        (1000, 900, "last", "at more degree days"),
        (5990, None, "first", "A whole year at Fernhollow has"),
        (40, None, "first", "more than 60 days off the computed"),
    ],
)
def test_degree_days_that_cannot_be_are_refused_beside_their_field(
    first: float, last: float | None, field: str, words: str
) -> None:
    planting = planting_of()

    with pytest.raises(BloomRefused, match=words) as refused:
        correct(planting, first, last)

    assert refused.value.field == field
    assert StationBloom.objects.count() == 0


def test_a_group_whose_flowers_nobody_wrote_down_cannot_be_corrected() -> None:
    group = factories.GroupFactory(key="plain-green", name="Plain green")
    group.facts |= {"bloom": None, "wood": "none"}
    group.save()
    planting = factories.PlantingFactory(plant__group=group)

    with pytest.raises(BloomRefused, match="nothing to correct"):
        correct(planting, 300)


# --- pages -------------------------------------------------------------------------


def said(browser: StrictClient, name: str, *args: object, query: str = "") -> str:
    answer = browser.get(reverse(name, args=args) + query)
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def test_the_list_says_what_was_seen_where_by_whom_and_how_far_off(
    owner_client: StrictClient,
) -> None:
    planting = planting_of(factories.GardenFactory(name="Orchard Row 9"))
    saw(planting, computed(planting) + 9 * DAY)

    page = said(owner_client, "seen")

    assert "Orchard Row 9" in page
    assert "Cal Reed" in page
    assert "9 days later" in page
    assert "1 observation." in page
    assert "Bloom from the months of its group" in page


def test_the_list_is_narrowed_by_climate_and_year(owner_client: StrictClient) -> None:
    here = planting_of(factories.GardenFactory(name="Here garden"))
    there = planting_of(
        factories.GardenFactory(
            name="There garden", station=factories.StationFactory(name="Stonewater")
        )
    )
    saw(here, dt.date(2025, 6, 3))
    saw(there, dt.date(2026, 6, 4))

    def gardens(query: str) -> list[str]:
        page = said(owner_client, "seen", query=query)
        return [name for name in ("Here garden", "There garden") if name in page]

    assert gardens("") == ["Here garden", "There garden"]
    assert gardens(f"?station={there.garden.station_id}") == ["There garden"]
    assert gardens("?year=2025") == ["Here garden"]
    assert gardens(f"?year=2025&station={there.garden.station_id}") == []
    # What is not there finds everything.
    assert gardens("?year=1066&station=999999") == ["Here garden", "There garden"]


@pytest.mark.parametrize("count", [1, 3])
def test_the_list_asks_the_same_questions_for_any_number_of_rows(
    count: int,
    owner_client: StrictClient,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    for number in range(count):
        group = factories.GroupFactory(key=f"group-{number}", name=f"Group {number}")
        planting = factories.PlantingFactory(plant__group=group)
        for year in range(2026 - count, 2026):
            saw(planting, dt.date(year, 6, 3))

    with django_assert_num_queries(12):
        page = said(owner_client, "seen")

    assert page.count("<section") == count
    assert len(list(seen_pairs())) == count


def test_the_owner_takes_what_the_log_suggests_with_one_press(
    owner_client: StrictClient,
) -> None:
    planting = planting_of()
    start = computed(planting)
    saw(planting, start.replace(year=2025) + 9 * DAY)
    assert planting.plant is not None
    where = planting.garden.station_id, planting.plant.group.key
    form = owner_client.get(reverse("seen-group", args=where)).context["form"]
    shown = {name: form[name].value() or "" for name in ("first", "last")}

    answer = owner_client.post(reverse("seen-correct", args=where), shown)

    assert answer.status_code == 302
    assert StationBloom.objects.get().n_first == 1
    page = said(owner_client, "seen-group", *where)
    assert "Bloom from degree days of this climate, 1 observation" in page
    assert "These are the degree days that the log suggests." in page
    # The page of the planting and of the group say it too.
    assert "Bloom from degree days of this climate, 1 observation" in said(
        owner_client, "planting", planting.pk
    )
    assert "Bloom from degree days of this climate, 1 observation" in said(
        owner_client, "plant-group", planting.plant.group.key
    )

    owner_client.post(reverse("seen-take-back", args=where))

    assert StationBloom.objects.count() == 0
    assert computed(planting) == start


def test_what_is_refused_stays_typed_beside_its_field(
    owner_client: StrictClient,
) -> None:
    planting = planting_of()
    assert planting.plant is not None
    where = planting.garden.station_id, planting.plant.group.key

    answer = owner_client.post(
        reverse("seen-correct", args=where), {"first": "1000", "last": "900"}
    )

    assert list(answer.context["form"].errors) == ["last"]
    assert 'value="900"' in answer.content.decode()
    assert StationBloom.objects.count() == 0


def test_a_new_sighting_offers_the_new_middle_beside_what_is_in_force(
    owner_client: StrictClient,
) -> None:
    planting = planting_of()
    start = computed(planting)
    saw(planting, start.replace(year=2024) + 4 * DAY)
    correct(planting, *told(planting))
    saw(planting, start.replace(year=2025) + 12 * DAY)
    assert planting.plant is not None
    where = planting.garden.station_id, planting.plant.group.key

    page = said(owner_client, "seen-group", *where)

    assert "Take what the log suggests" in page
    # Nothing changed by itself.
    assert computed(planting) == start + 4 * DAY


def test_a_pair_that_is_not_there_is_not_found(owner_client: StrictClient) -> None:
    planting = planting_of()
    station = planting.garden.station_id

    for args in ((station, "nobody"), (station + 99, "test-old-wood")):
        assert owner_client.get(reverse("seen-group", args=args)).status_code == 404
