"""A garden's year: what flowers, the gaps and what fills them, what is done when."""

import datetime as dt
from typing import Any

import pytest
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from firm import clock
from firm.units import Display
from plants.actions.plantings import log_bloom
from plants.models import Garden, Group, Planting, StationBloom
from plants.queries.bloom import BloomPage, bloom_page
from plants.queries.care import IN_THE_GROUND, climate_of
from plants.queries.garden_year import PER_PAGE, garden_year
from tests import factories
from tests.conftest import StrictClient
from tests.factories import HILL_FIGURES, NOW, rule_spec

pytestmark = pytest.mark.django_db
DAY = dt.date(2026, 5, 20)


def group(key: str, months: list[int] | None, **facts: Any) -> Group:
    made: Group = factories.GroupFactory(key=key, name=key)
    bloom = months and {
        "months": months,
        "region": "mid-atlantic",
        "colour": "pink",
        "source": "common practice",
    }
    made.facts = {**made.facts, "bloom": bloom, **facts}
    made.save()
    return made


def planted(garden: Garden, months: list[int] | None, number: int) -> Planting:
    key = "none" if months is None else "-".join(map(str, months))
    made: Planting = factories.PlantingFactory(
        garden=garden,
        number=number,
        plant__group=group(f"blooms-{key}", months),
        plant__common=f"Blooms {key}",
    )
    return made


def page_of(garden: Garden, year: int | None = 2026) -> BloomPage:
    page = bloom_page(pk=garden.pk, year=year, day=DAY, display=Display("us"))
    assert page is not None
    return page


def gaps(page: BloomPage) -> list[tuple[dt.date, dt.date, int]]:
    return [(line.gap.first, line.gap.last, line.gap.weeks) for line in page.gaps]


def said(response: Any) -> str:
    return " ".join(response.content.decode().split())


# --- in flower ---------------------------------------------------------------------


def test_the_gaps_of_the_growing_season_are_named_in_words(
    owner_client: StrictClient,
) -> None:
    garden = factories.GardenFactory()
    planted(garden, [4, 5], 1)
    planted(garden, [9, 10], 2)
    planted(garden, None, 3)

    response = owner_client.get(
        reverse("garden-bloom", args=[garden.pk]), {"year": "2026"}
    )

    # Months of the region's table reach from their first to their last day; this
    # place leafs out three days later. Weeks are counted from 1 January.
    page = response.context["page"]
    assert page.season == (dt.date(2026, 3, 11), dt.date(2026, 11, 5))
    assert [row.spans for row in page.rows] == [
        ((dt.date(2026, 4, 4), dt.date(2026, 6, 3)),),
        ((dt.date(2026, 9, 1), dt.date(2026, 11, 1)),),
    ]
    assert gaps(page) == [
        (dt.date(2026, 3, 12), dt.date(2026, 4, 1), 3),
        (dt.date(2026, 6, 4), dt.date(2026, 8, 26), 12),
    ]
    assert [planting.number for planting in page.never] == [3]
    words = said(response)
    assert "Nothing flowers from 12 Mar to 1 Apr, 3 weeks." in words
    assert "Nothing flowers from 4 Jun to 26 Aug, 12 weeks." in words
    assert "Without flowers of note, or not in this year: 3 Blooms none." in words
    # The picture says the same to who cannot see it.
    assert (
        "1 Blooms 4-5: 4 Apr to 3 Jun. 2 Blooms 9-10: 1 Sep to 1 Nov. "
        "Nothing in flower: 12 Mar to 1 Apr, 4 Jun to 26 Aug."
    ) in words


def test_winter_is_no_gap_and_a_full_season_says_so(
    owner_client: StrictClient,
) -> None:
    garden = factories.GardenFactory()
    planted(garden, [3, 10], 1)
    response = owner_client.get(reverse("garden-bloom", args=[garden.pk]))
    assert gaps(response.context["page"]) == []
    assert "In every week of the growing season something flowers." in said(response)
    assert "Nothing flowers from" not in said(response)


def test_what_was_seen_moves_the_gap(owner: Any) -> None:
    garden = factories.GardenFactory()
    planting = planted(garden, [4, 5], 1)
    planted(garden, [6, 10], 2)
    assert gaps(page_of(garden)) == [(dt.date(2026, 3, 12), dt.date(2026, 4, 1), 3)]
    assert [row.is_seen for row in page_of(garden).rows] == [False, False]

    log_bloom(
        planting=planting,
        stage="first bloom",
        day=dt.date(2026, 4, 18),
        today=DAY,
        now=NOW,
        by=owner,
    )

    # Two weeks later than reckoned: start, end and gap move by two weeks.
    page = page_of(garden)
    assert page.rows[0].spans == ((dt.date(2026, 4, 18), dt.date(2026, 6, 17)),)
    assert [row.is_seen for row in page.rows] == [True, False]
    assert gaps(page) == [(dt.date(2026, 3, 12), dt.date(2026, 4, 15), 5)]
    # Another year is reckoned as before.
    assert gaps(page_of(garden, 2027))[0][1] == dt.date(2027, 4, 1)


