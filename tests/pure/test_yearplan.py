"""Year plans: few visits, every task in its days, and a proof that finds each fault."""

import random
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.yearplan import (
    PlannedVisit,
    Span,
    Task,
    YearPlan,
    check_plan,
    days_for,
    plan_year,
)

START = date(2026, 4, 1)
END = date(2027, 3, 31)


def on(number: int) -> date:
    return START + timedelta(days=number)


def task(key: str, first: int, best: int, last: int, **more: object) -> Task:
    given: dict[str, object] = {"minutes": 10, "rule": key, "planting": 1, **more}
    return Task(
        key=key,
        earliest=on(first),
        best=on(best),
        latest=on(last),
        **given,  # type: ignore[arg-type]
    )


def plan(*tasks: Task, slack_days: int = 0) -> YearPlan:
    return plan_year(tasks, starts_on=START, ends_on=END, slack_days=slack_days)


def faults(tasks: list[Task], visits: list[PlannedVisit]) -> list[str]:
    return [
        fault.words for fault in check_plan(tasks, visits, starts_on=START, ends_on=END)
    ]


def visit(first: int, best: int, last: int, *tasks: str) -> PlannedVisit:
    return PlannedVisit(earliest=on(first), best=on(best), latest=on(last), tasks=tasks)


# --- grouping ----------------------------------------------------------------------


def test_tasks_whose_days_meet_share_one_visit_on_the_days_both_have() -> None:
    made = plan(task("feed", 0, 10, 20), task("mulch", 15, 18, 40))
    assert made.visits == (visit(15, 15, 20, "feed", "mulch"),)
    assert made.left == ()


def test_tasks_that_meet_on_too_few_days_are_parted_to_leave_a_week() -> None:
    tasks = [task("feed", 0, 10, 20), task("mulch", 17, 18, 40)]
    assert len(plan(*tasks).visits) == 1
    parted = plan_year(tasks, starts_on=START, ends_on=END)
    assert [one.tasks for one in parted.visits] == [("feed",), ("mulch",)]


def test_a_window_shorter_than_the_slack_is_met_all_the_same() -> None:
    made = plan(task("a", 10, 11, 12), task("b", 0, 5, 30), slack_days=6)
    assert made.visits == (visit(10, 10, 12, "b", "a"),)


def test_tasks_whose_days_do_not_meet_get_a_visit_each() -> None:
    made = plan(task("spring", 0, 5, 10), task("autumn", 200, 210, 220))
    assert [one.tasks for one in made.visits] == [("spring",), ("autumn",)]
    assert [one.best for one in made.visits] == [on(5), on(210)]


def test_the_fewest_visits_hold_five_overlapping_tasks_in_two() -> None:
    made = plan(
        task("a", 0, 5, 30),
        task("b", 20, 25, 50),
        task("c", 28, 40, 60),
        task("d", 55, 70, 90),
        task("e", 80, 85, 95),
    )
    assert [set(one.tasks) for one in made.visits] == [{"a", "b", "c"}, {"d", "e"}]


def test_a_task_open_all_year_goes_to_the_visit_nearest_its_best_day() -> None:
    made = plan(
        task("spring", 0, 5, 10),
        task("autumn", 200, 210, 220),
        task("dead wood", 0, 190, 364),
    )
    assert [one.tasks for one in made.visits] == [
        ("spring",),
        ("dead wood", "autumn"),
    ]


def test_the_day_is_where_most_of_the_work_is_at_its_best() -> None:
    long = task("prune", 0, 30, 60, minutes=120)
    short = task("inspect", 0, 10, 60, minutes=5)
    assert plan(long, short).visits[0].best == on(30)


def test_a_closed_season_cuts_the_days_and_the_visit_keeps_out_of_it() -> None:
    closed = (Span(first=on(20), last=on(60), why="buds are set"),)
    made = plan(task("prune", 0, 30, 70, closed=closed))
    # Day 19 is eleven days off the best day, day 61 thirty-one.
    assert made.visits == (visit(0, 19, 19, "prune"),)


def test_a_task_closed_on_all_its_days_is_left_and_said() -> None:
    closed = (Span(first=None, last=None, why="never cut"),)
    made = plan(task("prune", 0, 30, 70, closed=closed), task("feed", 0, 30, 70))
    assert [left.task for left in made.left] == ["prune"]
    assert [one.tasks for one in made.visits] == [("feed",)]


