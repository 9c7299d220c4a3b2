"""What is seen and a climate's figures move windows of planned work, no agreed day."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from firm import clock
from firm.models import Entry, Message
from jobs.actions.week import place_visit
from jobs.enums import VisitState
from jobs.mail.reminders import morning_list_wanted, write_morning_list
from jobs.models import Visit, VisitTask
from jobs.queries.week import moved_out, visits_to_move
from plants.actions.plantings import Logged, forget_bloom, log_bloom
from plants.actions.records import choose_figures
from plants.actions.station_blooms import correct_bloom, take_back_bloom
from plants.actions.stations import Written, write_station
from plants.models import Garden, Planting, Station
from plants.queries.care import care_years, climate_of
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW, TODAY, rule_spec
from tests.jobs.contract_samples import care_garden, owner_of_all, running
from tests.plants.test_records_pages import days_file, read_into

pytestmark = pytest.mark.django_db

DAY = dt.timedelta(days=1)
# The flower cut of the sample garden lies about the end of July 2026.
SEEN_FROM = dt.date(2026, 6, 10)


def pruning() -> Visit:
    """The planned visit of a running contract that cuts after bloom."""
    found: Visit = Visit.objects.filter(tasks__rule_key="cut-after-bloom").get()
    return found


def feeding() -> Visit:
    found: Visit = Visit.objects.filter(tasks__rule_key="feed-in-spring").get()
    return found


def cut(visit: Visit) -> VisitTask:
    found: VisitTask = visit.tasks.get(rule_key="cut-after-bloom")
    return found


def the_planting() -> Planting:
    found: Planting = Planting.objects.select_related("garden__station", "plant").get()
    return found


def computed(planting: Planting) -> dt.date:
    year = care_years(planting.garden, start=dt.date(2026, 1, 1))[0]
    found = year.anchors["bloom_start"]
    assert found is not None
    return found


def saw(planting: Planting, day: dt.date, stage: str = "first bloom") -> Logged:
    return log_bloom(
        planting=planting,
        stage=stage,
        day=day,
        today=max(day, SEEN_FROM),
        now=NOW,
        by=owner_of_all(),
    )


def days_of(row: Visit | VisitTask) -> tuple[Any, Any, Any]:
    row.refresh_from_db()
    return row.earliest_on, row.best_on, row.latest_on


def later(days: tuple[Any, Any, Any], by: int) -> tuple[Any, Any, Any]:
    first, best, last = (day + by * DAY for day in days)
    return first, best, last


def put_on(visit: Visit, day: dt.date) -> Visit:
    crew = factories.CrewFactory()
    return place_visit(
        visit_id=visit.pk,
        version=visit.version,
        crew_id=crew.pk,
        day=day,
        position=None,
        reason="",
        by=owner_of_all(),
        now=NOW,
    )


# --- windows move ------------------------------------------------------------------


def test_windows_of_planned_work_move_with_the_bloom_seen() -> None:
    running()
    visit, planting = pruning(), the_planting()
    task = cut(visit)
    agreed, of_visit = days_of(task), days_of(visit)

    logged = saw(planting, computed(planting) + 9 * DAY)

    assert days_of(task) == later(agreed, 9)
    assert (
        task.agreed_earliest_on,
        task.agreed_best_on,
        task.agreed_latest_on,
    ) == agreed
    assert days_of(visit) == later(of_visit, 9)
    assert logged.said == ("1 planned visit moved its window with it.",)
    assert Entry.objects.get(action="windows moved").subject_id == visit.pk


def test_work_that_does_not_hang_on_bloom_stays() -> None:
    running()
    visit, planting = feeding(), the_planting()
    before = days_of(visit)

    saw(planting, computed(planting) + 9 * DAY)

    assert days_of(visit) == before
    assert visit.tasks.get().agreed_best_on is None


def test_full_bloom_moves_no_window() -> None:
    running()
    visit, planting = pruning(), the_planting()
    before = days_of(visit)

    logged = saw(planting, computed(planting) + 9 * DAY, "full bloom")

    assert days_of(visit) == before
    assert logged.said == ()


def test_taken_back_the_windows_are_those_that_were_agreed() -> None:
    running()
    visit, planting = pruning(), the_planting()
    task = cut(visit)
    agreed, of_visit = days_of(task), days_of(visit)
    observed = saw(planting, computed(planting) + 9 * DAY).observed

    forget_bloom(observed=observed, today=SEEN_FROM, now=NOW, by=owner_of_all())

    assert (days_of(task), days_of(visit)) == (agreed, of_visit)
    assert task.agreed_best_on is None


def test_the_same_thing_seen_twice_moves_once() -> None:
    running()
    planting = the_planting()
    day = computed(planting) + 9 * DAY

    first, second = saw(planting, day), saw(planting, day)

    assert (first.is_new, second.is_new, second.said) == (True, False, ())
    assert Entry.objects.filter(action="windows moved").count() == 1


@pytest.mark.parametrize("state", ["done", "under way", "called off", "rained off"])
def test_visits_that_are_not_planned_any_more_keep_their_windows(state: str) -> None:
    running()
    visit, planting = pruning(), the_planting()
    before = days_of(visit)
    Visit.objects.filter(pk=visit.pk).update(state=state)

    saw(planting, computed(planting) + 9 * DAY)

    assert (days_of(visit), days_of(cut(visit))) == (before, before)


def test_a_task_that_is_done_keeps_its_window() -> None:
    running()
    visit, planting = pruning(), the_planting()
    task = cut(visit)
    before = days_of(task)
    VisitTask.objects.filter(pk=task.pk).update(
        state="done", settled_at=NOW, settled_by=owner_of_all()
    )

    saw(planting, computed(planting) + 9 * DAY)

    assert days_of(task) == before


def test_other_gardens_keep_their_windows() -> None:
    running(care_garden(name="Orchard Row"))
    seen_in = the_planting()
    running(care_garden(name="Mill Lane"))
    other = Visit.objects.get(
        garden__name="Mill Lane", tasks__rule_key="cut-after-bloom"
    )
    before = days_of(other)

    saw(seen_in, computed(seen_in) + 9 * DAY)

    assert days_of(other) == before


def test_each_return_of_a_rule_follows_its_own() -> None:
    garden = care_garden()
    factories.RuleFactory(
        key="deadhead",
        task="deadhead",
        spec=rule_spec(
            key="deadhead",
            task="deadhead",
            purpose="deadhead",
            window={
                "from": {"anchor": "bloom_start", "days": 10},
                "best": {"anchor": "bloom_start", "days": 14},
                "to": {"anchor": "bloom_end", "days": 0},
            },
            repeat={"every_days": 14},
            limits={},
            conditions={},
        ),
    )
    running(garden)
    planting = the_planting()
    tasks = list(VisitTask.objects.filter(rule_key="deadhead").order_by("best_on"))
    before = [days_of(task)[1] for task in tasks]
    assert len(before) > 1

    # More than half way to the next return.
    saw(planting, computed(planting) + 9 * DAY)

    assert [days_of(task)[1] for task in tasks] == [day + 9 * DAY for day in before]


# --- agreed days stay --------------------------------------------------------------


def test_an_agreed_day_stays_and_the_owner_is_told_the_nearest_good_one() -> None:
    running()
    visit, planting = pruning(), the_planting()
    monday = visit.best_on + (7 - visit.best_on.weekday()) % 7 * DAY  # type: ignore[union-attr, operator]
    visit = put_on(visit, monday)

    logged = saw(planting, computed(planting) + 24 * DAY)

    visit.refresh_from_db()
    task = cut(visit)
    assert visit.day == monday
    (out,) = moved_out(day=SEEN_FROM)
    assert (out.visit, out.tasks) == (visit, [task])
    nearest = out.nearest
    assert nearest is not None
    assert nearest.weekday() < 5
    assert task.earliest_on is not None
    assert task.earliest_on <= nearest <= task.earliest_on + 2 * DAY
    assert len(logged.said) == 2
    assert "the nearest good day is" in logged.said[1]


def test_a_day_still_in_its_window_is_no_matter() -> None:
    running()
    visit, planting = pruning(), the_planting()
    put_on(visit, visit.latest_on or TODAY)

    saw(planting, computed(planting) + 2 * DAY)

    assert moved_out(day=SEEN_FROM) == []


def test_once_placed_anew_it_is_settled() -> None:
    running()
    visit, planting = pruning(), the_planting()
    visit = put_on(visit, visit.earliest_on or TODAY)
    saw(planting, computed(planting) + 24 * DAY)
    (out,) = moved_out(day=SEEN_FROM)
    visit.refresh_from_db()
    assert out.nearest is not None

    put_on(visit, out.nearest)

    assert moved_out(day=SEEN_FROM) == []
    assert cut(visit).agreed_best_on is None


def test_a_free_day_is_not_offered() -> None:
    running()
    visit, planting = pruning(), the_planting()
    visit = put_on(visit, visit.earliest_on or TODAY)
    saw(planting, computed(planting) + 24 * DAY)
    (out,) = moved_out(day=SEEN_FROM)
    assert out.nearest is not None
    factories.firm.DayOff.objects.create(day=out.nearest, reason="Fair")

    (after,) = moved_out(day=SEEN_FROM)

    assert after.nearest is not None
    assert after.nearest > out.nearest


# --- degree days of the climate ----------------------------------------------------


def test_own_degree_days_of_a_climate_move_all_its_gardens_and_back() -> None:
    running()
    visit, planting = pruning(), the_planting()
    before = days_of(visit)
    assert planting.plant is not None
    group, station = planting.plant.group, planting.garden.station
    day = computed(planting) + 9 * DAY
    total = Decimal(str(climate_of(planting.garden).degree_days(day) - 0.1))

    corrected = correct_bloom(
        group=group,
        station=station,
        first=total,
        last=None,
        today=SEEN_FROM,
        now=NOW,
        by=owner_of_all(),
    )
    moved = days_of(visit)
    back = take_back_bloom(
        group=group, station=station, today=SEEN_FROM, now=NOW, by=owner_of_all()
    )

    assert moved == later(before, 9)
    assert corrected.said == ("1 planned visit moved its window with it.",)
    assert back is not None
    assert days_of(visit) == before


@pytest.mark.parametrize("count", [1, 3])
def test_any_number_of_visits_takes_the_same_questions(
    count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    gardens: list[Garden] = [care_garden(name=f"Garden {n}") for n in range(count)]
    for garden in gardens:
        running(garden)
    plantings = list(Planting.objects.all())
    for planting in plantings:
        planting.observations.create(
            stage="first bloom", day=computed(planting) + 9 * DAY
        )

    with django_assert_num_queries(8):
        moves = visits_to_move(
            plantings=[planting.pk for planting in plantings], day=SEEN_FROM
        )

    assert len(moves) == count


# --- pages and letter --------------------------------------------------------------


def out_of_its_time() -> Visit:
    """A visit to come whose day the bloom moved out of its window.

    Pages ask the clock, so that the days are put round today by hand.
    """
    today = clock.today(time_zone="America/New_York")
    visit: Visit = factories.VisitFactory(
        crew=factories.CrewFactory(), day=today + 5 * DAY, title="Summer cut"
    )
    factories.VisitTaskFactory(
        visit=visit,
        title="Prune for flowers",
        earliest_on=today + 20 * DAY,
        best_on=today + 25 * DAY,
        latest_on=today + 30 * DAY,
        agreed_earliest_on=today + 1 * DAY,
        agreed_best_on=today + 5 * DAY,
        agreed_latest_on=today + 10 * DAY,
    )
    return visit


def test_the_owners_morning_page_visit_page_and_letter_tell_it(
    owner_client: StrictClient,
) -> None:
    visit = out_of_its_time()
    today = clock.today(time_zone="America/New_York")

    morning = owner_client.get(reverse("today")).content.decode()
    page = owner_client.get(reverse("visit", args=[visit.pk])).content.decode()
    message = Message(
        kind="morning list",
        payload={"day": str(today), "person": owner_of_all().pk},
    )
    letter = write_morning_list(message)

    for said in (morning, page, letter.text, letter.html):
        assert "Prune for flowers now " in said
        assert "the nearest good day is" in said
    assert "Moved out of its time by what was seen or by its climate" in morning
    assert "agreed were" in page
    assert morning_list_wanted(message, clock.now())


def test_the_crew_is_not_told_of_days_to_plan(crew_client: StrictClient) -> None:
    out_of_its_time()

    page = crew_client.get(reverse("today")).content.decode()

    assert "Moved out of its time" not in page


def test_the_day_that_is_offered_stands_in_the_form(owner_client: StrictClient) -> None:
    running()
    visit = pruning()
    url = reverse("visit-place", args=[visit.pk])

    page = owner_client.get(url + "?day=2031-07-08").content.decode()

    assert 'value="2031-07-08"' in page
    assert owner_client.get(url + "?day=soon").status_code == 404


def test_what_moved_is_said_after_it_was_written_down(
    owner_client: StrictClient,
) -> None:
    planting = factories.PlantingFactory(plant__group=factories.RuleFactory().group)
    today = clock.today(time_zone="America/New_York")
    task = factories.VisitTaskFactory(
        visit__garden=planting.garden,
        visit__job__garden=planting.garden,
        planting=planting,
        rule_key="cut-after-bloom",
        earliest_on=today,
        best_on=today,
        latest_on=today,
    )
    start = climate_of(planting.garden)
    year = start.year_of(today)
    window = next(
        each
        for each in care_years(planting.garden, start=dt.date(year, 1, 1))[0].windows
        if each.rule.key == "cut-after-bloom"
    )
    VisitTask.objects.filter(pk=task.pk).update(
        earliest_on=window.earliest, best_on=window.best, latest_on=window.latest
    )
    bloom = care_years(planting.garden, start=dt.date(year, 1, 1))[0].anchors
    assert bloom["bloom_start"] is not None
    seen_on = min(bloom["bloom_start"] - 9 * DAY, today)

    answer = owner_client.post(
        reverse("planting-bloom", args=[planting.pk]),
        {"stage": "first bloom", "day": str(seen_on)},
        follow=True,
    )

    page = " ".join(answer.content.decode().split())
    assert "1 planned visit moved its window with it." in page
    assert "The windows that hang on it moved by" in page
    assert Visit.objects.get(pk=task.visit_id).state == VisitState.PLANNED


# --- the figures of the climate -----------------------------------------------------


def retyped(planting: Planting, days: int, **changes: Any) -> Written:
    """The planting's climate with its frost of spring so many days later."""
    station = Station.objects.get(pk=planting.garden.station_id)
    figures = dict(station.figures)
    figures["last_spring_frost"] = {
        chance: [moved.month, moved.day]
        for chance, (month, day) in figures["last_spring_frost"].items()
        for moved in [dt.date(2026, month, day) + days * DAY]
    }
    return write_station(
        name=station.name, latitude=station.latitude, longitude=station.longitude,
        elevation_m=None, figures=figures | changes, station=station,
        today=SEEN_FROM, now=NOW, by=owner_of_all(),
    )  # fmt: skip