def test_nothing_flowers_before_it_is_planted() -> None:
    garden = factories.GardenFactory()
    planting = planted(garden, [6, 7], 1)
    Planting.objects.filter(pk=planting.pk).update(
        origin="planted", planted_on=dt.date(2026, 7, 10)
    )
    assert [row.spans for row in page_of(garden).rows] == [
        ((dt.date(2026, 7, 10), dt.date(2026, 8, 1)),)
    ]
    Planting.objects.filter(pk=planting.pk).update(planted_on=dt.date(2026, 9, 1))
    page = page_of(garden)
    assert (page.rows, [one.pk for one in page.never]) == ([], [planting.pk])


def test_a_southern_year_runs_from_july_to_june() -> None:
    turned = {
        **HILL_FIGURES,
        **{
            name: HILL_FIGURES[name][6:] + HILL_FIGURES[name][:6]
            for name in ("tmin_c", "tmax_c", "rain_mm")
        },
        "last_spring_frost": {"10": [11, 5], "50": [10, 22], "90": [10, 6]},
        "first_autumn_frost": {"10": [4, 6], "50": [4, 22], "90": [5, 6]},
    }
    station = factories.StationFactory(name="South", latitude=-38.6, figures=turned)
    garden = factories.GardenFactory(station=station)
    planted(garden, [4, 5], 1)
    page = page_of(garden)
    assert (page.start, page.end) == (dt.date(2026, 7, 1), dt.date(2027, 6, 30))
    # April and May of the north are October and November here.
    first, last = page.rows[0].spans[0]
    assert (first.month, last.month) == (10, 12)
    # In May 2026 the growing year is that of July 2025.
    assert page_of(garden, None).year == 2025


def test_a_gap_is_filled_by_plants_that_suit_a_bed_and_flower_then() -> None:
    garden = factories.GardenFactory()
    bed = factories.BedFactory(
        garden=garden, light="part shade", ph=6, moisture="moist"
    )
    planted(garden, [4, 5], 1)
    planted(garden, [9, 10], 2)
    # Six groups that flower in June and July: five are named, one of each group.
    for number in range(6):
        of_group = group(f"summer-{number}", [6, 7])
        factories.PlantFactory(key=f"summer-{number}", group=of_group)
        factories.PlantFactory(key=f"summer-{number}-more", group=of_group)
    # Hardy to zone 10 at most: it would freeze here.
    tender = group("tender", [6, 8], hardiness=[10, 11])
    factories.PlantFactory(key="tender", group=tender)
    factories.PlantFactory(key="too-early", group=group("early", [5, 5]))
    retired = factories.PlantFactory(key="retired", group=group("retired", [6, 8]))
    type(retired).objects.filter(pk=retired.pk).update(retired_at=NOW)

    spring, summer = page_of(garden).gaps

    assert spring.fillers == []
    named = [filler.plant.key for filler in summer.fillers]
    assert len(named) == len({filler.plant.group_id for filler in summer.fillers}) == 5
    assert all(key.startswith("summer-") for key in named)
    assert {filler.bed for filler in summer.fillers} == {bed}
    assert {filler.span for filler in summer.fillers} == {
        (dt.date(2026, 6, 4), dt.date(2026, 8, 1))
    }
    assert {str(filler.fit.verdict) for filler in summer.fillers} == {"right"}


def test_a_climates_own_degree_days_say_what_fills_a_gap() -> None:
    garden = factories.GardenFactory()
    factories.BedFactory(garden=garden)
    planted(garden, [4, 5], 1)
    planted(garden, [9, 10], 2)
    late = group("late", [5, 5])
    factories.PlantFactory(key="late", group=late)
    assert [gap.fillers for gap in page_of(garden).gaps] == [[], []]
    # 1,100 degree days are reached here in the second half of June.
    StationBloom.objects.create(
        station=garden.station,
        group=late,
        gdd50_first=1100,
        n_first=4,
        made_on=DAY,
        made_by=factories.PersonFactory(),
    )
    _spring, summer = page_of(garden).gaps
    ((key, first),) = [(one.plant.key, one.span[0]) for one in summer.fillers]
    assert (key, first) == (
        "late",
        climate_of(garden).degree_days_reached(1100, 2026),
    )
    assert first.month == 6