def test_days_outside_the_twelve_months_are_cut_off() -> None:
    made = plan(task("early", -30, 2, 10), task("late", 350, 360, 400))
    assert [(one.earliest, one.latest) for one in made.visits] == [
        (START, on(10)),
        (on(350), END),
    ]


def test_a_follow_up_shares_the_visit_of_the_work_it_follows() -> None:
    made = plan(
        task("prune", 0, 20, 40),
        task("feed", 20, 25, 34, follows="prune"),
        task("inspect", 0, 2, 19),
    )
    assert [one.tasks for one in made.visits] == [("inspect",), ("prune", "feed")]
    assert made.visits[1].earliest == on(20)


def test_a_follow_up_that_begins_later_comes_in_a_later_visit() -> None:
    made = plan(task("feed", 50, 55, 60, follows="prune"), task("prune", 0, 20, 40))
    assert [one.tasks for one in made.visits] == [("prune",), ("feed",)]


def test_a_follow_up_that_would_come_first_is_left() -> None:
    made = plan(task("prune", 30, 35, 40), task("feed", 0, 5, 10, follows="prune"))
    assert [left.task for left in made.left] == ["feed"]


def test_two_tasks_that_follow_each_other_do_not_hang_the_planner() -> None:
    made = plan(
        task("a", 0, 5, 10, follows="b"),
        task("b", 0, 5, 10, follows="a"),
    )
    assert sorted(made.visits[0].tasks) == ["a", "b"]


def test_nothing_to_do_is_a_plan_without_visits() -> None:
    assert plan() == YearPlan(visits=(), left=())


def test_the_days_of_fewer_tasks_are_wider() -> None:
    both = [task("feed", 0, 10, 20), task("mulch", 15, 18, 40)]
    assert days_for(both) == (on(15), on(15), on(20))
    assert days_for(both[1:]) == (on(15), on(18), on(40))


def test_days_for_tasks_without_a_day_in_common_are_refused() -> None:
    with pytest.raises(ValueError, match="no day in common"):
        days_for([task("a", 0, 1, 2), task("b", 5, 6, 7)])


# --- the proof ---------------------------------------------------------------------


def test_a_plan_that_holds_has_no_fault() -> None:
    tasks = [task("a", 0, 5, 10), task("b", 3, 5, 20)]
    assert faults(tasks, [visit(3, 5, 10, "a", "b")]) == []


@pytest.mark.parametrize(
    ("visits", "words"),
    [
        ([], "not planned"),
        ([visit(0, 5, 10, "a"), visit(0, 5, 10, "a")], "planned more than once"),
        ([visit(0, 5, 10, "a", "x")], "planned, but nobody asked for it"),
        ([visit(0, 5, 11, "a")], "outside its window on 2026-04-12"),
        ([visit(-1, 5, 10, "a")], "lies outside the twelve months"),
        ([visit(0, 12, 10, "a")], "its best day lies outside its own days"),
        ([visit(0, 5, 10, "a"), visit(0, 1, 2)], "holds no task"),
    ],
)
def test_each_fault_is_found(visits: list[PlannedVisit], words: str) -> None:
    assert words in faults([task("a", 0, 5, 10)], visits)


def test_a_day_in_a_closed_season_is_a_fault_that_says_why() -> None:
    closed = (Span(first=on(8), last=None, why="buds are set"),)
    tasks = [task("a", 0, 5, 10, closed=closed)]
    assert faults(tasks, [visit(0, 5, 7, "a")]) == []
    assert faults(tasks, [visit(0, 5, 8, "a")]) == [
        "closed on 2026-04-09: buds are set"
    ]


def test_a_follow_up_before_its_lead_is_a_fault() -> None:
    tasks = [task("a", 0, 5, 40), task("b", 0, 5, 40, follows="a")]
    apart = [visit(0, 5, 10, "b"), visit(11, 20, 40, "a")]
    assert faults(tasks, apart) == ["planned before the work it follows"]
    assert faults(tasks, [visit(0, 5, 10, "a", "b")]) == []


def test_the_same_work_twice_on_one_planting_in_one_visit_is_a_fault() -> None:
    tasks = [
        task("a", 0, 5, 10, rule="feed"),
        task("b", 0, 5, 10, rule="feed"),
        task("c", 0, 5, 10, rule="feed", planting=2),
    ]
    assert faults(tasks, [visit(0, 5, 10, "a", "b", "c")]) == [
        "the same work twice in one visit",
        "the same work twice in one visit",
    ]


