"""What a crew writes down: tasks, hours, problems, the end of a visit."""

import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

import pytest

from firm.models import Entry, Message, Person
from jobs.actions.today import (
    AlreadySettled,
    Hours,
    NeedsAReason,
    NotBegun,
    NotYet,
    TasksAreOpen,
    TooManyHours,
    VisitIsOver,
    end_visit,
    log_hours,
    raise_problem,
    settle_problem,
    settle_task,
    start_visit,
)
from jobs.enums import HourKind, TaskState
from jobs.models import HourEntry, Job, Problem, Visit, VisitTask
from tests import factories
from tests.factories import NOW, TODAY

LATER = NOW + dt.timedelta(hours=1)


@pytest.fixture
def visit(crew_member: Person) -> Visit:
    crew = crew_member.memberships.get().crew
    job = factories.JobFactory(state="booked", day=TODAY, crew=crew)
    made: Visit = factories.VisitFactory(job=job, crew=crew, day=TODAY)
    return made


@pytest.fixture
def task(visit: Visit) -> VisitTask:
    made: VisitTask = factories.VisitTaskFactory(visit=visit)
    return made


def test_a_visit_begins_once(visit: Visit, crew_member: Person) -> None:
    begun = start_visit(visit=visit, by=crew_member, now=NOW)
    assert (begun.state, begun.started_at) == ("under way", NOW)
    with pytest.raises(NotBegun):
        start_visit(visit=visit, by=crew_member, now=LATER)
    assert Visit.objects.get().started_at == NOW


def test_the_first_tick_begins_the_visit_and_a_second_changes_nothing(
    task: VisitTask, crew_member: Person
) -> None:
    def tick(now: dt.datetime) -> VisitTask:
        return settle_task(
            task=task,
            state=TaskState.DONE,
            reason="",
            note="",
            by=crew_member,
            now=now,
        )

    assert tick(NOW).settled_at == NOW
    assert tick(LATER).settled_at == NOW
    assert Visit.objects.get().state == "under way"
    assert Entry.objects.filter(action="task settled").count() == 1


def test_a_task_is_left_out_only_with_a_reason(
    task: VisitTask, crew_member: Person
) -> None:
    with pytest.raises(NeedsAReason):
        settle_task(
            task=task,
            state=TaskState.LEFT_OUT,
            reason="  ",
            note="",
            by=crew_member,
            now=NOW,
        )
    left = settle_task(
        task=task,
        state=TaskState.LEFT_OUT,
        reason="a nest in it",
        note="",
        by=crew_member,
        now=NOW,
    )
    assert (left.state, left.left_out_reason) == ("left out", "a nest in it")


def test_a_visit_ends_when_its_tasks_are_settled_or_it_is_said_why(
    visit: Visit, task: VisitTask, crew_member: Person
) -> None:
    with pytest.raises(TasksAreOpen, match="1 task is still open"):
        end_visit(visit=visit, left_out_reason="", by=crew_member, now=NOW)
    assert Visit.objects.get().state == "planned"
    done = end_visit(visit=visit, left_out_reason="no time", by=crew_member, now=LATER)
    task.refresh_from_db()
    assert (done.state, task.state, task.left_out_reason) == (
        "done",
        "left out",
        "no time",
    )
    assert Job.objects.get().state == "finished"
    with pytest.raises(VisitIsOver):
        settle_task(
            task=task,
            state=TaskState.DONE,
            reason="",
            note="",
            by=crew_member,
            now=LATER,
        )
    with pytest.raises(VisitIsOver):
        end_visit(visit=visit, left_out_reason="x", by=crew_member, now=LATER)


def log(by: Person, *, hours: str, **changes: Any) -> list[HourEntry]:
    given: dict[str, Any] = {
        "day": TODAY,
        "today": TODAY,
        "entries": [
            Hours(person=by, kind=HourKind.TRAVEL, hours=Decimal(hours)),
            Hours(person=by, kind=HourKind.RAIN, hours=Decimal("1.5")),
        ],
        "visit": None,
        "crew": None,
        "note": "",
        "key": uuid.uuid4(),
        "by": by,
        "now": NOW,
        **changes,
    }
    return log_hours(**given)


def test_hours_keep_what_an_hour_cost_and_a_form_sent_twice_counts_once(
    crew_member: Person,
) -> None:
    key = uuid.uuid4()
    first = log(crew_member, hours="2", key=key)
    assert log(crew_member, hours="2", key=key) == first
    Person.objects.filter(pk=crew_member.pk).update(hour_cost=Decimal("99.00"))
    assert [
        (row.kind, row.hours, row.hour_cost) for row in HourEntry.objects.order_by("id")
    ] == [
        ("travel", Decimal("2.00"), Decimal("30.00")),
        ("rain", Decimal("1.50"), Decimal("30.00")),
    ]


def test_a_person_without_a_cost_of_an_hour_costs_the_firms(
    crew_member: Person,
) -> None:
    crew_member.hour_cost = Decimal(0)
    assert log(crew_member, hours="1")[0].hour_cost == Decimal("38.00")


def test_more_than_a_days_hours_or_a_day_to_come_are_refused_whole(
    crew_member: Person,
) -> None:
    log(crew_member, hours="20")
    with pytest.raises(TooManyHours, match=r"Cal Reed would have 25 hours"):
        log(crew_member, hours="2", note="one too many")
    assert HourEntry.objects.count() == 2
    with pytest.raises(NotYet):
        log(crew_member, hours="1", day=TODAY + dt.timedelta(days=1))
    assert log(crew_member, hours="1", day=TODAY - dt.timedelta(days=1))


def test_a_problem_is_told_to_the_owner_once_and_settled_once(
    visit: Visit, owner: Person, crew_member: Person
) -> None:
    key = uuid.uuid4()

    def note() -> Problem:
        return raise_problem(
            garden=visit.garden,
            visit=visit,
            planting=None,
            text="Scale on the boxwood",
            photo="",
            key=key,
            by=crew_member,
            now=NOW,
        )

    problem = note()
    assert note() == problem
    assert [message.recipient for message in Message.objects.all()] == [owner.email]
    settle_problem(
        problem=problem, note="sprayed by a licensed firm", by=owner, now=NOW
    )
    with pytest.raises(AlreadySettled):
        settle_problem(problem=problem, note="again", by=owner, now=LATER)
    assert Problem.objects.get().settled_note == "sprayed by a licensed firm"