def test_corrected_frost_dates_move_the_windows_that_hang_on_them() -> None:
    running()
    visit, planting = feeding(), the_planting()
    task = visit.tasks.get()
    agreed, of_visit = days_of(task), days_of(visit)
    of_cut = days_of(cut(pruning()))

    written = retyped(planting, 6)

    assert days_of(task) == later(agreed, 6)
    assert task.agreed_best_on == agreed[1]
    assert days_of(visit) == later(of_visit, 6)
    assert written.said == ("1 planned visit moved its window with it.",)
    # Bloom hangs on warmth, which did not change.
    assert days_of(cut(pruning())) == of_cut
    entry = Entry.objects.get(action="windows moved")
    assert entry.summary.endswith("windows moved with the figures of the climate")

    assert retyped(planting, -6).said == ("1 planned visit moved its window with it.",)
    assert (days_of(task), days_of(visit)) == (agreed, of_visit)
    assert task.agreed_best_on is None


def test_a_warmer_climate_moves_what_hangs_on_warmth_and_keeps_what_was_seen() -> None:
    running()
    planting = the_planting()
    seen_on = computed(planting) + 9 * DAY
    saw(planting, seen_on)
    before = days_of(cut(pruning()))
    figures = planting.garden.station.figures
    warmer = {key: [one + 2 for one in figures[key]] for key in ("tmin_c", "tmax_c")}

    retyped(planting, 0, **warmer)

    # The day that was seen stands; how long flowers last follows the warmth.
    year = care_years(the_planting().garden, start=dt.date(2026, 1, 1))[0]
    (window,) = (one for one in year.windows if one.rule.key == "cut-after-bloom")
    assert year.anchors["bloom_start"] == seen_on
    assert days_of(cut(pruning())) == (window.earliest, window.best, window.latest)
    assert days_of(cut(pruning())) != before