def test_two_tasks_of_one_key_are_a_fault() -> None:
    tasks = [task("a", 0, 5, 10), task("a", 0, 5, 10)]
    assert "two tasks have this key" in faults(tasks, [visit(0, 5, 10, "a")])


# --- any tasks ---------------------------------------------------------------------


@st.composite
def windows(draw: st.DrawFn) -> list[Task]:
    found: list[Task] = []
    for number in range(draw(st.integers(0, 14))):
        first = draw(st.integers(-40, 380))
        length = draw(st.integers(0, 120))
        best = draw(st.integers(first, first + length))
        closed = ()
        if draw(st.booleans()):
            begins = draw(st.integers(-60, 380))
            closed = (
                Span(
                    first=on(begins),
                    last=on(begins + draw(st.integers(0, 90))),
                    why="closed",
                ),
            )
        lead = draw(st.sampled_from(["", *(one.key for one in found)]))
        found.append(
            task(
                f"t{number:02d}",
                first,
                best,
                first + length,
                closed=closed,
                minutes=draw(st.integers(0, 90)),
                follows=lead,
            )
        )
    return found


@given(windows(), st.integers(0, 12))
def test_any_plan_passes_its_proof_and_accounts_for_every_task(
    tasks: list[Task], slack_days: int
) -> None:
    made = plan(*tasks, slack_days=slack_days)
    gone = {left.task for left in made.left}
    kept = [one for one in tasks if one.key not in gone]
    assert check_plan(kept, made.visits, starts_on=START, ends_on=END) == []
    planned = [key for one in made.visits for key in one.tasks]
    assert sorted([*planned, *gone]) == sorted(one.key for one in tasks)


@given(windows(), st.randoms(use_true_random=False))
def test_the_order_of_the_tasks_changes_nothing(
    tasks: list[Task], shuffler: random.Random
) -> None:
    shuffled = list(tasks)
    shuffler.shuffle(shuffled)
    for slack_days in (0, 6):
        assert plan(*tasks, slack_days=slack_days) == plan(
            *shuffled, slack_days=slack_days
        )


@given(windows(), st.integers(0, 12))
def test_a_visit_can_be_put_off_by_the_slack_or_by_its_shortest_window(
    tasks: list[Task], slack_days: int
) -> None:
    single = [replace(one, follows="", closed=()) for one in tasks]
    made = plan(*single, slack_days=slack_days)
    by_key = {one.key: one for one in single}
    for one in made.visits:
        shortest = min(
            (min(by_key[key].latest, END) - max(by_key[key].earliest, START)).days
            for key in one.tasks
        )
        assert (one.latest - one.earliest).days >= min(slack_days, shortest)


@given(windows())
def test_no_plan_of_single_tasks_needs_more_visits_than_the_proven_least(
    tasks: list[Task],
) -> None:
    """Interval piercing: as many days are needed as there are disjoint intervals."""
    single = [replace(one, follows="", closed=()) for one in tasks]
    made = plan(*single)
    gone = {left.task for left in made.left}
    spans = sorted(
        (min(one.latest, END), max(one.earliest, START))
        for one in single
        if one.key not in gone
    )
    disjoint: list[tuple[date, date]] = []
    for last, first in spans:
        if not disjoint or first > disjoint[-1][0]:
            disjoint.append((last, first))
    assert len(made.visits) == len(disjoint)


@given(windows())
def test_visits_are_in_order_and_no_two_share_a_day(tasks: list[Task]) -> None:
    days = [one.best for one in plan(*tasks, slack_days=0).visits]
    assert all(before < after for before, after in pairwise(days))


@given(windows(), st.data())
def test_a_plan_moved_out_of_a_window_never_passes(
    tasks: list[Task], data: st.DataObject
) -> None:
    made = plan(*tasks)
    if not made.visits:
        return
    gone = {left.task for left in made.left}
    kept = [one for one in tasks if one.key not in gone]
    number = data.draw(st.integers(0, len(made.visits) - 1))
    chosen = made.visits[number]
    beyond = min(one.latest for one in kept if one.key in chosen.tasks) + timedelta(
        days=data.draw(st.integers(1, 30))
    )
    broken = list(made.visits)
    broken[number] = replace(chosen, latest=beyond)
    assert check_plan(kept, broken, starts_on=START, ends_on=END) != []