def test_of_equally_suited_plants_the_longest_in_flower_comes_first() -> None:
    garden = factories.GardenFactory()
    factories.BedFactory(garden=garden)
    planted(garden, [4, 5], 1)
    factories.PlantFactory(key="short", botanical="A", group=group("short", [7, 7]))
    factories.PlantFactory(key="long", botanical="B", group=group("long", [6, 8]))
    gap = page_of(garden).gaps[1]
    assert [filler.plant.key for filler in gap.fillers] == ["long", "short"]


def test_what_grows_here_already_fills_no_gap(owner_client: StrictClient) -> None:
    garden = factories.GardenFactory()
    planted(garden, [4, 5], 1)
    other = planted(garden, [6, 7], 2)
    Planting.objects.filter(pk=other.pk).update(
        origin="planted", planted_on=dt.date(2026, 11, 1)
    )
    url = reverse("garden-bloom", args=[garden.pk])
    without = said(owner_client.get(url, {"year": "2026"}))
    assert "Once a bed is measured, plants that suit it" in without
    factories.BedFactory(garden=garden)
    with_bed = said(owner_client.get(url, {"year": "2026"}))
    assert "No plant of the catalogue both flowers then and suits a bed" in with_bed


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("next", "Type a year in figures, such as 2027."),
        ("1999", "Years are reckoned from 2000 to 2200."),
        ("99999", "Years are reckoned from 2000 to 2200."),
    ],
)
@pytest.mark.parametrize("name", ["garden-bloom", "garden-year"])
def test_a_year_that_makes_no_sense_is_told_beside_its_field(
    owner_client: StrictClient, name: str, typed: str, told: str
) -> None:
    garden = factories.GardenFactory()
    planted(garden, [4, 5], 1)
    url = reverse(name, args=[garden.pk])
    response = owner_client.get(url, {"year": typed})
    assert (response.status_code, response.context["form"].errors["year"]) == (
        200,
        [told],
    )
    assert told in said(response)
    assert f'value="{typed}"' in said(response)
    assert owner_client.get(url, {"year": "2027"}).context["form"].errors == {}