def test_figures_that_change_no_window_say_nothing() -> None:
    running()
    before = days_of(feeding())
    said = retyped(the_planting(), 0, rain_mm=[90.0] * 12).said
    assert (said, days_of(feeding())) == ((), before)
    assert not Entry.objects.filter(action="windows moved").exists()


def test_records_that_come_into_use_move_windows_and_say_so(
    owner_client: StrictClient,
) -> None:
    running()
    visit, planting = feeding(), the_planting()
    task = visit.tasks.get()
    agreed = days_of(task)
    station = Station.objects.get(pk=planting.garden.station_id)

    file = read_into(station, days_file(), owner_of_all())

    # The last frost of spring is that of the record: 6 April every other year.
    assert file.report is not None
    assert file.report["moved"][0] in {
        "1 planned visit moved its window with it.",
        "2 planned visits moved their windows with it.",
    }
    station.refresh_from_db()
    assert station.figures["last_spring_frost"]["50"] == [4, 6]
    assert days_of(task)[1] == dt.date(2026, 4, 6) != agreed[1]
    page = owner_client.get(reverse("record-file", args=[file.pk])).content.decode()
    assert file.report["moved"][0] in page

    # Kept to what was typed, the agreed days are back.
    choose_figures(
        station=station, keeps_typed=True, is_newest=False, is_coastal=False,
        by=owner_of_all(), today=SEEN_FROM, now=NOW,
    )  # fmt: skip
    assert days_of(task) == agreed


def test_a_climate_of_other_gardens_moves_nothing() -> None:
    running()
    before = days_of(feeding())
    elsewhere = factories.StationFactory(name="Far Ridge")
    written = write_station(
        name="Far Ridge", latitude=elsewhere.latitude, longitude=elsewhere.longitude,
        elevation_m=None, station=elsewhere, today=SEEN_FROM, now=NOW,
        figures={**elsewhere.figures, "last_spring_frost": {"10": [6, 1], "50": [5, 20],
                                                            "90": [5, 1]}},
        by=owner_of_all(),
    )  # fmt: skip
    assert (written.said, days_of(feeding())) == ((), before)
