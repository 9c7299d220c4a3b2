"""The week board: placing, wrong days, two planners, rain, what slips away."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from firm.actions.record import SomebodyElseChangedIt
from firm.models import Crew, CrewMember, DayOff, Entry, Person
from jobs.actions.contracts import pause_contract
from jobs.actions.week import (
    CannotRainOff,
    ContractRests,
    DayIsOver,
    DayNeedsReason,
    NoSuchVisit,
    PlacedAtItsJob,
    VisitMovedOn,
    call_off_visit,
    order_stops,
    place_visit,
    rain_off,
    take_off_board,
)
from jobs.models import Job, Visit, VisitTask
from jobs.queries.week import (
    monday_of,
    objections,
    slipping,
    visit_to_place,
    week_board,
)
from plants.models import Planting
from tests import factories
from tests.factories import NOW, TODAY
from tests.jobs.contract_samples import care_garden, owner_of_all, running

pytestmark = pytest.mark.django_db

# Monday 20 April 2026 lies in the feeding's window; the flower cut is closed then.
APRIL = dt.date(2026, 4, 20)


@pytest.fixture
def crew() -> Crew:
    """Two people for eight hours a day."""
    factories.FirmFactory()
    found: Crew = factories.CrewFactory(name="Alder crew")
    for _ in range(2):
        factories.CrewMemberFactory(crew=found)
    return found


def feed_and_prune() -> tuple[Visit, Visit]:
    """The two visits of a running contract."""
    contract = running()
    feed, prune = Visit.objects.filter(contract=contract).order_by("best_on")
    return feed, prune


def place(visit: Visit, crew: Crew, day: dt.date = APRIL, **changes: Any) -> Visit:
    given: dict[str, Any] = {
        "version": visit.version,
        "position": None,
        "reason": "",
        "by": Person.objects.order_by("id").first() or owner_of_all(),
        "now": NOW,
        **changes,
    }
    return place_visit(visit_id=visit.pk, crew_id=crew.pk, day=day, **given)


# --- placing -----------------------------------------------------------------------


def test_a_visit_goes_on_a_crew_and_a_day_behind_its_other_stops(crew: Crew) -> None:
    feed, _ = feed_and_prune()
    factories.VisitFactory(crew=crew, day=APRIL, position=4)
    placed = place(feed, crew)
    assert (placed.crew, placed.day, placed.position) == (crew, APRIL, 5)
    assert placed.owners_reason == ""
    entry = Entry.objects.get(action="visit placed")
    assert entry.summary == "Feed on 2026-04-20 with Alder crew"
    moved = place(placed, crew, APRIL + dt.timedelta(days=1), position=2)
    assert (moved.position, moved.version) == (2, feed.version + 2)
    assert Entry.objects.filter(action="visit moved").count() == 1


def test_a_day_in_a_closed_season_names_planting_and_harm_and_needs_a_reason(
    crew: Crew,
) -> None:
    _, prune = feed_and_prune()
    plant = Planting.objects.get().plant
    with pytest.raises(DayNeedsReason) as refused:
        place(prune, crew)
    closed, outside = refused.value.objections
    assert closed.is_closed
    assert closed.what == f"{plant.common} (number 1), prune"  # type: ignore[union-attr]
    assert closed.why == (
        "The flower buds of the coming bloom sit on the wood. Closed to Thu 4 Jun 2026."
    )
    assert not outside.is_closed
    assert outside.words == (
        f"{plant.common} (number 1), Prune, for its flowers:"  # type: ignore[union-attr]
        " outside its window, Sat 11 Jul to Fri 31 Jul."
    )
    prune.refresh_from_db()
    assert prune.day is None
    placed = place(prune, crew, reason="The branch blocks the gate.")
    assert placed.owners_reason == "The branch blocks the gate."
    kept = Entry.objects.get(action="visit placed").details
    assert kept["reason"] == "The branch blocks the gate."
    assert len(kept["against"]) == 2


def test_a_reason_is_not_kept_where_the_day_is_right(crew: Crew) -> None:
    feed, _ = feed_and_prune()
    assert place(feed, crew, reason="because").owners_reason == ""


def test_a_typed_visit_outside_its_days_needs_a_reason_too(crew: Crew) -> None:
    feed, _ = feed_and_prune()
    VisitTask.objects.filter(visit=feed).update(
        planting=None, earliest_on=None, best_on=None, latest_on=None, task="other"
    )
    found = visit_to_place(visit_id=feed.pk)
    assert found is not None
    assert objections(visit=found, day=APRIL) == []
    late = objections(visit=found, day=dt.date(2026, 6, 1))
    assert [each.words for each in late] == [
        "Feed: outside its window, Wed 15 Apr to Wed 13 May."
    ]


def test_tasks_that_are_done_do_not_speak_against_a_day(crew: Crew) -> None:
    _, prune = feed_and_prune()
    by = owner_of_all()
    VisitTask.objects.filter(visit=prune).update(
        state="done", settled_at=NOW, settled_by=by
    )
    assert place(prune, crew).day == APRIL


def test_the_second_of_two_planners_is_told(crew: Crew) -> None:
    feed, _ = feed_and_prune()
    place(feed, crew)
    with pytest.raises(SomebodyElseChangedIt):
        place(feed, crew, APRIL + dt.timedelta(days=2))
    feed.refresh_from_db()
    assert feed.day == APRIL


def test_a_day_in_the_past_is_refused_and_today_is_not(crew: Crew) -> None:
    feed, _ = feed_and_prune()
    with pytest.raises(DayIsOver, match="Sun 1 Mar is over"):
        place(feed, crew, TODAY - dt.timedelta(days=1))
    assert place(feed, crew, TODAY, reason="They leave tomorrow.").day == TODAY


def test_a_crew_that_is_given_up_takes_no_visit(crew: Crew) -> None:
    feed, _ = feed_and_prune()
    Crew.objects.filter(pk=crew.pk).update(retired_on=APRIL)
    with pytest.raises(NoSuchVisit):
        place(feed, crew)


def test_a_visit_that_was_done_is_not_placed_again(crew: Crew) -> None:
    feed, _ = feed_and_prune()
    Visit.objects.filter(pk=feed.pk).update(state="done")
    with pytest.raises(VisitMovedOn, match="done"):
        place(feed, crew)


def test_a_visit_of_a_paused_contract_is_not_placed(crew: Crew) -> None:
    feed, _ = feed_and_prune()
    assert feed.contract is not None
    pause_contract(
        contract_id=feed.contract.pk,
        version=feed.contract.version,
        reason="away",
        by=owner_of_all(),
        now=NOW,
    )
    with pytest.raises(ContractRests):
        place(feed, crew)


def test_a_booked_jobs_visit_moves_on_the_page_of_its_job(crew: Crew) -> None:
    job = factories.JobFactory(state="booked", day=APRIL, crew=crew)
    visit = factories.VisitFactory(job=job, day=APRIL, crew=crew)
    with pytest.raises(PlacedAtItsJob):
        place(visit, crew)
    with pytest.raises(PlacedAtItsJob):
        take_off_board(visit_id=visit.pk, version=1, by=owner_of_all(), now=NOW)
    Job.objects.filter(pk=job.pk).update(state="under way")
    assert place(visit, crew, APRIL + dt.timedelta(days=1)).version == 2


def test_a_visit_taken_off_the_board_has_no_crew_day_or_reason(crew: Crew) -> None:
    _, prune = feed_and_prune()
    placed = place(prune, crew, reason="The branch blocks the gate.")
    by = owner_of_all()
    off = take_off_board(visit_id=placed.pk, version=placed.version, by=by, now=NOW)
    assert (off.crew, off.day, off.owners_reason) == (None, None, "")
    with pytest.raises(SomebodyElseChangedIt):
        take_off_board(visit_id=placed.pk, version=placed.version, by=by, now=NOW)


def test_a_contracts_visit_is_called_off_and_a_jobs_is_not(crew: Crew) -> None:
    feed, _ = feed_and_prune()
    by = owner_of_all()
    off = call_off_visit(
        visit_id=feed.pk, version=feed.version, reason="too wet", by=by, now=NOW
    )
    assert off.state == "called off"
    single = factories.VisitFactory()
    with pytest.raises(PlacedAtItsJob):
        call_off_visit(visit_id=single.pk, version=1, reason="x", by=by, now=NOW)


# --- the order of stops ------------------------------------------------------------


def test_stops_are_numbered_in_the_typed_order(crew: Crew) -> None:
    rows = [factories.VisitFactory(crew=crew, day=APRIL, position=n) for n in (1, 2, 3)]
    places = {rows[0].pk: 9, rows[1].pk: 1, rows[2].pk: 4}
    order_stops(crew_id=crew.pk, day=APRIL, places=places, by=owner_of_all(), now=NOW)
    found = Visit.objects.order_by("position").values_list("pk", "position")
    assert list(found) == [(rows[1].pk, 1), (rows[2].pk, 2), (rows[0].pk, 3)]


def test_an_order_that_knows_not_every_stop_is_refused(crew: Crew) -> None:
    rows = [factories.VisitFactory(crew=crew, day=APRIL, position=n) for n in (1, 2)]
    with pytest.raises(SomebodyElseChangedIt):
        order_stops(
            crew_id=crew.pk,
            day=APRIL,
            places={rows[1].pk: 1},
            by=owner_of_all(),
            now=NOW,
        )
    assert [row.position for row in Visit.objects.order_by("pk")] == [1, 2]


# --- rain --------------------------------------------------------------------------


def test_a_rained_off_visit_is_made_up_for_with_its_open_tasks(crew: Crew) -> None:
    feed, _ = feed_and_prune()
    by = owner_of_all()
    done = factories.VisitTaskFactory(
        visit=feed, minutes=15, state="done", settled_at=NOW, settled_by=by
    )
    Visit.objects.filter(pk=feed.pk).update(planned_hours=Decimal("1.00"))
    placed = place(feed, crew)
    after = rain_off(visit=placed, reason="thunder", by=by, now=NOW)
    placed.refresh_from_db()
    assert (placed.state, placed.ended_at) == ("rained off", NOW)
    assert (after.state, after.day, after.crew, after.instead_of) == (
        "planned",
        None,
        None,
        placed,
    )
    assert after.latest_on == feed.latest_on
    # A quarter of an hour was done before the rain.
    assert after.planned_hours == Decimal("0.75")
    assert list(placed.tasks.all()) == [done]
    assert [task.title for task in after.tasks.all()] == ["Feed"]
    with pytest.raises(CannotRainOff):
        rain_off(visit=placed, reason="thunder", by=by, now=NOW)
    assert Visit.objects.filter(instead_of=placed).count() == 1


# --- late and slipping -------------------------------------------------------------


def test_what_is_late_comes_before_what_slips_out_of_its_window(crew: Crew) -> None:
    feed, prune = feed_and_prune()
    day = dt.date(2026, 5, 6)
    assert [(row.visit, row.words, row.is_late) for row in slipping(day=day)] == [
        (feed, "window ends Wed 13 May", False)
    ]
    assert slipping(day=day - dt.timedelta(days=1)) == []
    place(prune, crew, dt.date(2026, 5, 1), reason="asked for")
    Visit.objects.filter(pk=feed.pk).update(latest_on=dt.date(2026, 5, 13))
    found = [(row.visit, row.words, row.is_late) for row in slipping(day=day)]
    assert found == [
        (prune, "planned for Fri 1 May and not done", True),
        (feed, "window ends Wed 13 May", False),
    ]
    over = slipping(day=dt.date(2026, 5, 14))
    assert [(row.visit, row.words) for row in over if row.visit == feed] == [
        (feed, "window ended Wed 13 May")
    ]
    place(feed, crew, dt.date(2026, 5, 13))
    assert feed not in [row.visit for row in slipping(day=day)]


def test_a_paused_contracts_visits_do_not_slip() -> None:
    feed, _ = feed_and_prune()
    contract = feed.contract
    assert contract is not None
    day = dt.date(2026, 5, 10)
    assert len(slipping(day=day)) == 1
    pause_contract(
        contract_id=contract.pk,
        version=contract.version,
        reason="away",
        by=owner_of_all(),
        now=NOW,
    )
    assert slipping(day=day) == []


# --- the board ---------------------------------------------------------------------


def test_a_full_day_says_so_in_words_and_a_day_off_has_no_hours(crew: Crew) -> None:
    factories.VisitFactory(crew=crew, day=APRIL, planned_hours=Decimal("17.50"))
    factories.VisitFactory(
        crew=crew, day=APRIL, planned_hours=Decimal(9), state="called off"
    )
    tuesday, wednesday = APRIL + dt.timedelta(days=1), APRIL + dt.timedelta(days=2)
    DayOff.objects.create(day=tuesday, crew=crew, reason="training")
    DayOff.objects.create(day=wednesday, reason="harvest holiday")
    board = week_board(day=APRIL + dt.timedelta(days=3), today=APRIL)
    assert board.monday == APRIL
    row = board.rows[0]
    monday = row.cells[0]
    assert (monday.words, monday.is_over) == ("17.5 of 16 h, over-full by 1.5 h", True)
    assert len(monday.stops) == 1
    assert (row.cells[1].off, row.cells[1].words) == ("training", "")
    assert (row.cells[2].off, row.cells[2].hours.capacity_h) == ("harvest holiday", 0)
    assert row.cells[3].words == "0 of 16 h"
    assert row.cells[5].words == ""
    assert board.free_days == {wednesday: "harvest holiday"}


def test_hours_follow_who_is_in_the_crew_on_each_day(crew: Crew) -> None:
    member = CrewMember.objects.filter(crew=crew).order_by("id").first()
    assert member is not None
    CrewMember.objects.filter(pk=member.pk).update(ends_on=APRIL + dt.timedelta(days=1))
    cells = week_board(day=APRIL, today=APRIL).rows[0].cells
    assert [cell.hours.capacity_h for cell in cells[:4]] == [16, 16, 8, 8]
    Crew.objects.filter(pk=crew.pk).update(retired_on=APRIL + dt.timedelta(days=3))
    cells = week_board(day=APRIL, today=APRIL).rows[0].cells
    assert cells[3].off == "given up"
    assert week_board(day=APRIL + dt.timedelta(days=7), today=APRIL).rows == []


def test_the_coming_six_weeks_are_added_up_without_days_off(crew: Crew) -> None:
    DayOff.objects.create(day=APRIL + dt.timedelta(days=8), reason="fair")
    saturday = APRIL + dt.timedelta(days=12)
    factories.VisitFactory(crew=crew, day=saturday, planned_hours=Decimal(5))
    loads = week_board(day=APRIL, today=APRIL).loads
    assert [(load.planned_h, load.capacity_h) for load in loads] == [
        (Decimal(0), Decimal(80)),
        # A day off less, a Saturday with work more.
        (Decimal(5), Decimal(80)),
        (Decimal(0), Decimal(80)),
        (Decimal(0), Decimal(80)),
        (Decimal(0), Decimal(80)),
        (Decimal(0), Decimal(80)),
    ]
    assert loads[0].label == "Week of Mon 20 Apr"


def test_visits_to_place_are_those_open_or_opening_soon_the_worst_first(
    crew: Crew,
) -> None:
    feed, prune = feed_and_prune()
    early = running(care_garden(name="Mill Lane"))
    other = Visit.objects.get(contract=early, title="Feed")
    Visit.objects.filter(pk=other.pk).update(
        earliest_on=dt.date(2026, 4, 1),
        best_on=dt.date(2026, 4, 5),
        latest_on=dt.date(2026, 4, 18),
    )
    board = week_board(day=APRIL, today=APRIL)
    assert [(row.visit, row.words, row.is_late) for row in board.to_place] == [
        (other, "window ended Sat 18 Apr", True),
        (feed, "window ends Wed 13 May", False),
    ]
    assert [row.is_slipping for row in board.to_place] == [False, False]
    soon = week_board(day=APRIL, today=dt.date(2026, 5, 8))
    assert [row.is_slipping for row in soon.to_place] == [False, True]
    july = week_board(day=dt.date(2026, 7, 1), today=APRIL)
    assert prune in [row.visit for row in july.to_place]


def test_jobs_to_book_stand_beside_the_board_and_not_among_the_visits(
    crew: Crew,
) -> None:
    job = factories.JobFactory(state="to book")
    factories.VisitFactory(job=job)
    board = week_board(day=APRIL, today=APRIL)
    assert board.to_book == [job]
    assert board.to_place == []


@pytest.mark.parametrize("day", [APRIL, APRIL + dt.timedelta(days=6)])
def test_a_week_begins_on_its_monday(day: dt.date) -> None:
    assert monday_of(day) == APRIL