@pytest.mark.parametrize("count", [1, 3])
def test_the_bloom_page_asks_the_same_questions_for_any_number(
    count: int,
    owner_client: StrictClient,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    garden = factories.GardenFactory()
    for number in range(1, count + 1):
        planted(garden, [3 + number, 4 + number], number)
        factories.BedFactory(garden=garden)
        factories.PlantFactory(group=group(f"late-{number}", [9, 10]))

    # Session, person, firm for its day and its name, garden; plantings, plants, groups;
    # instructions, observed bloom, rules, closed seasons, degree days of the climate
    # and of its region; beds, what shades them, the firm for its words of light; the
    # catalogue and once more degree days.
    with django_assert_num_queries(20):
        page = owner_client.get(reverse("garden-bloom", args=[garden.pk]))
    assert len(page.context["page"].rows) == count


# --- the year of care --------------------------------------------------------------


def cut_in(garden: Garden, number: int, **changes: Any) -> Planting:
    rule = factories.RuleFactory(spec=rule_spec(**changes))
    made: Planting = factories.PlantingFactory(
        garden=garden,
        number=number,
        plant__group=rule.group,
        plant__common=f"Sample {number}",
    )
    return made


def test_the_year_tells_each_planting_its_work_and_closed_seasons(
    owner_client: StrictClient,
) -> None:
    garden = factories.GardenFactory()
    cut_in(garden, 3)
    garden.instructions.create(text="Mind the pond", given_on=dt.date(2025, 1, 1))

    response = owner_client.get(
        reverse("garden-year", args=[garden.pk]), {"year": "2026"}
    )

    year = response.context["year"]
    assert (year.start, year.end) == (dt.date(2026, 1, 1), dt.date(2026, 12, 31))
    (line,) = year.lines
    (work,) = line.work
    (window,) = work.windows
    # Bloom ends on 1 August and from the next day on the set buds close the cut.
    assert (window.earliest, window.best, window.latest) == (
        dt.date(2026, 7, 11),
        dt.date(2026, 7, 25),
        dt.date(2026, 8, 1),
    )
    words = said(response)
    assert words.count("Mind the pond") == 1
    assert "11 Jul to 1 Aug 2026, best about 25 Jul" in words
    assert (
        "3 Sample 3: in flower 4 Jun to 1 Aug; prune, for its flowers best 25 Jul; "
        "closed: cutting living wood"
    ) in words.replace("3  Sample 3", "3 Sample 3")


def test_sixty_plantings_are_leafed_through_and_only_a_page_is_reckoned(
    owner_client: StrictClient,
) -> None:
    garden = factories.GardenFactory()
    for number in range(1, 61):
        cut_in(garden, number)
    url = reverse("garden-year", args=[garden.pk])

    def numbers(query: str) -> list[int]:
        lines = owner_client.get(f"{url}?{query}").context["year"].lines
        return [line.planting.number for line in lines]

    assert numbers("") == list(range(1, PER_PAGE + 1))
    assert numbers("page=5") == list(range(49, 61))
    assert numbers("page=99") == list(range(49, 61))
    assert numbers("by=task") == list(range(1, 61))
    assert Planting.objects.filter(state__in=IN_THE_GROUND).count() == 60


def test_by_task_plantings_with_the_same_days_stand_together() -> None:
    garden = factories.GardenFactory()
    for number in (1, 2, 3):
        cut_in(garden, number)
    year = garden_year(pk=garden.pk, year=2026, day=DAY, by_task=True)
    assert year is not None
    (month,) = year.months()
    (work,) = month.work
    assert month.first == dt.date(2026, 7, 1)
    assert [one.number for one in work.plantings] == [1, 2, 3]
    assert (work.earliest, work.best, work.latest) == (
        dt.date(2026, 7, 11),
        dt.date(2026, 7, 25),
        dt.date(2026, 8, 1),
    )


def test_by_task_the_picture_names_the_numbers(owner_client: StrictClient) -> None:
    garden = factories.GardenFactory()
    for number in (1, 2, 3, 5):
        cut_in(garden, number)
    url = reverse("garden-year", args=[garden.pk])
    words = said(owner_client.get(url, {"by": "task", "year": "2026"}))
    assert ("prune, for its flowers: 1 to 3, 5: 11 Jul to 1 Aug, best 25 Jul.") in words


def test_a_young_planting_has_another_year_than_an_old_one(
    owner_client: StrictClient,
) -> None:
    garden = factories.GardenFactory()
    old = cut_in(garden, 1)
    factories.RuleFactory(
        group=old.plant.group,  # type: ignore[union-attr]
        key="first-year",
        spec=rule_spec(
            key="first-year",
            task="water check",
            purpose="none",
            window={"anchor": "leaf_out", "earliest": 0, "best": 60, "latest": 90},
            limits={},
            conditions={"age_years_max": 1},
            drawing="none",
        ),
    )
    first_year(old, number=2, planted_on=dt.date(2025, 11, 1))

    response = owner_client.get(
        reverse("garden-year", args=[garden.pk]), {"year": "2026"}
    )

    work = {
        line.planting.number: [one.rule.task for one in line.work]
        for line in response.context["year"].lines
    }
    assert work == {1: ["prune"], 2: ["water check"]}
    assert "(in its first year)" in said(response)


def first_year(old: Planting, *, number: int, planted_on: dt.date) -> Planting:
    made: Planting = factories.PlantingFactory(
        garden=old.garden,
        number=number,
        plant=old.plant,
        origin="planted",
        planted_on=planted_on,
        age_years=0,
        age_on=planted_on,
    )
    return made


def test_the_page_of_a_planting_says_what_it_is_too_young_for(
    owner_client: StrictClient,
) -> None:
    old = cut_in(factories.GardenFactory(), 1)
    today = clock.today(time_zone="America/New_York")
    young = first_year(old, number=2, planted_on=today - dt.timedelta(days=100))

    def page(planting: Planting) -> str:
        return said(owner_client.get(reverse("planting", args=[planting.pk])))

    assert "It is too young for this, which waits until it has stood 2" in page(young)
    assert "too young" not in page(old)


def test_an_empty_garden_and_one_that_is_not_there(owner_client: StrictClient) -> None:
    garden = factories.GardenFactory()
    for name in ("garden-bloom", "garden-year"):
        empty = owner_client.get(reverse(name, args=[garden.pk]))
        assert "Record plants already there" in said(empty)
        missing = owner_client.get(reverse(name, args=[garden.pk + 1]))
        assert missing.status_code == 404


@pytest.mark.parametrize("count", [1, 3])
@pytest.mark.parametrize("by", ["", "task"])
def test_the_year_page_asks_the_same_questions_for_any_number(
    count: int,
    by: str,
    owner_client: StrictClient,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    garden = factories.GardenFactory()
    for number in range(1, count + 1):
        cut_in(garden, number)
    # Session, person, firm for its day and its name, garden; plantings, plants, groups;
    # instructions, observed bloom, rules, closed seasons, degree days of the climate
    # and of its region.
    with django_assert_num_queries(14):
        page = owner_client.get(reverse("garden-year", args=[garden.pk]), {"by": by})
    assert len(page.context["year"].lines) == count
